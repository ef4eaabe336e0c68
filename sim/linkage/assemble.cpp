#include "linkage/assemble.hpp"

#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "linkage/closure.hpp"
#include "linkage/mobility.hpp"
#include "linkage/search.hpp"
#include "linkage/walk.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

constexpr double as_near_modules = 0.01;

// How far short of (or past) its length a rod's ends come when everything else goes together: the least there is.
double least_gap(const Mechanism& mechanism, const Tie* rod, Eigen::VectorXd q, double otherwise) {
  Mechanism loose = mechanism;
  loose.ties.erase(loose.ties.begin() + (rod - mechanism.ties.data()));
  if (draw_together(loose, q) > 1e-7) return otherwise;
  Closure room;
  set_rank(loose, q, room);
  if (!close(loose, q, room)) return otherwise;
  std::vector<Turn> turns(static_cast<std::size_t>(loose.bodies));
  const auto gap_at = [&](const Eigen::VectorXd& at, GaugeReading& reading) {
    set_turns(at, turns);
    reading = read(rod->gauge, at, turns);
    return reading.value - rod->target;
  };
  walk_towards(
      loose,
      [&](const Eigen::VectorXd& at, Eigen::VectorXd& r, Eigen::MatrixXd& J) {
        GaugeReading reading;
        r.resize(1);
        r[0] = gap_at(at, reading);
        Eigen::VectorXd slope = Eigen::VectorXd::Zero(at.size());
        add_slope(rod->gauge, reading, 1, slope);
        J = slope.transpose();
      },
      q);
  GaugeReading reading;
  return gap_at(q, reading);
}

Problem not_together(const Mechanism& mechanism, const Eigen::VectorXd& best, Closure& room, double module_mm) {
  const Linkage& linkage = *mechanism.linkage;
  measure_ties(mechanism, best, room);
  Eigen::Index worst = 0;
  room.residual.cwiseAbs().maxCoeff(&worst);
  const Tie& tie = mechanism.ties[static_cast<std::size_t>(worst)];
  // A rod says most to a builder: the loop's gap is shown at one, if there is one with a share in it.
  const Tie* shown = &tie;
  double gap = room.residual[worst];
  for (std::size_t i = 0; i < mechanism.ties.size(); ++i) {
    const double here = room.residual[static_cast<Eigen::Index>(i)];
    if (mechanism.ties[i].of == Tie::Of::rod && std::abs(here) > 0.2 * std::abs(room.residual[worst])) {
      if (shown->of != Tie::Of::rod || std::abs(here) > std::abs(gap)) {
        shown = &mechanism.ties[i];
        gap = here;
      }
    }
  }
  Problem problem;
  problem.fault = Fault::no_solution;
  problem.code = "does-not-go-together";
  if (shown->of == Tie::Of::rod) {
    gap = least_gap(mechanism, shown, best, gap);
    const Rod& rod = linkage.rods[static_cast<std::size_t>(shown->index)];
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
    problem.place = linkage.place;
    if (shown->of == Tie::Of::pin) problem.place = linkage.pins[static_cast<std::size_t>(shown->index)].place;
    problem.text = fmt::format("linkage '{}' does not go together: at {} the holes stay {:.3g} mm apart", linkage.name,
                               tie_name(linkage, *shown), std::abs(gap));
    problem.hint = "check the holes and lengths of the loop that it closes";
  }
  return problem;
}

// The `near` lines that would choose a configuration, to paste.
std::string near_lines(const Mechanism& mechanism, const Eigen::VectorXd& q, double module_mm) {
  const Linkage& linkage = *mechanism.linkage;
  std::string text;
  for (std::size_t b = 1; b < linkage.bodies.size(); ++b) {
    const Body& body = linkage.bodies[b];
    // The hole farthest from the first says most about how the body lies.
    std::size_t far = 0;
    for (std::size_t h = 1; h < body.holes.size(); ++h)
      if ((body.holes[h].p_B - body.holes[0].p_B).norm() > (body.holes[far].p_B - body.holes[0].p_B).norm()) far = h;
    const Vec2 p = place_of(linkage, {static_cast<int>(b), static_cast<int>(far)}, q) / module_mm;
    const auto tenth = [](double x) { return std::round(10 * x) / 10 + 0.0; };
    text += fmt::format("{}{}: near = {{ {} = [{:g}, {:g}] }}", text.empty() ? "" : "; ", body.name,
                        body.holes[far].name, tenth(p.x()), tenth(p.y()));
  }
  return text;
}

Problem ambiguous(const Mechanism& mechanism, const Eigen::VectorXd& one, const Eigen::VectorXd& other,
                  double module_mm) {
  Problem problem;
  problem.place = mechanism.linkage->place;
  problem.code = "ambiguous-assembly";
  problem.text = fmt::format("linkage '{}' goes together in more than one way, and its hints do not choose",
                             mechanism.linkage->name);
  problem.hint = fmt::format("paste one of these: either {} -- or {}", near_lines(mechanism, one, module_mm),
                             near_lines(mechanism, other, module_mm));
  return problem;
}

std::vector<std::string> unmet_stops(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  std::vector<std::string> names;
  for (const Stop& stop : mechanism.stops)
    if (stop_gap(stop, read(stop.gauge, q, turns).value) < -1e-7) names.push_back(fmt::format("'{}'", stop.name));
  return names;
}

// Moves q along itself until every stop fits. @returns whether it does
bool fit_stops(const Mechanism& mechanism, Eigen::VectorXd& q) {
  const Target aim = aim_within_stops(mechanism);
  if (worst_overrun(mechanism, q) < 1e-9) return true;
  Eigen::VectorXd trial = q;
  walk_towards(mechanism, aim, trial);
  if (worst_overrun(mechanism, trial) < 1e-7) {
    q = trial;
    return true;
  }
  if (mechanism.freedoms() != 1) {
    q = trial;
    return false;
  }
  // One freedom: look both ways round and take the nearer place that fits.
  bool fits = false;
  int least_steps = 1 << 30;
  for (const bool forward : {true, false}) {
    int steps = 0;
    walk_round(mechanism, q, forward, [&](const Eigen::VectorXd& at) {
      if (++steps >= least_steps) return false;
      Eigen::VectorXd here = at;
      if (worst_overrun(mechanism, here) > 0.3 * mechanism.size_mm) return true;
      walk_towards(mechanism, aim, here);
      if (worst_overrun(mechanism, here) > 1e-7) return true;
      least_steps = steps;
      trial = here;
      fits = true;
      return false;
    });
  }
  q = trial;
  return fits;
}

// Turns counted so that every spring that turns stands within half a turn of where it is unloaded.
void count_turns(Mechanism& mechanism, const Eigen::VectorXd& q) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  constexpr double turn = 2 * std::numbers::pi;
  for (std::size_t i = 0; i < mechanism.springs.size(); ++i) {
    SpringElement& spring = mechanism.springs[i];
    if (!spring.turns) continue;
    const double offset = -turn * std::round((read(spring.gauge, q, turns).value - spring.law.free_mm) / turn);
    spring.gauge.offset_rad += offset;
    for (Stop& stop : mechanism.stops)
      if (stop.spring == static_cast<int>(i)) stop.gauge.offset_rad += offset;
  }
}

}  // namespace

AssembleResult assemble(const Linkage& linkage, double module_mm) {
  AssembleResult out;
  Mechanism mechanism = make_mechanism(linkage);
  if (auto problem = held_by_nothing(mechanism)) {
    out.problems.push_back(*problem);
    return out;
  }
  if (mechanism.bodies == 0) {
    out.assembly =
        Assembly{.mechanism = mechanism, .q = Eigen::VectorXd(0), .counted_freedoms = 0, .redundant = {}, .starts = 0};
    return out;
  }
  const Search search = search_configurations(mechanism, module_mm);
  Closure room;
  if (search.found.empty()) {
    prepare(mechanism, room);
    out.problems.push_back(not_together(mechanism, search.best_apart, room, module_mm));
    return out;
  }

  Eigen::VectorXd q = search.found.front().q;
  set_rank(mechanism, q, room);
  if (auto problem = immovable(mechanism, q)) {
    out.problems.push_back(*problem);
    return out;
  }
  for (std::size_t i = 1; i < search.found.size(); ++i) {
    const Candidate& other = search.found[i];
    if (other.rms_mm - search.found.front().rms_mm > as_near_modules * module_mm) break;
    if (can_reach(mechanism, q, other.q, same_place_modules * module_mm)) continue;
    out.problems.push_back(ambiguous(mechanism, q, other.q, module_mm));
    return out;
  }
  count_turns(mechanism, q);
  if (!fit_stops(mechanism, q)) {
    Problem problem;
    problem.place = linkage.place;
    problem.code = "never-fits";
    problem.fault = Fault::no_solution;
    problem.text = fmt::format("linkage '{}' goes together, but {} can not be kept anywhere along its travel",
                               linkage.name, listed(unmet_stops(mechanism, q)));
    problem.hint = "another seat hole or rod length, or a spring of another length";
    out.problems.push_back(problem);
    return out;
  }
  const int counted = counted_freedoms(mechanism);
  std::vector<std::string> redundant;
  if (counted != mechanism.freedoms()) redundant = redundant_ties(mechanism, q);
  out.assembly = Assembly{std::move(mechanism), q, counted, redundant, search.starts};
  return out;
}

}  // namespace ridepitch
