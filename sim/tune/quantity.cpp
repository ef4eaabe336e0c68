#include "tune/quantity.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace ridepitch {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

using Value = std::optional<double>;

const CornerResult& corner_of(const Solution& s, const Figure& r) { return s.corners[at(r.corner)]; }
const WheelResult& wheel_of(const Solution& s, const Figure& r) { return corner_of(s, r).wheels[at(r.wheel)]; }

/// A spring's own ratio where one is named, else the wheel's.
Value motion_ratio(const Solution& s, const Figure& r) {
  if (r.spring < 0) return wheel_of(s, r).motion_ratio;
  return corner_of(s, r).springs[at(r.spring)].motion_ratio[at(r.wheel)].second;
}

const Steering* steering_of(const Steered* steered, const Figure& r) {
  if (!steered) return nullptr;
  const auto found = std::find_if(steered->steering.begin(), steered->steering.end(),
                                  [&](const Steering& each) { return each.corner == r.corner; });
  return found == steered->steering.end() ? nullptr : &*found;
}

/// How far a steered wheel turns, to the side to which it turns farther.
Value lock(const Steering& s, const Figure& r) {
  const auto& lock_deg = s.wheels[at(r.wheel)].lock_deg;
  return std::max(std::abs(lock_deg[0]), std::abs(lock_deg[1]));
}

Value worst_error(const Steering& s, const Figure&) {
  return s.worst_error_deg ? Value(std::abs(*s.worst_error_deg)) : std::nullopt;
}

/// At full lock, to the side to which it turns less sharply.
Value turn_radius(const Steering& s, const Figure&) {
  const auto& [left, right] = s.lock_radius_mm;
  if (!left || !right) return left ? left : right;
  return std::max(*left, *right);
}

struct SteeringQuantity {
  std::string_view name, plain, unit;
  Figure::Of of;
  Value (*value)(const Steering&, const Figure&);
};

const std::array<SteeringQuantity, 3> steering_quantities = {{
    {"lock_deg", "lock", "deg", Figure::Of::steered_wheel, lock},
    {"ackermann_error_deg", "worst error", "deg", Figure::Of::steering, worst_error},
    {"turn_radius_mm", "turn radius at lock", "mm", Figure::Of::steering, turn_radius},
}};

const SteeringQuantity* find_steering_quantity(std::string_view name) {
  const auto found = std::find_if(steering_quantities.begin(), steering_quantities.end(),
                                  [&](const SteeringQuantity& q) { return q.name == name; });
  return found == steering_quantities.end() ? nullptr : &*found;
}

struct Quantity {
  std::string_view name, plain, unit;
  Figure::Of of;
  Value (*value)(const Solution&, const Figure&);
};

using Of = Figure::Of;

/// Every quantity, one row each: whatever a later command brings is one row more.
const std::array<Quantity, 17> quantities = {{
    {"wheel_rate_n_per_mm", "wheel rate", "N/mm", Of::wheel,
     [](const Solution& s, const Figure& r) { return wheel_of(s, r).wheel_rate_n_per_mm; }},
    {"motion_ratio", "motion ratio", "", Of::wheel, motion_ratio},
    {"sag_mm", "sag", "mm", Of::wheel, [](const Solution& s, const Figure& r) { return wheel_of(s, r).sag_mm; }},
    {"ride_height_mm", "ride height", "mm", Of::corner,
     [](const Solution& s, const Figure& r) { return corner_of(s, r).ride_height_mm; }},
    {"bump_travel_mm", "bump travel", "mm", Of::wheel,
     [](const Solution& s, const Figure& r) { return wheel_of(s, r).bump_travel_mm; }},
    {"droop_travel_mm", "droop travel", "mm", Of::wheel,
     [](const Solution& s, const Figure& r) { return wheel_of(s, r).droop_travel_mm; }},
    {"bump_load_n", "bump load", "N", Of::wheel,
     [](const Solution& s, const Figure& r) { return wheel_of(s, r).bump_load_n; }},
    {"reserve", "reserve", "", Of::wheel, [](const Solution& s, const Figure& r) { return wheel_of(s, r).reserve; }},
    {"frequency_hz", "frequency", "Hz", Of::wheel,
     [](const Solution& s, const Figure& r) { return wheel_of(s, r).frequency_hz; }},
    {"spring_force_n", "spring force", "N", Of::spring,
     [](const Solution& s, const Figure& r) { return corner_of(s, r).springs[at(r.spring)].force_n; }},
    {"toggle_margin_deg", "toggle margin", "deg", Of::corner,
     [](const Solution& s, const Figure& r) { return corner_of(s, r).toggle_margin_deg; }},
    {"coil_margin_deg", "coil margin", "deg", Of::corner,
     [](const Solution& s, const Figure& r) { return corner_of(s, r).coil_margin_deg; }},
    {"clearance_mm", "clearance", "mm", Of::point,
     [](const Solution& s, const Figure& r) { return Value(s.clearances[at(r.point)].height_mm); }},
    {"pitch_deg", "pitch", "deg", Of::vehicle,
     [](const Solution& s, const Figure&) { return s.vehicle ? Value(s.vehicle->pitch_deg) : std::nullopt; }},
    {"roll_deg", "roll", "deg", Of::vehicle,
     [](const Solution& s, const Figure&) { return s.vehicle ? Value(s.vehicle->roll_deg) : std::nullopt; }},
    {"price", "price", "", Of::chosen, [](const Solution&, const Figure&) { return Value(); }},
    {"holes_changed", "changes", "", Of::chosen, [](const Solution&, const Figure&) { return Value(); }},
}};

const Quantity* find_quantity(std::string_view name) {
  const auto found =
      std::find_if(quantities.begin(), quantities.end(), [&](const Quantity& q) { return q.name == name; });
  return found == quantities.end() ? nullptr : &*found;
}

template <class Named>
int index_of(const std::vector<Named>& list, std::string_view name) {
  const auto found = std::find_if(list.begin(), list.end(), [&](const Named& each) { return each.name == name; });
  return found == list.end() ? -1 : static_cast<int>(found - list.begin());
}

/// Of one corner: all wheels or springs, or the named one.
void add_of_corner(const Model& model, const Quantity& quantity, int corner, std::string_view part,
                   std::vector<Figure>& out) {
  const Linkage& linkage = model.linkages[at(model.corners[at(corner)].linkage)];
  if (linkage.plane == Plane::top) return;
  const Figure figure{std::string(quantity.name), quantity.of, corner};
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
  if (quantity.of == Of::corner) {
    if (spring < 0) out.push_back(figure);
  } else if (quantity.of == Of::wheel) {
    if (spring < 0 || quantity.name == "motion_ratio") add_wheels(spring);
  } else if (quantity.of == Of::spring) {
    for (std::size_t i = 0; i < linkage.springs.size(); ++i) {
      if (wheel >= 0 || (spring >= 0 && spring != static_cast<int>(i)) ||
          std::holds_alternative<Torsion>(linkage.springs[i].data))
        continue;
      out.push_back(figure);
      out.back().spring = static_cast<int>(i);
    }
  }
}

/// Of one corner that steers: itself, or all its wheels, or the named one.
void add_of_steering(const Model& model, const SteeringQuantity& quantity, int corner, std::string_view part,
                     std::vector<Figure>& out) {
  const Linkage& linkage = model.linkages[at(model.corners[at(corner)].linkage)];
  if (linkage.plane != Plane::top || !linkage.drive) return;
  const Figure figure{std::string(quantity.name), quantity.of, corner};
  if (quantity.of == Of::steering) {
    if (part.empty()) out.push_back(figure);
    return;
  }
  for (std::size_t i = 0; i < linkage.wheels.size(); ++i) {
    if (!part.empty() && linkage.wheels[i].name != part) continue;
    out.push_back(figure);
    out.back().wheel = static_cast<int>(i);
  }
}

/// Calls `add` for the corners that `of` means, with what follows its slash.
template <class Add>
void for_corners(const Model& model, std::string_view of, const std::vector<int>& corners, Add&& add) {
  if (of.empty()) {
    for (const int corner : corners) add(corner, std::string_view());
    return;
  }
  const std::size_t slash = of.find('/');
  const int corner = index_of(model.corners, of.substr(0, slash));
  if (corner >= 0) add(corner, slash == of.npos ? std::string_view() : of.substr(slash + 1));
}

}  // namespace

std::string figure_place(const Model& model, const Figure& figure) {
  if (figure.point >= 0) return model.clearances[at(figure.point)].name;
  if (figure.corner < 0) return "";
  const Corner& corner = model.corners[at(figure.corner)];
  const Linkage& linkage = model.linkages[at(corner.linkage)];
  if (figure.spring >= 0) return corner.name + "/" + linkage.springs[at(figure.spring)].name;
  return figure.wheel >= 0 ? corner.name + "/" + linkage.wheels[at(figure.wheel)].name : corner.name;
}

std::string figure_name(const Model& model, const Figure& figure) {
  const std::string of = figure_place(model, figure), plain = quantity_name(figure.quantity).plain;
  return of.empty() ? plain : of + " " + plain;
}

QuantityName quantity_name(std::string_view quantity) {
  if (const Quantity* found = find_quantity(quantity)) return {std::string(found->plain), std::string(found->unit)};
  if (const SteeringQuantity* found = find_steering_quantity(quantity))
    return {std::string(found->plain), std::string(found->unit)};
  return {std::string(quantity), ""};
}

std::vector<Figure> figures_of(const Model& model, std::string_view quantity, std::string_view of,
                               const std::vector<int>& corners) {
  std::vector<Figure> out;
  if (const SteeringQuantity* steering = find_steering_quantity(quantity)) {
    for_corners(model, of, corners, [&](int corner, std::string_view part) { add_of_steering(model, *steering, corner, part, out); });
    return out;
  }
  const Quantity* found = find_quantity(quantity);
  if (!found) return out;
  if (found->of == Of::vehicle || found->of == Of::chosen) {
    if (found->of == Of::chosen || !model.bench) out.push_back({std::string(quantity), found->of});
  } else if (found->of == Of::point) {
    for (std::size_t i = 0; i < model.clearances.size() && !model.bench; ++i) {
      if (!of.empty() && model.clearances[i].name != of) continue;
      out.push_back({std::string(quantity), Of::point});
      out.back().point = static_cast<int>(i);
    }
  } else {
    for_corners(model, of, corners, [&](int corner, std::string_view part) { add_of_corner(model, *found, corner, part, out); });
  }
  return out;
}

bool of_steering(const Figure& figure) {
  return figure.of == Figure::Of::steering || figure.of == Figure::Of::steered_wheel;
}

std::optional<double> value_of(const Solution& solution, const Figure& figure, const Steered* steered) {
  if (of_steering(figure)) {
    const SteeringQuantity* found = find_steering_quantity(figure.quantity);
    const Steering* steering = steering_of(steered, figure);
    return found && steering ? found->value(*steering, figure) : std::nullopt;
  }
  const Quantity* found = find_quantity(figure.quantity);
  return found ? found->value(solution, figure) : std::nullopt;
}

}  // namespace ridepitch
