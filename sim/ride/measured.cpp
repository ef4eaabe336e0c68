#include "ride/measured.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "model/index.hpp"
#include "spring/spring_traits.hpp"

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

namespace {

/// How fast each moving body turns with travel at rest [rad/mm]: between the two points of the curve about it.
std::vector<double> turning(const Curve& curve, double travel_mm) {
  std::size_t after = 1;
  while (after + 1 < curve.points.size() && curve.points[after].travel_mm < travel_mm) ++after;
  const double step_mm = curve.points[after].travel_mm - curve.points[after - 1].travel_mm;
  std::vector<double> rates;
  for (std::size_t b = 0; b < curve.poses[after].size(); ++b)
    rates.push_back((curve.poses[after][b].theta_rad - curve.poses[after - 1][b].theta_rad) / step_mm);
  return rates;
}

/// Friction of the springs, as a force at the wheel [N].
double of_springs(const Linkage& linkage, const CornerResult& result) {
  double force_n = 0;
  for (std::size_t s = 0; s < linkage.springs.size() && s < result.springs.size(); ++s) {
    const auto& ratio = result.springs[s].motion_ratio;
    if (ratio.empty() || !ratio[0].second) continue;
    force_n += linkage.springs[s].count * traits_of(linkage.springs[s].data).friction_n * std::abs(*ratio[0].second);
  }
  return force_n;
}

/// Friction of the pins, likewise.
double of_pins(const Linkage& linkage, const CornerResult& result, const std::vector<double>& turn, double moment_mm) {
  const auto rate = [&](int body) { return body == chassis ? 0.0 : turn[static_cast<std::size_t>(body) - 1]; };
  double force_n = 0;
  for (std::size_t p = 0; p < linkage.pins.size() && p < result.pins.size(); ++p) {
    const Pin& pin = linkage.pins[p];
    for (std::size_t h = 1; h < pin.holes.size(); ++h) {
      const Body& body = linkage.bodies[static_cast<std::size_t>(pin.holes[h].body)];
      const auto load = std::find_if(result.pins[p].forces.begin(), result.pins[p].forces.end(),
                                     [&](const PinForce& force) { return force.body == body.name; });
      const double load_n = load == result.pins[p].forces.end() ? result.pins[p].force_n : load->force_C_n.norm();
      force_n += moment_mm * load_n * std::abs(rate(pin.holes[h].body) - rate(pin.holes[0].body));
    }
  }
  return force_n;
}

}  // namespace

std::optional<double> friction_band_mm(const Model& model, const Solution& solution, int corner) {
  const CornerResult& result = solution.corners[static_cast<std::size_t>(corner)];
  const Linkage& linkage =
      model.linkages[static_cast<std::size_t>(model.corners[static_cast<std::size_t>(corner)].linkage)];
  if (result.wheels.size() != 1) return std::nullopt;
  const WheelResult& wheel = result.wheels[0];
  if (!wheel.wheel_rate_n_per_mm || *wheel.wheel_rate_n_per_mm <= 0 || !wheel.travel_mm) return std::nullopt;
  double force_n = of_springs(linkage, result);
  if (model.friction.pin_mu.given && model.friction.pin_radius_mm.given) {
    const auto curve = std::find_if(solution.curves.begin(), solution.curves.end(), [&](const Curve& each) {
      return each.corner == corner && each.points.size() > 1 && each.poses.size() == each.points.size();
    });
    if (curve == solution.curves.end()) return std::nullopt;
    force_n += of_pins(linkage, result, turning(*curve, *wheel.travel_mm),
                       model.friction.pin_mu.value * model.friction.pin_radius_mm.value);
  }
  return force_n > 0 ? std::optional(force_n / *wheel.wheel_rate_n_per_mm) : std::nullopt;
}

}  // namespace ridepitch
