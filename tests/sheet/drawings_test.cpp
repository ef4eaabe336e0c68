// Drawings to scale, and labels that touch nothing.

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <set>

#include "sheet/labels_off_ink.hpp"
#include "sheet/lay_out.hpp"
#include "sheet/sheets.hpp"

namespace ridepitch {
namespace {

bool lie_on_each_other(const Box& a, const Box& b) {
  return a.low.x() < b.high.x() && b.low.x() < a.high.x() && a.low.y() < b.high.y() && b.low.y() < a.high.y();
}

/// Whether any part of a leader lies in a box: by 1000 points of it.
bool runs_through(const SheetLabel& leader, const Box& box) {
  const Vec2 end = leader.about_mm.cwiseMax(leader.box.low).cwiseMin(leader.box.high);
  for (int i = 0; i <= 1000; ++i) {
    const Vec2 p = leader.about_mm + (end - leader.about_mm) * i / 1000;
    if ((p.array() > box.low.array()).all() && (p.array() < box.high.array()).all()) return true;
  }
  return false;
}

TEST(Labels, of_all_demo_sheets_touch_neither_each_other_nor_a_leader_nor_the_edge) {
  int labels = 0;
  for (const auto& [name, sheet] : demo_sheets()) {
    for (const SheetDrawing& drawing : drawings_of(sheet)) {
      const Box paper{Vec2::Zero(), drawing.size_mm};
      std::vector<SheetLabel> all = drawing.labels;
      all.insert(all.end(), drawing.grid_numbers.begin(), drawing.grid_numbers.end());
      for (std::size_t i = 0; i < all.size(); ++i) {
        ++labels;
        const SheetLabel& a = all[i];
        EXPECT_TRUE((a.box.low.array() >= paper.low.array()).all() && (a.box.high.array() <= paper.high.array()).all())
            << name << ": " << a.text;
        for (std::size_t k = 0; k < i; ++k)
          EXPECT_FALSE(lie_on_each_other(a.box, all[k].box)) << name << ": " << a.text << ", " << all[k].text;
        for (std::size_t k = 0; k < all.size(); ++k) {
          const bool other = a.leader && k != i;
          EXPECT_FALSE(other && runs_through(a, all[k].box)) << name << ": " << a.text << ", " << all[k].text;
        }
      }
    }
  }
  EXPECT_GT(labels, 500);
}

TEST(Labels, name_every_hole_of_the_chassis_body_rod_strap_and_spring_of_the_demos) {
  for (const char* name : {"bark-dumper", "log-skidder-banded", "ore-hauler", "peat-crab", "quarry-hauler",
                           "sand-loader", "scout-car", "slate-carrier", "timber-forwarder", "trial-arm"}) {
    std::multiset<std::string> wanted, there;
    for (const Linkage& linkage : printed_demo(name).model.linkages) {
      for (const Rod& rod : linkage.rods) wanted.insert(rod.name);
      for (const Spring& spring : linkage.springs) wanted.insert(spring.name);
      for (const Limit& limit : linkage.limits) wanted.insert(limit.name);
      for (std::size_t b = 1; b < linkage.bodies.size(); ++b) wanted.insert(linkage.bodies[b].name);
      std::set<std::pair<double, double>> places;
      for (const Hole& hole : linkage.bodies[0].holes)
        if (places.emplace(hole.p_B.x(), hole.p_B.y()).second) wanted.insert(hole.name);
    }
    for (const SheetDrawing& drawing : drawings_of(make_sheet(printed_demo(name).results(), facts_of(name)))) {
      if (drawing.ruler_mm <= 0) continue;  // the vehicle
      for (const SheetLabel& label : drawing.labels) there.insert(label.text.substr(0, label.text.find_first_of(": ")));
    }
    EXPECT_EQ(there, wanted) << name;
  }
}

TEST(Labels, keep_off_each_other_wherever_they_are_wished) {
  std::mt19937 random(7);
  std::uniform_real_distribution<double> place(0, 60), width(4, 25);
  for (int trial = 0; trial < 20; ++trial) {
    std::vector<LabelWish> wishes;
    for (int i = 0; i < 25; ++i)
      wishes.push_back({std::to_string(i), {Vec2(place(random), place(random))}, Vec2(width(random), 3), 1, false});
    const std::vector<SheetLabel> labels =
        labels_off_ink(wishes, ink_map(Vec2(100, 100)), {Vec2(-20, -20), Vec2(100, 100)});
    EXPECT_GT(labels.size(), 18u) << "a heap of labels: some points are covered all around";
    for (std::size_t i = 0; i < labels.size(); ++i)
      for (std::size_t k = 0; k < i; ++k) EXPECT_FALSE(lie_on_each_other(labels[i].box, labels[k].box)) << trial;
  }
}

TEST(Labels, go_round_a_line_and_then_have_a_leader) {
  InkMap ink = ink_map(Vec2(60, 60));
  // A filled square of 20 mm about the point leaves no free place nearer than its edge, 10 mm off.
  ink_area(ink, {Vec2(20, 20), Vec2(40, 20), Vec2(40, 40), Vec2(20, 40)});
  const std::vector<SheetLabel> labels =
      labels_off_ink({{"here", {Vec2(30, 30)}, Vec2(8, 3), 1, false}}, ink, {Vec2(0, 0), Vec2(60, 60)});
  ASSERT_EQ(labels.size(), 1u);
  EXPECT_TRUE(labels[0].leader);
  EXPECT_FALSE(lie_on_each_other(labels[0].box, {Vec2(20.5, 20.5), Vec2(39.5, 39.5)})) << "to a cell of half a mm";
}

TEST(Labels, are_left_out_where_there_is_no_room_at_all) {
  EXPECT_TRUE(labels_off_ink({{"too wide", {Vec2(5, 5)}, Vec2(30, 3), 1, false}}, ink_map(Vec2(10, 10)),
                             {Vec2(0, 0), Vec2(10, 10)})
                  .empty());
}

// Distances on paper: by Pythagoras from the holes in tests/models/gravel-tug-rework.toml, a module of 8 mm.
TEST(LinkageDrawing, shows_distances_of_the_model_times_its_scale) {
  const std::vector<SheetDrawing> drawings = drawings_of(rework_sheet("gravel-tug", "gravel-tug-rework"));
  ASSERT_EQ(drawings.size(), 3u) << "one linkage, two views of the vehicle";
  const SheetDrawing& arm = drawings[0];
  EXPECT_EQ(arm.reduced, 1);
  ASSERT_EQ(arm.arrows.size(), 2u);
  EXPECT_NEAR((arm.arrows[0].to_mm - arm.arrows[0].from_mm).norm(), 8 * std::sqrt(2), 1e-9) << "one hole on, one down";
  EXPECT_NEAR((on_paper(arm, arm.arrows[0].to_mm) - on_paper(arm, Vec2::Zero())).norm(), 8 * std::sqrt(34), 1e-9)
      << "from the arm's pivot [0, 0] to [3, 5]";
  EXPECT_NEAR((arm.arrows[1].to_mm - arm.arrows[1].from_mm).norm(), 8 * std::sqrt(2), 1e-9) << "[3, 0] to [4, -1]";
  double widest = 0;
  for (const Shape& shape : arm.picture.shapes)
    if (const auto* disc = std::get_if<Disc>(&shape); disc && disc->role == Role::wheel)
      widest = std::max(widest, 2 * disc->radius_mm / arm.reduced);
  EXPECT_NEAR(widest, 69, 1e-9) << "tyre-69 of the catalogue";
  int rings = 0;
  for (const SheetLabel& label : arm.labels) rings += label.numbered;
  EXPECT_EQ(rings, 3) << "one for each change";
}

TEST(GridNumbers, stand_as_far_apart_as_their_holes) {
  for (const auto& [name, sheet] : demo_sheets()) {
    for (const SheetDrawing& drawing : drawings_of(sheet)) {
      for (const SheetLabel& number : drawing.grid_numbers) {
        const double modules = std::stod(number.text);
        const Vec2 middle = (number.box.low + number.box.high) / 2;
        const Vec2 along_u = on_paper(drawing, Vec2(8 * modules, 0)), along_v = on_paper(drawing, Vec2(0, 8 * modules));
        EXPECT_LT(std::min(std::abs(middle.x() - along_u.x()), std::abs(middle.y() - along_v.y())), 1e-9) << name;
      }
    }
  }
}

TEST(LinkageDrawing, of_a_hole_a_million_modules_off_is_small_and_soon_done) {
  Printed tug = printed_demo("gravel-tug");
  tug.model.linkages[0].bodies[0].holes.push_back({"far", Vec2(8e6, -8e6), {}});
  const SheetDrawing drawing = drawings_of(make_sheet(tug.results(), facts_of("far"))).back();
  EXPECT_GE(drawing.reduced, 8e6 / text_height_on_page_mm(a4));
  EXPECT_LT(drawing.picture.shapes.size(), 40000u);
  EXPECT_LT(drawing.grid_numbers.size(), 100u);
  EXPECT_LE(drawing.size_mm.y(), text_height_on_page_mm(a4));
}

TEST(VehicleDrawing, shows_ride_heights_to_scale) {
  const Sheet sheet = make_sheet(printed_demo("quarry-hauler").results(), facts_of("quarry-hauler"));
  const std::vector<SheetDrawing> drawings = drawings_of(sheet);
  const CornerResult& front_right = printed_demo("quarry-hauler").solution.corners[1];
  ASSERT_EQ(front_right.name, "front right");
  double found = 1e9;
  for (const SheetArrow& each : drawings[1].dimensions) {
    const double on_it = (on_paper(drawings[1], each.to_mm) - on_paper(drawings[1], each.from_mm)).norm();
    found = std::min(found, std::abs(on_it * drawings[1].reduced - *front_right.ride_height_mm));
  }
  EXPECT_LT(found, 1e-9);
}

TEST(Drawings, of_all_demos_fit_between_the_margins) {
  for (const auto& [name, sheet] : demo_sheets()) {
    const std::vector<SheetDrawing> drawings = drawings_of(sheet);
    EXPECT_FALSE(drawings.empty()) << name;
    for (const SheetDrawing& drawing : drawings) {
      const Box box = bounds_of(drawing.picture.shapes);
      const Vec2 low = on_paper(drawing, Vec2(box.low.x(), box.high.y()));
      const Vec2 high = on_paper(drawing, Vec2(box.high.x(), box.low.y()));
      EXPECT_TRUE((low.array() >= 0).all() && (high.array() <= drawing.size_mm.array()).all()) << name;
      EXPECT_LE(drawing.size_mm.x(), text_width_on_page_mm) << name;
      EXPECT_LE(drawing.size_mm.y(), text_height_on_page_mm(a4)) << name;
    }
  }
}

}  // namespace
}  // namespace ridepitch
