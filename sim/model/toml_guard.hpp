#pragma once
// What keeps hostile text from the TOML parser, which trusts its input in two respects.

#include <cstddef>
#include <optional>
#include <string_view>

namespace ridepitch {

/// The first place where dotted keys ("a.b.c = 1") nest too deeply, or are too many, for the parser; none in any
/// text that means to be a model.
///
/// Dotted keys nest without limit in the parser, which frees what it made by recursion; and it looks through a
/// list of all dotted tables at each dotted key.
///
/// @returns a byte of the text
std::optional<std::size_t> too_many_dots(std::string_view text);

}  // namespace ridepitch
