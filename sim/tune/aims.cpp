#include "tune/aims.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <fmt/format.h>

namespace ridepitch {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

int index_in(Aims& aims, const Figure& figure) {
  const auto found = std::find(aims.figures.begin(), aims.figures.end(), figure);
  if (found != aims.figures.end()) return static_cast<int>(found - aims.figures.begin());
  aims.figures.push_back(figure);
  return static_cast<int>(aims.figures.size()) - 1;
}

Problem nothing_to_read(const std::string& quantity, const std::string& of, const Place& place) {
  Problem problem;
  problem.place = place;
  problem.code = "no-such-quantity";
  problem.text = of.empty() ? fmt::format("nothing that the search changes has a {}", quantity)
                            : fmt::format("'{}' has no {}", of, quantity);
  problem.hint = "ask it of a corner, wheel or spring that has one";
  return problem;
}

/// The same part in another model, by its names.
std::optional<Figure> counterpart(const Model& model, const Figure& figure, const Model& other) {
  const auto same_name = [](const auto& list, const std::string& name) {
    const auto found = std::find_if(list.begin(), list.end(), [&](const auto& each) { return each.name == name; });
    return found == list.end() ? -1 : static_cast<int>(found - list.begin());
  };
  Figure out = figure;
  if (figure.point >= 0) out.point = same_name(other.clearances, model.clearances[at(figure.point)].name);
  if (figure.point >= 0 && out.point < 0) return std::nullopt;
  if (figure.corner < 0) return out;
  out.corner = same_name(other.corners, model.corners[at(figure.corner)].name);
  if (out.corner < 0) return std::nullopt;
  const Linkage& mine = model.linkages[at(model.corners[at(figure.corner)].linkage)];
  const Linkage& theirs = other.linkages[at(other.corners[at(out.corner)].linkage)];
  if (figure.wheel >= 0) out.wheel = same_name(theirs.wheels, mine.wheels[at(figure.wheel)].name);
  if (figure.spring >= 0) out.spring = same_name(theirs.springs, mine.springs[at(figure.spring)].name);
  if ((figure.wheel >= 0 && out.wheel < 0) || (figure.spring >= 0 && out.spring < 0)) return std::nullopt;
  return out;
}

Problem nothing_to_be_like(const Model& model, const Figure& figure, const Place& place) {
  Problem problem;
  problem.place = place;
  problem.code = "no-value";
  problem.text = fmt::format("{} has no value to keep", figure_name(model, figure));
  problem.hint = "give the want a value";
  return problem;
}

}  // namespace

std::vector<Want> usual_wants(const Model& model, const Solution& as_it_stands) {
  std::vector<Want> wants;
  const auto want = [&](const char* quantity, const std::string& of, double tolerance) {
    Want made;
    made.quantity = quantity;
    made.of = of;
    made.tolerance = tolerance;
    wants.push_back(std::move(made));
  };
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const CornerResult& corner = as_it_stands.corners[c];
    if (model.linkages[at(model.corners[c].linkage)].plane == Plane::top) continue;
    if (corner.ride_height_mm) want("ride_height_mm", corner.name, 1);
    for (const WheelResult& wheel : corner.wheels)
      if (wheel.wheel_rate_n_per_mm && std::abs(*wheel.wheel_rate_n_per_mm) > 1e-9)
        want("wheel_rate_n_per_mm", corner.name + "/" + wheel.name, 0.03 * std::abs(*wheel.wheel_rate_n_per_mm));
  }
  if (as_it_stands.vehicle) want("pitch_deg", "", 0.5);
  return wants;
}

AimsOrProblem make_aims(const Model& model, const Tune& tune, const std::vector<int>& corners, const Model& like,
                        const Solution& like_solution) {
  AimsOrProblem out;
  Aims aims;
  std::optional<SteerResult> like_steered;  // worked out where a steering's value is to be kept
  const auto steered = [&]() -> const Steered* {
    if (!like_steered) like_steered = steer(like, like_solution, {.points = 2, .room = false});
    return like_steered->steered ? &*like_steered->steered : nullptr;
  };
  const std::vector<Want> wants = tune.wants.empty() ? usual_wants(like, like_solution) : tune.wants;
  for (const Want& want : wants) {
    Aim aim{want.quantity, want.of, {}, {}, want.tolerance, want.weight};
    for (const Figure& figure : figures_of(model, want.quantity, want.of, corners)) {
      std::optional<double> target = want.value;
      if (!target) {
        const auto same = counterpart(model, figure, like);
        if (same) target = value_of({like, like_solution, of_steering(figure) ? steered() : nullptr}, *same);
        if (figure.of == Scope::chosen) target = 0;
      }
      if (!target) {
        out.problems.push_back(nothing_to_be_like(model, figure, want.place));
        continue;
      }
      aim.figures.push_back(index_in(aims, figure));
      aim.target.push_back(*target);
    }
    if (aim.figures.empty()) {
      if (out.problems.empty()) out.problems.push_back(nothing_to_read(want.quantity, want.of, want.place));
      continue;
    }
    aims.wants.push_back(std::move(aim));
  }
  for (const Need& need : tune.needs) {
    Demand demand{need.quantity, need.of, {}, need.least, need.most};
    for (const Figure& figure : figures_of(model, need.quantity, need.of, corners))
      demand.figures.push_back(index_in(aims, figure));
    if (demand.figures.empty()) out.problems.push_back(nothing_to_read(need.quantity, need.of, need.place));
    aims.needs.push_back(std::move(demand));
  }
  if (out.problems.empty()) out.aims = std::move(aims);
  return out;
}

}  // namespace ridepitch
