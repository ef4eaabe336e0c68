#include "linkage/gauge.hpp"

#include <cmath>

namespace ridepitch {
namespace {

// p_CP = p_CB + r,  r = R_CB p_BP;  dr/dtheta = (-r.y, r.x),  d2r/dtheta2 = -r
Vec2 arm(const BodyPoint& point, const std::vector<Turn>& turns) {
  if (point.body == ground) return Vec2::Zero();
  const Turn& t = turns[static_cast<std::size_t>(point.body)];
  return {t.cos * point.p_B.x() - t.sin * point.p_B.y(), t.sin * point.p_B.x() + t.cos * point.p_B.y()};
}

Vec2 position_from_arm(const BodyPoint& point, const Vec2& r, const Eigen::VectorXd& q) {
  if (point.body == ground) return point.p_B;
  const Eigen::Index i = 3 * point.body;
  return {q[i] + r.x(), q[i + 1] + r.y()};
}

}  // namespace

Vec2 position(const BodyPoint& point, const Eigen::VectorXd& q, const std::vector<Turn>& turns) {
  return position_from_arm(point, arm(point, turns), q);
}

GaugeReading read(const Gauge& gauge, const Eigen::VectorXd& q, const std::vector<Turn>& turns) {
  GaugeReading out;
  if (gauge.kind == Gauge::Kind::angle) {
    out.value = gauge.offset_rad;
    if (gauge.q.body != ground) {
      out.value += q[3 * gauge.q.body + 2];
      out.slope[5] = 1;
    }
    if (gauge.p.body != ground) {
      out.value -= q[3 * gauge.p.body + 2];
      out.slope[2] = -1;
    }
    return out;
  }
  const Vec2 r_p = arm(gauge.p, turns);
  const Vec2 r_q = arm(gauge.q, turns);
  const Vec2 p_PQ = position_from_arm(gauge.q, r_q, q) - position_from_arm(gauge.p, r_p, q);
  Vec2 u = gauge.dir;
  if (gauge.kind == Gauge::Kind::along) {
    out.value = u.dot(p_PQ);
  } else {
    out.value = std::sqrt(p_PQ.squaredNorm() + gauge.across_mm * gauge.across_mm);
    u = out.value > 0 ? Vec2(p_PQ / out.value) : Vec2::Zero();
  }
  if (gauge.p.body != ground) {
    out.slope[0] = -u.x();
    out.slope[1] = -u.y();
    out.slope[2] = u.x() * r_p.y() - u.y() * r_p.x();
  }
  if (gauge.q.body != ground) {
    out.slope[3] = u.x();
    out.slope[4] = u.y();
    out.slope[5] = u.y() * r_q.x() - u.x() * r_q.y();
  }
  return out;
}

void add_slope(const Gauge& gauge, const GaugeReading& reading, double factor, Eigen::VectorXd& g) {
  if (gauge.p.body != ground)
    for (int k = 0; k < 3; ++k) g[3 * gauge.p.body + k] += factor * reading.slope[static_cast<std::size_t>(k)];
  if (gauge.q.body != ground)
    for (int k = 0; k < 3; ++k) g[3 * gauge.q.body + k] += factor * reading.slope[static_cast<std::size_t>(3 + k)];
}

double slope_along(const Gauge& gauge, const GaugeReading& reading, const Eigen::VectorXd& dq) {
  double sum = 0;
  if (gauge.p.body != ground)
    for (int k = 0; k < 3; ++k) sum += reading.slope[static_cast<std::size_t>(k)] * dq[3 * gauge.p.body + k];
  if (gauge.q.body != ground)
    for (int k = 0; k < 3; ++k) sum += reading.slope[static_cast<std::size_t>(3 + k)] * dq[3 * gauge.q.body + k];
  return sum;
}

namespace {

// Indices into q of the six entries of a gauge's gradient; -1 for the ground's.
std::array<Eigen::Index, 6> entries(const Gauge& gauge) {
  std::array<Eigen::Index, 6> index{-1, -1, -1, -1, -1, -1};
  for (std::size_t k = 0; k < 3; ++k) {
    if (gauge.p.body != ground) index[k] = 3 * gauge.p.body + static_cast<Eigen::Index>(k);
    if (gauge.q.body != ground) index[3 + k] = 3 * gauge.q.body + static_cast<Eigen::Index>(k);
  }
  return index;
}

}  // namespace

void add_square(const Gauge& gauge, const GaugeReading& reading, double factor, Eigen::MatrixXd& W) {
  const auto index = entries(gauge);
  for (std::size_t i = 0; i < 6; ++i) {
    if (index[i] < 0) continue;
    for (std::size_t j = 0; j < 6; ++j)
      if (index[j] >= 0) W(index[i], index[j]) += factor * reading.slope[i] * reading.slope[j];
  }
}

void add_curvature(const Gauge& gauge, const GaugeReading& reading, double factor, const Eigen::VectorXd& q,
                   const std::vector<Turn>& turns, Eigen::MatrixXd& W) {
  if (gauge.kind == Gauge::Kind::angle || factor == 0) return;
  const Vec2 r_p = arm(gauge.p, turns);
  const Vec2 r_q = arm(gauge.q, turns);
  if (gauge.kind == Gauge::Kind::along) {
    if (gauge.p.body != ground) W(3 * gauge.p.body + 2, 3 * gauge.p.body + 2) += factor * gauge.dir.dot(r_p);
    if (gauge.q.body != ground) W(3 * gauge.q.body + 2, 3 * gauge.q.body + 2) -= factor * gauge.dir.dot(r_q);
    return;
  }
  // L^2 = |w|^2 + across^2:   L d2L = dw' dw + w . d2w - dL' dL
  const double L = reading.value;
  if (!(L > 0)) return;
  const Vec2 w = position_from_arm(gauge.q, r_q, q) - position_from_arm(gauge.p, r_p, q);
  const std::array<double, 6> dwx{-1, 0, r_p.y(), 1, 0, -r_q.y()};
  const std::array<double, 6> dwy{0, -1, -r_p.x(), 0, 1, r_q.x()};
  const auto index = entries(gauge);
  const double scale = factor / L;
  for (std::size_t i = 0; i < 6; ++i) {
    if (index[i] < 0) continue;
    for (std::size_t j = 0; j < 6; ++j) {
      if (index[j] < 0) continue;
      W(index[i], index[j]) += scale * (dwx[i] * dwx[j] + dwy[i] * dwy[j] - reading.slope[i] * reading.slope[j]);
    }
  }
  if (index[2] >= 0) W(index[2], index[2]) += scale * w.dot(r_p);
  if (index[5] >= 0) W(index[5], index[5]) -= scale * w.dot(r_q);
}

void add_term(const Gauge& gauge, const GaugeReading& reading, const EnergyTerm& term, const Eigen::VectorXd& q,
              const std::vector<Turn>& turns, Eigen::VectorXd& g, Eigen::MatrixXd& W) {
  if (term.curvature != 0) add_square(gauge, reading, term.curvature, W);
  if (term.slope == 0) return;
  add_slope(gauge, reading, term.slope, g);
  add_curvature(gauge, reading, term.slope, q, turns, W);
}

double curvature_along(const Gauge& gauge, const GaugeReading& reading, const Eigen::VectorXd& q,
                       const std::vector<Turn>& turns, const Eigen::VectorXd& dq) {
  if (gauge.kind == Gauge::Kind::angle) return 0;
  const Vec2 r_p = arm(gauge.p, turns), r_q = arm(gauge.q, turns);
  // w = p_PQ:  dw = v_Q - v_P,  d2w = -r_Q turn_Q^2 + r_P turn_P^2
  Vec2 dw = Vec2::Zero(), d2w = Vec2::Zero();
  const auto add = [&](const BodyPoint& point, const Vec2& r, double sign) {
    if (point.body == ground) return;
    const Eigen::Index i = 3 * point.body;
    const double turn = dq[i + 2];
    dw += sign * (Vec2(dq[i], dq[i + 1]) + turn * Vec2(-r.y(), r.x()));
    d2w -= sign * turn * turn * r;
  };
  add(gauge.q, r_q, 1);
  add(gauge.p, r_p, -1);
  if (gauge.kind == Gauge::Kind::along) return gauge.dir.dot(d2w);
  // L^2 = |w|^2 + across^2:  L L'' = |dw|^2 + w . d2w - L'^2
  const double L = reading.value;
  if (!(L > 0)) return 0;
  const Vec2 w = position_from_arm(gauge.q, r_q, q) - position_from_arm(gauge.p, r_p, q);
  const double dL = w.dot(dw) / L;
  return (dw.squaredNorm() + w.dot(d2w) - dL * dL) / L;
}

}  // namespace ridepitch
