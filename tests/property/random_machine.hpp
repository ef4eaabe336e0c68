#pragma once
// Random machines of every kind of linkage that builders put under one another: what a RapidCheck property draws.

#include <string>
#include <vector>

#include "model/model.hpp"
#include "random_vehicle.hpp"

namespace ridepitch::property {

/// One end of a machine, or all of it.
enum class Under {
  rocker_arm,   ///< arm, pushrod (perhaps slanting), rocker, coil; perhaps a second coil straight on the arm
  plain_arm,    ///< coil straight on the arm, perhaps a band or a torsion spring beside it
  wishbones,    ///< double wishbones in the front plane
  beam_on_arm,  ///< a walking beam on the end of a sprung arm: two wheels
  live_axle,    ///< a beam of two wheels on a pivot of the chassis, in the front plane; fewer freedoms than wheels
  tied_arms,    ///< front and rear arm of a side in one linkage, tied by a band: all of that side
};

/// Lengths in modules, as in a file.
struct End {
  Under under = Under::plain_arm;
  double seat = 0, pushrod = 6, across = 0;
  double rate_n_per_mm = 0.6, preload_n = 1;
  int count = 1;
  bool extra = false;   ///< one more spring
  double bar_rate = 0;  ///< N mm per degree; 0: no bar
};

struct MachineChoice {
  std::vector<End> ends;  ///< front and rear; or one of tied arms
  double mass_x = 0, mass_y = 0, mass_z = 5, grams = 2000;
  double half_wheelbase = 12;
  std::optional<double> tyre_rate_n_per_mm;
  double unsprung_grams = 30;
};

/// Draws a choice (inside a RapidCheck property).
MachineChoice draw_machine();

/// It as the text of a model file. `writing.other_order` also reverses pins, rods, bodies and corners.
std::string machine_text(const MachineChoice& choice, const Writing& writing = {});

/// The same read, its tyres scaled; none where the text is refused (which is then a failure of the property).
Model machine(const MachineChoice& choice, const Writing& writing = {});

}  // namespace ridepitch::property
