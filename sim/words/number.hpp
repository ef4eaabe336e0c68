#pragma once
// Numbers as they are printed.

#include <cstdint>
#include <optional>
#include <string>

namespace ridepitch {

/// A number with so many decimals; "-" where there is none. Never "-0.0"; very large ones in powers of ten.
std::string number(std::optional<double> value, int decimals);

/// "1 458 000": thousands apart.
std::string count_text(std::uint64_t n);

}  // namespace ridepitch
