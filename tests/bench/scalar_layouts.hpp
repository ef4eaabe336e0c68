#pragma once
// The tug's layouts one after another in plain scalar code: what the load test is measured beside. It shares nothing with it but
// the loops.

#include <cstdint>
#include <vector>

namespace ridepitch::scalar {

struct Hole {
  double u = 0, v = 0;
};

/// `count` equal coils.
struct Coil {
  double count = 1, rate = 0, preload = 0, free = 0, solid = 0;
};

/// An axle where it is wanted: the arm's angle at rises of -w, 0, +w and full bump.
struct Axle {
  double arm[4] = {0, 0, 0, 0};
  double w = 1, load = 0, load_within = 0, rate_low = 0, rate_high = 0;
};

/// Arm, rod, rocker and coil. Lengths in mm; the arm's pin is the origin.
struct Tug {
  double push = 0;  ///< the rod's hole, so far along the arm
  std::vector<Hole> pivots, seats, push_holes, coil_holes;
  std::vector<double> rods;
  std::vector<Coil> coils;
  Axle axles[2];
};

/// Tests every layout at both axles. @returns how many there are
std::uint64_t look_at_all(const Tug& tug, std::uint64_t& passing);

}  // namespace ridepitch::scalar
