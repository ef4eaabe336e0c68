#include "cli/searched.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "swap/search_words.hpp"

namespace ridepitch {
namespace {

constexpr int families_drawn = 20;  // where the chance of a built one comes first

std::string duration(double seconds) {
  if (seconds < 90) return fmt::format("{:.0f} s", std::ceil(seconds));
  if (seconds < 5400) return fmt::format("{:.0f} min", std::ceil(seconds / 60));
  return fmt::format("{:.1f} h", seconds / 3600);
}

}  // namespace

std::optional<Prefer> read_prefer(const std::string& word) {
  if (word.empty() || word == "changes" || word == prefer_chance) return Prefer::changes;
  if (word == "closeness") return Prefer::closeness;
  if (word == "cost") return Prefer::cost;
  return std::nullopt;
}

SearchResult search_with_progress(const Evaluator& evaluator, const TuneOptions& how, const TimeLimit& limit,
                                  std::function<bool(const SolvedCandidate&)> accept) {
  SearchOptions options;
  options.top = std::max(how.top, how.pick);
  if (how.prefer == prefer_chance) options.top = std::max(options.top, families_drawn);
  options.threads = how.threads;
  options.limit_s = std::max(limit.left_s(), 0.0);
  if (how.depth > 0) options.most_changes = how.depth;
  options.prefer = read_prefer(how.prefer).value_or(Prefer::changes);
  options.stop = Interruptible::interrupted;
  options.accept = std::move(accept);
  Progress progress;
  options.progress = [&progress](const SearchProgress& at) {
    const std::string much = at.of > 0 ? fmt::format("{} of {}", at.done, at.of) : fmt::format("{}", at.done);
    const std::string which = at.changes < 0 ? "a sample" : fmt::format("layouts with {}", changes_counted(at.changes));
    const std::string best = at.hold == 0 ? "none holds yet"
                                          : fmt::format("{} hold{}, from {} on", at.hold, at.hold == 1 ? "s" : "",
                                                        changes_counted(at.fewest_changes));
    progress.show(fmt::format("{}: {}, {} left; {} (Ctrl-C keeps it)", which, much, duration(at.seconds_left), best));
  };
  return search(evaluator, options);
}

}  // namespace ridepitch
