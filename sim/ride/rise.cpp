#include "ride/rise.hpp"

#include <cmath>

namespace ridepitch {
namespace {

/// A vehicle point as the body's pitch and roll turn it.
struct Turned {
  double x, y, z, sp, cp, sr, cr;
  double up, out;  ///< as rolled; out = d(up)/dr
};

Turned turned(const State& state, const Vec3& point) {
  Turned t{point.x(),
           point.y(),
           point.z(),
           std::sin(state.pitch_rad),
           std::cos(state.pitch_rad),
           std::sin(state.roll_rad),
           std::cos(state.roll_rad),
           0,
           0};
  t.up = t.sr * t.y + t.cr * t.z;
  t.out = t.cr * t.y - t.sr * t.z;
  return t;
}

}  // namespace

Rise rise_of(const State& state, const Vec3& point) {
  const auto [x, y, z, sp, cp, sr, cr, up, out] = turned(state, point);
  Rise rise;
  rise.value = state.height_mm - sp * x + cp * up;
  rise.body = Vec3(1, -cp * x - sp * up, cp * out);
  rise.point = Vec3(-sp, cp * sr, cp * cr);
  rise.body_body << 0, 0, 0, 0, sp * x - cp * up, -sp * out, 0, -sp * out, -cp * up;
  rise.body_point << 0, 0, 0, -cp, -sp * sr, -sp * cr, 0, cp * cr, -cp * sr;
  return rise;
}

Rise downhill_of(const State& state, const Vec3& point, const Vec2& down) {
  const auto [x, y, z, sp, cp, sr, cr, up, out] = turned(state, point);
  const double a = down.x(), b = down.y();
  Rise fall;
  fall.value = a * (cp * x + sp * up) + b * out;
  fall.body = Vec3(0, a * (-sp * x + cp * up), a * sp * out - b * up);
  fall.point = Vec3(a * cp, a * sp * sr + b * cr, a * sp * cr - b * sr);
  fall.body_body << 0, 0, 0, 0, a * (-cp * x - sp * up), a * cp * out, 0, a * cp * out, -a * sp * up - b * out;
  fall.body_point << 0, 0, 0, -a * sp, a * cp * sr, a * cp * cr, 0, a * sp * cr - b * sr, -a * sp * sr - b * cr;
  return fall;
}

double height_of(const State& state, const Vec3& point) {
  const Turned t = turned(state, point);
  return state.height_mm - t.sp * t.x + t.cp * t.up;
}

Vec3 levelled(const State& state, const Vec3& point) {
  const Turned t = turned(state, point);
  return {t.cp * t.x + t.sp * t.up, t.out, -t.sp * t.x + t.cp * t.up};
}

}  // namespace ridepitch
