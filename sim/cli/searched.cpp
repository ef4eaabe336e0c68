#include "cli/searched.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace ridepitch {
namespace {

std::string duration(double seconds) {
  if (seconds < 90) return fmt::format("{:.0f} s", std::ceil(seconds));
  if (seconds < 5400) return fmt::format("{:.0f} min", std::ceil(seconds / 60));
  return fmt::format("{:.1f} h", seconds / 3600);
}

}  // namespace

SearchResult search_with_progress(const Evaluator& evaluator, const TuneOptions& how, const TimeLimit& limit) {
  SearchOptions options;
  options.top = std::max(how.top, how.pick);
  options.threads = how.threads;
  options.limit_s = std::max(limit.left_s(), 0.0);
  options.stop = Interruptible::interrupted;
  Progress progress;
  options.progress = [&progress](std::uint64_t done, std::uint64_t of, double left) {
    const std::string much = of > 0 ? fmt::format("{} of {}", done, of) : fmt::format("{}", done);
    progress.show(fmt::format("{} looked at, {} left (Ctrl-C: the best so far)", much, duration(left)));
  };
  return search(evaluator, options);
}

}  // namespace ridepitch
