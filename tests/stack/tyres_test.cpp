// Tyres of one side, beside each other and behind each other.

#include "stack/tyres.hpp"

#include <gtest/gtest.h>

#include <string>

#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/texts.hpp"

namespace ridepitch {
namespace {

TEST(Tyres, BesideOneAnotherDoNotTouch) {
  const auto touching = [](double out) {
    const Model model = read_rig(body(2000, 0, 0, 6) + upright({.name = "near", .tyre = "part = \"tyre-62\""}) +
                                 upright({.name = "far", .tyre = "part = \"tyre-62\"\nout = " + std::to_string(out)}) +
                                 four_corners("near", 10, 6) + corner("middle left", "far", 5, 6) +
                                 corner("middle right", "far", 5, -6));
    return !find_touching_tyres(model, solved(model)).empty();
  };
  // Tyres of 62 mm, five modules (40 mm) apart along the vehicle.
  EXPECT_TRUE(touching(0));
  EXPECT_FALSE(touching(6));
}

}  // namespace
}  // namespace ridepitch
