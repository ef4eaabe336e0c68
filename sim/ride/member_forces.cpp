#include "ride/member_forces.hpp"

#include <algorithm>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"

namespace ridepitch {

MemberForces member_forces(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& g) {
  const Linkage& linkage = *mechanism.linkage;
  Eigen::VectorXd lambda = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(mechanism.ties.size()));
  if (mechanism.bodies > 0) {
    Closure workspace;
    prepare(mechanism, workspace);
    linearise(mechanism, q, workspace);
    if (mechanism.rank == static_cast<int>(mechanism.ties.size()))
      multipliers(workspace.part, g, lambda);
    else
      lambda = least_squares(workspace.J.transpose(), g, 1e-8);
  }
  MemberForces out;
  for (const Rod& rod : linkage.rods) out.rods.push_back({rod.name, 0});
  for (const Pin& pin : linkage.pins) {
    PinResult result{.name = pin.name, .force_n = 0, .forces = {}};
    for (const HoleRef& hole : pin.holes)
      result.forces.push_back({linkage.bodies[static_cast<std::size_t>(hole.body)].name, Vec2::Zero()});
    out.pins.push_back(result);
  }
  for (std::size_t k = 0; k < mechanism.ties.size(); ++k) {
    const Tie& tie = mechanism.ties[k];
    const double force = lambda[static_cast<Eigen::Index>(k)];
    const auto index = static_cast<std::size_t>(tie.index);
    if (tie.of == Tie::Of::rod) out.rods[index].force_n = force;
    if (tie.of != Tie::Of::pin) continue;
    // The tie pushes its second hole along its direction, and the first one back.
    out.pins[index].forces[static_cast<std::size_t>(tie.other_hole)].force_C_n += force * tie.gauge.dir;
    out.pins[index].forces[0].force_C_n -= force * tie.gauge.dir;
  }
  for (PinResult& pin : out.pins)
    for (const PinForce& on_body : pin.forces) pin.force_n = std::max(pin.force_n, on_body.force_C_n.norm());
  return out;
}

}  // namespace ridepitch
