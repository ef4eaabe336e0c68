#pragma once
// Where text goes: standard output and error, and files that appear whole or not at all.

#include <optional>
#include <string>

#include "cli/page.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// Makes descriptors 0 to 2 safe to use, also if the program was started with some of them closed, and turns a reader
/// that went away into an error instead of a signal.
void prepare_standard_streams();

/// Writes all of a text to a descriptor; why it could not ("No space left on device"), or empty.
std::string write_all(int descriptor, const std::string& text);

/// Ink if a descriptor is a terminal that shows it and NO_COLOR is not set (no-color.org).
Ink ink_for(int descriptor);

/// Writes a file beside its target and renames it there, so that a reader sees the old one or the new one and a failure
/// leaves nothing behind. A link is followed; what is not a plain file (a pipe, a device) is written to as it is.
///
/// @returns the problem if it could not be written
std::optional<Problem> write_file(const std::string& path, const std::string& text);

}  // namespace ridepitch
