#pragma once
// Random, believable vehicles and the ways in which a vehicle may be written down differently.

#include <optional>
#include <string>

#include "model/model.hpp"

namespace ridepitch::property {

/// What a random four-wheel vehicle is made of. Lengths in modules, as in a file.
struct VehicleChoice {
  int kind = 0;  ///< 0: arm, pushrod, rocker, coil; 1: coil straight on the arm; 2: double wishbones in the front plane
  double seat_u = -4, seat_v = 9;
  double pushrod = 6;
  double across = 0;
  double out = 0;  ///< of the wheels, beside their arms
  double rate_n_per_mm = 0.6, preload_n = 1;
  int count = 2;
  double mass_x = 1, mass_y = 0, mass_z = 5;
  double grams = 2200;
  double half_wheelbase = 10;
  std::optional<double> tyre_rate_n_per_mm;
};

/// How the same vehicle is written down.
struct Writing {
  double shift_x = 0;        ///< modules, of everything
  bool mirrored = false;     ///< y negated, left and right exchanged
  double scale = 1;          ///< of lengths; forces by its cube, rates by its square
  bool other_order = false;  ///< bodies, pins and corners in another order
};

/// A tyre before everything is scaled; those of catalogues do not scale.
struct RandomTyre {
  double diameter_mm;
  std::optional<double> rate_n_per_mm;
};

/// Reads a text that is written at a scale, all its wheels on one tyre (inside a RapidCheck property).
Model read_random(const std::string& text, const RandomTyre& tyre, double scale);

/// Draws a choice (inside a RapidCheck property).
VehicleChoice draw_vehicle();

/// The vehicle as a model: read from text, so that the reader has its part in it.
Model vehicle(const VehicleChoice& choice, const Writing& writing = {});

}  // namespace ridepitch::property
