// The chance that a built model keeps what is kept.

#include "swap/chance.hpp"

#include <gtest/gtest.h>

#include <cmath>

#include "ride/solve.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

/// A body on four coils of one part; only free lengths scatter.
Model legs(double free_mm, const std::string& part) {
  Model model =
      on_tyres(read_rig(body(2000, 0, 0, 6) + upright({.free_mm = free_mm, .solid_mm = 30, .rate_n_per_mm = 0.5}) +
                        four_corners("l", 10, 6)));
  model.linkages[0].springs[0].part = part;
  for (Assumable* each : {&model.spread.coil_rate_percent, &model.spread.batch_percent, &model.spread.mass_percent})
    each->value = 0;
  model.spread.coil_length_mm.value = 0.4;
  return model;
}

double chance(const Model& before, const Model& after, double ride_mm) {
  const Solution was = solved(before), is = solved(after);
  Keep keep;
  keep.ride_mm = ride_mm;
  keep.pitch_deg = keep.roll_deg = 90;
  keep.bump_share = keep.reserve_share = 0;
  return chance_of_keeping({before, was, sample_vehicles(before, was)}, {after, is, sample_vehicles(after, is)}, keep)
      ->share;
}

TEST(Chance, IsCertainWhereNothingDiffers) { EXPECT_EQ(chance(legs(64, "a"), legs(64, "a"), 0.01), 1); }

// The same parts have the same draws: both models differ by just their free lengths.
TEST(Chance, IsAllOrNothingWhereAllPartsAreShared) {
  EXPECT_EQ(chance(legs(64, "a"), legs(64.5, "a"), 0.6), 1);
  EXPECT_EQ(chance(legs(64, "a"), legs(64.5, "a"), 0.4), 0);
}

// Other springs: each corner's difference scatters by sqrt 2 of 0.4 sqrt 12 / 4 mm (scatter_test.cpp), and the height of the middle
// by sqrt 2 of 0.2 mm. Where the tolerance is wide for the tilt, 1 - P(|corner| > t) for one corner bounds it from above.
TEST(Chance, FallsWithTheScatterOfOtherSprings) {
  const double corner_mm = std::sqrt(2.0) * 0.4 * std::sqrt(12.0) / 4;
  const double found = chance(legs(64, "a"), legs(64, "b"), 0.5);
  const double one = std::erf(0.5 / corner_mm / std::sqrt(2.0));
  EXPECT_LT(found, one);
  EXPECT_GT(found, std::pow(one, 4) - 0.05);  // four corners that did not depend on each other would keep it so often
}

}  // namespace
}  // namespace ridepitch
