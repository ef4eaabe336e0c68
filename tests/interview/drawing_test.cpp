#include "interview/drawing.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "interview/answered.hpp"
#include "interview/trial.hpp"

namespace ridepitch {
namespace {

struct Spot {
  int row = -1, column = -1;
};

Spot find(const std::vector<std::string>& picture, char sign) {
  for (std::size_t row = 0; row < picture.size(); ++row) {
    if (const std::size_t column = picture[row].find(sign); column != std::string::npos) {
      return {static_cast<int>(row), static_cast<int>(column)};
    }
  }
  ADD_FAILURE() << "no " << sign;
  return {};
}

// By the drawing's own scale of 1.3 rows and 2.6 columns to a hole: 8 holes along are 21 columns, 6 up are 8 rows.
TEST(Drawing, PutsHolesWhereTheyAreToScale) {
  const AxleTrial trial = try_axle(answered("front_kind = arm-rocker"), "front");
  ASSERT_FALSE(trial.objection);
  const Spot P = find(trial.picture, 'P'), X = find(trial.picture, 'X'), R = find(trial.picture, 'R'),
             S = find(trial.picture, 'S');
  EXPECT_NEAR(X.column - P.column, 8 * 2.6, 1);
  EXPECT_NEAR(P.row - R.row, 6 * 1.3, 1);
  EXPECT_NEAR(R.column - P.column, 2 * 2.6, 1);
  EXPECT_NEAR(P.column - S.column, 4 * 2.6, 1);
  EXPECT_NEAR(P.row - S.row, 9 * 1.3, 1);
}

TEST(Drawing, StandsOnTheGroundAndFitsThePage) {
  for (const char* kind : {"arm", "arm-rocker", "wishbones", "live-axle"}) {
    const AxleTrial trial = try_axle(answered(std::string("front_kind = ") + kind), "front");
    ASSERT_FALSE(trial.picture.empty()) << kind;
    EXPECT_EQ(trial.picture.back().find_first_not_of('-'), std::string::npos) << kind;
    EXPECT_THAT(trial.picture[trial.picture.size() - 2], testing::HasSubstr(".")) << kind;  // a tyre touches it
    EXPECT_LE(trial.picture.size(), 27u);
    for (const std::string& row : trial.picture) EXPECT_LE(row.size(), 96u);
  }
}

TEST(Drawing, ShrinksWhatWouldNotFit) {
  const AxleTrial trial = try_axle(answered("front_kind = live-axle\nfront_track_mm = 900\nrear_kind = arm"), "front");
  ASSERT_FALSE(trial.picture.empty());
  for (const std::string& row : trial.picture) EXPECT_LE(row.size(), 96u);
}

}  // namespace
}  // namespace ridepitch
