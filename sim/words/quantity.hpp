#pragma once
// The one table of all that can be read off a solved vehicle. What is read where: ride/quantity_readers.hpp and
// steer/quantity_readers.hpp; every list of numbers that the program reads or prints follows from it.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace ridepitch {

/// What a quantity belongs to.
enum class Scope {
  vehicle,
  corner,
  wheel,
  spring,         ///< that is squeezed or stretched
  torsion,        ///< a spring that is turned
  point,          ///< a clearance point
  steering,       ///< a corner whose linkage steers
  lock_side,      ///< such a corner, steered to the left or to the right
  steered_wheel,  ///< of such a corner
  chosen,         ///< what a search chose, not how it stands
};

/// How far a quantity may be off before a vehicle no longer stands the same.
enum class Rule {
  none,
  off,          ///< by an amount, up or down
  share_off,    ///< by a share of what it was, up or down
  least_share,  ///< down to a share of what it was; more is no fault
  not_less,     ///< down by an amount; more is no fault
  not_farther,  ///< away from 0 by an amount; nearer to it is no fault
};

struct Quantity {
  std::string_view name;         ///< as [tune] and JSON write it: "wheel_rate_n_per_mm"; its unit is that of the values
  std::string_view words;        ///< "bump travel": a heading by itself
  std::string_view short_words;  ///< "bump": a heading where the table says the rest; empty: the same
  std::string_view unit;         ///< as printed: "N/mm"; may be empty
  int decimals = 1;              ///< as printed
  Scope of = Scope::vehicle;
  int told = 0;                ///< its place among what is told unasked; 0: only where it is asked for
  std::string_view keep = {};  ///< the word of `--keep` that says how far it may be off; empty: told, not judged
  Rule rule = Rule::none;
  double shown = 1;            ///< the printed value for a value of 1: a scale reads grams, the program has newtons
  std::string_view leaf = {};  ///< its place in the JSON of what it belongs to; empty: its name
};

/// A quantity that `solve --json` does not give as a number of its scope.
inline constexpr std::string_view no_leaf = "-";

/// All of them, scope by scope, in the order of the JSON.
const std::vector<Quantity>& quantities();

/// What is told unasked, in the order of telling.
const std::vector<const Quantity*>& told_quantities();

/// By name; null: there is none.
const Quantity* find_quantity(std::string_view name);

/// By name; it must be one of them.
const Quantity& quantity(std::string_view name);

/// Its place in the table.
std::size_t table_index(const Quantity& quantity);

/// Whether it belongs to the vehicle, a corner or a wheel.
bool on_ground(Scope scope);

/// Whether it is read off a steering.
bool of_steering(Scope scope);

/// "bump": for a heading.
std::string_view heading_of(const Quantity& quantity);

/// The line of the glossary that explains it.
std::string_view meaning_of(const Quantity& quantity);

/// "wheel rate, N/mm"
std::string words_with_unit(const Quantity& quantity);

/// Its place in JSON.
std::string_view leaf_of(const Quantity& quantity);

/// A value as it is printed, in the printed unit.
std::string number(const Quantity& quantity, std::optional<double> value);

/// With its sign; empty where it rounds to nothing.
std::string signed_number(const Quantity& quantity, std::optional<double> difference);

/// Those that the program itself asks for.
namespace name {
inline constexpr std::string_view mass = "mass_kg", total_mass = "total_mass_kg", pitch = "pitch_deg",
                                  roll = "roll_deg", bounce_frequency = "bounce_frequency_hz",
                                  pitch_frequency = "pitch_frequency_hz", roll_frequency = "roll_frequency_hz",
                                  roll_share = "roll_stiffness_share_front", lean = "lean_deg_per_0_1_g",
                                  load_transfer = "load_transfer_n";
inline constexpr std::string_view ride_height = "ride_height_mm", as_built = "as_built_height_mm",
                                  pressed = "pressed_height_mm", lifted = "lifted_height_mm",
                                  toggle_margin = "toggle_margin_deg", coil_margin = "coil_margin_deg";
inline constexpr std::string_view load = "load_n", ground_load = "ground_load_n", travel = "travel_mm", sag = "sag_mm",
                                  bump_travel = "bump_travel_mm", droop_travel = "droop_travel_mm",
                                  bump_total = "bump_total_mm", bump_load = "bump_load_n", reserve = "reserve",
                                  motion_ratio = "motion_ratio", wheel_rate = "wheel_rate_n_per_mm",
                                  frequency = "frequency_hz", weight_to_bump = "weight_to_bump_g",
                                  sink_100g = "sink_100g_mm", friction = "friction_n", break_out = "break_out_g",
                                  set_down_height = "set_down_height_mm";
inline constexpr std::string_view spring_length = "spring_length_mm", spring_force = "spring_force_n",
                                  total_force = "spring_total_force_n";
inline constexpr std::string_view clearance = "clearance_mm";
inline constexpr std::string_view lock = "lock_deg", worst_error = "ackermann_error_deg",
                                  turn_radius = "turn_radius_mm", bump_steer = "bump_steer_deg", toe = "toe_deg",
                                  inner_lock = "inner_lock_deg", signed_worst_error = "worst_error_deg",
                                  bump_steer_slope = "bump_steer_deg_per_10mm", steer_at_droop = "steer_at_droop_deg",
                                  steer_at_bump = "steer_at_bump_deg";
inline constexpr std::string_view price = "price", holes_changed = "holes_changed";
}  // namespace name

}  // namespace ridepitch
