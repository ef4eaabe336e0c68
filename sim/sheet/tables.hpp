#pragma once
// The numbers of a sheet.

#include "sheet/sheet.hpp"

namespace ridepitch {

/// Two models that are told side by side; or the second alone.
struct Told {
  const Results* before = nullptr;  ///< null: the model alone
  const Results& now;
  const Comparison* comparison = nullptr;  ///< of the two
};

/// What ruler and scale will read at every wheel, with room to write down what they do read.
SheetTable by_hand_table(const Told& told);

/// Sag, travel, motion ratio, wheel rate, frequency and the rest, with what each may be; places that show the same share a row.
SheetTable numbers_table(const Told& told);

}  // namespace ridepitch
