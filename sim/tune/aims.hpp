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

/// The same aims, so many times as wide: tolerances grow, and needs give way by a twentieth for each time.
Aims widened(const Aims& aims, double times);

/// How a candidate fares.
struct Judgement {
  double score = 0;     ///< sum of weight (miss / tolerance)^2; not a number where a wanted quantity does not exist
  double worst = 0;     ///< greatest miss / tolerance; likewise
  int fails_need = -1;  ///< the first need that it does not meet
  double short_by = 0;  ///< how far it is from meeting its needs, in shares of what they ask: 0 where it does

  bool passes() const { return fails_need < 0 && score == score; }
  bool holds() const { return passes() && worst <= 1 + 1e-9; }  ///< everything that is wanted is within its tolerance
};

/// @param values  of every figure; not a number where it does not exist
Judgement judge(const Aims& aims, const double* values);

/// Of several candidates side by side. @param values  [figures][lanes]; only figures that the aims name are read
/// @param out  [lanes]
void judge(const Aims& aims, const double* values, int lanes, Judgement* out);

}  // namespace ridepitch
