#include "ride/margins.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/closure.hpp"

namespace ridepitch {
namespace {

// asin |d . t|: d the part's true direction (across included), t the direction of the end's path in the plane.
void take_end(const Gauge& gauge, const BodyPoint& end, const Eigen::VectorXd& q, const std::vector<Turn>& turns,
              const Eigen::VectorXd& dq, std::optional<double>& least) {
  if (end.body == ground) return;
  const Vec2 p = position(end, q, turns);
  const Eigen::Index i = 3 * end.body;
  const Vec2 path(dq[i] - dq[i + 2] * (p.y() - q[i + 1]), dq[i + 1] + dq[i + 2] * (p.x() - q[i]));
  const double speed = path.norm();
  if (speed < 1e-9) return;  // it stands still: there is no path to be square to
  const Vec2 part = position(gauge.q, q, turns) - position(gauge.p, q, turns);
  const double length = std::hypot(part.norm(), gauge.across_mm);
  if (!(length > 0)) return;
  const double margin = std::asin(std::min(1.0, std::abs(part.dot(path)) / (speed * length)));
  if (!least || margin < *least) least = margin;
}

}  // namespace

Margins margins_at(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& dq) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  Margins out;
  for (const Tie& tie : mechanism.ties) {
    if (tie.of != Tie::Of::rod || tie.gauge.p.body == ground || tie.gauge.q.body == ground) continue;
    take_end(tie.gauge, tie.gauge.p, q, turns, dq, out.toggle_rad);
    take_end(tie.gauge, tie.gauge.q, q, turns, dq, out.toggle_rad);
  }
  for (const SpringElement& spring : mechanism.springs) {
    if (!spring.coil) continue;
    take_end(spring.gauge, spring.gauge.p, q, turns, dq, out.coil_rad);
    take_end(spring.gauge, spring.gauge.q, q, turns, dq, out.coil_rad);
  }
  return out;
}

}  // namespace ridepitch
