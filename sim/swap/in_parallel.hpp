#pragma once
// Tasks that do not depend on one another, on all processors.

#include <cstddef>
#include <functional>

namespace ridepitch {

/// Is told how many of all tasks are done; by any thread.
using OnDone = std::function<void(std::size_t done, std::size_t all)>;

/// Calls task(0) to task(count - 1), each once, in any order; what they write must be their own. A few tasks are not
/// worth a thread: there is one more for every sixteen, up to the number of processors.
void in_parallel(std::size_t count, const std::function<void(std::size_t)>& task, const OnDone& on_done = {});

}  // namespace ridepitch
