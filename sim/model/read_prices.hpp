#pragma once
// A price list: CSV with the columns part, price, stock.

#include <map>
#include <string>

#include "model/parts.hpp"
#include "model/reading.hpp"

namespace ridepitch {

/// Reads reading.sources[file]: a header line, then a part a line. Fields may stand in double quotes
/// (RFC 4180, without line breaks in them); blank lines and a byte order mark are passed over.
std::map<std::string, Price, std::less<>> read_prices(Reading& reading, int file);

}  // namespace ridepitch
