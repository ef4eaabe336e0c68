// What a candidate's figures come to beside what is wanted and needed, as docs/model-format.md says.

#include "tune/aims.hpp"

#include <cmath>
#include <limits>
#include <random>

#include <gtest/gtest.h>

namespace ridepitch {
namespace {

constexpr double no_value = std::numeric_limits<double>::quiet_NaN();

/// Two figures wanted at 10 and 20, one needed from 5 to 8.
Aims plain_aims() {
  Aims aims;
  aims.figures.resize(3);
  aims.wants.push_back({&quantity("sag_mm"), "", {0, 1}, {10, 20}, 2, 3});
  aims.needs.push_back({&quantity("bump_travel_mm"), "", {2}, 5, 8});
  return aims;
}

Judgement judged(const Aims& aims, std::vector<double> values) { return judge(aims, values.data()); }

TEST(Judge, ScoresTheWorstMissOverItsToleranceSquaredTimesItsWeight) {
  // docs/model-format.md: miss / tolerance, squared, times weight; of several the worst counts.
  const Judgement j = judged(plain_aims(), {11, 16, 6});
  EXPECT_DOUBLE_EQ(j.score, 3 * (4.0 / 2) * (4.0 / 2));
  EXPECT_TRUE(j.passes());
  EXPECT_EQ(j.short_by, 0);
  EXPECT_EQ(judged(plain_aims(), {10, 20, 6}).score, 0);
}

TEST(Judge, ABoundIsMetExactly) {
  EXPECT_TRUE(judged(plain_aims(), {10, 20, 5}).passes());
  EXPECT_TRUE(judged(plain_aims(), {10, 20, 8}).passes());
  EXPECT_EQ(judged(plain_aims(), {10, 20, std::nextafter(5.0, 0.0)}).fails_need, 0);
  EXPECT_EQ(judged(plain_aims(), {10, 20, std::nextafter(8.0, 9.0)}).fails_need, 0);
}

TEST(Judge, NamesTheFirstNeedThatIsNotMetAndHowFarAllAre) {
  Aims aims = plain_aims();
  aims.needs.push_back({&quantity("sag_mm"), "", {0, 1}, 12, std::nullopt});
  EXPECT_EQ(judged(aims, {13, 14, 6}).fails_need, -1);
  EXPECT_EQ(judged(aims, {9, 11, 6}).fails_need, 1);
  EXPECT_NEAR(judged(aims, {9, 11, 6}).short_by, 3.0 / 12, 1e-9);  // the one that is farther off
  EXPECT_EQ(judged(aims, {9, 11, 4}).fails_need, 0);
  EXPECT_NEAR(judged(aims, {9, 11, 4}).short_by, 3.0 / 12 + 1.0 / 5, 1e-9);
}

TEST(Judge, AWantedValueThatDoesNotExistIsNoPass) {
  for (const auto& values : {std::vector<double>{no_value, 20, 6}, {10, no_value, 6}, {no_value, no_value, 6}}) {
    const Judgement j = judged(plain_aims(), values);
    EXPECT_TRUE(std::isnan(j.score));
    EXPECT_FALSE(j.passes());
    EXPECT_EQ(j.fails_need, -1);
  }
}

TEST(Judge, ANeededValueThatDoesNotExistFails) { EXPECT_EQ(judged(plain_aims(), {10, 20, no_value}).fails_need, 0); }

/// The page's own words, one candidate at a time.
Judgement by_the_page(const Aims& aims, const std::vector<double>& values) {
  Judgement out;
  for (std::size_t n = 0; n < aims.needs.size(); ++n) {
    double short_by = 0;
    for (const int k : aims.needs[n].figures) {
      const double value = values[static_cast<std::size_t>(k)], least = *aims.needs[n].least,
                   most = *aims.needs[n].most;
      if (std::isnan(value)) short_by = std::max(short_by, 10.0);
      if (value < least) short_by = std::max(short_by, (least - value) / std::abs(least));
      if (value > most) short_by = std::max(short_by, (value - most) / std::abs(most));
    }
    if (short_by > 0 && out.fails_need < 0) out.fails_need = static_cast<int>(n);
    out.short_by += short_by;
  }
  for (const Aim& want : aims.wants) {
    double worst = 0;
    for (std::size_t k = 0; k < want.figures.size(); ++k) {
      const double miss = std::abs(values[static_cast<std::size_t>(want.figures[k])] - want.target[k]);
      if (!(miss <= worst) && !std::isnan(worst)) worst = miss;
    }
    out.score += want.weight * (worst / want.tolerance) * (worst / want.tolerance);
  }
  return out;
}

// 1 is what the scalar kernel has, 4, 8 and 16 the others; 11 leaves a rest of every kind.
TEST(Judge, JudgesEveryLaneAsIfItWereAlone) {
  Aims aims = plain_aims();
  aims.wants.push_back({&quantity("pitch_deg"), "", {2}, {6}, 0.5, 1});
  aims.needs.push_back({&quantity("sag_mm"), "", {0, 1}, 8, 22});
  std::mt19937 random(20261128);
  for (const int lanes : {1, 2, 4, 8, 11, 16})
    for (int repeat = 0; repeat < 50; ++repeat) {
      std::vector<double> rows(static_cast<std::size_t>(3 * lanes));
      for (int figure = 0; figure < 3; ++figure)
        for (int lane = 0; lane < lanes; ++lane)
          rows[static_cast<std::size_t>(figure * lanes + lane)] =
              random() % 8 == 0 ? no_value : std::uniform_real_distribution<>(3, 24)(random);
      std::vector<Judgement> judged(static_cast<std::size_t>(lanes));
      judge(aims, rows.data(), lanes, judged.data());
      for (int lane = 0; lane < lanes; ++lane) {
        const auto value = [&](int figure) { return rows[static_cast<std::size_t>(figure * lanes + lane)]; };
        const Judgement expected = by_the_page(aims, {value(0), value(1), value(2)}),
                        &here = judged[static_cast<std::size_t>(lane)];
        EXPECT_EQ(here.fails_need, expected.fails_need) << "lane " << lane << " of " << lanes;
        EXPECT_NEAR(here.short_by, expected.short_by, 1e-8) << "lane " << lane << " of " << lanes;
        EXPECT_EQ(std::isnan(here.score), std::isnan(expected.score)) << "lane " << lane << " of " << lanes;
        if (!std::isnan(expected.score)) {
          EXPECT_NEAR(here.score, expected.score, 1e-12 * expected.score);
        }
      }
    }
}

}  // namespace
}  // namespace ridepitch
