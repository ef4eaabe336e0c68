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
#include "stack/made_of.hpp"
#include "swap/change_words.hpp"
#include "words/number.hpp"

namespace ridepitch {
namespace {

// ISO 5455 has 1:1, 1:2, 1:5, 1:10 and so on; 1:3 and 1:4 fill the gap, so that no drawing is half as large as it could be.
constexpr std::array<int, 19> scales = {1,   2,    3,    4,    5,     10,    20,    50,     100,   200,
                                        500, 1000, 2000, 5000, 10000, 20000, 50000, 100000, 200000};

// On paper [mm].
constexpr double edge_mm = 7;         // around a drawing: for labels
constexpr double grid_strip_mm = 6;   // left and below: for the numbers of the grid
constexpr double ruler_strip_mm = 6;  // under it all
constexpr double label_height_mm = 3.1;
constexpr double ring_mm = 5.2;
constexpr double old_hole_radius = 0.45;  // in modules
constexpr double least_number_gap_mm = 6, least_dot_gap_mm = 0.7;
constexpr double least_seen_mm = 0.5;  // two lines that are nearer print as one
constexpr double floor_strip_mm = 9;   // under a vehicle: for what scales read
const Vec2 around_vehicle_mm(2 * edge_mm, edge_mm + floor_strip_mm);

/// The largest scale, as 1 : so much, at which something fits; the least there is, where it fits at none.
template <class Fits>
int least_scale(const Fits& fits) {
  const auto found = std::find_if(scales.begin(), scales.end(), fits);
  return found == scales.end() ? scales.back() : *found;
}

LabelWish words_wish(const std::string& text, std::vector<Vec2> about_mm, double off_mm) {
  return {text, std::move(about_mm), Vec2(text_width_mm(text, Face::small) + 1.2, label_height_mm), off_mm, false};
}

std::vector<Vec2> all_on_paper(const SheetDrawing& drawing, const std::vector<Vec2>& places) {
  std::vector<Vec2> out;
  for (const Vec2& p : places) out.push_back(on_paper(drawing, p));
  return out;
}

void ink_lines(InkMap& map, const std::vector<Vec2>& points, bool closed = false) {
  for (std::size_t i = 0; i + 1 < points.size(); ++i) ink_line(map, points[i], points[i + 1]);
  if (closed && points.size() > 2) ink_line(map, points.back(), points.front());
}

InkMap ink_of(const SheetDrawing& drawing) {
  constexpr double mark_mm = 1.5;
  InkMap map = ink_map(drawing.size_mm);
  for (const Shape& shape : drawing.picture.shapes) {
    if (const auto* area = std::get_if<Area>(&shape)) {
      const std::vector<Vec2> points = all_on_paper(drawing, area->points);
      const bool solid = area->role == Role::body || area->role == Role::rod || area->role == Role::chassis_part;
      if (area->filled && solid) ink_area(map, points);
      ink_lines(map, points, true);
    } else if (const auto* line = std::get_if<Line>(&shape)) {
      ink_lines(map, all_on_paper(drawing, line->points));
    } else if (const auto* disc = std::get_if<Disc>(&shape)) {
      if (disc->role != Role::grid) ink_disc(map, on_paper(drawing, disc->centre), disc->radius_mm / drawing.reduced);
    } else if (const auto* mark = std::get_if<Mark>(&shape)) {
      ink_disc(map, on_paper(drawing, mark->at), mark_mm);
    }
  }
  for (const std::vector<SheetArrow>* arrows : {&drawing.arrows, &drawing.dimensions})
    for (const SheetArrow& each : *arrows) ink_lines(map, all_on_paper(drawing, {each.from_mm, each.to_mm}));
  for (const SheetLabel& number : drawing.grid_numbers) {
    const Box& box = number.box;
    ink_line(map, box.low, box.high);
    ink_area(map, {box.low, Vec2(box.high.x(), box.low.y()), box.high, Vec2(box.low.x(), box.high.y())});
  }
  return map;
}

/// Numbers of modules along the lower and the left edge of the grid.
void number_grid(SheetDrawing& drawing, double module_mm, const Box& grid) {
  // 1, 2, 5, 10, 20 and so on.
  int step = 1;
  for (int i = 0; step * module_mm / drawing.reduced < least_number_gap_mm && i < 24; ++i)
    step = i % 3 == 1 ? step / 2 * 5 : step * 2;
  const Vec2 corner = on_paper(drawing, grid.low) + Vec2(-grid_strip_mm / 2, grid_strip_mm / 2 + 0.8);
  for (const int axis : {0, 1}) {
    const int first = static_cast<int>(std::ceil(grid.low[axis] / module_mm / step - 1e-9)) * step;
    for (int n = first; n * module_mm <= grid.high[axis] + 1e-9; n += step) {
      Vec2 middle = corner;
      middle[axis] = on_paper(drawing, Vec2::Constant(n * module_mm))[axis];
      const std::string text = std::to_string(n);
      const Vec2 half(text_width_mm(text, Face::small) / 2, label_height_mm / 2);
      drawing.grid_numbers.push_back({text, {middle - half, middle + half}, middle, false, false});
    }
  }
}

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
std::vector<Vec2> between(const Vec2& a, const Vec2& b) {
  std::vector<Vec2> places;
  for (const double share : {0.5, 0.35, 0.65, 0.25, 0.75}) places.push_back(a + share * (b - a));
  return places;
}

std::vector<Vec2> between(const StandingLinkage& standing, HoleRef from, HoleRef to) {
  return between(hole_of(standing, from), hole_of(standing, to));
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
  const Model& model = standing.model;
  const Pose& pose = at(poses_of(standing), body);
  for (const std::vector<Vec2>& line : outlines(model.catalogue, model.module_mm, linkage_of(standing), body))
    for (std::size_t i = 0; i + 1 < line.size(); ++i)
      for (const Vec2& p : between(in_chassis(pose, line[i]), in_chassis(pose, line[i + 1]))) places.push_back(p);
  if (!places.empty()) return places;
  if (at(linkage_of(standing).bodies, body).holes.empty()) return {at(poses_of(standing), body).p_CB};
  return {hole_of(standing, {body, 0})};
}

/// Where the thing of a change may be pointed at, and how far from there its drawing reaches on paper.
struct PointedAt {
  std::vector<Vec2> places;
  double reach_mm = 1;
};

/// @param ref  of a hole; of others the index is `hole`
PointedAt pointed_at(const StandingLinkage& standing, ChangedThing kind, HoleRef ref, int reduced) {
  const int index = ref.hole;
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
      for (const Vec2& direction : {Vec2(1, 0), Vec2(0, 1), Vec2(-1, 0)})
        places.push_back(hole_of(standing, wheel.at) + rim_mm * direction);
      return {places, 0.5};
    }
    case ChangedThing::body:
      return {body_places(standing, index), half_beam_mm};
    case ChangedThing::hole:
      return {{hole_of(standing, ref)}, half_beam_mm};
    case ChangedThing::elsewhere:
      break;
  }
  return {{Vec2::Zero()}};
}

/// Arrows and callouts of changes, and where each callout points.
std::vector<LabelWish> call_out(SheetDrawing& drawing, const StandingLinkage& now,
                                const std::optional<StandingLinkage>& before, const std::vector<SheetChange>& changes) {
  std::vector<LabelWish> wishes;
  for (const SheetChange& change : changes) {
    const bool was = before && change.before.hole >= 0, is = change.after.hole >= 0;
    if (change.kind == ChangedThing::hole && was && is) {
      // Both places on the body as it lies now: that is where the pin is taken out and put in.
      const Vec2 old_B = at(at(linkage_of(*before).bodies, change.before.body).holes, change.before.hole).p_B;
      const Vec2 from = in_chassis(at(poses_of(now), change.after.body), old_B);
      add(drawing.picture.shapes, Disc{from, old_hole_radius * now.model.module_mm, Role::ghost, false, 1});
      drawing.arrows.push_back({from, hole_of(now, change.after)});
    }
    if (!was && !is) continue;
    const PointedAt at =
        pointed_at(is ? now : *before, change.kind, is ? change.after : change.before, drawing.reduced);
    wishes.push_back({std::to_string(change.number), all_on_paper(drawing, at.places), Vec2(ring_mm, ring_mm),
                      at.reach_mm + 0.5, true});
  }
  return wishes;
}

/// Names of what a builder looks for: the holes of the chassis with their places, bodies, rods, straps and springs.
void name_parts(std::vector<LabelWish>& wishes, const SheetDrawing& drawing, const StandingLinkage& now) {
  const Linkage& linkage = linkage_of(now);
  const double m = now.model.module_mm;
  const auto name = [&](const std::string& text, ChangedThing kind, HoleRef ref, double off_mm) {
    const PointedAt at = pointed_at(now, kind, ref, drawing.reduced);
    wishes.push_back(words_wish(text, all_on_paper(drawing, at.places), at.reach_mm + off_mm));
  };
  const std::vector<Hole>& holes = linkage.bodies[0].holes;
  for (int h = 0; h < count(holes); ++h) {
    const Vec2& p = at(holes, h).p_B;
    const bool known =
        std::any_of(holes.begin(), holes.begin() + h, [&](const Hole& o) { return (o.p_B - p).norm() < 1e-6; });
    if (!known) name(at(holes, h).name + " " + place_words(p, m), ChangedThing::hole, {0, h}, 0.2);
  }
  for (int b = 1; b < count(linkage.bodies); ++b)
    if (!at(linkage.bodies, b).holes.empty()) name(at(linkage.bodies, b).name, ChangedThing::body, {0, b}, 0.2);
  for (int r = 0; r < count(linkage.rods); ++r) {
    const Rod& rod = at(linkage.rods, r);
    name(fmt::format("{}: {:g} modules", rod.name, rod.length_mm / m), ChangedThing::rod, {0, r}, 0.4);
  }
  for (int l = 0; l < count(linkage.limits); ++l) name(at(linkage.limits, l).name, ChangedThing::limit, {0, l}, -0.5);
  for (int s = 0; s < count(linkage.springs); ++s) {
    const Spring& spring = at(linkage.springs, s);
    name(spring.name + ": " + spring_words(spring), ChangedThing::spring, {0, s}, 0.4);
  }
}

/// The hole of before that lies farthest from where it is now.
Vec2 farthest_moved(const StandingLinkage& before, const StandingLinkage& now) {
  const Linkage &then = linkage_of(before), &linkage = linkage_of(now);
  Vec2 farthest = hole_of(before, {0, 0});
  double most = -1;
  for (int b = 0; b < count(then.bodies); ++b) {
    const int same = index_of(linkage.bodies, at(then.bodies, b).name);
    const int holes = same < 0 ? 0 : std::min(count(at(then.bodies, b).holes), count(at(linkage.bodies, same).holes));
    for (int h = 0; h < holes; ++h) {
      const Vec2 was = hole_of(before, {b, h});
      const double moved_mm = (was - hole_of(now, {same, h})).norm();
      if (moved_mm <= most) continue;
      most = moved_mm;
      farthest = was;
    }
  }
  return farthest;
}

/// The bar that tells whether a print is true.
void add_ruler(SheetDrawing& drawing) {
  drawing.ruler_mm = drawing.size_mm.x() >= 100 ? 100 : 50;
  drawing.ruler_at_mm = Vec2(0, drawing.size_mm.y() - 2.5);
  drawing.ruler_words = fmt::format("{:g} mm on a true print", drawing.ruler_mm);
  if (drawing.reduced > 1)
    drawing.ruler_words += fmt::format(", {:g} mm of the model", drawing.ruler_mm * drawing.reduced);
}

// --------------------------------------------------------------------------------------- vehicle

/// Where a wheel stands, and what a scale under it reads.
struct Foot {
  double across_mm = 0, nearness_mm = 0;  ///< of the picture; to the viewer
  double load_n = 0;
};

/// Of the nearer half; of wheels behind each other the nearest.
std::vector<Foot> feet_seen(const ModelAtRest& now, VehicleView view) {
  std::vector<Foot> feet;
  for (int c = 0; c < count(now.model.corners); ++c) {
    if (!nearer_half(now.model, c, view)) continue;
    for (const WheelResult& wheel : at(now.solution.corners, c).wheels) {
      if (!wheel.ground_load_n) continue;
      const Foot foot{across(view, wheel.contact_mm), nearness(view, wheel.contact_mm), *wheel.ground_load_n};
      const double apart_mm = 10;  // labels of two that are nearer could not be told apart
      const auto behind = std::find_if(feet.begin(), feet.end(), [&](const Foot& other) {
        return std::abs(other.across_mm - foot.across_mm) < apart_mm;
      });
      if (behind == feet.end())
        feet.push_back(foot);
      else if (behind->nearness_mm < foot.nearness_mm)
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

}  // namespace

SheetDrawing linkage_drawing(const StandingLinkage& now, const std::optional<StandingLinkage>& before,
                             const std::vector<SheetChange>& changes, const Vec2& space_mm) {
  const double m = now.model.module_mm;
  const std::vector<Shape> parts = linkage_shapes(now.model, linkage_of(now), poses_of(now));
  const std::vector<Shape> ghost =
      before ? linkage_ghost(before->model, linkage_of(*before), poses_of(*before)) : std::vector<Shape>();
  Box box = bounds_of(parts);
  if (!ghost.empty()) box = united(box, bounds_of(ghost));
  const VehicleResult* vehicle = now.solution.vehicle ? &*now.solution.vehicle : nullptr;
  const std::vector<Shape> floor_line = ground_shapes(now.model, now.corner, poses_of(now), vehicle, box);
  const Box grid{m * ((box.low / m).array().floor() - 1).matrix(), m * ((box.high / m).array().ceil() + 1).matrix()};
  const Box all = floor_line.empty() ? grid : united(grid, bounds_of(floor_line));

  SheetDrawing drawing;
  const Vec2 around(2 * edge_mm + grid_strip_mm, 2 * edge_mm + grid_strip_mm + ruler_strip_mm);
  const Vec2 size = all.high - all.low;
  drawing.reduced = least_scale([&](int scale) { return (size / scale + around - space_mm).maxCoeff() <= 0; });
  if (m / drawing.reduced >= least_dot_gap_mm) drawing.picture.shapes = grid_shapes(m, box, 1);
  for (const std::vector<Shape>* each : {&floor_line, &ghost, &parts}) append(drawing.picture.shapes, *each);
  drawing.size_mm = Vec2(space_mm.x(), size.y() / drawing.reduced + around.y());
  const double left = (space_mm.x() - size.x() / drawing.reduced - grid_strip_mm) / 2 + grid_strip_mm;
  drawing.origin_mm = Vec2(left - all.low.x() / drawing.reduced, edge_mm + all.high.y() / drawing.reduced);

  number_grid(drawing, m, grid);
  std::vector<LabelWish> wishes = call_out(drawing, now, before, changes);
  if (before)
    wishes.push_back(
        words_wish("before (dashed)", {on_paper(drawing, farthest_moved(*before, now))}, 0.5 * m / drawing.reduced));
  name_parts(wishes, drawing, now);
  const Box space{Vec2(0.5, 0.5), Vec2(space_mm.x() - 0.5, on_paper(drawing, all.low).y() + edge_mm)};
  drawing.labels = labels_off_ink(wishes, ink_of(drawing), space);
  add_ruler(drawing);
  return drawing;
}

bool stands_elsewhere(const ModelAtRest& before, const ModelAtRest& now, int reduced) {
  const std::vector<Mass>&then = before.model.masses, &masses = now.model.masses;
  if (then.size() != masses.size()) return true;
  const auto end_of = [](const ModelAtRest& of, const Mass& mass, double sign) {
    const Vec3 end = mass.at_mm + sign * mass.size_mm.value_or(Vec3::Zero());
    return seen_point(*of.solution.vehicle, VehicleView::from_side, end);
  };
  for (std::size_t i = 0; i < masses.size(); ++i)
    for (const double sign : {-0.5, 0.5})
      if ((end_of(before, then[i], sign) - end_of(now, masses[i], sign)).norm() / reduced > least_seen_mm) return true;
  return false;
}

int vehicle_reduced(const ModelAtRest& now, const Vec2& space_mm) {
  const auto size_of = [&](VehicleView view) {
    const Box box = bounds_of(unlabelled_vehicle(now, view).shapes);
    return Vec2(box.high - box.low);
  };
  const Vec2 side = size_of(VehicleView::from_side), front = size_of(VehicleView::from_front);
  return least_scale([&](int scale) {
    const Vec2 a = side / scale + around_vehicle_mm, b = front / scale + around_vehicle_mm;
    return std::max(a.x(), b.x()) <= space_mm.x() && a.y() + b.y() <= space_mm.y();
  });
}

SheetDrawing vehicle_drawing(const ModelAtRest& now, VehicleView view, const std::optional<ModelAtRest>& before,
                             int reduced, double width_mm) {
  SheetDrawing drawing;
  if (!now.solution.vehicle) return drawing;
  const bool shows = before && stands_elsewhere(*before, now, reduced);
  drawing.picture = unlabelled_vehicle(now, view, shows ? before : std::nullopt);
  const VehicleResult& vehicle = *now.solution.vehicle;
  const Box box = bounds_of(drawing.picture.shapes);
  drawing.reduced = reduced;
  const Vec2 size = (box.high - box.low) / reduced;
  drawing.size_mm = Vec2(width_mm, size.y() + around_vehicle_mm.y());
  drawing.origin_mm = Vec2((width_mm - size.x()) / 2 - box.low.x() / reduced, edge_mm + box.high.y() / reduced);

  const Vec2 cg = seen_point(vehicle, view, vehicle.cg_mm);
  add(drawing.picture.shapes, Mark{cg, Mark::Form::quartered, 9, Role::centre_of_gravity});
  std::vector<LabelWish> wishes;
  const auto height = [&](const Vec3& at_mm, const std::string& name, std::optional<double> mm) {
    const Vec2 p = seen_point(vehicle, view, at_mm);
    drawing.dimensions.push_back({Vec2(p.x(), 0), p});
    const std::string words = fmt::format("{} {} mm", name, number(mm ? mm : p.y(), 1));
    wishes.push_back(words_wish(words, beside(drawing, p), 0.8));
  };
  // From the front clearances would lie on each other: most are on the middle line.
  if (view == VehicleView::from_side)
    for (const Clearance& each : now.model.clearances) height(each.at_mm, each.name, std::nullopt);
  for (const Foot& foot : feet_seen(now, view))
    wishes.push_back(words_wish(number(grams_of(foot.load_n), 0) + " g",
                                {on_paper(drawing, Vec2(foot.across_mm, 0)) + Vec2(0, 2.2)}, 0.3));
  for (int c = 0; c < count(now.model.corners); ++c) {
    const CornerResult& corner = at(now.solution.corners, c);
    if (nearer_half(now.model, c, view) && corner.ride_height_mm)
      height(at(now.model.corners, c).at_mm, corner.name, corner.ride_height_mm);
  }
  wishes.push_back(words_wish("centre of gravity", {on_paper(drawing, cg)}, 2));
  const Box space{Vec2(0.5, 0.5), Vec2(width_mm - 0.5, drawing.size_mm.y() - 0.5)};
  drawing.labels = labels_off_ink(wishes, ink_of(drawing), space);
  return drawing;
}

}  // namespace ridepitch
