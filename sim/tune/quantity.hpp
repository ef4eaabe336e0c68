#pragma once
// What can be asked of a solved vehicle, by the names of docs/model-format.md: each is one number of its solution.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

/// What a quantity belongs to; `chosen`: to the choice itself, not to how it stands (price, holes_changed); `steering`: to
/// a corner with a top linkage.
enum class Scope { wheel, corner, spring, point, vehicle, chosen, steered_wheel, steering };

/// One number of one part of a vehicle.
struct Figure {
  std::string quantity;  ///< "wheel_rate_n_per_mm"
  Scope of = Scope::vehicle;
  int corner = -1, wheel = -1, spring = -1, point = -1;

  friend bool operator==(const Figure&, const Figure&) = default;
};

/// All that was worked out of one model. What another room works out becomes another member here, and its quantities more
/// rows of the table.
struct Results {
  const Model& model;
  const Solution& solution;
  const Steered* steered = nullptr;  ///< none: no quantity of a steering has a value
};

struct Quantity {
  std::string_view name;   ///< as [tune] and JSON write it: "wheel_rate_n_per_mm"
  std::string_view words;  ///< "wheel rate"
  std::string_view unit;   ///< as printed: "N/mm"; may be empty
  double shown = 1;        ///< the printed value for a value of 1: a scale reads grams, the program has newtons
  int decimals = 1;        ///< as printed
  Scope of = Scope::wheel;
  bool compared = true;  ///< told where two models are compared, not only where it is asked for

  /// The value; none where it does not exist.
  std::optional<double> (*value)(const Results& results, const Figure& figure) = nullptr;
};

/// All that can be read off a solved model, in the order in which they are told: whatever a later room works out is more rows.
const std::vector<Quantity>& quantities();

/// By name; it must be one of them.
const Quantity& quantity(std::string_view name);

/// "rear left/hub wheel rate": of what and which, for a table.
std::string figure_name(const Model& model, const Figure& figure);

/// "rear left/hub": the part alone; empty for the vehicle.
std::string figure_place(const Model& model, const Figure& figure);

/// The figures that a quantity means: of a corner all its wheels (or springs), of nothing those of all `corners`.
/// @param of  "", a corner, CORNER/WHEEL, CORNER/SPRING or a clearance point: names that exist
/// @returns none where such a part has no such quantity (a spring's ride height)
std::vector<Figure> figures_of(const Model& model, std::string_view quantity, std::string_view of,
                               const std::vector<int>& corners);

/// Whether a figure is read off a steering.
bool of_steering(const Figure& figure);

/// Its value in the quantity's own unit; none where it does not exist. Of what was `chosen`: none.
std::optional<double> value_of(const Results& results, const Figure& figure);

}  // namespace ridepitch
