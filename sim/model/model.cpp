#include "model/model.hpp"

#include "model/index.hpp"

namespace ridepitch {

std::string hole_name(const Linkage& linkage, HoleRef ref) {
  const Body& body = linkage.bodies[static_cast<std::size_t>(ref.body)];
  return body.name + "." + body.holes[static_cast<std::size_t>(ref.hole)].name;
}

std::string wheel_name(const Model& model, WheelRef ref) {
  const Corner& corner = at(model.corners, ref.corner);
  return corner.name + "/" + at(at(model.linkages, corner.linkage).wheels, ref.wheel).name;
}

}  // namespace ridepitch
