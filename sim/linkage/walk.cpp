#include "linkage/walk.hpp"

#include <cmath>
#include <random>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"

namespace ridepitch {
namespace {

constexpr double longest_turn_rad = 0.2;  // of any body in one step
constexpr int most_steps = 200;
constexpr int most_round_steps = 4000;
constexpr double round_turn_rad = 0.06;  // a walk around takes about a hundred steps a turn

// Size of a motion with radians made comparable: the largest entry, turns counted in `turn_rad`.
double motion_size(const Mechanism& mechanism, const Eigen::VectorXd& dq) {
  double size = 0;
  for (Eigen::Index i = 0; i < dq.size(); ++i)
    size = std::max(size, std::abs(dq[i]) * (i % 3 == 2 ? 1 : 1 / mechanism.size_mm));
  return size;
}

// q moved by dq and closed again; false if it would not close or would jump.
bool step_along(const Mechanism& mechanism, const Eigen::VectorXd& dq, Eigen::VectorXd& q, Closure& room) {
  Eigen::VectorXd trial = q + dq;
  if (!close(mechanism, trial, room)) return false;
  if (motion_size(mechanism, trial - q) > 3 * motion_size(mechanism, dq) + 1e-9) return false;
  q = trial;
  return true;
}

}  // namespace

double walk_towards(const Mechanism& mechanism, const Target& aim, Eigen::VectorXd& q) {
  Closure room;
  prepare(mechanism, room);
  Eigen::VectorXd r, next_r;
  Eigen::MatrixXd J, next_J, T;
  aim(q, r, J);
  double damping = 1e-6;
  for (int i = 0; i < most_steps && r.norm() > 1e-12; ++i) {
    linearise(mechanism, q, room);
    tangents(room.part, T);
    const Eigen::MatrixXd G = J * T;
    const Eigen::VectorXd slope = G.transpose() * r;
    const Eigen::MatrixXd A = G.transpose() * G;
    // Levenberg: the damping stands against the free coordinates' own motion, so its unit is that of the aim.
    const Eigen::MatrixXd D = T.transpose() * T;
    bool better = false;
    for (int tries = 0; tries < 30 && !better; ++tries) {
      Eigen::VectorXd s = -slope;
      Eigen::MatrixXd damped = A + damping * D * (1e-6 + A.trace() / D.trace());
      damped.diagonal().array() += 1e-14;
      if (!solve_positive(damped, s)) {
        damping = std::max(10 * damping, 1e-8);
        continue;
      }
      Eigen::VectorXd dq = T * s;
      const double size = motion_size(mechanism, dq);
      if (size < 1e-14) return r.norm();
      if (size > longest_turn_rad) dq *= longest_turn_rad / size;
      Eigen::VectorXd trial = q;
      if (step_along(mechanism, dq, trial, room)) {
        aim(trial, next_r, next_J);
        if (next_r.squaredNorm() < r.squaredNorm()) {
          const bool small_gain = r.norm() - next_r.norm() < 1e-13 * (1 + r.norm());
          q = trial;
          r = next_r;
          J = next_J;
          better = true;
          damping = std::max(damping / 10, 1e-12);
          if (small_gain) return r.norm();
          continue;
        }
      }
      damping *= 10;
    }
    if (!better) break;
  }
  return r.norm();
}

namespace {

// Every hole of a moving body, as gauges of its place; they must outlive the aim that reads them.
std::vector<BodyPoint> moving_holes(const Mechanism& mechanism) {
  std::vector<BodyPoint> points;
  const Linkage& linkage = *mechanism.linkage;
  for (std::size_t b = 1; b < linkage.bodies.size(); ++b)
    for (const Hole& hole : linkage.bodies[b].holes) points.push_back({static_cast<int>(b) - 1, hole.p_B});
  return points;
}

std::vector<Vec2> places(const std::vector<BodyPoint>& points, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(q.size() / 3));
  set_turns(q, turns);
  std::vector<Vec2> out;
  for (const BodyPoint& point : points) out.push_back(position(point, q, turns));
  return out;
}

}  // namespace

Target aim_at(const Mechanism& mechanism, const Eigen::VectorXd& goal) {
  const auto points = moving_holes(mechanism);
  const auto wanted = places(points, goal);
  return [points, wanted](const Eigen::VectorXd& q, Eigen::VectorXd& r, Eigen::MatrixXd& J) {
    std::vector<Turn> turns(static_cast<std::size_t>(q.size() / 3));
    set_turns(q, turns);
    r.setZero(2 * static_cast<Eigen::Index>(points.size()));
    J.setZero(r.size(), q.size());
    for (std::size_t i = 0; i < points.size(); ++i) {
      const Vec2 p = position(points[i], q, turns);
      const Eigen::Index row = 2 * static_cast<Eigen::Index>(i), col = 3 * points[i].body;
      const Vec2 arm(p.x() - q[col], p.y() - q[col + 1]);
      r.segment<2>(row) = p - wanted[i];
      J(row, col) = 1;
      J(row + 1, col + 1) = 1;
      J(row, col + 2) = -arm.y();
      J(row + 1, col + 2) = arm.x();
    }
  };
}

Target aim_within_stops(const Mechanism& mechanism) {
  return [&mechanism](const Eigen::VectorXd& q, Eigen::VectorXd& r, Eigen::MatrixXd& J) {
    std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
    set_turns(q, turns);
    r.setZero(static_cast<Eigen::Index>(mechanism.stops.size()));
    J.setZero(r.size(), q.size());
    for (std::size_t i = 0; i < mechanism.stops.size(); ++i) {
      const Stop& stop = mechanism.stops[i];
      const GaugeReading reading = read(stop.gauge, q, turns);
      const double gap = stop_gap(stop, reading.value);
      if (gap >= 0) continue;
      const double scale = stop.turns ? mechanism.size_mm : 1;
      const auto row = static_cast<Eigen::Index>(i);
      r[row] = scale * gap;
      Eigen::VectorXd slope = Eigen::VectorXd::Zero(q.size());
      add_slope(stop.gauge, reading, scale * stop.side, slope);
      J.row(row) = slope;
    }
  };
}

double farthest_hole(const Mechanism& mechanism, const Eigen::VectorXd& a, const Eigen::VectorXd& b) {
  const auto points = moving_holes(mechanism);
  const auto at_a = places(points, a), at_b = places(points, b);
  double far = 0;
  for (std::size_t i = 0; i < points.size(); ++i) far = std::max(far, (at_a[i] - at_b[i]).norm());
  return far;
}

double worst_overrun(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  double worst = 0;
  for (const Stop& stop : mechanism.stops) worst = std::max(worst, -stop_gap(stop, read(stop.gauge, q, turns).value));
  return worst;
}

bool walk_round(const Mechanism& mechanism, const Eigen::VectorXd& q, bool forward,
                const std::function<bool(const Eigen::VectorXd&)>& visit) {
  Closure room;
  prepare(mechanism, room);
  Eigen::MatrixXd T;
  Eigen::VectorXd here = q, heading;
  double step = round_turn_rad, gone = 0;
  for (int i = 0; i < most_round_steps; ++i) {
    linearise(mechanism, here, room);
    tangents(room.part, T);
    Eigen::VectorXd t = T.col(0);
    // The free coordinate may be another one than before: the motion goes on in the sense that it had.
    const bool turn_back = heading.size() ? heading.dot(t) < 0 : !forward;
    if (turn_back) t = -t;
    t /= motion_size(mechanism, t);
    bool moved = false;
    while (step > 1e-7) {
      Eigen::VectorXd next = here;
      if (step_along(mechanism, step * t, next, room)) {
        Eigen::VectorXd new_heading = next - here;
        if (heading.size() == 0 || heading.dot(new_heading) > 0) {
          heading = new_heading;
          here = next;
          moved = true;
          gone += step;
          step = std::min(round_turn_rad, 1.5 * step);
          break;
        }
      }
      step /= 2;
    }
    if (!moved) return false;
    if (!visit(here)) return false;
    if (gone > 10 * round_turn_rad && farthest_hole(mechanism, here, q) < 0.75 * round_turn_rad * mechanism.size_mm)
      return true;
  }
  return false;
}

bool can_reach(const Mechanism& mechanism, const Eigen::VectorXd& from, const Eigen::VectorXd& goal, double slack_mm) {
  const Target aim = aim_at(mechanism, goal);
  const auto arrives = [&](Eigen::VectorXd q) {
    walk_towards(mechanism, aim, q);
    return farthest_hole(mechanism, q, goal) < slack_mm;
  };
  if (arrives(from)) return true;
  if (mechanism.freedoms() == 1) {
    bool reached = false;
    const double near_mm = 4 * round_turn_rad * mechanism.size_mm;
    for (const bool forward : {true, false}) {
      const bool closed = walk_round(mechanism, from, forward, [&](const Eigen::VectorXd& q) {
        if (farthest_hole(mechanism, q, goal) < near_mm && arrives(q)) reached = true;
        return !reached;
      });
      if (reached || closed) break;  // once around is all there is
    }
    return reached;
  }
  std::mt19937 random(20240229);
  const auto uniform = [&] { return 2.0 * static_cast<double>(random()) / 4294967295.0 - 1.0; };
  Closure room;
  prepare(mechanism, room);
  Eigen::MatrixXd T;
  Eigen::VectorXd q = from;
  for (int i = 0; i < 200; ++i) {
    linearise(mechanism, q, room);
    tangents(room.part, T);
    Eigen::VectorXd s(T.cols());
    for (Eigen::Index k = 0; k < s.size(); ++k) s[k] = uniform();
    Eigen::VectorXd dq = T * s;
    const double size = motion_size(mechanism, dq);
    if (size > 0) dq *= longest_turn_rad / size;
    step_along(mechanism, dq, q, room);
    if (i % 8 == 7 && arrives(q)) return true;
  }
  return false;
}

}  // namespace ridepitch
