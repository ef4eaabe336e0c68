#pragma once
// A spring's data from what the whole vehicle does: measured ride heights under known extra weights.
//
// The vehicle is solved for every line of the table with the spring's data as unknowns; those are returned with which the
// computed heights lie nearest to the measured ones (sum of squares, Levenberg and Marquardt). Everything else is taken as
// the model says: masses, holes, tyres, and no friction. In the range in which a coil rides, only its rate and its force
// there can be told: so its preload at the free length that the model gives, or the free length at the preload that it gives.

#include <optional>
#include <string>
#include <vector>

#include "fit/fit_spring.hpp"
#include "fit/height_readings.hpp"

namespace ridepitch {

enum class Unknown { rate, preload, free_length };

struct HeightFitOptions {
  std::string spring;  ///< "main", "arm/main", "rear left/main" or a part's name; empty: the only one there is
  std::vector<Unknown> unknowns;  ///< empty: rate and preload (a band: rate and free length)
};

/// A spring of a linkage, by index.
struct SpringRef {
  int linkage = 0, spring = 0;

  friend bool operator==(const SpringRef&, const SpringRef&) = default;
};

/// One measured height beside the computed ones.
struct HeightMatch {
  int row = 0, corner = 0;
  double measured_mm = 0;
  double before_mm = 0;  ///< with the spring as the file has it
  double after_mm = 0;   ///< with what was found
};

struct HeightFit {
  std::vector<SpringRef> springs;  ///< all that are of the fitted part; or the one written in place
  std::string part;                ///< its name; empty where it is written in place
  std::string name;                ///< "arm/main"
  LineSpring before, after;
  std::vector<Unknown> unknowns;
  std::vector<Estimate> found;  ///< [unknowns] N/mm, N, mm; of a spring with a law the rate is a factor on its forces
  double deviation_mm = 0;      ///< standard deviation of a height about what is computed
  int freedoms = 0;
  /// They explain more than the values in the file do: a lesser mean square, over the freedoms that are left (all readings, for
  /// the file's). True where nothing is left to tell.
  bool explains = true;
  std::vector<HeightMatch> matches;
  std::vector<FitNote> notes;
};

struct FitHeightsResult {
  std::optional<HeightFit> fit;
  std::vector<Problem> problems;
};

/// Whether its forces are a table.
bool has_law(const LineSpring& spring);

/// What an unknown of a spring is in the spring as it stands; of a law's rate 1, a factor.
double value_of(const LineSpring& spring, Unknown unknown);

/// @param path  names the table in problems
FitHeightsResult fit_heights(const Model& model, const HeightReadings& readings, const std::string& path,
                             const HeightFitOptions& options);

}  // namespace ridepitch
