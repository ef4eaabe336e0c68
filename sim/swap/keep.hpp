#pragma once
// How far a model may be off another one before it no longer stands the same.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/problem.hpp"
#include "words/quantity.hpp"

namespace ridepitch {

/// Common practice, no source: what a builder sees at the ruler, and feels with a hand on the deck.
struct Keep {
  double ride_mm = 1;  ///< ride height of each corner, up or down
  double pitch_deg = 0.5;
  double roll_deg = 0.5;
  double rate_share = 0.05;              ///< wheel rate, of that before, up or down
  double frequency_share = 0.05;         ///< of wheels and of the vehicle's modes
  double bump_share = 0.8;               ///< bump travel: least, of that before
  double reserve_share = 0.8;            ///< reserve: least, of that before
  double toe_deg = 0.5;                  ///< of each steered wheel, straight ahead
  double lock_deg = 1;                   ///< how much less the inner wheel may turn at full lock, to each side
  double ideal_deg = 1;                  ///< of the worst error from the ideal angles
  double bump_steer_deg_per_10mm = 0.5;  ///< at rest
  double turned_deg = 2;                 ///< of steer at full droop and at full bump, straight ahead
};

/// A word of `--keep`. Which quantities it is for, and how: words/quantity.hpp.
struct KeepWord {
  std::string name;      ///< "ride"
  std::string json_key;  ///< "ride_height_mm"
  double Keep::*value;
  double unit;  ///< what 1 stands for
};
const std::vector<KeepWord>& keep_table();

/// What a quantity may come to if a model is to stand the same.
struct Allowed {
  double tolerance = 0;  ///< how far it may be off, in its own unit
  double least = 0;
  std::optional<double> most;  ///< none: more is no fault
};

/// None for a quantity that is told, but not judged.
std::optional<Allowed> allowed(const Quantity& quantity, double before, const Keep& keep);

struct ReadKeep {
  Keep keep;
  std::optional<Problem> problem;
};

/// "ride=2,rate=10%": ride in mm; pitch, roll, toe, lock, ideal and turned in degrees; bump-steer in degrees per 10 mm; the
/// others (rate, frequency, bump, reserve) in percent.
/// What is not named keeps its default; a frequency that is not named follows the rate.
ReadKeep read_keep(std::string_view words);

/// "ride height within 1 mm, pitch within 0.5 and roll within 0.5 degrees, wheel rate within 5 %, ..."
/// @param steers  whether something is steered: only then what is kept of that is told
std::string keep_words(const Keep& keep, bool steers);

}  // namespace ridepitch
