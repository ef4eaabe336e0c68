#pragma once
// From readings of a spring to its data: rate, preload, friction, free and solid length, each with its standard error.
//
//     force = preload + rate (free - L) + friction, - friction when releasing     a coil
//     force =           rate (L - free) + friction, - friction when relaxing      a band
//
// A captive coil's free and solid lengths are the guide's, not the wire's: they are read, not fitted. What the straight
// line can't explain is told: a reading that strays, a spring that went solid, a curve.
//
// Source: ordinary least squares, e.g. N. R. Draper and H. Smith, Applied Regression Analysis, ch. 1 and 8 (from memory);
// derived for this use in docs/theory.md, "A spring from its readings".

#include <optional>
#include <string>
#include <vector>

#include "fit/spring_readings.hpp"
#include "spring/force_law.hpp"

namespace ridepitch {

/// What is known of the spring beforehand, and how it is to be written down.
struct SpringFitOptions {
  std::optional<double> free_mm = {}, solid_mm = {};
  bool law = false;  ///< as a table of forces in place of a rate and preload
};

/// A value with its standard error, where the readings tell one.
struct Estimate {
  double value = 0;
  std::optional<double> standard_error;
};

enum class SpringKind { coil, band };

/// How a reading was taken.
enum class ReadingUse {
  fitted,    ///< counts
  unloaded,  ///< at 0 g, or pressed too little to leave its stop: tells the free length
  solid,     ///< coils touching: tells the solid length
  stray,     ///< far off the others: left out
};

/// Where a length comes from.
enum class LengthFrom {
  told,      ///< an option
  unloaded,  ///< readings at 0 g
  solid,     ///< readings with the coils touching
  line,      ///< where the line meets 0: taken that there is no preload
  push,      ///< likewise, though it was measured longer: it begins to push only there
  shortest,  ///< the shortest reading: it may go further
};

/// A remark on the readings: what, and what to do about it.
struct FitNote {
  std::string code;
  std::string text;
  std::string remedy;
};

/// Remarks which columns of a table were not used, if any.
void note_ignored(std::vector<FitNote>& notes, const std::vector<std::string>& ignored);

struct SpringFit {
  SpringKind kind = SpringKind::coil;
  Estimate rate_n_per_mm;
  std::optional<Estimate> preload_n;   ///< a coil's, at its free length; >= 0
  std::optional<Estimate> friction_n;  ///< where both directions were read; >= 0
  Estimate free_mm;
  LengthFrom free_from = LengthFrom::line;
  std::optional<double> solid_mm;  ///< a coil's
  LengthFrom solid_from = LengthFrom::shortest;
  double deviation_n = 0;        ///< standard deviation of a reading about what is fitted
  int freedoms = 0;              ///< readings fitted less values found; 0: nothing is known of the errors
  std::vector<ReadingUse> use;   ///< [readings]
  std::vector<double> fitted_n;  ///< [readings] what the spring data say, friction included
  std::optional<double>
      rate_with_strays_n_per_mm;  ///< what the rate would be with the stray readings; none strays: none

  /// Forces without friction over shortening (a band's lengthening) from the free length: made where a table was asked
  /// for. Steps of a law of docs/model-format.md, "Parts".
  std::optional<ForceTable> law;
  bool curved = false;      ///< the readings bend more than chance lets them
  double curve_miss_n = 0;  ///< how far the line is off the curve at most

  std::vector<FitNote> notes;
};

/// Its forces without friction.
ForceLaw force_law(const SpringFit& fit);

struct FitSpringResult {
  std::optional<SpringFit> fit;
  std::vector<Problem> problems;
};

/// @param path  names the file in problems
FitSpringResult fit_spring(const SpringReadings& readings, const std::string& path, const SpringFitOptions& options);

}  // namespace ridepitch
