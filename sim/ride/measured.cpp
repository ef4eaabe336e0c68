#include "ride/measured.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "model/index.hpp"

namespace ridepitch {

std::vector<MeasuredHeight> compare_measured(const Model& model, const Solution& solution) {
  std::vector<MeasuredHeight> out;
  for (const Measured& measured : model.measured) {
    const CornerResult& corner = at(solution.corners, measured.corner);
    if (!corner.ride_height_mm) continue;
    std::optional<double> friction_mm;
    if (corner.pressed_height_mm && corner.lifted_height_mm)
      friction_mm = (*corner.lifted_height_mm - *corner.pressed_height_mm) / 2;
    out.push_back({measured.corner, measured.ride_height_mm, measured.within_mm, *corner.ride_height_mm, friction_mm});
  }
  return out;
}

bool differs(const MeasuredHeight& height) {
  const double rounding_mm = 1e-9;
  return std::abs(height.measured_mm - height.computed_mm) > height.within_mm + rounding_mm;
}

namespace {

std::string what_to_do(const Solution& solution, const std::vector<LikelyCause>& causes) {
  if (has_doubtful_reading(solution)) return "set the doubtful scale reading right first";
  if (causes.empty()) return "nothing here explains it: rock it and measure again; if it stays so, check holes";
  return fmt::format("rock it and measure again; if it stays so, look first at {} ({})", causes[0].what,
                     causes[0].needs);
}

}  // namespace

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
         what_to_do(solution, causes)});
  }
  return found;
}

double expected_height_mm(double ruler_mm, double computed_before_mm, double computed_after_mm) {
  return ruler_mm + (computed_after_mm - computed_before_mm);
}

}  // namespace ridepitch
