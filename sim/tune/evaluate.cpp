#include "tune/evaluate.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <iterator>
#include <limits>
#include <utility>

#include "model/index.hpp"
#include "ride/solve.hpp"
#include "steer/further_findings.hpp"

namespace ridepitch {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

/// Of a want's figures that read the same and are wanted alike, and of a need's, one says as much as all.
Aims without_the_same(const Aims& aims, const std::vector<TapeFigure>& figures) {
  Aims out = aims;
  const auto first = [&](int k) { return at(figures, k).same_as < 0 ? k : at(figures, k).same_as; };
  const auto alike = [](double a, double b) { return std::abs(a - b) <= 1e-12 * std::max(1.0, std::abs(a)); };
  for (Aim& want : out.wants) {
    const std::vector<int> all = std::exchange(want.figures, {});
    const std::vector<double> targets = std::exchange(want.target, {});
    for (std::size_t i = 0; i < all.size(); ++i) {
      bool there = false;
      for (std::size_t k = 0; k < want.figures.size(); ++k)
        there |= want.figures[k] == first(all[i]) && alike(want.target[k], targets[i]);
      if (there) continue;
      want.figures.push_back(first(all[i]));
      want.target.push_back(targets[i]);
    }
  }
  for (Constraint& need : out.needs) {
    std::transform(need.figures.begin(), need.figures.end(), need.figures.begin(), first);
    std::sort(need.figures.begin(), need.figures.end());
    need.figures.erase(std::unique(need.figures.begin(), need.figures.end()), need.figures.end());
  }
  return out;
}

/// Reads one figure of every lane; what it says of lanes that are not solved means nothing.
void read(const Batch& batch, int figure, double* values) {
  const Evaluator& e = batch.evaluator;
  const TapeFigure& on_tape = at(e.figures, figure);
  if (on_tape.reader->read) return on_tape.reader->read(e.tape->tape, on_tape, batch.results, values);
  for (std::size_t i = 0; i < batch.options.size(); ++i)
    values[i] = value_of_choice(*e.space, *at(e.aims->figures, figure).what, batch.options[i]);
}

/// A need of travel or margins that is not met wherever on its way the linkage comes to rest; -1: none.
int need_missed_however_it_stands(const Evaluator& e, const TapeResult& r) {
  constexpr double rounding = 1e-6;
  for (std::size_t n = 0; n < e.aims->needs.size(); ++n) {
    const Constraint& need = e.aims->needs[n];
    for (const int k : need.figures) {
      const TapeFigure& figure = at(e.figures, k);
      const TapeEnds& ends = r.ends[figure.linkage];
      const double least = need.least.value_or(-1e300), most = need.most.value_or(1e300);
      const unsigned wants = figure.reader->wants;
      if (wants == wants_travel && ends.travel_mm < least - rounding) return static_cast<int>(n);
      const bool toggle = wants == wants_toggle;
      if (!toggle && wants != wants_coil) continue;
      const double margin = margin_deg(toggle ? ends.toggle_sin : ends.coil_sin);
      if (!(margin >= least - rounding && margin <= most + rounding)) return static_cast<int>(n);
    }
  }
  return -1;
}

/// Finds every figure of the aims on the tape; false where one is not there.
bool find_figures(Evaluator& e) {
  const Model& model = *e.space->model;
  for (const Figure& figure : e.aims->figures) {
    const auto found = find_figure(model, *e.tape, figure);
    if (!found) {
      e.why_no_tape = figure_name(model, figure) + " is not among what the closed form gives";
      return false;
    }
    const auto same = std::find_if(e.figures.begin(), e.figures.end(), [&](const TapeFigure& earlier) {
      return reads_the_same(earlier, *found, e.tape->tape.rolls);
    });
    const int index = static_cast<int>(e.figures.size()), earlier = static_cast<int>(same - e.figures.begin());
    e.figures.push_back(*found);
    if (earlier < index)
      e.figures.back().same_as = earlier;
    else
      e.distinct.push_back(index);
  }
  return true;
}

/// Finds what every option sets on the tape; false where one can't be followed there.
bool find_settings(Evaluator& e) {
  for (const Variable& variable : e.space->variables) {
    auto& options = e.sets.emplace_back();
    for (const Change& change : variable.options) {
      auto made = settings(*e.tape, *e.space->model, change);
      if (!made) {
        e.why_no_tape = "an option of '" + variable.thing + "' has a law that the closed form does not cover";
        return false;
      }
      options.push_back(std::move(*made));
    }
  }
  return true;
}

/// Tells the kernels what need not be looked for.
void say_what_is_wanted(Evaluator& e) {
  unsigned wants = 0;
  for (const TapeFigure& figure : e.figures) wants |= figure.reader->wants;
  Tape& tape = e.tape->tape;
  tape.want_toggle = (wants & wants_toggle) != 0;
  tape.want_coil = (wants & wants_coil) != 0;
  tape.want_bump_load = (wants & wants_bump_load) != 0;
}

}  // namespace

double value_of_choice(const Space& space, const Quantity& quantity, const std::vector<int>& options) {
  return quantity.name == name::price ? price_of(space, options) : holes_changed(space, options);
}

Evaluator make_evaluator(const Space& space, const Aims& aims, const Solution& as_it_stands) {
  Evaluator e;
  e.space = &space;
  e.aims = &aims;
  e.as_it_stands = &as_it_stands;
  e.tape = write_tape(*space.model, as_it_stands, e.why_no_tape);
  if (e.tape && find_figures(e) && find_settings(e)) {
    say_what_is_wanted(e);
    e.judged = without_the_same(aims, e.figures);
  } else {
    e.tape.reset();
  }
  e.kernel = batch_kernels().back();
  e.findings = all_findings(*space.model, as_it_stands);
  return e;
}

Batch::Batch(const Evaluator& from)
    : evaluator(from),
      parameters(tape_linkages * tape_parameters, from.kernel.lanes),
      options(static_cast<std::size_t>(from.kernel.lanes), std::vector<int>(from.space->variables.size(), -1)),
      results(tape_rows, from.kernel.lanes),
      values(static_cast<int>(from.aims->figures.size()), from.kernel.lanes) {
  const int lanes = from.kernel.lanes;
  for (int l = 0; from.tape && l < from.tape->tape.linkages; ++l)
    for (int k = 0; k < tape_parameters; ++k)
      std::fill_n(parameters[l * tape_parameters + k], lanes, from.tape->tape.linkage[l].parameter[k]);
}

void add(Batch& batch, const std::vector<int>& options) {
  const Evaluator& e = batch.evaluator;
  const int lane = batch.filled++, lanes = batch.parameters.lanes();
  double* const parameter = batch.parameters.begin() + lane;
  std::vector<int>& in_lane = at(batch.options, lane);
  for (std::size_t i = 0; i < options.size(); ++i) {
    if (in_lane[i] == options[i]) continue;
    in_lane[i] = options[i];
    for (const TapeSetting& set : at(e.sets[i], options[i])) parameter[set.row * lanes] = set.value;
  }
}

void run(Batch& batch, TapeLook look) {
  const Evaluator& e = batch.evaluator;
  batch.position_solves = e.kernel.run(e.tape->tape, look, batch.parameters.begin(), batch.results.begin());
  batch.filled = 0;
  for (const int k : e.distinct) read(batch, k, batch.values[k]);
}

Fate fate_of(const Batch& batch, int lane, int& need) {
  const auto whole = [&](const long& field) {
    long value = 0;
    std::memcpy(&value, batch.results[row_of(field)] + lane, sizeof value);
    return value;
  };
  const long status = whole(any_lane.status);
  if (status == tape_solved) return Fate::valued;
  if (status != tape_unsure) return Fate::not_together;
  if (whole(any_lane.travel_known) == 0) return Fate::unsure;
  need = need_missed_however_it_stands(batch.evaluator, result_of(batch.results, lane));
  return need < 0 ? Fate::unsure : Fate::hopeless;
}

std::vector<double> read_lane(const Batch& batch, int lane) {
  std::vector<double> values;
  for (const TapeFigure& figure : batch.evaluator.figures)
    values.push_back(batch.values[figure.same_as < 0 ? static_cast<int>(values.size()) : figure.same_as][lane]);
  return values;
}

std::vector<Finding> new_findings(const std::vector<Finding>& before, const std::vector<Finding>& after) {
  std::vector<Finding> fresh;
  for (const Finding& each : after) {
    const bool known = std::any_of(before.begin(), before.end(), [&](const Finding& other) {
      return other.level == each.level && other.code == each.code && other.where == each.where;
    });
    if (each.level != Level::note && !known) fresh.push_back(each);
  }
  return fresh;
}

std::optional<SolvedCandidate> solve_in_full(const Evaluator& e, std::uint64_t candidate) {
  SolvedCandidate out{changed(*e.space->model, changes_of(*e.space, candidate)), {}, {}};
  // What ruler and scale read of the model as it stands says nothing of another layout.
  SolveResult solved = solve(out.model, {.readings = false});
  if (!solved.solution) return std::nullopt;
  out.solution = std::move(*solved.solution);
  Further more = look_further(out.model, out.solution);
  std::move(more.findings.begin(), more.findings.end(), std::back_inserter(out.solution.findings));
  out.steering = std::move(more.steering);
  return out;
}

std::vector<double> values_of(const Evaluator& e, const SolvedCandidate& candidate, const std::vector<int>& options) {
  const Results results = results_of(candidate.model, candidate.solution, candidate.steering);
  std::vector<double> values;
  for (const Figure& figure : e.aims->figures)
    values.push_back(figure.what->of == Scope::chosen ? value_of_choice(*e.space, *figure.what, options)
                                                      : value_of(results, figure).value_or(nothing));
  return values;
}

namespace {

/// Whether something is asked for that is found by pressing, loading or leaning the vehicle.
bool asks_for_trials(const Aims& aims) {
  return std::any_of(aims.figures.begin(), aims.figures.end(), [](const Figure& figure) {
    const std::string_view what = figure.what->name;
    return what == name::weight_to_bump || what == name::sink_100g || what == name::pressed || what == name::lifted ||
           what == name::roll_share || what == name::lean || what == name::load_transfer;
  });
}

}  // namespace

bool solve_candidate(const Evaluator& e, std::uint64_t candidate, double* values) {
  std::vector<int> options;
  options_of(*e.space, candidate, options);
  const Model with = changed(*e.space->model, changes_of(*e.space, candidate));
  // Ends, peaks and margins do not depend on how many points a curve has.
  const SolveResult solved =
      solve(with, {.curve_points = 33, .other_stances = false, .trials = asks_for_trials(*e.aims), .readings = false});
  if (!solved.solution) return false;
  SteerResult steering;
  if (std::any_of(e.aims->figures.begin(), e.aims->figures.end(),
                  [](const Figure& figure) { return of_steering(figure.what->of); }))
    steering = steer(with, *solved.solution, {.points = 2, .clearance = false});
  const Results results{with, *solved.solution, steering.steered ? &*steering.steered : nullptr};
  for (const Figure& figure : e.aims->figures) {
    const bool chosen = figure.what->of == Scope::chosen;
    *values++ = chosen ? value_of_choice(*e.space, *figure.what, options) : value_of(results, figure).value_or(nothing);
  }
  return true;
}

}  // namespace ridepitch
