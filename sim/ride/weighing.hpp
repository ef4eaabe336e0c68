#pragma once
// From scale readings to a sprung mass and its centre of gravity.

#include <functional>
#include <optional>

#include "model/model.hpp"
#include "ride/lower.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {

/// Whether left and right are weighed apart: no reading names wheels of both sides.
/// @param left_mm  how far a wheel stands left of the middle
bool sides_apart(const Model& model, const std::function<double(WheelRef)>& left_mm);

/// Lets a weighed vehicle down, its sprung centre of gravity being the one with which, at rest, it has the readings'
/// moments: each reading shared equally by its wheels, the loads standing at the contacts of the resting vehicle.
/// Found by repetition, to 1e-12 of the wheelbase; the vehicle's sprung mass is set to it.
std::optional<Rest> lower_as_weighed(const Model& model, Vehicle& vehicle, int steps);

/// The model with one point mass in place of its masses or readings: with the vehicle's own mass and centre it
/// stands the same, and more can be put on it.
Model with_mass_at(const Model& model, double kg, const Vec3& cg_mm);

}  // namespace ridepitch
