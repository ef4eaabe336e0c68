#pragma once
// A spring or a rod can no longer be had: what can stand in for it, alone or with other holes and rods.

#include <functional>
#include <string>
#include <vector>

#include "model/change.hpp"
#include "model/tune.hpp"
#include "swap/chance.hpp"
#include "swap/compare.hpp"
#include "tune/in_parallel.hpp"
#include "tune/search.hpp"

namespace ridepitch {

/// A spring that uses the part that is gone.
struct GoneSpring {
  int linkage = 0, spring = 0;
};

std::vector<GoneSpring> springs_of_part(const Model& model, const std::vector<std::string>& parts);

/// Another spring, tyre or part of a body in place of the one that is gone, nothing else changed.
struct StandIn {
  std::string part;
  int count = 1;
  Changes changes;
  bool tried = false;   ///< false: it was stopped before
  bool stands = false;  ///< the changed model has a solution
  std::string why_not;  ///< where it has none
  Comparison comparison;
  double price_more = 0;  ///< than before; not a number where the list does not have a part
};

/// Every catalogue spring of the same kind that is not gone, 1 to 3 of it (of a tyre every tyre, of a body's part every part that
/// says where its holes are), the best first: those that hold, then by how
/// far the worst number is off; last those that were not tried, if it was stopped.
std::vector<StandIn> stand_ins(const Model& model, const Solution& solution, const std::vector<std::string>& gone,
                               const Keep& keep, const OnDone& on_done = {}, const ShallEnd& shall_end = {});

/// What is searched: in place of each spring that is gone every one of the catalogue that is not, 1 to 3 of it; its ends, and of
/// the lever that it works the pivot and the rods' holes, within two modules or, of a body made of parts, those parts' holes; the
/// rods of that lever, of the catalogue and within two modules. Of a rod that is gone likewise: every other length, and its levers.
/// Bodies that carry a wheel stay as they are. Needs and wants are what `keep` allows. Nothing varies where no spring is left.
Tune rework_tune(const Model& model, const Solution& solution, const std::vector<std::string>& gone, const Keep& keep);

/// A layout that the search found, compared with the model before.
struct Layout {
  Found found;
  Comparison comparison;
  std::optional<Chance> chance = {};  ///< that a built one keeps what is kept; none: it was not asked for
};

/// A search of the springs that can be had and the holes about them.
struct HoleSearch {
  bool searched = false;  ///< false: nothing could be varied
  Tune tune;              ///< then
  Space space;
  Aims aims;
  bool by_kernel = false;  ///< the closed form looked at the candidates
  std::string by;          ///< a kernel's name, or why the general solver did
  SearchResult result;
  std::vector<Layout> layouts;  ///< what it found, in its order
};

/// The search, with its caller's limit and progress. @param accept  goes into its options
using RunSearch = std::function<SearchResult(const Evaluator&, std::function<bool(const SolvedCandidate&)> accept)>;

/// Searches what `rework_tune` makes of it. What it finds was compared with the model before, and holds; but where nothing
/// does, and the nearest misses are told.
/// @param with_chance  vehicles are drawn for each
HoleSearch search_holes(const Model& model, const Solution& solution, const std::vector<std::string>& gone,
                        const Keep& keep, const RunSearch& run, bool with_chance = false);

/// Those with the greatest chance first; what differs by less than a percent is alike, and stays in its order.
void sort_by_chance(std::vector<Layout>& layouts);

/// The parts that springs of the model are, each once, in file order.
std::vector<std::string> used_spring_parts(const Model& model);

/// Those, and the parts that rods of linkages which carry are: what a search of holes replaces.
std::vector<std::string> searched_parts(const Model& model);

/// Those, tyres, and parts that bodies are made of: what can be gone. The latter are replaced one for one.
std::vector<std::string> replaceable_parts(const Model& model);

/// What the price list calls gone of the ones that are searched, else of all.
std::vector<std::string> gone_by_list(const Model& model);

}  // namespace ridepitch
