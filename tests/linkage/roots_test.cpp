// Zeros and least values against closed forms, with the number of evaluations that they took.

#include "linkage/roots.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <numbers>

namespace ridepitch {
namespace {

constexpr double tight = 1e-14;

// A zero, and how often the function was asked for beside the two ends.
struct Counted {
  std::optional<double> zero;
  int evaluations = 0;
};

template <class Function>
Counted zero_between(double low, double high, Function f, CloseEnough enough = {.width = tight, .value = tight}) {
  Counted out;
  const auto counted = [&](double x) {
    ++out.evaluations;
    return f(x);
  };
  out.zero = find_zero(counted, {low, high, f(low), f(high)}, enough);
  return out;
}

TEST(FindZero, FindsRootsOfSmoothFunctionsInTwelveEvaluations) {
  const Counted cosine = zero_between(0, 1, [](double x) { return std::cos(x) - x; });
  EXPECT_NEAR(*cosine.zero, 0.7390851332151606417, tight);  // OEIS A003957
  EXPECT_LE(cosine.evaluations, 12);
  const Counted wallis = zero_between(2, 3, [](double x) { return x * x * x - 2 * x - 5; });
  EXPECT_NEAR(*wallis.zero, 2.0945514815423265915,
              2 * tight);  // OEIS A007493, the root that Wallis gave for Newton's method
  EXPECT_LE(wallis.evaluations, 12);
  const Counted root = zero_between(1, 2, [](double x) { return x * x - 2; });
  EXPECT_NEAR(*root.zero, std::numbers::sqrt2, tight);
  EXPECT_LE(root.evaluations, 12);
  const Counted line = zero_between(-1, 4, [](double x) { return 3 * x - 1; });
  EXPECT_NEAR(*line.zero, 1.0 / 3, tight);
  EXPECT_LE(line.evaluations, 2);
}

TEST(FindZero, FindsTheRootBesideADeadPoint) {  // where a linkage turns back its gaps go like the root of what is left
  const Counted found = zero_between(0, 1, [](double x) { return std::sqrt(1 - x) - 1e-3; });
  EXPECT_NEAR(*found.zero, 1 - 1e-6, tight);
  EXPECT_LE(found.evaluations, 20);
}

TEST(FindZero, TakesEndsInEitherOrderAndSignsEitherWay) {
  const auto f = [](double x) { return std::exp(x) - 2; };
  EXPECT_NEAR(*zero_between(0, 1, f).zero, std::numbers::ln2, tight);
  EXPECT_NEAR(*zero_between(1, 0, f).zero, std::numbers::ln2, tight);
  EXPECT_NEAR(*zero_between(0, 1, [&](double x) { return -f(x); }).zero, std::numbers::ln2, tight);
}

TEST(FindZero, TakesAtMostFourTimesTheStepsOfBisection) {
  // A zero of the ninth order, and a step: neither is like a straight line anywhere near.
  const CloseEnough width{.width = 1e-12, .value = 0};
  const int bisections = 41;  // log2(2 / 1e-12)
  const Counted flat = zero_between(
      -1, 0.7, [](double x) { return std::pow(x - 0.1, 9); }, width);
  EXPECT_NEAR(*flat.zero, 0.1, 1e-12);
  EXPECT_LE(flat.evaluations, 4 * bisections);
  const Counted step = zero_between(
      -1, 1, [](double x) { return x < 0.3 ? -1.0 : 1e9; }, width);
  EXPECT_NEAR(*step.zero, 0.3, 1e-12);
  EXPECT_LE(step.evaluations, 4 * bisections);
}

TEST(FindZero, AsksNothingWhereAnEndIsCloseEnough) {
  const Counted low = zero_between(0, 1, [](double x) { return x; });
  EXPECT_EQ(low.zero, 0.0);
  EXPECT_EQ(low.evaluations, 0);
  EXPECT_EQ(zero_between(-1, 0, [](double x) { return x; }).zero, 0.0);
}

TEST(FindZero, GivesUpWhereTheFunctionHasNoValue) {
  const double none = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(find_zero([&](double) { return none; }, {0, 1, -1, 1}, {.width = tight, .value = tight}).has_value());
}

TEST(FindLeast, FindsTheLeastValueOfClosedForms) {
  // x^x is least at 1/e, cosh(x - 2) at 2 and x - ln x at 1: where their derivatives vanish. A least value is flat, so its
  // place is known to half the digits only.
  EXPECT_NEAR(find_least([](double x) { return std::pow(x, x); }, 0.1, 1, 1e-9), 1 / std::numbers::e, 1e-7);
  EXPECT_NEAR(find_least([](double x) { return std::cosh(x - 2); }, -1, 9, 1e-9), 2, 1e-7);
  EXPECT_NEAR(find_least([](double x) { return x - std::log(x); }, 0.1, 3, 1e-9), 1, 1e-7);
  EXPECT_NEAR(find_least([](double x) { return std::abs(x - 0.3); }, -1, 1, 1e-12), 0.3, 1e-12);
}

TEST(FindLeast, NarrowsByTheGoldenRatioForOneEvaluation) {
  int evaluations = 0;
  find_least([&](double x) { return ++evaluations, x * x; }, -1, 1, 1e-6);
  EXPECT_EQ(evaluations, 2 + 31);  // log(2e6) / log(1.618) = 30.15
}

}  // namespace
}  // namespace ridepitch
