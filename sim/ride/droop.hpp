#pragma once
// Full droop: where a linkage hangs with its wheels unloaded and weightless.

#include <optional>
#include <string>
#include <vector>

#include "linkage/assemble.hpp"
#include "model/problem.hpp"

namespace ridepitch {

struct Droop {
  Eigen::VectorXd q;
  std::vector<double> height_mm;  ///< v of every wheel's centre
  std::vector<std::string> end;   ///< the stop that each wheel hangs on; empty: none, springs balance
};

struct DroopResult {
  std::optional<Droop> droop;
  std::optional<Problem> problem;  ///< a wheel or body that nothing holds
};

/// Least spring energy within all stops; where that leaves wheels open, as docs/model-format.md says under "Travel":
/// wheels that trade height hang level, wheels that could only fall hang lowest.
DroopResult find_droop(const Assembly& assembly);

}  // namespace ridepitch
