#pragma once
// What a builder's scale and ruler read, beside what is computed: plain results, a part of the Solution.

#include <optional>
#include <string>
#include <vector>

#include "model/geometry.hpp"

namespace ridepitch {

/// One scale reading of a weighed vehicle beside the ground loads of the vehicle at rest.
struct WeighedReading {
  std::vector<std::string> wheels;  ///< "rear left/hub"
  double read_kg = 0, within_kg = 0;
  double computed_kg = 0;    ///< what those wheels carry on the ground
  double may_differ_kg = 0;  ///< how far the two may lie apart by errors of reading and measuring alone
};

/// How sure the mass and the centre of gravity of a weighed vehicle are, where every reading may be off by its
/// `within_kg`, and every corner's place and every block's height by a millimetre, independently: the root of the sum of the squares
/// of what each alone does. Derived in docs/theory.md, "Weighing".
struct Weighing {
  double mass_within_kg = 0;  ///< of total and sprung mass alike
  double cg_x_within_mm = 0;
  std::optional<double> cg_y_within_mm;  ///< none where left and right were not weighed apart
  double pitch_within_deg = 0, roll_within_deg = 0;
  std::vector<std::optional<double>> ride_height_within_mm;  ///< [corners]
  bool height_known = false;                                 ///< [sprung] says how high the centre of gravity is
  std::vector<WeighedReading> readings;                      ///< in file order
};

/// One ruler reading beside the computed height.
struct MeasuredHeight {
  int corner = 0;
  double measured_mm = 0, within_mm = 0;
  double computed_mm = 0;
  std::optional<double> friction_mm;  ///< half the band in which friction can hold it; none where that is not known
};

/// Something that would explain why measured heights differ from computed ones.
struct LikelyCause {
  std::string code;       ///< "rate", "free-length", "mass", "centre", "tyre", "tyre-rate", "load", "play", "bending",
                          ///< "friction" or "hole"
  std::string what;       ///< "spring coil-7-firm"
  std::string needs;      ///< "8.9 % less rate: 0.565 N/mm"
  double amount = 0;      ///< in `unit`; with its sign
  std::string unit;       ///< "%", "mm", "g" or "holes"
  double size = 0;        ///< that amount over its standard deviation
  double leaves_mm = 0;   ///< the greatest difference that is left with it
  double likelihood = 0;  ///< share of it, 0 to 1: the rest is the others', the ruler's and what is not looked at
};

}  // namespace ridepitch
