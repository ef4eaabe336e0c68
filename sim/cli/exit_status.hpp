#pragma once
// What the shell is told when the program ends.

#include <vector>

#include "model/problem.hpp"

namespace ridepitch {

inline constexpr int exit_done = 0;
inline constexpr int exit_verdict_fails = 1;  ///< a verdict was asked for and does not hold
inline constexpr int exit_text_at_fault =
    2;                                      ///< usage, syntax, keys, names, numbers; or something could not be written
inline constexpr int exit_no_solution = 3;  ///< the text is right, but its parts do not go together or do not stand

inline constexpr int exit_interrupted = 130;  ///< Ctrl-C at a question: as shells have it, 128 and the signal's number

/// The status that a list of problems asks for: a text at fault counts before a missing solution, that before a verdict.
int exit_status(const std::vector<Problem>& problems);

}  // namespace ridepitch
