#pragma once
// What one step of each hole, rod and spring does to a model: the table that a builder pins above the bench.

#include <optional>
#include <string>
#include <vector>

#include "model/change.hpp"
#include "model/model.hpp"
#include "ride/figure.hpp"
#include "ride/solution.hpp"
#include "swap/keep.hpp"
#include "tune/in_parallel.hpp"

namespace ridepitch {

/// One number of the model as it stands.
struct Cell {
  Figure figure;
  std::string where;  ///< "rear left/hub"
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
  int corner = -1;     ///< that steers; -1: of the linkages that stand on the ground
  double step_mm = 0;  ///< of holes: a module, or half of one where the linkages make use of half modules
  std::vector<Cell> cells;
  std::vector<Step> steps;    ///< those that were tried, in file order, linkage by linkage
  std::size_t all_steps = 0;  ///< that there are: more than `steps` where it was stopped
};

/// Tries the holes and rods of every linkage that steers, one at a time, as `nudge` does: lock of each wheel, worst error,
/// turn radius. Such a linkage carries nothing, so that the vehicle stands as before.
/// @param solved  the model's own solution. @returns one for each corner that steers
std::vector<Nudge> nudge_steering(const Model& model, const Solution& solved, const OnDone& on_done = {},
                                  const ShallEnd& shall_end = {});

/// Tries, one at a time: each hole that anything is joined at a step up and down its grid's u and v; each rod's next
/// shorter and longer length; each spring's neighbours of the catalogue (neighbouring_springs), and one spring more or less.
///
/// @param solved    the model's own solution
/// @param linkages  which linkages' parts are moved; by index, none of a top plane
Nudge nudge(const Model& model, const Solution& solved, const std::vector<int>& linkages, const OnDone& on_done = {},
            const ShallEnd& shall_end = {});

/// How much a step does at a wheel: the greatest change of any number of it, its corner and the vehicle that is judged
/// (keep.hpp), in parts of its tolerance, up or down. Infinite where the number is no more, or there is no stance.
double effect_at(const Nudge& nudge, const Step& step, int corner, int wheel, const Keep& keep = {});

/// Whether a number is of a wheel, its corner or the vehicle.
bool concerns(const Cell& cell, int corner, int wheel);

/// Of all linkages that stand on the ground.
std::vector<int> linkages_on_ground(const Model& model);

// The next things that a builder could take from the box.

/// The catalogue springs next to a catalogue spring: of its length the next weaker and the next stronger, and of the
/// next shorter and the next longer length the one most like it in strength. Strength is the push of a coil when it
/// goes solid, and the pull of a band at twice its length. What the price list calls gone is passed over.
///
/// @returns names; none for a spring that is written in place
std::vector<std::string> neighbouring_springs(const Model& model, const Spring& spring);

/// The next shorter and the next longer length of a rod [mm]: of the catalogue where its part is a catalogue part of
/// that length, else a step less and more. None is as short as the rod's `across`.
std::vector<double> neighbouring_lengths_mm(const Model& model, const Rod& rod, double step_mm);

}  // namespace ridepitch
