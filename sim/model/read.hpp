#pragma once
// From text to Model: the whole of format 1, checked completely.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/model.hpp"

namespace ridepitch {

struct ReadModel {
  std::optional<Model> model;     ///< none if there is any problem
  std::vector<Problem> problems;  ///< in line order, at most 50; a TOML syntax error stands alone
  std::vector<Problem> notes;     ///< well-formed but worth a word: an unused linkage
};

/// Reads a model file with the catalogues and prices that it names (looked up beside it).
///
/// Never throws on bad input: a missing file, a folder, text that is not UTF-8, over 4 MB of it,
/// a catalogue that includes itself, are all problems with a place.
ReadModel read_model(const std::string& path);

/// The same from text in memory; `path` names it in messages and tells where its catalogues lie.
ReadModel read_model_text(std::string_view text, const std::string& path);

struct ReadPriceList {
  std::map<std::string, Price, std::less<>> prices;
  std::vector<Problem> problems;  ///< then there are no prices
};

/// A price list by itself: CSV with the columns part, price, stock.
ReadPriceList read_price_list(const std::string& path);

/// The catalogue that comes with the program (shared/parts, compiled in).
const Catalogue& built_in_parts();

}  // namespace ridepitch
