#pragma once
// A model whose mass is known from elsewhere.

#include "model/model.hpp"

namespace ridepitch {

/// The model with one point mass in place of its masses or readings: with the vehicle's own mass and centre it
/// stands the same, and more can be put on it.
Model with_mass_at(const Model& model, double kg, const Vec3& cg_mm);

}  // namespace ridepitch
