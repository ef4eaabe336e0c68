// How long a builder waits: the four-wheel demo from file to answer, and its parts.
//
// The parts do not add up to the process: starting a program, linking it and printing cost too. Times of a shared
// machine swing by a quarter; compare figures of one run only. Debian's benchmark library warns that it was built
// as debug; its own overhead (under 1 us) does not matter here.

#include <benchmark/benchmark.h>
#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include "model/read.hpp"
#include "ride/scatter.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

const char* const demo = RIDEPITCH_SOURCE_DIR "/models/quarry-hauler.toml";

/// Runs `ridepitch solve` on the demo, output thrown away; returns whether it ended well.
bool run_program() {
  const char* const arguments[] = {RIDEPITCH_PROGRAM, "solve", demo, nullptr};
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
  pid_t child = 0;
  int state = -1;
  const bool started =
      posix_spawn(&child, RIDEPITCH_PROGRAM, &actions, nullptr, const_cast<char* const*>(arguments), environ) == 0;
  posix_spawn_file_actions_destroy(&actions);
  return started && waitpid(child, &state, 0) == child && WIFEXITED(state) && WEXITSTATUS(state) == 0;
}

void BM_program_solve(benchmark::State& state) {
  for ([[maybe_unused]] auto _ : state) {
    if (!run_program()) return state.SkipWithError("ridepitch solve failed");
  }
}
BENCHMARK(BM_program_solve)->Unit(benchmark::kMillisecond)->UseRealTime();

void BM_read_model(benchmark::State& state) {
  for ([[maybe_unused]] auto _ : state) {
    auto read = read_model(demo);
    if (!read.model) return state.SkipWithError("the demo model is not read");
    benchmark::DoNotOptimize(read);
  }
}
BENCHMARK(BM_read_model)->Unit(benchmark::kMillisecond);

/// What built ones come to: all the vehicles that `solve --spread` draws, on one core.
void BM_drawn_vehicles(benchmark::State& state) {
  const auto read = read_model(demo);
  if (!read.model) return state.SkipWithError("the demo model is not read");
  const auto result = solve(*read.model);
  if (!result.solution) return state.SkipWithError("the demo model is not solved");
  for ([[maybe_unused]] auto _ : state)
    benchmark::DoNotOptimize(sample_vehicles(*read.model, *result.solution, drawn_vehicles));
}
BENCHMARK(BM_drawn_vehicles)->Unit(benchmark::kMillisecond);

/// One in sixteen of them by the general solver: what the same would cost.
void BM_drawn_in_general(benchmark::State& state) {
  const auto read = read_model(demo);
  if (!read.model) return state.SkipWithError("the demo model is not read");
  const auto result = solve(*read.model);
  if (!result.solution) return state.SkipWithError("the demo model is not solved");
  for ([[maybe_unused]] auto _ : state)
    benchmark::DoNotOptimize(sample_in_general(*read.model, *result.solution, drawn_vehicles / 16));
}
BENCHMARK(BM_drawn_in_general)->Unit(benchmark::kMillisecond);

/// The whole vehicle again: assembly, curves of every corner, rest, modes, findings.
void BM_solve(benchmark::State& state) {
  const auto read = read_model(demo);
  if (!read.model) return state.SkipWithError("the demo model is not read");
  const SolveOptions options{.curve_points = static_cast<int>(state.range(0)), .other_stances = state.range(1) != 0};
  for ([[maybe_unused]] auto _ : state) {
    auto result = solve(*read.model, options);
    if (!result.solution) return state.SkipWithError("the demo model is not solved");
    benchmark::DoNotOptimize(result);
  }
}
BENCHMARK(BM_solve)
    ->ArgNames({"curve_points", "other_stances"})
    ->Args({200, 0})
    ->Args({200, 1})
    ->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace ridepitch
