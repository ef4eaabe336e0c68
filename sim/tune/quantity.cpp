#include "tune/quantity.hpp"

#include <algorithm>
#include <array>

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
  const Quantity* found = find_quantity(quantity);
  return found ? QuantityName{std::string(found->plain), std::string(found->unit)}
               : QuantityName{std::string(quantity), ""};
}

std::vector<Figure> figures_of(const Model& model, std::string_view quantity, std::string_view of,
                               const std::vector<int>& corners) {
  std::vector<Figure> out;
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
  } else if (of.empty()) {
    for (const int corner : corners) add_of_corner(model, *found, corner, "", out);
  } else {
    const std::size_t slash = of.find('/');
    const int corner = index_of(model.corners, of.substr(0, slash));
    if (corner >= 0) add_of_corner(model, *found, corner, slash == of.npos ? "" : of.substr(slash + 1), out);
  }
  return out;
}

std::optional<double> value_of(const Solution& solution, const Figure& figure) {
  const Quantity* found = find_quantity(figure.quantity);
  return found ? found->value(solution, figure) : std::nullopt;
}

}  // namespace ridepitch
