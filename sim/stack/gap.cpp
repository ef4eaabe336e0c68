#include "stack/gap.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "model/index.hpp"
#include "ride/pose.hpp"

namespace ridepitch {

/// Where the bodies of a linkage are in one pose, the chassis first, their angles as cosine and sine.
struct BodyFrame {
  Vec2 p_CB = Vec2::Zero();
  double cosine = 1, sine = 0;
};

/// A silhouette over one motion.
struct Track {
  std::vector<Vec2> ends;    // [2 x pieces] of each pose, one pose after another
  std::vector<double> path;  // by each pose, how far its points can have gone since the first
  Vec2 low = Vec2::Constant(1e300), high = Vec2::Constant(-1e300);  // that it stays within
};

struct Tracks {
  const std::vector<Motion>& motions;
  std::vector<std::vector<BodyFrame>> frames = {};  // by motion
  std::vector<Silhouette> silhouettes = {};
  std::vector<std::vector<int>> corners = {};
  std::vector<std::vector<Track>> tracks = {};  // of each silhouette, by motion
};

namespace {

constexpr double search_mm = 0.03;  // a least gap is found to this
constexpr double alike_mm = 1e-3;   // corners that move alike
constexpr double far_mm = 1e300;
constexpr int deepest_halving = 24;

// ------------------------------------------------------------------------------------ gaps of pieces

double cross(const Vec2& a, const Vec2& b) { return a.x() * b.y() - a.y() * b.x(); }

double segment_distance(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  const Vec2 ab = b - a, cd = d - c;
  if (cross(ab, c - a) * cross(ab, d - a) < 0 && cross(cd, a - c) * cross(cd, b - c) < 0) return 0;
  return std::min(
      {point_to_segment(a, c, d), point_to_segment(b, c, d), point_to_segment(c, a, b), point_to_segment(d, a, b)});
}

/// How far a point is within a box: to its nearest side; negative outside.
double depth_in(const PlaneBox& box, const Vec2& p) {
  return std::min({p.x() - box.low.x(), box.high.x() - p.x(), p.y() - box.low.y(), box.high.y() - p.y()});
}

/// The deepest point of a straight piece within a box: depth is the least of four linear functions of the share along it, so
/// it is greatest at an end or where two of them meet.
double deepest_in(const PlaneBox& box, const Vec2& a, const Vec2& b) {
  const auto sides = [&](const Vec2& p) {
    return std::array<double, 4>{p.x() - box.low.x(), box.high.x() - p.x(), p.y() - box.low.y(), box.high.y() - p.y()};
  };
  const auto at_a = sides(a), at_b = sides(b);
  double deepest = std::max(depth_in(box, a), depth_in(box, b));
  for (std::size_t i = 0; i < 4; ++i)
    for (std::size_t k = i + 1; k < 4; ++k) {
      const double slope = (at_b[i] - at_a[i]) - (at_b[k] - at_a[k]);
      const double share = slope == 0 ? -1 : (at_a[k] - at_a[i]) / slope;
      if (share > 0 && share < 1) deepest = std::max(deepest, depth_in(box, a + share * (b - a)));
    }
  return deepest;
}

double box_distance(const PlaneBox& box, const Vec2& p) { return (p - p.cwiseMax(box.low).cwiseMin(box.high)).norm(); }

/// Distance of a straight piece from a box; within it negative.
double segment_to_box(const PlaneBox& box, const Vec2& a, const Vec2& b) {
  const double deep = deepest_in(box, a, b);
  if (deep >= 0) return -deep;
  double least = std::min(box_distance(box, a), box_distance(box, b));
  for (const Vec2& corner : {box.low, box.high, Vec2(box.low.x(), box.high.y()), Vec2(box.high.x(), box.low.y())})
    least = std::min(least, point_to_segment(corner, a, b));
  return least;
}

bool share_joint(const Capsule& one, const Capsule& other) {
  const auto same = [](const RidingPoint& a, const RidingPoint& b) { return a.joint >= 0 && a.joint == b.joint; };
  return same(one.a, other.a) || same(one.a, other.b) || same(one.b, other.a) || same(one.b, other.b);
}

/// @param ends  [2 x pieces] of each, where its pieces' ends are
double gap_of(const Silhouette& one, const Vec2* one_ends, const Silhouette& other, const Vec2* other_ends) {
  if (other.box) {
    double least = far_mm;
    for (std::size_t i = 0; i < one.pieces.size(); ++i)
      least =
          std::min(least, segment_to_box(*other.box, one_ends[2 * i], one_ends[2 * i + 1]) - one.pieces[i].radius_mm);
    return least;
  }
  if (one.box) return gap_of(other, other_ends, one, one_ends);
  double least = far_mm;
  for (std::size_t i = 0; i < one.pieces.size(); ++i)
    for (std::size_t k = 0; k < other.pieces.size(); ++k) {
      if (share_joint(one.pieces[i], other.pieces[k])) continue;
      const double apart =
          segment_distance(one_ends[2 * i], one_ends[2 * i + 1], other_ends[2 * k], other_ends[2 * k + 1]);
      least = std::min(least, apart - one.pieces[i].radius_mm - other.pieces[k].radius_mm);
    }
  return least;
}

Vec2 place_of(const RidingPoint& point, const std::vector<Pose>& moving) {
  return point.body == chassis ? point.p_B : in_chassis(at(moving, point.body - 1), point.p_B);
}

void place_ends(const Silhouette& silhouette, const std::vector<Pose>& moving, std::vector<Vec2>& ends) {
  ends.clear();
  for (const Capsule& piece : silhouette.pieces) {
    ends.push_back(place_of(piece.a, moving));
    ends.push_back(place_of(piece.b, moving));
  }
}

// ------------------------------------------------------------------------------------ motions

bool alike(const std::vector<Pose>& one, const std::vector<Pose>& other) {
  return std::equal(one.begin(), one.end(), other.begin(), other.end(), [](const Pose& a, const Pose& b) {
    constexpr double lever_mm = 100;  // no part is much longer
    return (a.p_CB - b.p_CB).cwiseAbs().maxCoeff() < alike_mm &&
           std::abs(a.theta_rad - b.theta_rad) * lever_mm < alike_mm;
  });
}

bool alike(const Motion& one, const Motion& other) {
  if (one.kind != other.kind || one.poses.size() != other.poses.size()) return false;
  for (std::size_t k = 0; k < one.poses.size(); ++k)
    if (!alike(one.poses[k], other.poses[k])) return false;
  return true;
}

void add_motion(std::vector<Motion>& motions, Motion motion) {
  for (Motion& known : motions)
    if (alike(known, motion)) {
      const int corner = motion.corners.front();
      if (std::find(known.corners.begin(), known.corners.end(), corner) == known.corners.end())
        known.corners.push_back(corner);
      return;
    }
  motions.push_back(std::move(motion));
}

/// One coordinate, a share t past the second of four evenly spaced values towards the third (Catmull and Rom, 1974).
double between(double before, double from, double to, double after, double t) {
  const double in = 0.5 * (to - before), out = 0.5 * (after - from);
  return from + t * (in + t * (3 * (to - from) - 2 * in - out + t * (2 * (from - to) + in + out)));
}

// ------------------------------------------------------------------------------------ tracks

/// How far it may go until the next pose: the farthest of its points' chords, and what their paths bend beyond them.
double step_of(const Track& track, std::size_t per_pose, std::size_t k, std::size_t poses) {
  double chord = 0, bent = 0;  // squares
  for (std::size_t e = 0; e < per_pose; ++e) {
    const auto end = [&](std::size_t pose) { return track.ends[pose * per_pose + e]; };
    const Vec2 step = end(k + 1) - end(k);
    chord = std::max(chord, step.squaredNorm());
    if (k > 0) bent = std::max(bent, (step - end(k) + end(k - 1)).squaredNorm());
    if (k + 2 < poses) bent = std::max(bent, (end(k + 2) - end(k + 1) - step).squaredNorm());
  }
  return std::sqrt(chord) + 0.5 * std::sqrt(bent);
}

/// [bodies x poses], one pose after another
std::vector<BodyFrame> frames_of(const Motion& motion) {
  std::vector<BodyFrame> frames;
  for (const std::vector<Pose>& moving : motion.poses) {
    frames.emplace_back();
    for (const Pose& pose : moving) frames.push_back({pose.p_CB, std::cos(pose.theta_rad), std::sin(pose.theta_rad)});
  }
  return frames;
}

Vec2 placed(const BodyFrame& frame, const Vec2& p_B) {
  return frame.p_CB +
         Vec2(frame.cosine * p_B.x() - frame.sine * p_B.y(), frame.sine * p_B.x() + frame.cosine * p_B.y());
}

Track track_of(const Silhouette& silhouette, const std::vector<BodyFrame>& frames, std::size_t poses) {
  Track track;
  const std::size_t per_pose = 2 * silhouette.pieces.size(), bodies = frames.size() / poses;
  track.path.assign(poses, 0);
  if (silhouette.box) {
    track.low = silhouette.box->low;
    track.high = silhouette.box->high;
    return track;
  }
  track.ends.reserve(per_pose * poses);
  for (std::size_t k = 0; k < poses; ++k)
    for (const Capsule& piece : silhouette.pieces)
      for (const RidingPoint* point : {&piece.a, &piece.b}) {
        const Vec2 p = placed(frames[k * bodies + static_cast<std::size_t>(point->body)], point->p_B);
        track.ends.push_back(p);
        track.low = track.low.cwiseMin(p - Vec2::Constant(piece.radius_mm));
        track.high = track.high.cwiseMax(p + Vec2::Constant(piece.radius_mm));
      }
  double farthest = 0;
  for (std::size_t k = 0; k + 1 < poses; ++k) {
    const double step = step_of(track, per_pose, k, poses);
    farthest = std::max(farthest, step);
    track.path[k + 1] = track.path[k] + step;
  }
  track.low.array() -= farthest / 2;
  track.high.array() += farthest / 2;
  return track;
}

/// The search of one pair in one motion.
struct PairSearch {
  const Tracks& all;
  std::size_t one, other, motion;
  bool only_whether;
  NearestPlace& best;  // at first what a gap must be under to be of interest
  std::vector<Vec2> one_ends = {}, other_ends = {};

  const Track& track(std::size_t i) const { return all.tracks[i][motion]; }
  bool done() const { return only_whether && best.motion >= 0; }
};

void consider(PairSearch& search, double gap_mm, double place) {
  if (gap_mm < search.best.gap_mm) search.best = {gap_mm, static_cast<int>(search.motion), place};
}

double gap_at_pose(PairSearch& search, std::size_t k) {
  const auto ends = [&](std::size_t i) {
    const Track& track = search.track(i);
    return track.ends.empty() ? nullptr : &track.ends[k * 2 * search.all.silhouettes[i].pieces.size()];
  };
  const double gap = gap_of(search.all.silhouettes[search.one], ends(search.one), search.all.silhouettes[search.other],
                            ends(search.other));
  consider(search, gap, search.all.motions[search.motion].place[k]);
  return gap;
}

double gap_between_poses(PairSearch& search, std::size_t k, double t) {
  const Motion& motion = search.all.motions[search.motion];
  const std::vector<Pose> moving = poses_between(motion, k, t);
  place_ends(search.all.silhouettes[search.one], moving, search.one_ends);
  place_ends(search.all.silhouettes[search.other], moving, search.other_ends);
  const double gap = gap_of(search.all.silhouettes[search.one], search.one_ends.data(),
                            search.all.silhouettes[search.other], search.other_ends.data());
  consider(search, gap, motion.place[k] + t * (motion.place[k + 1] - motion.place[k]));
  return gap;
}

/// Halves a step as long as what both may move leaves room for a nearer place.
void look_between(PairSearch& search, std::size_t k, double from, double to, double from_gap, double to_gap,
                  double path, int depth) {
  if (search.done() || depth == deepest_halving) return;
  if (0.5 * (from_gap + to_gap - path) >= search.best.gap_mm - search_mm) return;
  const double middle = 0.5 * (from + to);
  const double gap = gap_between_poses(search, k, middle);
  look_between(search, k, from, middle, from_gap, gap, path / 2, depth + 1);
  look_between(search, k, middle, to, gap, to_gap, path / 2, depth + 1);
}

/// Goes along the motion, from one pose to the last that cannot be nearer than the best yet.
void search_motion(PairSearch& search) {
  const Track &a = search.track(search.one), &b = search.track(search.other);
  const double apart = (a.low - b.high).cwiseMax(b.low - a.high).maxCoeff();
  if (apart >= search.best.gap_mm) return;
  const std::size_t poses = a.path.size();
  const auto path = [&](std::size_t k) { return a.path[k] + b.path[k]; };
  std::size_t k = 0;
  double gap = gap_at_pose(search, 0);
  while (k + 1 < poses && !search.done()) {
    const double slack = gap - search.best.gap_mm + search_mm;
    std::size_t safe = k;
    for (std::size_t step = 64; step > 0; step /= 2)
      while (safe + step < poses && path(safe + step) - path(k) <= slack) safe += step;
    if (safe > k) {
      k = safe;
      if (k + 1 < poses) gap = gap_at_pose(search, k);
      continue;
    }
    const double next = gap_at_pose(search, k + 1);
    look_between(search, k, 0, 1, gap, next, path(k + 1) - path(k), 0);
    gap = next;
    ++k;
  }
}

}  // namespace

std::vector<Pose> poses_between(const Motion& motion, std::size_t k, double t) {
  const auto& poses = motion.poses;
  const std::size_t before = k == 0 ? 0 : k - 1, after = std::min(k + 2, poses.size() - 1);
  std::vector<Pose> out = poses[k];
  for (std::size_t b = 0; b < out.size(); ++b) {
    const Pose &p = poses[before][b], &q = poses[k][b], &r = poses[k + 1][b], &s = poses[after][b];
    const auto mix = [&](double p_value, double q_value, double r_value, double s_value) {
      if (k == 0) p_value = 3 * q_value - 3 * r_value + s_value;  // without a third difference
      if (k + 2 == poses.size()) s_value = 3 * r_value - 3 * q_value + p_value;
      if (poses.size() == 2) return q_value + t * (r_value - q_value);
      return between(p_value, q_value, r_value, s_value, t);
    };
    out[b].p_CB = {mix(p.p_CB.x(), q.p_CB.x(), r.p_CB.x(), s.p_CB.x()),
                   mix(p.p_CB.y(), q.p_CB.y(), r.p_CB.y(), s.p_CB.y())};
    out[b].theta_rad = mix(p.theta_rad, q.theta_rad, r.theta_rad, s.theta_rad);
  }
  return out;
}

double gap_in(const Silhouette& one, const Silhouette& other, const std::vector<Pose>& moving) {
  std::vector<Vec2> one_ends, other_ends;
  place_ends(one, moving, one_ends);
  place_ends(other, moving, other_ends);
  return gap_of(one, one_ends.data(), other, other_ends.data());
}

std::vector<Motion> travels_of(const Model& model, const Solution& solution, int linkage) {
  std::vector<Motion> motions;
  for (int c = 0; c < count(model.corners); ++c) {
    if (at(model.corners, c).linkage != linkage) continue;
    const CornerResult& corner = at(solution.corners, c);
    if (corner.poses.empty()) continue;
    add_motion(motions, {Motion::Kind::rest, {{corner.poses.begin() + 1, corner.poses.end()}}, {0}, {c}});
  }
  for (const Curve& curve : solution.curves) {
    const Corner& corner = at(model.corners, curve.corner);
    if (corner.linkage != linkage || curve.poses.empty()) continue;
    Motion motion{Motion::Kind::travel, curve.poses, {}, {curve.corner}};
    for (const CurvePoint& point : curve.points) motion.place.push_back(point.travel_mm);
    add_motion(motions, std::move(motion));
  }
  return motions;
}

GapFinder::GapFinder(const std::vector<Motion>& motions) : tracks(new Tracks{motions}) {
  for (const Motion& motion : motions) tracks->frames.push_back(frames_of(motion));
}
GapFinder::~GapFinder() = default;
GapFinder::GapFinder(GapFinder&&) noexcept = default;

int GapFinder::add(const Silhouette& silhouette, const std::vector<int>& corners) {
  tracks->silhouettes.push_back(silhouette);
  tracks->corners.push_back(corners);
  std::vector<Track>& own = tracks->tracks.emplace_back();
  for (std::size_t m = 0; m < tracks->motions.size(); ++m)
    own.push_back(track_of(silhouette, tracks->frames[m], tracks->motions[m].poses.size()));
  return count(tracks->silhouettes) - 1;
}

NearestPlace GapFinder::nearest(int one, int other, double under_mm, bool only_whether) const {
  NearestPlace best{.gap_mm = under_mm};
  const auto moves_there = [&](int silhouette, const Motion& motion) {
    const std::vector<int>& corners = at(tracks->corners, silhouette);
    return corners.empty() || std::any_of(corners.begin(), corners.end(), [&](int corner) {
             return std::find(motion.corners.begin(), motion.corners.end(), corner) != motion.corners.end();
           });
  };
  for (std::size_t m = 0; m < tracks->motions.size(); ++m) {
    const Motion& motion = tracks->motions[m];
    if (!moves_there(one, motion) || !moves_there(other, motion)) continue;
    PairSearch search{*tracks, static_cast<std::size_t>(one), static_cast<std::size_t>(other), m, only_whether, best};
    search_motion(search);
    if (search.done()) break;
  }
  if (best.motion < 0) best.gap_mm = far_mm;
  return best;
}

}  // namespace ridepitch
