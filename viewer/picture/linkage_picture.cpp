#include "picture/linkage_picture.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "model/index.hpp"
#include "picture/linkage_shapes.hpp"
#include "picture/steering_plan.hpp"
#include "ride/pose.hpp"
#include "state/steering_place.hpp"
#include "state/travel_place.hpp"

namespace ridepitch::view {
namespace {

constexpr int grid_margin_modules = 3;

struct Drawing {
  const Model& model;
  const Linkage& linkage;
  const std::vector<Pose>& poses;
  Picture picture = {};

  template <class Kind>
  void add(Kind shape) {
    picture.shapes.emplace_back(std::in_place_type<Kind>, std::move(shape));
  }
  void add_all(const std::vector<Shape>& shapes) {
    picture.shapes.insert(picture.shapes.end(), shapes.begin(), shapes.end());
  }
  Vec2 hole(HoleRef ref) const { return hole_point(linkage, poses, ref); }
};

void draw_path(Drawing& drawing, const Solved& solved, const LinkageLook& look) {
  const Curve* curve = curve_of(solved.solution, look.selection.corner, look.wheel);
  if (!curve) return;
  Line line{{}, Role::path, 1.5, false};
  for (const CurvePoint& point : curve->points) line.points.push_back(point.centre_C_mm);
  const Vec2 low = line.points.front(), high = line.points.back();
  drawing.add(std::move(line));
  drawing.add(Mark{low, Mark::Form::diamond, 5, Role::path});
  drawing.add(Mark{high, Mark::Form::diamond, 5, Role::path});
  if (!look.names) return;
  const WheelResult& wheel = at(at(solved.solution.corners, look.selection.corner).wheels, look.wheel);
  drawing.add(Label{low, "droop: " + (wheel.droop_end.empty() ? "springs balance" : wheel.droop_end), Role::quiet_text,
                    Vec2(12, 4)});
  drawing.add(Label{high, "bump: " + (wheel.bump_end.empty() ? "no end met" : wheel.bump_end), Role::quiet_text,
                    Vec2(12, -16)});
}

void draw_ghost(Drawing& drawing, const Solved& solved, const LinkageLook& look) {
  const std::string& name = at(solved.model.corners, look.selection.corner).name;
  const auto& corners = look.before->model.corners;
  const auto found = std::find_if(corners.begin(), corners.end(), [&](const Corner& c) { return c.name == name; });
  if (found == corners.end()) return;
  LinkageLook then = look;
  then.selection = {.corner = static_cast<int>(found - corners.begin())};
  const Linkage& linkage = linkage_of(look.before->model, then.selection);
  if (look.wheel >= count(linkage.wheels)) return;
  const std::vector<Pose> poses = poses_shown(*look.before, then);
  drawing.add_all(linkage_ghost(look.before->model, linkage, poses));
}

void draw_places(Drawing& drawing, const LinkageLook& look) {
  const HolePlaces& places = *look.places;
  const Pose& pose = look.places_poses.empty() ? at(drawing.poses, places.body) : at(look.places_poses, places.body);
  for (const TriedPlace& place : places.places) {
    if (place.fit == Fit::untried) continue;
    const bool fits = place.fit == Fit::fits;
    drawing.add(Mark{in_chassis(pose, place.at_B_mm), fits ? Mark::Form::ring : Mark::Form::cross, fits ? 5.0 : 3.5,
                     fits ? Role::place_fits : Role::place_fits_not});
  }
}

void draw_selected(Drawing& drawing, const LinkageLook& look) {
  const Linkage& linkage = drawing.linkage;
  const Selection& s = look.selection;
  const double m = drawing.model.module_mm;
  const auto along = [&](HoleRef from, HoleRef to, const std::string& words) {
    const Vec2 a = drawing.hole(from), b = drawing.hole(to);
    drawing.add(Area{beam_outline(a, b, 0.5 * m), Role::selected, false});
    drawing.add(Label{(a + b) / 2, words, Role::text, Vec2(12, -10)});
  };
  if (s.thing == Thing::hole) {
    const Vec2 p = drawing.hole({s.body, s.index});
    drawing.add(Mark{p, Mark::Form::ring, 11, Role::selected});
    const Vec2 grid = at(at(linkage.bodies, s.body).holes, s.index).p_B / m;
    drawing.add(Label{p, fmt::format("{} [{:g}, {:g}]", hole_name(linkage, {s.body, s.index}), grid.x(), grid.y()),
                      Role::text, Vec2(13, -24)});
  } else if (s.thing == Thing::rod) {
    const Rod& rod = at(linkage.rods, s.index);
    along(rod.from, rod.to, fmt::format("{}: {:g} modules", rod.name, rod.length_mm / m));
  } else if (s.thing == Thing::spring) {
    const Spring& spring = at(linkage.springs, s.index);
    if (!turns(spring))
      along(spring.from, spring.to,
            fmt::format("{}: {} {}", spring.name, spring.count, spring.part.empty() ? "of its own" : spring.part));
  } else if (s.thing == Thing::wheel) {
    const Wheel& wheel = at(linkage.wheels, s.index);
    drawing.add(Mark{drawing.hole(wheel.at), Mark::Form::ring, 14, Role::selected});
    drawing.add(Label{drawing.hole(wheel.at), wheel.name, Role::text, Vec2(16, -10)});
  }
}

double distance_to_segment(const Vec2& p, const Vec2& a, const Vec2& b) {
  const Vec2 along = b - a;
  const double square = along.squaredNorm();
  const double share = square > 0 ? std::clamp((p - a).dot(along) / square, 0.0, 1.0) : 0;
  return (p - a - share * along).norm();
}

}  // namespace

std::vector<Pose> poses_shown(const Solved& solved, const LinkageLook& look) {
  if (linkage_of(solved.model, look.selection).plane == Plane::top)
    return steered_poses(solved, look.selection.corner, look.drive);
  return linkage_at(solved.solution, look.selection.corner, look.wheel, look.travel_mm).poses;
}

Picture linkage_picture(const Solved& solved, const LinkageLook& look) {
  const Linkage& linkage = linkage_of(solved.model, look.selection);
  const std::vector<Pose> poses = poses_shown(solved, look);
  if (poses.size() != linkage.bodies.size()) return {};

  const std::vector<Shape> parts = linkage_shapes(solved.model, linkage, poses);
  const Box box = bounds_of(parts);
  const bool at_rest = !look.travel_mm || !curve_of(solved.solution, look.selection.corner, look.wheel);
  const VehicleResult* vehicle = at_rest && solved.solution.vehicle ? &*solved.solution.vehicle : nullptr;
  Drawing whole{solved.model, linkage, poses};
  SteeringPlan plan;
  if (linkage.plane == Plane::top) plan = steering_plan(solved, look.selection.corner, look.drive, look.names);
  whole.add_all(grid_shapes(solved.model.module_mm, box, grid_margin_modules));
  whole.add_all(ground_shapes(solved.model, look.selection.corner, poses, vehicle, box));
  if (look.before) draw_ghost(whole, solved, look);
  whole.add_all(plan.below);
  whole.add_all(parts);
  draw_path(whole, solved, look);
  whole.add_all(plan.above);
  if (look.places) draw_places(whole, look);
  draw_selected(whole, look);
  if (look.refused_C_mm) {
    whole.add(Mark{*look.refused_C_mm, Mark::Form::cross, 9, Role::solid});
    whole.add(Label{*look.refused_C_mm, "does not go", Role::solid, Vec2(14, -8)});
  }
  whole.picture.caption = linkage_caption(solved.model, look.selection.corner);
  return std::move(whole.picture);
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
  for (int b = 0; b < count(linkage.bodies); ++b)
    for (int h = 0; h < count(at(linkage.bodies, b).holes); ++h)
      consider({corner, Thing::hole, b, h}, (hole_point(linkage, poses, {b, h}) - p_mm).norm());
  if (there.empty()) {
    const auto line = [&](Thing thing, int index, HoleRef from, HoleRef to) {
      consider({corner, thing, 0, index},
               distance_to_segment(p_mm, hole_point(linkage, poses, from), hole_point(linkage, poses, to)));
    };
    for (int i = 0; i < count(linkage.rods); ++i)
      line(Thing::rod, i, linkage.rods[static_cast<std::size_t>(i)].from, at(linkage.rods, i).to);
    for (int i = 0; i < count(linkage.springs); ++i)
      if (!turns(at(linkage.springs, i)))
        line(Thing::spring, i, at(linkage.springs, i).from, at(linkage.springs, i).to);
  }
  if (there.empty()) {
    for (int i = 0; i < count(linkage.wheels); ++i) {
      const Wheel& wheel = at(linkage.wheels, i);
      const double away = (hole_point(linkage, poses, wheel.at) - p_mm).norm();
      if (away <= wheel.tyre.diameter_mm / 2 + reach_mm) return {corner, Thing::wheel, 0, i};
    }
    return {.corner = corner};
  }
  if (again) {
    const auto now = std::find(there.begin(), there.end(), look.selection);
    if (now != there.end()) return now + 1 == there.end() ? there.front() : *(now + 1);
  }
  const auto chosen = std::find(there.begin(), there.end(), look.selection);
  return chosen != there.end() ? *chosen : there.front();
}

}  // namespace ridepitch::view
