#include "ride/measured.hpp"

#include <fmt/format.h>

#include <cmath>

#include "model/index.hpp"
#include "ride/friction_band.hpp"

namespace ridepitch {
std::vector<MeasuredHeight> compare_measured(const Model& model, const Solution& solution) {
  std::vector<MeasuredHeight> out;
  for (const Measured& measured : model.measured) {
    const auto height = at(solution.corners, measured.corner).ride_height_mm;
    if (!height) continue;
    out.push_back({measured.corner, measured.ride_height_mm, measured.within_mm, *height,
                   friction_band_mm(model, solution, measured.corner)});
  }
  return out;
}

bool differs(const MeasuredHeight& height) {
  const double rounding_mm = 1e-9;
  return std::abs(height.measured_mm - height.computed_mm) > height.within_mm + rounding_mm;
}

std::vector<Finding> judge_measured(const Solution& solution, const std::vector<MeasuredHeight>& measured,
                                    const std::vector<LikelyCause>& causes) {
  std::vector<Finding> found;
  for (const MeasuredHeight& height : measured) {
    if (!differs(height)) continue;
    const double off_mm = height.measured_mm - height.computed_mm;
    found.push_back(
        {Level::warning, "measured-differs", at(solution.corners, height.corner).name,
         fmt::format("your ruler says {:.1f} mm, computed are {:.1f} mm: it stands {:.1f} mm {}, over {:g} mm",
                     height.measured_mm, height.computed_mm, std::abs(off_mm), off_mm > 0 ? "higher" : "lower",
                     height.within_mm),
         causes.empty() ? "rock it and measure again; if it stays so, check holes, springs and masses one by one: no "
                          "single one explains it"
                        : fmt::format("rock it and measure again; if it stays so, look first at {} ({})",
                                      causes[0].what, causes[0].needs)});
  }
  return found;
}

}  // namespace ridepitch
