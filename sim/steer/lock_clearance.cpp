#include "steer/lock_clearance.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>

#include <Eigen/Geometry>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/pose.hpp"
#include "steer/knuckle.hpp"
#include "steer/posed_drive.hpp"
#include "steer/solid_gap.hpp"

namespace ridepitch {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double same_gap_mm = 1e-7;              // gaps that differ by less are as near
constexpr double search_mm = 0.02;                // branch and bound ends here; what is left is drawn down
constexpr double worth_drawing_mm = 1;            // places that are nearer than the best by so much may lead lower
constexpr double lock_rad = 0.002 * rad_per_deg;  // the lock that clears is found to this
constexpr int deepest_in_part = 12;               // halvings of a cell of which a part is not possible
constexpr std::size_t places_drawn_down = 3;

// A wheel and how it can move.
struct Mover {
  std::string name;
  std::optional<WheelRef> sprung;
  std::optional<CarrierTravel> travel;  // none: it can't rise alone
  std::optional<std::size_t> knuckle;   // of the set; none: not steered by it
  Cylinder at_rest;                     // the drive at 0
};

// Everything that a search moves: drive, travel of the wheel, travel of the other one.
using Numbers = std::array<double, 3>;
struct Domain {
  Numbers low{}, high{};
};

// All wheels of the vehicle, and what places them.
struct Scene {
  const Model& model;
  KnuckleSet set;
  PosedDrive top = {};
  std::vector<Mover> movers = {};  // the steered ones first
  std::size_t steered = 0;
  int most_cells = 0;
  int cells_left = 0;    // of all searches
  bool stopped = false;  // a search, at its limit of cells
};

struct Placed {
  Cylinder disc;
  double heading_rad = 0;
};

// The wheel as a solid; none where a tie rod does not let it be there.
std::optional<Placed> place(Scene& scene, const Mover& mover, double drive, double travel_mm) {
  Carry rise;
  if (mover.travel)
    rise = carry(*mover.travel->corner, mover.travel->plane, mover.travel->rest,
                 place_on_curve(*mover.travel->curve, travel_mm));
  Placed out{mover.at_rest, 0};
  if (!mover.knuckle) {
    out.disc.centre_mm = carried(rise, mover.at_rest.centre_mm);
    out.disc.axis = rise.R * mover.at_rest.axis;
    return out;
  }
  const Knuckle& knuckle = scene.set.knuckles[*mover.knuckle];
  const std::vector<Carry> carries = mover.sprung ? carries_of(scene.model, scene.set, *mover.sprung, rise)
                                                  : std::vector<Carry>(scene.set.knuckles.size());
  const Carry& carry = carries[*mover.knuckle];
  const auto turn = turn_knuckles(scene.set, poses_at(scene.top, drive), carries)[*mover.knuckle];
  // A knuckle that nothing holds stands as drawn.
  if (!turn && (knuckle.tie || knuckle.driven)) return std::nullopt;
  const double psi = turn ? turn->psi_rad : 0;
  out.disc.centre_mm = on_knuckle(knuckle, carry, psi, mover.at_rest.centre_mm);
  out.disc.axis = turned_with(knuckle, carry, psi, mover.at_rest.axis);
  out.heading_rad = heading_rad(turned_with(knuckle, carry, psi, knuckle.ahead));
  return out;
}

// Something that one wheel could meet.
struct Meeting {
  std::size_t mover = 0;
  std::optional<std::size_t> other;  // another wheel
  Cuboid box;                        // else
  std::string against;
};

std::optional<SolidGap> gap_at(Scene& scene, const Meeting& meeting, const Numbers& x, bool how_deep) {
  const auto one = place(scene, scene.movers[meeting.mover], x[0], x[1]);
  if (!one) return std::nullopt;
  if (!meeting.other) return gap_between(one->disc, meeting.box, how_deep);
  const auto other = place(scene, scene.movers[*meeting.other], x[0], x[2]);
  if (!other) return std::nullopt;
  return gap_between(one->disc, other->disc, how_deep);
}

struct NearPlace {
  double gap_mm = infinite;
  Numbers at{};
  double bound_mm = infinite;  // of what a search left out no gap is less, as far as nine places tell
};

struct Cell {
  double least_mm = 0;  // no gap within is less, as far as nine places tell
  Domain domain;
  int depth = 0;

  friend bool operator<(const Cell& a, const Cell& b) {
    return a.least_mm > b.least_mm;
  }  // the nearest is looked at first
};

// A search for the least gap of one meeting.
struct ClearanceSearch {
  const Meeting& meeting;
  Domain whole;
  bool only_whether = false;  // the two touch: ends as soon as they do
  NearPlace best = {};        // of the places looked at; at first what a gap must be under to be of interest
  bool found = false;         // `best` is a place
  std::vector<NearPlace> good = {};
  std::priority_queue<Cell> cells = {};
};

// Draws a place down to where the gap is least nearby, within the domain.
NearPlace draw_down(Scene& scene, const ClearanceSearch& search, NearPlace from) {
  constexpr double first_step = 0.02, finest_step = 1e-9;  // shares of the domain
  double share = first_step;
  for (int round = 0; round < 400 && share > finest_step; ++round) {
    bool nearer = false;
    for (std::size_t i = 0; i < 3; ++i) {
      const double low = search.whole.low[i], high = search.whole.high[i];
      for (const double side : {-1.0, 1.0}) {
        Numbers next = from.at;
        next[i] = std::clamp(from.at[i] + side * share * (high - low), low, high);
        if (next[i] == from.at[i]) continue;
        const auto gap = gap_at(scene, search.meeting, next, !search.only_whether);
        if (!gap || !(gap->mm < from.gap_mm)) continue;
        from = {gap->mm, next};
        nearer = true;
      }
    }
    if (!nearer) share /= 2;
  }
  return from;
}

// Least over a cell of how far a wheel lies along a direction, f of drive and its own travel. Nine places tell it but for what
// f bends between them: where it is smooth it undershoots the least of three places by up to an eighth of their second
// difference, at a kink (another rim takes over) by up to half of it. None where no place is possible; of a cell that is
// possible in part nothing is told.
template <class F>
std::optional<double> least_over(const F& f, const Domain& domain, std::size_t own_travel) {
  const auto count = [&](std::size_t i) { return domain.high[i] > domain.low[i] ? 3u : 1u; };
  const auto value = [&](std::size_t i, std::size_t step) {
    return domain.low[i] + 0.5 * static_cast<double>(step) * (domain.high[i] - domain.low[i]);
  };
  const std::size_t drives = count(0), travels = count(own_travel);
  std::array<std::array<double, 3>, 3> at{};
  double least = infinite;
  bool in_part = false;
  for (std::size_t i = 0; i < drives; ++i)
    for (std::size_t k = 0; k < travels; ++k) {
      const auto here = f(value(0, i), value(own_travel, k));
      at[i][k] = here.value_or(0);
      least = std::min(least, here.value_or(infinite));
      in_part = in_part || !here;
    }
  if (least == infinite) return std::nullopt;
  if (in_part) return -infinite;
  double bent_drive = 0, bent_travel = 0;
  for (std::size_t k = 0; k < 3; ++k) {
    if (drives == 3) bent_drive = std::max(bent_drive, std::abs(at[0][k] - 2 * at[1][k] + at[2][k]) / 2);
    if (travels == 3) bent_travel = std::max(bent_travel, std::abs(at[k][0] - 2 * at[k][1] + at[k][2]) / 2);
  }
  return least - bent_drive - bent_travel;
}

// No gap within a domain is less, as far as nine places of each wheel along n tell; none where no place is possible.
std::optional<double> least_within(Scene& scene, const Meeting& meeting, const Domain& domain, const Vec3& n) {
  const auto along = [&](std::size_t mover, std::size_t own_travel, const auto& reading) {
    return least_over(
        [&](double drive, double travel) -> std::optional<double> {
          const auto placed = place(scene, scene.movers[mover], drive, travel);
          return placed ? std::optional<double>(reading(placed->disc)) : std::nullopt;
        },
        domain, own_travel);
  };
  const auto one = along(meeting.mover, 1, [&](const Cylinder& disc) { return least_along(disc, n); });
  const auto other = meeting.other
                         ? along(*meeting.other, 2, [&](const Cylinder& disc) { return -greatest_along(disc, n); })
                         : std::optional(-greatest_along(meeting.box, n));
  return one && other ? std::optional(*one + *other) : std::nullopt;
}

// Looks at a cell: its middle may be the best so far, and it may have to be halved.
void look_at_cell(Scene& scene, ClearanceSearch& search, const Domain& domain, int depth, double above_mm) {
  Numbers middle;
  for (std::size_t i = 0; i < 3; ++i) middle[i] = 0.5 * (domain.low[i] + domain.high[i]);
  const auto gap = gap_at(scene, search.meeting, middle, !search.only_whether);
  if (!gap) {
    if (depth < deepest_in_part) search.cells.push({above_mm, domain, depth});
    return;
  }
  if (gap->mm < search.best.gap_mm) {
    search.best = {gap->mm, middle};
    search.found = true;
  }
  if (gap->mm < search.best.gap_mm + worth_drawing_mm) search.good.push_back({gap->mm, middle});
  if (search.only_whether && gap->mm == 0) return;
  const auto least = least_within(scene, search.meeting, domain, gap->normal);
  if (!least || (*least == -infinite && depth >= deepest_in_part)) return;
  const double bound = std::max(above_mm, *least);
  if (bound < search.best.gap_mm - search_mm) search.cells.push({bound, domain, depth});
}

// Across the side that is the largest part of the whole.
void halve(Scene& scene, ClearanceSearch& search, const Cell& cell) {
  std::optional<std::size_t> widest;
  double most = 0;
  for (std::size_t k = 0; k < 3; ++k) {
    const double width = search.whole.high[k] - search.whole.low[k];
    const double share = width > 0 ? (cell.domain.high[k] - cell.domain.low[k]) / width : 0;
    if (share <= most) continue;
    most = share;
    widest = k;
  }
  if (!widest) return;
  Domain lower = cell.domain, upper = cell.domain;
  lower.high[*widest] = upper.low[*widest] = 0.5 * (cell.domain.low[*widest] + cell.domain.high[*widest]);
  look_at_cell(scene, search, lower, cell.depth + 1, cell.least_mm);
  look_at_cell(scene, search, upper, cell.depth + 1, cell.least_mm);
}

// Halves cells, the one that could be nearest first. @returns the least gap that what was left out could hold
double branch_and_bound(Scene& scene, ClearanceSearch& search) {
  look_at_cell(scene, search, search.whole, 0, -infinite);
  for (int i = 0; !search.cells.empty(); ++i) {
    if (search.only_whether && search.found && search.best.gap_mm == 0) break;
    const Cell cell = search.cells.top();
    if (cell.least_mm >= search.best.gap_mm - search_mm) break;
    if (i == scene.most_cells || scene.cells_left-- <= 0) {
      scene.stopped = true;
      return cell.least_mm;
    }
    search.cells.pop();
    halve(scene, search, cell);
  }
  return search.best.gap_mm - search_mm;
}

// Two wheels of a vehicle whose sides are alike are as near at one lock as at the other with their travels exchanged. Of
// the two places the one at the lesser drive is told, not the one that rounding favours.
NearPlace lesser_of_twins(Scene& scene, const ClearanceSearch& search, const NearPlace& found) {
  const auto& [low, high] = search.whole;
  const Numbers exchanged = {low[0] + high[0] - found.at[0], found.at[2], found.at[1]};
  NearPlace twin;
  for (std::size_t i = 0; i < 3; ++i) twin.at[i] = std::clamp(exchanged[i], low[i], high[i]);
  if (!(twin.at[0] < found.at[0])) return found;
  const auto gap = gap_at(scene, search.meeting, twin.at, true);
  if (!gap) return found;
  twin.gap_mm = gap->mm;
  return std::abs(twin.gap_mm - found.gap_mm) < same_gap_mm ? twin : found;
}

// The least gap within a domain, where it is under `worth_mm`: what is not less is not looked at closely.
// @param only_whether  ends as soon as the two touch; then the gap is 0
NearPlace least_gap(Scene& scene, const Meeting& meeting, const Domain& whole, double worth_mm, bool only_whether) {
  ClearanceSearch search{
      .meeting = meeting, .whole = whole, .only_whether = only_whether, .best = {.gap_mm = worth_mm}};
  const double bound_mm = branch_and_bound(scene, search);
  if (!search.found) return {.bound_mm = bound_mm};
  if (only_whether && search.best.gap_mm == 0) return search.best;
  std::sort(search.good.begin(), search.good.end(),
            [](const NearPlace& a, const NearPlace& b) { return a.gap_mm < b.gap_mm; });
  search.good.resize(std::min(search.good.size(), places_drawn_down));
  for (const NearPlace& place : search.good) {
    const NearPlace down = draw_down(scene, search, place);
    if (down.gap_mm < search.best.gap_mm) search.best = down;
  }
  if (!only_whether && meeting.other) search.best = lesser_of_twins(scene, search, search.best);
  search.best.bound_mm = std::min(bound_mm, search.best.gap_mm - search_mm);
  return search.best;
}

Cylinder wheel_at_rest(const Vec3& centre_mm, const Vec3& ahead, const Tyre& tyre, const WheelResult* sprung) {
  return {centre_mm, axis_at_rest(centre_mm.y(), ahead, sprung), tyre.diameter_mm / 2, tyre.width_mm / 2};
}

Mover sprung_mover(const Model& model, const Solution& solution, WheelRef ref) {
  const Corner& corner = at(model.corners, ref.corner);
  const Wheel& drawn = wheel_of(model, ref);
  const WheelResult& sprung = standing_of(solution, ref);
  const Vec3 centre = wheel_on_vehicle(corner, linkage_at(model, ref.corner).plane, drawn, sprung.centre_C_mm);
  return {.name = corner.name + "/" + drawn.name,
          .sprung = ref,
          .travel = carrier_travel(model, solution, ref),
          .knuckle = {},
          .at_rest = wheel_at_rest(centre, Vec3::UnitX(), drawn.tyre, &sprung)};
}

// Its centre as the top linkage draws it, seen from above, at the height of the sprung wheel.
Mover steered_mover(const Model& model, const Solution& solution, const Scene& scene, std::size_t k) {
  const Knuckle& knuckle = scene.set.knuckles[k];
  const Linkage& top = linkage_at(model, scene.set.corner);
  const Wheel& drawn = at(top.wheels, knuckle.wheel);
  const Hole& hub = at(at(top.bodies, knuckle.body).holes, drawn.at.hole);
  const Pose& pose = at(scene.top.poses, knuckle.body);
  Vec3 centre = on_vehicle(at(model.corners, scene.set.corner), Plane::top, in_chassis(pose, hub.p_B));
  Mover out;
  if (const auto& same_as = knuckle.same_as) {
    out = sprung_mover(model, solution, *same_as);
    centre.z() = out.at_rest.centre_mm.z();
    out.at_rest =
        wheel_at_rest(centre, knuckle.ahead, wheel_of(model, *same_as).tyre, &standing_of(solution, *same_as));
  } else {
    out.name = drawn.name;
    out.at_rest = wheel_at_rest(centre, knuckle.ahead, drawn.tyre, nullptr);
  }
  out.knuckle = k;
  return out;
}

// The knuckles' wheels in file order, then all other sprung wheels.
void add_movers(const Model& model, const Solution& solution, Scene& scene) {
  const std::size_t steered_wheels = linkage_at(model, scene.set.corner).wheels.size();
  for (std::size_t w = 0; w < steered_wheels; ++w)
    for (std::size_t k = 0; k < scene.set.knuckles.size(); ++k)
      if (scene.set.knuckles[k].wheel == static_cast<int>(w))
        scene.movers.push_back(steered_mover(model, solution, scene, k));
  scene.steered = scene.movers.size();
  for (int c = 0; c < static_cast<int>(model.corners.size()); ++c) {
    const Linkage& linkage = linkage_at(model, c);
    for (int w = 0; linkage.plane != Plane::top && w < static_cast<int>(linkage.wheels.size()); ++w) {
      const WheelRef ref{c, w};
      const auto& knuckles = scene.set.knuckles;
      if (std::none_of(knuckles.begin(), knuckles.end(), [&](const Knuckle& k) { return k.same_as == ref; }))
        scene.movers.push_back(sprung_mover(model, solution, ref));
    }
  }
}

std::vector<Meeting> meetings_of(const Model& model, const Scene& scene, std::size_t mover) {
  std::vector<Meeting> out;
  for (const Keepout& keepout : model.keepouts)
    out.push_back({mover, {}, {keepout.at_mm, keepout.size_mm / 2}, keepout.name});
  for (std::size_t other = 0; other < scene.movers.size(); ++other)
    if (other != mover) out.push_back({mover, other, {}, scene.movers[other].name});
  return out;
}

std::array<double, 2> travel_range(const Mover& mover) {
  if (!mover.travel) return {0, 0};
  return {mover.travel->curve->points.front().travel_mm, mover.travel->curve->points.back().travel_mm};
}

Domain domain_of(const Scene& scene, const Meeting& meeting, double least, double greatest) {
  const Mover& mover = scene.movers[meeting.mover];
  const auto one = travel_range(mover);
  std::array<double, 2> other{};
  if (meeting.other) {
    const Mover& met = scene.movers[*meeting.other];
    other = travel_range(met);
    // Of two wheels of one linkage each rises alone: the other one stays at rest.
    if (met.travel && mover.sprung && met.sprung->corner == mover.sprung->corner)
      other.fill(met.travel->rest_travel_mm);
  }
  return {{least, one[0], other[0]}, {greatest, one[1], other[1]}};
}

bool touches_within(Scene& scene, const std::vector<Meeting>& meetings, double a, double b) {
  return std::any_of(meetings.begin(), meetings.end(), [&](const Meeting& meeting) {
    const Domain domain = domain_of(scene, meeting, std::min(a, b), std::max(a, b));
    return least_gap(scene, meeting, domain, search_mm, true).gap_mm == 0;
  });
}

double turned_rad(double from_rad, double to_rad) { return std::remainder(to_rad - from_rad, 360 * rad_per_deg); }

// How far the steered wheel that turns most has turned, at rest.
double most_turned_rad(Scene& scene, double drive) {
  double most = 0;
  for (std::size_t i = 0; i < scene.steered; ++i) {
    const Mover& mover = scene.movers[i];
    const double rest = mover.travel ? mover.travel->rest_travel_mm : 0;
    const auto placed = place(scene, mover, drive, rest), straight = place(scene, mover, 0, rest);
    if (placed && straight) most = std::max(most, std::abs(turned_rad(straight->heading_rad, placed->heading_rad)));
  }
  return most;
}

// From 0 to an end of the drive: how far it can go. What is clear up to there stays known while the bracket closes.
double clear_up_to(Scene& scene, const std::vector<Meeting>& meetings, double end) {
  if (end == 0 || !touches_within(scene, meetings, 0, end)) return end;
  double clear = 0, touching = end;
  while (std::abs(most_turned_rad(scene, touching) - most_turned_rad(scene, clear)) > lock_rad &&
         std::abs(touching - clear) > 1e-9 * std::abs(end)) {
    const double middle = 0.5 * (clear + touching);
    (touches_within(scene, meetings, clear, middle) ? touching : clear) = middle;
  }
  return clear;
}

// The least gap of one steered wheel over all its meetings; none where it can meet nothing.
std::optional<LeastGap> least_gap_of(Scene& scene, const std::vector<Meeting>& meetings,
                                     const std::array<double, 2>& ends, double unit) {
  NearPlace least;
  const Meeting* with = nullptr;
  for (const Meeting& meeting : meetings) {
    NearPlace found = least_gap(scene, meeting, domain_of(scene, meeting, ends[0], ends[1]), least.gap_mm, false);
    found.bound_mm = least.bound_mm = std::min(least.bound_mm, found.bound_mm);
    if (!(found.gap_mm < least.gap_mm)) continue;
    least = found;
    with = &meeting;
  }
  if (!with) return std::nullopt;
  const Mover& mover = scene.movers[with->mover];
  const Vec3& ahead = scene.set.knuckles[*mover.knuckle].ahead;
  LeastGap gap;
  gap.wheel = mover.name;
  gap.against = with->against;
  gap.box = !with->other;
  gap.gap_mm = least.gap_mm;
  gap.bound_mm = least.bound_mm;
  gap.drive = least.at[0] / unit;
  if (mover.travel) gap.travel_mm = least.at[1];
  if (with->other && scene.movers[*with->other].travel) gap.other_travel_mm = least.at[2];
  gap.at_mm = gap_at(scene, *with, least.at, true)->on_first_mm;
  gap.steer_deg =
      turned_rad(heading_rad(ahead), place(scene, mover, least.at[0], least.at[1])->heading_rad) / rad_per_deg;
  return gap;
}

}  // namespace

LockClearance find_lock_clearance(const Model& model, const Solution& solution, int corner, DrivePath* path,
                                  const std::array<double, 2>& range, int most_cells, bool only_if_touching) {
  const std::vector<Pose>& drawn = at(solution.corners, corner).poses;
  Scene scene{.model = model, .set = {}};
  scene.set =
      knuckle_set(model, corner, drawn);  // not in the braces: g++ 12 at -O3 falsely warns of what it could leave
  scene.top = posed_drive(path, drawn);
  scene.most_cells = most_cells;
  scene.cells_left = 3 * most_cells;
  add_movers(model, solution, scene);

  LockClearance out;
  const auto& drive = linkage_at(model, corner).drive;
  const double unit = drive && drive->pin ? rad_per_deg : 1;
  const std::array<double, 2> ends = path ? range : std::array<double, 2>{0, 0};
  std::vector<Meeting> all;
  std::vector<std::vector<Meeting>> of_wheel;
  for (std::size_t m = 0; m < scene.steered; ++m) {
    of_wheel.push_back(meetings_of(model, scene, m));
    all.insert(all.end(), of_wheel[m].begin(), of_wheel[m].end());
  }
  if (only_if_touching && !touches_within(scene, all, ends[0], ends[1]) && !scene.stopped) return out;
  scene.cells_left = 3 * most_cells;
  scene.stopped = false;
  for (const std::vector<Meeting>& meetings : of_wheel) {
    const auto gap = least_gap_of(scene, meetings, ends, unit);
    if (!gap) continue;
    out.clear = out.clear && gap->gap_mm >= 0;
    out.gaps.push_back(*gap);
  }
  if (out.clear)
    out.clear_drive = {{ends[0] / unit, ends[1] / unit}};
  else if (!touches_within(scene, all, 0, 0))
    out.clear_drive = {{clear_up_to(scene, all, ends[0]) / unit, clear_up_to(scene, all, ends[1]) / unit}};
  out.complete = !scene.stopped;
  return out;
}

}  // namespace ridepitch
