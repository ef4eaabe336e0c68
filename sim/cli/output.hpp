#pragma once
// Where text goes: standard output and error. Files: model/write_file.hpp.

#include "cli/page.hpp"
#include "model/write_file.hpp"

namespace ridepitch {

/// Makes descriptors 0 to 2 safe to use, also if the program was started with some of them closed, and turns a reader
/// that went away into an error instead of a signal.
void prepare_standard_streams();

/// Ink if a descriptor is a terminal that shows it and NO_COLOR is not set (no-color.org).
Ink ink_for(int descriptor);

}  // namespace ridepitch
