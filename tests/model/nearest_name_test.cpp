#include "model/nearest_name.hpp"

#include <gtest/gtest.h>

namespace ridepitch {
namespace {

// Damerau's four slips, Comm. ACM 7 (1964) 171; "kitten" and "sitting" are the usual textbook pair.
TEST(SlipsBetween, CountsEachOfTheFourSlipsOnce) {
  EXPECT_EQ(slips_between("rocker", "rocker"), 0);
  EXPECT_EQ(slips_between("rocker", "rockker"), 1);  // one too many
  EXPECT_EQ(slips_between("rocker", "roker"), 1);    // one too few
  EXPECT_EQ(slips_between("rocker", "rogker"), 1);   // one wrong
  EXPECT_EQ(slips_between("rocker", "rokcer"), 1);   // two exchanged
  EXPECT_EQ(slips_between("kitten", "sitting"), 3);
  EXPECT_EQ(slips_between("", "arm"), 3);
}

// The known property that sets optimal string alignment apart from the unrestricted distance, which is 2 here.
TEST(SlipsBetween, ChangesNoPartTwice) { EXPECT_EQ(slips_between("ca", "abc"), 3); }

TEST(SlipsBetween, IsTheSameBothWays) {
  EXPECT_EQ(slips_between("spring", "string"), slips_between("string", "spring"));
  EXPECT_EQ(slips_between("a", "across"), slips_between("across", "a"));
}

TEST(NearestName, FindsTheKeyThatWasMeant) {
  EXPECT_EQ(nearest_name("lenght", {"from", "to", "length"}), "length");
  EXPECT_EQ(nearest_name("Length", {"from", "to", "length"}), "length");
  EXPECT_EQ(nearest_name("form", {"from", "to", "length"}), "from");
}

TEST(NearestName, TakesTheFirstOfEquallyNearOnes) { EXPECT_EQ(nearest_name("ba", {"bar", "bat"}), "bar"); }

TEST(NearestName, ForgivesAUnitLeftOutOrAdded) {
  EXPECT_EQ(nearest_name("rate", {"free_mm", "rate_n_per_mm"}), "rate_n_per_mm");
  EXPECT_EQ(nearest_name("length_modules", {"from", "length"}), "length");
}

TEST(NearestName, IsEmptyWhereNothingIsNear) {
  EXPECT_EQ(nearest_name("colour", {"from", "to", "length"}), "");
  EXPECT_EQ(nearest_name("u", {"v"}), "");
  EXPECT_EQ(nearest_name("arm", {}), "");
}

TEST(NearestName, DoesNotCompareNamesOfAbsurdLength) {
  EXPECT_EQ(nearest_name(std::string(100'000, 'x'), {"length"}), "");
}

}  // namespace
}  // namespace ridepitch
