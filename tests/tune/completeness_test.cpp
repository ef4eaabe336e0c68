// The search in order of changes against brute force: every candidate of random spaces solved by the general solver and judged.
// What holds must be the same for every number of changes: none missing, none extra.

#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <random>

#include "model/read_parts.hpp"
#include "rigs/models.hpp"
#include "rigs/scale.hpp"
#include "tune/candidates.hpp"
#include "tune/search.hpp"

namespace ridepitch {
namespace {

/// Some things about the sprung linkages: holes and rods a module or two from where they are, coils of the catalogue.
Tune random_tune(const Model& model, std::size_t most, std::mt19937& random) {
  const auto draw = [&](int n) { return static_cast<int>(random() % static_cast<unsigned>(n)); };
  std::vector<std::string> coils;
  for (const auto& [name, part] : model.catalogue)
    if (kind_of(part) == "coil") coils.push_back(name);
  std::vector<Vary> all;
  for (std::size_t l = 0; l < model.linkages.size(); ++l) {
    const Linkage& linkage = model.linkages[l];
    const int index = static_cast<int>(l);
    if (linkage.plane == Plane::top) continue;
    for (std::size_t b = 0; b < linkage.bodies.size(); ++b)
      for (std::size_t h = 0; h < linkage.bodies[b].holes.size(); ++h) {
        VaryHole vary{static_cast<int>(b), static_cast<int>(h), {}, {}};
        const Vec2 own = linkage.bodies[b].holes[h].p_B;
        vary.at_mm.push_back(own);
        for (int i = 0; i < 3; ++i) vary.at_mm.push_back(own + model.module_mm * Vec2(draw(5) - 2, draw(5) - 2));
        all.push_back({index, vary, {}});
      }
    for (std::size_t r = 0; r < linkage.rods.size(); ++r) {
      const double own = linkage.rods[r].length_mm;
      all.push_back({index, VaryRod{static_cast<int>(r), {own, own + model.module_mm}}, {}});
    }
    for (std::size_t s = 0; s < linkage.springs.size(); ++s) {
      VarySpring vary{static_cast<int>(s), {linkage.springs[s].part}, {1, 2}};
      if (linkage.springs[s].part.empty()) continue;
      if (kind_of(model.catalogue.at(linkage.springs[s].part)) == "coil")
        for (int i = 0; i < 3; ++i)
          vary.parts.push_back(coils[static_cast<std::size_t>(draw(static_cast<int>(coils.size())))]);
      std::sort(vary.parts.begin(), vary.parts.end());
      vary.parts.erase(std::unique(vary.parts.begin(), vary.parts.end()), vary.parts.end());
      all.push_back({index, vary, {}});
      all.push_back({index, vary, {}});  // twice as likely to be drawn
    }
  }
  std::shuffle(all.begin(), all.end(), random);
  Tune tune;
  std::size_t size = 1;
  std::map<std::string, bool> there;
  for (const Vary& vary : all) {
    Tune alone;
    alone.vary = {vary};
    const Space space = make_space(model, alone);
    if (space.size < 2 || size * space.size > most || there[std::to_string(vary.linkage) + space.variables[0].thing])
      continue;
    there[std::to_string(vary.linkage) + space.variables[0].thing] = true;
    size *= space.size;
    tune.vary.push_back(vary);
  }
  return tune;
}

/// Of each number of changes how many hold, by the general solver.
std::map<int, std::uint64_t> by_brute_force(const Evaluator& evaluator) {
  std::map<int, std::uint64_t> hold;
  std::vector<double> values(evaluator.aims->figures.size());
  std::vector<int> options;
  for (std::uint64_t candidate = 0; candidate < evaluator.space->size; ++candidate) {
    options_of(*evaluator.space, candidate, options);
    if (solve_candidate(evaluator, candidate, values.data()) && judge(*evaluator.aims, values.data()).holds())
      ++hold[holes_changed(*evaluator.space, options)];
  }
  return hold;
}

class Completeness : public testing::TestWithParam<const char*> {};
INSTANTIATE_TEST_SUITE_P(Models, Completeness,
                         testing::Values("gravel-tug", "quarry-hauler", "ore-hauler", "timber-forwarder", "sand-loader",
                                         "log-skidder-banded", "scout-car"),
                         [](const auto& test) {
                           std::string name = test.param;
                           std::replace(name.begin(), name.end(), '-', '_');
                           return name;
                         });

TEST_P(Completeness, WhatHoldsIsTheSameAsByBruteForce) {
  const Model model = demo(GetParam());
  const SolveResult now = solve(model);
  ASSERT_TRUE(now.solution);
  std::mt19937 random(7);
  std::uint64_t all = 0, by_stance = 0;
  for (int round = 0; round < scaled(2); ++round) {
    Tune tune = random_tune(model, 200, random);
    const double wide = 1 + static_cast<double>(random() % 4);
    tune.wants = stance_wants(model, *now.solution, {wide, 0.7 * wide, 0.05 * wide});
    for (const Figure& part : corners_and_wheels(model)) {
      if (part.wheel >= 0 || random() % 2 == 0) continue;
      const CornerResult& corner = now.solution->corners[static_cast<std::size_t>(part.corner)];
      for (const WheelResult& wheel : corner.wheels)
        if (wheel.bump_travel_mm && *wheel.bump_travel_mm > 1)
          tune.needs.push_back(
              {std::string(name::bump_travel), corner.name + "/" + wheel.name, 0.6 * *wheel.bump_travel_mm, {}, {}});
    }
    const Space space = make_space(model, tune);
    const AimsOrProblem aims = make_aims(model, tune, space.corners, model, *now.solution);
    ASSERT_TRUE(aims.aims);
    const Evaluator evaluator = make_evaluator(space, *aims.aims, *now.solution);
    const SearchResult searched = search(evaluator, {.top = 1, .threads = 1});
    std::map<int, std::uint64_t> hold;
    for (const Depth& depth : searched.depths)
      if (depth.hold > 0) hold[depth.changes] = depth.hold;
    const std::map<int, std::uint64_t> brute = by_brute_force(evaluator);
    EXPECT_TRUE(saw_all(searched)) << searched.why_sampled;
    EXPECT_EQ(hold, brute) << "round " << round << ", " << space.size
                           << " candidates, sampled: " << searched.why_sampled;
    for (const auto& [changes, n] : brute) all += n;
    by_stance += searched.why_sampled.empty() ? 1 : 0;
  }
  EXPECT_GT(all, 0u);
  EXPECT_GT(by_stance, 0u) << "no stance was settled";
}

}  // namespace
}  // namespace ridepitch
