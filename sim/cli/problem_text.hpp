#pragma once
// Problems as a builder reads them on a terminal.

#include <string>
#include <string_view>

#include "cli/page.hpp"
#include "model/problem.hpp"
#include "model/problem_lines.hpp"

namespace ridepitch {

/// "hauler.toml:21:1: error: what is wrong", the line with a mark under the place, "   fix: what to do".
///
///     hauler.toml:21:1: error: there is no hole 'rokcer' in body 'chassis'
///        21 | join = ["chassis.rokcer", "rocker.root"]
///           |         ^^^^^^^^^^^^^^^^
///        fix: did you mean 'rocker'?
///
/// What has no line shows none; what has no file says "ridepitch: error: ...". A very long line is cut around the
/// place.
///
/// @param kind  "error" or "note"
std::string problem_text(const Problem& problem, std::string_view kind, const Ink& ink);

}  // namespace ridepitch
