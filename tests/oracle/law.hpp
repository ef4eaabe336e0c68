#pragma once
// Stored energy of one spring as a function of its length (or angle): docs/model-format.md, "Parts".

#include "jet.hpp"
#include "model/model.hpp"

namespace ridepitch::oracle {

/// Energy of one coil [N mm] at a length; past its stops the law runs on, the stops are inequalities of their own.
Jet coil_energy(const Coil& coil, const Jet& length_mm);

/// Energy of one band [N mm]: none when slack.
Jet band_energy(const Band& band, const Jet& length_mm);

/// Energy of one torsion spring [N mm] at an angle followed from assembly.
Jet torsion_energy(const Torsion& torsion, const Jet& angle_rad);

/// Push of one spring [N], pulling negative, from the same energies.
double push_n(const Spring& spring, double length_mm);

}  // namespace ridepitch::oracle
