#include "picture/linkage_picture.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <utility>

#include "model/index.hpp"
#include "picture/linkage_shapes.hpp"
#include "picture/steering_plan.hpp"
#include "ride/pose.hpp"
#include "stack/pieces.hpp"
#include "state/by_hand.hpp"

namespace ridepitch::view {
namespace {

constexpr int grid_margin_modules = 3;

/// What a thing's name is beside it, in px.
const Vec2 above_end_px(12, 4), below_end_px(12, -16), beside_line_px(12, -10), beside_hole_px(13, -24),
    beside_wheel_px(16, -10), beside_cross_px(14, -8);

void add_path(Picture& to, const Solved& solved, const LinkageLook& look) {
  const Curve* curve = curve_of(solved.solution, look.selection.corner, look.wheel);
  if (!curve) return;
  Line line{{}, Role::path, 1.5, false};
  for (const CurvePoint& point : curve->points) line.points.push_back(point.centre_C_mm);
  const Vec2 low = line.points.front(), high = line.points.back();
  add(to.shapes, std::move(line));
  for (const Vec2& end : {low, high}) add(to.shapes, Mark{end, Mark::Form::diamond, 5, Role::path});
  if (!look.names) return;
  const WheelResult& wheel = at(at(solved.solution.corners, look.selection.corner).wheels, look.wheel);
  const std::string droop = wheel.droop_end.empty() ? "springs balance" : wheel.droop_end;
  const std::string bump = wheel.bump_end.empty() ? "no end met" : wheel.bump_end;
  add(to.shapes, Label{low, "droop: " + droop, Role::quiet_text, above_end_px});
  add(to.shapes, Label{high, "bump: " + bump, Role::quiet_text, below_end_px});
}

void add_ghost(Picture& to, const Solved& solved, const LinkageLook& look) {
  if (!look.before) return;
  const Model& model = look.before->model;
  LinkageLook then = look;
  then.selection = {.corner = index_of(model.corners, at(solved.model.corners, look.selection.corner).name)};
  if (then.selection.corner < 0) return;
  const Linkage& linkage = linkage_of(model, then.selection);
  if (look.wheel < count(linkage.wheels))
    append(to.shapes, linkage_ghost(model, linkage, poses_shown(*look.before, then)));
}

void add_places(Picture& to, const LinkageLook& look, const std::vector<Pose>& poses) {
  if (!look.places) return;
  const Pose& pose = at(look.places_poses.empty() ? poses : look.places_poses, look.places->body);
  for (const TriedPlace& place : look.places->places) {
    const Vec2 p = in_chassis(pose, place.at_B_mm);
    if (place.fit == Fit::fits) add(to.shapes, Mark{p, Mark::Form::ring, 5, Role::place_fits});
    if (place.fit == Fit::fits_not) add(to.shapes, Mark{p, Mark::Form::cross, 3.5, Role::place_fits_not});
  }
}

void add_selected(Picture& to, const Model& model, const Selection& s, const std::vector<Pose>& poses) {
  const Linkage& linkage = linkage_of(model, s);
  const double m = model.module_mm;
  const auto label = [&](const Vec2& p, std::string text, const Vec2& shift_px) {
    add(to.shapes, Label{p, std::move(text), Role::text, shift_px});
  };
  const auto ring = [&](const Vec2& p, double size_px) {
    add(to.shapes, Mark{p, Mark::Form::ring, size_px, Role::selected});
  };
  const auto line = [&](HoleRef from, HoleRef to_hole, std::string text) {
    const Vec2 a = hole_point(linkage, poses, from), b = hole_point(linkage, poses, to_hole);
    add(to.shapes, Area{beam_outline(a, b, 0.5 * m), Role::selected, false});
    label((a + b) / 2, std::move(text), beside_line_px);
  };
  if (s.thing == Thing::hole) {
    const Vec2 p = hole_point(linkage, poses, {s.body, s.index});
    const Vec2 grid = at(at(linkage.bodies, s.body).holes, s.index).p_B / m;
    ring(p, 11);
    label(p, fmt::format("{} [{:g}, {:g}]", selected_name(model, s), grid.x(), grid.y()), beside_hole_px);
  } else if (s.thing == Thing::rod) {
    const Rod& rod = at(linkage.rods, s.index);
    line(rod.from, rod.to, fmt::format("{}: {:g} modules", rod.name, rod.length_mm / m));
  } else if (s.thing == Thing::spring) {
    const Spring& spring = at(linkage.springs, s.index);
    const std::string part = spring.part.empty() ? "(no catalogue part)" : spring.part;
    if (!turns(spring)) line(spring.from, spring.to, fmt::format("{}: {} {}", spring.name, spring.count, part));
  } else if (s.thing == Thing::wheel) {
    const Vec2 p = hole_point(linkage, poses, at(linkage.wheels, s.index).at);
    ring(p, 14);
    label(p, selected_name(model, s), beside_wheel_px);
  }
}

}  // namespace

std::vector<Pose> poses_shown(const Solved& solved, const LinkageLook& look) {
  if (linkage_of(solved.model, look.selection).plane == Plane::top)
    return steered_poses(solved, look.selection.corner, look.drive);
  return linkage_at(solved.solution, look.selection.corner, look.wheel, look.travel_mm).poses;
}

Picture linkage_picture(const Solved& solved, const LinkageLook& look) {
  const Linkage& linkage = linkage_of(solved.model, look.selection);
  const int corner = look.selection.corner;
  const std::vector<Pose> poses = poses_shown(solved, look);
  if (poses.size() != linkage.bodies.size()) return {};

  const std::vector<Shape> parts = linkage_shapes(solved.model, linkage, poses);
  const Box box = bounds_of(parts);
  const bool at_rest = !look.travel_mm || !curve_of(solved.solution, corner, look.wheel);
  const VehicleResult* vehicle = at_rest && solved.solution.vehicle ? &*solved.solution.vehicle : nullptr;
  SteeringPlan plan;
  if (linkage.plane == Plane::top) plan = steering_plan(solved, corner, look.drive, look.names);
  Picture picture;
  append(picture.shapes, grid_shapes(solved.model.module_mm, box, grid_margin_modules));
  append(picture.shapes, ground_shapes(solved.model, corner, poses, vehicle, box));
  add_ghost(picture, solved, look);
  append(picture.shapes, plan.below);
  append(picture.shapes, parts);
  add_path(picture, solved, look);
  append(picture.shapes, plan.above);
  add_places(picture, look, poses);
  add_selected(picture, solved.model, look.selection, poses);
  if (look.refused_C_mm) {
    add(picture.shapes, Mark{*look.refused_C_mm, Mark::Form::cross, 9, Role::solid});
    add(picture.shapes, Label{*look.refused_C_mm, "does not fit", Role::solid, beside_cross_px});
  }
  picture.caption = linkage_caption(solved.model, corner);
  return picture;
}

Selection thing_at(const Solved& solved, const LinkageLook& look, const Vec2& p_mm, double reach_mm, bool again) {
  const Linkage& linkage = linkage_of(solved.model, look.selection);
  const std::vector<Pose> poses = poses_shown(solved, look);
  if (poses.size() != linkage.bodies.size()) return {.corner = look.selection.corner};
  const int corner = look.selection.corner;

  double nearest = reach_mm;
  std::vector<Selection> there;
  const auto consider = [&](const Selection& thing, double distance) {
    const double same_mm = 1e-3;
    if (distance < nearest - same_mm) {
      nearest = distance;
      there = {thing};
    } else if (distance <= nearest + same_mm && !there.empty()) {
      there.push_back(thing);
    }
  };
  const auto point = [&](HoleRef ref) { return hole_point(linkage, poses, ref); };
  const auto line = [&](Thing thing, int index, HoleRef from, HoleRef to) {
    consider({corner, thing, 0, index}, point_to_segment(p_mm, point(from), point(to)));
  };
  for (int b = 0; b < count(linkage.bodies); ++b)
    for (int h = 0; h < count(at(linkage.bodies, b).holes); ++h)
      consider({corner, Thing::hole, b, h}, (point({b, h}) - p_mm).norm());
  if (there.empty()) {
    for (int i = 0; i < count(linkage.rods); ++i) line(Thing::rod, i, at(linkage.rods, i).from, at(linkage.rods, i).to);
    for (int i = 0; i < count(linkage.springs); ++i)
      if (const Spring& each = at(linkage.springs, i); !turns(each)) line(Thing::spring, i, each.from, each.to);
  }
  for (int i = 0; there.empty() && i < count(linkage.wheels); ++i) {
    const Wheel& wheel = at(linkage.wheels, i);
    if ((point(wheel.at) - p_mm).norm() <= wheel.tyre.diameter_mm / 2 + reach_mm)
      there = {{corner, Thing::wheel, 0, i}};
  }
  if (there.empty()) return {.corner = corner};
  const auto now = std::find(there.begin(), there.end(), look.selection);
  if (now == there.end() || (again && now + 1 == there.end())) return there.front();
  return again ? *(now + 1) : *now;
}

}  // namespace ridepitch::view
