#include "tune/in_parallel.hpp"

#include <algorithm>
#include <atomic>
#include <chrono>
#include <thread>
#include <vector>

namespace ridepitch {

int most_threads() { return static_cast<int>(std::max(std::thread::hardware_concurrency(), 1u)); }

void run_workers(int threads, const std::function<void(int)>& work, const std::function<void()>& watch) {
  std::atomic<int> working{threads};
  const auto share = [&](int i) {
    work(i);
    --working;
  };
  std::vector<std::thread> others;
  for (int i = watch ? 0 : 1; i < threads; ++i) others.emplace_back(share, i);
  if (!watch) work(0);
  // Short work is not held up by long pauses.
  for (int pause = 0; watch && working > 0; ++pause) {
    std::this_thread::sleep_for(std::chrono::milliseconds(pause < 40 ? 1 : 20));
    watch();
  }
  for (std::thread& each : others) each.join();
}

bool in_parallel(std::size_t count, const std::function<void(std::size_t)>& task, const OnDone& on_done,
                 const ShallEnd& shall_end) {
  constexpr std::size_t tasks_for_a_thread = 16;
  std::atomic<std::size_t> next = 0, done = 0;
  const auto work = [&](int) {
    while (!shall_end || !shall_end()) {
      const std::size_t i = next++;
      if (i >= count) break;
      task(i);
      const std::size_t so_far = ++done;
      if (on_done) on_done(so_far, count);
    }
  };
  run_workers(std::min(most_threads(), static_cast<int>(1 + count / tasks_for_a_thread)), work);
  return done == count;
}

}  // namespace ridepitch
