#include "fit/fit_law.hpp"

#include <algorithm>
#include <cmath>

#include "spring/force_law.hpp"

namespace ridepitch {
namespace {

/// Forces at the knots, then the friction where there is one.
using Values = Eigen::VectorXd;

/// A table that is being fitted: equal steps over the spring's whole stroke.
struct Steps {
  const ReadingRows& readings;
  const std::vector<int>& used;
  double free_mm, stroke_mm;
  bool from_zero;  ///< a band: no force at its free length, which is then no unknown
  int count = 1;
  bool friction = readings.both_ways(used);

  int knots() const { return count + (from_zero ? 0 : 1); }
  double at_mm(int knot) const { return knot == count ? stroke_mm : hundredths(stroke_mm * knot / count); }
  double force_n(const Values& values, int knot) const {
    return from_zero ? (knot == 0 ? 0 : values[knot - 1]) : values[knot];
  }

  /// The table with these forces; none where it would not rise from point to point.
  std::optional<ForceTable> table(const Values& values) const {
    ForceTable table;
    for (int knot = 0; knot <= count; ++knot) {
      const double force = force_n(values, knot);
      if (force < 0 || (!table.empty() && force <= table.back().y())) return std::nullopt;
      table.emplace_back(at_mm(knot), force);
    }
    return table;
  }
};

/// The forces whose straight steps lie nearest to the readings: a start.
std::optional<Values> fit_straight_steps(const Steps& steps) {
  const int columns = steps.knots() + (steps.friction ? 1 : 0);
  if (static_cast<int>(steps.used.size()) < columns) return std::nullopt;
  Eigen::MatrixXd X = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(steps.used.size()), columns);
  for (std::size_t r = 0; r < steps.used.size(); ++r) {
    const SpringReading& reading = steps.readings.at(steps.used[r]);
    const double stroke_mm = steps.readings.towards_more * (reading.length_mm - steps.free_mm);
    const double at = std::clamp(stroke_mm / steps.stroke_mm, 0.0, 1.0) * steps.count;
    const int before = std::min(static_cast<int>(at), steps.count - 1);
    const auto row = static_cast<Eigen::Index>(r);
    for (const int knot : {before, before + 1}) {
      const int column = knot - (steps.from_zero ? 1 : 0);
      if (column >= 0) X(row, column) = 1 - std::abs(at - knot);
    }
    if (steps.friction) X(row, steps.knots()) = sign_of(reading.pass);
  }
  const auto fit = fit_linear(X, steps.readings.forces(steps.used));
  return fit ? std::optional(fit->parameters) : std::nullopt;
}

/// What the law says at a reading, as the program will use it: smoothly through the points.
double law_force(const ForceTable& table, const Steps& steps, const SpringReading& reading) {
  const double stroke_mm = steps.readings.towards_more * (reading.length_mm - steps.free_mm);
  const ForceLaw law = force_law(Coil{.free_mm = steps.stroke_mm + 1, .solid_mm = 1, .law = table});
  return spring_force(law, steps.stroke_mm + 1 - std::max(0.0, stroke_mm)).push_n;
}

std::optional<LawFit> fit_steps(const Steps& steps) {
  const auto start = fit_straight_steps(steps);
  if (!start) return std::nullopt;
  const Residuals residuals = [&](const Values& values, Eigen::VectorXd& out) {
    const auto table = steps.table(values);
    if (!table) return false;
    for (std::size_t i = 0; i < steps.used.size(); ++i) {
      const SpringReading& reading = steps.readings.at(steps.used[i]);
      const double friction_n = steps.friction ? values[steps.knots()] * sign_of(reading.pass) : 0;
      out[static_cast<Eigen::Index>(i)] = law_force(*table, steps, reading) + friction_n - reading.force_n;
    }
    return true;
  };
  const auto fit = fit_nonlinear(residuals, *start, static_cast<int>(steps.used.size()));
  if (!fit) return std::nullopt;
  const auto table = steps.table(fit->parameters.unaryExpr(&hundredths));
  if (!table) return std::nullopt;
  LawFit law;
  law.table = *table;
  law.parameters = static_cast<int>(fit->parameters.size());
  if (steps.friction) {
    const int last = steps.knots();
    law.friction = Estimate{std::max(0.0, fit->parameters[last]), fit->standard_error(last)};
  }
  return law;
}

}  // namespace

double hundredths(double x) { return std::round(x * 100) / 100; }

std::optional<LawFit> fit_law(const ReadingRows& readings, const std::vector<int>& used, double free_mm,
                              double stroke_mm, bool from_zero) {
  const int most_steps = 6;
  for (int steps = std::min(most_steps, readings.distinct_lengths(used) / 2); steps >= 1; --steps) {
    if (auto law = fit_steps({readings, used, free_mm, stroke_mm, from_zero, steps})) return law;
  }
  return std::nullopt;
}

}  // namespace ridepitch
