#include "steer/effort.hpp"

#include <cmath>

namespace ridepitch {
namespace {

/// Antiderivative of sqrt(y^2 + c^2) over y, c >= 0.
double distance_sum(double y, double c) {
  const double r = std::hypot(y, c);
  return 0.5 * (y * r + (c > 0 ? c * c * std::asinh(y / c) : 0));
}

}  // namespace

double scrub_torque_n_mm(const Scrub& scrub) {
  const double b = scrub.width_mm, across = std::abs(scrub.before_mm);
  const double arm_mm =
      b > 0 ? (distance_sum(scrub.beside_mm + b / 2, across) - distance_sum(scrub.beside_mm - b / 2, across)) / b
            : std::hypot(scrub.beside_mm, across);
  return scrub.friction * scrub.load_n * arm_mm;
}

}  // namespace ridepitch
