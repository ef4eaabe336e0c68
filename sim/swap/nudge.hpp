#pragma once
// What one step of each hole, rod and spring does to a model: the table that a builder pins above the bench.

#include <optional>
#include <string>
#include <vector>

#include "model/change.hpp"
#include "model/model.hpp"
#include "ride/solution.hpp"
#include "swap/in_parallel.hpp"
#include "swap/keep.hpp"
#include "swap/spots.hpp"

namespace ridepitch {

/// One number of the model as it stands.
struct Cell {
  const Quantity* quantity = nullptr;
  Spot spot;
  std::optional<double> now;
};

struct Step {
  Change change;
  std::string name;                           ///< "chassis.seat u+1", "pushrod 7", "main 3 coil-65-firm"
  int linkage = 0;                            ///< every corner that uses it changes
  std::vector<std::optional<double>> values;  ///< [cells] what each then comes to; none at all where it has no stance
  std::vector<std::string> states;            ///< "rear left/hub bottomed": of wheels whose state is another one
  std::string why_not;                        ///< why it has no stance; empty: it has one
};

struct Nudge {
  double step_mm = 0;  ///< of holes: a module, or half of one where the linkages make use of half modules
  std::vector<Cell> cells;
  std::vector<Step> steps;  ///< in file order, linkage by linkage
};

/// The same of a corner that steers. Its linkage carries nothing, so that the vehicle stands as before.
struct SteeringNudge {
  int corner = 0;
  double step_mm = 0;
  std::vector<Figure> figures;             ///< lock of each wheel, worst error, turn radius (tune/quantity.hpp)
  std::vector<std::optional<double>> now;  ///< [figures]
  std::vector<Step> steps;                 ///< their values are of the figures; in file order
};

/// Tries the holes and rods of every linkage that steers, one at a time, as `nudge` does.
/// @param solved  the model's own solution. @returns none where nothing steers
std::vector<SteeringNudge> nudge_steering(const Model& model, const Solution& solved, const OnDone& on_done = {});

/// Tries, one at a time: each hole that anything is joined at a step up and down its grid's u and v; each rod's next
/// shorter and longer length; each spring's neighbours of the catalogue (neighbours.hpp), and one spring more or less.
///
/// @param solved    the model's own solution
/// @param linkages  which linkages' parts are moved; by index, none of a top plane
Nudge nudge(const Model& model, const Solution& solved, const std::vector<int>& linkages, const OnDone& on_done = {});

/// How much a step does at a wheel: the greatest change of any number of it, its corner and the vehicle that is judged
/// (tolerance.hpp), in parts of its tolerance, up or down. Infinite where the number is no more, or there is no stance.
double effect_at(const Nudge& nudge, const Step& step, std::size_t corner, std::size_t wheel, const Keep& keep = {});

/// Of all linkages that stand on the ground.
std::vector<int> linkages_on_ground(const Model& model);

}  // namespace ridepitch
