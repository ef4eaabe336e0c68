#pragma once
// A text into a file: whole or not at all, and never over what someone else has written meanwhile.

#include <optional>
#include <string>
#include <vector>

#include "model/problem.hpp"

namespace ridepitch {

/// Writes all of a text to a descriptor, going on after interruptions and partial writes.
///
/// @returns the reason in the system's words if some of it could not be written, else nothing
std::string write_all(int descriptor, const std::string& text);

/// Whether two paths are one file, under whatever names and links. Of files that are not there: no.
bool same_file(const std::string& a, const std::string& b);

/// Whether a plain file stands at a path, links followed. A device or pipe is written to, not replaced.
bool would_replace(const std::string& path);

/// Makes a file, or replaces one by a rename: at every moment its name stands for the whole old text or the whole new one.
///
/// A link is followed and stays one; owner and rights stay. Refused, with the way out: a folder, a link to nothing, a file
/// that its owner made read-only, one with several hard links (a rename would part them), and one whose owner can't be
/// kept. A device or pipe is written to as it is. The text goes first into a file beside it, see leftovers_beside().
///
/// @returns what is wrong if it could not be written; then the old file is as it was
std::optional<Problem> write_file(const std::string& path, const std::string& text);

/// Makes a file as write_file() does, but where any stands already, also if it was made at the last moment, code
/// "exists". Devices and pipes as there.
std::optional<Problem> create_file(const std::string& path, const std::string& text);

/// A text and where it goes.
struct FileToWrite {
  std::string path, text;
};

/// Writes several files as write_file(), or create_file(), does: all texts lie finished beside their places before the first
/// takes its own, so that none is written where one has no room or may not be. If one is refused at that last moment, those
/// made just before are removed; those that were replaced stay.
std::optional<Problem> write_files(const std::vector<FileToWrite>& files, bool replace);

/// Replaces a file as write_file() does if it still says what was read from it, else code "changed-meanwhile". Of two that
/// replace one file at once the second is told: both hold a lock on it from before they compare until after the rename. An
/// editor that takes no lock is noticed up to the rename itself.
///
/// @param was  what was read from the file
std::optional<Problem> replace_file(const std::string& path, const std::string& was, const std::string& text);

/// Unfinished texts of writes to the folder of a path that were killed: files named as this program names them that no
/// write holds any more. They may be removed.
std::vector<std::string> leftovers_beside(const std::string& path);

}  // namespace ridepitch
