#include "members.hpp"

#include <algorithm>

namespace ridepitch::oracle {

Members members_of(const Linkage& linkage, const Vector& forces, int first) {
  const std::vector<Joint> joint_list = joints(linkage);
  const int count = static_cast<int>(joint_list.size());
  Members members;
  members.slides.assign(linkage.slides.size(), 0.0);
  for (const Rod& rod : linkage.rods) members.rods.push_back({rod.name, 0});
  for (const Pin& pin : linkage.pins) {
    PinResult result{pin.name, 0, {}};
    for (const HoleRef& hole : pin.holes) result.forces.push_back({linkage.bodies[hole.body].name, Vec2::Zero()});
    members.pins.push_back(result);
  }
  for (int j = 0; j < count; ++j) {
    const Joint& joint = joint_list[j];
    const double force = forces[first + j];
    switch (joint.kind) {
      case Joint::Kind::pin_u:
      case Joint::Kind::pin_v: {
        const int axis = joint.kind == Joint::Kind::pin_u ? 0 : 1;
        std::vector<PinForce>& on = members.pins[joint.index].forces;
        on[0].force_C_n[axis] += force;
        on[joint.second].force_C_n[axis] -= force;
        break;
      }
      case Joint::Kind::rod:
        members.rods[joint.index].force_n = force;
        break;
      case Joint::Kind::slide_line:
        members.slides[joint.index] = force;
        break;
      case Joint::Kind::slide_angle:
        break;
    }
  }
  for (PinResult& pin : members.pins) {
    for (const PinForce& on : pin.forces) pin.force_n = std::max(pin.force_n, on.force_C_n.norm());
  }
  return members;
}

std::vector<Members> member_forces(const Stance& stance) {
  const Programme& p = stance.programme;
  // Slope of all stored energy and weight, less what stops and ground carry, is what the joints carry.
  Vector left = gradient(p, p.energy, stance.point.x);
  for (std::size_t k = 0; k < p.stops.size(); ++k) {
    if (stance.point.stop_force[k] == 0) continue;
    const Vector gap = gradient(p, p.stops[k].gap, stance.point.x);
    for (std::size_t i = 0; i < left.size(); ++i) left[i] -= stance.point.stop_force[k] * gap[i];
  }
  const Matrix A = jacobian(p, p.equal, stance.point.x);
  const Vector forces = least_squares(transposed(A), left, 1e-9);

  std::vector<Members> list;
  int first = 0;  // joints were added part by part
  for (const Part& part : stance.parts) {
    const int count = static_cast<int>(joints(*part.layout.linkage).size());
    Members members = members_of(*part.layout.linkage, forces, first);
    Matrix own(count, A.columns);
    for (int r = 0; r < count; ++r) {
      for (int c = 0; c < A.columns; ++c) own(r, c) = A(first + r, c);
    }
    members.told = count == 0 || null_space(transposed(own), 1e-8).columns == 0;
    for (int k = part.first_stop; k < part.first_stop + part.stops; ++k) {
      members.told = members.told && (stance.open_force.empty() || !stance.open_force[k]);
    }
    list.push_back(members);
    first += count;
  }
  return list;
}

}  // namespace ridepitch::oracle
