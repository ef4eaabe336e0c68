#pragma once
// A spring can no longer be had: what can stand in for it, alone or with other holes and rods.

#include <functional>
#include <string>
#include <vector>

#include "model/change.hpp"
#include "model/tune.hpp"
#include "swap/compare.hpp"
#include "tune/in_parallel.hpp"
#include "tune/search.hpp"

namespace ridepitch {

/// A spring that uses the part that is gone.
struct GoneSpring {
  int linkage = 0, spring = 0;
};

std::vector<GoneSpring> springs_of_part(const Model& model, const std::vector<std::string>& parts);

/// Another spring in place of the one that is gone, nothing else changed.
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

/// Every catalogue spring of the same kind that is not gone, 1 to 3 of it, the best first: those that hold, then by how
/// far the worst number is off; last those that were not tried, if it was stopped.
std::vector<StandIn> stand_ins(const Model& model, const Solution& solution, const std::vector<std::string>& gone,
                               const Keep& keep, const OnDone& on_done = {}, const ShallEnd& shall_end = {});

/// What is searched where no stand-in holds: the likeliest springs, their fixed end and the holes of the body that they work
/// within two modules, the lengths of that body's rods. Needs and wants are what `keep` allows.
Tune rework_tune(const Model& model, const Solution& solution, const std::vector<StandIn>& alone,
                 const std::vector<std::string>& gone, const Keep& keep);

/// A layout that the search found, compared like a stand-in.
struct Layout {
  Found found;
  Comparison comparison;
};

/// The search's results compared with the model before: those that hold first, in the order of the search.
std::vector<Layout> compare_layouts(const Model& model, const Solution& solution, const std::vector<Found>& found,
                                    const Keep& keep);

/// A search of the holes about the springs that are gone.
struct HoleSearch {
  bool searched = false;  ///< false: nothing could be varied
  Tune tune;              ///< then
  Space space;
  Aims aims;
  bool by_kernel = false;  ///< the closed form looked at the candidates
  std::string by;          ///< a kernel's name, or why the general solver did
  SearchResult result;
  std::vector<Layout> layouts;  ///< those that hold first
};

/// Searches what `rework_tune` makes of it, and compares what is found with the model before.
/// @param run  the search, with its caller's limit and progress
HoleSearch search_holes(const Model& model, const Solution& solution, const std::vector<StandIn>& alone,
                        const std::vector<std::string>& gone, const Keep& keep,
                        const std::function<SearchResult(const Evaluator&)>& run);

/// The parts that springs of the model are, each once, in file order.
std::vector<std::string> used_spring_parts(const Model& model);

}  // namespace ridepitch
