#pragma once
// How far friction in springs and pins can hold a resting wheel up or down.

#include <optional>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

/// Half the width of the band of heights in which a corner's wheel can come to rest, to first order:
///
///     F = sum over springs of count friction_n |MR|  +  sum over pins of mu r P |d(theta_a - theta_b)/dz|
///     band = F / wheel rate
///
/// P is the pin's load, r its radius, z the wheel's travel; a pin of more than two bodies turns on its first.
///
/// @returns [mm]; none for a corner of several wheels, without a positive wheel rate or a curve about rest, or where the
///          model gives no friction (no friction_n, and not both pin_mu and pin_radius_mm)
/// Source: Coulomb friction; the moment mu r P of a dry journal bearing, e.g. Meriam and Kraige, Statics, ch. 6 (from memory).
std::optional<double> friction_band_mm(const Model& model, const Solution& solution, int corner);

}  // namespace ridepitch
