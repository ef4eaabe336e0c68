#pragma once
// Files that appear whole or not at all.

#include <optional>
#include <string>

#include "model/problem.hpp"

namespace ridepitch {

/// Writes all of a text to a descriptor; why it could not ("No space left on device"), or empty.
std::string write_all(int descriptor, const std::string& text);

/// Writes a file beside its target and renames it there, so that a reader sees the old one or the new one and a failure
/// leaves nothing behind. The rights of a file that is replaced are kept. A link is followed; what is not a plain file (a
/// pipe, a device) is written to as it is.
///
/// @returns the problem if it could not be written
std::optional<Problem> write_file(const std::string& path, const std::string& text);

}  // namespace ridepitch
