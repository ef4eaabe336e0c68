#include "linkage/assemble.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <utility>

#include <fmt/format.h>

#include "linkage/closure.hpp"
#include "linkage/mobility.hpp"
#include "linkage/search.hpp"
#include "linkage/walk.hpp"
#include "model/index.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

constexpr double as_near_modules = 0.01;
constexpr double joined_mm = 1e-7;  // a residual under it is rounding, not a gap

// How far past its length (or short of it, under 0) a rod's ends come when all else goes together: the least there is.
double least_gap(const Mechanism& mechanism, const Tie& rod, Eigen::VectorXd q, double otherwise) {
  Mechanism loose = mechanism;
  loose.ties.erase(loose.ties.begin() + (&rod - mechanism.ties.data()));
  if (draw_together(loose, q) > joined_mm) return otherwise;
  set_rank(loose, q);
  if (!close(loose, q)) return otherwise;
  const auto gap_at = [&](const Eigen::VectorXd& at, Eigen::VectorXd& r, Eigen::MatrixXd& J) {
    const GaugeReading reading = read(rod.gauge, at, turns_at(at));
    r = Eigen::VectorXd::Constant(1, reading.value - rod.target);
    Eigen::VectorXd slope = Eigen::VectorXd::Zero(at.size());
    add_slope(rod.gauge, reading, 1, slope);
    J = slope.transpose();
  };
  walk_towards(loose, gap_at, q);
  return read(rod.gauge, q, turns_at(q)).value - rod.target;
}

// A rod says most to a builder: the loop's gap is shown at the one with the greatest, if any has a share in it.
int shown_tie(const Mechanism& mechanism, const Eigen::VectorXd& gaps) {
  constexpr double least_share = 0.2;
  Eigen::Index worst = 0;
  const double greatest = gaps.cwiseAbs().maxCoeff(&worst);
  int shown = static_cast<int>(worst);
  for (int i = 0; i < count(mechanism.ties); ++i) {
    if (at(mechanism.ties, i).of != Tie::Of::rod || std::abs(gaps[i]) <= least_share * greatest) continue;
    if (at(mechanism.ties, shown).of != Tie::Of::rod || std::abs(gaps[i]) > std::abs(gaps[shown])) shown = i;
  }
  return shown;
}

Problem not_together(const Mechanism& mechanism, const Eigen::VectorXd& best, double module_mm) {
  const Linkage& linkage = *mechanism.linkage;
  Closure closure;
  prepare(mechanism, closure);
  measure_ties(mechanism, best, closure);
  const int shown = shown_tie(mechanism, closure.residual);
  const Tie& tie = at(mechanism.ties, shown);
  double gap = closure.residual[shown];
  Problem problem{.place = linkage.place, .code = "does-not-go-together", .fault = Fault::no_solution};
  if (tie.of == Tie::Of::rod) {
    gap = least_gap(mechanism, tie, best, gap);
    const Rod& rod = at(linkage.rods, tie.index);
    problem.place = rod.length_place.line ? rod.length_place : rod.place;
    problem.text = fmt::format(
        "linkage '{}' does not go together: rod '{}' is {:.4g} mm long, and the nearest that '{}' and '{}' come to "
        "that is {:.4g} mm",
        linkage.name, rod.name, rod.length_mm, hole_name(linkage, rod.from), hole_name(linkage, rod.to),
        rod.length_mm + gap);
    problem.hint =
        gap > 0
            ? fmt::format("a longer rod, or holes nearer to each other: {:.3g} modules are missing", gap / module_mm)
            : fmt::format("a shorter rod, or holes farther apart: it is {:.3g} modules too long", -gap / module_mm);
  } else {
    if (tie.of == Tie::Of::pin) problem.place = at(linkage.pins, tie.index).place;
    problem.text = fmt::format("linkage '{}' does not go together: at {} the holes stay {:.3g} mm apart", linkage.name,
                               tie_name(linkage, tie), std::abs(gap));
    problem.hint = "check the holes and lengths of the loop that it closes";
  }
  return problem;
}

// The `near` lines that would choose a configuration, to paste.
std::string near_lines(const Mechanism& mechanism, const Eigen::VectorXd& q, double module_mm) {
  const Linkage& linkage = *mechanism.linkage;
  std::string text;
  for (int b = 1; b < count(linkage.bodies); ++b) {
    const Body& body = at(linkage.bodies, b);
    // The hole farthest from the first says most about how the body lies.
    const auto far = std::max_element(body.holes.begin(), body.holes.end(), [&](const Hole& one, const Hole& other) {
      return (one.p_B - body.holes[0].p_B).norm() < (other.p_B - body.holes[0].p_B).norm();
    });
    const Vec2 p = position({b - 1, far->p_B}, q) / module_mm;
    const auto tenth = [](double x) { return std::round(10 * x) / 10 + 0.0; };
    text += fmt::format("{}{}: near = {{ {} = [{:g}, {:g}] }}", text.empty() ? "" : "; ", body.name, far->name,
                        tenth(p.x()), tenth(p.y()));
  }
  return text;
}

Problem ambiguous(const Mechanism& mechanism, const Eigen::VectorXd& one, const Eigen::VectorXd& other,
                  double module_mm) {
  return {.place = mechanism.linkage->place,
          .code = "ambiguous-assembly",
          .text = fmt::format("linkage '{}' goes together in more than one way, and its hints do not choose",
                              mechanism.linkage->name),
          .hint = fmt::format("paste one of these: either {} -- or {}", near_lines(mechanism, one, module_mm),
                              near_lines(mechanism, other, module_mm))};
}

// @param looked  places that a search started from; 0: it went along the whole travel
Problem never_fits(const Mechanism& mechanism, const Eigen::VectorXd& q, int looked) {
  const Linkage& linkage = *mechanism.linkage;
  const std::vector<Turn> turns = turns_at(q);
  std::vector<std::string> unmet;
  for (const Stop& stop : mechanism.stops)
    if (stop_gap(stop, read(stop.gauge, q, turns).value) < -stop_met) unmet.push_back(fmt::format("'{}'", stop.name));
  return {.place = linkage.place,
          .code = "never-fits",
          .text = looked == 0
                      ? fmt::format("linkage '{}' goes together, but {} can not be kept anywhere along its travel",
                                    linkage.name, listed(unmet))
                      : fmt::format("linkage '{}' goes together, but no place was found where {} can be kept: {} were "
                                    "tried, and these are not all that there are",
                                    linkage.name, listed(unmet), looked),
          .hint = "another seat hole or rod length, or a spring of another length",
          .fault = Fault::no_solution};
}

// Moves q along itself until every stop fits. @returns from how many places it searched in vain; none if all fit
std::optional<int> fit_stops(const Mechanism& mechanism, Eigen::VectorXd& q) {
  constexpr double fits_at_once = 1e-9,
                   farthest_share = 0.3;  // of the size, that a stop may be overrun and still draw it
  const Target target = target_within_stops(mechanism);
  if (worst_overrun(mechanism, q) < fits_at_once) return std::nullopt;
  const Eigen::VectorXd start = q;
  walk_towards(mechanism, target, q);
  if (worst_overrun(mechanism, q) < stop_met) return std::nullopt;
  if (mechanism.freedoms() > 1) {
    Eigen::VectorXd other = start;
    const std::optional<int> looked = search_within_stops(mechanism, other);
    if (!looked) q = other;
    return looked;
  }
  if (mechanism.freedoms() < 1) return 0;
  // One freedom: look around in both senses and take the nearer place that fits.
  bool found = false;
  int least_steps = std::numeric_limits<int>::max();
  for (const bool forward : {true, false}) {
    int steps = 0;
    walk_round(mechanism, start, forward, [&](const Eigen::VectorXd& at) {
      if (++steps >= least_steps) return false;
      if (worst_overrun(mechanism, at) > farthest_share * mechanism.size_mm) return true;
      Eigen::VectorXd here = at;
      walk_towards(mechanism, target, here);
      if (worst_overrun(mechanism, here) > stop_met) return true;
      least_steps = steps;
      q = here;
      found = true;
      return false;
    });
  }
  return found ? std::nullopt : std::optional(0);
}

// Turns counted so that every spring that turns stands within half a turn of where it is unloaded.
void count_turns(Mechanism& mechanism, const Eigen::VectorXd& q) {
  const std::vector<Turn> turns = turns_at(q);
  constexpr double turn = 2 * std::numbers::pi;
  for (int i = 0; i < count(mechanism.springs); ++i) {
    SpringElement& spring = at(mechanism.springs, i);
    if (!spring.turns) continue;
    const double offset = -turn * std::round((read(spring.gauge, q, turns).value - spring.law.free_mm) / turn);
    spring.gauge.offset_rad += offset;
    for (Stop& stop : mechanism.stops)
      if (stop.spring == i) stop.gauge.offset_rad += offset;
  }
}

// Another configuration that the hints wish for as much, and that the first can not be moved to.
const Candidate* rival(const Mechanism& mechanism, const std::vector<Candidate>& found, double module_mm) {
  for (std::size_t i = 1; i < found.size(); ++i) {
    if (found[i].rms_mm - found[0].rms_mm > as_near_modules * module_mm) break;
    if (!can_reach(mechanism, found[0].q, found[i].q, same_place_modules * module_mm)) return &found[i];
  }
  return nullptr;
}

AssembleResult refused(Problem problem) { return {std::nullopt, {std::move(problem)}}; }

}  // namespace

AssembleResult assemble(const Linkage& linkage, double module_mm) {
  Assembly assembly{.mechanism = make_mechanism(linkage), .q = {}, .counted_freedoms = 0, .redundant = {}, .starts = 0};
  Mechanism& mechanism = assembly.mechanism;
  if (auto problem = held_by_nothing(mechanism)) return refused(*problem);
  if (mechanism.bodies == 0) return {std::move(assembly), {}};
  if (auto problem = too_large(mechanism, counted_freedoms(mechanism))) return refused(*problem);
  const Search search = search_configurations(mechanism, module_mm);
  if (search.found.empty()) return refused(not_together(mechanism, search.best_apart, module_mm));
  assembly.q = search.found.front().q;
  set_rank(mechanism, assembly.q);
  if (auto problem = too_large(mechanism, mechanism.freedoms())) return refused(*problem);
  if (auto problem = immovable(mechanism, assembly.q)) return refused(*problem);
  if (const Candidate* other = rival(mechanism, search.found, module_mm))
    return refused(ambiguous(mechanism, assembly.q, other->q, module_mm));
  count_turns(mechanism, assembly.q);
  if (const auto looked = fit_stops(mechanism, assembly.q)) return refused(never_fits(mechanism, assembly.q, *looked));
  assembly.counted_freedoms = counted_freedoms(mechanism);
  if (assembly.counted_freedoms != mechanism.freedoms()) assembly.redundant = redundant_ties(mechanism, assembly.q);
  assembly.starts = search.starts;
  return {std::move(assembly), {}};
}

}  // namespace ridepitch
