#include "swap/search_words.hpp"

#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "swap/grouped.hpp"
#include "words/listed.hpp"
#include "words/number.hpp"

namespace ridepitch {

std::string changes_counted(int changes) { return fmt::format("{} change{}", changes, changes == 1 ? "" : "s"); }

std::string depth_words(const SearchResult& r) {
  const std::string hold = fmt::format("{} hold{}", count_text(r.counts.hold), r.counts.hold == 1 ? "s" : "");
  if (saw_all(r)) return fmt::format("all {} layouts were looked at: {}", count_text(r.candidates), hold);
  std::uint64_t candidates = 0;
  for (const Depth& depth : r.depths) candidates += depth.candidates;
  if (r.counts.looked_at > candidates)
    return fmt::format(
        "of {} layouts {} were looked at, {}a sample and the neighbourhoods of its best: {}", count_text(r.candidates),
        count_text(r.counts.looked_at),
        r.depths.empty() ? "" : fmt::format("all with up to {}, and ", changes_counted(complete_changes(r))), hold);
  if (r.depths.empty())
    return fmt::format("there was no time to look at all {} layouts with the fewest changes", count_text(r.candidates));
  return fmt::format("all {} layouts with up to {} were looked at: {}", count_text(candidates),
                     changes_counted(complete_changes(r)), hold);
}

std::string checked_words(const SearchResult& r) {
  if (r.checked == 0) return "";
  std::vector<std::string> kinds;
  std::uint64_t out = r.not_accepted;
  for (const auto& [code, candidates] : r.not_built) {
    kinds.push_back(fmt::format("{} {}", code, count_text(candidates)));
    out += candidates;
  }
  if (r.not_accepted > 0) kinds.push_back(fmt::format("not the same after all {}", count_text(r.not_accepted)));
  return fmt::format("{} were solved in full, to see what is against them: {}", count_text(r.checked),
                     out == 0 ? "no new problem" : fmt::format("{} ruled out ({})", count_text(out), listed(kinds)));
}

std::string misses_words(const Model& model, const Aims& aims, const Found& found) {
  constexpr std::size_t most = 3;
  std::vector<std::string> words;
  for (const Miss& miss : found.misses) {
    if (words.size() == most) {
      words.push_back(fmt::format("{} more", found.misses.size() - most));
      break;
    }
    const Figure& figure = at(aims.figures, miss.figure);
    const Quantity& what = *figure.what;
    const char* than = miss.need >= 0 ? (miss.by < 0 ? "short" : "too much") : (miss.by < 0 ? "too low" : "too high");
    std::string name(what.words);
    if (const std::string place = figure_place(model, figure); !place.empty()) name = place + " " + name;
    words.push_back(fmt::format("{} {}{} {}", name, number(what, std::abs(miss.by)),
                                what.unit.empty() ? "" : " " + std::string(what.unit), than));
  }
  return listed(words);
}

std::string new_findings_words(const std::vector<Finding>& findings) {
  std::vector<GroupedRow> kinds;
  for (const Finding& each : findings)
    add_to(kinds, {fmt::format("{}: {}", each.level == Level::problem ? "problem" : "warning", each.code)}, each.where);
  std::vector<std::string> words;
  for (GroupedRow& kind : kinds) {
    std::erase(kind.where, "");
    words.push_back("new " + kind.cells[0] + (kind.where.empty() ? "" : " (" + listed(kind.where) + ")"));
  }
  return listed(words);
}

}  // namespace ridepitch
