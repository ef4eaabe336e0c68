#pragma once
// Cells of the tables that the program writes for a spreadsheet.

#include <optional>
#include <string>

namespace ridepitch {

/// A text, in quotes where a comma, quote or line end in it asks for them.
std::string csv_text(const std::string& text);

/// A number that reads back to the same double; empty where there is none or it is not finite.
std::string csv_number(std::optional<double> value);

}  // namespace ridepitch
