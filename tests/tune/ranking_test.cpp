// The search against brute force on a small space: every candidate solved by the general solver and judged by the
// sentences of docs/model-format.md ("What the builder wants"), written out here once more.

#include <algorithm>
#include <cmath>
#include <map>

#include <gtest/gtest.h>

#include "rigs/files.hpp"
#include "rigs/models.hpp"
#include "steer/further_findings.hpp"
#include "tune/candidates.hpp"
#include "tune/search.hpp"

namespace ridepitch {
namespace {

struct Ranked {
  std::uint64_t candidate = 0, things = 0;  // a bit for each thing that is changed
  int changed = 0;
  double score = 0;
};

struct BruteForce {
  std::uint64_t assembled = 0, passing = 0;
  std::vector<Ranked> holding;  // fewest changes first; then by score; then by number
};

/// What the two-axle demo wants here, all as it stands: ride height (3 mm), wheel rate (0.1, weight 2), pitch (1). Needs:
/// pitch within 2.5 degrees and, where it is asked, bump travel 8 mm at least.
constexpr double height_tolerance = 3, rate_tolerance = 0.1, rate_weight = 2, pitch_tolerance = 1, bump_least = 8,
                 pitch_most = 2.5;
const char* const small_space = R"(
[tune]
corner = "rear left"
[[tune.vary]]
hole = "chassis.rocker"
at = [[2, 6], [1.5, 6], [2, 6.5], [2.5, 6]]
[[tune.vary]]
hole = "chassis.seat"
u = [-5, -3]
v = [8, 9]
step = 0.5
[[tune.vary]]
rod = "pushrod"
length = [5.5, 6]
[[tune.vary]]
spring = "main"
part = ["coil-7-firm", "coil-65-firm", "coil-75-medium"]
count = [1, 2]
[[tune.want]]
quantity = "ride_height_mm"
tolerance = 3
[[tune.want]]
quantity = "wheel_rate_n_per_mm"
tolerance = 0.1
weight = 2
[[tune.want]]
quantity = "pitch_deg"
tolerance = 1
[[tune.need]]
quantity = "pitch_deg"
least = -2.5
most = 2.5
)";
const char* const needs_travel = R"([[tune.need]]
quantity = "bump_travel_mm"
least = 8
)";

double square(double x) { return x * x; }

/// Every choice of one option for each thing that varies, in file order, the last thing running fastest.
void each_choice(const Space& space, std::size_t from, Changes& chosen, std::uint64_t& number, const auto& look) {
  if (from == space.variables.size()) {
    look(number++, chosen);
    return;
  }
  for (const Change& option : space.variables[from].options) {
    chosen.push_back(option);
    each_choice(space, from + 1, chosen, number, look);
    chosen.pop_back();
  }
}

BruteForce by_brute_force(const Model& model, const Space& space, const Solution& as_it_stands, bool asks_travel) {
  BruteForce out;
  Changes chosen;
  std::uint64_t number = 0;
  each_choice(space, 0, chosen, number, [&](std::uint64_t candidate, const Changes& changes) {
    const SolveResult result = solve_as_search(changed(model, changes));
    if (!result.solution) return;
    ++out.assembled;
    const Solution& s = *result.solution;
    double least_bump = 1e300, worst_height = 0, worst_rate = 0;
    bool has_bump = true, has_rate = true;
    for (std::size_t c = 0; c < s.corners.size(); ++c) {
      const WheelResult& wheel = s.corners[c].wheels[0];
      has_bump = has_bump && wheel.bump_travel_mm;
      has_rate = has_rate && wheel.wheel_rate_n_per_mm;
      least_bump = std::min(least_bump, wheel.bump_travel_mm.value_or(0));
      worst_height =
          std::max(worst_height, std::abs(*s.corners[c].ride_height_mm - *as_it_stands.corners[c].ride_height_mm));
      worst_rate = std::max(worst_rate, std::abs(wheel.wheel_rate_n_per_mm.value_or(0) -
                                                 *as_it_stands.corners[c].wheels[0].wheel_rate_n_per_mm));
    }
    if (std::abs(s.vehicle->pitch_deg) > pitch_most || (asks_travel && (!has_bump || least_bump < bump_least))) return;
    if (!has_rate) return;
    ++out.passing;
    const double pitch_off = std::abs(s.vehicle->pitch_deg - as_it_stands.vehicle->pitch_deg);
    if (worst_height > height_tolerance || worst_rate > rate_tolerance || pitch_off > pitch_tolerance) return;
    Ranked ranked{candidate};
    for (std::size_t i = 0; i < changes.size(); ++i) {
      const bool is_changed = !is_already_so(model, changes[i]);
      ranked.changed += is_changed;
      ranked.things |= std::uint64_t{is_changed} << i;
    }
    ranked.score = square(worst_height / height_tolerance) + rate_weight * square(worst_rate / rate_tolerance) +
                   square(pitch_off / pitch_tolerance);
    out.holding.push_back(ranked);
  });
  std::sort(out.holding.begin(), out.holding.end(), [](const Ranked& a, const Ranked& b) {
    return std::tie(a.changed, a.score, a.candidate) < std::tie(b.changed, b.score, b.candidate);
  });
  return out;
}

/// Problems and warnings that a model has and another does not, at the same place.
std::vector<Finding> fresh_findings(const Model& before, const Model& after) {
  const SolveResult was = solve(before), is = solve(after);
  return new_findings(all_findings(before, *was.solution), all_findings(after, *is.solution));
}

/// Of those that change the same things the first without a new finding stands for all; families of which none is so are left
/// out here.
std::vector<Ranked> clean_of_each_family(const Model& model, const Space& space, const BruteForce& brute) {
  std::map<std::uint64_t, Ranked> chosen;
  for (const Ranked& each : brute.holding)
    if (!chosen.contains(each.things) &&
        fresh_findings(model, changed(model, changes_of(space, each.candidate))).empty())
      chosen.emplace(each.things, each);
  std::vector<Ranked> out;
  for (const auto& [things, each] : chosen) out.push_back(each);
  std::sort(out.begin(), out.end(), [](const Ranked& a, const Ranked& b) {
    return std::tie(a.changed, a.score, a.candidate) < std::tie(b.changed, b.score, b.candidate);
  });
  return out;
}

/// Whether travel is asked for.
class Ranking : public testing::TestWithParam<bool> {};
INSTANTIATE_TEST_SUITE_P(TravelAsked, Ranking, testing::Bool());

TEST_P(Ranking, OfTheSearchIsThatOfBruteForce) {
  const bool asks_travel = GetParam();
  const Model model = demo_with("quarry-hauler", std::string(small_space) + (asks_travel ? needs_travel : ""));
  ASSERT_TRUE(model.tune);
  const SolveResult as_it_stands = solve(model);
  ASSERT_TRUE(as_it_stands.solution);
  const Space space = make_space(model, *model.tune);
  const AimsOrProblem aims = make_aims(model, *model.tune, space.corners, model, *as_it_stands.solution);
  ASSERT_TRUE(aims.aims);
  const Evaluator evaluator = make_evaluator(space, *aims.aims, *as_it_stands.solution);
  ASSERT_TRUE(evaluator.tape) << evaluator.why_no_tape;
  const SearchResult searched = search(evaluator, {.top = 50, .threads = 2});
  const BruteForce brute = by_brute_force(model, space, *as_it_stands.solution, asks_travel);
  ASSERT_GE(brute.holding.size(), 10u) << "too few for a ranking to show";

  EXPECT_EQ(searched.why_sampled, "");
  EXPECT_EQ(searched.candidates, 4u * 15 * 2 * 6);
  EXPECT_EQ(searched.counts.looked_at, searched.candidates);
  EXPECT_TRUE(saw_all(searched));
  EXPECT_EQ(searched.counts.hold, brute.holding.size());
  for (const Depth& depth : searched.depths)
    EXPECT_EQ(depth.hold, std::count_if(brute.holding.begin(), brute.holding.end(),
                                        [&](const Ranked& r) { return r.changed == depth.changes; }))
        << depth.changes << " changes";

  const std::vector<Ranked> clean = clean_of_each_family(model, space, brute);
  ASSERT_FALSE(clean.empty());
  ASSERT_GE(searched.found.size(), clean.size());
  for (std::size_t i = 0; i < searched.found.size(); ++i) {
    const Found& found = searched.found[i];
    EXPECT_EQ(found.new_findings.empty(), i < clean.size()) << "those without a new finding come first";
    EXPECT_EQ(new_problem(found.new_findings), nullptr) << "a problem is never recommended";
    if (i >= clean.size()) continue;
    EXPECT_EQ(found.candidate, clean[i].candidate) << "place " << i + 1;
    EXPECT_NEAR(found.score, clean[i].score, 1e-9 * std::max(1.0, clean[i].score)) << "place " << i + 1;
    EXPECT_EQ(found.changed, clean[i].changed) << "place " << i + 1;
    EXPECT_EQ(found.group, std::count_if(brute.holding.begin(), brute.holding.end(),
                                         [&](const Ranked& r) { return r.things == clean[i].things; }))
        << "place " << i + 1;
  }
}

TEST(Search, IsTheSameOnAnyNumberOfThreads) {
  const Model model = demo_with("quarry-hauler", std::string(small_space) + needs_travel);
  const SolveResult now = solve(model);
  const Space space = make_space(model, *model.tune);
  const AimsOrProblem aims = make_aims(model, *model.tune, space.corners, model, *now.solution);
  const Evaluator evaluator = make_evaluator(space, *aims.aims, *now.solution);
  const SearchResult one = search(evaluator, {.threads = 1}), three = search(evaluator, {.threads = 3});
  ASSERT_EQ(one.found.size(), three.found.size());
  for (std::size_t i = 0; i < one.found.size(); ++i) {
    EXPECT_EQ(one.found[i].candidate, three.found[i].candidate);
    EXPECT_EQ(one.found[i].values, three.found[i].values);
  }
  EXPECT_EQ(one.counts.hold, three.counts.hold);
  EXPECT_EQ(one.checked, three.checked);
}

TEST(Search, TellsWhatMissesLeastWhereNothingHolds) {
  // Every spring of the space is too soft for twice the rate: none within 0.001 N/mm of it.
  const std::string impossible =
      replaced(std::string(small_space), "tolerance = 0.1\n", "value = 0.9\ntolerance = 0.001\n");
  const Model model = demo_with("quarry-hauler", impossible);
  const SolveResult now = solve(model);
  const Space space = make_space(model, *model.tune);
  const AimsOrProblem aims = make_aims(model, *model.tune, space.corners, model, *now.solution);
  const SearchResult result = search(make_evaluator(space, *aims.aims, *now.solution), {});
  EXPECT_TRUE(saw_all(result));
  EXPECT_EQ(result.counts.hold, 0u);
  for (const Found& found : result.found) EXPECT_FALSE(found.misses.empty());
}

TEST(Search, KeepsToTheDepthThatIsAskedFor) {
  const Model model = demo_with("quarry-hauler", small_space);
  const SolveResult now = solve(model);
  const Space space = make_space(model, *model.tune);
  const AimsOrProblem aims = make_aims(model, *model.tune, space.corners, model, *now.solution);
  const SearchResult result = search(make_evaluator(space, *aims.aims, *now.solution), {.most_changes = 2});
  EXPECT_EQ(complete_changes(result), 2);
  EXPECT_FALSE(result.exhaustive);
  for (const Found& found : result.found) EXPECT_LE(found.changed, 2);
}

// Arm and rocker lie in one slice: with the rocker's pivot three modules lower or more, the rocker, three modules long,
// lies on the arm.
TEST(Search, LeavesOutWhatCanNotBeBuiltAndCountsIt) {
  const std::string path = source_path("tests/models/ore-hauler.toml");
  const std::string beside =
      replaced(text_of(path), "[linkage.rear-arm.wheel.hub]\n",
               "[linkage.rear-arm.wheel.hub]\nout = 4  # so that nothing touches as it stands\n");
  const Model model = read_rig(beside + R"(
[tune]
corner = "rear left"
[[tune.vary]]
hole = "chassis.rocker"
at = [[2, 6], [2, 3], [3, 3]]
[[tune.vary]]
rod = "pushrod"
length = [3, 5, 6]
[[tune.want]]
quantity = "ride_height_mm"
tolerance = 100
)",
                               path);
  const Space space = make_space(model, *model.tune);
  const SolveResult now = solve(model);
  const AimsOrProblem aims = make_aims(model, *model.tune, space.corners, model, *now.solution);
  const SearchResult result = search(make_evaluator(space, *aims.aims, *now.solution), {.top = 20});
  ASSERT_GT(result.not_built.count("parts-touch"), 0u);
  std::uint64_t left_out = 0;
  for (const auto& [code, candidates] : result.not_built) left_out += candidates;
  EXPECT_GE(result.checked, left_out + result.found.size());
  for (const Found& found : result.found) {
    EXPECT_EQ(new_problem(found.new_findings), nullptr);
    for (const Change& change : found.changes) {
      const auto* move = std::get_if<MoveHole>(&change);
      if (move) {
        EXPECT_GT(move->to_B_mm.y() / model.module_mm, 3);
      }
    }
  }
}

}  // namespace
}  // namespace ridepitch
