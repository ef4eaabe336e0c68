#pragma once
// The sheet of the open model, as a PDF.

#include <string>
#include <vector>

#include "state/document.hpp"

namespace ridepitch::view {

/// Writes the sheet of what is shown, against the state before where that is another one: what to change from there.
/// @param date  ISO 8601, "2026-11-28"
/// @returns what is wrong; empty: it is written
std::vector<Problem> save_sheet(const Document& document, const std::string& path, const std::string& date);

}  // namespace ridepitch::view
