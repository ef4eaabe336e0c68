#pragma once
// Where text goes: standard output and error, and the files that a command may write.

#include <optional>
#include <string>
#include <vector>

#include "cli/page.hpp"
#include "model/model.hpp"
#include "model/write_file.hpp"

namespace ridepitch {

/// Makes descriptors 0 to 2 safe to use, also if the program was started with some of them closed, and turns a reader
/// that went away, or a file larger than the shell allows, into an error instead of a signal.
void prepare_standard_streams();

/// Ink if a descriptor is a terminal that shows it and NO_COLOR is not set (no-color.org).
Ink ink_for(int descriptor);

/// Why a command may not write a file: it reads that file too, under whatever name or link, or there is one and nothing
/// says that it may be replaced. To be asked before the work begins.
///
/// @param inputs  all files that the command reads
std::optional<Problem> refused_output(const std::string& path, const std::vector<std::string>& inputs, bool overwrite);

/// Writes a file that is not refused.
std::optional<Problem> write_output(const std::string& path, const std::string& text,
                                    const std::vector<std::string>& inputs, bool overwrite);

/// Likewise for a model with changes: its own file may be changed in place, no other file of its may be written.
///
/// @param inputs  what the command reads beside the model
std::optional<Problem> refused_edit(const std::string& path, const Model& model, std::vector<std::string> inputs,
                                    bool overwrite);

}  // namespace ridepitch
