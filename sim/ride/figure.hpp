#pragma once
// One number of one part of a vehicle: a quantity, and which part it is of.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/model.hpp"
#include "words/quantity.hpp"

namespace ridepitch {

struct Figure {
  const Quantity* what = nullptr;
  int corner = -1, wheel = -1, spring = -1, point = -1;
  int side = -1;  ///< of a steering at lock: 0 to the left, 1 to the right

  friend bool operator==(const Figure&, const Figure&) = default;
};

/// "rear left/hub wheel rate": of what and which, for a table.
std::string figure_name(const Model& model, const Figure& figure);

/// "rear left/hub": the part alone; empty for the vehicle.
std::string figure_place(const Model& model, const Figure& figure);

/// The figures that a quantity means: of a corner all its wheels (or springs), of nothing those of all `corners`.
/// @param of  "", a corner, CORNER/WHEEL, CORNER/SPRING or a clearance point: names that exist
/// @returns none where such a part has no such quantity (a spring's ride height)
std::vector<Figure> figures_of(const Model& model, const Quantity& quantity, std::string_view of,
                               const std::vector<int>& corners);

/// Those of the whole model.
std::vector<Figure> figures_of(const Model& model, const Quantity& quantity);

/// Of one corner, whatever it has.
std::vector<Figure> figures_at(const Model& model, const Quantity& quantity, int corner);

/// All that is told unasked of the vehicle, its corners and wheels, in the order of telling.
std::vector<Figure> told_figures(const Model& model);

/// The corners that stand on the ground, each followed by its wheels: figures of no quantity.
std::vector<Figure> corners_and_wheels(const Model& model);

/// The same part in another model, by its names. None where one of the two is on the bench, or is there to steer.
std::optional<Figure> counterpart(const Model& model, const Figure& figure, const Model& other);

}  // namespace ridepitch
