#pragma once
// How candidates fare: their figures beside what is wanted and needed.

#include "tune/aims.hpp"

namespace ridepitch {

/// How a candidate fares.
struct Judgement {
  double score = 0;     ///< sum of weight (miss / tolerance)^2; not a number where a wanted quantity does not exist
  int fails_need = -1;  ///< the first need that it does not meet
  double short_by = 0;  ///< how far it is from meeting its needs, in shares of what they ask: 0 where it does

  bool passes() const { return fails_need < 0 && score == score; }
};

/// @param values  of every figure; not a number where it does not exist
Judgement judge(const Aims& aims, const double* values);

/// Of several candidates side by side. @param values  [figures][lanes]; only figures that the aims name are read
/// @param out  [lanes]
void judge(const Aims& aims, const double* values, int lanes, Judgement* out);

}  // namespace ridepitch
