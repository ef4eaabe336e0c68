#pragma once
// What `tune` found, for reading.

#include <string>

#include "cli/page.hpp"
#include "cli/searched.hpp"

namespace ridepitch {

/// The answer in a sentence, the results as a table, what each of them changes, and how it was searched.
std::string tune_text(const Tuned& tuned, const TuneOptions& how, const TextStyle& style);

/// The results of a search as a table: score, what was changed, price, and how far off every wanted quantity is.
std::string results_text(const Model& model, const Aims& aims, const std::vector<Found>& found, const TextStyle& style);

/// How a search went, in some sentences.
std::string search_text(const Aims& aims, const SearchResult& result, bool by_kernel, const std::string& by);

}  // namespace ridepitch
