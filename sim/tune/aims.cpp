#include "tune/aims.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"

namespace ridepitch {
namespace {

int index_in(Aims& aims, const Figure& figure) {
  const auto found = std::find(aims.figures.begin(), aims.figures.end(), figure);
  if (found != aims.figures.end()) return static_cast<int>(found - aims.figures.begin());
  aims.figures.push_back(figure);
  return static_cast<int>(aims.figures.size()) - 1;
}

/// @param asked  a Want or a Need
Problem nothing_to_read(const auto& asked) {
  return {.place = asked.place,
          .code = "no-such-quantity",
          .text = asked.of.empty() ? fmt::format("nothing that the search changes has a {}", asked.quantity)
                                   : fmt::format("'{}' has no {}", asked.of, asked.quantity),
          .hint = "ask it of a corner, wheel or spring that has one"};
}

}  // namespace

std::vector<Want> stance_wants(const Model& model, const Solution& as_it_stands, const StanceTolerance& tolerance) {
  constexpr double no_rate = 1e-9;  // a share of it would be no tolerance
  std::vector<Want> wants;
  const auto want = [&](std::string_view quantity, const std::string& of, double within) {
    Want made;
    made.quantity = quantity;
    made.of = of;
    made.tolerance = within;
    wants.push_back(std::move(made));
  };
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const CornerResult& corner = as_it_stands.corners[c];
    if (at(model.linkages, model.corners[c].linkage).plane == Plane::top) continue;
    if (corner.ride_height_mm) want(name::ride_height, corner.name, tolerance.ride_height_mm);
    for (const WheelResult& wheel : corner.wheels) {
      const double rate = std::abs(wheel.wheel_rate_n_per_mm.value_or(0));
      if (rate > no_rate) want(name::wheel_rate, corner.name + "/" + wheel.name, tolerance.wheel_rate_share * rate);
    }
  }
  if (as_it_stands.vehicle) want(name::pitch, "", tolerance.pitch_deg);
  return wants;
}

Aims widened(const Aims& aims, double times) {
  constexpr double share = 0.05;
  Aims out = aims;
  for (Aim& want : out.wants) want.tolerance *= times;
  for (Constraint& need : out.needs) {
    if (need.least) *need.least -= (times - 1) * share * std::abs(*need.least);
    if (need.most) *need.most += (times - 1) * share * std::abs(*need.most);
  }
  return out;
}

AimsOrProblem make_aims(const Model& model, const Tune& tune, const std::vector<int>& corners, const Model& like,
                        const Solution& like_solution) {
  AimsOrProblem out;
  Aims aims;
  std::optional<SteerResult> like_steered;  // worked out where a steering's value is to be kept
  const auto steered = [&]() -> const Steered* {
    if (!like_steered) like_steered = steer(like, like_solution, {.points = 2, .clearance = false});
    return like_steered->steered ? &*like_steered->steered : nullptr;
  };
  const std::vector<Want> wants = tune.wants.empty() ? stance_wants(like, like_solution) : tune.wants;
  for (const Want& want : wants) {
    Aim aim{&quantity(want.quantity), want.of, {}, {}, want.tolerance, want.weight};
    const Scope of = aim.what->of;
    for (const Figure& figure : figures_of(model, *aim.what, want.of, corners)) {
      std::optional<double> target = want.value;
      if (!target && of == Scope::chosen) target = 0;
      const auto same = target ? std::nullopt : counterpart(model, figure, like);
      if (same) target = value_of({like, like_solution, of_steering(of) ? steered() : nullptr}, *same);
      if (!target) {
        out.problems.push_back({.place = want.place,
                                .code = "no-value",
                                .text = figure_name(model, figure) + " has no value to keep",
                                .hint = "give the want a value"});
        continue;
      }
      aim.figures.push_back(index_in(aims, figure));
      aim.target.push_back(*target);
    }
    if (!aim.figures.empty())
      aims.wants.push_back(std::move(aim));
    else if (out.problems.empty())
      out.problems.push_back(nothing_to_read(want));
  }
  for (const Need& need : tune.needs) {
    Constraint constraint{&quantity(need.quantity), need.of, {}, need.least, need.most};
    for (const Figure& figure : figures_of(model, *constraint.what, need.of, corners))
      constraint.figures.push_back(index_in(aims, figure));
    if (constraint.figures.empty()) out.problems.push_back(nothing_to_read(need));
    aims.needs.push_back(std::move(constraint));
  }
  if (out.problems.empty()) out.aims = std::move(aims);
  return out;
}

}  // namespace ridepitch
