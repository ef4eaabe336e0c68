#pragma once
// Demos with something broken or changed, for tests of what must hold whatever a file says.

#include <random>
#include <string>

namespace ridepitch {

/// The text of a demo with one to four changes: mostly a number near the old one, else a number far out, a line that is
/// gone, twice there or elsewhere. Its catalogues are those of the demos.
std::string mutant_of_a_demo(std::mt19937_64& random);

}  // namespace ridepitch
