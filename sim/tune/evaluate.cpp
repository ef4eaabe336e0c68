#include "tune/evaluate.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "model/units.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Where the kernels have a figure; none where they do not.
std::optional<TapeFigure> find_figure(const Model& model, const WrittenTape& tape, const Figure& figure) {
  using From = TapeFigure::From;
  TapeFigure out;
  const auto put = [&](const Vec3& p) { std::copy(p.data(), p.data() + 3, out.at_mm); };
  if (figure.corner >= 0) {
    out.station = tape.station[at(figure.corner)];
    if (out.station < 0) return std::nullopt;
    out.linkage = tape.tape.station[out.station].linkage;
    put(model.corners[at(figure.corner)].at_mm);
  }
  if (figure.point >= 0) put(model.clearances[at(figure.point)].at_mm);
  out.spring = std::max(0, figure.spring);
  const std::pair<const char*, From> rows[] = {
      {"price", From::choice_price},
      {"holes_changed", From::choice_changed},
      {"clearance_mm", From::clearance},
      {"pitch_deg", From::pitch},
      {"roll_deg", From::roll},
      {"sag_mm", From::sag},
      {"droop_travel_mm", From::sag},
      {"bump_travel_mm", From::bump_travel},
      {"reserve", From::load_ratio},
      {"bump_load_n", From::bump_load},
      {"wheel_rate_n_per_mm", From::wheel_rate},
      {"frequency_hz", From::frequency},
      {"spring_force_n", From::spring_force},
      {"toggle_margin_deg", From::toggle},
      {"coil_margin_deg", From::coil},
      {"ride_height_mm", model.bench ? From::bench_height : From::ride_height},
      {"motion_ratio", figure.spring < 0 ? From::motion_ratio : From::spring_ratio}};
  for (const auto& [name, from] : rows) {
    if (figure.quantity != name) continue;
    out.from = from;
    return out;
  }
  return std::nullopt;
}

/// Left and right wheel of an axle are one station; heights of points to its left and right are alike where nothing rolls.
bool reads_the_same(const TapeFigure& a, const TapeFigure& b, bool rolls) {
  const bool has_a_place = b.from == TapeFigure::From::ride_height || b.from == TapeFigure::From::clearance;
  const bool alike = a.at_mm[0] == b.at_mm[0] && a.at_mm[2] == b.at_mm[2] && (!rolls || a.at_mm[1] == b.at_mm[1]);
  return a.from == b.from && a.station == b.station && a.linkage == b.linkage && a.spring == b.spring &&
         (!has_a_place || alike);
}

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
  for (Demand& need : out.needs) {
    std::vector<int> kept;
    for (const int k : need.figures)
      if (std::find(kept.begin(), kept.end(), first(k)) == kept.end()) kept.push_back(first(k));
    need.figures = std::move(kept);
  }
  return out;
}

double frequency_hz(const TapeWheel& wheel) {
  constexpr double per_s2 = 1000 * gravity_m_per_s2;  // mm/s^2
  return std::sqrt(per_s2 * wheel.rate_by_load_per_mm) / (2 * std::numbers::pi);
}

double margin_deg(double sine) { return sine > 1.5 ? nothing : std::asin(std::min(sine, 1.0)) * deg_per_rad; }

double height_of_point(const TapeResult& r, const double* p) {
  return r.height_mm - r.sin_pitch * p[0] + r.cos_pitch * (r.sin_roll * p[1] + r.cos_roll * p[2]);
}

double tape_value(const Evaluator& e, const TapeFigure& figure, const TapeResult& r, const std::vector<int>& options) {
  using From = TapeFigure::From;
  const TapeWheel& wheel = r.wheel[figure.station];
  switch (figure.from) {
    case From::choice_price:
      return price_of(*e.space, options);
    case From::choice_changed:
      return holes_changed(*e.space, options);
    case From::ride_height:
    case From::clearance:
      return height_of_point(r, figure.at_mm);
    case From::bench_height: {
      const TapeStation& s = e.tape->tape.station[figure.station];
      return s.radius_mm - s.inverse_tyre_rate * wheel.ground_load_n - wheel.centre_v_mm;
    }
    case From::pitch:
      return std::asin(r.sin_pitch) * deg_per_rad;
    case From::roll:
      return std::asin(r.sin_roll) * deg_per_rad;
    case From::sag:
      return wheel.sag_mm;
    case From::bump_travel:
      return wheel.bump_travel_mm;
    case From::load_ratio:
      return wheel.load_n > 0 ? wheel.bump_load_n / wheel.load_n : nothing;
    case From::bump_load:
      return wheel.bump_load_n;
    case From::motion_ratio:
      return std::abs(wheel.motion_ratio) > 1e-9 ? wheel.motion_ratio : nothing;
    case From::spring_ratio:
      return wheel.spring_motion_ratio[figure.spring];
    case From::wheel_rate:
      return wheel.wheel_rate_n_per_mm;
    case From::frequency:
      return frequency_hz(wheel);
    case From::spring_force:
      return wheel.spring_force_n[figure.spring];
    case From::toggle:
      return margin_deg(r.ends[figure.linkage].toggle_sin);
    case From::coil:
      return margin_deg(r.ends[figure.linkage].coil_sin);
  }
  return nothing;
}

/// A need of travel or margins that is not met wherever on its way the linkage comes to rest; -1: none.
int need_missed_however_it_stands(const Evaluator& e, const TapeResult& r) {
  using From = TapeFigure::From;
  constexpr double rounding = 1e-6;
  for (std::size_t n = 0; n < e.aims->needs.size(); ++n) {
    const Demand& need = e.aims->needs[n];
    for (const int k : need.figures) {
      const TapeFigure& figure = e.figures[at(k)];
      const TapeEnds& ends = r.ends[figure.linkage];
      const double least = need.least.value_or(-1e300), most = need.most.value_or(1e300);
      if ((figure.from == From::bump_travel || figure.from == From::sag) && ends.travel_mm < least - rounding)
        return static_cast<int>(n);
      const bool toggle = figure.from == From::toggle;
      if (!toggle && figure.from != From::coil) continue;
      const double margin = margin_deg(toggle ? ends.toggle_sin : ends.coil_sin);
      if (!(margin >= least - rounding && margin <= most + rounding)) return static_cast<int>(n);
    }
  }
  return -1;
}

bool asks(const Evaluator& e, std::initializer_list<TapeFigure::From> any_of) {
  return std::any_of(e.figures.begin(), e.figures.end(), [&](const TapeFigure& figure) {
    return std::find(any_of.begin(), any_of.end(), figure.from) != any_of.end();
  });
}

/// Finds everything on the tape; false where something is not there.
bool find_on_tape(Evaluator& e, const Solution& as_it_stands) {
  const Model& model = *e.space->model;
  e.tape = write_tape(model, as_it_stands, e.why_no_tape);
  if (!e.tape) return false;
  for (const Figure& figure : e.aims->figures) {
    const auto found = find_figure(model, *e.tape, figure);
    if (!found) {
      e.why_no_tape = figure_name(model, figure) + " is not among what the closed form gives";
      return false;
    }
    e.figures.push_back(*found);
    TapeFigure& last = e.figures.back();
    for (int k = 0; k + 1 < static_cast<int>(e.figures.size()) && last.same_as < 0; ++k)
      if (reads_the_same(e.figures[at(k)], last, e.tape->tape.rolls)) last.same_as = k;
    if (last.same_as < 0) e.distinct.push_back(static_cast<int>(e.figures.size()) - 1);
  }
  for (const Variable& variable : e.space->variables) {
    auto& options = e.settings.emplace_back();
    for (const Change& change : variable.options) {
      auto made = settings(*e.tape, model, change);
      if (!made) {
        e.why_no_tape = "an option of '" + variable.thing + "' has a law that the closed form does not cover";
        return false;
      }
      options.push_back(std::move(*made));
    }
  }
  Tape& tape = e.tape->tape;
  using From = TapeFigure::From;
  tape.want_toggle = asks(e, {From::toggle});
  tape.want_coil = asks(e, {From::coil});
  tape.want_bump_load = asks(e, {From::bump_load, From::load_ratio});
  tape.want_travel =
      tape.want_toggle || tape.want_coil || tape.want_bump_load || asks(e, {From::sag, From::bump_travel});
  return true;
}

/// A candidate's figures from a solution of it.
void read_solution(const Evaluator& e, const std::vector<int>& options, Results results, double* values) {
  SteerResult steering;
  if (std::any_of(e.aims->figures.begin(), e.aims->figures.end(), of_steering))
    steering = steer(results.model, results.solution, {.points = 2, .room = false});
  if (steering.steered) results.steered = &*steering.steered;
  for (std::size_t i = 0; i < e.aims->figures.size(); ++i) {
    const Figure& figure = e.aims->figures[i];
    if (figure.quantity == "price")
      values[i] = price_of(*e.space, options);
    else if (figure.quantity == "holes_changed")
      values[i] = holes_changed(*e.space, options);
    else
      values[i] = value_of(results, figure).value_or(nothing);
  }
}

}  // namespace

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
      parameters(at(tape_linkages * tape_parameters * from.kernel.lanes)),
      options(at(from.kernel.lanes), std::vector<int>(from.space->variables.size(), -1)),
      results(at(from.kernel.lanes)) {
  const int lanes = from.kernel.lanes;
  for (int l = 0; from.tape && l < from.tape->tape.linkages; ++l)
    for (int k = 0; k < tape_parameters; ++k)
      std::fill_n(parameters.begin() + (l * tape_parameters + k) * lanes, lanes,
                  from.tape->tape.linkage[l].parameter[k]);
}

void add(Batch& batch, const std::vector<int>& options) {
  const Evaluator& e = batch.evaluator;
  std::vector<int>& in_lane = batch.options[at(batch.filled)];
  for (std::size_t i = 0; i < options.size(); ++i) {
    if (in_lane[i] == options[i]) continue;
    in_lane[i] = options[i];
    for (const TapeSetting& s : e.settings[i][at(options[i])])
      batch.parameters[at((s.linkage * tape_parameters + s.parameter) * e.kernel.lanes + batch.filled)] = s.value;
  }
  ++batch.filled;
}

TapeLook first_look(const Evaluator& e) {
  return e.tape && !e.tape->tape.want_travel ? tape_to_rest : tape_along_travel;
}

void run(Batch& batch, TapeLook look) {
  const Evaluator& e = batch.evaluator;
  e.kernel.run(e.tape->tape, look, batch.parameters.data(), batch.results.data());
  batch.filled = 0;
}

Fate read_lane(const Batch& batch, int lane, double* values, int& need) {
  const Evaluator& e = batch.evaluator;
  const TapeResult& result = batch.results[at(lane)];
  if (result.status == tape_unsure) {
    need = result.travel_known ? need_missed_however_it_stands(e, result) : -1;
    return need < 0 ? Fate::unsure : Fate::hopeless;
  }
  if (result.status != tape_solved) return Fate::not_together;
  const std::vector<int>& options = batch.options[at(lane)];
  for (const int k : e.distinct) values[k] = tape_value(e, e.figures[at(k)], result, options);
  return Fate::valued;
}

void fill_in(const Evaluator& e, double* values) {
  for (std::size_t i = 0; i < e.figures.size(); ++i)
    if (e.figures[i].same_as >= 0) values[i] = values[e.figures[i].same_as];
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
