#pragma once
// Model texts that the reference tests of whole vehicles share.

#include <string>

#include "ride/solve.hpp"

namespace ridepitch {

/// Reads and solves a model text, all its wheels getting one tyre; fails the test that calls it where that does not
/// work.
Solution solved(const std::string& text, const Tyre& tyre = {.diameter_mm = 100, .rate_n_per_mm = {}});

/// A wheel on an upright slide with a coil straight on it, on the bench: motion ratio 1.
std::string bench_slide(double rate_n_per_mm, double load_n);

/// A body on four wheels, each on an upright slide under its own coil, with as much free length that the body stands
/// level and its centre of gravity as high as the wheels' centres: there gravity adds nothing to the stiffness, so that
/// the half-car of the books is exact. Modules of 10 mm.
struct SlideCar {
  double kg = 1, pitch_radius_mm = 80;                ///< uniform box with that radius of gyration in pitch
  double ahead_mm = 100, behind_mm = 120;             ///< wheels before and behind the centre of gravity, at x = 0
  double front_n_per_mm = 0.3, rear_n_per_mm = 0.25;  ///< of one wheel
  double half_track_mm = 80;
  double cg_x_mm = 0, cg_y_mm = 0;  ///< moves the mass without the free lengths following
};
std::string slide_car(const SlideCar& car);
inline constexpr double slide_car_width_modules = 12;  ///< of its box, along y
inline constexpr double slide_car_height_modules = 3;  ///< along z

}  // namespace ridepitch
