// The same bits, whatever the instruction set, a candidate's place in its batch, its neighbours, and the threads.

#include <algorithm>
#include <bit>
#include <cstdint>
#include <numeric>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "rigs/models.hpp"
#include "rigs/scale.hpp"
#include "tune/candidates.hpp"
#include "tune/search.hpp"

namespace ridepitch {
namespace {

std::uint64_t bits(double value) { return std::bit_cast<std::uint64_t>(value); }

/// Everything that a result says of a candidate, as bits. What it does not say is left out: how a candidate stands that is
/// not solved.
std::vector<std::uint64_t> said(const Tape& tape, const TapeResult& r) {
  std::vector<std::uint64_t> out{static_cast<std::uint64_t>(r.status), static_cast<std::uint64_t>(r.travel_known)};
  if (r.status == tape_solved || (r.status == tape_unsure && r.travel_known))
    for (int l = 0; l < tape.linkages; ++l)
      for (const double x : {r.ends[l].travel_mm, r.ends[l].toggle_sin, r.ends[l].coil_sin}) out.push_back(bits(x));
  if (r.status != tape_solved) return out;
  for (const double x : {r.height_mm, r.cos_pitch, r.sin_pitch, r.cos_roll, r.sin_roll}) out.push_back(bits(x));
  for (int s = 0; s < tape.stations; ++s) {
    const TapeWheel& w = r.wheel[s];
    for (const double x :
         {w.centre_v_mm, w.sag_mm, w.bump_travel_mm, w.load_n, w.ground_load_n, w.motion_ratio, w.wheel_rate_n_per_mm})
      out.push_back(bits(x));
    // Not a number has many bit patterns; which of them stands for "without bound" says nothing.
    out.push_back(w.bump_load_n == w.bump_load_n ? bits(w.bump_load_n) : 0);
    for (int k = 0; k < tape.linkage[tape.station[s].linkage].springs; ++k) {
      out.push_back(bits(w.spring_force_n[k]));
      out.push_back(bits(w.spring_motion_ratio[k]));
    }
  }
  return out;
}

void expect_same(const Tape& tape, const std::vector<TapeResult>& a, const std::vector<TapeResult>& b,
                 const std::string& how) {
  ASSERT_EQ(a.size(), b.size());
  int differ = 0;
  std::size_t first = 0;
  for (std::size_t i = a.size(); i-- > 0;)
    if (said(tape, a[i]) != said(tape, b[i])) {
      ++differ;
      first = i;
    }
  EXPECT_EQ(differ, 0) << how << ": first of candidate " << first << ", status " << a[first].status << " and "
                       << b[first].status << ", height " << a[first].height_mm << " and " << b[first].height_mm;
}

/// Likely candidates and hopeless ones mixed, so that lanes of one batch end at different places.
std::vector<Changes> mixed(const Model& model, int count) {
  std::mt19937 random(20260103);
  std::vector<Changes> out;
  for (int i = 0; i < count; ++i) {
    const bool far = i % 3 == 0;
    out.push_back(draw_changes(
        model, {.reach_modules = far ? 1.5 : 0.5, .on_grid = i % 2 == 0, .longer_mm = far ? 100.0 : 8.0}, random));
  }
  return out;
}

class Bits : public testing::TestWithParam<const char*> {};

TEST_P(Bits, AreThoseOfEveryOtherInstructionSet) {
  const Taped model = taped(demo(GetParam()));
  ASSERT_TRUE(model.tape) << model.why_not;
  const std::vector<Changes> candidates = mixed(model.model, scaled(300, 20));
  const std::vector<BatchKernel> kernels = batch_kernels();
  ASSERT_FALSE(kernels.empty());
  for (const TapeLook look : {tape_along_travel, tape_everywhere}) {
    const std::vector<TapeResult> baseline = answers(kernels.front(), model, candidates, look);
    for (const BatchKernel& kernel : kernels)
      expect_same(model.tape->tape, baseline, answers(kernel, model, candidates, look),
                  fmt::format("{}, look {}", kernel.name, static_cast<int>(look)));
  }
}

TEST_P(Bits, DoNotDependOnPlaceAndNeighboursInTheBatch) {
  const Taped model = taped(demo(GetParam()));
  ASSERT_TRUE(model.tape) << model.why_not;
  const std::vector<Changes> candidates = mixed(model.model, scaled(200, 20));
  std::vector<int> order(candidates.size());
  std::iota(order.begin(), order.end(), 0);
  std::mt19937 random(20260104);
  for (const BatchKernel& kernel : batch_kernels())
    for (const TapeLook look : {tape_along_travel, tape_everywhere}) {
      const std::vector<TapeResult> in_order = answers(kernel, model, candidates, order, 0, look);
      for (int first = 0; first < kernel.lanes; ++first) {
        std::shuffle(order.begin(), order.end(), random);
        expect_same(model.tape->tape, in_order, answers(kernel, model, candidates, order, first, look),
                    fmt::format("{}, shuffled, from lane {}, look {}", kernel.name, first, static_cast<int>(look)));
      }
      std::iota(order.begin(), order.end(), 0);
    }
}

INSTANTIATE_TEST_SUITE_P(Models, Bits, testing::Values("quarry-hauler", "ore-hauler", "scout-car", "trial-arm"));

/// A search of some two thousand candidates, a few of which only the general solver can tell.
const char* const tuned_hauler = R"(
[tune]
corner = "rear left"
[[tune.vary]]
hole = "chassis.rocker"
u = [1, 3]
v = [5, 7]
step = 1
[[tune.vary]]
hole = "chassis.seat"
u = [-5, -3]
v = [8, 10]
step = 1
[[tune.vary]]
rod = "pushrod"
length = [5.5, 6, 6.5]
[[tune.vary]]
spring = "main"
part = ["coil-7-firm", "coil-65-firm"]
count = [1, 2]
[[tune.want]]
quantity = "ride_height_mm"
tolerance = 1
[[tune.want]]
quantity = "wheel_rate_n_per_mm"
tolerance = 0.02
[[tune.need]]
quantity = "pitch_deg"
least = -3
most = 3
)";
const char* const needs_travel = R"([[tune.need]]
quantity = "bump_travel_mm"
least = 8
)";

std::string told(const SearchResult& r) {
  std::string text = fmt::format(
      "of {} looked at {} skipped {} assembled {} passing {} by solver {} left {} without value {}; {} {} ruled out",
      r.candidates, r.counts.looked_at, r.counts.skipped, r.counts.assembled, r.counts.passing,
      r.counts.by_general_solver, r.counts.left, r.counts.without_value, r.exhaustive, r.complete);
  for (const std::uint64_t n : r.counts.ruled_out) text += fmt::format(" {}", n);
  for (const Found& f : r.found) {
    text += fmt::format("\n{} score {:x} changed {} price {:x} group {} {}:", f.candidate, bits(f.score), f.changed,
                        bits(f.price), f.group, f.unbeaten);
    for (const double value : f.values) text += fmt::format(" {:x}", bits(value));
  }
  return text;
}

/// Whether travel is asked for.
class Search : public testing::TestWithParam<bool> {};
INSTANTIATE_TEST_SUITE_P(TravelAsked, Search, testing::Bool());

TEST_P(Search, FindsTheSameWithAnyNumberOfThreadsAndAnyKernel) {
  const Model model = demo_with("quarry-hauler", std::string(tuned_hauler) + (GetParam() ? needs_travel : ""));
  ASSERT_TRUE(model.tune);
  const SolveResult as_it_stands = solve_as_search(model);
  ASSERT_TRUE(as_it_stands.solution);
  const Space space = make_space(model, *model.tune);
  const AimsOrProblem aims = make_aims(model, *model.tune, space.corners, model, *as_it_stands.solution);
  ASSERT_TRUE(aims.aims);
  Evaluator evaluator = make_evaluator(space, *aims.aims, *as_it_stands.solution);
  ASSERT_TRUE(evaluator.tape) << evaluator.why_no_tape;
  const std::string one = told(search(evaluator, {.threads = 1}));
  std::cout << one.substr(0, one.find('\n')) << "\n";
  EXPECT_NE(one.find("group"), std::string::npos) << "nothing passes, so that there is nothing to compare: " << one;
  for (const int threads : {2, 7})
    EXPECT_EQ(told(search(evaluator, {.threads = threads})), one) << threads << " threads";
  for (const BatchKernel& kernel : batch_kernels()) {
    evaluator.kernel = kernel;
    EXPECT_EQ(told(search(evaluator, {.threads = 2})), one) << kernel.name;
  }
}

}  // namespace
}  // namespace ridepitch
