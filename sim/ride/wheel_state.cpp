#include "ride/wheel_state.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/dense.hpp"
#include "ride/hold.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {

double ground_load(const System& system, const Rest& rest, std::size_t m, std::size_t wheel) {
  const Member& member = system.members[m];
  const Tread& tread = member.treads[wheel];
  if (!system.on_ground) return tread.push_n + tread.weight_n;
  if (tread.tyre_rate_n_per_mm) {
    const Vec2 centre = wheel_centre(*member.mechanism, static_cast<int>(wheel), rest.state.q[m]);
    const double sunk = tread.radius_mm + tread.ground_mm - height_of(rest.state, wheel_point(member, tread, centre));
    return std::max(0.0, sunk * *tread.tyre_rate_n_per_mm);
  }
  for (std::size_t b = 0; b < rest.work.bounds.size(); ++b) {
    const Bound& bound = rest.work.bounds[b];
    if (bound.contact && bound.member == static_cast<int>(m) && bound.index == static_cast<int>(wheel))
      return std::max(0.0, rest.work.bound[b].force);
  }
  return 0;
}

bool carries(const System& system, const Rest& rest, std::size_t m, std::size_t wheel) {
  return !system.on_ground || ground_load(system, rest, m, wheel) > 1e-9 * system.weight_n;
}

namespace {

template <class Which>
std::vector<int> stops_where(const Rest& rest, std::size_t m, Which which) {
  std::vector<int> stops;
  for (std::size_t b = 0; b < rest.work.bounds.size(); ++b)
    if (!rest.work.bounds[b].contact && rest.work.bounds[b].member == static_cast<int>(m) && which(rest.work.bound[b]))
      stops.push_back(rest.work.bounds[b].index);
  return stops;
}

}  // namespace

std::vector<int> active_stops(const Rest& rest, std::size_t m) {
  return stops_where(rest, m, [](const BoundState& stop) { return stop.active && stop.force > 1e-9; });
}

std::vector<int> met_stops(const Rest& rest, std::size_t m) {
  return stops_where(rest, m, [](const BoundState& stop) { return std::abs(stop.gap) < closed_gap; });
}

Blocked blocked(const Mechanism& mechanism, const Eigen::VectorXd& q, const std::vector<int>& stops, std::size_t wheel,
                bool independent) {
  if (stops.empty()) return Blocked::neither;
  const Freedoms all = freedoms_at(mechanism, q);
  std::vector<Eigen::RowVectorXd> others;
  if (independent)
    for (std::size_t i = 0; i < mechanism.wheels.size(); ++i)
      if (i != wheel && !mechanism.wheels[i].fixed) others.push_back(slopes_along(mechanism.wheels[i].height, q, all));
  Eigen::MatrixXd held(static_cast<Eigen::Index>(others.size()), all.T.cols());
  for (std::size_t i = 0; i < others.size(); ++i) held.row(static_cast<Eigen::Index>(i)) = others[i];
  const Eigen::MatrixXd free = null_space(held, 1e-9);
  Eigen::MatrixXd gaps(static_cast<Eigen::Index>(stops.size()), free.cols());
  for (std::size_t i = 0; i < stops.size(); ++i) {
    const Stop& stop = mechanism.stops[static_cast<std::size_t>(stops[i])];
    gaps.row(static_cast<Eigen::Index>(i)) = stop.side * slopes_along(stop.gauge, q, all) * free;
  }
  const Eigen::RowVectorXd rise = slopes_along(mechanism.wheels[wheel].height, q, all) * free;
  // With every active stop kept met, can the wheel still rise and fall? Then they hold something else.
  const Eigen::MatrixXd kept = null_space(gaps, 1e-9);
  if (kept.cols() > 0 && (rise * kept).cwiseAbs().maxCoeff() > 1e-7 * (1e-9 + rise.cwiseAbs().maxCoeff()))
    return Blocked::neither;
  // A rise that opens the stops: they hold it from below.
  const double opens = (gaps * least_squares(rise, Eigen::VectorXd::Ones(1))).sum();
  if (opens == 0) return Blocked::neither;
  return opens > 0 ? Blocked::below : Blocked::above;
}

}  // namespace ridepitch
