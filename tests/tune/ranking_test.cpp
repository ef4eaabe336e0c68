// The search against brute force on a small space: every candidate solved by the general solver and judged by the
// sentences of docs/model-format.md ("What the builder wants"), written out here once more.

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "rigs/files.hpp"
#include "rigs/models.hpp"
#include "tune/candidates.hpp"
#include "tune/search.hpp"

namespace ridepitch {
namespace {

struct Ranked {
  std::uint64_t candidate = 0;
  int changed = 0;
  double score = 0;
  double ride_height_mm[2] = {0, 0}, wheel_rate[2] = {0, 0}, pitch_deg = 0;
};

struct BruteForce {
  std::uint64_t assembled = 0, passing = 0, without_travel = 0, leaning = 0;
  std::vector<Ranked> ranking;  // best first; then fewer changes; then the number
};

/// What the two-axle demo wants here: ride height as it stands (1 mm), wheel rate 0.3 (0.02, weight 2), pitch 0 (0.5). Needs:
/// pitch within 2.5 degrees and, where it is asked, bump travel 8 mm at least.
constexpr double rate_wanted = 0.3, rate_tolerance = 0.02, rate_weight = 2, pitch_tolerance = 0.5, bump_least = 8,
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
[[tune.want]]
quantity = "wheel_rate_n_per_mm"
value = 0.3
tolerance = 0.02
weight = 2
[[tune.want]]
quantity = "pitch_deg"
value = 0
tolerance = 0.5
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
      worst_rate = std::max(worst_rate, std::abs(wheel.wheel_rate_n_per_mm.value_or(0) - rate_wanted));
    }
    if (std::abs(s.vehicle->pitch_deg) > pitch_most) {
      ++out.leaning;
      return;
    }
    if (asks_travel && (!has_bump || least_bump < bump_least)) {
      ++out.without_travel;
      return;
    }
    if (!has_rate) return;
    ++out.passing;
    Ranked ranked{candidate};
    for (const Change& change : changes) ranked.changed += !is_already_so(model, change);
    ranked.score = square(worst_height) + rate_weight * square(worst_rate / rate_tolerance) +
                   square(s.vehicle->pitch_deg / pitch_tolerance);
    for (const std::size_t c : {0u, 2u}) {
      ranked.ride_height_mm[c / 2] = *s.corners[c].ride_height_mm;
      ranked.wheel_rate[c / 2] = *s.corners[c].wheels[0].wheel_rate_n_per_mm;
    }
    ranked.pitch_deg = s.vehicle->pitch_deg;
    out.ranking.push_back(ranked);
  });
  std::sort(out.ranking.begin(), out.ranking.end(), [](const Ranked& a, const Ranked& b) {
    return std::tie(a.score, a.changed, a.candidate) < std::tie(b.score, b.changed, b.candidate);
  });
  return out;
}

/// Under a tenth of every tolerance apart: one group, for which the fewest changes stand.
bool hardly_differ(const Ranked& a, const Ranked& b) {
  for (const int axle : {0, 1})
    if (std::abs(a.ride_height_mm[axle] - b.ride_height_mm[axle]) >= 0.1 ||
        std::abs(a.wheel_rate[axle] - b.wheel_rate[axle]) >= 0.1 * rate_tolerance)
      return false;
  return std::abs(a.pitch_deg - b.pitch_deg) < 0.1 * pitch_tolerance;
}

struct Group {
  Ranked first, stands_for;
  std::uint64_t size = 1;
};

std::vector<Group> in_groups(const std::vector<Ranked>& ranking, std::size_t most) {
  std::vector<Group> groups;
  for (const Ranked& ranked : ranking) {
    const auto like =
        std::find_if(groups.begin(), groups.end(), [&](const Group& g) { return hardly_differ(g.first, ranked); });
    if (like != groups.end()) {
      ++like->size;
      if (ranked.changed < like->stands_for.changed) like->stands_for = ranked;
    } else if (groups.size() < most) {
      groups.push_back({ranked, ranked});
    }
  }
  std::stable_sort(groups.begin(), groups.end(),
                   [](const Group& a, const Group& b) { return a.stands_for.score < b.stands_for.score; });
  return groups;
}

/// Whether travel is asked for: where it is not, the search goes straight to rest.
class Ranking : public testing::TestWithParam<bool> {};
INSTANTIATE_TEST_SUITE_P(TravelAsked, Ranking, testing::Bool());

TEST_P(Ranking, OfTheSearchIsThatOfBruteForce) {
  constexpr int top = 10;
  const bool asks_travel = GetParam();
  const Model model = demo_with("quarry-hauler", std::string(small_space) + (asks_travel ? needs_travel : ""));
  ASSERT_TRUE(model.tune);
  const SolveResult as_it_stands = solve_as_search(model);
  ASSERT_TRUE(as_it_stands.solution);
  const Space space = make_space(model, *model.tune);
  const AimsOrProblem aims = make_aims(model, *model.tune, space.corners, model, *as_it_stands.solution);
  ASSERT_TRUE(aims.aims);
  const Evaluator evaluator = make_evaluator(space, *aims.aims, *as_it_stands.solution);
  ASSERT_TRUE(evaluator.tape) << evaluator.why_no_tape;
  EXPECT_EQ(first_look(evaluator), asks_travel ? tape_along_travel : tape_to_rest);
  const SearchResult searched = search(evaluator, {.top = top, .threads = 2});
  const BruteForce brute = by_brute_force(model, space, *as_it_stands.solution, asks_travel);

  EXPECT_EQ(searched.candidates, 4u * 15 * 2 * 6);
  EXPECT_EQ(searched.counts.looked_at, searched.candidates);
  EXPECT_TRUE(searched.exhaustive);
  EXPECT_EQ(searched.counts.passing, brute.passing);
  // Those that are proved hopeless are not put together, or not known to be.
  EXPECT_LE(searched.counts.assembled, brute.assembled);
  EXPECT_GE(searched.counts.assembled + searched.counts.skipped, brute.assembled);
  ASSERT_EQ(searched.counts.ruled_out.size(), asks_travel ? 2u : 1u);
  // One that is proved hopeless for its travel may lean too.
  EXPECT_LE(searched.counts.ruled_out[0], brute.leaning);
  EXPECT_GE(searched.counts.ruled_out[0] + searched.counts.skipped, brute.leaning);
  if (asks_travel) {
    EXPECT_GE(searched.counts.ruled_out[1], brute.without_travel);
    EXPECT_LE(searched.counts.ruled_out[1], brute.without_travel + searched.counts.skipped);
  }

  const std::vector<Group> groups = in_groups(brute.ranking, top);
  ASSERT_EQ(groups.size(), static_cast<std::size_t>(top)) << "too few groups for a ranking to show";
  ASSERT_GE(searched.found.size(), groups.size());
  for (std::size_t i = 0; i < groups.size(); ++i) {
    EXPECT_EQ(searched.found[i].candidate, groups[i].stands_for.candidate) << "place " << i + 1;
    EXPECT_NEAR(searched.found[i].score, groups[i].stands_for.score, 1e-9 * std::max(1.0, groups[i].stands_for.score))
        << "place " << i + 1;
    EXPECT_EQ(searched.found[i].changed, groups[i].stands_for.changed) << "place " << i + 1;
    EXPECT_EQ(searched.found[i].group, groups[i].size) << "place " << i + 1;
  }
}

TEST_P(Ranking, MarksWhatNothingBeatsInScoreAndChangesAtOnce) {
  const bool asks_travel = GetParam();
  const Model model = demo_with("quarry-hauler", std::string(small_space) + (asks_travel ? needs_travel : ""));
  const SolveResult as_it_stands = solve_as_search(model);
  ASSERT_TRUE(as_it_stands.solution);
  const Space space = make_space(model, *model.tune);
  const AimsOrProblem aims = make_aims(model, *model.tune, space.corners, model, *as_it_stands.solution);
  ASSERT_TRUE(aims.aims);
  const SearchResult searched = search(make_evaluator(space, *aims.aims, *as_it_stands.solution), {.threads = 1});
  const BruteForce brute = by_brute_force(model, space, *as_it_stands.solution, asks_travel);
  for (const Found& found : searched.found) {
    const bool beaten = std::any_of(brute.ranking.begin(), brute.ranking.end(), [&](const Ranked& r) {
      return r.candidate != found.candidate && r.changed <= found.changed && r.score <= found.score &&
             (r.changed < found.changed || r.score < found.score);
    });
    EXPECT_EQ(found.unbeaten, !beaten) << "candidate " << found.candidate;
  }
  EXPECT_TRUE(std::any_of(searched.found.begin(), searched.found.end(), [](const Found& f) { return f.unbeaten; }));
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
at = [[2, 6], [2, 5], [2, 3], [3, 3]]
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
  EXPECT_EQ(result.checked, left_out + result.found.size());
  for (const Found& found : result.found) {
    EXPECT_EQ(cannot_be_built(found), nullptr);
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
