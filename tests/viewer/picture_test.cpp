// Selection, snapping, travel by hand, and the geometry of pictures and diagrams, without a window.

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <numbers>

#include "model/read.hpp"
#include "picture/linkage_picture.hpp"
#include "picture/place_labels.hpp"
#include "picture/plot.hpp"
#include "picture/view.hpp"
#include "ride/pose.hpp"
#include "rigs/models.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"
#include "state/by_hand.hpp"
#include "state/document.hpp"
#include "state/numbers.hpp"
#include "words/number.hpp"

namespace ridepitch::view {
namespace {

SolvedPtr solved(const Model& model) { return solve_changed(model, {}, Detail::full).solved; }

SolvedPtr arm() { return solved(read_rig(trial_arm())); }

SolvedPtr demo(const std::string& name) { return solved(ridepitch::demo(name)); }

// ---------------------------------------------------------------------------- grid and selection

TEST(Snapped, goes_to_the_nearest_place_of_the_grid_whole_or_half) {
  EXPECT_EQ(snapped(Vec2(11, -3.9), module_mm), Vec2(8, 0));
  EXPECT_EQ(snapped(Vec2(12.1, -4.1), module_mm), Vec2(16, -8));
  EXPECT_EQ(snapped(Vec2(11, -3.9), module_mm / 2), Vec2(12, -4));
}

TEST(OnBody, undoes_in_chassis) {
  const Pose pose{Vec2(3, -2), 0.7};
  const Vec2 p(5, 11);
  EXPECT_LT((in_chassis(pose, on_body(pose, p)) - p).norm(), 1e-12);
  // A quarter turn takes u to v: elementary geometry.
  EXPECT_LT((in_chassis({Vec2(1, 1), std::numbers::pi / 2}, Vec2(2, 0)) - Vec2(1, 3)).norm(), 1e-12);
}

TEST(NextThing, goes_through_everything_and_around) {
  const SolvedPtr solved_arm = arm();
  const Model& model = solved_arm->model;
  const std::vector<Selection> all = selectable(model, 0);
  ASSERT_EQ(all.size(), 5u + 1 + 1) << "five holes, a spring, a wheel";
  Selection here = next_thing(model, {}, 1);
  EXPECT_EQ(selected_name(model, here), "chassis.pivot");
  for (std::size_t i = 0; i < all.size(); ++i) here = next_thing(model, here, 1);
  EXPECT_EQ(selected_name(model, here), "chassis.pivot");
  EXPECT_EQ(selected_name(model, next_thing(model, here, -1)), "hub");
}

TEST(HoleMoved, moves_by_modules_of_the_bodys_grid) {
  const SolvedPtr solved_arm = arm();
  const Model& model = solved_arm->model;
  const Selection seat{0, Thing::hole, chassis, 1};
  EXPECT_EQ(hole_moved(model, seat, {0.5, -1}), (Changes{MoveHole{0, chassis, 1, Vec2(5.5 * 8, 5.5 * 8)}}));
  EXPECT_TRUE(hole_moved(model, {0, Thing::spring, 0, 0}, {1, 0}).empty());
}

TEST(RodLengthened, stops_before_it_vanishes) {
  const Model model = ridepitch::demo("quarry-hauler");
  const Selection rod{0, Thing::rod, 0, 0};
  EXPECT_EQ(rod_lengthened(model, rod, 1), (Changes{SetLength{0, 0, 56}}));
  EXPECT_TRUE(rod_lengthened(model, rod, -6).empty());
}

TEST(SpringExchanged, takes_parts_of_its_kind_only_and_goes_around) {
  const Model model = ridepitch::demo("quarry-hauler");
  const Selection spring{0, Thing::spring, 0, 0};
  const std::vector<std::string> parts = parts_for(model, 0, 0);
  ASSERT_GT(parts.size(), 1u);
  for (const std::string& part : parts)
    EXPECT_TRUE(std::holds_alternative<Coil>(model.catalogue.at(part).data)) << part;
  Model now = model;
  for (std::size_t i = 0; i < parts.size(); ++i) now = changed(now, spring_exchanged(now, spring, 1));
  EXPECT_EQ(now.linkages[0].springs[0].part, model.linkages[0].springs[0].part);
  EXPECT_EQ(spring_count(model, spring, -5), (Changes{SetSpring{0, 0, "coil-7-firm", 1}}));
}

TEST(HolePlaces, fit_where_two_beams_can_reach_and_not_beyond) {
  // The pushrod of 6 modules joins arm.push, 5 modules from the arm's pivot, with rocker.push, 3 modules from the rocker's
  // pivot: it goes together exactly where the pivots are at most 5 + 6 + 3 = 14 modules apart, and at least
  // 6 - 5 - 3 < 0: by the triangle inequality, twice.
  const Model model = ridepitch::demo("quarry-hauler");
  HolePlaces places = places_around(model, 0, chassis, 1, 12, module_mm);
  EXPECT_EQ(places.places.size(), 25u * 25u);
  EXPECT_EQ(places.places.front().at_B_mm, model.linkages[0].bodies[0].holes[1].p_B) << "nearest first";
  try_places(model, places, 1e9);
  int beyond = 0;
  for (const TriedPlace& place : places.places) {
    if (place.at_B_mm.norm() <= 14 * module_mm + 1e-9) continue;
    EXPECT_EQ(place.fit, Fit::fits_not) << place.at_B_mm.transpose();
    ++beyond;
  }
  EXPECT_GT(beyond, 10);
  EXPECT_EQ(places.places.front().fit, Fit::fits);
}

TEST(HolePlaces, are_tried_a_few_at_a_time) {
  const Model model = ridepitch::demo("quarry-hauler");
  HolePlaces places = places_around(model, 0, chassis, 1, 4, module_mm);
  EXPECT_TRUE(try_places(model, places, 0));
  EXPECT_EQ(places.tried, 1u);
}

// -------------------------------------------------------------------------------------- travel

TEST(LinkageAt, a_raised_wheel_stands_where_the_librarys_curve_has_it) {
  const SolvedPtr hauler = demo("quarry-hauler");
  const Curve* curve = curve_of(hauler->solution, 0, 0);
  ASSERT_TRUE(curve);
  const LinkagePlace place = linkage_at(hauler->solution, 0, 0, 12.0);
  ASSERT_TRUE(place.point);
  const Linkage& linkage = hauler->model.linkages[0];
  ASSERT_EQ(place.poses.size(), linkage.bodies.size());
  const HoleRef axle = linkage.wheels[0].at;
  const Vec2 centre = in_chassis(place.poses[1], linkage.bodies[1].holes[static_cast<std::size_t>(axle.hole)].p_B);
  EXPECT_LT((centre - curve->points[*place.point].centre_C_mm).norm(), 1e-9);
  // The pushrod keeps its length: what holds it together.
  const Vec2 a = in_chassis(place.poses[1], linkage.bodies[1].holes[1].p_B);
  const Vec2 b = in_chassis(place.poses[2], linkage.bodies[2].holes[1].p_B);
  EXPECT_NEAR((a - b).norm(), 48, 1e-9);
  EXPECT_FALSE(linkage_at(hauler->solution, 0, 0, std::nullopt).point);
}

TEST(LinkageAt, a_walking_beam_whose_wheels_do_not_rise_alone_stays_at_rest) {
  const SolvedPtr beam_vehicle = solved(read_file("tests/oracle/models/beam-on-chassis.toml"));
  int beams = 0;
  for (std::size_t c = 0; c < beam_vehicle->model.corners.size(); ++c) {
    if (wheel_with_curve(beam_vehicle->solution, static_cast<int>(c)) >= 0) continue;
    ++beams;
    EXPECT_FALSE(linkage_at(beam_vehicle->solution, static_cast<int>(c), 0, 5.0).point);
    EXPECT_TRUE(travel_plots(*beam_vehicle, nullptr, static_cast<int>(c), 0).empty());
  }
  EXPECT_GT(beams, 0);
}

TEST(SteeredPoses, are_those_of_the_librarys_sweep_and_at_0_those_of_the_file) {
  const SolvedPtr dumper = demo("bark-dumper");
  ASSERT_TRUE(dumper->steered);
  const Steering& steering = dumper->steered->steering.at(0);
  const Steering* found = steering_of(*dumper, steering.corner);
  ASSERT_EQ(found, &steering);
  EXPECT_EQ(steering_of(*dumper, 0), nullptr) << "the first corner is sprung";
  const std::size_t last = nearest_drive(steering, 1e6);
  EXPECT_EQ(last + 1, steering.sweep.size());
  const std::vector<Pose> at_lock = steered_poses(*dumper, steering.corner, steering.range[1]);
  EXPECT_EQ(at_lock[1].theta_rad, steering.poses[last][1].theta_rad);
  const std::vector<Pose> straight = steered_poses(*dumper, steering.corner, std::nullopt);
  EXPECT_EQ(straight.size(), at_lock.size());
  EXPECT_NE(straight[1].theta_rad, at_lock[1].theta_rad);
  // A point of a knuckle is found again where it was.
  const Vec2 p_B(3, 7);
  EXPECT_EQ(nearest_drive(steering, 1, p_B, in_chassis(at_lock[1], p_B)), last);
}

TEST(SteeringPlots, show_the_angle_of_every_wheel_and_what_is_off_the_ideal) {
  const SolvedPtr dumper = demo("bark-dumper");
  const Steering& steering = dumper->steered->steering.at(0);
  const std::vector<Plot> plots = steering_plots(*dumper, nullptr, steering.corner);
  ASSERT_GE(plots.size(), 2u);
  EXPECT_EQ(plots[0].words, "steer angle");
  ASSERT_EQ(plots[0].series.size(), steering.wheels.size());
  // Steer angles are counted from the drive at 0 (docs/model-format.md, "Steering"): 0 there, to the sweep's interpolation.
  for (const Series& series : plots[0].series) EXPECT_NEAR(*value_at(series, 0), 0, 1e-3);
  EXPECT_EQ(plots[1].words, "Ackermann error");
  EXPECT_EQ(hand_values(*dumper, steering.corner, 0).back(), steering.range[1]);
  EXPECT_TRUE(steering_plots(*dumper, nullptr, 0).empty());
}

TEST(SteeringPlots, end_with_where_wheels_point_over_their_own_travel) {
  const SolvedPtr dumper = demo("bark-dumper");
  const Steering& steering = dumper->steered->steering.at(0);
  const Plot plot = steering_plots(*dumper, nullptr, steering.corner).back();
  EXPECT_EQ(plot.words, "bump steer");
  EXPECT_EQ(plot.x_words, "travel");
  ASSERT_EQ(plot.series.size(), steering.bump.size());
  const BumpCurve& left = *steering.bump[0].straight;
  ASSERT_EQ(plot.series[0].points.size(), left.points.size());
  EXPECT_EQ(plot.series[0].points.back(), Vec2(left.points.back().travel_mm, left.points.back().toe_deg));
  // Toe is told less that at rest (docs/model-format.md, "Steering"): 0 there, to the curve's interpolation.
  EXPECT_NEAR(*plot.rest_x, *dumper->solution.corners[0].wheels[0].travel_mm, 1e-6);
  EXPECT_NEAR(*value_at(plot.series[0], *plot.rest_x), 0, 1e-3);
  EXPECT_EQ(x_reach(plot).high, left.points.back().travel_mm);
}

TEST(NumberRows, tell_bump_steer_and_lock_clearance_which_comes_later_while_dragging) {
  const SolvedPtr dumper = demo("bark-dumper");
  const Steering& steering = dumper->steered->steering.at(0);
  const auto row_of = [](const std::vector<NumberRow>& rows, std::string_view words, const std::string& where) {
    const auto found = std::find_if(rows.begin(), rows.end(), [&](const NumberRow& row) {
      return row.words == words && row.where.rfind(where, 0) == 0;
    });
    return found == rows.end() ? NumberRow{} : *found;
  };
  const std::vector<NumberRow> rows = number_rows(nullptr, *dumper, nullptr, steering.corner);
  EXPECT_EQ(row_of(rows, "bump steer", "front left/hub").now, steering.bump[0].straight->rest_slope_deg_per_10mm);
  EXPECT_EQ(row_of(rows, "toe at bump", "front left/hub").now, steering.bump[0].straight->points.back().toe_deg);
  ASSERT_TRUE(steering.clearance);
  EXPECT_EQ(row_of(rows, "lock clearance", "front left/hub").now, steering.clearance->gaps[0].gap_mm);

  const SolvedPtr dragged = solve_changed(dumper->model, {}, Detail::dragging).solved;
  const NumberRow later =
      row_of(number_rows(dumper.get(), *dragged, nullptr, steering.corner), "lock clearance", "front left/hub");
  EXPECT_TRUE(later.later);
  EXPECT_FALSE(later.now);
  EXPECT_EQ(later.before, steering.clearance->gaps[0].gap_mm);
  const NumberRow bump =
      row_of(number_rows(dumper.get(), *dragged, nullptr, steering.corner), "bump steer", "front left/hub");
  EXPECT_FALSE(bump.later);
  EXPECT_TRUE(bump.now);
}

// ------------------------------------------------------------------------------- steering plan

int corner_named(const Solved& solved, const std::string& name) {
  for (std::size_t c = 0; c < solved.model.corners.size(); ++c)
    if (solved.model.corners[c].name == name) return static_cast<int>(c);
  ADD_FAILURE() << name;
  return 0;
}

LinkageLook look_at(int corner) {
  LinkageLook look;
  look.selection.corner = corner;
  return look;
}

struct DrawnWheel {
  Vec2 centre = Vec2::Zero(), ahead = Vec2::Zero();
};

/// Wheels of a plan: outlines whose first and fourth point lie on one side, front and back.
std::vector<DrawnWheel> wheels_of(const Picture& picture) {
  std::vector<DrawnWheel> out;
  for (const Shape& shape : picture.shapes) {
    const auto* area = std::get_if<Area>(&shape);
    if (!area || area->role != Role::wheel) continue;
    Vec2 middle = Vec2::Zero();
    for (const Vec2& p : area->points) middle += p / static_cast<double>(area->points.size());
    out.push_back({middle, area->points[0] - area->points[area->points.size() == 4 ? 1 : 3]});
  }
  return out;
}

double turned_deg(const Vec2& from, const Vec2& to) {
  return std::atan2(from.x() * to.y() - from.y() * to.x(), from.dot(to)) * 180 / std::numbers::pi;
}

TEST(SteeringPlan, what_follows_turns_along_at_its_place_in_the_vehicle) {
  const SolvedPtr crab = demo("peat-crab");
  ASSERT_TRUE(crab->steered);
  const int front = corner_named(*crab, "front steering"), rear = corner_named(*crab, "rear steering");
  const double drive = steering_of(*crab, front)->range[1];
  // The rear rack follows millimetre for millimetre: peat-crab.toml, ratio = 1.
  const std::vector<double> drives = drives_with(*crab, front, drive);
  ASSERT_EQ(drives.size(), 2u);
  EXPECT_NEAR(drives[0], drive, 1e-12);
  EXPECT_NEAR(drives[1], drive, 1e-12);
  EXPECT_EQ(drives_with(*crab, rear, drive), drives) << "moved from behind, the front goes along";

  const std::vector<DrawnWheel> straight = wheels_of(linkage_picture(*crab, look_at(front)));
  LinkageLook look = look_at(front);
  look.drive = drive;
  const Picture turned_picture = linkage_picture(*crab, look);
  const std::vector<DrawnWheel> turned = wheels_of(turned_picture);
  ASSERT_EQ(straight.size(), 4u) << "each wheel once: all four are steered";
  ASSERT_EQ(turned.size(), 4u);
  int behind = 0;
  for (std::size_t i = 0; i < 4; ++i) {
    // The axles lie 36 modules apart, and the front's grid begins at its axle: peat-crab.toml, the corners' `at`.
    const bool is_rear = straight[i].centre.x() < -18 * module_mm;
    behind += is_rear ? 1 : 0;
    EXPECT_NEAR(straight[i].centre.x(), is_rear ? -36 * module_mm : 0, 1e-6);
    const Steering& steering = *steering_of(*crab, is_rear ? rear : front);
    // By side: the file's first wheel of either linkage is drawn at positive v, and only x is mirrored.
    const std::size_t wheel = straight[i].centre.y() > 0 ? 0 : 1;
    const double angle = steering.sweep[nearest_drive(steering, drive)].steer_deg[wheel];
    EXPECT_GT(std::abs(angle), 5);
    // ISO 8855: positive to the left, as turns from u to v are where the corner is not flipped.
    EXPECT_NEAR(turned_deg(straight[i].ahead, turned[i].ahead), angle, 1e-6);
  }
  EXPECT_EQ(behind, 2);
  // Both axles are turned alike but mirrored, so that by symmetry the vehicle turns about a point abreast of its middle.
  double turn_x = 1e9;
  for (const Shape& shape : turned_picture.shapes)
    if (const auto* label = std::get_if<Label>(&shape); label && label->text == "turns about here")
      turn_x = label->at.x();
  EXPECT_NEAR(turn_x, -18 * module_mm, 1e-6);
}

TEST(SteeringPlan, shows_wheels_that_are_not_steered_where_they_rest_and_the_wheelbase_to_scale) {
  const SolvedPtr dumper = demo("bark-dumper");
  const Steering& steering = dumper->steered->steering.at(0);
  const Picture picture = linkage_picture(*dumper, look_at(steering.corner));
  const std::vector<DrawnWheel> wheels = wheels_of(picture);
  ASSERT_EQ(wheels.size(), 4u);
  // Where the library has the rear wheels at rest: their arms lie in the side plane, u mirrored (bark-dumper.toml).
  const int rear = corner_named(*dumper, "rear left");
  const double x = -10 * module_mm - dumper->solution.corners[static_cast<std::size_t>(rear)].wheels[0].centre_C_mm.x();
  const double own = 18 * module_mm;  // of the steering's corner
  int unsteered = 0;
  for (const DrawnWheel& wheel : wheels)
    if (std::abs(wheel.centre.x() - (x - own)) < 1e-6) ++unsteered;
  EXPECT_EQ(unsteered, 2);
  EXPECT_NEAR(*steering.wheelbase_mm, own - x, 1e-6);
  const auto label = std::find_if(picture.shapes.begin(), picture.shapes.end(), [](const Shape& shape) {
    const auto* text = std::get_if<Label>(&shape);
    return text && text->text.rfind("wheelbase", 0) == 0;
  });
  ASSERT_NE(label, picture.shapes.end());
  EXPECT_EQ(std::get<Label>(*label).text, fmt::format("wheelbase {:.1f} mm", own - x));
  EXPECT_NEAR(std::get<Label>(*label).at.x(), (x - own) / 2, 1e-6) << "in the middle of its line";
}

// --------------------------------------------------------------------------------------- view

TEST(View, keeps_the_point_under_the_pointer_while_it_zooms) {
  View view;
  view.corner_px = Vec2(100, 50);
  view.size_px = Vec2(640, 480);
  const Vec2 pointer(300, 200);
  const Vec2 before = to_mm(view, pointer);
  zoom_at(view, pointer, 1.7);
  EXPECT_LT((to_mm(view, pointer) - before).norm(), 1e-9);
  EXPECT_LT((to_px(view, to_mm(view, pointer)) - pointer).norm(), 1e-9);
  EXPECT_LT(to_px(view, Vec2(0, 10)).y(), to_px(view, Vec2(0, 0)).y()) << "v is up, the window's y down";
  for (int i = 0; i < 200; ++i) zoom_at(view, pointer, 2);
  EXPECT_LE(view.px_per_mm, 200);
}

TEST(Fit, brings_a_box_into_the_pane_to_scale) {
  View view;
  view.corner_px = Vec2(10, 20);
  view.size_px = Vec2(400, 300);
  fit(view, {Vec2(-50, 0), Vec2(150, 100)}, 20);
  EXPECT_NEAR(view.px_per_mm, 360.0 / 200, 1e-12);
  EXPECT_LT((to_px(view, Vec2(-50, 50)) - Vec2(30, 170)).norm(), 1e-9);
}

// ------------------------------------------------------------------------------------ pictures

template <class Kind>
std::vector<Kind> shapes(const Picture& picture, Role role) {
  std::vector<Kind> out;
  for (const Shape& shape : picture.shapes)
    if (const auto* each = std::get_if<Kind>(&shape); each && each->role == role) out.push_back(*each);
  return out;
}

TEST(LinkagePicture, is_to_scale_and_stands_on_the_ground) {
  const SolvedPtr hauler = demo("quarry-hauler");
  LinkageLook look;
  const Picture picture = linkage_picture(*hauler, look);
  const auto wheels = shapes<Disc>(picture, Role::wheel);
  ASSERT_FALSE(wheels.empty());
  EXPECT_NEAR(wheels[0].radius_mm, 35, 1e-12) << "tyre-70";
  // The wheel touches the ground line: its centre is a radius away from it, square to it.
  const auto ground = shapes<Line>(picture, Role::ground_line);
  ASSERT_FALSE(ground.empty());
  const Vec2 along = (ground[0].points[1] - ground[0].points[0]).normalized();
  const Vec2 to = wheels[0].centre - ground[0].points[0];
  const double distance = std::abs(along.x() * to.y() - along.y() * to.x());
  // The contact is taken straight below the centre in the world (docs/model-format.md), that is square to the ground, on level
  // ground; tolerance: the tilt of the ground in the chassis grid is that of the vehicle, to rounding.
  EXPECT_NEAR(distance, 35, 1e-6);
  EXPECT_FALSE(shapes<Area>(picture, Role::body).empty());
  EXPECT_FALSE(shapes<Line>(picture, Role::coil).empty());
  EXPECT_FALSE(shapes<Line>(picture, Role::path).empty());
  EXPECT_TRUE(shapes<Area>(picture, Role::ghost).empty());
}

TEST(LinkagePicture, has_a_ghost_of_what_was_before) {
  const SolvedPtr hauler = demo("quarry-hauler");
  const SolvedPtr after =
      solve_changed(hauler->model, {MoveHole{0, chassis, 2, module_mm * Vec2(-3, 9)}}, Detail::full).solved;
  ASSERT_TRUE(after);
  LinkageLook look;
  look.before = hauler.get();
  EXPECT_FALSE(shapes<Area>(linkage_picture(*after, look), Role::ghost).empty());
}

TEST(LinkagePicture, of_every_demo_and_corner_lies_in_finite_places) {
  for (const char* name : {"quarry-hauler", "ore-hauler", "timber-forwarder", "log-skidder-banded", "scout-car",
                           "sand-loader", "gravel-tug", "trial-arm"}) {
    const SolvedPtr each = solved(shown_demo(name));
    ASSERT_TRUE(each) << name;
    for (int c = 0; c < static_cast<int>(each->model.corners.size()); ++c) {
      LinkageLook look;
      look.selection.corner = c;
      const Picture picture = linkage_picture(*each, look);
      EXPECT_FALSE(picture.shapes.empty()) << name << ' ' << c;
      const Box box = bounds_of(picture.shapes);
      EXPECT_TRUE(box.low.allFinite() && box.high.allFinite()) << name << ' ' << c;
      EXPECT_LT((box.high - box.low).norm(), 2000) << name << ' ' << c;
    }
  }
}

TEST(LinkagePicture, of_every_demo_has_no_name_on_another_whatever_is_selected) {
  // A letter of a usual font of 15 px is 9 px wide and its line 18 px high, at most on average.
  const auto extent = [](const std::string& text) { return Vec2(9.0 * static_cast<double>(text.size()), 18); };
  for (const auto& entry : std::filesystem::directory_iterator(RIDEPITCH_SOURCE_DIR "/models")) {
    const ReadModel read = read_model(entry.path().string());
    if (entry.path().extension() != ".toml" || !read.model) continue;
    const SolvedPtr now = solved(*read.model);
    ASSERT_TRUE(now);
    for (int corner = 0; corner < static_cast<int>(now->model.corners.size()); ++corner) {
      for (const Selection& thing : selectable(now->model, corner)) {
        LinkageLook look;
        look.selection = thing;
        if (const Steering* steering = steering_of(*now, corner)) look.drive = steering->range[1];
        const Picture picture = linkage_picture(*now, look);
        View view;
        fit(view, bounds_of(picture.shapes), 24);
        const auto labels = place_labels(picture, {.place = [&](const Vec2& p) { return to_px(view, p); },
                                                   .extent = extent,
                                                   .space = {view.corner_px, view.corner_px + view.size_px}});
        for (std::size_t i = 0; i < labels.size(); ++i)
          for (std::size_t j = 0; j < i; ++j) {
            const bool apart = (labels[i].high.array() <= labels[j].low.array()).any() ||
                               (labels[j].high.array() <= labels[i].low.array()).any();
            EXPECT_TRUE(apart) << entry.path() << ": " << labels[i].label->text << " on " << labels[j].label->text;
          }
      }
    }
  }
}

TEST(LinkagePicture, of_a_linkage_seen_from_above_is_drawn_with_its_drive_at_0) {
  const ReadModel read = read_model_text(steered_trial_arm(), "steered");
  ASSERT_TRUE(read.model) << read.problems.front().text;
  const SolvedPtr steered = solve_changed(*read.model, {}, Detail::full).solved;
  ASSERT_TRUE(steered);
  LinkageLook look;
  look.selection.corner = 1;
  const Picture picture = linkage_picture(*steered, look);
  EXPECT_TRUE(shapes<Line>(picture, Role::ground_line).empty());
  EXPECT_FALSE(shapes<Line>(picture, Role::slide).empty());
  const auto wheels = shapes<Area>(picture, Role::wheel);
  ASSERT_EQ(wheels.size(), 1u);
  // Straight ahead the wheel is as long, along u, as its tyre is high.
  Box box{wheels[0].points[0], wheels[0].points[0]};
  for (const Vec2& p : wheels[0].points) {
    box.low = box.low.cwiseMin(p);
    box.high = box.high.cwiseMax(p);
  }
  EXPECT_NEAR(box.high.x() - box.low.x(), steered->model.linkages[1].wheels[0].tyre.diameter_mm, 1e-6);
}

TEST(ThingAt, takes_the_chassis_hole_of_a_pin_first_and_the_others_in_turn) {
  const SolvedPtr hauler = demo("quarry-hauler");
  LinkageLook look;
  const Vec2 rocker = module_mm * Vec2(2, 6);
  look.selection = thing_at(*hauler, look, rocker + Vec2(1, 0), 4, false);
  EXPECT_EQ(selected_name(hauler->model, look.selection), "chassis.rocker");
  look.selection = thing_at(*hauler, look, rocker, 4, true);
  EXPECT_EQ(selected_name(hauler->model, look.selection), "rocker.root");
  look.selection = thing_at(*hauler, look, rocker, 4, false);
  EXPECT_EQ(selected_name(hauler->model, look.selection), "rocker.root") << "what is selected stays";
  look.selection = thing_at(*hauler, look, rocker, 4, true);
  EXPECT_EQ(selected_name(hauler->model, look.selection), "chassis.rocker");
  EXPECT_EQ(thing_at(*hauler, look, Vec2(-500, 500), 4, false).thing, Thing::none);
}

// ----------------------------------------------------------------------- diagrams and numbers

TEST(Ticks, are_round_numbers_within_the_range) {
  EXPECT_EQ(ticks({0, 10}, 6), (std::vector<double>{0, 2, 4, 6, 8, 10}));
  EXPECT_EQ(ticks({-0.3, 25.9}, 6), (std::vector<double>{0, 5, 10, 15, 20, 25}));
  EXPECT_EQ(ticks({1, 1}, 6).size(), 0u);
  for (const double tick : ticks({0.6123, 0.6391}, 5)) EXPECT_NEAR(std::remainder(tick, 0.005), 0, 1e-9);
}

/// Of a curve y(x) at 0, 1 ... 40 mm.
Range range_over_travel(const std::function<double(double)>& y) {
  Series series;
  for (int x = 0; x <= 40; ++x) series.points.emplace_back(x, y(x));
  return range_of({series}, true);
}

TEST(RangeOf, a_curve_beside_a_dead_point_shows_the_rest_of_it) {
  // A pole of 1 / x between two points, or beside the last: nine tenths of the points lie below 10 / 2.
  for (const double pole : {20.5, 20.0001, 40.0001, -0.0001, 13.99999}) {
    const Range range = range_over_travel([&](double x) { return 10 / (x - pole); });
    EXPECT_LT(range.high, 50) << pole;
    EXPECT_GT(range.low, -50) << pole;
    EXPECT_GT(range.high - range.low, 2) << pole;
  }
  const Range spike = range_over_travel([](double x) { return x == 17 ? 158758 : 8 + x / 10; });
  EXPECT_LT(spike.high, 60);
  EXPECT_LT(spike.low, 8);
}

TEST(RangeOf, what_only_rises_steeply_or_late_is_shown_whole) {
  EXPECT_GE(range_over_travel([](double x) { return x > 35 ? 30 * (x - 35) : 0; }).high, 150);  // a late second spring
  EXPECT_GE(range_over_travel([](double x) { return x > 35 ? 30 * (x - 35) : 1 + x / 100; }).high, 150);
  EXPECT_GE(range_over_travel([](double x) { return std::exp(x / 5); }).high, std::exp(8));
  EXPECT_LE(range_over_travel([](double x) { return -std::exp(x / 5); }).low, -std::exp(8));
  EXPECT_GE(range_over_travel([](double) { return 5.0; }).high, 5);
}

TEST(TravelPlots, hold_the_librarys_curve_and_the_one_before_thin) {
  const SolvedPtr hauler = demo("quarry-hauler");
  const SolvedPtr after =
      solve_changed(hauler->model, {MoveHole{0, chassis, 2, module_mm * Vec2(-3, 9)}}, Detail::full).solved;
  const std::vector<Plot> plots = travel_plots(*after, hauler.get(), 0, 0);
  ASSERT_EQ(plots.size(), 4u);
  EXPECT_EQ(plots[0].words, "load");
  ASSERT_EQ(plots[0].series.size(), 2u);
  EXPECT_TRUE(plots[0].series[0].before);
  const Curve* curve = curve_of(after->solution, 0, 0);
  EXPECT_EQ(plots[0].series[1].points[7], Vec2(curve->points[7].travel_mm, curve->points[7].load_n));
  // At rest the load of the curve is the load that the wheel carries, but for the small pitch (the format, "Sag"): 1 %.
  const WheelResult& wheel = after->solution.corners[0].wheels[0];
  EXPECT_NEAR(*value_at(plots[0].series[1], *plots[0].rest_x), *wheel.load_n, 0.01 * *wheel.load_n);
  EXPECT_FALSE(value_at(plots[0].series[1], -5));
  const std::vector<double> range = hand_values(*after, 0, 0);
  EXPECT_EQ(range.front(), curve->points.front().travel_mm);
  EXPECT_LT(plots[0].x.low, range.front()) << "the shade of what is out of reach is seen";
}

TEST(NumberRows, show_before_and_now_in_the_units_that_a_builder_reads) {
  const SolvedPtr before = arm();
  const SolvedPtr now =
      solve_changed(before->model, {MoveHole{0, chassis, 1, module_mm * Vec2(6, 6.5)}}, Detail::full).solved;
  const Comparison comparison = compared(*before, *now);
  int sags = 0;
  for (const NumberRow& row : number_rows(before.get(), *now, &comparison, 0)) {
    if (row.words != "sag") continue;
    ++sags;
    EXPECT_EQ(row.where, "rear left/hub");
    EXPECT_EQ(row.unit, "mm");
    EXPECT_EQ(*row.before, *before->solution.corners[0].wheels[0].sag_mm);
    EXPECT_EQ(*row.now, *now->solution.corners[0].wheels[0].sag_mm);
  }
  EXPECT_EQ(sags, 1);
  EXPECT_EQ(number(-0.001, 1), "0.0");
  EXPECT_EQ(number(std::nullopt, 1), "-");
  EXPECT_EQ(difference_text({"", "sag", "mm", 1, 10.0, 12.34}), "+2.3");
  EXPECT_EQ(difference_text({"", "sag", "mm", 1, 10.0, 10.01}), "");
}

}  // namespace
}  // namespace ridepitch::view
