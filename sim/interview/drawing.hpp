#pragma once
// A linkage drawn in characters, to scale.

#include <optional>
#include <string>
#include <vector>

#include "interview/axle_forms.hpp"
#include "model/model.hpp"

namespace ridepitch {

/// A hole by its name, "arm.push".
std::optional<HoleRef> find_hole(const Linkage& linkage, std::string_view name);

/// The linkage in a configuration, on the ground that its wheels stand on.
///
///     #  bodies    :  rods    %  coils    .  tyres    o  holes    letters: holes that have one    -  the ground
///
/// u runs to the right, v up; a character is half as wide as it is high. Trailing blanks are left out.
///
/// @param q  [3 n] x, y [mm] and theta [rad] of each moving body in the chassis grid
std::vector<std::string> draw_linkage(const Linkage& linkage, const Eigen::VectorXd& q, double module_mm,
                                      const std::vector<Letter>& letters);

}  // namespace ridepitch
