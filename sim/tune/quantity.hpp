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

/// One number of one part of a vehicle.
struct Figure {
  enum class Of { wheel, corner, spring, point, vehicle, chosen, steered_wheel, steering };
  std::string quantity;  ///< "wheel_rate_n_per_mm"
  Of of = Of::vehicle;   ///< `chosen`: of the choice itself, not of how it stands (price, holes_changed)
  int corner = -1, wheel = -1, spring = -1, point = -1;

  friend bool operator==(const Figure&, const Figure&) = default;
};

/// "rear left/hub wheel rate": of what and which, for a table.
std::string figure_name(const Model& model, const Figure& figure);

/// "rear left/hub": the part alone; empty for the vehicle.
std::string figure_place(const Model& model, const Figure& figure);

/// Unit and plain name of a quantity: "wheel rate", "N/mm".
struct QuantityName {
  std::string plain, unit;
};
QuantityName quantity_name(std::string_view quantity);

/// The figures that a quantity means: of a corner all its wheels (or springs), of nothing those of all `corners`.
/// @param of  "", a corner, CORNER/WHEEL, CORNER/SPRING or a clearance point: names that exist
/// @returns none where such a part has no such quantity (a spring's ride height)
std::vector<Figure> figures_of(const Model& model, std::string_view quantity, std::string_view of,
                               const std::vector<int>& corners);

/// Whether a figure is read off a steering: of a corner with a top linkage, or of its wheel.
bool of_steering(const Figure& figure);

/// Its value in the quantity's own unit; none where it does not exist. Of what was `chosen`: none.
/// @param steered  of the same model; none: no figure of a steering has a value
std::optional<double> value_of(const Solution& solution, const Figure& figure, const Steered* steered = nullptr);

}  // namespace ridepitch
