#include "ride/margins.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/closure.hpp"

namespace ridepitch {
namespace {

// asin |d . t|: d the part's true direction (across included), t the direction of the end's path in the plane.
void take_end(const Gauge& gauge, EndMargin made, const Eigen::VectorXd& q, const std::vector<Turn>& turns,
              const Eigen::VectorXd& dq, std::optional<double>& least, std::vector<EndMargin>* ends) {
  const BodyPoint& end = made.end == 0 ? gauge.p : gauge.q;
  if (end.body == ground) return;
  const Vec2 p = position(end, q, turns);
  const Eigen::Index i = 3 * end.body;
  const Vec2 path(dq[i] - dq[i + 2] * (p.y() - q[i + 1]), dq[i + 1] + dq[i + 2] * (p.x() - q[i]));
  const double speed = path.norm();
  if (speed < 1e-9) return;  // it stands still: there is no path to be perpendicular to
  const Vec2 part = position(gauge.q, q, turns) - position(gauge.p, q, turns);
  const double length = std::hypot(part.norm(), gauge.across_mm);
  if (!(length > 0)) return;
  made.along = part.dot(path);
  made.margin_rad = std::asin(std::min(1.0, std::abs(made.along) / (speed * length)));
  if (!least || made.margin_rad < *least) least = made.margin_rad;
  if (ends) ends->push_back(made);
}

}  // namespace

Margins margins_at(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& dq,
                   std::vector<EndMargin>* ends) {
  const std::vector<Turn> turns = turns_at(q);
  if (ends) ends->clear();
  Margins out;
  for (const Tie& tie : mechanism.ties) {
    if (tie.of != Tie::Of::rod || tie.gauge.p.body == ground || tie.gauge.q.body == ground) continue;
    for (const int end : {0, 1})
      take_end(tie.gauge, EndMargin{.coil = false, .part = tie.index, .end = end}, q, turns, dq, out.toggle_rad, ends);
  }
  for (std::size_t i = 0; i < mechanism.springs.size(); ++i) {
    if (!mechanism.springs[i].captive) continue;
    for (const int end : {0, 1})
      take_end(mechanism.springs[i].gauge, EndMargin{.coil = true, .part = static_cast<int>(i), .end = end}, q, turns,
               dq, out.coil_rad, ends);
  }
  return out;
}

void take_perpendicular(const std::vector<EndMargin>& before, const std::vector<EndMargin>& after, Margins& least) {
  constexpr double near_rad = 0.5;  // a path that turns back changes the sign too, but not near the perpendicular
  for (std::size_t i = 0; i < std::min(before.size(), after.size()); ++i) {
    const EndMargin &one = before[i], &other = after[i];
    if (one.coil != other.coil || one.part != other.part || one.end != other.end) return;
    if (one.along * other.along < 0 && one.margin_rad < near_rad && other.margin_rad < near_rad)
      (one.coil ? least.coil_rad : least.toggle_rad) = 0;
  }
}

}  // namespace ridepitch
