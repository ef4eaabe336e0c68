#include "cli/progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include "cli/command_checks.hpp"
#include "model/write_file.hpp"

namespace ridepitch {
namespace {

constexpr std::chrono::milliseconds worth_showing{500}, between_lines{200};

// ECMA-48: to the line's begin, then "Erase in line".
constexpr const char* erased_line = "\r\x1b[K";

}  // namespace

Progress::Progress(std::string words)
    : what(std::move(words)), on_terminal(isatty(STDERR_FILENO) == 1), next(Clock::now() + worth_showing) {}

Progress::~Progress() {
  if (is_shown) write_all(STDERR_FILENO, erased_line);
}

void Progress::operator()(std::size_t done, std::size_t all) { show(fmt::format("{}: {} of {}", what, done, all)); }

void Progress::show(const std::string& line) {
  if (!on_terminal) return;
  const std::lock_guard<std::mutex> lock(mutex);
  if (Clock::now() < next) return;
  next = Clock::now() + between_lines;
  is_shown = true;
  write_all(STDERR_FILENO, erased_line + line);
}

TimeLimit::TimeLimit(const std::string& limit, double usual_s)
    : end(std::chrono::steady_clock::now() +
          std::chrono::duration_cast<std::chrono::steady_clock::duration>(
              std::chrono::duration<double>(limit.empty() ? usual_s : seconds_of(limit).value_or(usual_s)))) {}

bool TimeLimit::over() const { return Interruptible::interrupted() || left_s() < 0; }

double TimeLimit::left_s() const {
  return std::chrono::duration<double>(end - std::chrono::steady_clock::now()).count();
}

}  // namespace ridepitch
