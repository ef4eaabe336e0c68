#pragma once
// Numbers as they are printed.

#include <optional>
#include <string>

namespace ridepitch {

/// A number with so many decimals; "-" where there is none. Never "-0.0"; very large ones in powers of ten.
std::string number(std::optional<double> value, int decimals);

}  // namespace ridepitch
