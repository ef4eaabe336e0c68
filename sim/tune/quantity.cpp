#include "tune/quantity.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "model/index.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

using Value = std::optional<double>;

const CornerResult& corner_of(const Results& r, const Figure& f) { return r.solution.corners[at(f.corner)]; }
const WheelResult& wheel_of(const Results& r, const Figure& f) { return corner_of(r, f).wheels[at(f.wheel)]; }

template <auto WheelResult::*member>
Value of_wheel(const Results& r, const Figure& f) {
  return wheel_of(r, f).*member;
}

template <auto CornerResult::*member>
Value of_corner(const Results& r, const Figure& f) {
  return corner_of(r, f).*member;
}

template <auto VehicleResult::*member>
Value of_vehicle(const Results& r, const Figure&) {
  return r.solution.vehicle ? Value((*r.solution.vehicle).*member) : Value();
}

/// A spring's own ratio where one is named, else the wheel's.
Value motion_ratio(const Results& r, const Figure& f) {
  if (f.spring < 0) return wheel_of(r, f).motion_ratio;
  return corner_of(r, f).springs[at(f.spring)].motion_ratio[at(f.wheel)].second;
}

Value spring_force(const Results& r, const Figure& f) { return corner_of(r, f).springs[at(f.spring)].force_n; }
Value clearance(const Results& r, const Figure& f) { return r.solution.clearances[at(f.point)].height_mm; }
Value of_the_choice(const Results&, const Figure&) { return std::nullopt; }

Value mode_frequency(const Results& r, std::string_view name) {
  if (!r.solution.vehicle) return std::nullopt;
  for (const Mode& mode : r.solution.vehicle->modes)
    if (mode.name == name) return mode.frequency_hz;
  return std::nullopt;
}
Value bounce(const Results& r, const Figure&) { return mode_frequency(r, "bounce"); }
Value pitching(const Results& r, const Figure&) { return mode_frequency(r, "pitch"); }
Value rolling(const Results& r, const Figure&) { return mode_frequency(r, "roll"); }

const Steering* steering_of(const Results& r, const Figure& f) {
  if (!r.steered) return nullptr;
  const auto& all = r.steered->steering;
  const auto found =
      std::find_if(all.begin(), all.end(), [&](const Steering& each) { return each.corner == f.corner; });
  return found == all.end() ? nullptr : &*found;
}

/// How far a steered wheel turns, to the side to which it turns farther.
Value lock(const Results& r, const Figure& f) {
  const Steering* steering = steering_of(r, f);
  if (!steering) return std::nullopt;
  const auto& lock_deg = steering->wheels[at(f.wheel)].lock_deg;
  return std::max(std::abs(lock_deg[0]), std::abs(lock_deg[1]));
}

Value worst_error(const Results& r, const Figure& f) {
  const Steering* steering = steering_of(r, f);
  return steering && steering->worst_error_deg ? Value(std::abs(*steering->worst_error_deg)) : std::nullopt;
}

/// At full lock, to the side to which it turns less sharply.
Value turn_radius(const Results& r, const Figure& f) {
  const Steering* steering = steering_of(r, f);
  if (!steering) return std::nullopt;
  const auto& [left, right] = steering->lock_radius_mm;
  if (!left || !right) return left ? left : right;
  return std::max(*left, *right);
}

/// The most that a wheel turns from where it points at rest, straight ahead, over its travel; none where the rod binds.
Value bump_steer(const Results& r, const Figure& f) {
  const Steering* steering = steering_of(r, f);
  if (!steering || at(f.wheel) >= steering->bump.size()) return std::nullopt;
  const auto& curve = steering->bump[at(f.wheel)].straight;
  if (!curve || curve->rod_ends_droop || curve->rod_ends_bump) return std::nullopt;
  double most = 0;
  for (const BumpPoint& point : curve->points) most = std::max(most, std::abs(point.toe_deg));
  return most;
}

const Quantity* find_quantity(std::string_view name) {
  const auto& table = quantities();
  const auto found = std::find_if(table.begin(), table.end(), [&](const Quantity& q) { return q.name == name; });
  return found == table.end() ? nullptr : &*found;
}

/// Of one corner that steers: itself, or all its wheels, or the named one.
void add_of_steering(const Linkage& linkage, Figure figure, std::string_view part, std::vector<Figure>& out) {
  if (linkage.plane != Plane::top || !linkage.drive) return;
  if (figure.of == Scope::steering) {
    if (part.empty()) out.push_back(figure);
    return;
  }
  for (std::size_t i = 0; i < linkage.wheels.size(); ++i) {
    if (!part.empty() && linkage.wheels[i].name != part) continue;
    figure.wheel = static_cast<int>(i);
    out.push_back(figure);
  }
}

/// Of one corner: all wheels or springs, or the named one.
void add_of_corner(const Model& model, const Quantity& quantity, int corner, std::string_view part,
                   std::vector<Figure>& out) {
  const Linkage& linkage = model.linkages[at(model.corners[at(corner)].linkage)];
  const Figure figure{std::string(quantity.name), quantity.of, corner};
  if (of_steering(figure)) return add_of_steering(linkage, figure, part, out);
  if (linkage.plane == Plane::top) return;
  const int wheel = part.empty() ? -1 : index_of(linkage.wheels, part),
            spring = part.empty() ? -1 : index_of(linkage.springs, part);
  const auto add_wheels = [&](int of_spring) {
    for (std::size_t i = 0; i < linkage.wheels.size(); ++i) {
      if (wheel >= 0 && wheel != static_cast<int>(i)) continue;
      out.push_back(figure);
      out.back().wheel = static_cast<int>(i);
      out.back().spring = of_spring;
    }
  };
  if (quantity.of == Scope::corner) {
    if (spring < 0) out.push_back(figure);
  } else if (quantity.of == Scope::wheel) {
    if (spring < 0 || quantity.name == "motion_ratio") add_wheels(spring);
  } else if (quantity.of == Scope::spring) {
    for (std::size_t i = 0; i < linkage.springs.size(); ++i) {
      if (wheel >= 0 || (spring >= 0 && spring != static_cast<int>(i)) || turns(linkage.springs[i])) continue;
      out.push_back(figure);
      out.back().spring = static_cast<int>(i);
    }
  }
}

}  // namespace

const std::vector<Quantity>& quantities() {
  constexpr bool asked_only = false;
  static const std::vector<Quantity> table = {
      {"ride_height_mm", "ride height", "mm", 1, 1, Scope::corner, true, of_corner<&CornerResult::ride_height_mm>},
      {"pitch_deg", "pitch", "deg", 1, 2, Scope::vehicle, true, of_vehicle<&VehicleResult::pitch_deg>},
      {"roll_deg", "roll", "deg", 1, 2, Scope::vehicle, true, of_vehicle<&VehicleResult::roll_deg>},
      {"total_mass_kg", "mass with the wheels", "g", 1 / kg_per_g, 0, Scope::vehicle, true,
       of_vehicle<&VehicleResult::total_mass_kg>},
      {"ground_load_n", "scale reads", "g", 1 / n_per_g, 0, Scope::wheel, true, of_wheel<&WheelResult::ground_load_n>},
      {"load_n", "load", "N", 1, 2, Scope::wheel, true, of_wheel<&WheelResult::load_n>},
      {"sag_mm", "sag", "mm", 1, 1, Scope::wheel, true, of_wheel<&WheelResult::sag_mm>},
      {"bump_travel_mm", "bump travel", "mm", 1, 1, Scope::wheel, true, of_wheel<&WheelResult::bump_travel_mm>},
      {"reserve", "reserve", "", 1, 2, Scope::wheel, true, of_wheel<&WheelResult::reserve>},
      {"motion_ratio", "motion ratio", "", 1, 3, Scope::wheel, true, motion_ratio},
      {"wheel_rate_n_per_mm", "wheel rate", "N/mm", 1, 3, Scope::wheel, true,
       of_wheel<&WheelResult::wheel_rate_n_per_mm>},
      {"frequency_hz", "frequency", "Hz", 1, 2, Scope::wheel, true, of_wheel<&WheelResult::frequency_hz>},
      {"bounce_frequency_hz", "bounce", "Hz", 1, 2, Scope::vehicle, true, bounce},
      {"pitch_frequency_hz", "pitching", "Hz", 1, 2, Scope::vehicle, true, pitching},
      {"roll_frequency_hz", "rolling", "Hz", 1, 2, Scope::vehicle, true, rolling},
      {"toggle_margin_deg", "toggle margin", "deg", 1, 1, Scope::corner, true,
       of_corner<&CornerResult::toggle_margin_deg>},
      {"coil_margin_deg", "coil margin", "deg", 1, 1, Scope::corner, true, of_corner<&CornerResult::coil_margin_deg>},
      {"droop_travel_mm", "droop travel", "mm", 1, 1, Scope::wheel, asked_only,
       of_wheel<&WheelResult::droop_travel_mm>},
      {"bump_load_n", "bump load", "N", 1, 2, Scope::wheel, asked_only, of_wheel<&WheelResult::bump_load_n>},
      {"spring_force_n", "spring force", "N", 1, 2, Scope::spring, asked_only, spring_force},
      {"clearance_mm", "clearance", "mm", 1, 1, Scope::point, asked_only, clearance},
      {"lock_deg", "lock", "deg", 1, 1, Scope::steered_wheel, asked_only, lock},
      {"ackermann_error_deg", "worst error", "deg", 1, 2, Scope::steering, asked_only, worst_error},
      {"turn_radius_mm", "turn radius at lock", "mm", 1, 1, Scope::steering, asked_only, turn_radius},
      {"bump_steer_deg", "bump steer", "deg", 1, 2, Scope::steered_wheel, asked_only, bump_steer},
      {"price", "price", "", 1, 2, Scope::chosen, asked_only, of_the_choice},
      {"holes_changed", "changes", "", 1, 0, Scope::chosen, asked_only, of_the_choice},
  };
  return table;
}

const Quantity& quantity(std::string_view name) {
  const Quantity* found = find_quantity(name);
  assert(found);
  return *found;
}

std::string figure_place(const Model& model, const Figure& figure) {
  if (figure.point >= 0) return model.clearances[at(figure.point)].name;
  if (figure.corner < 0) return "";
  const Corner& corner = model.corners[at(figure.corner)];
  const Linkage& linkage = model.linkages[at(corner.linkage)];
  if (figure.spring >= 0) return corner.name + "/" + linkage.springs[at(figure.spring)].name;
  return figure.wheel >= 0 ? corner.name + "/" + linkage.wheels[at(figure.wheel)].name : corner.name;
}

std::string figure_name(const Model& model, const Figure& figure) {
  const std::string of = figure_place(model, figure), words(quantity(figure.quantity).words);
  return of.empty() ? words : of + " " + words;
}

std::vector<Figure> figures_of(const Model& model, std::string_view quantity, std::string_view of,
                               const std::vector<int>& corners) {
  std::vector<Figure> out;
  const Quantity* found = find_quantity(quantity);
  if (!found) return out;
  if (found->of == Scope::vehicle || found->of == Scope::chosen) {
    if (found->of == Scope::chosen || !model.bench) out.push_back({std::string(quantity), found->of});
  } else if (found->of == Scope::point) {
    for (std::size_t i = 0; i < model.clearances.size() && !model.bench; ++i) {
      if (!of.empty() && model.clearances[i].name != of) continue;
      out.push_back({std::string(quantity), Scope::point});
      out.back().point = static_cast<int>(i);
    }
  } else if (of.empty()) {
    for (const int corner : corners) add_of_corner(model, *found, corner, "", out);
  } else {
    const std::size_t slash = of.find('/');
    const int corner = index_of(model.corners, of.substr(0, slash));
    if (corner >= 0) add_of_corner(model, *found, corner, slash == of.npos ? "" : of.substr(slash + 1), out);
  }
  return out;
}

bool of_steering(const Figure& figure) { return figure.of == Scope::steering || figure.of == Scope::steered_wheel; }

std::optional<double> value_of(const Results& results, const Figure& figure) {
  const Quantity* found = find_quantity(figure.quantity);
  return found ? found->value(results, figure) : std::nullopt;
}

}  // namespace ridepitch
