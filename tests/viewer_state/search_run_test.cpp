// The search beside the window: a thread of its own, that is read while it runs and can be ended. Under ThreadSanitizer
// (./dev tsan) these tests are about the threads, too.

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <thread>

#include "model/change.hpp"
#include "model/read.hpp"
#include "ride/solve.hpp"
#include "rigs/models.hpp"
#include "rigs/texts.hpp"
#include "state/search_run.hpp"

namespace ridepitch::view {
namespace {

using Clock = std::chrono::steady_clock;

constexpr double least_sag_mm = 13, most_sag_mm = 13.6;

SolvedPtr solved(const Model& model) { return solve_changed(model, {}, Detail::full).solved; }

/// The trial arm, whose seat and coil may sit elsewhere. @param step  of their holes, modules
SolvedPtr arm_that_may_vary(const std::string& step) {
  const std::string tune = R"(
[tune]
corner = "rear left"

[[tune.vary]]
hole = "chassis.seat"
u = [4, 6]
v = [6, 7]
step = STEP

[[tune.vary]]
hole = "arm.coil"
u = [4.5, 5.5]
v = [0, 0.5]
step = STEP

[[tune.need]]
quantity = "sag_mm"
least = 13
most = 13.6
)";
  std::string text = trial_arm() + tune;
  for (std::size_t at = text.find("STEP"); at != std::string::npos; at = text.find("STEP")) text.replace(at, 4, step);
  return solved(read_rig(text));
}

double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

/// Looks at a search as the window does, until it is over. @returns false after a minute
bool wait_until_done(SearchRun& run) {
  const Clock::time_point start = Clock::now();
  std::uint64_t most = 0;
  while (!report_of(run).done && seconds_since(start) < 60) {
    const std::uint64_t now = run.looked_at;
    EXPECT_GE(now, most);
    most = now;
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  return report_of(run).done;
}

TEST(SearchRun, of_tune_finds_what_the_general_solver_confirms_and_wakes_the_window) {
  const SolvedPtr base = arm_that_may_vary("0.5");
  ASSERT_TRUE(base);
  std::atomic<int> woken{0};
  const auto run = start_search(base, {}, [&] { ++woken; });
  ASSERT_TRUE(wait_until_done(*run));
  const SearchReport report = report_of(*run);
  EXPECT_GT(woken, 0);
  ASSERT_FALSE(report.rows.empty()) << report.headline;
  for (const SearchRow& row : report.rows) {
    const SolveResult direct = solve(changed(base->model, row.changes));
    ASSERT_TRUE(direct.solution) << row.words;
    // What was asked for: the [[tune.need]] above. 1e-9: what kernel and solver may differ by (tests/tune/agreement_test.cpp).
    const double sag_mm = *direct.solution->corners[0].wheels[0].sag_mm;
    EXPECT_GE(sag_mm, least_sag_mm - 1e-9) << row.words;
    EXPECT_LE(sag_mm, most_sag_mm + 1e-9) << row.words;
  }
}

TEST(SearchRun, that_is_stopped_says_so) {
  const SolvedPtr base = arm_that_may_vary("0.02");  // over six million ways to build it: it would take a while
  ASSERT_TRUE(base);
  const auto run = start_search(base, {}, {});
  run->stop = true;
  ASSERT_TRUE(wait_until_done(*run));
  EXPECT_NE(report_of(*run).headline.find("Ended before it was through."), std::string::npos);
}

TEST(SearchRun, that_is_thrown_away_while_it_runs_ends_at_once_and_wakes_nobody_after) {
  const SolvedPtr base = arm_that_may_vary("0.02");
  ASSERT_TRUE(base);
  std::atomic<bool> gone{false};
  std::atomic<int> too_late{0};
  const Clock::time_point start = Clock::now();
  {
    const auto run = start_search(base, {}, [&] {
      if (gone) ++too_late;
    });
    while (run->looked_at == 0 && !report_of(*run).done && seconds_since(start) < 20)
      std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  gone = true;
  EXPECT_LT(seconds_since(start), 30);
  std::this_thread::sleep_for(std::chrono::milliseconds(50));
  EXPECT_EQ(too_late, 0);
}

TEST(SearchRun, of_rework_goes_on_beside_edits_of_the_document_it_began_with) {
  const ReadModel read = read_model(RIDEPITCH_SOURCE_DIR "/tests/models/gravel-tug-rework.toml");
  ASSERT_TRUE(read.model);
  const SolvedPtr base = solved(*read.model);
  ASSERT_TRUE(base);
  const std::string gone = base->model.linkages[0].springs[0].part;
  ASSERT_FALSE(gone.empty());
  const auto run = start_search(base, {gone}, {});
  // What the window does meanwhile: it solves the same model, changed.
  for (int i = 0; i < 5; ++i) {
    const Hole& hole = base->model.linkages[0].bodies[0].holes.back();
    const int last = static_cast<int>(base->model.linkages[0].bodies[0].holes.size()) - 1;
    const Vec2 aside = hole.p_B + 0.25 * i * base->model.module_mm * Vec2(0, 1);
    solve_changed(base->model, {MoveHole{0, chassis, last, aside}}, Detail::dragging);
  }
  run->stop = true;
  ASSERT_TRUE(wait_until_done(*run));
  EXPECT_FALSE(report_of(*run).headline.empty());
}

}  // namespace
}  // namespace ridepitch::view
