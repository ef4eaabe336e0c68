#include "picture/linkage_shapes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/pose.hpp"
#include "stack/made_of.hpp"
#include "stack/pieces.hpp"

namespace ridepitch {
namespace {

// Radii in modules: a usual part's hole is 0.6 of a module wide; the others are chosen so that each thing is seen.
constexpr double hole_radius = 0.3, chassis_hole_radius = 0.45, pin_radius = 0.24;
constexpr double rod_radius = 0.17, rod_end_radius = 0.3, coil_end_radius = 0.32, band_half_width = 0.2;
constexpr double ruled_mm = 1e-6;  // a length this near to its limit is at it
constexpr double most_dots = 1e5;  // more would be a grey field
constexpr int most_strokes = 1000;
constexpr int fewest_turns = 4, most_turns = 30;
constexpr double turn_mm = 6.5;            // of free length for one drawn turn
constexpr int spiral_points = 40;          // of a torsion spring
constexpr double spare_hole_radius = 0.2;  // modules
constexpr double spiral_step_rad = 0.4, spiral_start = 0.25, spiral_growth = 0.02;
constexpr double endless_slide_modules = 3;  // drawn to either side of a slide without stops
constexpr double stroke_modules = 0.6;       // of the hatching under the ground

/// A linkage with the poses of its bodies, and the shapes drawn of it so far.
struct Drawing {
  const Model& model;
  const Linkage& linkage;
  const std::vector<Pose>& poses;
  bool ghost = false;  ///< in outline, all of Role::ghost
  std::vector<Shape> shapes = {};

  Vec2 hole(HoleRef ref) const { return hole_point(linkage, poses, ref); }
  Role role(Role of) const { return ghost ? Role::ghost : of; }
};

void add_beams(Drawing& to, int body) {
  const double radius = beam_radius_mm(to.model.module_mm);
  const Role role = to.role(body == chassis ? Role::chassis_part : Role::body);
  for (std::vector<Vec2> line : outlines(to.model.catalogue, to.model.module_mm, to.linkage, body)) {
    if (line.size() == 1) line.push_back(line.front());  // a disc
    for (Vec2& p : line) p = in_chassis(at(to.poses, body), p);
    for (std::size_t i = 0; i + 1 < line.size(); ++i)
      add(to.shapes, Area{beam_outline(line[i], line[i + 1], radius), role, !to.ghost});
  }
}

/// The holes that the body's parts have beside those that it names: what a pivot may be moved to.
void add_spare_holes(Drawing& to, int body) {
  if (to.ghost) return;
  const Body& of = at(to.linkage.bodies, body);
  const double m = to.model.module_mm;
  for (const Vec2& place : hole_places(made_of(to.model.catalogue, m, of), m)) {
    const bool named = std::any_of(of.holes.begin(), of.holes.end(),
                                   [&](const Hole& hole) { return (hole.p_B - place).norm() <= hole_fit_modules * m; });
    if (!named)
      add(to.shapes, Disc{in_chassis(at(to.poses, body), place), spare_hole_radius * m, Role::hole, false, 1});
  }
}

void add_holes(Drawing& to, int body) {
  add_spare_holes(to, body);
  const double m = to.model.module_mm;
  for (int h = 0; h < count(at(to.linkage.bodies, body).holes); ++h) {
    const Vec2 p = to.hole({body, h});
    if (body == chassis)
      add(to.shapes, Disc{p, chassis_hole_radius * m, to.role(Role::chassis_part), !to.ghost, to.ghost ? 1 : 1.5});
    if (!to.ghost) add(to.shapes, Disc{p, hole_radius * m, Role::hole, true, 1});
  }
}

void add_ends(Drawing& to, const Vec2& a, const Vec2& b, double radius, Role role) {
  if (to.ghost) return;
  for (const Vec2& end : {a, b}) add(to.shapes, Disc{end, radius * to.model.module_mm, role, true, 1});
}

void add_rod(Drawing& to, const Rod& rod) {
  const Vec2 a = to.hole(rod.from), b = to.hole(rod.to);
  add(to.shapes, Area{beam_outline(a, b, rod_radius * to.model.module_mm), to.role(Role::rod), !to.ghost});
  add_ends(to, a, b, rod_end_radius, Role::rod);
}

/// The first point that two bodies share, or the origin of the second one's grid.
Vec2 turning_point(const Drawing& of, int one, int other) {
  const auto holds = [](const Pin& pin, int body) {
    return std::any_of(pin.holes.begin(), pin.holes.end(), [&](const HoleRef& ref) { return ref.body == body; });
  };
  for (const Pin& pin : of.linkage.pins)
    if (holds(pin, one) && holds(pin, other)) return of.hole(pin.holes.front());
  return at(of.poses, other).p_CB;
}

/// A small spiral.
void add_turning_spring(Drawing& to, int from, int other) {
  const Vec2 middle = turning_point(to, from, other);
  std::vector<Vec2> spiral;
  for (int i = 0; i <= spiral_points; ++i) {
    const double angle = at(to.poses, other).theta_rad + i * spiral_step_rad;
    const double radius = (spiral_start + spiral_growth * i) * to.model.module_mm;
    spiral.push_back(middle + radius * Vec2(std::cos(angle), std::sin(angle)));
  }
  add(to.shapes, Line{std::move(spiral), to.role(Role::coil), 2, false});
}

void add_spring(Drawing& to, const Spring& spring) {
  if (const auto bodies = turned_bodies(spring.data)) return add_turning_spring(to, (*bodies)[0], (*bodies)[1]);
  const SpringTraits traits = traits_of(spring.data);
  const Vec2 a = to.hole(spring.from), b = to.hole(spring.to);
  const double length = std::hypot((b - a).norm(), spring.across_mm);
  if (traits.law.pulls) {
    const Vec2 along = (b - a).norm() > 1e-9 ? Vec2((b - a).normalized()) : Vec2(1, 0);
    const Vec2 side = band_half_width * to.model.module_mm * Vec2(-along.y(), along.x());
    const bool dashed = to.ghost || length <= traits.law.free_mm;  // slack
    for (const double s : {-1.0, 1.0})
      add(to.shapes, Line{{a + s * side, b + s * side}, to.role(Role::band), to.ghost ? 1.0 : 2.5, dashed});
    return;
  }
  const int turns = std::clamp(static_cast<int>(traits.law.free_mm / turn_mm), fewest_turns, most_turns);
  const Role role = to.role(length <= traits.law.solid_mm + ruled_mm ? Role::solid : Role::coil);
  add(to.shapes, Line{coil_line(a, b, drawn_diameter_mm(traits), turns), role, to.ghost ? 1.0 : 2.0, to.ghost});
  add_ends(to, a, b, coil_end_radius, role);
}

void add_limit(Drawing& to, const Limit& limit) {
  const Vec2 a = to.hole(limit.from), b = to.hole(limit.to);
  const double length = std::hypot((b - a).norm(), limit.across_mm);
  const bool met =
      (limit.max_mm && length >= *limit.max_mm - ruled_mm) || (limit.min_mm && length <= *limit.min_mm + ruled_mm);
  add(to.shapes, Line{{a, b}, met ? Role::solid : Role::limit, met ? 2.5 : 1.5, !met});
}

void add_slide(Drawing& to, const Slide& slide) {
  const double m = to.model.module_mm;
  const Vec2 through = to.hole(slide.through), side = 0.5 * m * Vec2(-slide.along.y(), slide.along.x());
  const std::array<double, 2> ends =
      slide.stroke_mm.value_or(std::array<double, 2>{-endless_slide_modules * m, endless_slide_modules * m});
  const Vec2 low = through + ends[0] * slide.along, high = through + ends[1] * slide.along;
  for (const double s : {-1.0, 1.0}) add(to.shapes, Line{{low + s * side, high + s * side}, Role::slide, 1.5, false});
  if (slide.stroke_mm)
    for (const Vec2& end : {low, high}) add(to.shapes, Line{{end - side, end + side}, Role::slide, 2.5, false});
}

/// Seen from the side a wheel is a disc, from the front or above a box with round corners.
void add_wheel(Drawing& to, const Wheel& wheel) {
  const Vec2 centre = to.hole(wheel.at);
  const double radius = wheel.tyre.diameter_mm / 2;
  if (to.linkage.plane == Plane::side)
    return add_wheel_disc(to.shapes, centre, radius, to.role(Role::wheel), to.ghost ? 1.0 : 3.0, !to.ghost);
  // From the front it leans with the body that carries it.
  const Pose& pose = at(to.poses, wheel.at.body);
  const Vec2 ahead_B =
      to.linkage.plane == Plane::top ? wheel.ahead.value_or(Vec2::UnitX()).normalized() : Vec2(Vec2::UnitY());
  const Vec2 ahead = in_chassis(pose, ahead_B) - pose.p_CB;
  const Vec2 side = drawn_width_mm(wheel.tyre) / 2 * Vec2(-ahead.y(), ahead.x());
  add(to.shapes, Area{tyre_outline(centre, radius * ahead, side), to.role(Role::wheel), false});
}

/// Its wheels and parts, the lowest first.
std::vector<Shape> drawn(Drawing to) {
  for (const Wheel& wheel : to.linkage.wheels) add_wheel(to, wheel);
  if (!to.ghost) {
    for (const Slide& slide : to.linkage.slides) add_slide(to, slide);
    for (const Limit& limit : to.linkage.limits) add_limit(to, limit);
  }
  for (int b = 0; b < count(to.linkage.bodies); ++b) add_beams(to, b);
  for (int b = 0; b < count(to.linkage.bodies); ++b) add_holes(to, b);
  for (const Rod& rod : to.linkage.rods) add_rod(to, rod);
  for (const Spring& spring : to.linkage.springs) add_spring(to, spring);
  if (!to.ghost)
    for (const Pin& pin : to.linkage.pins)
      add(to.shapes, Disc{to.hole(pin.holes.front()), pin_radius * to.model.module_mm, Role::pin, true, 1});
  return std::move(to.shapes);
}

}  // namespace

Vec2 hole_point(const Linkage& linkage, const std::vector<Pose>& poses, HoleRef ref) {
  return in_chassis(at(poses, ref.body), at(at(linkage.bodies, ref.body).holes, ref.hole).p_B);
}

std::vector<Shape> linkage_shapes(const Model& model, const Linkage& linkage, const std::vector<Pose>& poses) {
  return drawn({model, linkage, poses});
}

std::vector<Shape> linkage_ghost(const Model& model, const Linkage& linkage, const std::vector<Pose>& poses) {
  return drawn({model, linkage, poses, true});
}

std::vector<Vec2> tyre_outline(const Vec2& centre, const Vec2& radius, const Vec2& half_width) {
  constexpr double tread = 0.7, shoulder = 0.85;  // where the corners are cut off
  std::vector<Vec2> points;
  for (const auto& [along, across] : {std::pair(1.0, tread),
                                      {shoulder, 1.0},
                                      {-shoulder, 1.0},
                                      {-1.0, tread},
                                      {-1.0, -tread},
                                      {-shoulder, -1.0},
                                      {shoulder, -1.0},
                                      {1.0, -tread}})
    points.push_back(centre + along * radius + across * half_width);
  return points;
}

void add_wheel_disc(std::vector<Shape>& shapes, const Vec2& centre, double radius_mm, Role role, double edge_px,
                    bool rim) {
  constexpr double rim_share = 0.62;
  add(shapes, Disc{centre, radius_mm, role, false, edge_px});
  if (rim) add(shapes, Disc{centre, rim_share * radius_mm, role, false, 1});
}

std::vector<Shape> grid_shapes(double module_mm, const Box& box, int around_modules) {
  std::vector<Shape> dots;
  const double m = module_mm;
  const auto low = [&](double x) { return static_cast<int>(std::floor(x / m)) - around_modules; };
  const auto high = [&](double x) { return static_cast<int>(std::ceil(x / m)) + around_modules; };
  const double columns = high(box.high.x()) - low(box.low.x()) + 1, rows = high(box.high.y()) - low(box.low.y()) + 1;
  if (columns * rows > most_dots) return dots;
  for (int v = low(box.low.y()); v <= high(box.high.y()); ++v)
    for (int u = low(box.low.x()); u <= high(box.high.x()); ++u)
      add(dots, Disc{m * Vec2(u, v), u == 0 && v == 0 ? 0.12 * m : 0.07 * m, Role::grid, true, 0});
  return dots;
}

std::vector<Shape> ground_shapes(const Model& model, int corner_index, const std::vector<Pose>& poses,
                                 const VehicleResult* vehicle, const Box& box) {
  const Corner& corner = at(model.corners, corner_index);
  const Linkage& linkage = at(model.linkages, corner.linkage);
  if (linkage.plane == Plane::top || linkage.wheels.empty()) return {};
  const double m = model.module_mm;
  const double left = box.low.x() - m, right = box.high.x() + m;
  double lowest = std::numeric_limits<double>::infinity();
  for (const Wheel& wheel : linkage.wheels)
    lowest = std::min(lowest, hole_point(linkage, poses, wheel.at).y() - wheel.tyre.diameter_mm / 2);
  const auto ground = [&](double u) {
    if (!vehicle) return Vec2(u, lowest);
    // height = h - sin p x + cos p (sin r y + cos r z) = 0, solved for z
    const double p = vehicle->pitch_deg * rad_per_deg, r = vehicle->roll_deg * rad_per_deg;
    const Vec3 at = on_vehicle(corner, linkage.plane, Vec2(u, 0));
    const double z = (std::sin(p) * at.x() - vehicle->height_mm) / std::cos(p) / std::cos(r) - std::tan(r) * at.y();
    return Vec2(u, z - corner.at_mm.z());
  };
  const Vec2 a = ground(left), b = ground(right);
  std::vector<Shape> shapes;
  add(shapes, Line{{a, b}, Role::ground_line, 2.5, false});
  // Hatching says that it is the ground, without colour.
  const int strokes = std::min(static_cast<int>((right - left) / m), most_strokes);
  for (int i = 0; i <= strokes; ++i) {
    const Vec2 top = a + (b - a) * (i + 0.5) / (strokes + 1);
    add(shapes, Line{{top, top + stroke_modules * m * Vec2(-1, -1)}, Role::ground_line, 1, false});
  }
  return shapes;
}

std::string linkage_caption(const Model& model, int corner_index) {
  const Corner& corner = at(model.corners, corner_index);
  const Linkage& linkage = at(model.linkages, corner.linkage);
  const char* plane = linkage.plane == Plane::side    ? "from the side: u forward, v up"
                      : linkage.plane == Plane::front ? "from the front: u to the vehicle's left, v up"
                                                      : "from above: u forward, v left";
  return fmt::format("{}, linkage {}, {}; dots {:g} mm apart{}", corner.name, linkage.name, plane, model.module_mm,
                     corner.flip ? "\ndrawn as in the file: it sits mirrored in the vehicle" : "");
}

}  // namespace ridepitch
