#include "picture/steering_plan.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "picture/linkage_shapes.hpp"
#include "state/steering_place.hpp"

namespace ridepitch::view {
namespace {

constexpr double straight_deg = 0.05;  // turned less, a wheel is shown as straight ahead

/// A vehicle point from above, in the chassis grid of a corner's linkage in the top plane.
Vec2 in_grid(const Corner& corner, const Vec2& p_mm) {
  const Vec2 from = p_mm - corner.at_mm.head<2>();
  return {u_sign(corner) * from.x(), from.y()};
}

template <class Map>
void map_points(Shape& shape, const Map& map) {
  std::visit(
      [&](auto& each) {
        if constexpr (requires { each.points; })
          for (Vec2& p : each.points) p = map(p);
        else if constexpr (requires { each.centre; })
          each.centre = map(each.centre);
        else
          each.at = map(each.at);
      },
      shape);
}

/// A sprung wheel as it rests, from above.
struct FromAbove {
  Vec2 centre_mm = Vec2::Zero();
  double radius_mm = 0, width_mm = 0;
};

std::vector<FromAbove> unsteered_wheels(const Solved& solved) {
  std::vector<FromAbove> out;
  const auto is_steered = [&](const std::string& name) {
    return std::any_of(solved.steered->steering.begin(), solved.steered->steering.end(), [&](const Steering& steering) {
      return std::any_of(steering.wheels.begin(), steering.wheels.end(),
                         [&](const SteeredWheel& wheel) { return wheel.same_as == name; });
    });
  };
  for (int c = 0; c < count(solved.model.corners); ++c) {
    const Corner& corner = at(solved.model.corners, c);
    const Linkage& linkage = at(solved.model.linkages, corner.linkage);
    if (linkage.plane == Plane::top) continue;
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      const WheelResult& wheel = at(solved.solution.corners, c).wheels[w];
      if (is_steered(corner.name + "/" + wheel.name)) continue;
      const Tyre& tyre = linkage.wheels[w].tyre;
      out.push_back(
          {on_vehicle(corner, linkage.plane, wheel.centre_C_mm).head<2>(), tyre.diameter_mm / 2, drawn_width_mm(tyre)});
    }
  }
  return out;
}

struct Plan {
  const Solved& solved;
  const Corner& corner;
  SteeringPlan out = {};

  Vec2 grid(const Vec2& p_mm) const { return in_grid(corner, p_mm); }

  template <class Kind>
  void below(Kind shape) {
    out.below.emplace_back(std::in_place_type<Kind>, std::move(shape));
  }
  template <class Kind>
  void above(Kind shape) {
    out.above.emplace_back(std::in_place_type<Kind>, std::move(shape));
  }

  void rectangle(const Vec2& middle_mm, const Vec2& size_mm, Role role, bool filled) {
    std::vector<Vec2> points;
    for (const Vec2& sign : {Vec2(1, 1), Vec2(-1, 1), Vec2(-1, -1), Vec2(1, -1)})
      points.push_back(grid(middle_mm + 0.5 * size_mm.cwiseProduct(sign)));
    below(Area{std::move(points), role, filled});
  }

  void other_linkage(const Steering& steering, double drive) {
    const Corner& other = at(solved.model.corners, steering.corner);
    const Linkage& linkage = at(solved.model.linkages, steering.linkage);
    for (Shape& shape : linkage_shapes(solved.model, linkage, steered_poses(solved, steering.corner, drive))) {
      map_points(shape, [&](const Vec2& p) { return grid(on_vehicle(other, Plane::top, p).head<2>()); });
      out.below.push_back(std::move(shape));
    }
  }

  /// Where a steered wheel's centre is, the drive there.
  Vec2 centre(const Steering& steering, int wheel, double drive) const {
    const Linkage& linkage = at(solved.model.linkages, steering.linkage);
    const Vec2 p_C = hole_point(linkage, steered_poses(solved, steering.corner, drive), at(linkage.wheels, wheel).at);
    return grid(on_vehicle(at(solved.model.corners, steering.corner), Plane::top, p_C).head<2>());
  }

  /// From the middle of the wheels that are not steered to the steered axle, beside everything.
  void wheelbase(const std::vector<FromAbove>& unsteered, const Steering& steering) {
    if (unsteered.empty() || !steering.wheelbase_mm) return;
    double x = 0;
    for (const FromAbove& wheel : unsteered) x += wheel.centre_mm.x() / static_cast<double>(unsteered.size());
    double low = unsteered.front().centre_mm.y(), high = low;
    const auto widen = [&](double y, double by) {
      low = std::min(low, y - by);
      high = std::max(high, y + by);
    };
    for (const FromAbove& wheel : unsteered) widen(wheel.centre_mm.y(), wheel.width_mm);
    for (const SteeredWheel& wheel : steering.wheels) widen(wheel.centre_mm.y(), 2 * solved.model.module_mm);
    const double module = solved.model.module_mm, y = low - 5 * module, tick = 0.8 * module;
    const double to = x + (steering.behind ? -1 : 1) * *steering.wheelbase_mm;
    below(Line{{grid({x, high}), grid({x, y - tick})}, Role::path, 1, true});
    below(Line{{grid({to, high}), grid({to, y - tick})}, Role::path, 1, true});
    below(Line{{grid({x, y}), grid({to, y})}, Role::path, 1.5, false});
    for (const double end : {x, to})
      below(Line{{grid({end, y - tick}), grid({end, y + tick})}, Role::path, 1.5, false});
    above(Label{grid({(x + to) / 2, y}), fmt::format("wheelbase {:.1f} mm", *steering.wheelbase_mm), Role::quiet_text,
                Vec2(-40, 6)});
  }
};

}  // namespace

SteeringPlan steering_plan(const Solved& solved, int corner, std::optional<double> drive, bool names) {
  const Steering* moved = steering_of(solved, corner);
  if (!moved) return {};
  Plan plan{solved, at(solved.model.corners, corner)};
  for (const Keepout& keepout : solved.model.keepouts) {
    plan.rectangle(keepout.at_mm.head<2>(), keepout.size_mm.head<2>(), Role::keepout, true);
    const Vec2 half = 0.5 * keepout.size_mm.head<2>();
    if (names)
      plan.above(Label{plan.grid(keepout.at_mm.head<2>() + Vec2(-half.x(), half.y())), keepout.name, Role::quiet_text,
                       Vec2(5, 4)});
  }
  const std::vector<FromAbove> unsteered = unsteered_wheels(solved);
  for (const FromAbove& wheel : unsteered)
    plan.rectangle(wheel.centre_mm, Vec2(2 * wheel.radius_mm, wheel.width_mm), Role::wheel, false);

  const std::vector<double> drives = drives_with(solved, corner, drive.value_or(0));
  const std::vector<Steering>& all = solved.steered->steering;
  for (std::size_t s = 0; s < all.size(); ++s)
    if (&all[s] != moved && !all[s].sweep.empty()) plan.other_linkage(all[s], drives[s]);
  plan.wheelbase(unsteered, *moved);

  const SteerPoint* point_of_turn = drive ? &moved->sweep[nearest_drive(*moved, *drive)] : nullptr;
  const bool turns = point_of_turn && point_of_turn->turn_centre_mm;
  const Vec2 turn = turns ? plan.grid(*point_of_turn->turn_centre_mm) : Vec2(0, 0);
  for (std::size_t s = 0; s < all.size(); ++s) {
    const Steering& each = all[s];
    if (each.sweep.empty() || each.poses.size() != each.sweep.size()) continue;
    const SteerPoint& point = each.sweep[nearest_drive(each, drives[s])];
    const bool turns_along = &each == moved || drives[s] != 0;
    for (int w = 0; w < count(each.wheels); ++w) {
      const Vec2 centre = plan.centre(each, w, drives[s]);
      if (turns && turns_along) plan.above(Line{{centre, turn}, Role::path, 1, true});
      if (!names) continue;
      const double angle = at(point.steer_deg, w);
      const std::string turned = std::abs(angle) < straight_deg ? std::string("straight ahead")
                                                                : fmt::format("{:.1f} deg to the {}", std::abs(angle),
                                                                              angle > 0 ? "left" : "right");
      const SteeredWheel& wheel = at(each.wheels, w);
      // Beside the wheel, on the outer side, where no rods are.
      const Tyre& tyre = at(at(solved.model.linkages, each.linkage).wheels, w).tyre;
      const bool upper = wheel.centre_mm.y() >= 0;
      const double beside = 0.4 * tyre.diameter_mm + solved.model.module_mm;
      plan.above(Label{centre + Vec2(0, upper ? beside : -beside),
                       fmt::format("{}: {}", wheel.same_as.empty() ? wheel.name : wheel.same_as, turned), Role::text,
                       Vec2(-70, upper ? -16 : 0)});
    }
  }
  if (turns) {
    plan.above(Mark{turn, Mark::Form::diamond, 7, Role::path});
    plan.above(Label{turn, "turns about here", Role::quiet_text, Vec2(10, -8)});
  }
  return std::move(plan.out);
}

}  // namespace ridepitch::view
