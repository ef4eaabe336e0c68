#include "ride/travels.hpp"

#include <algorithm>

#include "ride/hold.hpp"

namespace ridepitch {
namespace {

constexpr int steps_where_loads_rise = 4;
constexpr int steps_where_it_may_snap = 64;

}  // namespace

std::vector<LinkageTravel> find_travels(const Model& model, const Vehicle& vehicle, int points) {
  std::vector<LinkageTravel> travels(model.linkages.size());
  for (std::size_t i = 0; i < model.linkages.size(); ++i) {
    const bool used = std::find(vehicle.linkage_of.begin(), vehicle.linkage_of.end(), static_cast<int>(i)) !=
                      vehicle.linkage_of.end();
    if (!used) continue;
    const Mechanism& mechanism = vehicle.assemblies[i].mechanism;
    travels[i].independent = wheels_independent(mechanism, vehicle.droops[i].q);
    if (travels[i].independent && moving_wheels(mechanism).size() == 1)
      travels[i].alone = travel_alone(mechanism, vehicle.droops[i], points, model.friction);
  }
  return travels;
}

int lowering_steps(const Vehicle& vehicle, const std::vector<LinkageTravel>& travels) {
  for (const int linkage : vehicle.linkage_of) {
    const LinkageTravel& one = travels[static_cast<std::size_t>(linkage)];
    if (!one.alone) {
      if (!moving_wheels(vehicle.assemblies[static_cast<std::size_t>(linkage)].mechanism).empty())
        return steps_where_it_may_snap;
      continue;
    }
    for (const CurvePoint& point : one.alone->curve.points)
      if (point.wheel_rate_n_per_mm <= 0) return steps_where_it_may_snap;
  }
  return steps_where_loads_rise;
}

}  // namespace ridepitch
