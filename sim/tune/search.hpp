#pragma once
// The search: every candidate where time allows, else a sample and the neighbourhoods of its best.

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "tune/evaluate.hpp"

namespace ridepitch {

struct SearchOptions {
  int top = 10;                     ///< groups that are returned
  int threads = 0;                  ///< 0: one for each core
  double limit_s = 600;             ///< longer than that is not searched exhaustively
  std::function<bool()> stop = {};  ///< asked now and then: true ends it with what there is
  /// Called now and then from the calling thread: candidates done, their number (0: not known), seconds left.
  std::function<void(std::uint64_t done, std::uint64_t of, double seconds_left)> progress = {};
  std::uint64_t seed = 1;  ///< of the sample
};

/// What happened to the candidates that were looked at.
struct SearchCounts {
  std::uint64_t looked_at = 0;
  std::uint64_t skipped = 0;  ///< of those: proved hopeless before it was known how they stand
  std::uint64_t assembled = 0;
  std::uint64_t passing = 0;
  std::uint64_t by_general_solver = 0;
  std::uint64_t left = 0;                ///< that only the general solver could tell, and there was no time
  std::vector<std::uint64_t> ruled_out;  ///< [needs] by that need first
  std::uint64_t without_value = 0;       ///< a wanted quantity does not exist
};

/// A candidate as the general solver has it, and those that are hardly different.
struct Found {
  std::uint64_t candidate = 0;
  Changes changes;
  double score = 0;
  int changed = 0;                         ///< holes, rods and springs
  double price = 0;                        ///< not a number without a price list
  std::vector<double> values;              ///< of every figure
  std::uint64_t group = 1;                 ///< candidates within a tenth of every tolerance of it, itself included
  std::vector<Finding> new_findings = {};  ///< problems and warnings that the model as it stands does not have
  bool unbeaten = false;  ///< no other is at least as good in score, changes and price, and better in one
};

struct SearchResult {
  std::uint64_t candidates = 0;
  bool exhaustive = false;
  bool complete = true;  ///< not stopped from outside, nothing left
  SearchCounts counts;
  std::vector<Found>
      found;  ///< best first; after the `top` best the other unbeaten ones; last those with a new problem
  std::uint64_t checked = 0;  ///< of the passing: looked at for what keeps them from being built, best first
  std::map<std::string, std::uint64_t> not_built;  ///< of those: left out, by what is in the way (code of the finding)
  bool stopped = false;                            ///< from outside
  double seconds = 0;
  double per_second = 0;
};

/// Whether it has a problem that the model as it stands does not have: it is not what to build.
bool has_new_problem(const Found& found);

/// The new problem for which it can't be built: parts touch, do not stack, or lack a hole; null: none.
const Finding* cannot_be_built(const Found& found);

/// Whether no candidate was left out: only then is what was not found not there.
bool saw_all(const SearchResult& result);

/// How much an unfinished search saw: "35 of 108 candidates were looked at". A sample can hit one more than once.
std::string looked_at_words(const SearchResult& result);

/// The order is by score, then by fewer changes, then by number; it is the same whatever the threads.
SearchResult search(const Evaluator& evaluator, const SearchOptions& options);

}  // namespace ridepitch
