#pragma once
// How far long work has come, and how long it may take.

#include <chrono>
#include <cstddef>
#include <mutex>
#include <string>

#include "cli/terminal.hpp"

namespace ridepitch {

/// A line on standard error, such as "trying steps: 34 of 93", if that is a terminal and once the work has taken half a second;
/// renewed some times a second, and gone at the end. May be called by several threads.
class Progress {
 public:
  explicit Progress(std::string what = "");
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;

  void operator()(std::size_t done, std::size_t all);  ///< "what: 34 of 93"
  void show(const std::string& line);

 private:
  using Clock = std::chrono::steady_clock;

  std::string what;
  bool on_terminal;
  bool is_shown = false;
  Clock::time_point next;
  std::mutex mutex;
};

/// While it lives, Ctrl-C or the end of the time ends work that asks it. One at a time.
class TimeLimit {
 public:
  /// @param limit  as --limit has it; empty: the usual
  TimeLimit(const std::string& limit, double usual_s);

  bool over() const;      ///< may be asked by several threads
  double left_s() const;  ///< of the time; under 0: none

 private:
  Interruptible interruptible;
  std::chrono::steady_clock::time_point end;
};

}  // namespace ridepitch
