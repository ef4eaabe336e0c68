#pragma once
// How quantities are read off what was worked out of a model, its steering included.

#include <optional>
#include <string_view>
#include <vector>

#include "ride/quantity_readers.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

/// All that was worked out of one model.
struct Results {
  const Model& model;
  const Solution& solution;
  const Steered* steered = nullptr;  ///< none: no quantity of a steering has a value
};

struct SteeringReader {
  std::string_view name;  ///< of the quantity
  std::optional<double> (*value)(const Steering& steering, const Figure& figure) = nullptr;
};

/// One row for each quantity of a steering.
const std::vector<SteeringReader>& steering_readers();

/// Its value in the quantity's own unit; none where it does not exist. Of what was `chosen`: none.
std::optional<double> value_of(const Results& results, const Figure& figure);

}  // namespace ridepitch
