// Linear programs small enough to be worked by hand.

#include "tune/bounds.hpp"

#include <gtest/gtest.h>

namespace ridepitch {
namespace {

Eigen::VectorXd vec(std::initializer_list<double> values) {
  return Eigen::Map<const Eigen::VectorXd>(values.begin(), static_cast<Eigen::Index>(values.size()));
}

// 0 <= x, y; x + y <= 4; x + 3 y <= 6: corners (0,0), (4,0), (3,1), (0,2).
TEST(RangeOf, GoesToTheCornersOfWhatIsLeft) {
  const std::vector<BoundedSum> sums = {
      {vec({1, 0}), 0, 100}, {vec({0, 1}), 0, 100}, {vec({1, 1}), 0, 4}, {vec({1, 3}), 0, 6}};
  const auto most = range_of(vec({1, 2}), sums);
  ASSERT_TRUE(most);
  EXPECT_NEAR((*most)[0], 0, 1e-12);
  EXPECT_NEAR((*most)[1], 5, 1e-12);  // at (3, 1)
}

// Three wheels in a row at -100, 0 and 100 mm under 12 N at +25 mm: the sum is 12, the moment 300. The one in front carries 3 at
// least (nothing behind) and 7.5 at most (nothing in the middle).
TEST(RangeOf, LoadsThatStaticsLeavesOpenAreBounded) {
  const std::vector<BoundedSum> sums = {{vec({1, 1, 1}), 12, 12},
                                        {vec({-100, 0, 100}), 300, 300},
                                        {vec({1, 0, 0}), 0, 12},
                                        {vec({0, 1, 0}), 0, 12},
                                        {vec({0, 0, 1}), 0, 12}};
  const auto front = range_of(vec({0, 0, 1}), sums);
  ASSERT_TRUE(front);
  EXPECT_NEAR((*front)[0], 3, 1e-9);
  EXPECT_NEAR((*front)[1], 7.5, 1e-9);
}

TEST(RangeOf, WhatIsNotBoundedHasNoRange) {
  EXPECT_FALSE(range_of(vec({1, 0}), {{vec({1, 1}), 0, 4}}));
  EXPECT_FALSE(range_of(vec({1}), {{vec({1}), 0, 1}, {vec({1}), 2, 3}})) << "nothing is left";
}

}  // namespace
}  // namespace ridepitch
