#include "scalar_layouts.hpp"

#include <cmath>

namespace ridepitch::scalar {
namespace {

struct Turned {
  double cos[4], sin[4];
};

/// The rocker's turn at each place of the axle. @returns false where the rod does not reach
bool turn_rocker(const Tug& tug, const Axle& axle, const Hole& pivot, const Hole& push, double rod, Turned& out) {
  const double r = std::sqrt(push.u * push.u + push.v * push.v);
  for (int i = 0; i < 4; ++i) {
    const double ax = tug.push * std::cos(axle.arm[i]), ay = tug.push * std::sin(axle.arm[i]);
    const double dx = ax - pivot.u, dy = ay - pivot.v, d2 = dx * dx + dy * dy, d = std::sqrt(d2);
    const double a = (r * r - rod * rod + d2) / (2 * d), h2 = r * r - a * a;
    if (h2 < 0) return false;
    const double h = std::sqrt(h2), x = (a * dx - h * dy) / d, y = (a * dy + h * dx) / d;
    out.cos[i] = (push.u * x + push.v * y) / (r * r);
    out.sin[i] = (push.u * y - push.v * x) / (r * r);
  }
  return true;
}

}  // namespace

std::uint64_t look_at_all(const Tug& tug, std::uint64_t& passing) {
  std::uint64_t looked_at = 0;
  for (const Hole& pivot : tug.pivots)
    for (const Hole& push : tug.push_holes)
      for (const double rod : tug.rods)
        for (const Hole& hole : tug.coil_holes)
          for (const Hole& seat : tug.seats) {
            // Each seat lays the rocker down anew: nothing is shared but the loops.
            Turned turned[2];
            bool reaches = true;
            for (int x = 0; x < 2; ++x)
              reaches = reaches && turn_rocker(tug, tug.axles[x], pivot, push, rod, turned[x]);
            if (!reaches) continue;
            double length[2][4], slope[2], bend[2];
            for (int x = 0; x < 2; ++x) {
              for (int i = 0; i < 4; ++i) {
                const double u = pivot.u + turned[x].cos[i] * hole.u - turned[x].sin[i] * hole.v - seat.u,
                             v = pivot.v + turned[x].sin[i] * hole.u + turned[x].cos[i] * hole.v - seat.v;
                length[x][i] = std::sqrt(u * u + v * v);
              }
              const double w = tug.axles[x].w;
              slope[x] = (length[x][2] - length[x][0]) / (2 * w);
              bend[x] = (length[x][2] - 2 * length[x][1] + length[x][0]) / (w * w);
            }
            for (const Coil& coil : tug.coils) {
              ++looked_at;
              bool holds = true;
              for (int x = 0; x < 2 && holds; ++x) {
                const Axle& axle = tug.axles[x];
                const double l = length[x][1], push_n = coil.count * (coil.preload + coil.rate * (coil.free - l));
                const double load = -push_n * slope[x],
                             rate = coil.count * coil.rate * slope[x] * slope[x] - push_n * bend[x];
                holds = std::abs(load - axle.load) <= rate * axle.w + axle.load_within && rate >= axle.rate_low &&
                        rate <= axle.rate_high && l < coil.free && l > coil.solid && length[x][3] > coil.solid;
              }
              passing += holds ? 1 : 0;
            }
          }
  return looked_at;
}

}  // namespace ridepitch::scalar
