#pragma once
// A table of forces from spring readings, for a spring that is not straight.

#include <optional>
#include <vector>

#include "fit/fit_spring.hpp"
#include "fit/reading_rows.hpp"

namespace ridepitch {

/// Rounds to hundredths: what a kitchen scale and a ruler can tell.
double hundredths(double x);

struct LawFit {
  ForceTable table;                  ///< [mm from the free length, N], hundredths, strictly rising
  std::optional<Estimate> friction;  ///< where both directions were read
  int parameters = 0;                ///< values that were found
};

/// The table whose law (docs/model-format.md, "Parts") lies nearest to the readings, in as many equal steps over the
/// spring's whole stroke as they bear.
///
/// @param stroke_mm     from the free length to solid (a band: to the longest reading), > 0
/// @param from_zero  no force at the free length: a band
/// @returns none where no such table rises from point to point
std::optional<LawFit> fit_law(const ReadingRows& readings, const std::vector<int>& used, double free_mm,
                              double stroke_mm, bool from_zero);

}  // namespace ridepitch
