#pragma once
// Model texts that the tests of this folder share, simple enough for closed forms. Modules of 8 mm.

#include <cmath>
#include <string>

#include "ride/solve.hpp"

namespace ridepitch {

inline constexpr double g = 9.80665;           // m/s2, standard gravity (CGPM 1901)
inline constexpr double n_per_g = 9.80665e-3;  // weight of a gram
inline constexpr double deg = M_PI / 180;
inline constexpr double of_newtons = 1e-9;

/// A linkage "f" whose wheel the chassis holds fast.
inline const std::string fixed_wheel =
    "[linkage.f]\nplane = \"side\"\n[linkage.f.body]\nchassis = { holes = { hub = [0, 0] } }\n"
    "[linkage.f.wheel.hub]\nat = \"chassis.hub\"\npart = \"tyre-62\"\n";

/// Reads a text; all wheels get tyres of 60 mm without mass. Fails the calling test where it is refused.
Model read_written(const std::string& text);

/// Solves it; fails the calling test where there is no solution.
Solution rested(const std::string& text);

/// The one problem that keeps it from being solved.
Problem refused(const std::string& text);

/// "format = 1 ..." and a corner of linkage "l" on the bench under a load.
std::string on_bench(const std::string& tables, double load_n);

/// A wheel on an upright slide called "way", under a coil called "main" whose seat is `top` modules above the guide: with the
/// coil at a length L its centre stands at 8 top - L mm above the corner's place.
struct Upright {
  std::string name = "l";
  double top = 10, free_mm = 64, solid_mm = 44, rate_n_per_mm = 0.5, preload_n = 0;
  std::string more = {};        ///< further tables
  std::string more_holes = {};  ///< of the chassis, ", low = [0, -5]"
};
std::string upright(const Upright& u);

/// A vehicle of `grams` with its mass at (x, y, z) modules, without corners.
std::string body(double grams, double x, double y, double z);

std::string corner(const std::string& name, const std::string& linkage, double x, double y, double z = 4);

/// Four corners on one linkage, at (+-x, +-y) modules.
std::string four_corners(const std::string& linkage, double x, double y);

/// An arm about (0, 0) that carries its wheel at 8 modules, a coil hole at 5; `seat` is a chassis hole.
std::string arm(const std::string& seat, const std::string& more = "", const std::string& more_bodies = "");

/// A coil between two holes.
std::string coil(const std::string& name, const std::string& from, const std::string& to, double free_mm,
                 double solid_mm, double rate_n_per_mm);

}  // namespace ridepitch
