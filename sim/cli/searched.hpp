#pragma once
// What the searching commands find, for reading and as JSON; and a search as the command line runs it: with progress on a
// terminal, ended by Ctrl-C.

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cli/json_text.hpp"
#include "cli/options.hpp"
#include "cli/page.hpp"
#include "cli/progress.hpp"
#include "swap/rework.hpp"

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

/// Runs the search in the time that is left, with the command line's threads.
/// @param accept  of the search's options
SearchResult search_with_progress(const Evaluator& evaluator, const TuneOptions& how, const TimeLimit& limit,
                                  std::function<bool(const SolvedCandidate&)> accept = {});

/// The word of `--prefer` that is judged after the search, on what it found first.
inline constexpr const char* prefer_chance = "chance";

/// A word of `--prefer`; empty: changes. None: it is none.
std::optional<Prefer> read_prefer(const std::string& word);

/// { candidates, assembled, passing, exhaustive, ..., results: [ { score, changes, quantities } ] }
std::string tune_json(const Tuned& tuned);

/// The answer in a sentence, the results as a table, what each of them changes, and how it was searched.
std::string tune_text(const Tuned& tuned, const TuneOptions& how, const TextStyle& style);

/// The results of a search as a table: how much was changed, price, how far off every wanted quantity is; then what.
std::string results_text(const Model& model, const Aims& aims, const std::vector<Found>& found, const TextStyle& style);

/// How a search went, in some sentences.
std::string search_text(const Aims& aims, const SearchResult& result, bool by_kernel, const std::string& by);

/// Everything that `rework` found.
struct Reworked {
  Solved before;
  std::vector<std::string> gone;
  Keep keep;
  std::vector<StandIn> alone;    ///< best first
  HoleSearch holes;              ///< springs, holes and rods together
  std::optional<Solved> picked;  ///< the one to build, solved
  Changes picked_changes;
  std::string written;

  /// Layouts that hold: what can be picked. Where nothing was searched, the stand-ins that do.
  std::vector<const Changes*> choices() const;
};

std::string rework_text(const Reworked& reworked, const TextStyle& style);

std::string rework_json(const Reworked& reworked);

}  // namespace ridepitch
