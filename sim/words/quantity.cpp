#include "words/quantity.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>

#include "words/number.hpp"
#include "words/words.hpp"

namespace ridepitch {

const std::vector<Quantity>& quantities() {
  constexpr double g_per_kg = 1000, g_per_n = 1000 / 9.80665;  // at standard gravity, ISO 80000-3
  using enum Scope;
  static const std::vector<Quantity> table = {
      // clang-format off
      // name, words, short words, unit, decimals, scope; place among what is told, judged by, rule; printed for 1, in JSON
      {name::mass, "mass on the springs", "", "g", 0, vehicle, 0, "", Rule::none, g_per_kg},
      {name::total_mass, "mass with the wheels", "", "g", 0, vehicle, 4, "", Rule::none, g_per_kg},
      {"cg_x_modules", "centre of gravity, x", "", "modules", 2, vehicle, 0, "", Rule::none, 1, "cg_modules/0"},
      {"cg_y_modules", "centre of gravity, y", "", "modules", 2, vehicle, 0, "", Rule::none, 1, "cg_modules/1"},
      {"cg_z_modules", "centre of gravity, z", "", "modules", 2, vehicle, 0, "", Rule::none, 1, "cg_modules/2"},
      {"height_mm", "height of its origin", "", "mm", 1, vehicle},
      {name::pitch, "pitch", "", "deg", 2, vehicle, 2, "pitch", Rule::off},
      {name::roll, "roll", "", "deg", 2, vehicle, 3, "roll", Rule::off},
      {name::bounce_frequency, "bounce", "", "Hz", 2, vehicle, 13, "frequency", Rule::share_off, 1, no_leaf},
      {name::pitch_frequency, "pitching", "", "Hz", 2, vehicle, 14, "frequency", Rule::share_off, 1, no_leaf},
      {name::roll_frequency, "rolling", "", "Hz", 2, vehicle, 15, "frequency", Rule::share_off, 1, no_leaf},
      {name::roll_share, "front roll stiffness", "", "", 2, vehicle},
      {name::lean, "lean in a bend", "", "deg", 2, vehicle},
      {name::load_transfer, "load transfer", "", "N", 2, vehicle},
      {name::ride_height, "ride height", "", "mm", 1, corner, 1, "ride", Rule::off},
      {name::as_built, "as built", "", "mm", 1, corner, 35},
      {name::pressed, "height once pressed", "pressed", "mm", 1, corner},
      {name::lifted, "height once lifted", "lifted", "mm", 1, corner},
      {name::toggle_margin, "toggle margin", "toggle", "deg", 1, corner, 16},
      {name::coil_margin, "coil margin", "coil", "deg", 1, corner, 17},
      {name::load, "load", "", "N", 2, wheel, 6},
      {name::ground_load, "scale reads", "", "g", 0, wheel, 5, "", Rule::none, g_per_n},
      {name::travel, "travel used", "", "mm", 1, wheel},
      {name::sag, "sag", "", "mm", 1, wheel, 7},
      {name::bump_travel, "bump travel", "bump", "mm", 1, wheel, 8, "bump", Rule::least_share},
      {name::droop_travel, "droop travel", "droop", "mm", 1, wheel},
      {name::bump_total, "travel in all", "travel", "mm", 1, wheel},
      {name::bump_load, "bump load", "", "N", 2, wheel},
      {name::reserve, "reserve", "", "", 2, wheel, 9, "reserve", Rule::least_share},
      {name::motion_ratio, "motion ratio", "", "", 3, wheel, 10},
      {name::wheel_rate, "wheel rate", "", "N/mm", 3, wheel, 11, "rate", Rule::share_off},
      {name::frequency, "frequency", "", "Hz", 2, wheel, 12, "frequency", Rule::share_off},
      {name::weight_to_bump, "by a weight of", "", "g", 0, wheel, 36},
      {name::sink_100g, "sink under 100 g", "under 100 g", "mm", 1, wheel},
      {name::friction, "friction", "", "N", 2, wheel},
      {name::break_out, "break-out", "", "g", 0, wheel},
      {name::set_down_height, "set-down height", "set down from", "mm", 0, wheel},
      {"camber_deg", "camber", "", "deg", 2, wheel, 0, "", Rule::none, 1, "path/rest/camber_deg"},
      {"roll_centre_mm", "roll centre", "", "mm", 1, wheel, 0, "", Rule::none, 1, "path/rest/roll_centre_mm"},
      {"camber_deg_per_mm", "camber change", "", "deg/mm", 3, wheel, 0, "", Rule::none, 1, "path/camber_deg_per_mm"},
      {"track_change_mm_per_mm", "track change", "", "mm/mm", 3, wheel, 0, "", Rule::none, 1,
       "path/track_change_mm_per_mm"},
      {"wheelbase_change_mm_per_mm", "wheelbase change", "", "mm/mm", 3, wheel, 0, "", Rule::none, 1,
       "path/wheelbase_change_mm_per_mm"},
      {name::spring_length, "spring length", "length", "mm", 1, spring, 18, "", Rule::none, 1, "length_mm"},
      {name::spring_force, "spring force", "force", "N", 2, spring, 19, "", Rule::none, 1, "force_n"},
      {name::total_force, "total force", "in all", "N", 2, spring, 0, "", Rule::none, 1, "total_force_n"},
      {"spring_angle_deg", "spring angle", "angle", "deg", 1, torsion, 20, "", Rule::none, 1, "angle_deg"},
      {"spring_torque_n_mm", "spring torque", "torque", "N mm", 0, torsion, 21, "", Rule::none, 1, "torque_n_mm"},
      {name::clearance, "clearance", "height", "mm", 1, point, 0, "", Rule::none, 1, "height_mm"},
      {"turns_lock_to_lock", "turns lock to lock", "", "", 2, steering, 22},
      {"rack_travel_mm", "rack travel", "", "mm", 1, steering, 23, "", Rule::none, 1, no_leaf},
      {name::signed_worst_error, "worst error", "", "deg", 2, steering, 24, "ideal", Rule::not_farther},
      {name::worst_error, "worst error", "", "deg", 2, steering, 0, "", Rule::none, 1, no_leaf},
      {"rms_error_deg", "mean error", "", "deg", 2, steering, 25},
      {"steering_ratio", "steering ratio", "", "", 1, steering, 26},
      {name::turn_radius, "turn radius at lock", "turn radius", "mm", 0, steering, 0, "", Rule::none, 1, no_leaf},
      {name::inner_lock, "lock", "", "deg", 1, lock_side, 27, "lock", Rule::not_less},
      {"turn_circle_mm", "turn circle", "", "mm", 0, lock_side, 28},
      {"kerb_circle_mm", "kerb circle", "", "mm", 0, lock_side, 29},
      {"ackermann_percent", "Ackermann", "", "%", 0, lock_side, 30},
      {name::lock, "lock", "", "deg", 2, steered_wheel, 0, "", Rule::none, 1, no_leaf},
      {name::toe, "toe", "", "deg", 2, steered_wheel, 31, "toe", Rule::off},
      {name::bump_steer, "bump steer", "", "deg", 2, steered_wheel, 0, "", Rule::none, 1, no_leaf},
      {name::bump_steer_slope, "bump steer at rest", "", "deg/10 mm", 2, steered_wheel, 32, "bump-steer", Rule::off, 1, no_leaf},
      {name::steer_at_droop, "steer at droop", "", "deg", 2, steered_wheel, 33, "turned", Rule::off, 1, no_leaf},
      {name::steer_at_bump, "steer at bump", "", "deg", 2, steered_wheel, 34, "turned", Rule::off, 1, no_leaf},
      {name::price, "price", "", "", 2, chosen},
      {name::holes_changed, "changes", "", "", 0, chosen},
      // clang-format on
  };
  return table;
}

const std::vector<const Quantity*>& told_quantities() {
  static const std::vector<const Quantity*> told = [] {
    std::vector<const Quantity*> all;
    for (const Quantity& each : quantities())
      if (each.told > 0) all.push_back(&each);
    std::sort(all.begin(), all.end(), [](const Quantity* a, const Quantity* b) { return a->told < b->told; });
    return all;
  }();
  return told;
}

const Quantity* find_quantity(std::string_view name) {
  static const auto by_name = [] {
    std::map<std::string_view, const Quantity*> all;
    for (const Quantity& each : quantities()) all.emplace(each.name, &each);
    return all;
  }();
  const auto found = by_name.find(name);
  return found == by_name.end() ? nullptr : found->second;
}

const Quantity& quantity(std::string_view name) {
  const Quantity* found = find_quantity(name);
  assert(found && "a quantity of the table");
  return *found;
}

std::size_t table_index(const Quantity& quantity) { return static_cast<std::size_t>(&quantity - quantities().data()); }

bool on_ground(Scope scope) { return scope == Scope::vehicle || scope == Scope::corner || scope == Scope::wheel; }

bool of_steering(Scope scope) {
  return scope == Scope::steering || scope == Scope::lock_side || scope == Scope::steered_wheel;
}

std::string_view heading_of(const Quantity& quantity) {
  return quantity.short_words.empty() ? quantity.words : quantity.short_words;
}

std::string_view meaning_of(const Quantity& quantity) {
  return meaning_of(find_word(quantity.words) ? quantity.words : quantity.name);
}

std::string words_with_unit(const Quantity& quantity) {
  return std::string(quantity.words) + (quantity.unit.empty() ? "" : ", ") + std::string(quantity.unit);
}

std::string_view leaf_of(const Quantity& quantity) { return quantity.leaf.empty() ? quantity.name : quantity.leaf; }

std::string number(const Quantity& quantity, std::optional<double> value) {
  return number(value ? std::optional(*value * quantity.shown) : std::nullopt, quantity.decimals);
}

std::string signed_number(const Quantity& quantity, std::optional<double> difference) {
  const std::string text = difference && std::isfinite(*difference) ? number(quantity, std::abs(*difference)) : "";
  if (text.find_first_not_of("0.") == std::string::npos) return "";
  return (*difference < 0 ? "-" : "+") + text;
}

}  // namespace ridepitch
