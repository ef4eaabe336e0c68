#include "steer/drive_sweep.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <numbers>

#include "linkage/follow.hpp"
#include "linkage/mobility.hpp"
#include "model/index.hpp"
#include "ride/pose.hpp"
#include "stack/gap.hpp"
#include "stack/pieces.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

constexpr double bend_share = 0.05;   // of a step, that the path may bend off the mean of its two headings
constexpr double least_share = 1e-9;  // of the linkage's size: a step that moves less tells no two places apart
constexpr double no_end_sizes = 10;   // a slide without a stroke is followed so far
constexpr double nan = std::numeric_limits<double>::quiet_NaN();

Follower follow_drive(const Mechanism& mechanism, int tie, const Eigen::VectorXd& from) {
  Follower follower = follow(mechanism, tie, from);
  follower.most_bend = bend_share;
  return follower;
}

DriveAnchor anchor_at(Follower& follower) {
  DriveAnchor anchor;
  Closure& closure = follower.closure;
  anchor.drive = follower.here.s;
  anchor.q = anchor.motion = follower.here.q;
  linearise(follower.mechanism, anchor.q, closure);
  anchor.inverse.resize(anchor.q.size(), closure.J.rows());
  for (Eigen::Index k = 0; k < closure.J.rows(); ++k) {
    follow_tie(static_cast<int>(k), closure, anchor.motion);
    anchor.inverse.col(k) = anchor.motion;
  }
  anchor.motion = anchor.inverse.col(follower.tie);
  // The ties stay met along the path: J q'' + q' (d2 tie) q' = 0.
  Eigen::Index row = 0;
  for (const Tie& tie : follower.mechanism.ties)
    closure.right_side[row++] =
        -curvature_along(tie.gauge, read(tie.gauge, anchor.q, closure.turns), anchor.q, closure.turns, anchor.motion);
  anchor.bend.noalias() = anchor.inverse * closure.right_side;
  return anchor;
}

DriveAnchor dead_anchor(const PathPlace& place) {
  const Eigen::VectorXd none = Eigen::VectorXd::Constant(place.q.size(), nan);
  return {.drive = place.s, .q = place.q, .motion = none, .bend = none, .inverse = {}};
}

/// What may end the path, and its name for each.
struct DriveWatches {
  std::vector<Watch> watches;
  std::vector<DriveEnd> ends;
};

/// Two sheets of parts whose layers the file gives, and that overlap across.
struct LayeredPair {
  const StackItem *one, *other;
  const StackSheet *sheet, *other_sheet;
};

std::vector<LayeredPair> layered_pairs(const StackParts& parts) {
  std::vector<LayeredPair> pairs;
  for (auto one = parts.items.begin(); one != parts.items.end(); ++one)
    for (auto other = one + 1; other != parts.items.end(); ++other) {
      if (!one->layer || !other->layer || !one->is_part() || !other->is_part()) continue;
      for (const StackSheet& sheet : one->sheets)
        for (const StackSheet& other_sheet : other->sheets)
          if (overlap(sheet.walls, *one->layer, other_sheet.walls, *other->layer))
            pairs.push_back({&*one, &*other, &sheet, &other_sheet});
    }
  return pairs;
}

/// Every stop, and every two parts that their layers let meet. @param parts  must outlive the result
DriveWatches watch_all(const Mechanism& mechanism, const StackParts& parts) {
  DriveWatches out;
  for (const Stop& stop : mechanism.stops) {
    out.watches.push_back({.stop = &stop});
    out.ends.push_back({stop.name, {}});
  }
  for (const LayeredPair& pair : layered_pairs(parts)) {
    out.watches.push_back({.own_gap = [pair](const Eigen::VectorXd& q) {
      return gap_in(pair.sheet->silhouette, pair.other_sheet->silhouette, moving_poses(q));
    }});
    out.ends.push_back({"contact", {pair.one->name, pair.other->name}});
  }
  return out;
}

struct DriveLimit {
  double value = 0;
  std::string name;
};

std::array<DriveLimit, 2> limits_of(const Linkage& linkage, double size_mm) {
  const auto both = [](const std::array<double, 2>& values, const char* name) {
    return std::array<DriveLimit, 2>{{{values[0], name}, {values[1], name}}};
  };
  const Drive& drive = *linkage.drive;
  if (drive.slide) {
    const auto& stroke = at(linkage.slides, *drive.slide).stroke_mm;
    return stroke ? both(*stroke, "stroke") : both({-no_end_sizes * size_mm, no_end_sizes * size_mm}, "");
  }
  return drive.range_rad ? both(*drive.range_rad, "range") : both({-std::numbers::pi, std::numbers::pi}, "half turn");
}

/// Follows the drive in one direction. @returns its end; adds every anchor but the first.
DriveEnd follow_drive_to_end(Follower follower, DriveWatches& watched, int direction, const DriveLimit& limit,
                             std::vector<DriveAnchor>& anchors) {
  const PathRules rules{.direction = direction,
                        .limit = limit.value,
                        .least_step_mm = least_share * follower.mechanism.size_mm,
                        .by_motion = true};
  const PathEnd end = follow_to_end(follower, watched.watches, rules, [&] { anchors.push_back(anchor_at(follower)); });
  switch (end.why) {
    case PathEnd::Why::limit:
      return {limit.name, {}};
    case PathEnd::Why::gap:
      return at(watched.ends, end.watch);
    case PathEnd::Why::dead_point:
      break;
    case PathEnd::Why::none:
      return {search_limit, {}};
  }
  DriveEnd dead{"dead point", collinear_links(follower.mechanism, follower.here.q)};
  const double short_of_it = follower.here.s;
  go_to_dead_point(follower, direction);
  if (follower.here.s == short_of_it && !anchors.empty()) anchors.pop_back();
  anchors.push_back(dead_anchor(follower.here));
  return dead;
}

/// What still moves with the drive held.
Problem loose(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Linkage& linkage = *mechanism.linkage;
  const Eigen::MatrixXd T = tangents(linearised(mechanism, q).part);
  std::vector<std::string> names;
  for (int b = 0; b < mechanism.bodies; ++b)
    if (T.middleRows(3 * b, 3).cwiseAbs().maxCoeff() > 1e-9)
      names.push_back(fmt::format("'{}'", at(linkage.bodies, b + 1).name));
  return {.place = linkage.drive->place,
          .code = "loose-steering",
          .text = fmt::format("with the drive of linkage '{}' held, {} can still move: nothing ties {} to it",
                              linkage.name, listed(names), names.size() == 1 ? "it" : "them"),
          .hint = "add the rod or pin that carries the drive's movement there, or leave out what is loose"};
}

}  // namespace

DrivePathOrProblem find_drive_path(const Assembly& assembly, double module_mm, const Catalogue& catalogue) {
  const Mechanism& mechanism = assembly.mechanism;
  if (mechanism.freedoms() > 0) return {std::nullopt, loose(mechanism, assembly.q)};
  DrivePath path;
  path.mechanism = mechanism;
  const auto drive = std::find_if(mechanism.ties.begin(), mechanism.ties.end(),
                                  [](const Tie& tie) { return tie.of == Tie::Of::drive; });
  path.tie = static_cast<int>(drive - mechanism.ties.begin());
  Follower start = follow_drive(mechanism, path.tie, assembly.q);
  start.here.s = 0;  // as assembled, exactly
  const StackParts parts = stack_parts(catalogue, module_mm, *mechanism.linkage);
  DriveWatches watched = watch_all(mechanism, parts);
  const auto limits = limits_of(*mechanism.linkage, mechanism.size_mm);
  std::vector<DriveAnchor>& anchors = path.anchors;
  path.ends[0] = follow_drive_to_end(start, watched, -1, limits[0], anchors);
  std::reverse(anchors.begin(), anchors.end());
  anchors.push_back(anchor_at(start));
  path.ends[1] = follow_drive_to_end(start, watched, +1, limits[1], anchors);
  return {std::move(path), std::nullopt};
}

void prepare(const DrivePath& path, DriveWorkspace& workspace) {
  prepare(path.mechanism, workspace.closure);
  workspace.step.setZero(path.mechanism.coordinates());
  workspace.anchor = 0;
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
bool draw_onto_ties(const DrivePath& path, const DriveAnchor& anchor, DriveWorkspace& workspace, Eigen::VectorXd& q) {
  constexpr int most_corrections = 20;
  constexpr double settled = 1e-11;  // mm or rad
  double previous = std::numeric_limits<double>::infinity();
  for (int k = 0; k < most_corrections; ++k) {
    measure_ties(path.mechanism, q, workspace.closure);
    workspace.step.noalias() = anchor.inverse * workspace.closure.residual;
    const double size = workspace.step.lpNorm<Eigen::Infinity>();
    if (!(size < 0.5 * previous)) return size < settled;
    q -= workspace.step;
    // Each step leaves a small part of the last one, as the last two tell.
    if (size < settled || (k > 0 && size * size < 1e-13 * previous)) return true;
    previous = size;
  }
  return true;
}

/// Follows the path there from an anchor: beside a dead point no polynomial fits.
bool go_there(const DrivePath& path, const DriveAnchor& from, double drive, Eigen::VectorXd& q) {
  Follower follower = follow_drive(path.mechanism, path.tie, from.q);
  const bool arrived = go_to(follower, drive);
  q = follower.here.q;
  return arrived;
}

}  // namespace

bool place_drive(DrivePath& path, double drive, DriveWorkspace& workspace, Eigen::VectorXd& q) {
  const std::vector<DriveAnchor>& anchors = path.anchors;
  at(path.mechanism.ties, path.tie).target = std::clamp(drive, path.least(), path.greatest());
  const auto stand_at = [&](const DriveAnchor& anchor) {
    q = anchor.q;
    return anchor.drive == drive;
  };
  if (drive <= path.least()) return stand_at(anchors.front());
  if (drive >= path.greatest()) return stand_at(anchors.back());
  std::size_t& i = workspace.anchor;
  while (drive < anchors[i].drive) --i;
  while (drive > anchors[i + 1].drive) ++i;
  const DriveAnchor &a = anchors[i], &b = anchors[i + 1];
  if (drive == a.drive) return stand_at(a);
  if (drive == b.drive) return stand_at(b);
  if (a.inverse.size() == 0) return go_there(path, b, drive, q);
  if (b.inverse.size() == 0) return go_there(path, a, drive, q);
  const double t = (drive - a.drive) / (b.drive - a.drive);
  const DriveAnchor& nearer = t < 0.5 ? a : b;
  q.resize(a.q.size());
  between(a, b, t, q);
  return draw_onto_ties(path, nearer, workspace, q) || go_there(path, nearer, drive, q);
}

void drive_motion(const DrivePath& path, const Eigen::VectorXd& q, DriveWorkspace& workspace, Eigen::VectorXd& motion) {
  linearise(path.mechanism, q, workspace.closure);
  motion.resize(q.size());
  follow_tie(path.tie, workspace.closure, motion);
}

}  // namespace ridepitch
