#pragma once
// Random linkages that fall apart into two-bar groups: an arm or a slide, then rods, rockers, couplers and slides hung on
// what is there, coils between them.

#include <random>
#include <string>

namespace ridepitch {

/// A model on the bench or on four wheels, as text. Its rods close the drawn pose to within a quarter module; whether it
/// stands is for the solver to say.
std::string random_model_text(std::mt19937& random);

}  // namespace ridepitch
