#pragma once
// Numbers and words as a builder would write them in place of others.

#include <string>
#include <string_view>

namespace ridepitch {

/// A length in modules, with as few decimals as give back the millimetres; at least as many as the old number has,
/// and its plus sign.
///
/// @param old_token  "5", "5.0", "+5.00"; empty: none
std::string modules_token(double length_mm, double module_mm, std::string_view old_token);

/// A text in quotes, of the old one's kind where that can hold it.
std::string text_token(std::string_view text, std::string_view old_token);

}  // namespace ridepitch
