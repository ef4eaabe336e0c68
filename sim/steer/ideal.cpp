#include "steer/ideal.hpp"

#include <cmath>
#include <numbers>

namespace ridepitch {
namespace {

constexpr double straight_rad = 1e-9;  // a wheel this little off straight ahead turns about nothing in reach

}  // namespace

double ideal_outer_rad(double inner_rad, double track_mm, double wheelbase_mm) {
  // cot(outer) = cot(inner) + track / wheelbase, written so that it holds at 0 and beyond a right angle too.
  const double s = std::sin(inner_rad);
  return std::atan2(s, std::cos(inner_rad) + track_mm / wheelbase_mm * s);
}

double ackermann_error_rad(double inner_rad, double outer_rad, double track_mm, double wheelbase_mm) {
  return std::abs(outer_rad) - ideal_outer_rad(std::abs(inner_rad), track_mm, wheelbase_mm);
}

std::optional<double> ackermann_percent(double inner_rad, double outer_rad, double track_mm, double wheelbase_mm) {
  const double inner = std::abs(inner_rad), outer = std::abs(outer_rad);
  if (inner < std::numbers::pi / 180) return std::nullopt;
  return 100 * (inner - outer) / (inner - ideal_outer_rad(inner, track_mm, wheelbase_mm));
}

std::optional<Vec2> turn_centre(const WheelLine& wheel, double line_x_mm) {
  // The axis runs along (-sin, cos) of the heading.
  const double s = std::sin(wheel.heading_rad), c = std::cos(wheel.heading_rad);
  if (std::abs(s) < straight_rad) return std::nullopt;
  return Vec2(line_x_mm, wheel.centre_mm.y() + (wheel.centre_mm.x() - line_x_mm) * c / s);
}

std::optional<Vec2> turn_centre(const std::vector<WheelLine>& wheels) {
  // The distance of P to a wheel's axis is |h . (P - centre)|, h the heading: sum (h h') P = sum (h h') centre.
  Eigen::Matrix2d A = Eigen::Matrix2d::Zero();
  Vec2 b = Vec2::Zero();
  for (const WheelLine& wheel : wheels) {
    const Vec2 h(std::cos(wheel.heading_rad), std::sin(wheel.heading_rad));
    A += h * h.transpose();
    b += h * h.dot(wheel.centre_mm);
  }
  const double det = A(0, 0) * A(1, 1) - A(0, 1) * A(1, 0);
  const double trace = A(0, 0) + A(1, 1);
  if (!(det > straight_rad * straight_rad * trace * trace)) return std::nullopt;
  return Vec2((A(1, 1) * b.x() - A(0, 1) * b.y()) / det, (A(0, 0) * b.y() - A(1, 0) * b.x()) / det);
}

}  // namespace ridepitch
