#include <fmt/format.h>

#include <algorithm>

#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/measured.hpp"

namespace ridepitch {
namespace {

// Common practice, no source: a digit lost or doubled makes a reading ten times too small or great; with the digit put
// right it lies within this factor of the others.
constexpr double digit = 10, near_others = 2;

double wheels_kg(const Model& model, const Weighed& reading) {
  double kg = 0;
  for (const WheelRef ref : reading.wheels) {
    const Corner& corner = at(model.corners, ref.corner);
    const Linkage& linkage = at(model.linkages, corner.linkage);
    kg += at(linkage.wheels, ref.wheel).tyre.mass_g * kg_per_g + corner.unsprung_kg / count(linkage.wheels);
  }
  return kg;
}

bool too_light(const Model& model, const Weighed& reading) { return reading.kg < wheels_kg(model, reading); }

double each_kg(const Weighed& reading) { return reading.kg / static_cast<double>(reading.wheels.size()); }

/// The median of the other readings that can be, for each wheel; none where there is no other.
std::optional<double> others_kg(const Model& model, const Weighed& reading) {
  std::vector<double> others;
  for (const Weighed& other : model.weighed)
    if (&other != &reading && !too_light(model, other)) others.push_back(each_kg(other));
  if (others.empty()) return std::nullopt;
  const auto middle = others.begin() + std::ssize(others) / 2;
  std::nth_element(others.begin(), middle, others.end());
  return *middle;
}

/// The reading with a digit more or less, if that is what sets it right.
std::optional<double> with_digit_kg(const Model& model, const Weighed& reading) {
  const auto others = others_kg(model, reading);
  if (!others) return std::nullopt;
  for (const double factor : {digit, 1 / digit}) {
    const double share = each_kg(reading) * factor / *others;
    if (share < near_others && share > 1 / near_others) return reading.kg * factor;
  }
  return std::nullopt;
}

}  // namespace

std::vector<Finding> doubtful_readings(const Model& model) {
  std::vector<Finding> found;
  for (const Weighed& reading : model.weighed) {
    const auto meant_kg = with_digit_kg(model, reading);
    const bool light = too_light(model, reading);
    if (!light && !meant_kg) continue;
    std::vector<std::string> wheels;
    for (const WheelRef ref : reading.wheels) wheels.push_back(wheel_name(model, ref));
    const double read_g = reading.kg / kg_per_g;
    found.push_back(
        {Level::warning, "reading-doubtful", fmt::format("{}", fmt::join(wheels, ", ")),
         light ? fmt::format("the scale read {:g} g there, less than these wheels weigh by themselves: {:.0f} g",
                             read_g, wheels_kg(model, reading) / kg_per_g)
               : fmt::format("the scale read {:g} g there, about ten times {} for each wheel than elsewhere", read_g,
                             *meant_kg > reading.kg ? "less" : "more"),
         meant_kg ? fmt::format("was it {:g} g? Look at the scale again", *meant_kg / kg_per_g)
                  : "weigh them again; or the tyre's mass_g or `unsprung_grams` is too great"});
  }
  return found;
}

bool has_doubtful_reading(const Solution& solution) {
  return std::any_of(solution.findings.begin(), solution.findings.end(),
                     [](const Finding& finding) { return finding.code == "reading-doubtful"; });
}

}  // namespace ridepitch
