#include "swap/in_parallel.hpp"

#include <algorithm>
#include <atomic>
#include <thread>
#include <vector>

namespace ridepitch {

void in_parallel(std::size_t count, const std::function<void(std::size_t)>& task, const OnDone& on_done) {
  constexpr std::size_t tasks_for_a_thread = 16;
  std::atomic<std::size_t> next = 0, done = 0;
  const auto work = [&] {
    for (std::size_t i = next++; i < count; i = next++) {
      task(i);
      const std::size_t so_far = ++done;
      if (on_done) on_done(so_far, count);
    }
  };
  const std::size_t most = std::max(std::thread::hardware_concurrency(), 1u);
  const std::size_t threads = std::min(most, 1 + count / tasks_for_a_thread);
  std::vector<std::thread> others;
  for (std::size_t i = 1; i < threads; ++i) others.emplace_back(work);
  work();
  for (std::thread& each : others) each.join();
}

}  // namespace ridepitch
