#pragma once
// How a wheel stands: what it carries on the ground, and which stops keep it from going down or up.

#include <vector>

#include "ride/lower.hpp"
#include "ride/system.hpp"

namespace ridepitch {

/// Contact force of a wheel at rest, perpendicular to the floor [N]; on the bench the load and the wheel's own weight.
double ground_load(const System& system, const Rest& rest, std::size_t member, std::size_t wheel);

/// Whether it stands on the ground.
bool carries(const System& system, const Rest& rest, std::size_t member, std::size_t wheel);

/// Stops of a member that carry at rest, as indices into its mechanism's.
std::vector<int> active_stops(const Rest& rest, std::size_t member);

/// Stops of a member that are met at rest, whether they carry or not.
std::vector<int> met_stops(const Rest& rest, std::size_t member);

enum class Blocked { neither, below, above };

/// Whether active stops keep a wheel from going down (below) or up (above), the linkage's other wheels held.
/// @param independent  every moving wheel can rise by itself; if not, the others are left free
Blocked blocked(const Mechanism& mechanism, const Eigen::VectorXd& q, const std::vector<int>& stops, std::size_t wheel,
                bool independent);

}  // namespace ridepitch
