#pragma once
// Work on all processors.

#include <cstddef>
#include <functional>

namespace ridepitch {

/// One for each processor.
int most_threads();

/// Calls work(0) to work(threads - 1), each on a thread of its own, and returns when all are done.
/// @param watch  called on this thread now and then meanwhile; none: this thread does one share of the work
void run_workers(int threads, const std::function<void(int)>& work, const std::function<void()>& watch = {});

/// Is told how many of all tasks are done; by any thread.
using OnDone = std::function<void(std::size_t done, std::size_t all)>;

/// Whether to end with what there is; asked by any thread.
using ShallEnd = std::function<bool()>;

/// Calls task(0) to task(count - 1), each once, in any order; what they write must be their own. A few tasks are not
/// worth a thread: there is one more for every sixteen, up to the number of processors.
/// @param shall_end  asked before each task: true leaves those out that have not begun; none: never
/// @returns whether all were called
bool in_parallel(std::size_t count, const std::function<void(std::size_t)>& task, const OnDone& on_done = {},
                 const ShallEnd& shall_end = {});

}  // namespace ridepitch
