#pragma once
// The known name that a misspelt one was probably meant to be.

#include <string>
#include <string_view>
#include <vector>

namespace ridepitch {

/// Fewest single slips (a letter too many, too few, wrong, or two neighbours exchanged) from one word to the other.
///
/// Optimal string alignment: no part is changed twice. Works on bytes.
/// Source: F. J. Damerau, Comm. ACM 7 (1964) 171 for the four slips.
int slips_between(std::string_view a, std::string_view b);

/// The nearest of the known names, the first of equals; empty if none is near enough to be meant.
///
/// Near enough: one slip in a word of up to 3 letters, two in one of up to 6, otherwise three; upper
/// and lower case are one. Failing that, the first that differs by an ending only: "free_mm" for "free".
std::string nearest_name(std::string_view name, const std::vector<std::string>& known);

}  // namespace ridepitch
