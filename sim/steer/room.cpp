#include "steer/room.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <queue>

#include <Eigen/Geometry>

#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/pose.hpp"
#include "steer/carrier_travel.hpp"
#include "steer/solid_gap.hpp"

namespace ridepitch {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double same_gap_mm = 1e-7;              // gaps that differ by less are as near
constexpr double search_mm = 0.02;                // branch and bound ends here; what is left is drawn down
constexpr double lock_rad = 0.002 * rad_per_deg;  // the lock that clears is found to this
constexpr int most_cells = 40000;

// A wheel and how it can move.
struct Mover {
  std::string name;
  std::optional<WheelRef> sprung;
  std::optional<CarrierTravel> way;                        // its travel
  int knuckle = -1;                                     // of the set; -1: not steered by it
  Vec3 centre_mm = Vec3::Zero(), axis = Vec3::UnitY();  // at rest, the drive at 0
  double radius_mm = 0, half_width_mm = 0;
};

// Where its carrier is at a travel: cubic between two points of the curve.
CarrierPlace carrier_at(const CarrierTravel& way, double travel_mm) {
  const auto& points = way.curve->points;
  auto next = std::upper_bound(points.begin(), points.end(), travel_mm,
                               [](double t, const CurvePoint& p) { return t < p.travel_mm; });
  next = std::clamp(next, points.begin() + (points.size() > 1 ? 1 : 0), points.end() - 1);
  const CurvePoint &a = points.size() > 1 ? *(next - 1) : *next, &b = *next;
  const double length = b.travel_mm - a.travel_mm;
  if (!(length > 0)) return {b.centre_C_mm, b.motion};
  const double t = std::clamp((travel_mm - a.travel_mm) / length, 0.0, 1.0), s = 1 - t;
  const auto between = [&](double from, double from_slope, double to, double to_slope) {
    if (!std::isfinite(from_slope) || !std::isfinite(to_slope)) return s * from + t * to;  // at a dead point
    return (1 + 2 * t) * s * s * from + t * s * s * length * from_slope + t * t * (3 - 2 * t) * to -
           t * t * s * length * to_slope;
  };
  CarrierPlace out;
  out.centre_C_mm =
      Vec2(between(a.centre_C_mm.x(), a.motion.centre_per_mm.x(), b.centre_C_mm.x(), b.motion.centre_per_mm.x()),
           s * a.centre_C_mm.y() + t * b.centre_C_mm.y());
  out.motion.turn_rad =
      between(a.motion.turn_rad, a.motion.turn_rad_per_mm, b.motion.turn_rad, b.motion.turn_rad_per_mm);
  return out;
}

// Everything that a search moves: drive, travel of the wheel, travel of the other one.
using Numbers = std::array<double, 3>;
struct Domain {
  Numbers low{}, high{};
};

struct Scene {
  const Model& model;
  KnuckleSet set;
  DrivePath* way = nullptr;
  DriveWorkspace room;
  Eigen::VectorXd q;
  std::vector<Pose> drawn;
  double posed_at = 0;  // the drive that `poses` belong to
  std::vector<Pose> poses;
  std::vector<Mover> movers;  // the steered ones first
  std::size_t steered = 0;
};

const std::vector<Pose>& poses_at(Scene& scene, double drive) {
  if (drive == scene.posed_at) return scene.poses;
  place_drive(*scene.way, drive, scene.room, scene.q);
  scene.poses = body_poses(scene.q);
  scene.posed_at = drive;
  return scene.poses;
}

struct Placed {
  Cylinder disc;
  double heading_rad = 0;
};

// The wheel as a solid; none where a tie rod does not let it be there.
std::optional<Placed> place(Scene& scene, const Mover& mover, double drive, double travel_mm) {
  Carry rise;
  if (mover.way) rise = carry(*mover.way->corner, mover.way->plane, mover.way->rest, carrier_at(*mover.way, travel_mm));
  if (mover.knuckle < 0)
    return Placed{{carried(rise, mover.centre_mm), rise.R * mover.axis, mover.radius_mm, mover.half_width_mm}, 0};
  const auto k = static_cast<std::size_t>(mover.knuckle);
  const Knuckle& knuckle = scene.set.knuckles[k];
  const std::vector<Carry> carries = mover.sprung ? carries_of(scene.model, scene.set, *mover.sprung, rise)
                                                  : std::vector<Carry>(scene.set.knuckles.size());
  const auto turn = turn_knuckles(scene.set, poses_at(scene, drive), carries)[k];
  // A knuckle that nothing holds stands as drawn.
  if (!turn && (knuckle.tie || knuckle.driven)) return std::nullopt;
  const double psi = turn ? turn->psi_rad : 0;
  return Placed{{on_knuckle(knuckle, carries[k], psi, mover.centre_mm),
                 turned_with(knuckle, carries[k], psi, mover.axis), mover.radius_mm, mover.half_width_mm},
                heading_rad(turned_with(knuckle, carries[k], psi, knuckle.ahead))};
}

// Something that one wheel could meet.
struct Meeting {
  std::size_t mover = 0;
  std::optional<std::size_t> other;  // another wheel
  Cuboid box;                           // else
  std::string against;
};

struct Pair {
  Cylinder one, other;
};

std::optional<Pair> place_pair(Scene& scene, const Meeting& meeting, const Numbers& x) {
  const auto one = place(scene, scene.movers[meeting.mover], x[0], x[1]);
  if (!one) return std::nullopt;
  if (!meeting.other) return Pair{one->disc, {}};
  const auto other = place(scene, scene.movers[*meeting.other], x[0], x[2]);
  if (!other) return std::nullopt;
  return Pair{one->disc, other->disc};
}

SolidGap gap_of(const Meeting& meeting, const Pair& pair, bool how_deep) {
  return meeting.other ? gap_between(pair.one, pair.other, how_deep) : gap_between(pair.one, meeting.box, how_deep);
}

struct Found {
  double gap_mm = infinite;
  Numbers at{};
};

// Draws a place down to where the gap is least near by, within the domain.
Found draw_down(Scene& scene, const Meeting& meeting, const Domain& domain, Found from, double share, bool how_deep) {
  for (int round = 0; round < 400 && share > 1e-9; ++round) {
    bool nearer = false;
    for (std::size_t i = 0; i < 3; ++i) {
      const double width = domain.high[i] - domain.low[i];
      if (!(width > 0)) continue;
      for (const double side : {-1.0, 1.0}) {
        Found next = from;
        next.at[i] = std::clamp(from.at[i] + side * share * width, domain.low[i], domain.high[i]);
        if (next.at[i] == from.at[i]) continue;
        const auto pair = place_pair(scene, meeting, next.at);
        if (!pair) continue;
        next.gap_mm = gap_of(meeting, *pair, how_deep).mm;
        if (!(next.gap_mm < from.gap_mm)) continue;
        from = next;
        nearer = true;
      }
    }
    if (!nearer) share /= 2;
  }
  return from;
}

struct Cell {
  double least_mm = 0;  // no gap within is less
  Domain domain;
  int depth = 0;
};

// Least over a cell of how far a wheel lies along a direction, f of drive and its own travel. Nine places tell it but for what
// f bends between them: where it is smooth it undershoots the least of three places by up to an eighth of their second
// difference, at a kink (another rim takes over) by up to half of it. None where no place is possible; of a cell that is
// possible in part nothing is told.
template <class F>
std::optional<double> least_over(const F& f, const std::array<double, 2>& drive, const std::array<double, 2>& travel) {
  const int drives = drive[1] > drive[0] ? 3 : 1, travels = travel[1] > travel[0] ? 3 : 1;
  std::array<std::array<double, 3>, 3> at{};
  double least = infinite;
  bool in_part = false;
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t k = 0; k < 3; ++k) {
      if (static_cast<int>(i) >= drives || static_cast<int>(k) >= travels) continue;
      const auto here = f(drive[0] + 0.5 * static_cast<double>(i) * (drive[1] - drive[0]),
                          travel[0] + 0.5 * static_cast<double>(k) * (travel[1] - travel[0]));
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

// Two wheels of a vehicle whose sides are alike are as near at one lock as at the other with their travels exchanged. Of
// the two places the one at the lesser drive is told, not the one that rounding favours.
Found lesser_of_twins(Scene& scene, const Meeting& meeting, const Domain& whole, const Found& found) {
  Found twin;
  const Numbers exchanged = {whole.low[0] + whole.high[0] - found.at[0], found.at[2], found.at[1]};
  for (std::size_t i = 0; i < 3; ++i) twin.at[i] = std::clamp(exchanged[i], whole.low[i], whole.high[i]);
  if (!(twin.at[0] < found.at[0])) return found;
  const auto pair = place_pair(scene, meeting, twin.at);
  if (!pair) return found;
  twin.gap_mm = gap_of(meeting, *pair, true).mm;
  return std::abs(twin.gap_mm - found.gap_mm) < same_gap_mm ? twin : found;
}

// The least gap within a domain, where it is under `worth_mm`: what is not less is not looked at closely.
// @param only_whether  ends as soon as the two touch; then the gap is 0
Found least_gap(Scene& scene, const Meeting& meeting, const Domain& whole, double worth_mm, bool only_whether) {
  const auto later = [](const Cell& a, const Cell& b) { return a.least_mm > b.least_mm; };
  std::priority_queue<Cell, std::vector<Cell>, decltype(later)> cells(later);
  std::vector<Found> good;
  Found best;
  best.gap_mm = worth_mm;
  bool any = false;
  constexpr int deepest_partial = 12;  // halvings of a cell of which a part is not possible
  // Looks at a cell: its middle may be the best so far, and it may have to be halved.
  const auto look = [&](const Domain& domain, int depth, double above_mm) {
    Cell cell{above_mm, domain, depth};
    Numbers middle;
    for (std::size_t i = 0; i < 3; ++i) middle[i] = 0.5 * (domain.low[i] + domain.high[i]);
    const auto pair = place_pair(scene, meeting, middle);
    if (!pair) {
      if (depth < deepest_partial) cells.push(cell);
      return;
    }
    const SolidGap gap = gap_of(meeting, *pair, !only_whether);
    if (gap.mm < best.gap_mm) {
      best = {gap.mm, middle};
      any = true;
    }
    if (gap.mm < best.gap_mm + 1) good.push_back({gap.mm, middle});
    if (only_whether && gap.mm == 0) return;
    const Vec3& n = gap.normal;
    const auto along = [&](std::size_t mover, int sign) {
      return [&scene, mover, sign, &n](double drive, double travel) -> std::optional<double> {
        const auto placed = place(scene, scene.movers[mover], drive, travel);
        if (!placed) return std::nullopt;
        return sign > 0 ? least_along(placed->disc, n) : -greatest_along(placed->disc, n);
      };
    };
    const std::array<double, 2> drive{domain.low[0], domain.high[0]};
    const auto one = least_over(along(meeting.mover, 1), drive, {domain.low[1], domain.high[1]});
    const auto other = meeting.other ? least_over(along(*meeting.other, -1), drive, {domain.low[2], domain.high[2]})
                                     : std::optional(-greatest_along(meeting.box, n));
    if (!one || !other) return;
    const double least = *one + *other;
    if (least == -infinite && depth >= deepest_partial) return;
    cell.least_mm = std::max(above_mm, least);
    if (cell.least_mm < best.gap_mm - search_mm) cells.push(cell);
  };
  const auto halve = [&](const Cell& cell) {
    // Across the direction that is the largest part of the whole.
    std::size_t widest = 3;
    double most = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      const double width = whole.high[k] - whole.low[k];
      const double share = width > 0 ? (cell.domain.high[k] - cell.domain.low[k]) / width : 0;
      if (share > most) {
        most = share;
        widest = k;
      }
    }
    if (widest == 3) return;
    const double middle = 0.5 * (cell.domain.low[widest] + cell.domain.high[widest]);
    Domain lower = cell.domain, upper = cell.domain;
    lower.high[widest] = upper.low[widest] = middle;
    look(lower, cell.depth + 1, cell.least_mm);
    look(upper, cell.depth + 1, cell.least_mm);
  };
  look(whole, 0, -infinite);
  for (int i = 0; i < most_cells && !cells.empty(); ++i) {
    if (only_whether && any && best.gap_mm == 0) return best;
    const Cell cell = cells.top();
    cells.pop();
    if (cell.least_mm >= best.gap_mm - search_mm) break;
    halve(cell);
  }
  if (!any) return {};
  // The best few, each drawn down.
  std::sort(good.begin(), good.end(), [](const Found& a, const Found& b) { return a.gap_mm < b.gap_mm; });
  constexpr std::size_t tried = 3;
  for (std::size_t i = 0; i < std::min(tried, good.size()); ++i) {
    const Found down = draw_down(scene, meeting, whole, good[i], 0.02, !only_whether);
    if (down.gap_mm < best.gap_mm) best = down;
  }
  if (!only_whether && meeting.other) best = lesser_of_twins(scene, meeting, whole, best);
  return best;
}

// The axis of a wheel at rest: square to where it points, leaning with its camber.
Vec3 spin_axis(const Vec3& ahead, double y_mm, const WheelResult* sprung) {
  const Vec3 level = Vec3(-ahead.y(), ahead.x(), 0).normalized();
  if (!sprung || !sprung->path || !sprung->path->rest.camber_deg) return level;
  const double outward = y_mm < 0 ? -1 : 1;
  return Eigen::AngleAxisd(-outward * *sprung->path->rest.camber_deg * rad_per_deg, Vec3::UnitX()) * level;
}

void add_tyre(const Tyre& tyre, Mover& mover) {
  mover.radius_mm = tyre.diameter_mm / 2;
  mover.half_width_mm = tyre.width_mm / 2;
}

Vec3 sprung_centre(const Model& model, const Solution& solution, WheelRef ref) {
  const WheelResult& wheel =
      solution.corners[static_cast<std::size_t>(ref.corner)].wheels[static_cast<std::size_t>(ref.wheel)];
  return on_vehicle(model.corners[static_cast<std::size_t>(ref.corner)], linkage_at(model, ref.corner).plane,
                    wheel.centre_C_mm);
}

Mover steered_mover(const Model& model, const Solution& solution, const Scene& scene, std::size_t k) {
  const Knuckle& knuckle = scene.set.knuckles[k];
  const Corner& at = model.corners[static_cast<std::size_t>(scene.set.corner)];
  const Linkage& top = linkage_at(model, scene.set.corner);
  const Wheel& wheel = top.wheels[static_cast<std::size_t>(knuckle.wheel)];
  Mover out;
  out.name = wheel.same_as.empty() ? wheel.name : wheel.same_as;
  out.knuckle = static_cast<int>(k);
  out.sprung = knuckle.same_as;
  const Pose& pose = scene.drawn[static_cast<std::size_t>(knuckle.body)];
  const Vec2& p = top.bodies[static_cast<std::size_t>(knuckle.body)].holes[static_cast<std::size_t>(wheel.at.hole)].p_B;
  out.centre_mm = on_vehicle(at, Plane::top, in_chassis(pose, p));
  const WheelResult* sprung = nullptr;
  add_tyre(wheel.tyre, out);
  if (out.sprung) {
    const auto c = static_cast<std::size_t>(out.sprung->corner), w = static_cast<std::size_t>(out.sprung->wheel);
    out.way = carrier_travel(model, solution, *out.sprung);
    out.centre_mm.z() = sprung_centre(model, solution, *out.sprung).z();
    sprung = &solution.corners[c].wheels[w];
    add_tyre(linkage_at(model, out.sprung->corner).wheels[w].tyre, out);
  }
  out.axis = spin_axis(knuckle.ahead, out.centre_mm.y(), sprung);
  return out;
}

// The knuckles' wheels in file order, then all other sprung wheels.
void add_movers(const Model& model, const Solution& solution, Scene& scene) {
  std::vector<std::size_t> order(scene.set.knuckles.size());
  for (std::size_t k = 0; k < order.size(); ++k) order[k] = k;
  std::sort(order.begin(), order.end(),
            [&](std::size_t a, std::size_t b) { return scene.set.knuckles[a].wheel < scene.set.knuckles[b].wheel; });
  for (const std::size_t k : order) scene.movers.push_back(steered_mover(model, solution, scene, k));
  scene.steered = scene.movers.size();
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Linkage& linkage = linkage_at(model, static_cast<int>(c));
    if (linkage.plane == Plane::top) continue;
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      const WheelRef ref{static_cast<int>(c), static_cast<int>(w)};
      const auto last = scene.movers.begin() + static_cast<std::ptrdiff_t>(scene.steered);
      if (std::any_of(scene.movers.begin(), last, [&](const Mover& m) { return m.sprung == ref; })) continue;
      Mover mover;
      mover.name = model.corners[c].name + "/" + linkage.wheels[w].name;
      mover.sprung = ref;
      mover.way = carrier_travel(model, solution, ref);
      mover.centre_mm = sprung_centre(model, solution, ref);
      mover.axis = spin_axis(Vec3::UnitX(), mover.centre_mm.y(), &solution.corners[c].wheels[w]);
      add_tyre(linkage.wheels[w].tyre, mover);
      scene.movers.push_back(std::move(mover));
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
  if (!mover.way) return {0, 0};
  return {mover.way->curve->points.front().travel_mm, mover.way->curve->points.back().travel_mm};
}

Domain domain_of(const Scene& scene, const Meeting& meeting, double least, double greatest) {
  const auto one = travel_range(scene.movers[meeting.mover]);
  auto other = meeting.other ? travel_range(scene.movers[*meeting.other]) : std::array<double, 2>{0, 0};
  // Of two wheels of one linkage each rises alone: the other one stays at rest.
  if (meeting.other && scene.movers[*meeting.other].way && scene.movers[meeting.mover].sprung &&
      scene.movers[*meeting.other].sprung->corner == scene.movers[meeting.mover].sprung->corner) {
    other[0] = other[1] = scene.movers[*meeting.other].way->rest_travel_mm;
  }
  return {{least, one[0], other[0]}, {greatest, one[1], other[1]}};
}

bool touches_within(Scene& scene, const std::vector<Meeting>& meetings, double least, double greatest) {
  return std::any_of(meetings.begin(), meetings.end(), [&](const Meeting& meeting) {
    return least_gap(scene, meeting, domain_of(scene, meeting, least, greatest), search_mm, true).gap_mm == 0;
  });
}

double steer_of(Scene& scene, double drive) {
  double most = 0;
  for (std::size_t i = 0; i < scene.steered; ++i) {
    const Mover& mover = scene.movers[i];
    const double rest = mover.way ? mover.way->rest_travel_mm : 0;
    const auto placed = place(scene, mover, drive, rest), straight = place(scene, mover, 0, rest);
    if (placed && straight)
      most = std::max(most, std::abs(std::remainder(placed->heading_rad - straight->heading_rad, 360 * rad_per_deg)));
  }
  return most;
}

// From 0 to an end of the drive: how far it can go. What is clear up to there stays known while the bracket closes.
double clear_up_to(Scene& scene, const std::vector<Meeting>& meetings, double end) {
  const auto within = [&](double a, double b) {
    return touches_within(scene, meetings, std::min(a, b), std::max(a, b));
  };
  if (end == 0 || !within(0, end)) return end;
  double clear = 0, touching = end;
  while (std::abs(steer_of(scene, touching) - steer_of(scene, clear)) > lock_rad &&
         std::abs(touching - clear) > 1e-9 * std::abs(end)) {
    const double middle = 0.5 * (clear + touching);
    (within(clear, middle) ? touching : clear) = middle;
  }
  return clear;
}

}  // namespace

Room room_at_lock(const Model& model, const Solution& solution, int corner, DrivePath* way,
                  const std::array<double, 2>& range) {
  Scene scene{.model = model, .set = {}, .way = way, .room = {}, .q = {}, .drawn = {}, .poses = {}, .movers = {}};
  scene.drawn = scene.poses = solution.corners[static_cast<std::size_t>(corner)].poses;
  scene.set = knuckle_set(model, corner, scene.drawn);
  if (way) prepare(*way, scene.room);
  add_movers(model, solution, scene);

  Room out;
  const auto& drive = linkage_at(model, corner).drive;
  const double unit = drive && drive->pin ? rad_per_deg : 1;
  const std::array<double, 2> ends = way ? range : std::array<double, 2>{0, 0};
  std::vector<Meeting> all;
  for (std::size_t m = 0; m < scene.steered; ++m) {
    const std::vector<Meeting> meetings = meetings_of(model, scene, m);
    Found least;
    const Meeting* with = nullptr;
    for (const Meeting& meeting : meetings) {
      const Found found = least_gap(scene, meeting, domain_of(scene, meeting, ends[0], ends[1]), least.gap_mm, false);
      if (!(found.gap_mm < least.gap_mm)) continue;
      least = found;
      with = &meeting;
    }
    all.insert(all.end(), meetings.begin(), meetings.end());
    if (!with) continue;
    const Mover& mover = scene.movers[m];
    LeastGap gap;
    gap.wheel = mover.name;
    gap.against = with->against;
    gap.box = !with->other;
    gap.gap_mm = least.gap_mm;
    gap.drive = least.at[0] / unit;
    if (mover.way) gap.travel_mm = least.at[1];
    if (with->other && scene.movers[*with->other].way) gap.other_travel_mm = least.at[2];
    gap.at_mm = gap_of(*with, *place_pair(scene, *with, least.at), true).on_first_mm;
    const auto placed = place(scene, mover, least.at[0], least.at[1]);
    const Vec3& ahead = scene.set.knuckles[static_cast<std::size_t>(mover.knuckle)].ahead;
    gap.steer_deg = std::remainder(placed->heading_rad - heading_rad(ahead), 360 * rad_per_deg) / rad_per_deg;
    out.clear = out.clear && gap.gap_mm >= 0;
    out.gaps.push_back(std::move(gap));
  }
  if (out.clear)
    out.clear_drive = {{ends[0] / unit, ends[1] / unit}};
  else if (!touches_within(scene, all, 0, 0))
    out.clear_drive = {{clear_up_to(scene, all, ends[0]) / unit, clear_up_to(scene, all, ends[1]) / unit}};
  return out;
}

}  // namespace ridepitch
