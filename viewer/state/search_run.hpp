#pragma once
// `rework` and `tune` beside the window: the library's search in a thread of its own, which can be stopped.

#include <atomic>
#include <cstdint>
#include <functional>
#include <memory>
#include <mutex>
#include <string>
#include <thread>
#include <vector>

#include "state/solved.hpp"

namespace ridepitch::view {

/// One thing that could be done.
struct SearchRow {
  std::string words;    ///< "move the hole 'seat' of the chassis two up; 2 of coil-6-firm in place of ..."
  std::string verdict;  ///< what then happens
  bool holds = false;   ///< rework: stands as before; tune: every need is met
  Changes changes;      ///< against the model that the search began with
};

struct SearchReport {
  bool done = false;
  std::string headline;         ///< the answer in a sentence; why there is none
  std::vector<SearchRow> rows;  ///< the best first
};

/// A search that runs or is done. Destroying it stops it.
struct SearchRun {
  SolvedPtr base;
  std::string gone;  ///< a part that is no longer available: rework; empty: what the model's [tune] asks
  std::atomic<bool> stop{false};
  std::atomic<std::uint64_t> looked_at{0}, of{0};
  std::function<void()> wake;  ///< called from the thread when there is news

  std::mutex mutex;
  SearchReport report;  ///< under the mutex

  std::thread thread;

  ~SearchRun();
};

/// @param base  the model as it stands, solved in full
/// @param gone  as in SearchRun
/// @param wake  called from the search's thread
std::unique_ptr<SearchRun> start_search(SolvedPtr base, std::string gone, std::function<void()> wake);

SearchReport report_of(SearchRun& run);

}  // namespace ridepitch::view
