#include "picture/steering_plan.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "picture/linkage_shapes.hpp"
#include "state/by_hand.hpp"

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

bool is_steered(const Steered& steered, const std::string& name) {
  for (const Steering& steering : steered.steering)
    for (const SteeredWheel& wheel : steering.wheels)
      if (wheel.same_as == name) return true;
  return false;
}

std::vector<FromAbove> unsteered_wheels(const Solved& solved) {
  std::vector<FromAbove> out;
  for (int c = 0; c < count(solved.model.corners); ++c) {
    const Corner& corner = at(solved.model.corners, c);
    const Linkage& linkage = at(solved.model.linkages, corner.linkage);
    for (int w = 0; linkage.plane != Plane::top && w < count(linkage.wheels); ++w) {
      const WheelResult& wheel = at(at(solved.solution.corners, c).wheels, w);
      const Tyre& tyre = at(linkage.wheels, w).tyre;
      const Vec2 centre = wheel_on_vehicle(corner, linkage.plane, at(linkage.wheels, w), wheel.centre_C_mm).head<2>();
      if (!is_steered(*solved.steered, corner.name + "/" + wheel.name))
        out.push_back({centre, tyre.diameter_mm / 2, drawn_width_mm(tyre)});
    }
  }
  return out;
}

struct Plan {
  const Solved& solved;
  const Corner& corner;
  SteeringPlan out = {};

  Vec2 grid(const Vec2& p_mm) const { return in_grid(corner, p_mm); }

  void rectangle(const Vec2& middle_mm, const Vec2& size_mm, Role role, bool filled) {
    std::vector<Vec2> points;
    for (const Vec2& sign : {Vec2(1, 1), Vec2(-1, 1), Vec2(-1, -1), Vec2(1, -1)})
      points.push_back(grid(middle_mm + 0.5 * size_mm.cwiseProduct(sign)));
    add(out.below, Area{std::move(points), role, filled});
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
    add(out.below, Line{{grid({x, high}), grid({x, y - tick})}, Role::path, 1, true});
    add(out.below, Line{{grid({to, high}), grid({to, y - tick})}, Role::path, 1, true});
    add(out.below, Line{{grid({x, y}), grid({to, y})}, Role::path, 1.5, false});
    for (const double end : {x, to})
      add(out.below, Line{{grid({end, y - tick}), grid({end, y + tick})}, Role::path, 1.5, false});
    add(out.above, Label{grid({(x + to) / 2, y}), fmt::format("wheelbase {:.1f} mm", *steering.wheelbase_mm),
                         Role::quiet_text, Vec2(-40, 6)});
  }
};

std::string turned_words(double angle_deg) {
  if (std::abs(angle_deg) < straight_deg) return "straight ahead";
  return fmt::format("{:.1f} deg to the {}", std::abs(angle_deg), angle_deg > 0 ? "left" : "right");
}

/// Beside a wheel, on the outer side, where no rods are.
Label wheel_label(const Plan& plan, const Steering& steering, int w, const Vec2& centre, double angle_deg) {
  const SteeredWheel& wheel = at(steering.wheels, w);
  const Tyre& tyre = at(at(plan.solved.model.linkages, steering.linkage).wheels, w).tyre;
  const double beside = 0.4 * tyre.diameter_mm + plan.solved.model.module_mm;
  const double side = wheel.centre_mm.y() >= 0 ? 1 : -1;
  return {centre + Vec2(0, side * beside),
          fmt::format("{}: {}", wheel.same_as.empty() ? wheel.name : wheel.same_as, turned_words(angle_deg)),
          Role::text, Vec2(-70, side > 0 ? -16 : 0)};
}

}  // namespace

SteeringPlan steering_plan(const Solved& solved, int corner, std::optional<double> drive, bool names) {
  const Steering* moved = steering_of(solved, corner);
  if (!moved) return {};
  Plan plan{solved, at(solved.model.corners, corner)};
  for (const Keepout& keepout : solved.model.keepouts) {
    const Vec2 middle = keepout.at_mm.head<2>(), half = 0.5 * keepout.size_mm.head<2>();
    plan.rectangle(middle, 2 * half, Role::keepout, true);
    if (names)
      add(plan.out.above,
          Label{plan.grid(middle + Vec2(-half.x(), half.y())), keepout.name, Role::quiet_text, Vec2(5, 4)});
  }
  const std::vector<FromAbove> unsteered = unsteered_wheels(solved);
  for (const FromAbove& wheel : unsteered)
    plan.rectangle(wheel.centre_mm, Vec2(2 * wheel.radius_mm, wheel.width_mm), Role::wheel, false);

  const std::vector<double> drives = drives_with(solved, corner, drive.value_or(0));
  const std::vector<Steering>& all = solved.steered->steering;
  for (std::size_t s = 0; s < all.size(); ++s)
    if (&all[s] != moved && !all[s].sweep.empty()) plan.other_linkage(all[s], drives[s]);
  plan.wheelbase(unsteered, *moved);

  std::optional<Vec2> turn;  // the centre of the turn
  if (drive)
    if (const auto& centre = moved->sweep[nearest_drive(*moved, *drive)].turn_centre_mm) turn = plan.grid(*centre);
  for (std::size_t s = 0; s < all.size(); ++s) {
    const Steering& each = all[s];
    if (each.sweep.empty() || each.poses.size() != each.sweep.size()) continue;
    const SteerPoint& point = each.sweep[nearest_drive(each, drives[s])];
    const bool turns_along = &each == moved || drives[s] != 0;
    for (int w = 0; w < count(each.wheels); ++w) {
      const Vec2 centre = plan.centre(each, w, drives[s]);
      if (turn && turns_along) add(plan.out.above, Line{{centre, *turn}, Role::path, 1, true});
      if (names) add(plan.out.above, wheel_label(plan, each, w, centre, at(point.steer_deg, w)));
    }
  }
  if (turn) {
    add(plan.out.above, Mark{*turn, Mark::Form::diamond, 7, Role::path});
    add(plan.out.above, Label{*turn, "turns about here", Role::quiet_text, Vec2(10, -8)});
  }
  return std::move(plan.out);
}

}  // namespace ridepitch::view
