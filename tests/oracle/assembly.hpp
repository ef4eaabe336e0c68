#pragma once
// One linkage put together and hung at full droop.

#include "terms.hpp"

namespace ridepitch::oracle {

/// A linkage of the model, assembled; bodies' variables begin at 0.
struct Rig {
  const Linkage* linkage = nullptr;
  Turns turns;
  Point droop;              ///< in a programme of joints, springs and stops
  Vector droop_v_mm;        ///< height of every wheel's centre at full droop, chassis grid
  std::vector<int> sprung;  ///< wheels that are not fixed to the chassis
  int freedoms = 0;         ///< of the joints alone
  int inner = 0;            ///< freedoms left when all wheels are held
  bool fewer = false;       ///< the wheels' heights are not independent

  Layout layout() const { return {linkage, 0, &turns}; }
};

/// @throws std::runtime_error where the parts do not go together, or stops never let them
Rig assemble_and_hang(const Linkage& linkage);

/// A programme of the linkage's bodies with its joints; energy and stops are added as wanted.
Programme bare_programme(const Layout& layout);

Term wheel_height(const Layout& layout, int wheel);  ///< v of its centre, chassis grid

/// How the gap of a stop goes with the height of each sprung wheel, the others held; least squares where
/// those heights are not independent.
Vector gap_per_wheel(const Rig& rig, const Vector& x, int stop);

}  // namespace ridepitch::oracle
