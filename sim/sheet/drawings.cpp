#include "sheet/drawings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>

#include "model/index.hpp"
#include "model/units.hpp"
#include "picture/linkage_shapes.hpp"
#include "ride/pose.hpp"
#include "sheet/ink.hpp"
#include "sheet/labels_off_ink.hpp"
#include "spring/spring_traits.hpp"
#include "swap/place_words.hpp"
#include "swap/spring_words.hpp"
#include "words/number.hpp"

namespace ridepitch {
namespace {

// ISO 5455 has 1:1, 1:2, 1:5, 1:10 and so on; 1:3 and 1:4 lie between, so that a drawing is not half as large as it could be.
constexpr std::array<int, 19> scales = {1,   2,    3,    4,    5,     10,    20,    50,     100,   200,
                                        500, 1000, 2000, 5000, 10000, 20000, 50000, 100000, 200000};

// On paper [mm].
constexpr double edge_mm = 7;         // around a drawing: for labels
constexpr double grid_strip_mm = 6;   // left and below: for the numbers of the grid
constexpr double ruler_strip_mm = 6;  // under it all
constexpr double label_height_mm = 3.1;
constexpr double ring_mm = 5.2;
constexpr double least_number_gap_mm = 6, least_dot_gap_mm = 0.7;
constexpr double least_seen_mm = 0.5;  // two lines that are nearer print as one

LabelWish words_wish(const std::string& text, std::vector<Vec2> about_mm, double off_mm) {
  return {text, std::move(about_mm), Vec2(text_width_mm(text, Face::small) + 1.2, label_height_mm), off_mm, false};
}

/// Length of the bar that tells whether a print is true.
double ruler_for(double width_mm) { return width_mm >= 100 ? 100 : 50; }

InkMap ink_of(const SheetDrawing& drawing) {
  InkMap map = ink_map(drawing.size_mm);
  const auto paper = [&](const Vec2& p) { return on_paper(drawing, p); };
  const auto line = [&](const std::vector<Vec2>& points, bool closed) {
    for (std::size_t i = 0; i + 1 < points.size(); ++i) ink_line(map, paper(points[i]), paper(points[i + 1]));
    if (closed && points.size() > 2) ink_line(map, paper(points.back()), paper(points.front()));
  };
  for (const Shape& shape : drawing.picture.shapes) {
    if (const auto* area = std::get_if<Area>(&shape)) {
      line(area->points, true);
      const bool solid = area->role == Role::body || area->role == Role::rod || area->role == Role::chassis_part;
      if (!area->filled || !solid) continue;
      std::vector<Vec2> points;
      for (const Vec2& p : area->points) points.push_back(paper(p));
      ink_area(map, points);
    } else if (const auto* each = std::get_if<Line>(&shape)) {
      line(each->points, false);
    } else if (const auto* disc = std::get_if<Disc>(&shape)) {
      if (disc->role != Role::grid) ink_disc(map, paper(disc->centre), disc->radius_mm / drawing.reduced);
    } else if (const auto* mark = std::get_if<Mark>(&shape)) {
      ink_disc(map, paper(mark->at), 1.5);
    }
  }
  for (const SheetArrow& arrow : drawing.arrows) ink_line(map, paper(arrow.from_mm), paper(arrow.to_mm));
  for (const SheetDimension& each : drawing.dimensions) ink_line(map, paper(each.from_mm), paper(each.to_mm));
  return map;
}

/// Numbers of modules along the lower and the left edge of the grid.
void number_grid(SheetDrawing& drawing, double module_mm, const Box& grid) {
  // 1, 2, 5, 10, 20 and so on.
  int step = 1;
  for (int i = 0; step * module_mm / drawing.reduced < least_number_gap_mm && i < 24; ++i)
    step = i % 3 == 1 ? step / 2 * 5 : step * 2;
  const double bottom = on_paper(drawing, grid.low).y() + grid_strip_mm / 2 + 0.8;
  const double left = on_paper(drawing, grid.low).x() - grid_strip_mm / 2;
  const auto add = [&](const Vec2& middle, int n) {
    const std::string text = std::to_string(n);
    const Vec2 half(text_width_mm(text, Face::small) / 2, label_height_mm / 2);
    drawing.grid_numbers.push_back({text, {middle - half, middle + half}, middle, false, false});
  };
  const auto first = [&](double mm) { return static_cast<int>(std::ceil(mm / module_mm / step - 1e-9)) * step; };
  for (int n = first(grid.low.x()); n * module_mm <= grid.high.x() + 1e-9; n += step)
    add({on_paper(drawing, Vec2(n * module_mm, 0)).x(), bottom}, n);
  for (int n = first(grid.low.y()); n * module_mm <= grid.high.y() + 1e-9; n += step)
    add({left, on_paper(drawing, Vec2(0, n * module_mm)).y()}, n);
}

Box both(const Box& a, const Box& b) { return {a.low.cwiseMin(b.low), a.high.cwiseMax(b.high)}; }

const Linkage& linkage_of(const StandingLinkage& standing) {
  return at(standing.model.linkages, at(standing.model.corners, standing.corner).linkage);
}
const std::vector<Pose>& poses_of(const StandingLinkage& standing) {
  return at(standing.solution.corners, standing.corner).poses;
}
Vec2 hole_of(const StandingLinkage& standing, HoleRef ref) {
  return hole_point(linkage_of(standing), poses_of(standing), ref);
}

/// The middle between two holes, then places on either side of it.
std::vector<Vec2> between(const StandingLinkage& standing, HoleRef from, HoleRef to) {
  const Vec2 a = hole_of(standing, from), b = hole_of(standing, to);
  std::vector<Vec2> places;
  for (const double share : {0.5, 0.35, 0.65, 0.25, 0.75}) places.push_back(a + share * (b - a));
  return places;
}

std::vector<Vec2> spring_places(const StandingLinkage& standing, const Spring& spring) {
  if (const auto bodies = turned_bodies(spring.data)) return {at(poses_of(standing), (*bodies)[1]).p_CB};
  return between(standing, spring.from, spring.to);
}

/// From a spring's line to the edge of its drawing, on paper.
double spring_edge_mm(const Spring& spring, int reduced) {
  const double width_mm = traits_of(spring.data).width_mm;
  return (width_mm > 0 ? width_mm / 2 : 3) / reduced;
}

std::vector<Vec2> body_places(const StandingLinkage& standing, int body) {
  std::vector<Vec2> places;
  for (const std::vector<int>& chain : beam_chains(linkage_of(standing), body))
    for (std::size_t i = 0; i + 1 < chain.size(); ++i)
      for (const Vec2& p : between(standing, {body, chain[i]}, {body, chain[i + 1]})) places.push_back(p);
  if (!places.empty()) return places;
  if (at(linkage_of(standing).bodies, body).holes.empty()) return {at(poses_of(standing), body).p_CB};
  return {hole_of(standing, {body, 0})};
}

/// Where the thing of a change may be pointed at, and how far from there its drawing reaches on paper.
struct PointedAt {
  std::vector<Vec2> places;
  double reach_mm = 1;
};

PointedAt pointed_at(const StandingLinkage& standing, ChangedThing kind, int index, int reduced) {
  const Linkage& linkage = linkage_of(standing);
  const double half_beam_mm = 0.5 * standing.model.module_mm / reduced;
  switch (kind) {
    case ChangedThing::rod:
      return {between(standing, at(linkage.rods, index).from, at(linkage.rods, index).to), half_beam_mm / 2};
    case ChangedThing::spring:
      return {spring_places(standing, at(linkage.springs, index)), spring_edge_mm(at(linkage.springs, index), reduced)};
    case ChangedThing::limit:
      return {between(standing, at(linkage.limits, index).from, at(linkage.limits, index).to)};
    case ChangedThing::slide:
      return {{hole_of(standing, at(linkage.slides, index).through)}, half_beam_mm};
    case ChangedThing::pin:
      return {{hole_of(standing, at(linkage.pins, index).holes.front())}, half_beam_mm};
    case ChangedThing::wheel: {
      // At the rim, so that it is not taken for the hole that the wheel sits at.
      const Wheel& wheel = at(linkage.wheels, index);
      const double rim_mm = linkage.plane == Plane::side ? wheel.tyre.diameter_mm / 2 : 0;
      std::vector<Vec2> places;
      for (const Vec2& way : {Vec2(1, 0), Vec2(0, 1), Vec2(-1, 0)})
        places.push_back(hole_of(standing, wheel.at) + rim_mm * way);
      return {places, 0.5};
    }
    case ChangedThing::body:
      return {body_places(standing, index), half_beam_mm};
    case ChangedThing::hole:
    case ChangedThing::elsewhere:
      break;
  }
  return {{Vec2::Zero()}};
}

std::vector<Vec2> all_on_paper(const SheetDrawing& drawing, const std::vector<Vec2>& places) {
  std::vector<Vec2> out;
  for (const Vec2& p : places) out.push_back(on_paper(drawing, p));
  return out;
}
/// Arrows and callouts of changes, and where each callout points.
std::vector<LabelWish> call_out(SheetDrawing& drawing, const StandingLinkage& now,
                                const std::optional<StandingLinkage>& before, const std::vector<SheetChange>& changes) {
  std::vector<LabelWish> wishes;
  const auto ring = [&](const SheetChange& change, const PointedAt& at) {
    wishes.push_back({std::to_string(change.number), all_on_paper(drawing, at.places), Vec2(ring_mm, ring_mm),
                      at.reach_mm + 0.5, true});
  };
  for (const SheetChange& change : changes) {
    if (change.kind == ChangedThing::hole && change.before.hole < 0) {
      ring(change, {{hole_of(now, change.after)}, 0.5 * now.model.module_mm / drawing.reduced});
    } else if (change.kind == ChangedThing::hole && before) {
      // Both places on the body as it lies now: that is where the pin is taken out and put in.
      const Vec2 old_B = at(at(linkage_of(*before).bodies, change.before.body).holes, change.before.hole).p_B;
      const Vec2 from = in_chassis(at(poses_of(now), change.after.body), old_B);
      const Vec2 to = hole_of(now, change.after);
      add(drawing.picture.shapes, Disc{from, 0.45 * now.model.module_mm, Role::ghost, false, 1});
      drawing.arrows.push_back({from, to});
      ring(change, {{to}, 0.5 * now.model.module_mm / drawing.reduced});
    } else if (change.after.hole >= 0) {
      ring(change, pointed_at(now, change.kind, change.after.hole, drawing.reduced));
    } else if (change.before.hole >= 0 && before) {
      ring(change, pointed_at(*before, change.kind, change.before.hole, drawing.reduced));
    }
  }
  return wishes;
}

/// Names of what a builder looks for: the holes of the chassis with their places, bodies, rods, straps and springs.
void name_parts(std::vector<LabelWish>& wishes, const SheetDrawing& drawing, const StandingLinkage& now) {
  const Linkage& linkage = linkage_of(now);
  const double m = now.model.module_mm, half_beam_mm = 0.5 * m / drawing.reduced;
  const auto name = [&](const std::string& text, const std::vector<Vec2>& places, double off_mm) {
    wishes.push_back(words_wish(text, all_on_paper(drawing, places), off_mm));
  };
  std::vector<Vec2> named;
  for (const Hole& hole : linkage.bodies[0].holes) {
    const bool known =
        std::any_of(named.begin(), named.end(), [&](const Vec2& p) { return (p - hole.p_B).norm() < 1e-6; });
    if (!known) name(hole.name + " " + place_words(hole.p_B, m), {hole.p_B}, half_beam_mm + 0.2);
    named.push_back(hole.p_B);
  }
  for (int b = 1; b < count(linkage.bodies); ++b)
    if (!at(linkage.bodies, b).holes.empty()) name(at(linkage.bodies, b).name, body_places(now, b), half_beam_mm + 0.2);
  for (const Rod& rod : linkage.rods)
    name(fmt::format("{}: {:g} modules", rod.name, rod.length_mm / m), between(now, rod.from, rod.to),
         half_beam_mm / 2 + 0.4);
  for (const Limit& limit : linkage.limits) name(limit.name, between(now, limit.from, limit.to), 0.5);
  for (const Spring& spring : linkage.springs)
    name(spring.name + ": " + spring_words(spring), spring_places(now, spring),
         spring_edge_mm(spring, drawing.reduced) + 0.4);
}

}  // namespace

SheetDrawing linkage_drawing(const StandingLinkage& now, const std::optional<StandingLinkage>& before,
                             const std::vector<SheetChange>& changes, const Vec2& space_mm) {
  const Linkage& linkage = linkage_of(now);
  const double m = now.model.module_mm;
  const std::vector<Shape> parts = linkage_shapes(now.model, linkage, poses_of(now));
  const std::vector<Shape> ghost =
      before ? linkage_ghost(before->model, linkage_of(*before), poses_of(*before)) : std::vector<Shape>();
  Box box = bounds_of(parts);
  if (!ghost.empty()) box = both(box, bounds_of(ghost));
  const VehicleResult* vehicle = now.solution.vehicle ? &*now.solution.vehicle : nullptr;
  const std::vector<Shape> floor_line = ground_shapes(now.model, now.corner, poses_of(now), vehicle, box);

  SheetDrawing drawing;
  const Box grid{m * ((box.low / m).array().floor() - 1).matrix(), m * ((box.high / m).array().ceil() + 1).matrix()};
  Box all = grid;
  if (!floor_line.empty()) all = both(all, bounds_of(floor_line));
  const Vec2 around(2 * edge_mm + grid_strip_mm, 2 * edge_mm + grid_strip_mm + ruler_strip_mm);
  const Vec2 size = all.high - all.low;
  for (const int each : scales) {
    drawing.reduced = each;
    if ((size / each + around - space_mm).maxCoeff() <= 0) break;
  }
  if (m / drawing.reduced >= least_dot_gap_mm) drawing.picture.shapes = grid_shapes(m, box, 1);
  for (const std::vector<Shape>* each : {&floor_line, &ghost, &parts})
    drawing.picture.shapes.insert(drawing.picture.shapes.end(), each->begin(), each->end());
  drawing.size_mm = Vec2(space_mm.x(), size.y() / drawing.reduced + around.y());
  const double left = (space_mm.x() - size.x() / drawing.reduced - grid_strip_mm) / 2 + grid_strip_mm;
  drawing.origin_mm = Vec2(left - all.low.x() / drawing.reduced, edge_mm + all.high.y() / drawing.reduced);

  number_grid(drawing, m, grid);
  std::vector<LabelWish> wishes = call_out(drawing, now, before, changes);
  if (before) {
    // Beside the wheel or body of before that lies farthest from where it is now.
    const Linkage& then = linkage_of(*before);
    Vec2 about = hole_of(*before, {0, 0});
    double most = -1;
    for (int b = 0; b < count(then.bodies); ++b)
      for (int h = 0; h < count(at(then.bodies, b).holes); ++h)
        for (int other = 0; other < count(linkage.bodies); ++other) {
          if (at(linkage.bodies, other).name != at(then.bodies, b).name || h >= count(at(linkage.bodies, other).holes))
            continue;
          const Vec2 was = hole_of(*before, {b, h});
          const double off = (was - hole_of(now, {other, h})).norm();
          if (off <= most) continue;
          most = off;
          about = was;
        }
    wishes.push_back(words_wish("before (dashed)", {on_paper(drawing, about)}, 0.5 * m / drawing.reduced));
  }
  name_parts(wishes, drawing, now);

  const double low = on_paper(drawing, all.low).y();
  const Box room{Vec2(0.5, 0.5), Vec2(space_mm.x() - 0.5, low + edge_mm)};
  InkMap ink = ink_of(drawing);
  for (const SheetLabel& number : drawing.grid_numbers) {
    ink_line(ink, number.box.low, number.box.high);
    ink_area(ink, {number.box.low, Vec2(number.box.high.x(), number.box.low.y()), number.box.high,
                   Vec2(number.box.low.x(), number.box.high.y())});
  }
  drawing.labels = labels_off_ink(wishes, ink, room);

  drawing.ruler_mm = ruler_for(space_mm.x());
  drawing.ruler_at_mm = Vec2(0, drawing.size_mm.y() - 2.5);
  drawing.ruler_words = fmt::format("{:g} mm on a true print", drawing.ruler_mm);
  if (drawing.reduced > 1)
    drawing.ruler_words += fmt::format(", {:g} mm of the model", drawing.ruler_mm * drawing.reduced);
  return drawing;
}

// --------------------------------------------------------------------------------------- vehicle

namespace {

struct VehicleSpace {
  Box box;
  Vec2 around_mm = Vec2(2 * edge_mm, edge_mm + 9);
};

/// Where a wheel stands, and what a scale under it reads.
struct Foot {
  double across_mm = 0, depth_mm = 0;  ///< of the picture; towards who looks
  double load_n = 0;
};

/// Of the nearer half; of wheels behind each other the nearest.
std::vector<Foot> feet_seen(const ModelAtRest& now, Seen seen) {
  std::vector<Foot> feet;
  for (int c = 0; c < count(now.model.corners); ++c) {
    if (!nearer_half(now.model, c, seen)) continue;
    for (const WheelResult& wheel : at(now.solution.corners, c).wheels) {
      if (!wheel.ground_load_n) continue;
      const Vec3& p = wheel.contact_mm;
      const Foot foot = seen == Seen::from_side ? Foot{p.x(), -p.y(), *wheel.ground_load_n}
                                                : Foot{p.y(), p.x(), *wheel.ground_load_n};
      const double apart_mm = 10;  // labels of two that are nearer could not be told apart
      const auto behind = std::find_if(feet.begin(), feet.end(), [&](const Foot& other) {
        return std::abs(other.across_mm - foot.across_mm) < apart_mm;
      });
      if (behind == feet.end())
        feet.push_back(foot);
      else if (behind->depth_mm < foot.depth_mm)
        *behind = foot;
    }
  }
  return feet;
}

/// Beside the line of a height: its middle, then other places on it.
std::vector<Vec2> beside(const SheetDrawing& drawing, const Vec2& top_mm) {
  std::vector<Vec2> places;
  for (const double share : {0.5, 0.7, 0.3, 1.0})
    places.push_back(on_paper(drawing, Vec2(top_mm.x(), share * top_mm.y())));
  return places;
}

VehicleSpace space_of(const Picture& picture) { return {bounds_of(picture.shapes)}; }

}  // namespace

bool stands_elsewhere(const ModelAtRest& before, const ModelAtRest& now, int reduced) {
  const auto lines_of = [&](const ModelAtRest& each) {
    std::vector<Vec2> points;
    if (!each.solution.vehicle) return points;
    for (const Mass& mass : each.model.masses)
      for (const double sign : {-0.5, 0.5})
        points.push_back(seen_point(*each.solution.vehicle, Seen::from_side,
                                    mass.at_mm + sign * mass.size_mm.value_or(Vec3::Zero())));
    return points;
  };
  const std::vector<Vec2> a = lines_of(before), b = lines_of(now);
  if (a.size() != b.size()) return true;
  for (std::size_t i = 0; i < a.size(); ++i)
    if ((a[i] - b[i]).norm() / reduced > least_seen_mm) return true;
  return false;
}

int vehicle_reduced(const ModelAtRest& now, const Vec2& space_mm) {
  const VehicleSpace side = space_of(unlabelled_vehicle(now, Seen::from_side));
  const VehicleSpace front = space_of(unlabelled_vehicle(now, Seen::from_front));
  for (const int each : scales) {
    const Vec2 a = (side.box.high - side.box.low) / each + side.around_mm;
    const Vec2 b = (front.box.high - front.box.low) / each + front.around_mm;
    if (std::max(a.x(), b.x()) <= space_mm.x() && a.y() + b.y() <= space_mm.y()) return each;
  }
  return scales.back();
}

SheetDrawing vehicle_drawing(const ModelAtRest& now, Seen seen, const std::optional<ModelAtRest>& before, int reduced,
                             double width_mm) {
  SheetDrawing drawing;
  if (!now.solution.vehicle) return drawing;
  const bool shows = before && stands_elsewhere(*before, now, reduced);
  drawing.picture = unlabelled_vehicle(now, seen, shows ? before : std::nullopt);
  const VehicleResult& vehicle = *now.solution.vehicle;
  const VehicleSpace space = space_of(drawing.picture);
  drawing.reduced = reduced;
  const Vec2 size = (space.box.high - space.box.low) / reduced;
  drawing.size_mm = Vec2(width_mm, size.y() + space.around_mm.y());
  drawing.origin_mm =
      Vec2((width_mm - size.x()) / 2 - space.box.low.x() / reduced, edge_mm + space.box.high.y() / reduced);

  const Vec2 cg = seen_point(vehicle, seen, vehicle.cg_mm);
  add(drawing.picture.shapes, Mark{cg, Mark::Form::quartered, 9, Role::centre_of_gravity});
  std::vector<LabelWish> wishes;
  // From the front they would lie on each other: most are on the middle line.
  for (const Clearance& each : now.model.clearances) {
    if (seen == Seen::from_front) break;
    const Vec2 p = seen_point(vehicle, seen, each.at_mm);
    drawing.dimensions.push_back({Vec2(p.x(), 0), p});
    wishes.push_back(words_wish(fmt::format("{} {} mm", each.name, number(p.y(), 1)), beside(drawing, p), 0.8));
  }
  for (const Foot& foot : feet_seen(now, seen))
    wishes.push_back(words_wish(number(grams_of(foot.load_n), 0) + " g",
                                {on_paper(drawing, Vec2(foot.across_mm, 0)) + Vec2(0, 2.2)}, 0.3));
  for (int c = 0; c < count(now.model.corners); ++c) {
    const CornerResult& corner = at(now.solution.corners, c);
    if (!nearer_half(now.model, c, seen) || !corner.ride_height_mm) continue;
    const Vec2 p = seen_point(vehicle, seen, at(now.model.corners, c).at_mm);
    drawing.dimensions.push_back({Vec2(p.x(), 0), p});
    const std::string words = fmt::format("{} {} mm", corner.name, number(corner.ride_height_mm, 1));
    wishes.push_back(words_wish(words, beside(drawing, p), 0.8));
  }
  wishes.push_back(words_wish("centre of gravity", {on_paper(drawing, cg)}, 2));
  const Box room{Vec2(0.5, 0.5), Vec2(width_mm - 0.5, drawing.size_mm.y() - 0.5)};
  drawing.labels = labels_off_ink(wishes, ink_of(drawing), room);
  return drawing;
}

}  // namespace ridepitch
