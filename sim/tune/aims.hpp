#pragma once
// What the builder wants and needs, as numbers to compare with: [[tune.want]] and [[tune.need]] made ready.

#include <optional>
#include <string>
#include <vector>

#include "model/tune.hpp"
#include "steer/quantity_readers.hpp"

namespace ridepitch {

/// A wanted quantity: of several figures the one that misses most counts.
struct Aim {
  const Quantity* what = nullptr;
  std::string of;
  std::vector<int> figures;    ///< indices into Aims::figures
  std::vector<double> target;  ///< of each
  double tolerance = 1;
  double weight = 1;
};

/// A needed quantity: every figure must be within.
struct Constraint {
  const Quantity* what = nullptr;
  std::string of;
  std::vector<int> figures;
  std::optional<double> least, most;
};

struct Aims {
  std::vector<Figure> figures;  ///< everything that is asked of a candidate, each once
  std::vector<Aim> wants;
  std::vector<Constraint> needs;
};

struct AimsOrProblem {
  std::optional<Aims> aims;
  std::vector<Problem> problems;
};

/// @param corners  that the search changes: a quantity without `of` is of them
/// @param like, like_solution  what is wanted where no value is given: the model as it stands, or the one that it is to be like; corners by name
AimsOrProblem make_aims(const Model& model, const Tune& tune, const std::vector<int>& corners, const Model& like,
                        const Solution& like_solution);

/// How far off the stance of a model may be. The usual: what [tune] wants where it says nothing.
struct StanceTolerance {
  double ride_height_mm = 1, pitch_deg = 0.5;
  double wheel_rate_share = 0.03;
};

/// Ride height, pitch and wheel rate of every corner as it stands.
std::vector<Want> stance_wants(const Model& model, const Solution& as_it_stands, const StanceTolerance& tolerance = {});

}  // namespace ridepitch
