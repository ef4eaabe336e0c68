#pragma once
// Small motions of the sprung body about rest.

#include "ride/solution.hpp"
#include "stance.hpp"

namespace ridepitch::oracle {

/// Bounce, pitch and roll, in this order; none where the body has fewer than three freedoms or a direction no inertia.
std::vector<Mode> modes(const Model& model, const Stance& stance);

}  // namespace ridepitch::oracle
