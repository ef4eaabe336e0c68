#include "swap/nudge.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "model/index.hpp"
#include "ride/solve.hpp"
#include "ride/state_name.hpp"
#include "steer/steering.hpp"
#include "swap/neighbours.hpp"
#include "swap/spring_words.hpp"
#include "swap/tolerance.hpp"

namespace ridepitch {
namespace {

/// Whether anything is joined at a hole.
bool is_used(const Linkage& linkage, HoleRef hole) {
  const auto is_end = [&](const auto& each) { return each.from == hole || each.to == hole; };
  const auto has_end = [&](const auto& list) { return std::any_of(list.begin(), list.end(), is_end); };
  return has_end(linkage.rods) || has_end(linkage.limits) ||
         std::any_of(linkage.springs.begin(), linkage.springs.end(),
                     [&](const Spring& each) { return !turns(each) && is_end(each); }) ||
         std::any_of(
             linkage.pins.begin(), linkage.pins.end(),
             [&](const Pin& pin) { return std::find(pin.holes.begin(), pin.holes.end(), hole) != pin.holes.end(); }) ||
         std::any_of(linkage.slides.begin(), linkage.slides.end(),
                     [&](const Slide& slide) { return slide.hole == hole || slide.through == hole; }) ||
         std::any_of(linkage.wheels.begin(), linkage.wheels.end(),
                     [&](const Wheel& wheel) { return wheel.at == hole; });
}

/// Whether holes of a linkage sit half way between whole modules.
bool has_half_modules(const Linkage& linkage, double module_mm) {
  const double near_enough = 1e-6;
  for (const Body& body : linkage.bodies) {
    for (const Hole& hole : body.holes) {
      for (const double coordinate_mm : {hole.p_B.x(), hole.p_B.y()}) {
        const double modules = std::abs(coordinate_mm) / module_mm;
        if (std::abs(modules - std::floor(modules) - 0.5) < near_enough) return true;
      }
    }
  }
  return false;
}

struct Steps {
  const Model& model;
  double step_mm;
  std::vector<Step> list = {};

  void add(Change change, std::string name, int linkage) {
    Step step;
    step.change = std::move(change);
    step.name = std::move(name);
    step.linkage = linkage;
    list.push_back(std::move(step));
  }

  void add_holes(int index) {
    const Linkage& linkage = at(model.linkages, index);
    for (int body = 0; body < static_cast<int>(linkage.bodies.size()); ++body) {
      const std::vector<Hole>& holes = at(linkage.bodies, body).holes;
      for (int hole = 0; hole < static_cast<int>(holes.size()); ++hole) {
        if (!is_used(linkage, {body, hole})) continue;
        for (const int axis : {0, 1}) {
          for (const double step : {-step_mm, step_mm}) {
            Vec2 to_B_mm = at(holes, hole).p_B;
            to_B_mm[axis] += step;
            add(MoveHole{index, body, hole, to_B_mm},
                fmt::format("{} {}{:+g}", hole_name(linkage, {body, hole}), axis == 0 ? 'u' : 'v',
                            step / model.module_mm),
                index);
          }
        }
      }
    }
  }

  void add_rods(int index) {
    const Linkage& linkage = at(model.linkages, index);
    for (int rod = 0; rod < static_cast<int>(linkage.rods.size()); ++rod) {
      for (const double length_mm : neighbouring_lengths_mm(model, at(linkage.rods, rod), step_mm)) {
        add(SetLength{index, rod, length_mm},
            fmt::format("{} {:g}", at(linkage.rods, rod).name, length_mm / model.module_mm), index);
      }
    }
  }

  void add_springs(int index) {
    const Linkage& linkage = at(model.linkages, index);
    for (int i = 0; i < static_cast<int>(linkage.springs.size()); ++i) {
      const Spring& spring = at(linkage.springs, i);
      const auto add_spring = [&](const std::string& part, int count) {
        const SetSpring change{index, i, part, count};
        const Model with = changed(model, {change});
        add(change, fmt::format("{} {}", spring.name, spring_words(at(at(with.linkages, index).springs, i))), index);
      };
      if (spring.count > 1) add_spring("", spring.count - 1);
      add_spring("", spring.count + 1);
      for (const std::string& part : neighbouring_springs(model, spring)) {
        if (reaches_across(model.catalogue.at(part), spring)) add_spring(part, spring.count);
      }
    }
  }
};

void try_step(const Model& model, const Solution& solved, const std::vector<Cell>& cells, Step& step) {
  const Model with = changed(model, {step.change});
  const SolveResult result = solve(with, {.other_stances = false, .readings = false});
  if (!result.solution) {
    step.why_not = result.problems.front().text;
    return;
  }
  for (const Cell& cell : cells) {
    step.values.push_back(value_at(*cell.quantity, {with, *result.solution}, cell.spot));
  }
  for (const Spot& spot : spots_of(model)) {
    if (spot.scope != Scope::wheel) continue;
    const WheelState was = solved.corners[spot.corner].wheels[spot.wheel].state;
    const WheelState is = result.solution->corners[spot.corner].wheels[spot.wheel].state;
    if (was != is) step.states.push_back(fmt::format("{} {}", spot.where, state_name(is)));
  }
}

}  // namespace

Nudge nudge(const Model& model, const Solution& solved, const std::vector<int>& linkages, const OnDone& on_done) {
  Nudge result;
  const bool halves = std::any_of(linkages.begin(), linkages.end(), [&](int linkage) {
    return has_half_modules(at(model.linkages, linkage), model.module_mm);
  });
  result.step_mm = halves ? model.module_mm / 2 : model.module_mm;
  for (const Quantity& quantity : quantities()) {
    for (const Spot& spot : spots_of(model)) {
      if (!quantity.compared || spot.scope != quantity.of) continue;
      result.cells.push_back({&quantity, spot, value_at(quantity, {model, solved}, spot)});
    }
  }
  Steps steps{model, result.step_mm};
  for (const int linkage : linkages) {
    steps.add_holes(linkage);
    steps.add_rods(linkage);
    steps.add_springs(linkage);
  }
  result.steps = std::move(steps.list);
  in_parallel(
      result.steps.size(), [&](std::size_t i) { try_step(model, solved, result.cells, result.steps[i]); }, on_done);
  return result;
}

std::vector<SteeringNudge> nudge_steering(const Model& model, const Solution& solved, const OnDone& on_done) {
  std::vector<SteeringNudge> all;
  const SteerResult as_it_stands = steer(model, solved, {.points = 2, .room = false});
  if (!as_it_stands.steered) return all;
  const auto values_of = [&](const SteeringNudge& nudge, const Steered& steered) {
    std::vector<std::optional<double>> values;
    for (const Figure& figure : nudge.figures) values.push_back(value_of({model, solved, &steered}, figure));
    return values;
  };
  for (const Steering& steering : as_it_stands.steered->steering) {
    if (steering.wheels.empty()) continue;
    SteeringNudge nudge;
    nudge.corner = steering.corner;
    nudge.step_mm =
        has_half_modules(at(model.linkages, steering.linkage), model.module_mm) ? model.module_mm / 2 : model.module_mm;
    for (const char* quantity : {"lock_deg", "ackermann_error_deg", "turn_radius_mm"})
      for (Figure& figure : figures_of(model, quantity, "", {steering.corner}))
        nudge.figures.push_back(std::move(figure));
    nudge.now = values_of(nudge, *as_it_stands.steered);
    Steps steps{model, nudge.step_mm};
    steps.add_holes(steering.linkage);
    steps.add_rods(steering.linkage);
    nudge.steps = std::move(steps.list);
    in_parallel(
        nudge.steps.size(),
        [&](std::size_t i) {
          Step& step = nudge.steps[i];
          const SteerResult result = steer(changed(model, {step.change}), solved, {.points = 2, .room = false});
          if (result.steered)
            step.values = values_of(nudge, *result.steered);
          else
            step.why_not = result.problems.front().text;
        },
        on_done);
    all.push_back(std::move(nudge));
  }
  return all;
}

double effect_at(const Nudge& nudge, const Step& step, std::size_t corner, std::size_t wheel, const Keep& keep) {
  const double infinite = std::numeric_limits<double>::infinity();
  if (!step.why_not.empty()) return infinite;
  double greatest = 0;
  for (std::size_t i = 0; i < nudge.cells.size(); ++i) {
    const Cell& cell = nudge.cells[i];
    const bool here = cell.spot.scope == Scope::vehicle ||
                      (cell.spot.corner == corner && (cell.spot.scope == Scope::corner || cell.spot.wheel == wheel));
    const auto may_be = here && cell.now ? allowed(cell.quantity->name, *cell.now, keep) : std::nullopt;
    if (!may_be) continue;
    if (!step.values[i]) {
      // Modes are not there where stops hold the body, nor is a reserve where the load grows without bound.
      if (cell.spot.scope == Scope::vehicle || cell.quantity->name == "reserve") continue;
      return infinite;
    }
    const double off = std::abs(*step.values[i] - *cell.now);
    if (off > 0) greatest = std::max(greatest, may_be->tolerance > 0 ? off / may_be->tolerance : infinite);
  }
  return greatest;
}

std::vector<int> linkages_on_ground(const Model& model) {
  std::vector<int> linkages;
  for (std::size_t i = 0; i < model.linkages.size(); ++i) {
    const bool used = std::any_of(model.corners.begin(), model.corners.end(),
                                  [&](const Corner& corner) { return corner.linkage == static_cast<int>(i); });
    if (used && model.linkages[i].plane != Plane::top) linkages.push_back(static_cast<int>(i));
  }
  return linkages;
}

}  // namespace ridepitch
