#include "tune/evaluate.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <limits>

#include "ride/solve.hpp"

namespace ridepitch {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Of a want's figures that read the same and are wanted alike, and of a need's, one says as much as all.
Aims without_the_same(const Aims& aims, const std::vector<TapeFigure>& figures) {
  Aims out = aims;
  const auto first = [&](int k) { return figures[at(k)].same_as < 0 ? k : figures[at(k)].same_as; };
  const auto alike = [](double a, double b) { return std::abs(a - b) <= 1e-12 * std::max(1.0, std::abs(a)); };
  for (Aim& want : out.wants) {
    std::vector<int> kept;
    std::vector<double> target;
    for (std::size_t i = 0; i < want.figures.size(); ++i) {
      bool there = false;
      for (std::size_t k = 0; k < kept.size(); ++k)
        there |= kept[k] == first(want.figures[i]) && alike(target[k], want.target[i]);
      if (there) continue;
      kept.push_back(first(want.figures[i]));
      target.push_back(want.target[i]);
    }
    want.figures = std::move(kept);
    want.target = std::move(target);
  }
  for (Constraint& need : out.needs) {
    std::vector<int> kept;
    for (const int k : need.figures)
      if (std::find(kept.begin(), kept.end(), first(k)) == kept.end()) kept.push_back(first(k));
    need.figures = std::move(kept);
  }
  return out;
}

/// Reads one figure of every lane; what it says of lanes that are not solved means nothing.
void read(const Batch& batch, int figure, double* values) {
  const Evaluator& e = batch.evaluator;
  const TapeFigure& on_tape = e.figures[at(figure)];
  if (on_tape.reader->read) return on_tape.reader->read(e.tape->tape, on_tape, batch.results, values);
  for (std::size_t i = 0; i < batch.options.size(); ++i)
    values[i] = value_of_choice(*e.space, *e.aims->figures[at(figure)].what, batch.options[i]);
}

/// A need of travel or margins that is not met wherever on its way the linkage comes to rest; -1: none.
int need_missed_however_it_stands(const Evaluator& e, const TapeResult& r) {
  constexpr double rounding = 1e-6;
  for (std::size_t n = 0; n < e.aims->needs.size(); ++n) {
    const Constraint& need = e.aims->needs[n];
    for (const int k : need.figures) {
      const TapeFigure& figure = e.figures[at(k)];
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

/// Finds everything on the tape; false where something is not there.
bool find_on_tape(Evaluator& e, const Solution& as_it_stands) {
  const Model& model = *e.space->model;
  e.tape = write_tape(model, as_it_stands, e.why_no_tape);
  if (!e.tape) return false;
  unsigned wants = 0;
  for (const Figure& figure : e.aims->figures) {
    const auto found = find_figure(model, *e.tape, figure);
    if (!found) {
      e.why_no_tape = figure_name(model, figure) + " is not among what the closed form gives";
      return false;
    }
    e.figures.push_back(*found);
    wants |= found->reader->wants;
    TapeFigure& last = e.figures.back();
    for (int k = 0; k + 1 < static_cast<int>(e.figures.size()) && last.same_as < 0; ++k)
      if (reads_the_same(e.figures[at(k)], last, e.tape->tape.rolls)) last.same_as = k;
    if (last.same_as < 0) e.distinct.push_back(static_cast<int>(e.figures.size()) - 1);
  }
  for (const Variable& variable : e.space->variables) {
    auto& options = e.sets.emplace_back();
    for (const Change& change : variable.options) {
      auto made = settings(*e.tape, model, change);
      if (!made) {
        e.why_no_tape = "an option of '" + variable.thing + "' has a law that the closed form does not cover";
        return false;
      }
      const int begin = static_cast<int>(e.settings.size());
      for (const TapeSetting& s : *made) e.settings.push_back({s.linkage * tape_parameters + s.parameter, s.value});
      options.push_back({begin, static_cast<int>(e.settings.size())});
    }
  }
  Tape& tape = e.tape->tape;
  tape.want_toggle = (wants & wants_toggle) != 0;
  tape.want_coil = (wants & wants_coil) != 0;
  tape.want_bump_load = (wants & wants_bump_load) != 0;
  tape.want_travel = wants != 0;
  return true;
}

/// A candidate's figures from a solution of it.
void read_solution(const Evaluator& e, const std::vector<int>& options, Results results, double* values) {
  SteerResult steering;
  if (std::any_of(e.aims->figures.begin(), e.aims->figures.end(),
                  [](const Figure& figure) { return of_steering(figure.what->of); }))
    steering = steer(results.model, results.solution, {.points = 2, .room = false});
  if (steering.steered) results.steered = &*steering.steered;
  for (std::size_t i = 0; i < e.aims->figures.size(); ++i) {
    const Figure& figure = e.aims->figures[i];
    values[i] = figure.what->of == Scope::chosen ? value_of_choice(*e.space, *figure.what, options)
                                                 : value_of(results, figure).value_or(nothing);
  }
}

}  // namespace

double value_of_choice(const Space& space, const Quantity& quantity, const std::vector<int>& options) {
  return quantity.name == name::price ? price_of(space, options) : holes_changed(space, options);
}

Evaluator make_evaluator(const Space& space, const Aims& aims, const Solution& as_it_stands) {
  Evaluator e;
  e.space = &space;
  e.aims = &aims;
  if (find_on_tape(e, as_it_stands))
    e.judged = without_the_same(aims, e.figures);
  else
    e.tape.reset();
  e.kernel = batch_kernels().back();
  return e;
}

Batch::Batch(const Evaluator& from)
    : evaluator(from),
      parameters(tape_linkages * tape_parameters, from.kernel.lanes),
      options(at(from.kernel.lanes), std::vector<int>(from.space->variables.size(), -1)),
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
  std::vector<int>& in_lane = batch.options[at(lane)];
  for (std::size_t i = 0; i < options.size(); ++i) {
    if (in_lane[i] == options[i]) continue;
    in_lane[i] = options[i];
    const SettingRange set = e.sets[i][at(options[i])];
    for (int k = set.begin; k < set.end; ++k) parameter[e.settings[at(k)].row * lanes] = e.settings[at(k)].value;
  }
}

TapeLook first_look(const Evaluator& e) {
  return e.tape && !e.tape->tape.want_travel ? tape_to_rest : tape_along_travel;
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

void read_lane(const Batch& batch, int lane, double* values) {
  const std::vector<TapeFigure>& figures = batch.evaluator.figures;
  for (std::size_t i = 0; i < figures.size(); ++i)
    values[i] = batch.values[figures[i].same_as < 0 ? static_cast<int>(i) : figures[i].same_as][lane];
}

bool solve_candidate(const Evaluator& e, std::uint64_t candidate, double* values) {
  std::vector<int> options;
  options_of(*e.space, candidate, options);
  const Model with = changed(*e.space->model, changes_of(*e.space, candidate));
  // Ends, peaks and margins do not depend on how many points a curve has.
  const SolveResult solved = solve(with, {.curve_points = 33, .other_stances = false, .readings = false});
  if (!solved.solution) return false;
  read_solution(e, options, {with, *solved.solution}, values);
  return true;
}

}  // namespace ridepitch
