#include "cli/searched.hpp"

#include <fmt/format.h>
#include <signal.h>
#include <unistd.h>

#include <atomic>
#include <cmath>

#include "cli/command_line.hpp"
#include "cli/output.hpp"

namespace ridepitch {
namespace {

std::atomic<bool> told_to_stop{false};

extern "C" void stop_searching(int) { told_to_stop = true; }

/// While it lives, Ctrl-C ends the search; a second one ends the program.
struct StopsOnInterrupt {
  struct sigaction before {};

  StopsOnInterrupt() {
    told_to_stop = false;
    struct sigaction mine {};
    mine.sa_handler = stop_searching;
    mine.sa_flags = static_cast<int>(SA_RESETHAND);
    sigaction(SIGINT, &mine, &before);
  }
  ~StopsOnInterrupt() { sigaction(SIGINT, &before, nullptr); }
  StopsOnInterrupt(const StopsOnInterrupt&) = delete;
  StopsOnInterrupt& operator=(const StopsOnInterrupt&) = delete;
};

std::string duration(double seconds) {
  if (seconds < 90) return fmt::format("{:.0f} s", std::ceil(seconds));
  if (seconds < 5400) return fmt::format("{:.0f} min", std::ceil(seconds / 60));
  return fmt::format("{:.1f} h", seconds / 3600);
}

}  // namespace

SearchResult search_with_progress(const Evaluator& evaluator, const TuneOptions& how, double limit_s) {
  SearchOptions options;
  options.top = std::max(how.top, how.pick);
  options.threads = how.threads;
  options.limit_s = how.limit.empty() ? limit_s : seconds_of(how.limit).value_or(limit_s);
  options.stop = [] { return told_to_stop.load(); };
  const StopsOnInterrupt stops;
  const bool on_terminal = isatty(STDERR_FILENO) != 0;
  bool shown = false;
  if (on_terminal) {
    options.progress = [&shown](std::uint64_t done, std::uint64_t of, double left) {
      const std::string much = of > 0 ? fmt::format("{} of {}", done, of) : fmt::format("{}", done);
      write_all(STDERR_FILENO,
                fmt::format("\r\033[K{} looked at, {} left (Ctrl-C: the best so far)", much, duration(left)));
      shown = true;
    };
  }
  SearchResult result = search(evaluator, options);
  if (shown) write_all(STDERR_FILENO, "\r\033[K");
  return result;
}

}  // namespace ridepitch
