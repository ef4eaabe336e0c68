#include "tune/aims.hpp"

#include <cmath>
#include <limits>

#include <gtest/gtest.h>

#include "rigs/models.hpp"
#include "tune/candidates.hpp"
#include "tune/space.hpp"

namespace ridepitch {
namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

struct Made {
  Model model;
  Solution solution;
  AimsOrProblem aims;
};

Made aims_of(const std::string& demo_name, const std::string& tune) {
  Made made{demo_with(demo_name, tune), {}, {}};
  made.solution = solve_as_search(made.model).solution.value_or(Solution{});
  const Space space = make_space(made.model, *made.model.tune);
  made.aims = make_aims(made.model, *made.model.tune, space.corners, made.model, made.solution);
  return made;
}

const std::string rear_pushrod = "[tune]\ncorner = \"rear left\"\n[[tune.vary]]\nrod = \"pushrod\"\nlength = [5, 6]\n";

TEST(Aims, WithoutAWantAreToKeepHeightPitchAndRate) {
  const Made made = aims_of("ore-hauler", rear_pushrod);
  ASSERT_TRUE(made.aims.aims);
  const Aims& aims = *made.aims.aims;
  std::vector<double> values(aims.figures.size());
  for (std::size_t i = 0; i < values.size(); ++i)
    values[i] = value_of(made.model, made.solution, aims.figures[i]).value_or(nothing);
  EXPECT_EQ(judge(aims, values.data()).score, 0) << "the model as it stands is what is wanted";
  int heights = 0, rates = 0, pitches = 0;
  for (const Aim& want : aims.wants) {
    heights += want.what->name == "ride_height_mm" && want.tolerance == 1;
    pitches += want.what->name == "pitch_deg" && want.tolerance == 0.5;
    if (want.what->name == "wheel_rate_n_per_mm") {
      ++rates;
      EXPECT_NEAR(want.tolerance, 0.03 * want.target[0], 1e-12);
    }
  }
  EXPECT_EQ(heights, 4);
  EXPECT_EQ(rates, 4);
  EXPECT_EQ(pitches, 1);
}

TEST(Aims, WithoutOfAreOfTheCornersThatChangeOnly) {
  const Made made = aims_of("ore-hauler", rear_pushrod + "[[tune.want]]\nquantity = \"sag_mm\"\nvalue = 12\n");
  ASSERT_TRUE(made.aims.aims);
  ASSERT_EQ(made.aims.aims->wants.size(), 1u);
  ASSERT_EQ(made.aims.aims->wants[0].figures.size(), 2u);
  for (const int k : made.aims.aims->wants[0].figures) {
    const Figure& figure = made.aims.aims->figures[static_cast<std::size_t>(k)];
    EXPECT_EQ(made.model.corners[static_cast<std::size_t>(figure.corner)].name.substr(0, 4), "rear");
  }
}

TEST(Aims, AFigureThatIsAskedTwiceIsWorkedOutOnce) {
  const Made made = aims_of(
      "ore-hauler",
      rear_pushrod +
          "[[tune.want]]\nquantity = \"sag_mm\"\nvalue = 12\n[[tune.need]]\nquantity = \"sag_mm\"\nleast = 2\n");
  ASSERT_TRUE(made.aims.aims);
  EXPECT_EQ(made.aims.aims->figures.size(), 2u);
}

TEST(Aims, AWantWithoutAValueTakesThatOfTheModelItIsToBeLike) {
  const Made made = aims_of("ore-hauler", rear_pushrod + "[[tune.want]]\nquantity = \"sag_mm\"\n");
  Model like = made.model;
  std::swap(like.corners[2], like.corners[0]);  // found by name, not by place
  const SolveResult like_solved = solve_as_search(like);
  ASSERT_TRUE(like_solved.solution);
  const Space space = make_space(made.model, *made.model.tune);
  const AimsOrProblem aims = make_aims(made.model, *made.model.tune, space.corners, like, *like_solved.solution);
  ASSERT_TRUE(aims.aims && made.aims.aims);
  for (std::size_t i = 0; i < 2; ++i)
    EXPECT_NEAR(aims.aims->wants[0].target[i], made.aims.aims->wants[0].target[i], 1e-9);
}

TEST(Aims, WhatNothingHasIsRefusedWithItsPlace) {
  const Made made = aims_of("trial-arm",
                            "[tune]\ncorner = \"rear left\"\n[[tune.vary]]\nspring = \"main\"\ncount = [1, "
                            "2]\n[[tune.want]]\nquantity = \"pitch_deg\"\n");
  EXPECT_FALSE(made.aims.aims);  // a bench has no pitch
  ASSERT_EQ(made.aims.problems.size(), 1u);
  EXPECT_EQ(made.aims.problems[0].code, "no-such-quantity");
  EXPECT_GT(made.aims.problems[0].place.line, 0);
}

}  // namespace
}  // namespace ridepitch
