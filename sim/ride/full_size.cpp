#include "ride/full_size.hpp"

#include <algorithm>
#include <cmath>

namespace ridepitch {

std::optional<FullSize> full_size(const Model& model, const Solution& solution) {
  const auto with_wheel = std::find_if(model.linkages.begin(), model.linkages.end(),
                                       [](const Linkage& linkage) { return !linkage.wheels.empty(); });
  if (!model.full_size_wheel_mm || with_wheel == model.linkages.end()) return std::nullopt;
  FullSize out;
  out.scale = *model.full_size_wheel_mm / with_wheel->wheels.front().tyre.diameter_mm;
  for (const OriginalLength& length : model.original_lengths) {
    const double scaled_mm = length.model_mm * out.scale;
    out.lengths.push_back(
        {length.name, length.model_mm, length.original_mm, scaled_mm, 100 * (scaled_mm / length.original_mm - 1)});
  }
  if (solution.vehicle) out.modes = solution.vehicle->modes;
  for (Mode& mode : out.modes) mode.frequency_hz /= std::sqrt(out.scale);
  return out;
}

}  // namespace ridepitch
