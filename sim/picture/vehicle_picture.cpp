#include "picture/vehicle_picture.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <utility>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "picture/linkage_shapes.hpp"
#include "ride/pose.hpp"
#include "ride/system.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

/// Outline of points that lie anyhow, without dents: Andrew's monotone chain (A. M. Andrew, Information Processing
/// Letters 9 (1979) 216).
std::vector<Vec2> hull(std::vector<Vec2> points) {
  std::sort(points.begin(), points.end(),
            [](const Vec2& a, const Vec2& b) { return a.x() != b.x() ? a.x() < b.x() : a.y() < b.y(); });
  const auto turns_right = [](const Vec2& a, const Vec2& b, const Vec2& c) {
    return (b - a).x() * (c - a).y() - (b - a).y() * (c - a).x() <= 0;
  };
  std::vector<Vec2> out;
  for (int pass = 0; pass < 2; ++pass) {
    const std::size_t first = out.size();
    for (const Vec2& p : points) {
      while (out.size() >= first + 2 && turns_right(out[out.size() - 2], out.back(), p)) out.pop_back();
      out.push_back(p);
    }
    out.pop_back();
    std::reverse(points.begin(), points.end());
  }
  return out;
}

struct VehicleDrawing {
  const ModelAtRest& now;
  const VehicleResult& vehicle;
  Seen seen;
  Picture picture = {};

  template <class Kind>
  void add(Kind shape) {
    ridepitch::add(picture.shapes, std::move(shape));
  }
  void add_all(const std::vector<Shape>& shapes) {
    picture.shapes.insert(picture.shapes.end(), shapes.begin(), shapes.end());
  }
  Vec2 point(const Vec3& p) const { return seen_point(vehicle, seen, p); }

  void box(const Vec3& middle, const Vec3& size, Role role) {
    std::vector<Vec2> corners;
    for (int i = 0; i < 8; ++i) {
      const Vec3 sign(i & 1 ? 1 : -1, i & 2 ? 1 : -1, i & 4 ? 1 : -1);
      corners.push_back(point(middle + 0.5 * size.cwiseProduct(sign)));
    }
    add(Area{hull(std::move(corners)), role, true});
  }

  void corner(int index, bool far) {
    const Model& model = now.model;
    const Corner& corner = at(model.corners, index);
    const Linkage& linkage = at(model.linkages, corner.linkage);
    const std::vector<Pose>& poses = at(now.solution.corners, index).poses;
    if (linkage.plane == Plane::top || poses.size() != linkage.bodies.size()) return;
    const auto hole = [&](HoleRef ref) {
      const Vec2 p_C = in_chassis(at(poses, ref.body), at(at(linkage.bodies, ref.body).holes, ref.hole).p_B);
      return point(on_vehicle(corner, linkage.plane, p_C));
    };
    for (const Wheel& wheel : linkage.wheels) draw_wheel(wheel, hole(wheel.at), far);
    const double radius = 0.4 * model.module_mm;
    for (int b = 1; b < count(linkage.bodies); ++b) {
      const int holes = count(at(linkage.bodies, b).holes);
      for (int h = 0; h + 1 < holes; ++h)
        add(Area{beam_outline(hole({b, h}), hole({b, h + 1}), radius), far ? Role::far_body : Role::body, true});
      if (!far)
        for (int h = 0; h < holes; ++h) add(Disc{hole({b, h}), 0.2 * model.module_mm, Role::hole, true, 1});
    }
    for (const Rod& rod : linkage.rods)
      add(Line{{hole(rod.from), hole(rod.to)}, far ? Role::far_body : Role::rod, 3, false});
    for (const Spring& spring : linkage.springs) draw_spring(spring, hole, far);
  }

  template <class Hole>
  void draw_spring(const Spring& spring, const Hole& hole, bool far) {
    if (turns(spring)) return;
    const SpringTraits traits = traits_of(spring.data);
    const Vec2 a = hole(spring.from), b = hole(spring.to);
    const auto role = [&](Role near) { return far ? Role::far_body : near; };
    if (traits.law.pulls)
      add(Line{{a, b}, role(Role::band), 2.5, false});
    else
      add(Line{coil_line(a, b, traits.width_mm > 0 ? traits.width_mm : 14, 8), role(Role::coil), 1.5, false});
  }

  void draw_wheel(const Wheel& wheel, const Vec2& centre, bool far) {
    const double radius = wheel.tyre.diameter_mm / 2;
    const Role role = far ? Role::far_body : Role::wheel;
    if (seen == Seen::from_side) {
      add(Disc{centre, radius, role, false, far ? 1.5 : 3.0});
      if (!far) add(Disc{centre, 0.62 * radius, role, false, 1});
      return;
    }
    const double half = drawn_width_mm(wheel.tyre) / 2;
    const Vec2 u(half, 0), v(0, radius);
    const Vec2& c = centre;
    add(Area{{c + v + 0.7 * u, c + 0.85 * v + u, c - 0.85 * v + u, c - v + 0.7 * u, c - v - 0.7 * u, c - 0.85 * v - u,
              c + 0.85 * v - u, c + v - 0.7 * u},
             role,
             false});
  }
};

/// Corners from far to near.
std::vector<int> from_far(const Model& model, Seen seen) {
  std::vector<int> order(model.corners.size());
  std::iota(order.begin(), order.end(), 0);
  const auto depth = [&](int c) {
    const Vec3& p = at(model.corners, c).at_mm;
    return seen == Seen::from_side ? -p.y() : p.x();
  };
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return depth(a) < depth(b); });
  return order;
}

bool is_far(const Model& model, int corner, Seen seen) {
  const Vec3& p = at(model.corners, corner).at_mm;
  return seen == Seen::from_side ? p.y() > 0 : p.x() < 0;
}

void draw_masses(VehicleDrawing& drawing) {
  for (const Mass& mass : drawing.now.model.masses) {
    if (mass.size_mm)
      drawing.box(mass.at_mm, *mass.size_mm, Role::mass);
    else
      drawing.add(Mark{drawing.point(mass.at_mm), Mark::Form::diamond, 6, Role::mass});
  }
  for (const Keepout& keepout : drawing.now.model.keepouts) drawing.box(keepout.at_mm, keepout.size_mm, Role::keepout);
}

/// A box's name stands in its upper left corner, a point's beside it.
void draw_name(VehicleDrawing& drawing, const Vec3& middle, const std::optional<Vec3>& size, std::string text) {
  const Vec3 half = 0.5 * size.value_or(Vec3::Zero());
  const Vec3 corner =
      middle + (drawing.seen == Seen::from_side ? Vec3(-half.x(), 0, half.z()) : Vec3(0, -half.y(), half.z()));
  drawing.add(Label{drawing.point(corner), std::move(text), Role::quiet_text, Vec2(5, 4)});
}

void draw_names(VehicleDrawing& drawing) {
  for (const Mass& mass : drawing.now.model.masses)
    draw_name(drawing, mass.at_mm, mass.size_mm, fmt::format("{} {:.0f} g", mass.name, mass.kg / kg_per_g));
  for (const Keepout& keepout : drawing.now.model.keepouts)
    draw_name(drawing, keepout.at_mm, keepout.size_mm, keepout.name);
}

void draw_ghost(VehicleDrawing& drawing, const ModelAtRest& before) {
  if (!before.solution.vehicle) return;
  VehicleDrawing then{before, *before.solution.vehicle, drawing.seen};
  for (const Mass& mass : before.model.masses)
    if (mass.size_mm) then.box(mass.at_mm, *mass.size_mm, Role::ghost);
  for (Shape& shape : then.picture.shapes)
    if (auto* area = std::get_if<Area>(&shape)) area->filled = false;
  drawing.add_all(then.picture.shapes);
  drawing.add(Mark{then.point(before.solution.vehicle->cg_mm), Mark::Form::quartered, 9, Role::ghost});
}

std::string attitude(const VehicleResult& vehicle, Seen seen) {
  const double angle = seen == Seen::from_side ? vehicle.pitch_deg : vehicle.roll_deg;
  const char* up = seen == Seen::from_side ? "nose up" : "left side down";
  const char* down = seen == Seen::from_side ? "nose down" : "right side down";
  const char* level = seen == Seen::from_side ? "no pitch" : "no roll";
  if (std::abs(angle) < 0.005) return level;
  return fmt::format("{:.2f} deg {}", std::abs(angle), angle > 0 ? down : up);
}

}  // namespace

Vec2 seen_point(const VehicleResult& vehicle, Seen seen, const Vec3& p_mm) {
  State state;
  state.height_mm = vehicle.height_mm;
  state.pitch_rad = vehicle.pitch_deg * rad_per_deg;
  state.roll_rad = vehicle.roll_deg * rad_per_deg;
  const Vec3 level = levelled(state, p_mm);
  return {seen == Seen::from_side ? level.x() : level.y(), height_of(state, p_mm)};
}

bool nearer_half(const Model& model, int corner, Seen seen) {
  const Linkage& linkage = at(model.linkages, at(model.corners, corner).linkage);
  return linkage.plane != Plane::top && !is_far(model, corner, seen);
}

Picture unlabelled_vehicle(const ModelAtRest& now, Seen seen, const std::optional<ModelAtRest>& before) {
  if (!now.solution.vehicle) return {};
  const VehicleResult& vehicle = *now.solution.vehicle;
  VehicleDrawing drawing{now, vehicle, seen};
  draw_masses(drawing);
  if (before) draw_ghost(drawing, *before);
  for (const int c : from_far(now.model, seen)) drawing.corner(c, is_far(now.model, c, seen));

  const Box box = bounds_of(drawing.picture.shapes);
  const double margin = 3 * now.model.module_mm;
  const Vec2 left(box.low.x() - margin, 0), right(box.high.x() + margin, 0);
  std::vector<Shape> ground_line;
  add(ground_line, Line{{left, right}, Role::ground_line, 2.5, false});
  const double step = std::max(2 * now.model.module_mm, (right.x() - left.x()) / 1000);  // however large it is
  for (double x = left.x(); x < right.x(); x += step)
    add(ground_line, Line{{Vec2(x + 6, 0), Vec2(x, -6)}, Role::ground_line, 1, false});
  drawing.picture.shapes.insert(drawing.picture.shapes.begin(), ground_line.begin(), ground_line.end());
  drawing.picture.caption =
      fmt::format("{} at rest, {}: {}", now.solution.model,
                  seen == Seen::from_side ? "from its right side" : "from the front", attitude(vehicle, seen));
  return std::move(drawing.picture);
}

Picture vehicle_picture(const ModelAtRest& now, Seen seen, const std::optional<ModelAtRest>& before) {
  if (!now.solution.vehicle) return {};
  const VehicleResult& vehicle = *now.solution.vehicle;
  VehicleDrawing drawing{now, vehicle, seen, unlabelled_vehicle(now, seen, before)};
  // The first name gets the place that it asks for (place_labels.hpp).
  drawing.add(Mark{drawing.point(vehicle.cg_mm), Mark::Form::quartered, 11, Role::centre_of_gravity});
  drawing.add(Label{drawing.point(vehicle.cg_mm),
                    fmt::format("centre of gravity, {:.0f} g on the springs", vehicle.mass_kg / kg_per_g), Role::text,
                    Vec2(16, -8)});
  for (const Clearance& each : now.model.clearances) {
    const Vec2 p = drawing.point(each.at_mm);
    drawing.add(Line{{p, Vec2(p.x(), 0)}, Role::quiet_text, 1, true});
    drawing.add(Label{p, fmt::format("{} {:.1f} mm", each.name, p.y()), Role::quiet_text, Vec2(6, 6)});
  }
  for (int c = 0; c < count(now.model.corners); ++c) {
    const CornerResult& corner = at(now.solution.corners, c);
    if (!nearer_half(now.model, c, seen)) continue;
    for (const WheelResult& wheel : corner.wheels) {
      if (!wheel.ground_load_n) continue;
      const Vec2 foot(seen == Seen::from_side ? wheel.contact_mm.x() : wheel.contact_mm.y(), 0);
      drawing.add(Label{foot, fmt::format("{:.0f} g", grams_of(*wheel.ground_load_n)), Role::text, Vec2(-14, 14)});
    }
  }
  draw_names(drawing);
  return std::move(drawing.picture);
}

}  // namespace ridepitch
