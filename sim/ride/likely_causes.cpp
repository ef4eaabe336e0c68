#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <iterator>

#include "model/index.hpp"
#include "ride/evidence.hpp"
#include "ride/holes_off.hpp"
#include "ride/measured.hpp"
#include "ride/solve.hpp"
#include "ride/suspects.hpp"
#include "ride/weighing.hpp"

namespace ridepitch {
namespace {

constexpr double least_explained = 0.5;  // a cause that explains less of the misfit is none
constexpr double most_deviations = 4;    // a thing that would have to be off by more of its own is none
constexpr double worth_a_look = 2;       // times that: by the slope alone it may seem farther off than it is
constexpr std::size_t most_causes = 8;
constexpr int most_fit_rounds = 4;
constexpr double same_amount = 1e-3;    // deviations
constexpr double least_ruler_mm = 0.1;  // no ruler is better
constexpr double nothing_mm = 1e-6;

constexpr double usual_bending_mm = 1.5;  // 1 to 2: common practice, no source

// A slip: a hole off, a number misread, a part that jams. Each height is then off by about a module, by itself. Common
// practice, no source: one such for ten cases of mere scatter.
constexpr double slip_share = 0.1;

/// The heights that were measured, as a model has them; none where it does not stand or has no such height.
using Heights = std::optional<Eigen::VectorXd>;

Heights heights_of(const Solution& solution, const std::vector<MeasuredHeight>& measured) {
  Eigen::VectorXd heights(std::ssize(measured));
  for (int i = 0; i < count(measured); ++i) {
    const auto height = at(solution.corners, at(measured, i).corner).ride_height_mm;
    if (!height) return std::nullopt;
    heights[i] = *height;
  }
  return heights;
}

/// What is to be explained, and what has been found.
struct Search {
  const Model& model;
  const Solution& solution;
  const std::vector<MeasuredHeight>& measured;
  Eigen::VectorXd computed_mm;
  Apart apart;
  std::vector<LikelyCause> found = {};  ///< `likelihood` still as ln of evidence and weight
};

/// How far a changed model's heights lie from the computed ones.
Heights effect_of(const Search& search, const Model& changed) {
  const SolveResult result = solve(changed, only_the_stance);
  Heights heights = result.solution ? heights_of(*result.solution, search.measured) : std::nullopt;
  if (heights) *heights -= search.computed_mm;
  return heights;
}

Apart left_with(const Search& search, const Eigen::VectorXd& effect_mm) {
  return {search.apart.mm - effect_mm, search.apart.within_mm};
}

bool explains(const Search& search, const Apart& left) {
  return misfit(left) <= (1 - least_explained) * misfit(search.apart);
}

double most_left_mm(const Apart& left) { return left.mm.cwiseAbs().maxCoeff(); }

/// An amount [deviations] and what it does.
struct Amount {
  double value = 0;
  Eigen::VectorXd effect_mm;
};

/// The side on which a deviation of the suspect brings the heights nearer; none where it does not matter.
std::optional<Amount> helpful_side(const Search& search, const Suspect& suspect) {
  std::optional<Amount> best;
  double least = misfit(search.apart);
  for (const double side : {1.0, -1.0}) {
    const Heights effect = effect_of(search, suspect.off_by(side * suspect.deviation));
    if (!effect || effect->norm() < nothing_mm) continue;
    const double times = best_amount(search.apart, *effect);
    const double left = misfit(left_with(search, times * *effect));
    if (times <= 0 || left >= least) continue;
    least = left;
    best = Amount{side * times, times * *effect};
  }
  return best;
}

/// The amount that explains most: Gauss and Newton's method, its slope that of the line through the last two amounts tried.
std::optional<Amount> fitted(const Search& search, const Suspect& suspect) {
  const std::optional<Amount> guess = helpful_side(search, suspect);
  if (!guess || std::abs(guess->value) > worth_a_look * most_deviations) return std::nullopt;
  if (!explains(search, left_with(search, guess->effect_mm))) return std::nullopt;
  std::optional<Amount> best;
  Amount last{0, Eigen::VectorXd::Zero(search.apart.mm.size())};
  double value = guess->value;
  for (int round = 0; round < most_fit_rounds; ++round) {
    const Heights effect = effect_of(search, suspect.off_by(value * suspect.deviation));
    if (!effect) break;
    const Apart left = left_with(search, *effect);
    if (best && misfit(left) >= misfit(left_with(search, best->effect_mm))) break;
    best = Amount{value, *effect};
    const double step = best_amount(left, (*effect - last.effect_mm) / (value - last.value));
    last = *best;
    if (std::abs(step) < same_amount || (value + step) * value <= 0) break;
    value += step;
  }
  return best;
}

/// Corners that differ, where another measured one has the same linkage: its springs may be off there only.
std::vector<int> corners_alone(const Search& search) {
  const auto linkage_of = [&](const MeasuredHeight& height) { return at(search.model.corners, height.corner).linkage; };
  std::vector<int> corners;
  for (const MeasuredHeight& height : search.measured) {
    const auto alike = std::count_if(search.measured.begin(), search.measured.end(), [&](const MeasuredHeight& other) {
      return linkage_of(other) == linkage_of(height);
    });
    if (differs(height) && alike > 1) corners.push_back(height.corner);
  }
  return corners;
}

void add_suspects(Search& search) {
  for (const Suspect& suspect : suspects_of(search.model, search.solution, corners_alone(search))) {
    const auto fit = fitted(search, suspect);
    if (!fit || std::abs(fit->value) > most_deviations) continue;
    const Apart left = left_with(search, fit->effect_mm);
    if (!explains(search, left)) continue;
    const double amount = fit->value * suspect.deviation;
    search.found.push_back({.code = suspect.code,
                            .what = suspect.what,
                            .needs = suspect.needs(amount),
                            .amount = amount,
                            .unit = suspect.unit,
                            .size = std::abs(fit->value),
                            .leaves_mm = most_left_mm(left),
                            .likelihood = log_evidence(search.apart, fit->effect_mm / std::abs(fit->value))});
  }
}

/// What can only lower, by `effect_mm` for one deviation: a cause by the amount that explains most.
/// @param deviation_mm  of what is told
void add_lowering(Search& search, const char* code, const char* what, const Eigen::VectorXd& effect_mm,
                  double deviation_mm, const std::function<std::string(double mm)>& needs) {
  const double times = best_amount(search.apart, effect_mm);
  const Apart left = left_with(search, times * effect_mm);
  if (times <= 0 || times > most_deviations || !explains(search, left)) return;
  search.found.push_back({.code = code,
                          .what = what,
                          .needs = needs(times * deviation_mm),
                          .amount = times * deviation_mm,
                          .unit = "mm",
                          .size = times,
                          .leaves_mm = most_left_mm(left),
                          .likelihood = log_evidence(search.apart, effect_mm)});
}

/// Play, which lowers every corner as it does by what is usual, times some factor.
void add_play(Search& search) {
  Eigen::VectorXd effect_mm(search.apart.mm.size());
  for (int i = 0; i < count(search.measured); ++i) {
    const CornerResult& corner = at(search.solution.corners, at(search.measured, i).corner);
    if (!corner.as_built_height_mm) return;
    effect_mm[i] = *corner.as_built_height_mm - *corner.ride_height_mm;
  }
  add_lowering(search, "play", "play of the joints", effect_mm, search.model.spread.pin_play_mm.value,
               [](double mm) { return fmt::format("{:.2f} mm at each", mm); });
}

/// Twist and bending of beams and pins, which are not computed: they let every corner sink.
void add_bending(Search& search) {
  add_lowering(search, "bending", "twist and bending",
               Eigen::VectorXd::Constant(search.apart.mm.size(), -usual_bending_mm), usual_bending_mm,
               [](double mm) { return fmt::format("{:.1f} mm lower; not computed, 1 to 2 mm are usual", mm); });
}

/// Friction, which with the usual play holds a corner anywhere between two heights: evenly spread, so that the deviation
/// is half the band over the root of 3.
void add_friction(Search& search) {
  const Eigen::Index n = search.apart.mm.size();
  Eigen::VectorXd lower_mm(n), upper_mm(n);
  for (int i = 0; i < count(search.measured); ++i) {
    const CornerResult& corner = at(search.solution.corners, at(search.measured, i).corner);
    if (!corner.pressed_height_mm || !corner.lifted_height_mm) return;
    lower_mm[i] = *corner.pressed_height_mm - *corner.ride_height_mm;
    upper_mm[i] = *corner.lifted_height_mm - *corner.ride_height_mm;
  }
  const Apart left = left_with(search, search.apart.mm.cwiseMax(lower_mm).cwiseMin(upper_mm));
  if (!explains(search, left)) return;
  const Eigen::VectorXd half_mm = (upper_mm - lower_mm) / 2;
  const Eigen::VectorXd from_middle_mm = search.apart.mm - (lower_mm + upper_mm) / 2;
  Eigen::Index widest = 0, farthest = 0;
  half_mm.maxCoeff(&widest);
  from_middle_mm.cwiseAbs().maxCoeff(&farthest);
  if (half_mm[widest] < nothing_mm) return;
  search.found.push_back(
      {.code = "friction",
       .what = "friction of the joints",
       .needs = fmt::format("holds it up to {:.1f} mm lower or {:.1f} mm higher", std::max(0.0, -lower_mm[widest]),
                            std::max(0.0, upper_mm[widest])),
       .amount = half_mm[widest],
       .unit = "mm",
       .size = std::abs(from_middle_mm[farthest]) / std::max(half_mm[farthest], nothing_mm),
       .leaves_mm = most_left_mm(left),
       .likelihood = log_evidence_apart(search.apart, (lower_mm + upper_mm) / 2, half_mm / std::sqrt(3.0))});
}

/// Something else: every height a module off, up or down, for a reason of its own.
double log_slip(const Search& search) {
  const Eigen::Index n = search.apart.mm.size();
  return std::log(slip_share) + log_evidence_apart(search.apart, Eigen::VectorXd::Zero(n),
                                                   Eigen::VectorXd::Constant(n, search.model.module_mm));
}

/// The holes that could be off: of the linkages whose heights differ.
std::vector<HoleOff> holes_that_matter(const Search& search) {
  std::vector<HoleOff> all;
  for (int l = 0; l < count(search.model.linkages); ++l) {
    const bool matters = std::any_of(search.measured.begin(), search.measured.end(), [&](const MeasuredHeight& height) {
      return differs(height) && at(search.model.corners, height.corner).linkage == l;
    });
    if (!matters) continue;
    std::vector<HoleOff> some = holes_off(search.model, l);
    std::move(some.begin(), some.end(), std::back_inserter(all));
  }
  return all;
}

Heights effect_of(const Search& search, Model model, const HoleOff& off) {
  off.put_in(model);
  return effect_of(search, model);
}

/// The one hole a module off that explains best. A weighed vehicle is first tried with the mass and centre that it has, which is
/// quicker than from its readings. The chance of a slip is shared by all that were tried: of many, one fits by luck.
void add_best_hole(Search& search) {
  const auto& vehicle = search.solution.vehicle;
  const Model by_mass =
      search.model.weighed.empty() ? search.model : with_mass_at(search.model, vehicle->mass_kg, vehicle->cg_mm);
  const std::vector<HoleOff> all = holes_that_matter(search);
  const HoleOff* best = nullptr;
  double least = misfit(search.apart);
  for (const HoleOff& off : all) {
    const Heights effect = effect_of(search, by_mass, off);
    const double left = effect ? misfit(left_with(search, *effect)) : least;
    if (left >= least) continue;
    least = left;
    best = &off;
  }
  const Heights effect = best ? effect_of(search, search.model, *best) : std::nullopt;
  if (!effect) return;
  const Apart left = left_with(search, *effect);
  if (!explains(search, left)) return;
  search.found.push_back({.code = "hole",
                          .what = best->what,
                          .needs = best->needs,
                          .amount = 1,
                          .unit = "holes",
                          .size = 1,
                          .leaves_mm = most_left_mm(left),
                          .likelihood = std::log(slip_share / count(all)) - 0.5 * misfit(left)});
}

void drop_less_likely_than(double log_likelihood, std::vector<LikelyCause>& causes) {
  std::erase_if(causes, [&](const LikelyCause& cause) { return cause.likelihood <= log_likelihood; });
}

/// From logarithms to shares of all hypotheses, those included that are not told.
void share_out(const std::vector<double>& log_not_told, std::vector<LikelyCause>& causes) {
  double most = *std::max_element(log_not_told.begin(), log_not_told.end()), sum = 0;
  for (const LikelyCause& cause : causes) most = std::max(most, cause.likelihood);
  for (const double log : log_not_told) sum += std::exp(log - most);
  for (LikelyCause& cause : causes) sum += cause.likelihood = std::exp(cause.likelihood - most);
  for (LikelyCause& cause : causes) cause.likelihood /= sum;
}

}  // namespace

std::vector<LikelyCause> likely_causes(const Model& model, const Solution& solution,
                                       const std::vector<MeasuredHeight>& measured) {
  if (std::none_of(measured.begin(), measured.end(), differs)) return {};
  Search search{model, solution, measured, *heights_of(solution, measured), {}};
  const Eigen::Index n = std::ssize(measured);
  search.apart = {Eigen::VectorXd(n), Eigen::VectorXd(n)};
  for (int i = 0; i < count(measured); ++i) {
    search.apart.mm[i] = at(measured, i).measured_mm - search.computed_mm[i];
    search.apart.within_mm[i] = std::max(least_ruler_mm, at(measured, i).within_mm);
  }
  const double slip = log_slip(search), only_the_ruler = -0.5 * misfit(search.apart);
  add_suspects(search);
  add_play(search);
  add_bending(search);
  add_friction(search);
  drop_less_likely_than(slip, search.found);
  if (search.found.empty()) {
    add_best_hole(search);
    drop_less_likely_than(slip, search.found);
  }
  share_out({slip, only_the_ruler}, search.found);
  std::stable_sort(search.found.begin(), search.found.end(),
                   [](const LikelyCause& a, const LikelyCause& b) { return a.likelihood > b.likelihood; });
  if (search.found.size() > most_causes) search.found.resize(most_causes);
  return search.found;
}

}  // namespace ridepitch
