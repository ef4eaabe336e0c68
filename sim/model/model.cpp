#include "model/model.hpp"

namespace ridepitch {

std::string hole_name(const Linkage& linkage, HoleRef ref) {
  const Body& body = linkage.bodies[static_cast<std::size_t>(ref.body)];
  return body.name + "." + body.holes[static_cast<std::size_t>(ref.hole)].name;
}

}  // namespace ridepitch
