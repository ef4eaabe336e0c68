#pragma once
// What built models may come to: vehicles whose springs, masses and tyres scatter about what the file says.
//
// Of every spring rate and free length are drawn (independent, and a share that all springs of one part have in common), of every
// mass its grams, of every scale reading its grams, of every tyre with a rate that rate; all normal. Play and friction are not
// drawn: each vehicle stands as much lower by its play as the one of the file.
//
// Where every wheel is alone on its linkage and rides, a vehicle is solved from the travel curves: springs' lengths over the
// travel do not depend on what is drawn. The rest goes to the general solver.

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"

namespace ridepitch {

inline constexpr int drawn_vehicles = 4096;
inline constexpr int drawn_in_general = 512;  ///< where each takes the general solver
inline constexpr std::uint64_t drawn_seed = 1;

/// A number of every vehicle drawn; not a number where it does not stand.
using Sample = std::vector<double>;

struct SampledWheel {
  Sample wheel_rate_n_per_mm, bump_travel_mm, load_n, bump_load_n;
};

struct SampledCorner {
  Sample as_built_height_mm;
  std::vector<SampledWheel> wheels;
};

/// Vehicle i of two models has the same draws for the parts that they share: those of one name at one place.
struct SampledVehicles {
  int vehicles = 0;
  std::string why_general;  ///< why each took the general solver; empty: they did not
  Sample pitch_deg, roll_deg;
  std::vector<SampledCorner> corners;
};

/// @param solution  of the model, with curves
/// @param vehicles  how many; 0: drawn_vehicles, or drawn_in_general where each takes the general solver
SampledVehicles sample_vehicles(const Model& model, const Solution& solution, int vehicles = 0,
                                std::uint64_t seed = drawn_seed);

/// The same with every vehicle by the general solver.
SampledVehicles sample_in_general(const Model& model, const Solution& solution, int vehicles,
                                  std::uint64_t seed = drawn_seed);

/// Between the two nearest of a sample, in proportion; not a number where it is empty. @param share  in [0, 1]
double percentile(Sample sample, double share);

/// Fills in what a built one may come to: `expected` of vehicle, corners and wheels.
void add_expected(const SampledVehicles& sampled, Solution& solution);

}  // namespace ridepitch
