#pragma once
// What a lever must do for another spring to take a spring's place.

#include <vector>

#include "swap/compare.hpp"

namespace ridepitch {

/// For every wheel and every spring that moves it and that is another one in the second model:
///
///     m' = m sqrt(k / k')          the motion ratio that it needs; k, k' of all side by side, where each rests
///     F' = F m / m'                what all of them then bear
///
/// A wheel's load is P = F m and its rate K = k m^2 + F dm/dz. If the lever keeps its shape, so that m' and dm'/dz are m
/// and dm/dz times one factor, then F' m' = P makes the second term of K the same, and k' m'^2 = k m^2 the first.
/// Derived here; without the second term it is the well-known k m^2.
///
/// @param solved_after  null where the second model has no solution
std::vector<SpringNeed> spring_needs(const Model& before, const Solution& solved_before, const Model& after,
                                     const Solution* solved_after);

}  // namespace ridepitch
