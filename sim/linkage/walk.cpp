#include "linkage/walk.hpp"

#include <random>
#include <utility>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"
#include "model/index.hpp"

namespace ridepitch {
namespace {

constexpr double longest_turn_rad = 0.2;  // of any body in one step
constexpr int most_walk_steps = 200;
constexpr int most_round_steps = 4000;
constexpr double round_turn_rad = 0.06;     // a walk around takes about a hundred steps a turn
constexpr double least_round_share = 1e-7;  // of the linkage's size: a step under it leads no farther

// q moved by dq, at most by the longest step, and closed again; false if it would not close or would jump.
bool step_along(const Mechanism& mechanism, Eigen::VectorXd dq, Eigen::VectorXd& q, Closure& closure) {
  const double longest_mm = longest_turn_rad * mechanism.size_mm, closing_mm = 1e-9 * mechanism.size_mm;
  const double length_mm = motion_mm(mechanism, dq);
  if (length_mm > longest_mm) dq *= longest_mm / length_mm;
  Eigen::VectorXd trial = q + dq;
  if (!close(mechanism, trial, closure)) return false;
  if (distance_mm(mechanism, trial, q) > 3 * std::min(length_mm, longest_mm) + closing_mm) return false;
  q = trial;
  return true;
}

}  // namespace

double walk_towards(const Mechanism& mechanism, const Target& target, Eigen::VectorXd& q) {
  constexpr double arrived = 1e-12, no_gain = 1e-13, least_step_share = 1e-14;
  constexpr int most_tries = 30;
  Closure closure;
  prepare(mechanism, closure);
  Eigen::VectorXd r, next_r;
  Eigen::MatrixXd J, next_J, T;
  target(q, r, J);
  double damping = 1e-6;
  for (int i = 0; i < most_walk_steps && r.norm() > arrived; ++i) {
    linearise(mechanism, q, closure);
    tangents(closure.part, T);
    const Eigen::MatrixXd G = J * T;
    const Eigen::VectorXd slope = G.transpose() * r;
    const Eigen::MatrixXd A = G.transpose() * G;
    // Levenberg: the damping stands against the free coordinates' own motion, so its unit is that of the target.
    const Eigen::MatrixXd D = T.transpose() * T;
    bool better = false;
    for (int tries = 0; tries < most_tries && !better; ++tries) {
      Eigen::VectorXd s = -slope;
      Eigen::MatrixXd damped = A + damping * D * (1e-6 + A.trace() / D.trace());
      damped.diagonal().array() += 1e-14;
      if (!solve_positive(damped, s)) {
        damping = std::max(10 * damping, 1e-8);
        continue;
      }
      const Eigen::VectorXd dq = T * s;
      if (motion_mm(mechanism, dq) < least_step_share * mechanism.size_mm) return r.norm();
      Eigen::VectorXd trial = q;
      if (step_along(mechanism, dq, trial, closure)) {
        target(trial, next_r, next_J);
        better = next_r.squaredNorm() < r.squaredNorm();
      }
      damping = better ? std::max(damping / 10, 1e-12) : 10 * damping;
      if (better) q = trial;
    }
    if (!better) break;
    const bool small_gain = r.norm() - next_r.norm() < no_gain * (1 + r.norm());
    std::swap(r, next_r);
    std::swap(J, next_J);
    if (small_gain) break;
  }
  return r.norm();
}

namespace {

// Every hole of a moving body.
std::vector<BodyPoint> moving_holes(const Linkage& linkage) {
  std::vector<BodyPoint> points;
  for (int b = 1; b < count(linkage.bodies); ++b)
    for (const Hole& hole : at(linkage.bodies, b).holes) points.push_back({b - 1, hole.p_B});
  return points;
}

}  // namespace

Target target_at(std::vector<BodyPoint> points, std::vector<Vec2> goals) {
  return [points = std::move(points), goals = std::move(goals)](const Eigen::VectorXd& q, Eigen::VectorXd& r,
                                                                Eigen::MatrixXd& J) {
    const std::vector<Turn> turns = turns_at(q);
    r.setZero(2 * count(points));
    J.setZero(r.size(), q.size());
    for (int i = 0; i < count(points); ++i) {
      const Vec2 p = position(at(points, i), q, turns);
      const int row = 2 * i, col = 3 * at(points, i).body;
      r.segment<2>(row) = p - at(goals, i);
      J.block<2, 2>(row, col).setIdentity();
      J(row, col + 2) = -(p.y() - q[col + 1]);
      J(row + 1, col + 2) = p.x() - q[col];
    }
  };
}

Target target_within_stops(const Mechanism& mechanism) {
  return [&mechanism](const Eigen::VectorXd& q, Eigen::VectorXd& r, Eigen::MatrixXd& J) {
    const std::vector<Turn> turns = turns_at(q);
    r.setZero(count(mechanism.stops));
    J.setZero(r.size(), q.size());
    for (int i = 0; i < count(mechanism.stops); ++i) {
      const Stop& stop = at(mechanism.stops, i);
      const GaugeReading reading = read(stop.gauge, q, turns);
      const double gap = stop_gap(stop, reading.value);
      if (gap >= 0) continue;
      const double scale = stop.turns ? mechanism.size_mm : 1;
      r[i] = scale * gap;
      Eigen::VectorXd slope = Eigen::VectorXd::Zero(q.size());
      add_slope(stop.gauge, reading, scale * stop.side, slope);
      J.row(i) = slope;
    }
  };
}

double farthest_hole(const Linkage& linkage, const Eigen::VectorXd& a, const Eigen::VectorXd& b) {
  const std::vector<Turn> turns_a = turns_at(a), turns_b = turns_at(b);
  double far = 0;
  for (const BodyPoint& hole : moving_holes(linkage))
    far = std::max(far, (position(hole, a, turns_a) - position(hole, b, turns_b)).norm());
  return far;
}

double worst_overrun(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const std::vector<Turn> turns = turns_at(q);
  double worst = 0;
  for (const Stop& stop : mechanism.stops) worst = std::max(worst, -stop_gap(stop, read(stop.gauge, q, turns).value));
  return worst;
}

bool walk_round(const Mechanism& mechanism, const Eigen::VectorXd& q, bool forward,
                const std::function<bool(const Eigen::VectorXd&)>& visit) {
  const double longest_mm = round_turn_rad * mechanism.size_mm;
  Closure closure;
  prepare(mechanism, closure);
  Eigen::VectorXd here = q, heading;
  double step_mm = longest_mm, gone_mm = 0;
  for (int i = 0; i < most_round_steps; ++i) {
    linearise(mechanism, here, closure);
    Eigen::VectorXd t = tangents(closure.part).col(0);
    // The free coordinate may be another one than before: the motion goes on in the sense that it had.
    if (heading.size() ? heading.dot(t) < 0 : !forward) t = -t;
    t /= motion_mm(mechanism, t);
    Eigen::VectorXd next = here;
    while (!step_along(mechanism, step_mm * t, next, closure) || (heading.size() && !(heading.dot(next - here) > 0))) {
      next = here;
      if ((step_mm /= 2) < least_round_share * mechanism.size_mm) return false;
    }
    heading = next - here;
    here = next;
    gone_mm += step_mm;
    if (!visit(here)) return false;
    if (gone_mm > 10 * longest_mm && farthest_hole(*mechanism.linkage, here, q) < 0.75 * longest_mm) return true;
    step_mm = std::min(longest_mm, 1.5 * step_mm);
  }
  return false;
}

std::optional<int> search_within_stops(const Mechanism& mechanism, Eigen::VectorXd& q) {
  constexpr int directions = 48, rings = 16;  // rings of 0.2 rad: half a turn to every side
  struct Ray {
    Eigen::VectorXd q, towards;
  };
  std::mt19937 random(20240301);
  std::vector<Ray> rays;
  for (int i = 0; i < directions; ++i) {
    Ray& ray = rays.emplace_back(Ray{q, Eigen::VectorXd(q.size())});
    for (double& part : ray.towards) part = 2.0 * static_cast<double>(random()) / 4294967295.0 - 1.0;
  }
  const Target target = target_within_stops(mechanism);
  const Eigen::VectorXd start = q;
  Closure closure;
  prepare(mechanism, closure);
  int looked = 0;
  double nearest_mm = 0;
  for (int ring = 0; ring < rings; ++ring) {
    bool found = false;
    for (Ray& ray : rays) {
      linearise(mechanism, ray.q, closure);
      const Eigen::MatrixXd T = tangents(closure.part);
      const Eigen::VectorXd dq = T * (T.transpose() * ray.towards), before = ray.q;
      const double length_mm = motion_mm(mechanism, dq);
      if (!(length_mm > 0) ||
          !step_along(mechanism, dq * (longest_turn_rad * mechanism.size_mm / length_mm), ray.q, closure))
        continue;
      ray.towards = ray.q - before;  // straight on
      ++looked;
      Eigen::VectorXd here = ray.q;
      walk_towards(mechanism, target, here);
      const double far_mm = distance_mm(mechanism, here, start);
      if (worst_overrun(mechanism, here) > stop_met || (found && far_mm >= nearest_mm)) continue;
      found = true;
      nearest_mm = far_mm;
      q = here;
    }
    if (found) return std::nullopt;
  }
  return looked;
}

bool can_reach(const Mechanism& mechanism, const Eigen::VectorXd& from, const Eigen::VectorXd& goal, double slack_mm) {
  const std::vector<BodyPoint> holes = moving_holes(*mechanism.linkage);
  std::vector<Vec2> goals;
  for (const BodyPoint& hole : holes) goals.push_back(position(hole, goal, turns_at(goal)));
  const Target target = target_at(holes, goals);
  const auto arrives = [&](Eigen::VectorXd q) {
    walk_towards(mechanism, target, q);
    return farthest_hole(*mechanism.linkage, q, goal) < slack_mm;
  };
  if (arrives(from)) return true;
  if (mechanism.freedoms() == 1) {
    bool reached = false;
    const double near_mm = 4 * round_turn_rad * mechanism.size_mm;
    for (const bool forward : {true, false}) {
      const bool closed = walk_round(mechanism, from, forward, [&](const Eigen::VectorXd& q) {
        reached = farthest_hole(*mechanism.linkage, q, goal) < near_mm && arrives(q);
        return !reached;
      });
      if (reached || closed) break;  // once around is all there is
    }
    return reached;
  }
  constexpr int random_steps = 200, steps_to_a_look = 8;
  std::mt19937 random(20240229);
  Closure closure;
  prepare(mechanism, closure);
  Eigen::VectorXd q = from;
  for (int i = 1; i <= random_steps; ++i) {
    linearise(mechanism, q, closure);
    const Eigen::MatrixXd T = tangents(closure.part);
    Eigen::VectorXd s(T.cols());
    for (double& part : s) part = 2.0 * static_cast<double>(random()) / 4294967295.0 - 1.0;
    const Eigen::VectorXd dq = T * s;
    const double length_mm = motion_mm(mechanism, dq);
    if (length_mm > 0) step_along(mechanism, dq * (longest_turn_rad * mechanism.size_mm / length_mm), q, closure);
    if (i % steps_to_a_look == 0 && arrives(q)) return true;
  }
  return false;
}

}  // namespace ridepitch
