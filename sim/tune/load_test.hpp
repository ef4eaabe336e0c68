#pragma once
// Which springs, between which places, can carry a wheel where it is wanted: many layouts side by side, in single precision,
// which is enough to discard one and never to report it. docs/theory.md, "The search", derives the bounds.
//
// Plain arrays and nothing else, for the same reason as tune/tape.hpp.

#include <cstdint>

namespace ridepitch {

/// Places of a wheel's rise: at its least, where it is wanted, at its greatest; then the same of the linkage's other wheels, which
/// change its load too; last, as high as the bump travel that is needed takes it.
inline constexpr int most_samples = 8;
enum LoadSample { at_least = 0, as_wanted = 1, at_greatest = 2, of_others = 3, bump_sample = most_samples - 1 };

/// One wheel of one corner.
struct LoadRow {
  int samples = 3;          ///< places that have a load: three, and two for each other wheel
  bool has_bump = false;    ///< then bump_sample counts
  bool open = false;        ///< nothing is known of it: no spring is ruled out by it
  int beside = 0;           ///< -1, +1: stands for what is left below, above, up to where the skeleton
                            ///< becomes collinear: the load's slope grows from here on without bound
  bool ends_case = true;    ///< the last of the rows that must all be carried:
  bool ends_corner = true;  ///< the last of the cases one of which must be, at every corner
  float turn = 0;  ///< of a short lever over half the window [rad]: what the load may bend to both sides goes with it
  float other_load[most_samples] = {};         ///< what the other springs carry there [N]
  float load_low = -1e30f, load_high = 1e30f;  ///< that it may carry [N]
  float growth_low = -1e30f,
        growth_high = 1e30f;  ///< of the load from least to greatest rise [N]: the rates that are wanted
};

/// The ends of a spring, of `ends` choices for the second one; springs to choose from.
struct LoadTask {
  int rows = 0, ends = 0, springs = 0;
  int end_stride = 0;             ///< of the arrays of ends: a multiple of 16
  const LoadRow* row = nullptr;   ///< [rows]
  const float* first = nullptr;   ///< [rows][most_samples][4] x, y and what they change for each mm of rise
  const float* second = nullptr;  ///< [rows][most_samples][4][end_stride]
  float across2 = 0;              ///< square of how far the ends lie apart across the plane [mm2]
  const float* at_no_length =
      nullptr;                   ///< [springs], as many as fill the last 16: push if it were pressed to no length [N]
  const float* rate = nullptr;   ///< [N/mm] both of all that are side by side
  const float* solid = nullptr;  ///< what fills up is longer solid than any length
  const float* free = nullptr;
  float* scratch = nullptr;  ///< [load_scratch(rows, end_stride)]
};

static constexpr int load_scratch(int rows, int end_stride) { return (2 * rows * most_samples + 2) * end_stride; }

/// Words of 64 bits that tell which of so many springs pass.
static constexpr int load_words(int springs) { return (springs + 63) / 64; }

/// @param passing  [ends][load_words(springs)] out: a bit for each spring that may carry every row
/// @returns layouts tested one by one
using LoadTest = std::uint64_t (*)(const LoadTask& task, std::uint64_t* passing);

}  // namespace ridepitch
