#include "picture/linkage_picture.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include <fmt/format.h>

#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "state/steering_place.hpp"
#include "state/travel_place.hpp"

namespace ridepitch::view {
namespace {

auto& at(auto& list, int index) { return list[static_cast<std::size_t>(index)]; }
int count(const auto& list) { return static_cast<int>(list.size()); }

// A beam is one module wide less 0.2 mm: docs/model-format.md, "A linkage". A hole takes 0.6 of a module, a usual part's.
constexpr double beam_gap_mm = 0.2;
constexpr double hole_share = 0.3;
constexpr int grid_margin_modules = 3;
constexpr double usual_coil_mm = 14;
constexpr double turn_mm = 6.5;  // of free length for one drawn turn

Vec2 hole_point(const Linkage& linkage, const std::vector<Pose>& poses, HoleRef ref) {
  return in_chassis(at(poses, ref.body), at(at(linkage.bodies, ref.body).holes, ref.hole).p_B);
}

/// The chains of holes that a body's beams run through.
std::vector<std::vector<int>> chains_of(const Body& body, bool is_chassis) {
  if (!body.shape.empty() || is_chassis) return body.shape;
  std::vector<int> all;
  for (int h = 0; h < count(body.holes); ++h) all.push_back(h);
  return {all};
}

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
  double module() const { return model.module_mm; }

  Vec2 hole(HoleRef ref) const { return hole_point(linkage, poses, ref); }

  void beams(int body, Role role, bool filled) {
    const double radius = (module() - beam_gap_mm) / 2;
    for (const std::vector<int>& chain : chains_of(at(linkage.bodies, body), body == chassis)) {
      for (std::size_t i = 0; i + 1 < chain.size(); ++i)
        add(Area{beam_outline(hole({body, chain[i]}), hole({body, chain[i + 1]}), radius), role, filled});
      if (chain.size() == 1)
        add(Area{beam_outline(hole({body, chain[0]}), hole({body, chain[0]}), radius), role, filled});
    }
  }

  void holes(int body) {
    for (int h = 0; h < count(at(linkage.bodies, body).holes); ++h) {
      const Vec2 p = hole({body, h});
      if (body == chassis) add(Disc{p, 0.45 * module(), Role::chassis, true, 1.5});
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
    if (const auto* coil = std::get_if<Coil>(&each.data)) {
      const Vec2 a = hole(each.from), b = hole(each.to);
      const double diameter = coil->diameter_mm > 0 ? coil->diameter_mm : usual_coil_mm;
      const int turns = std::clamp(static_cast<int>(coil->free_mm / turn_mm), 4, 30);
      const double length = std::hypot((b - a).norm(), each.across_mm);
      const bool is_solid = length <= coil->solid_mm + 1e-6;
      const bool ghost = role_or_ghost == Role::ghost;
      const Role role = ghost ? Role::ghost : is_solid ? Role::solid : Role::coil;
      add(Line{coil_line(a, b, diameter, turns), role, ghost ? 1.0 : 2.0, ghost});
      if (!ghost)
        for (const Vec2& end : {a, b}) add(Disc{end, 0.32 * module(), role, true, 1});
    } else if (const auto* band = std::get_if<Band>(&each.data)) {
      const Vec2 a = hole(each.from), b = hole(each.to);
      const bool slack = std::hypot((b - a).norm(), each.across_mm) <= band->free_mm;
      const Vec2 along = (b - a).norm() > 1e-9 ? Vec2((b - a).normalized()) : Vec2(1, 0);
      const Vec2 side = 0.2 * module() * Vec2(-along.y(), along.x());
      for (const double s : {-1.0, 1.0})
        add(Line{{a + s * side, b + s * side},
                 role_or_ghost == Role::ghost ? Role::ghost : Role::band,
                 role_or_ghost == Role::ghost ? 1.0 : 2.5,
                 slack || role_or_ghost == Role::ghost});
    } else if (const auto* torsion = std::get_if<Torsion>(&each.data)) {
      // A small spiral about the first point that both bodies share, or the second body's grid.
      const Vec2 middle = turning_point(torsion->from, torsion->to);
      std::vector<Vec2> spiral;
      for (int i = 0; i <= 40; ++i) {
        const double angle = at(poses, torsion->to).theta_rad + i * 0.4, radius = (0.25 + 0.02 * i) * module();
        spiral.push_back(middle + radius * Vec2(std::cos(angle), std::sin(angle)));
      }
      add(Line{std::move(spiral), role_or_ghost == Role::ghost ? Role::ghost : Role::coil, 2, false});
    }
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
    const double width = each.tyre.width_mm > 0 ? each.tyre.width_mm : 0.4 * each.tyre.diameter_mm;
    const Vec2 side = width / 2 * Vec2(-along.y(), along.x());
    const Vec2 ahead = radius * along;
    add(Area{{centre + ahead + 0.7 * side, centre + 0.85 * ahead + side, centre - 0.85 * ahead + side,
              centre - ahead + 0.7 * side, centre - ahead - 0.7 * side, centre - 0.85 * ahead - side,
              centre + 0.85 * ahead - side, centre + ahead - 0.7 * side},
             role,
             false});
  }
};

/// Dots of the grid around everything that was drawn.
void draw_grid(Drawing& drawing, const Bounds& box) {
  const double m = drawing.module();
  const auto low = [&](double x) { return static_cast<int>(std::floor(x / m)) - grid_margin_modules; };
  const auto high = [&](double x) { return static_cast<int>(std::ceil(x / m)) + grid_margin_modules; };
  for (int v = low(box.low.y()); v <= high(box.high.y()); ++v)
    for (int u = low(box.low.x()); u <= high(box.high.x()); ++u)
      drawing.add(Disc{m * Vec2(u, v), u == 0 && v == 0 ? 0.12 * m : 0.07 * m, Role::grid, true, 0});
}

/// The floor as the chassis grid has it at rest: where the height of a point is 0. With a wheel raised by hand, level under
/// its tyre.
void draw_ground(Drawing& drawing, const Solved& solved, const LinkageLook& look, const Bounds& box, bool at_rest) {
  const Model& model = solved.model;
  const Corner& corner = at(model.corners, look.selection.corner);
  if (drawing.linkage.plane == Plane::top || drawing.linkage.wheels.empty()) return;
  const double m = drawing.module();
  const double left = box.low.x() - m, right = box.high.x() + m;
  std::vector<Vec2> line;
  if (solved.solution.vehicle && at_rest) {
    // height = h - sin p x + cos p (sin r y + cos r z), solved for v at both ends of the picture.
    const VehicleResult& vehicle = *solved.solution.vehicle;
    const double p = vehicle.pitch_deg * rad_per_deg, r = vehicle.roll_deg * rad_per_deg;
    for (const double u : {left, right}) {
      const Vec3 at = on_vehicle(corner, drawing.linkage.plane, Vec2(u, 0));
      const double z = (std::sin(p) * at.x() - vehicle.height_mm) / std::cos(p) / std::cos(r) - std::tan(r) * at.y();
      line.emplace_back(u, z - corner.at_mm.z());
    }
  } else {
    double lowest = std::numeric_limits<double>::infinity();
    for (const Wheel& wheel : drawing.linkage.wheels)
      lowest = std::min(lowest, drawing.hole(wheel.at).y() - wheel.tyre.diameter_mm / 2);
    line = {{left, lowest}, {right, lowest}};
  }
  const Vec2 a = line[0], b = line[1];
  drawing.add(Line{std::move(line), Role::ground, 2.5, false});
  // Hatching says that it is the ground, without colour.
  const int strokes = static_cast<int>((right - left) / m);
  for (int i = 0; i <= strokes; ++i) {
    const Vec2 top = a + (b - a) * (i + 0.5) / (strokes + 1);
    drawing.add(Line{{top, top + 0.6 * m * Vec2(-1, -1)}, Role::ground, 1, false});
  }
}

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
  Drawing ghost{look.before->model, linkage, poses};
  for (const Wheel& wheel : linkage.wheels) ghost.wheel(wheel, Role::ghost);
  for (int b = 0; b < count(linkage.bodies); ++b) {
    ghost.beams(b, Role::ghost, false);
    if (b == chassis)
      for (int h = 0; h < count(linkage.bodies[0].holes); ++h)
        ghost.add(Disc{ghost.hole({b, h}), 0.45 * ghost.module(), Role::ghost, false, 1});
  }
  for (const Rod& rod : linkage.rods) ghost.rod(rod, Role::ghost);
  for (const Spring& spring : linkage.springs) ghost.spring(spring, Role::ghost);
  drawing.add_all(ghost.picture.shapes);
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
  const double m = drawing.module();
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
    if (!std::holds_alternative<Torsion>(spring.data))
      along(spring.from, spring.to,
            fmt::format("{}: {} {}", spring.name, spring.count, spring.part.empty() ? "of its own" : spring.part));
  } else if (s.thing == Thing::wheel) {
    const Wheel& wheel = at(linkage.wheels, s.index);
    drawing.add(Mark{drawing.hole(wheel.at), Mark::Form::ring, 14, Role::selected});
    drawing.add(Label{drawing.hole(wheel.at), wheel.name, Role::text, Vec2(16, -10)});
  }
}

/// Every steered wheel's axis, to the point that the vehicle turns about.
void draw_turn(Drawing& drawing, const Solved& solved, const LinkageLook& look) {
  const Steering* steering = steering_of(solved, look.selection.corner);
  if (!steering || !look.drive) return;
  const SteerPoint& point = steering->sweep[nearest_drive(*steering, *look.drive)];
  if (!point.turn_centre_mm) return;
  const Corner& corner = at(solved.model.corners, look.selection.corner);
  const Vec2 from = *point.turn_centre_mm - corner.at_mm.head<2>();
  const Vec2 centre(corner.flip ? -from.x() : from.x(), from.y());
  for (const Wheel& wheel : drawing.linkage.wheels)
    drawing.add(Line{{drawing.hole(wheel.at), centre}, Role::path, 1, true});
  drawing.add(Mark{centre, Mark::Form::diamond, 7, Role::path});
  drawing.add(Label{centre, "turns about here", Role::quiet_text, Vec2(10, -8)});
}

std::string caption_of(const Model& model, const Linkage& linkage, const Corner& corner) {
  const char* plane = linkage.plane == Plane::side    ? "from the side: u forward, v up"
                      : linkage.plane == Plane::front ? "from the front: u to the vehicle's left, v up"
                                                      : "from above: u forward, v left";
  std::string text = fmt::format("{}, linkage {}, {}", corner.name, linkage.name, plane);
  text += fmt::format("; dots {:g} mm apart", model.module_mm);
  if (corner.flip) text += "\ndrawn as in the file: it sits mirrored in the vehicle";
  return text;
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

  Drawing parts{solved.model, linkage, poses};
  for (const Slide& slide : linkage.slides) parts.slide(slide);
  for (const Limit& limit : linkage.limits) parts.limit(limit);
  for (int b = 0; b < count(linkage.bodies); ++b) parts.beams(b, b == chassis ? Role::chassis : Role::body, true);
  for (int b = 0; b < count(linkage.bodies); ++b) parts.holes(b);
  for (const Rod& rod : linkage.rods) parts.rod(rod, Role::rod);
  for (const Spring& spring : linkage.springs) parts.spring(spring, Role::coil);
  parts.pins();

  Drawing wheels{solved.model, linkage, poses};
  for (const Wheel& wheel : linkage.wheels) wheels.wheel(wheel, Role::wheel);

  Picture all = wheels.picture;
  all.shapes.insert(all.shapes.end(), parts.picture.shapes.begin(), parts.picture.shapes.end());
  const Bounds box = bounds_of(all);
  Drawing whole{solved.model, linkage, poses};
  draw_grid(whole, box);
  const bool at_rest = !look.travel_mm || !curve_of(solved.solution, look.selection.corner, look.wheel);
  draw_ground(whole, solved, look, box, at_rest);
  if (look.before) draw_ghost(whole, solved, look);
  whole.add_all(all.shapes);
  draw_path(whole, solved, look);
  draw_turn(whole, solved, look);
  if (look.places) draw_places(whole, look);
  draw_selected(whole, look);
  if (look.refused_C_mm) {
    whole.add(Mark{*look.refused_C_mm, Mark::Form::cross, 9, Role::solid});
    whole.add(Label{*look.refused_C_mm, "does not go", Role::solid, Vec2(14, -8)});
  }
  whole.picture.caption = caption_of(solved.model, linkage, at(solved.model.corners, look.selection.corner));
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
      if (!std::holds_alternative<Torsion>(at(linkage.springs, i).data))
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
