#include "steer/drive_sweep.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "linkage/mobility.hpp"
#include "linkage/straight_links.hpp"
#include "ride/layered_parts.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

constexpr double longest_share = 0.05;  // of the linkage's size, that any point moves from one anchor to the next
constexpr double finest_share = 0.002;  // of the same, beside a stop that is nearly met
constexpr double last_share = 1e-9;     // of the same: a step that moves less tells no two places apart
constexpr double bend_share = 0.05;     // of a step, that the way may bend off the mean of its two directions
constexpr double no_end_sizes = 10;     // a slide without a stroke is followed so far
constexpr int most_steps = 20000;
constexpr double met_mm = 1e-9;
constexpr double nan = std::numeric_limits<double>::quiet_NaN();

/// Greatest motion of a coordinate, radians counted in mm.
double motion_mm(const Mechanism& mechanism, const Eigen::VectorXd& dq) {
  double size = 0;
  for (Eigen::Index i = 0; i < dq.size(); ++i)
    size = std::max(size, (i % 3 == 2 ? mechanism.size_mm : 1) * std::abs(dq[i]));
  return size;
}

/// One that goes along the way. `mechanism` holds the drive where it is.
struct Walker {
  Mechanism mechanism;
  int tie = 0;
  Closure room;
  DriveAnchor at;
  double side = 0;  // sign of the determinant of the ties: changes past a dead point
  Eigen::VectorXd trial;
};

/// Motion, bend and inverse at `at.q`.
void look_ahead(Walker& walker) {
  linearise(walker.mechanism, walker.at.q, walker.room);
  walker.side = walker.room.part.det_sign;
  walker.at.motion.resize(walker.at.q.size());
  walker.at.inverse.resize(walker.at.q.size(), walker.room.J.rows());
  for (Eigen::Index k = 0; k < walker.room.J.rows(); ++k) {
    follow_tie(static_cast<int>(k), walker.room, walker.at.motion);
    walker.at.inverse.col(k) = walker.at.motion;
  }
  walker.at.motion = walker.at.inverse.col(walker.tie);
  // The ties stay met along the way: J q'' + q' (d2 tie) q' = 0.
  Closure& room = walker.room;
  for (std::size_t k = 0; k < walker.mechanism.ties.size(); ++k) {
    const Gauge& gauge = walker.mechanism.ties[k].gauge;
    room.right_side[static_cast<Eigen::Index>(k)] =
        -curvature_along(gauge, read(gauge, walker.at.q, room.turns), walker.at.q, room.turns, walker.at.motion);
  }
  walker.at.bend.noalias() = walker.at.inverse * room.right_side;
}

/// Moves on to a drive value. @returns false, and stays, where that can't be done in one step
bool advance(Walker& walker, double drive) {
  Mechanism& mechanism = walker.mechanism;
  Tie& tie = mechanism.ties[static_cast<std::size_t>(walker.tie)];
  const double step = drive - walker.at.drive;
  walker.trial = walker.at.q + step * walker.at.motion;
  const double length = motion_mm(mechanism, walker.trial - walker.at.q);
  tie.target = drive;
  const double side = walker.side;
  DriveAnchor before = walker.at;
  const auto refuse = [&] {
    tie.target = before.drive;
    walker.at = std::move(before);
    walker.side = side;
    return false;
  };
  if (!close(mechanism, walker.trial, walker.room)) return refuse();
  walker.at.drive = drive;
  walker.at.q = walker.trial;
  look_ahead(walker);
  const bool square = walker.room.J.rows() == walker.room.J.cols();
  if (square && walker.side != side) return refuse();  // past a dead point, on the other side of it
  if (!walker.at.motion.allFinite()) return refuse();
  // The way bends; if it bends much within the step, this is another way, or too long a step to be sure.
  const Eigen::VectorXd mean = 0.5 * step * (before.motion + walker.at.motion);
  if (motion_mm(mechanism, walker.at.q - before.q - mean) > bend_share * length + 1e-12) return refuse();
  return true;
}

double gauge_value(const Gauge& gauge, const Eigen::VectorXd& q, std::vector<Turn>& turns) {
  set_turns(q, turns);
  return read(gauge, q, turns).value;
}

/// Something whose gap ends the way when it closes: a stop, or two parts of one layer.
struct Watch {
  int stop = -1;           // of the mechanism; -1: two parts
  int one = 0, other = 0;  // layered parts
  bool armed = false;      // false while it is still met from the start
  bool nears = false;      // its gap shrank in the last step
};

struct Watched {
  const Mechanism& mechanism;
  std::vector<LayeredPart> parts;
  std::vector<Turn> turns;
  std::vector<Watch> watches;
};

double gap_at(Watched& watched, const Watch& watch, const Eigen::VectorXd& q) {
  if (watch.stop >= 0) {
    const Stop& stop = watched.mechanism.stops[static_cast<std::size_t>(watch.stop)];
    return stop_gap(stop, gauge_value(stop.gauge, q, watched.turns));
  }
  return part_gap(*watched.mechanism.linkage, watched.parts[static_cast<std::size_t>(watch.one)],
                  watched.parts[static_cast<std::size_t>(watch.other)], moving_poses(q));
}

Watched watch_all(const Mechanism& mechanism, const Eigen::VectorXd& q, double module_mm) {
  Watched watched{mechanism, layered_parts(*mechanism.linkage, module_mm), {}, {}};
  watched.turns.resize(static_cast<std::size_t>(mechanism.bodies));
  for (std::size_t i = 0; i < mechanism.stops.size(); ++i) watched.watches.push_back({.stop = static_cast<int>(i)});
  for (std::size_t i = 0; i < watched.parts.size(); ++i)
    for (std::size_t j = i + 1; j < watched.parts.size(); ++j)
      if (watched.parts[i].layer == watched.parts[j].layer)
        watched.watches.push_back({.one = static_cast<int>(i), .other = static_cast<int>(j)});
  for (Watch& watch : watched.watches) watch.armed = gap_at(watched, watch, q) > 1e-7;
  return watched;
}

DriveEnd end_at(const Watched& watched, const Watch& watch) {
  if (watch.stop >= 0) return {watched.mechanism.stops[static_cast<std::size_t>(watch.stop)].name, {}};
  return {"contact",
          {watched.parts[static_cast<std::size_t>(watch.one)].name,
           watched.parts[static_cast<std::size_t>(watch.other)].name}};
}

/// Draws the walker, which stands just before a dead point, onto it: where the drive's reading turns back along the
/// linkage's own motion. Where it does not turn back (two ways cross), the walker stays.
void finish_dead_point(Walker& walker, int direction) {
  Mechanism loose = walker.mechanism;
  const Gauge drive = loose.ties[static_cast<std::size_t>(walker.tie)].gauge;
  loose.ties.erase(loose.ties.begin() + walker.tie);
  loose.rank -= 1;
  Closure room;
  prepare(loose, room);
  Eigen::MatrixXd T;
  // The linkage's own direction at q, the drive growing in the sense of `direction` at the start; the drive's slope along it.
  Eigen::VectorXd tangent;
  const auto slope_at = [&](const Eigen::VectorXd& q) {
    linearise(loose, q, room);
    tangents(room.part, T);
    Eigen::VectorXd t = T.col(0) / motion_mm(loose, T.col(0));
    const double slope = direction * slope_along(drive, read(drive, q, room.turns), t);
    const bool turn_back = tangent.size() ? tangent.dot(t) < 0 : slope < 0;
    if (turn_back) t = -t;
    if (tangent.size() == 0) tangent = t;
    return turn_back ? -slope : slope;
  };
  const Eigen::VectorXd start = walker.at.q;
  const double slope_start = slope_at(start);
  const auto place = [&](double step, Eigen::VectorXd& q) {
    q = start + step * tangent;
    return close(loose, q, room);
  };
  Eigen::VectorXd q;
  double low = 0, high = 1e-6 * loose.size_mm, slope_low = slope_start, slope_high = 0;
  for (;; high *= 2) {
    if (high > 0.2 * loose.size_mm || !place(high, q)) return;
    slope_high = slope_at(q);
    if (slope_high <= 0) break;
    low = high;
    slope_low = slope_high;
  }
  for (int k = 0; k < 60 && high - low > 1e-14 * loose.size_mm; ++k) {
    const double middle = low + (high - low) * slope_low / (slope_low - slope_high);
    if (!place(middle, q)) return;
    const double slope = slope_at(q);
    if (std::abs(slope) < 1e-14) break;
    if (slope > 0) {
      low = middle;
      slope_low = slope;
      slope_high *= 0.5;
    } else {
      high = middle;
      slope_high = slope;
      slope_low *= 0.5;
    }
  }
  walker.at.q = q;
  walker.at.drive = gauge_value(drive, q, room.turns);
}

/// Goes on to where the watch's gap is 0, between a place where it is open and one where it is overrun.
/// @returns false where the way between the two was lost
bool go_to_gap(Walker& walker, Watched& watched, const Watch& watch, const DriveAnchor& open, double side) {
  double low = open.drive, high = walker.at.drive;
  double gap_low = gap_at(watched, watch, open.q), gap_high = gap_at(watched, watch, walker.at.q);
  // Secant steps, kept inside by bisection (Illinois).
  for (int k = 0; k < 80 && std::abs(high - low) > 1e-15 * std::max(1.0, std::abs(high)); ++k) {
    const double middle = low + (high - low) * gap_low / (gap_low - gap_high);
    walker.at = open;
    walker.side = side;
    if (middle == open.drive) return true;
    if (!advance(walker, middle)) return false;
    const double gap = gap_at(watched, watch, walker.at.q);
    if (std::abs(gap) < 1e-12) return true;
    (gap > 0 ? low : high) = middle;
    (gap > 0 ? gap_low : gap_high) = gap;
    (gap > 0 ? gap_high : gap_low) *= 0.5;
  }
  return true;
}

/// Follows the way in one direction, up to a drive value. @returns its end; adds every anchor but the first.
DriveEnd go(Walker& walker, Watched watched, int direction, double limit, std::string limit_name,
            std::vector<DriveAnchor>& anchors) {
  const Mechanism& mechanism = walker.mechanism;
  const double size = mechanism.size_mm;
  double reach = 0.3 * longest_share * size;  // how far the next step may move anything
  for (int i = 0; i < most_steps; ++i) {
    if (walker.at.drive == limit) return {std::move(limit_name), {}};
    const double speed = motion_mm(mechanism, walker.at.motion);
    const double step = reach / std::max(speed, 1e-12);
    double goal = walker.at.drive + direction * step;
    if (direction * (goal - limit) > -1e-3 * step) goal = limit;
    const DriveAnchor before = walker.at;
    const double side = walker.side;
    if (goal == before.drive || !advance(walker, goal)) {
      reach = 0.5 * std::min(reach, std::abs(goal - before.drive) * speed);
      if (reach > last_share * size) continue;
      DriveEnd end{"dead point", straight_links(mechanism, walker.at.q)};
      finish_dead_point(walker, direction);
      walker.at.motion.setConstant(nan);
      walker.at.bend.setConstant(nan);
      walker.at.inverse.resize(0, 0);
      if (walker.at.drive == before.drive && !anchors.empty()) anchors.pop_back();
      anchors.push_back(walker.at);
      return end;
    }
    const auto go_back = [&] {
      walker.at = before;
      walker.side = side;
    };
    const Watch* met = nullptr;
    double first = 2;
    bool may_graze = false;  // a gap that shrank and is small against the step may have been under 0 within it
    for (Watch& watch : watched.watches) {
      const double gap_before = gap_at(watched, watch, before.q), after = gap_at(watched, watch, walker.at.q);
      if (!watch.armed) {
        watch.armed = after > met_mm;
        // A stop met at the start that would be overrun at once leaves no way; parts that overlap are shown so anyhow.
        if (watch.stop >= 0 && after < -1e-7) {
          met = &watch;
          first = 0;
        }
        continue;
      }
      if (after >= 0) {
        may_graze = may_graze || (watch.nears && std::min(gap_before, after) < 0.5 * reach);
        continue;
      }
      const double at = gap_before / (gap_before - after);
      if (at < first) {
        first = at;
        met = &watch;
      }
    }
    if (met && first <= 0) {
      go_back();
      return end_at(watched, *met);
    }
    if (met) {
      const Watch watch = *met;
      bool lost = !go_to_gap(walker, watched, watch, before, side);
      // Another one may be met a little earlier than the straight line between the two places told.
      for (const Watch& other : watched.watches)
        lost = lost || (other.armed && gap_at(watched, other, walker.at.q) < -1e-10);
      if (lost && reach > last_share * size) {
        go_back();
        reach /= 4;
        continue;
      }
      if (walker.at.drive != before.drive) anchors.push_back(walker.at);
      return end_at(watched, watch);
    }
    const double fine = finest_share * size;
    if (may_graze && reach > fine) {
      go_back();
      reach = std::max(reach / 4, fine);
      continue;
    }
    for (Watch& watch : watched.watches)
      watch.nears = watch.armed && gap_at(watched, watch, walker.at.q) < gap_at(watched, watch, before.q);
    anchors.push_back(walker.at);
    reach = std::min(1.5 * reach, longest_share * size);
  }
  return {};
}

struct DriveLimit {
  double value = 0;
  std::string name;
};

std::array<DriveLimit, 2> limits_of(const Linkage& linkage, double size_mm) {
  const Drive& drive = *linkage.drive;
  if (drive.slide) {
    const auto& stroke = linkage.slides[static_cast<std::size_t>(*drive.slide)].stroke_mm;
    if (stroke) return {{{(*stroke)[0], "stroke"}, {(*stroke)[1], "stroke"}}};
    return {{{-no_end_sizes * size_mm, ""}, {no_end_sizes * size_mm, ""}}};
  }
  if (drive.range_rad) return {{{(*drive.range_rad)[0], "range"}, {(*drive.range_rad)[1], "range"}}};
  return {{{-std::numbers::pi, "half turn"}, {std::numbers::pi, "half turn"}}};
}

/// What still moves with the drive held.
Problem loose(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Linkage& linkage = *mechanism.linkage;
  Closure room;
  prepare(mechanism, room);
  linearise(mechanism, q, room);
  Eigen::MatrixXd T;
  tangents(room.part, T);
  std::vector<std::string> names;
  for (int b = 0; b < mechanism.bodies; ++b)
    if (T.middleRows(3 * b, 3).cwiseAbs().maxCoeff() > 1e-9)
      names.push_back(fmt::format("'{}'", linkage.bodies[static_cast<std::size_t>(b) + 1].name));
  Problem problem;
  problem.place = linkage.drive->place;
  problem.code = "loose-steering";
  problem.text = fmt::format("with the drive of linkage '{}' held, {} can still move: nothing ties {} to it",
                             linkage.name, listed(names), names.size() == 1 ? "it" : "them");
  problem.hint = "add the rod or pin that carries the drive's movement there, or leave out what is loose";
  return problem;
}

}  // namespace

DriveWayOrProblem find_drive_way(const Assembly& assembly, double module_mm) {
  const Linkage& linkage = *assembly.mechanism.linkage;
  if (assembly.mechanism.freedoms() > 0) return {std::nullopt, loose(assembly.mechanism, assembly.q)};
  Walker start;
  start.mechanism = assembly.mechanism;
  const auto& ties = start.mechanism.ties;
  start.tie = static_cast<int>(
      std::find_if(ties.begin(), ties.end(), [](const Tie& tie) { return tie.of == Tie::Of::drive; }) - ties.begin());
  prepare(start.mechanism, start.room);
  start.at.q = assembly.q;
  look_ahead(start);

  const Watched watched = watch_all(start.mechanism, assembly.q, module_mm);
  const auto limits = limits_of(linkage, start.mechanism.size_mm);
  DriveWay way;
  way.mechanism = assembly.mechanism;
  way.tie = start.tie;
  Walker walker = start;
  way.ends[0] = go(walker, watched, -1, limits[0].value, limits[0].name, way.anchors);
  std::reverse(way.anchors.begin(), way.anchors.end());
  way.anchors.push_back(start.at);
  walker = start;
  std::vector<DriveAnchor> upwards;
  way.ends[1] = go(walker, watched, +1, limits[1].value, limits[1].name, upwards);
  way.anchors.insert(way.anchors.end(), std::make_move_iterator(upwards.begin()),
                     std::make_move_iterator(upwards.end()));
  return {std::move(way), std::nullopt};
}

void prepare(const DriveWay& way, DriveRoom& room) {
  prepare(way.mechanism, room.closure);
  room.step.setZero(way.mechanism.coordinates());
  room.anchor = 0;
}

namespace {

/// The polynomial of degree 5 that has both anchors' places, directions and bends.
void between(const DriveAnchor& a, const DriveAnchor& b, double t, Eigen::VectorXd& q) {
  const double h = b.drive - a.drive, s = 1 - t;
  const double sss = s * s * s, ttt = t * t * t;
  const double p0 = sss * (1 + 3 * t + 6 * t * t), v0 = h * t * sss * (1 + 3 * t), c0 = 0.5 * h * h * t * t * sss;
  const double p1 = ttt * (1 + 3 * s + 6 * s * s), v1 = -h * s * ttt * (1 + 3 * s), c1 = 0.5 * h * h * s * s * ttt;
  for (Eigen::Index i = 0; i < q.size(); ++i)
    q[i] = p0 * a.q[i] + v0 * a.motion[i] + c0 * a.bend[i] + p1 * b.q[i] + v1 * b.motion[i] + c1 * b.bend[i];
}

/// Newton with a fixed inverse. @returns whether it settled
bool draw_onto_ties(const DriveWay& way, const DriveAnchor& anchor, DriveRoom& room, Eigen::VectorXd& q) {
  double previous = std::numeric_limits<double>::infinity();
  for (int k = 0; k < 20; ++k) {
    measure_ties(way.mechanism, q, room.closure);
    room.step.noalias() = anchor.inverse * room.closure.residual;
    const double size = room.step.lpNorm<Eigen::Infinity>();
    if (!(size < 0.5 * previous)) return size < 1e-11;
    q -= room.step;
    // Each step leaves a small part of the last one, as the last two tell.
    if (size < 1e-11 || (k > 0 && size * size < 1e-13 * previous)) return true;
    previous = size;
  }
  return true;
}

/// The place by Newton from an anchor, in halves where it is far: beside a dead point no polynomial fits.
bool walk_there(const DriveWay& way, const DriveAnchor& from, double drive, Eigen::VectorXd& q) {
  Walker walker{way.mechanism, way.tie, {}, from, 0, {}};
  walker.mechanism.ties[static_cast<std::size_t>(way.tie)].target = from.drive;
  prepare(walker.mechanism, walker.room);
  look_ahead(walker);
  double step = drive - walker.at.drive;
  for (int i = 0; i < 2000 && walker.at.drive != drive; ++i) {
    const double left = drive - walker.at.drive;
    if (std::abs(step) >= std::abs(left)) step = left;
    if (advance(walker, step == left ? drive : walker.at.drive + step))
      step *= 1.5;
    else if (std::abs(step /= 2) < 1e-15)
      break;
  }
  q = walker.at.q;
  return walker.at.drive == drive;
}

}  // namespace

bool place_drive(DriveWay& way, double drive, DriveRoom& room, Eigen::VectorXd& q) {
  const std::vector<DriveAnchor>& anchors = way.anchors;
  way.mechanism.ties[static_cast<std::size_t>(way.tie)].target = std::clamp(drive, way.least(), way.greatest());
  const auto stand_at = [&](const DriveAnchor& anchor) {
    q = anchor.q;
    return anchor.drive == drive;
  };
  if (drive <= way.least()) return stand_at(anchors.front());
  if (drive >= way.greatest()) return stand_at(anchors.back());
  std::size_t& i = room.anchor;
  while (drive < anchors[i].drive) --i;
  while (drive > anchors[i + 1].drive) ++i;
  const DriveAnchor &a = anchors[i], &b = anchors[i + 1];
  if (drive == a.drive) return stand_at(a);
  if (drive == b.drive) return stand_at(b);
  if (a.inverse.size() == 0) return walk_there(way, b, drive, q);
  if (b.inverse.size() == 0) return walk_there(way, a, drive, q);
  const double t = (drive - a.drive) / (b.drive - a.drive);
  const DriveAnchor& nearer = t < 0.5 ? a : b;
  q.resize(a.q.size());
  between(a, b, t, q);
  return draw_onto_ties(way, nearer, room, q) || walk_there(way, nearer, drive, q);
}

void drive_motion(const DriveWay& way, const Eigen::VectorXd& q, DriveRoom& room, Eigen::VectorXd& motion) {
  linearise(way.mechanism, q, room.closure);
  motion.resize(q.size());
  follow_tie(way.tie, room.closure, motion);
}

DriveSweep sweep_drive(DriveWay& way, double least, double greatest, int points) {
  DriveSweep sweep;
  DriveRoom room;
  prepare(way, room);
  const Eigen::Index n = way.mechanism.coordinates();
  sweep.drive.reserve(static_cast<std::size_t>(points));
  sweep.q.resize(n, points);
  Eigen::VectorXd q(n);
  for (int i = 0; i < points; ++i) {
    const double share = static_cast<double>(i) / (points - 1);
    double drive = i + 1 == points ? greatest : least + share * (greatest - least);
    // The middle of a range that lies even about 0 is 0, not what rounding leaves of it.
    if (std::abs(drive) < 1e-12 * (greatest - least)) drive = 0;
    place_drive(way, drive, room, q);
    sweep.drive.push_back(drive);
    sweep.q.col(i) = q;
  }
  return sweep;
}

}  // namespace ridepitch
