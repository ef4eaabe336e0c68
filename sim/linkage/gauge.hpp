#pragma once
// A gauge is anything that can be read off a linkage as one number: how far apart two holes are, how far one
// lies from another along a direction, how far a body has turned against another. Pins, rods, slides, springs,
// stops and wheels are all made of gauges, so their derivatives are written once, here.

#include <array>
#include <vector>

#include "model/geometry.hpp"

namespace ridepitch {

/// The chassis, as the kernel sees it: the frame C that every moving body B is placed in.
inline constexpr int ground = -1;

/// A point fixed to a body.
struct BodyPoint {
  int body = ground;        ///< moving body, or ground
  Vec2 p_B = Vec2::Zero();  ///< on the body's grid [mm]; in C for the ground
};

struct Gauge {
  enum class Kind {
    along,     ///< dir . (p_CQ - p_CP)                    [mm]
    distance,  ///< sqrt(|p_PQ|^2 + across^2)              [mm]
    angle,     ///< theta_Q - theta_P + offset             [rad]
  };
  Kind kind = Kind::distance;
  BodyPoint p, q;            ///< an angle uses their bodies only
  Vec2 dir = Vec2::UnitX();  ///< in C, unit length; `along` only
  double across_mm = 0;      ///< constant distance perpendicular to the plane; `distance` only
  double offset_rad = 0;     ///< whole turns that bring the angle near where it is wanted; `angle` only
};

/// Cosine and sine of a body's angle, worked out once for a configuration.
struct Turn {
  double cos = 1, sin = 0;
};

/// Value of a gauge and its gradient over x, y, theta of P's body, then of Q's [1, 1, mm/rad ...].
/// Entries of the ground are zero.
struct GaugeReading {
  double value = 0;
  std::array<double, 6> slope{};
};

/// Where a body point is, in C [mm].
/// @param q  [3 n] x, y [mm] and theta [rad] of each moving body in C
Vec2 position(const BodyPoint& point, const Eigen::VectorXd& q, const std::vector<Turn>& turns);

/// Reads a gauge. A `distance` of zero has no direction: its gradient is zero there.
GaugeReading read(const Gauge& gauge, const Eigen::VectorXd& q, const std::vector<Turn>& turns);

/// g += factor * gradient.
void add_slope(const Gauge& gauge, const GaugeReading& reading, double factor, Eigen::VectorXd& g);

/// W += factor * gradient gradient'.
void add_square(const Gauge& gauge, const GaugeReading& reading, double factor, Eigen::MatrixXd& W);

/// W += factor * second derivative of the gauge.
void add_curvature(const Gauge& gauge, const GaugeReading& reading, double factor, const Eigen::VectorXd& q,
                   const std::vector<Turn>& turns, Eigen::MatrixXd& W);

/// What an energy E of one reading adds: E, dE/d(reading), d2E/d(reading)2.
struct EnergyTerm {
  double energy = 0, slope = 0, curvature = 0;
};

/// g += dE/dq, W += d2E/dq2.
void add_term(const Gauge& gauge, const GaugeReading& reading, const EnergyTerm& term, const Eigen::VectorXd& q,
              const std::vector<Turn>& turns, Eigen::VectorXd& g, Eigen::MatrixXd& W);

/// Second derivative along a motion: dq' (d2 gauge) dq.
double curvature_along(const Gauge& gauge, const GaugeReading& reading, const Eigen::VectorXd& q,
                       const std::vector<Turn>& turns, const Eigen::VectorXd& dq);

/// Gradient times a motion dq.
double slope_along(const Gauge& gauge, const GaugeReading& reading, const Eigen::VectorXd& dq);

}  // namespace ridepitch
