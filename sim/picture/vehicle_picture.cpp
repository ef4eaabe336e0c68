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
#include "stack/made_of.hpp"

namespace ridepitch {
namespace {

/// Convex hull of points in any order: Andrew's monotone chain (A. M. Andrew, Information Processing
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

// Sizes in modules, where they follow the model, and in px.
constexpr double beam_radius = 0.4, small_hole_radius = 0.2;
constexpr int coil_turns = 8;
constexpr double hatch_mm = 6, most_hatches = 1000;  // of the ground

struct VehicleDrawing {
  const ModelAtRest& now;
  const VehicleResult& vehicle;
  VehicleView view;
  std::vector<Shape> shapes = {};

  Vec2 point(const Vec3& p) const { return seen_point(vehicle, view, p); }
};

void add_box(VehicleDrawing& to, const Vec3& middle, const Vec3& size, Role role, bool filled = true) {
  std::vector<Vec2> corners;
  for (int i = 0; i < 8; ++i) {
    const Vec3 sign(i & 1 ? 1 : -1, i & 2 ? 1 : -1, i & 4 ? 1 : -1);
    corners.push_back(to.point(middle + 0.5 * size.cwiseProduct(sign)));
  }
  add(to.shapes, Area{hull(std::move(corners)), role, filled});
}

void add_wheel(VehicleDrawing& to, const Wheel& wheel, const Vec2& centre, bool far) {
  const double radius = wheel.tyre.diameter_mm / 2;
  const Role role = far ? Role::far_body : Role::wheel;
  if (to.view == VehicleView::from_side) return add_wheel_disc(to.shapes, centre, radius, role, far ? 1.5 : 3.0, !far);
  const Vec2 half_width(drawn_width_mm(wheel.tyre) / 2, 0);
  add(to.shapes, Area{tyre_outline(centre, Vec2(0, radius), half_width), role, false});
}

bool is_far(const Model& model, int corner, VehicleView view) {
  return nearness(view, at(model.corners, corner).at_mm) < 0;
}

void add_corner(VehicleDrawing& to, int index) {
  const Model& model = to.now.model;
  const bool far = is_far(model, index, to.view);
  const Corner& corner = at(model.corners, index);
  const Linkage& linkage = at(model.linkages, corner.linkage);
  const std::vector<Pose>& poses = at(to.now.solution.corners, index).poses;
  if (linkage.plane == Plane::top || poses.size() != linkage.bodies.size()) return;
  const auto hole = [&](HoleRef ref) {
    return to.point(on_vehicle(corner, linkage.plane, hole_point(linkage, poses, ref)));
  };
  const auto role = [&](Role near) { return far ? Role::far_body : near; };
  for (const Wheel& wheel : linkage.wheels) {
    const Vec2 centre_C = hole_point(linkage, poses, wheel.at);
    add_wheel(to, wheel, to.point(wheel_on_vehicle(corner, linkage.plane, wheel, centre_C)), far);
  }
  for (int b = 1; b < count(linkage.bodies); ++b) {
    for (std::vector<Vec2> line : outlines(model.catalogue, model.module_mm, linkage, b)) {
      for (Vec2& p : line) p = to.point(on_vehicle(corner, linkage.plane, in_chassis(at(poses, b), p)));
      for (std::size_t i = 0; i + 1 < line.size(); ++i)
        add(to.shapes, Area{beam_outline(line[i], line[i + 1], beam_radius * model.module_mm), role(Role::body), true});
    }
    for (int h = 0; !far && h < count(at(linkage.bodies, b).holes); ++h)
      add(to.shapes, Disc{hole({b, h}), small_hole_radius * model.module_mm, Role::hole, true, 1});
  }
  for (const Rod& rod : linkage.rods) add(to.shapes, Line{{hole(rod.from), hole(rod.to)}, role(Role::rod), 3, false});
  for (const Spring& spring : linkage.springs) {
    if (turns(spring)) continue;  // too small to be seen
    const SpringTraits traits = traits_of(spring.data);
    const Vec2 from = hole(spring.from), to_hole = hole(spring.to);
    if (traits.law.pulls)
      add(to.shapes, Line{{from, to_hole}, role(Role::band), 2.5, false});
    else
      add(to.shapes,
          Line{coil_line(from, to_hole, drawn_diameter_mm(traits), coil_turns), role(Role::coil), 1.5, false});
  }
}

/// Corners from far to near.
std::vector<int> from_far(const Model& model, VehicleView view) {
  std::vector<int> order(model.corners.size());
  std::iota(order.begin(), order.end(), 0);
  const auto near = [&](int c) { return nearness(view, at(model.corners, c).at_mm); };
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) { return near(a) < near(b); });
  return order;
}

void add_masses(VehicleDrawing& to) {
  for (const Mass& mass : to.now.model.masses) {
    if (mass.size_mm)
      add_box(to, mass.at_mm, *mass.size_mm, Role::mass);
    else
      add(to.shapes, Mark{to.point(mass.at_mm), Mark::Form::diamond, 6, Role::mass});
  }
  for (const Keepout& keepout : to.now.model.keepouts) add_box(to, keepout.at_mm, keepout.size_mm, Role::keepout);
}

/// A box's name stands in its upper left corner, a point's beside it.
void add_name(VehicleDrawing& to, const Vec3& middle, const std::optional<Vec3>& size, std::string text) {
  const Vec3 half = 0.5 * size.value_or(Vec3::Zero());
  const bool side = to.view == VehicleView::from_side;
  const Vec3 corner = middle + (side ? Vec3(-half.x(), 0, half.z()) : Vec3(0, -half.y(), half.z()));
  add(to.shapes, Label{to.point(corner), std::move(text), Role::quiet_text, Vec2(5, 4)});
}

void add_ghost(VehicleDrawing& to, const ModelAtRest& before) {
  if (!before.solution.vehicle) return;
  VehicleDrawing then{before, *before.solution.vehicle, to.view};
  for (const Mass& mass : before.model.masses)
    if (mass.size_mm) add_box(then, mass.at_mm, *mass.size_mm, Role::ghost, false);
  append(to.shapes, then.shapes);
  add(to.shapes, Mark{then.point(then.vehicle.cg_mm), Mark::Form::quartered, 9, Role::ghost});
}

std::string attitude(const VehicleResult& vehicle, VehicleView view) {
  const bool side = view == VehicleView::from_side;
  const double angle = side ? vehicle.pitch_deg : vehicle.roll_deg;
  if (std::abs(angle) < 0.005) return side ? "no pitch" : "no roll";  // prints as 0.00
  const char* where = side ? (angle > 0 ? "nose down" : "nose up") : angle > 0 ? "right side down" : "left side down";
  return fmt::format("{:.2f} deg {}", std::abs(angle), where);
}

}  // namespace

Vec2 seen_point(const VehicleResult& vehicle, VehicleView view, const Vec3& p_mm) {
  State state;
  state.height_mm = vehicle.height_mm;
  state.pitch_rad = vehicle.pitch_deg * rad_per_deg;
  state.roll_rad = vehicle.roll_deg * rad_per_deg;
  const Vec3 level = levelled(state, p_mm);
  return {across(view, level), height_of(state, p_mm)};
}

bool nearer_half(const Model& model, int corner, VehicleView view) {
  const Linkage& linkage = at(model.linkages, at(model.corners, corner).linkage);
  return linkage.plane != Plane::top && !is_far(model, corner, view);
}

Picture unlabelled_vehicle(const ModelAtRest& now, VehicleView view, const std::optional<ModelAtRest>& before) {
  if (!now.solution.vehicle) return {};
  const VehicleResult& vehicle = *now.solution.vehicle;
  VehicleDrawing drawing{now, vehicle, view};
  add_masses(drawing);
  if (before) add_ghost(drawing, *before);
  for (const int c : from_far(now.model, view)) add_corner(drawing, c);

  const Box box = bounds_of(drawing.shapes);
  const double m = now.model.module_mm, left = box.low.x() - 3 * m, right = box.high.x() + 3 * m;
  Picture picture;
  add(picture.shapes, Line{{Vec2(left, 0), Vec2(right, 0)}, Role::ground_line, 2.5, false});
  for (double x = left; x < right; x += std::max(2 * m, (right - left) / most_hatches))
    add(picture.shapes, Line{{Vec2(x + hatch_mm, 0), Vec2(x, -hatch_mm)}, Role::ground_line, 1, false});
  append(picture.shapes, drawing.shapes);
  picture.caption =
      fmt::format("{} at rest, {}: {}", now.solution.model,
                  view == VehicleView::from_side ? "from its right side" : "from the front", attitude(vehicle, view));
  return picture;
}

Picture vehicle_picture(const ModelAtRest& now, VehicleView view, const std::optional<ModelAtRest>& before) {
  Picture picture = unlabelled_vehicle(now, view, before);
  if (!now.solution.vehicle) return picture;
  const VehicleResult& vehicle = *now.solution.vehicle;
  VehicleDrawing drawing{now, vehicle, view, std::move(picture.shapes)};
  const auto label = [&](const Vec2& at, std::string text, Role role, const Vec2& shift_px) {
    add(drawing.shapes, Label{at, std::move(text), role, shift_px});
  };
  // The first name gets the place that it asks for (place_labels.hpp).
  const Vec2 cg = drawing.point(vehicle.cg_mm);
  add(drawing.shapes, Mark{cg, Mark::Form::quartered, 11, Role::centre_of_gravity});
  label(cg, fmt::format("centre of gravity, {:.0f} g on the springs", vehicle.mass_kg / kg_per_g), Role::text,
        Vec2(16, -8));
  for (const Clearance& each : now.model.clearances) {
    const Vec2 p = drawing.point(each.at_mm);
    add(drawing.shapes, Line{{p, Vec2(p.x(), 0)}, Role::quiet_text, 1, true});
    label(p, fmt::format("{} {:.1f} mm", each.name, p.y()), Role::quiet_text, Vec2(6, 6));
  }
  for (int c = 0; c < count(now.model.corners); ++c) {
    if (!nearer_half(now.model, c, view)) continue;
    for (const WheelResult& wheel : at(now.solution.corners, c).wheels)
      if (wheel.ground_load_n)
        label(Vec2(across(view, wheel.contact_mm), 0), fmt::format("{:.0f} g", grams_of(*wheel.ground_load_n)),
              Role::text, Vec2(-14, 14));
  }
  for (const Mass& mass : now.model.masses)
    add_name(drawing, mass.at_mm, mass.size_mm, fmt::format("{} {:.0f} g", mass.name, mass.kg / kg_per_g));
  for (const Keepout& keepout : now.model.keepouts) add_name(drawing, keepout.at_mm, keepout.size_mm, keepout.name);
  picture.shapes = std::move(drawing.shapes);
  return picture;
}

}  // namespace ridepitch
