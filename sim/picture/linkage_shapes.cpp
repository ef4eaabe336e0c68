#include "picture/linkage_shapes.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/pose.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

// A beam is one module wide less 0.2 mm: docs/model-format.md, "A linkage". A hole takes 0.6 of a module, a usual part's.
constexpr double beam_gap_mm = 0.2;
constexpr double hole_share = 0.3;
constexpr double most_dots = 1e5;  // more would be a grey field, and take for ever
constexpr int most_strokes = 1000;
constexpr double usual_coil_mm = 14;
constexpr double turn_mm = 6.5;  // of free length for one drawn turn

struct Drawing {
  const Model& model;
  const Linkage& linkage;
  const std::vector<Pose>& poses;
  std::vector<Shape> shapes = {};

  template <class Kind>
  void add(Kind shape) {
    ridepitch::add(shapes, std::move(shape));
  }
  double module() const { return model.module_mm; }

  Vec2 hole(HoleRef ref) const { return hole_point(linkage, poses, ref); }

  void beams(int body, Role role, bool filled) {
    const double radius = (module() - beam_gap_mm) / 2;
    for (const std::vector<int>& chain : beam_chains(linkage, body)) {
      for (std::size_t i = 0; i + 1 < chain.size(); ++i)
        add(Area{beam_outline(hole({body, chain[i]}), hole({body, chain[i + 1]}), radius), role, filled});
      if (chain.size() == 1)
        add(Area{beam_outline(hole({body, chain[0]}), hole({body, chain[0]}), radius), role, filled});
    }
  }

  void holes(int body) {
    for (int h = 0; h < count(at(linkage.bodies, body).holes); ++h) {
      const Vec2 p = hole({body, h});
      if (body == chassis) add(Disc{p, 0.45 * module(), Role::chassis_part, true, 1.5});
      add(Disc{p, hole_share * module(), Role::hole, true, 1});
    }
  }

  void pins() {
    for (const Pin& pin : linkage.pins) {
      const Vec2 p = hole(pin.holes.front());
      add(Disc{p, 0.24 * module(), Role::pin, true, 1});
    }
  }

  void rod(const Rod& each, Role role) {
    const Vec2 a = hole(each.from), b = hole(each.to);
    add(Area{beam_outline(a, b, 0.17 * module()), role, role != Role::ghost});
    if (role == Role::ghost) return;
    for (const Vec2& end : {a, b}) add(Disc{end, 0.3 * module(), role, true, 1});
  }

  void spring(const Spring& each, Role role_or_ghost) {
    const bool ghost = role_or_ghost == Role::ghost;
    const auto role_of = [&](Role role) { return ghost ? Role::ghost : role; };
    if (const auto bodies = turned_bodies(each.data)) return spiral((*bodies)[0], (*bodies)[1], role_of(Role::coil));
    const SpringTraits traits = traits_of(each.data);
    const Vec2 a = hole(each.from), b = hole(each.to);
    const double length = std::hypot((b - a).norm(), each.across_mm);
    if (traits.law.pulls) {
      const bool slack = length <= traits.law.free_mm;
      const Vec2 along = (b - a).norm() > 1e-9 ? Vec2((b - a).normalized()) : Vec2(1, 0);
      const Vec2 side = 0.2 * module() * Vec2(-along.y(), along.x());
      for (const double s : {-1.0, 1.0})
        add(Line{{a + s * side, b + s * side}, role_of(Role::band), ghost ? 1.0 : 2.5, slack || ghost});
      return;
    }
    const int turns = std::clamp(static_cast<int>(traits.law.free_mm / turn_mm), 4, 30);
    const Role role = role_of(length <= traits.law.solid_mm + 1e-6 ? Role::solid : Role::coil);
    add(Line{coil_line(a, b, traits.width_mm > 0 ? traits.width_mm : usual_coil_mm, turns), role, ghost ? 1.0 : 2.0,
             ghost});
    if (!ghost)
      for (const Vec2& end : {a, b}) add(Disc{end, 0.32 * module(), role, true, 1});
  }

  /// A small spiral about the first point that both bodies share, or the second body's grid.
  void spiral(int from, int to, Role role) {
    const Vec2 middle = turning_point(from, to);
    std::vector<Vec2> points;
    for (int i = 0; i <= 40; ++i) {
      const double angle = at(poses, to).theta_rad + i * 0.4, radius = (0.25 + 0.02 * i) * module();
      points.push_back(middle + radius * Vec2(std::cos(angle), std::sin(angle)));
    }
    add(Line{std::move(points), role, 2, false});
  }

  Vec2 turning_point(int one, int other) const {
    for (const Pin& pin : linkage.pins) {
      bool has_one = false, has_other = false;
      for (const HoleRef& ref : pin.holes) {
        has_one = has_one || ref.body == one;
        has_other = has_other || ref.body == other;
      }
      if (has_one && has_other) return hole(pin.holes.front());
    }
    return at(poses, other).p_CB;
  }

  void limit(const Limit& each) {
    const Vec2 a = hole(each.from), b = hole(each.to);
    const double length = std::hypot((b - a).norm(), each.across_mm);
    const bool met = (each.max_mm && length >= *each.max_mm - 1e-6) || (each.min_mm && length <= *each.min_mm + 1e-6);
    add(Line{{a, b}, met ? Role::solid : Role::limit, met ? 2.5 : 1.5, !met});
  }

  void slide(const Slide& each) {
    const Vec2 through = hole(each.through);
    const double low = each.stroke_mm ? (*each.stroke_mm)[0] : -3 * module();
    const double high = each.stroke_mm ? (*each.stroke_mm)[1] : 3 * module();
    const Vec2 side = 0.5 * module() * Vec2(-each.along.y(), each.along.x());
    for (const double s : {-1.0, 1.0})
      add(Line{
          {through + low * each.along + s * side, through + high * each.along + s * side}, Role::slide, 1.5, false});
    if (each.stroke_mm)
      for (const double end : {low, high})
        add(Line{{through + end * each.along - side, through + end * each.along + side}, Role::slide, 2.5, false});
  }

  /// Seen from the side a wheel is a disc, from the front or above a box with round corners.
  void wheel(const Wheel& each, Role role) {
    const Vec2 centre = hole(each.at);
    const double radius = each.tyre.diameter_mm / 2;
    if (linkage.plane == Plane::side) {
      add(Disc{centre, radius, role, false, role == Role::ghost ? 1.0 : 3.0});
      if (role != Role::ghost) add(Disc{centre, 0.62 * radius, role, false, 1});
      return;
    }
    const Pose& pose = at(poses, each.at.body);
    Vec2 along = Vec2::UnitY();
    if (linkage.plane == Plane::top) {
      const Vec2 ahead = each.ahead.value_or(Vec2::UnitX()).normalized();
      along = in_chassis(pose, ahead) - pose.p_CB;
    } else {
      along = in_chassis(pose, Vec2::UnitY()) - pose.p_CB;  // it leans with the body that carries it
    }
    const double width = drawn_width_mm(each.tyre);
    const Vec2 side = width / 2 * Vec2(-along.y(), along.x());
    const Vec2 ahead = radius * along;
    add(Area{{centre + ahead + 0.7 * side, centre + 0.85 * ahead + side, centre - 0.85 * ahead + side,
              centre - ahead + 0.7 * side, centre - ahead - 0.7 * side, centre - 0.85 * ahead - side,
              centre + 0.85 * ahead - side, centre + ahead - 0.7 * side},
             role,
             false});
  }
};

}  // namespace

Vec2 hole_point(const Linkage& linkage, const std::vector<Pose>& poses, HoleRef ref) {
  return in_chassis(at(poses, ref.body), at(at(linkage.bodies, ref.body).holes, ref.hole).p_B);
}

std::vector<std::vector<int>> beam_chains(const Linkage& linkage, int body) {
  const Body& each = at(linkage.bodies, body);
  if (!each.shape.empty() || body == chassis) return each.shape;
  std::vector<int> all;
  for (int h = 0; h < count(each.holes); ++h) all.push_back(h);
  return {all};
}

std::vector<Shape> linkage_shapes(const Model& model, const Linkage& linkage, const std::vector<Pose>& poses) {
  Drawing parts{model, linkage, poses};
  for (const Wheel& wheel : linkage.wheels) parts.wheel(wheel, Role::wheel);
  for (const Slide& slide : linkage.slides) parts.slide(slide);
  for (const Limit& limit : linkage.limits) parts.limit(limit);
  for (int b = 0; b < count(linkage.bodies); ++b) parts.beams(b, b == chassis ? Role::chassis_part : Role::body, true);
  for (int b = 0; b < count(linkage.bodies); ++b) parts.holes(b);
  for (const Rod& rod : linkage.rods) parts.rod(rod, Role::rod);
  for (const Spring& spring : linkage.springs) parts.spring(spring, Role::coil);
  parts.pins();
  return std::move(parts.shapes);
}

std::vector<Shape> linkage_ghost(const Model& model, const Linkage& linkage, const std::vector<Pose>& poses) {
  Drawing ghost{model, linkage, poses};
  for (const Wheel& wheel : linkage.wheels) ghost.wheel(wheel, Role::ghost);
  for (int b = 0; b < count(linkage.bodies); ++b) {
    ghost.beams(b, Role::ghost, false);
    if (b == chassis)
      for (int h = 0; h < count(linkage.bodies[0].holes); ++h)
        ghost.add(Disc{ghost.hole({b, h}), 0.45 * ghost.module(), Role::ghost, false, 1});
  }
  for (const Rod& rod : linkage.rods) ghost.rod(rod, Role::ghost);
  for (const Spring& spring : linkage.springs) ghost.spring(spring, Role::ghost);
  return std::move(ghost.shapes);
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
  std::vector<Vec2> line;
  if (vehicle) {
    // height = h - sin p x + cos p (sin r y + cos r z), solved for v at both ends of the picture.
    const double p = vehicle->pitch_deg * rad_per_deg, r = vehicle->roll_deg * rad_per_deg;
    for (const double u : {left, right}) {
      const Vec3 at = on_vehicle(corner, linkage.plane, Vec2(u, 0));
      const double z = (std::sin(p) * at.x() - vehicle->height_mm) / std::cos(p) / std::cos(r) - std::tan(r) * at.y();
      line.emplace_back(u, z - corner.at_mm.z());
    }
  } else {
    double lowest = std::numeric_limits<double>::infinity();
    for (const Wheel& wheel : linkage.wheels)
      lowest = std::min(lowest, hole_point(linkage, poses, wheel.at).y() - wheel.tyre.diameter_mm / 2);
    line = {{left, lowest}, {right, lowest}};
  }
  const Vec2 a = line[0], b = line[1];
  std::vector<Shape> shapes;
  add(shapes, Line{std::move(line), Role::ground_line, 2.5, false});
  // Hatching says that it is the ground, without colour.
  const int strokes = std::min(static_cast<int>((right - left) / m), most_strokes);
  for (int i = 0; i <= strokes; ++i) {
    const Vec2 top = a + (b - a) * (i + 0.5) / (strokes + 1);
    add(shapes, Line{{top, top + 0.6 * m * Vec2(-1, -1)}, Role::ground_line, 1, false});
  }
  return shapes;
}

std::string linkage_caption(const Model& model, int corner_index) {
  const Corner& corner = at(model.corners, corner_index);
  const Linkage& linkage = at(model.linkages, corner.linkage);
  const char* plane = linkage.plane == Plane::side    ? "from the side: u forward, v up"
                      : linkage.plane == Plane::front ? "from the front: u to the vehicle's left, v up"
                                                      : "from above: u forward, v left";
  std::string text = fmt::format("{}, linkage {}, {}", corner.name, linkage.name, plane);
  text += fmt::format("; dots {:g} mm apart", model.module_mm);
  if (corner.flip) text += "\ndrawn as in the file: it sits mirrored in the vehicle";
  return text;
}

}  // namespace ridepitch
