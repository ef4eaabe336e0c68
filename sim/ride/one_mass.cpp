#include "ride/one_mass.hpp"

namespace ridepitch {

Model with_mass_at(const Model& model, double kg, const Vec3& cg_mm) {
  Model out = model;
  out.weighed.clear();
  out.sprung.reset();
  out.masses = {Mass{"in one point", kg, cg_mm, std::nullopt, {}}};
  return out;
}

}  // namespace ridepitch
