#pragma once
// The search: all candidates with one change, then with two, and so on, as far as the time goes.
//
// Where the aims settle how the vehicle stands, the linkages are searched one by one (tune/linkage_layouts) and what is left of
// each is joined in the order of the total. Else the kernels look at every candidate with so many changes, and where that is too
// much, at a sample and the neighbourhoods of its best.

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <vector>

#include "tune/evaluate.hpp"

namespace ridepitch {

/// What comes first among those that hold, none of which brings a new finding.
enum class Prefer : std::uint8_t { changes, closeness, cost };

struct SearchProgress {
  int changes = 0;                 ///< of the candidates that are being looked at; -1: a sample
  std::uint64_t done = 0, of = 0;  ///< `of`: 0: not known
  double seconds_left = 0;
  std::uint64_t hold = 0;  ///< so far
  int fewest_changes = 0;  ///< of those
};

struct SearchOptions {
  int top = 5;                 ///< families that are returned
  int threads = 0;             ///< 0: one for each core
  double limit_s = 600;        ///< depths that would take longer are left out
  int most_changes = 1000000;  ///< depths beyond it are left out
  Prefer prefer = Prefer::changes;
  std::function<bool()> stop = {};  ///< asked now and then: true ends it with the depths that are complete
  /// Called now and then from the calling thread.
  std::function<void(const SearchProgress&)> progress = {};
  /// Whether a candidate that holds by the numbers holds for whoever asks; by any thread. None: it does.
  std::function<bool(const SolvedCandidate&)> accept = {};
  std::uint64_t seed = 1;  ///< of the sample
};

/// What happened to the candidates that were looked at.
struct SearchCounts {
  std::uint64_t looked_at = 0;
  std::uint64_t skipped = 0;  ///< of those: proved not to hold before it was known how they stand
  std::uint64_t assembled = 0;
  std::uint64_t passing = 0;  ///< that meet what is needed
  std::uint64_t hold = 0;     ///< and have everything that is wanted within its tolerance
  std::uint64_t by_general_solver = 0;
  std::uint64_t left = 0;                ///< that only the general solver could tell, and there was no time
  std::vector<std::uint64_t> ruled_out;  ///< [needs] by that need first
  std::uint64_t without_value = 0;       ///< a wanted quantity does not exist
  std::uint64_t tested = 0;              ///< one by one, where the linkages were searched
};

/// All candidates with so many changes were looked at.
struct Depth {
  int changes = 0;
  std::uint64_t candidates = 0, hold = 0;
};

/// What a candidate lacks of an aim.
struct Miss {
  int want = -1, need = -1;  ///< of the aims; one of them is -1
  int figure = 0;            ///< of the aims: the one that is farthest off
  double by = 0;             ///< with its sign, in the quantity's unit: beyond the tolerance or the bound
};

/// A candidate as the general solver has it; it stands for those that change the same things.
struct Found {
  std::uint64_t candidate = 0;
  Changes changes;
  double score = 0;
  int changed = 0;                         ///< holes, rods and springs
  double price = 0;                        ///< not a number without a price list
  std::vector<double> values;              ///< of every figure
  std::uint64_t group = 1;                 ///< that change the same things and hold, itself included
  std::vector<Miss> misses = {};           ///< empty: it holds
  std::vector<Finding> new_findings = {};  ///< warnings that the model as it stands does not have
  bool unbeaten = false;  ///< none of the others is at least as good in score, changes and price, and better in one
};

struct SearchResult {
  std::uint64_t candidates = 0;
  bool exhaustive = false;        ///< all candidates were looked at
  bool as_deep_as_asked = false;  ///< or all with as many changes as the options allow
  bool complete = true;           ///< not stopped from outside, nothing left
  SearchCounts counts;
  std::vector<Depth> depths;  ///< that are complete, fewest changes first
  std::string why_sampled;    ///< why the linkages could not be searched one by one; empty: they were
  double widened =
      1;  ///< how many times the tolerances were widened until something was found: what is found misses them
  std::vector<Found> found;        ///< one of each family: those without a new finding first, then as preferred
  std::uint64_t checked = 0;       ///< of those that hold: solved in full, to see what keeps them from being built
  std::uint64_t not_accepted = 0;  ///< of those
  std::map<std::string, std::uint64_t>
      not_built;         ///< of those: left out, by what is against them (code of the finding)
  bool stopped = false;  ///< from outside
  double seconds = 0;
  double per_second = 0;
};

/// The new problem for which it is not what to build, of several one that keeps it from being built at all; null: none.
const Finding* new_problem(const std::vector<Finding>& new_findings);

/// Whether no candidate was left out: only then is what was not found not there.
bool saw_all(const SearchResult& result);

/// The greatest number of changes of which all candidates were looked at; -1: none.
int complete_changes(const SearchResult& result);

/// For the same depths complete the result is the same, whatever the threads and the time. Where all are complete and nothing
/// holds, what misses least is looked for within wider tolerances.
SearchResult search(const Evaluator& evaluator, const SearchOptions& options);

}  // namespace ridepitch
