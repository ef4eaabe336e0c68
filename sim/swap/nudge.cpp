#include "swap/nudge.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

#include "model/index.hpp"
#include "ride/quantity_readers.hpp"
#include "ride/solve.hpp"
#include "stack/made_of.hpp"
#include "steer/quantity_readers.hpp"
#include "swap/change_words.hpp"

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

void add_step(Nudge& nudge, Change change, std::string name, int linkage) {
  Step step;
  step.change = std::move(change);
  step.name = std::move(name);
  step.linkage = linkage;
  nudge.steps.push_back(std::move(step));
}

/// One step from a hole: to the holes of its body's parts not farther than a step, or of a free body along the grid.
std::vector<Vec2> places_beside(const Model& model, int linkage, HoleRef ref, double step_mm) {
  const Vec2& own = at(at(at(model.linkages, linkage).bodies, ref.body).holes, ref.hole).p_B;
  auto places = places_to_try(model, linkage, ref.body);
  if (!places)
    return {own - step_mm * Vec2::UnitX(), own + step_mm * Vec2::UnitX(), own - step_mm * Vec2::UnitY(),
            own + step_mm * Vec2::UnitY()};
  const double off_by_mm = hole_fit_modules * model.module_mm,
               reach_mm = std::max(step_mm, model.module_mm) + off_by_mm;
  std::erase_if(*places, [&](const Vec2& place) {
    const double off_mm = (place - own).norm();
    return off_mm <= off_by_mm || off_mm > reach_mm;
  });
  return *places;
}

/// "u-1", "v+0.5"; off the axes the place itself.
std::string step_words(const Model& model, const Vec2& from_mm, const Vec2& to_mm) {
  const Vec2 by = (to_mm - from_mm) / model.module_mm;
  const double nothing = 1e-9;
  if (std::abs(by.y()) < nothing) return fmt::format("u{:+g}", by.x());
  if (std::abs(by.x()) < nothing) return fmt::format("v{:+g}", by.y());
  return "to " + place_words(to_mm, model.module_mm);
}

void add_holes(const Model& model, int index, Nudge& nudge) {
  const Linkage& linkage = at(model.linkages, index);
  for (int body = 0; body < count(linkage.bodies); ++body) {
    const std::vector<Hole>& holes = at(linkage.bodies, body).holes;
    for (int hole = 0; hole < count(holes); ++hole) {
      if (!is_used(linkage, {body, hole})) continue;
      for (const Vec2& to_B_mm : places_beside(model, index, {body, hole}, nudge.step_mm))
        add_step(
            nudge, MoveHole{index, body, hole, to_B_mm},
            fmt::format("{} {}", hole_name(linkage, {body, hole}), step_words(model, at(holes, hole).p_B, to_B_mm)),
            index);
    }
  }
}

void add_rods(const Model& model, int index, Nudge& nudge) {
  const Linkage& linkage = at(model.linkages, index);
  for (int rod = 0; rod < count(linkage.rods); ++rod)
    for (const double length_mm : neighbouring_lengths_mm(model, at(linkage.rods, rod), nudge.step_mm))
      add_step(nudge, SetLength{index, rod, length_mm},
               fmt::format("{} {:g}", at(linkage.rods, rod).name, length_mm / model.module_mm), index);
}

void add_springs(const Model& model, int index, Nudge& nudge) {
  const Linkage& linkage = at(model.linkages, index);
  for (int i = 0; i < count(linkage.springs); ++i) {
    const Spring& spring = at(linkage.springs, i);
    const auto add_spring = [&](const std::string& part, int number) {
      const SetSpring change{index, i, part, number};
      const Model with = changed(model, {change});
      add_step(nudge, change, fmt::format("{} {}", spring.name, spring_words(at(at(with.linkages, index).springs, i))),
               index);
    };
    if (spring.count > 1) add_spring("", spring.count - 1);
    add_spring("", spring.count + 1);
    for (const std::string& part : neighbouring_springs(model, spring)) {
      if (reaches_across(model.catalogue.at(part), spring)) add_spring(part, spring.count);
    }
  }
}

/// A module, or half of one.
double step_of(const Model& model, const std::vector<int>& linkages) {
  const bool halves = std::any_of(linkages.begin(), linkages.end(), [&](int linkage) {
    return has_half_modules(at(model.linkages, linkage), model.module_mm);
  });
  return halves ? model.module_mm / 2 : model.module_mm;
}

void add_cells(const Results& results, const std::vector<Figure>& figures, Nudge& nudge) {
  for (const Figure& figure : figures)
    nudge.cells.push_back({figure, figure_place(results.model, figure), value_of(results, figure)});
}

void read_cells(const Results& results, const std::vector<Cell>& cells, Step& step) {
  for (const Cell& cell : cells) step.values.push_back(value_of(results, cell.figure));
}

void try_step(const Model& model, const Solution& solved, const std::vector<Cell>& cells, Step& step) {
  const Model with = changed(model, {step.change});
  const SolveResult result = solve(with, {.other_stances = false, .readings = false});
  if (!result.solution) {
    step.why_not = result.problems.front().text;
    return;
  }
  read_cells({with, *result.solution}, cells, step);
  for (const Figure& part : corners_and_wheels(model)) {
    if (part.wheel < 0) continue;
    const auto state = [&](const Solution& of) { return at(at(of.corners, part.corner).wheels, part.wheel).state; };
    if (state(solved) != state(*result.solution))
      step.states.push_back(fmt::format("{} {}", figure_place(model, part), state_name(state(*result.solution))));
  }
}

void try_steering(const Model& model, const Solution& solved, const std::vector<Cell>& cells, Step& step) {
  const Model with = changed(model, {step.change});
  const SteerResult result = steer(with, solved, {.points = 2, .clearance = false});
  if (result.steered)
    read_cells({with, solved, &*result.steered}, cells, step);
  else
    step.why_not = result.problems.front().text;
}

void try_all(Nudge& nudge, const OnDone& on_done, const ShallEnd& shall_end, const auto& try_one) {
  nudge.all_steps = nudge.steps.size();
  const auto try_numbered = [&](std::size_t i) { try_one(nudge.steps[i]); };
  if (in_parallel(nudge.steps.size(), try_numbered, on_done, shall_end)) return;
  std::erase_if(nudge.steps, [](const Step& step) { return step.values.empty() && step.why_not.empty(); });
}

}  // namespace

Nudge nudge(const Model& model, const Solution& solved, const std::vector<int>& linkages, const OnDone& on_done,
            const ShallEnd& shall_end) {
  Nudge result;
  result.step_mm = step_of(model, linkages);
  add_cells({model, solved}, told_figures(model), result);
  for (const int linkage : linkages) {
    add_holes(model, linkage, result);
    add_rods(model, linkage, result);
    add_springs(model, linkage, result);
  }
  try_all(result, on_done, shall_end, [&](Step& step) { try_step(model, solved, result.cells, step); });
  return result;
}

std::vector<Nudge> nudge_steering(const Model& model, const Solution& solved, const OnDone& on_done,
                                  const ShallEnd& shall_end) {
  std::vector<Nudge> all;
  const SteerResult as_it_stands = steer(model, solved, {.points = 2, .clearance = false});
  if (!as_it_stands.steered) return all;
  for (const Steering& steering : as_it_stands.steered->steering) {
    if (steering.wheels.empty()) continue;
    Nudge result;
    result.corner = steering.corner;
    result.step_mm = step_of(model, {steering.linkage});
    for (const std::string_view name : {name::lock, name::worst_error, name::turn_radius})
      add_cells({model, solved, &*as_it_stands.steered}, figures_at(model, quantity(name), steering.corner), result);
    add_holes(model, steering.linkage, result);
    add_rods(model, steering.linkage, result);
    try_all(result, on_done, shall_end, [&](Step& step) { try_steering(model, solved, result.cells, step); });
    all.push_back(std::move(result));
  }
  return all;
}

bool concerns(const Cell& cell, int corner, int wheel) {
  const Figure& figure = cell.figure;
  return figure.corner < 0 || (figure.corner == corner && (figure.wheel < 0 || figure.wheel == wheel));
}

double effect_at(const Nudge& nudge, const Step& step, int corner, int wheel, const Keep& keep) {
  const double no_bound = std::numeric_limits<double>::infinity();
  if (!step.why_not.empty()) return no_bound;
  double greatest = 0;
  for (std::size_t i = 0; i < nudge.cells.size(); ++i) {
    const Cell& cell = nudge.cells[i];
    const Quantity& what = *cell.figure.what;
    const auto may_be = cell.now && concerns(cell, corner, wheel) ? allowed(what, *cell.now, keep) : std::nullopt;
    if (!may_be) continue;
    if (!step.values[i]) {
      // Modes are not there where stops hold the body, nor is a reserve where the load grows without bound.
      if (what.of == Scope::vehicle || what.name == name::reserve) continue;
      return no_bound;
    }
    const double off = std::abs(*step.values[i] - *cell.now);
    if (off > 0) greatest = std::max(greatest, may_be->tolerance > 0 ? off / may_be->tolerance : no_bound);
  }
  return greatest;
}

std::vector<int> linkages_on_ground(const Model& model) {
  std::vector<int> linkages;
  for (int i = 0; i < count(model.linkages); ++i) {
    const bool used = std::any_of(model.corners.begin(), model.corners.end(),
                                  [&](const Corner& corner) { return corner.linkage == i; });
    if (used && at(model.linkages, i).plane != Plane::top) linkages.push_back(i);
  }
  return linkages;
}

}  // namespace ridepitch
