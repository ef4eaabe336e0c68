#pragma once
// A search as the command line runs it: with progress on a terminal, ended by Ctrl-C.

#include <optional>
#include <string>
#include <vector>

#include "cli/json_text.hpp"
#include "cli/options.hpp"
#include "model/tune.hpp"
#include "tune/search.hpp"

namespace ridepitch {

/// What `tune` found, with all that is printed of it.
struct Tuned {
  Solved before;
  std::optional<Solved> like;
  Space space;
  Aims aims;
  SearchResult result;
  std::string by;  ///< what looked at the candidates: a kernel's name, or why the general solver did
  bool by_kernel = false;
  std::string written;  ///< the file that a result went to; empty: none
};

/// Runs the search with the command line's limit and threads.
SearchResult search_with_progress(const Evaluator& evaluator, const TuneOptions& how, double limit_s);

}  // namespace ridepitch
