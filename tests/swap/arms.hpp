#pragma once
// Arms on the bench, simple enough for closed forms. Modules of 8 mm.

#include <string>

#include "ride/solve.hpp"

namespace ridepitch {

/// An arm that lies level at rest, its wheel at 8 modules, under a coil that stands upright on it. With the arm level
/// and the coil square to it, the motion ratio is at / 8 and does not change with travel to first order, so that the
/// wheel rate is the spring's rate times its square.
struct LevelArm {
  double load_n = 5;
  double at = 5;  ///< the coil's hole on the arm, modules
  double rate_n_per_mm = 0.5;
  double length_mm = 60;   ///< of the coil at rest
  double squeeze_mm = 10;  ///< shortened by so much at rest; its preload makes up the load
  int count = 1;
  std::string law = {};   ///< in place of rate and preload: "[[0, 1], [20, 9]]"
  std::string more = {};  ///< further tables
};

std::string level_arm(const LevelArm& arm);

/// Reads a text; fails the calling test where it is refused.
Model model_of(const std::string& text);

/// Solves a model; fails the calling test where it has no solution.
Solution solved(const Model& model);

/// A demo model of this repository.
Model demo(const std::string& name);

}  // namespace ridepitch
