#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "model/index.hpp"
#include "ride/measured.hpp"
#include "ride/solve.hpp"
#include "ride/suspects.hpp"

namespace ridepitch {
namespace {

constexpr double least_explained = 0.5;       // a cause that explains less of the sum of squares is none
constexpr double hole_least_explained = 0.9;  // a hole is off or is not: it can't be fitted
constexpr double far_fetched = 3;             // times what is usual: only where nothing likelier is found
constexpr std::size_t most_causes = 8;
constexpr int most_fit_rounds = 8;

/// The heights that were measured, as a model has them; none where it does not stand or has no such height.
using Heights = std::optional<Eigen::VectorXd>;

Heights heights_of(const Solution& solution, const std::vector<MeasuredHeight>& measured) {
  Eigen::VectorXd heights(static_cast<Eigen::Index>(measured.size()));
  for (std::size_t i = 0; i < measured.size(); ++i) {
    const auto height = at(solution.corners, measured[i].corner).ride_height_mm;
    if (!height) return std::nullopt;
    heights[static_cast<Eigen::Index>(i)] = *height;
  }
  return heights;
}

Heights heights_of(const Model& model, const std::vector<MeasuredHeight>& measured) {
  const SolveResult result = solve(model, only_the_stance);
  return result.solution ? heights_of(*result.solution, measured) : std::nullopt;
}

struct Fit {
  double amount = 0;
  Eigen::VectorXd left_mm;  ///< measured less computed
};

/// The amount with which the heights come nearest to the measured ones: Gauss and Newton's method for one value, with
/// shorter steps where a whole one leads too far.
std::optional<Fit> best_amount(const Suspect& suspect, const std::vector<MeasuredHeight>& measured,
                               const Eigen::VectorXd& measured_mm, const Eigen::VectorXd& computed_mm) {
  const double beside = 0.05 * suspect.usual, enough = 1e-3 * suspect.usual, nothing_mm = 1e-6;
  Fit fit{0, measured_mm - computed_mm};
  Eigen::VectorXd now_mm = computed_mm;
  double move = 0;
  for (int round = 0; round < most_fit_rounds; ++round) {
    const Heights there = heights_of(suspect.off_by(fit.amount + beside), measured);
    if (!there) return std::nullopt;
    const Eigen::VectorXd slope = (*there - now_mm) / beside;
    if (slope.norm() * suspect.usual < nothing_mm) return std::nullopt;  // it does not matter here
    move = slope.dot(fit.left_mm) / slope.squaredNorm();
    Heights moved;
    for (; std::abs(move) > enough; move /= 2) {
      moved = heights_of(suspect.off_by(fit.amount + move), measured);
      if (moved && (measured_mm - *moved).norm() < fit.left_mm.norm()) break;
    }
    if (std::abs(move) <= enough) break;
    fit = {fit.amount + move, measured_mm - *moved};
    now_mm = *moved;
  }
  return fit;
}

double explained(const Eigen::VectorXd& left_mm, const Eigen::VectorXd& apart_mm) {
  return 1 - left_mm.squaredNorm() / apart_mm.squaredNorm();
}

/// A hole or rod that stands one module off.
struct OneHoleOff {
  Model model;
  std::string what, needs;
};

void add_holes_off(const Model& model, int l, std::vector<OneHoleOff>& all) {
  const Linkage& linkage = at(model.linkages, l);
  for (int b = 0; b < count(linkage.bodies); ++b)
    for (int h = 0; h < count(at(linkage.bodies, b).holes); ++h)
      for (const Vec2& step : {Vec2(1, 0), Vec2(-1, 0), Vec2(0, 1), Vec2(0, -1)}) {
        Model changed = model;
        Vec2& place = at(at(at(changed.linkages, l).bodies, b).holes, h).p_B;
        place += step * model.module_mm;
        const Vec2 there = place / model.module_mm;
        all.push_back({std::move(changed), fmt::format("hole {} of {}", hole_name(linkage, {b, h}), linkage.name),
                       fmt::format("one hole off: [{:g}, {:g}]", there.x(), there.y())});
      }
}

void add_rods_off(const Model& model, int l, std::vector<OneHoleOff>& all) {
  const Linkage& linkage = at(model.linkages, l);
  for (int r = 0; r < count(linkage.rods); ++r)
    for (const double step : {1.0, -1.0}) {
      const Rod& rod = at(linkage.rods, r);
      const double length_mm = rod.length_mm + step * model.module_mm;
      if (length_mm <= rod.across_mm) continue;
      Model changed = model;
      at(at(changed.linkages, l).rods, r).length_mm = length_mm;
      all.push_back(
          {std::move(changed), fmt::format("rod {} of {}", rod.name, linkage.name),
           fmt::format("one hole {}: {:g} modules", step > 0 ? "longer" : "shorter", length_mm / model.module_mm)});
    }
}

/// The one hole of the linkages that stands a module off with the best result; none where that explains too little.
std::optional<LikelyCause> best_hole(const Model& model, const std::vector<MeasuredHeight>& measured,
                                     const Eigen::VectorXd& measured_mm, const Eigen::VectorXd& apart_mm) {
  std::optional<LikelyCause> best;
  double least = apart_mm.norm();
  for (int l = 0; l < count(model.linkages); ++l) {
    if (std::none_of(measured.begin(), measured.end(),
                     [&](const MeasuredHeight& height) { return at(model.corners, height.corner).linkage == l; }))
      continue;
    std::vector<OneHoleOff> all;
    add_holes_off(model, l, all);
    add_rods_off(model, l, all);
    for (const OneHoleOff& off : all) {
      const Heights heights = heights_of(off.model, measured);
      if (!heights) continue;
      const Eigen::VectorXd left_mm = measured_mm - *heights;
      if (left_mm.norm() >= least || explained(left_mm, apart_mm) < hole_least_explained) continue;
      least = left_mm.norm();
      best = LikelyCause{"hole", off.what, off.needs, 1, "holes", 1, left_mm.cwiseAbs().maxCoeff()};
    }
  }
  return best;
}

/// Friction, where it can hold the heights at least half as far off as they are.
std::optional<LikelyCause> friction(const std::vector<MeasuredHeight>& measured, const Eigen::VectorXd& apart_mm) {
  LikelyCause cause{"friction", "friction of springs and pins", "", 0, "mm", 0, 0};
  Eigen::VectorXd left_mm = apart_mm;
  for (std::size_t i = 0; i < measured.size(); ++i) {
    const double band_mm = measured[i].friction_mm.value_or(0);
    double& left = left_mm[static_cast<Eigen::Index>(i)];
    if (!differs(measured[i])) continue;
    if (band_mm <= 0) return std::nullopt;
    cause.size = std::max(cause.size, std::abs(left) / band_mm);
    cause.amount = std::max(cause.amount, band_mm);
    left = std::copysign(std::max(0.0, std::abs(left) - band_mm), left);
  }
  if (explained(left_mm, apart_mm) < least_explained) return std::nullopt;
  cause.leaves_mm = left_mm.cwiseAbs().maxCoeff();
  cause.needs = fmt::format("holds it up to {:.1f} mm too high or too low", cause.amount);
  return cause;
}

}  // namespace

std::vector<LikelyCause> likely_causes(const Model& model, const Solution& solution,
                                       const std::vector<MeasuredHeight>& measured) {
  std::vector<LikelyCause> causes;
  if (std::none_of(measured.begin(), measured.end(), differs)) return causes;
  const Eigen::VectorXd computed_mm = *heights_of(solution, measured);
  Eigen::VectorXd measured_mm = computed_mm;
  for (std::size_t i = 0; i < measured.size(); ++i) measured_mm[static_cast<Eigen::Index>(i)] = measured[i].measured_mm;
  const Eigen::VectorXd apart_mm = measured_mm - computed_mm;

  for (const Suspect& suspect : suspects_of(model, solution)) {
    const auto fit = best_amount(suspect, measured, measured_mm, computed_mm);
    if (!fit || explained(fit->left_mm, apart_mm) < least_explained) continue;
    causes.push_back({suspect.code, suspect.what, suspect.needs(fit->amount), fit->amount, suspect.unit,
                      std::abs(fit->amount) / suspect.usual, fit->left_mm.cwiseAbs().maxCoeff()});
  }
  if (const auto cause = friction(measured, apart_mm)) causes.push_back(*cause);
  if (const auto cause = best_hole(model, measured, measured_mm, apart_mm)) causes.push_back(*cause);
  // Those that leave less than the ruler may be off come first, then those that need least.
  double within_mm = measured[0].within_mm;
  for (const MeasuredHeight& height : measured) within_mm = std::min(within_mm, height.within_mm);
  const auto order = [&](const LikelyCause& cause) { return std::pair(cause.leaves_mm > within_mm, cause.size); };
  std::stable_sort(causes.begin(), causes.end(),
                   [&](const LikelyCause& a, const LikelyCause& b) { return order(a) < order(b); });
  if (!causes.empty()) {
    const double most = std::max(far_fetched, 2 * causes.front().size);
    std::erase_if(causes, [&](const LikelyCause& cause) { return cause.size > most; });
  }
  if (causes.size() > most_causes) causes.resize(most_causes);
  return causes;
}

}  // namespace ridepitch
