#pragma once
// Two solutions of one vehicle side by side.

#include <string>
#include <vector>

#include "oracle.hpp"

namespace ridepitch::oracle {

/// How far two solutions may differ.
struct Tolerances {
  double position_mm = 8e-6;  ///< a millionth of a module
  double load_n = 1e-6;
  double share = 1e-5;  ///< of the value, for all other quantities
  double least = 1e-2;  ///< values under this are compared as if they were this
};

/// One line for each quantity that differs, exists on one side only, or is named otherwise; empty if they agree.
std::vector<std::string> differences(const Solution& solution, const OracleSolution& oracle,
                                     const Tolerances& tolerances = {});

}  // namespace ridepitch::oracle
