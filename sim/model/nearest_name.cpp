#include "model/nearest_name.hpp"

#include <algorithm>

namespace ridepitch {
namespace {

// Names longer than this are nobody's slip of the pen, and would take long to compare.
constexpr std::size_t longest_compared = 64;
constexpr std::size_t most_compared = 1000;

std::string lower_case(std::string_view text) {
  std::string result(text);
  for (char& c : result) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return result;
}

/// A unit left out, or added: "free" for "free_mm".
bool differ_by_an_ending(std::string_view a, std::string_view b) {
  constexpr std::size_t least_in_common = 3;
  const std::size_t common = std::min(a.size(), b.size());
  return common >= least_in_common && a.substr(0, common) == b.substr(0, common);
}

int most_slips(std::size_t length) { return length <= 3 ? 1 : length <= 6 ? 2 : 3; }

}  // namespace

int slips_between(std::string_view a, std::string_view b) {
  // Row i of the table of distances between the first i letters of a and the first j of b, and the two rows before.
  std::vector<int> before(b.size() + 1), last(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    before.swap(last);
    last.swap(row);
    row[0] = static_cast<int>(i);
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const int changed = last[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({changed, last[j] + 1, row[j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) row[j] = std::min(row[j], before[j - 2] + 1);
    }
  }
  return row[b.size()];
}

std::string nearest_name(std::string_view name, const std::vector<std::string>& known) {
  if (name.size() > longest_compared) return "";
  const std::string wanted = lower_case(name);
  std::string best;
  int fewest = most_slips(name.size()) + 1;
  for (std::size_t i = 0; i < std::min(known.size(), most_compared); ++i) {
    const std::string& candidate = known[i];
    const std::size_t longer = std::max(candidate.size(), name.size()),
                      shorter = std::min(candidate.size(), name.size());
    if (longer > longest_compared || longer - shorter >= static_cast<std::size_t>(fewest)) continue;
    const int slips = slips_between(wanted, lower_case(candidate));
    // All letters changed is not a slip: "u" is not "v".
    if (slips < fewest && slips < static_cast<int>(longer)) {
      fewest = slips;
      best = candidate;
    }
  }
  if (!best.empty()) return best;
  const auto longer = std::find_if(known.begin(), known.end(),
                                   [&](const std::string& k) { return differ_by_an_ending(wanted, lower_case(k)); });
  return longer == known.end() ? "" : *longer;
}

}  // namespace ridepitch
