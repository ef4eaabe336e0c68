#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "cli/catalogue_text.hpp"
#include "cli/program.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using Json = nlohmann::ordered_json;

Catalogue three_coils_and_a_tyre() {
  Catalogue catalogue;
  const auto coil = [&](const std::string& name, double free_mm, double rate) {
    Coil data;
    data.free_mm = free_mm;
    data.solid_mm = free_mm - 16;
    data.rate_n_per_mm = rate;
    data.preload_n = 1;
    catalogue[name] = {name, data, {}};
  };
  coil("coil-10-soft", 80, 0.2);
  coil("coil-7-soft", 56, 0.3);
  coil("coil-7-firm", 56, 0.62);
  catalogue["tyre"] = {"tyre", Tyre{70, 24, 42, {}}, {}};
  return catalogue;
}

std::vector<std::string> names(const std::vector<Part>& parts) {
  std::vector<std::string> all;
  for (const Part& part : parts) all.push_back(part.name);
  return all;
}

/// A model with a catalogue and a price list of its own beside it.
std::string write_model(const Folder& scratch) {
  scratch.write(
      "mine.toml",
      "[part.coil-mine]\nkind = \"coil\"\nfree_mm = 61\nsolid_mm = 40\nlaw = [[0, 0.8], [10, 4.5], [21, 9.9]]\n");
  scratch.write("prices.csv", "part,price,stock\ncoil-mine,1.25,scarce\ncoil-65-firm,0.8,gone\n");
  return scratch.write("model.toml",
                       "format = 1\nname = \"Mine\"\nparts = [\"mine.toml\"]\nprices = \"prices.csv\"\n"
                       "[linkage.arm]\nplane = \"side\"\n"
                       "[linkage.arm.body]\nchassis = { holes = { pivot = [0, 0], seat = [4, 8] } }\n"
                       "arm = { holes = { root = [0, 0], coil = [5, 0], axle = [8, 0] }, near = { axle = [8, 0] } }\n"
                       "[[linkage.arm.pin]]\njoin = [\"chassis.pivot\", \"arm.root\"]\n"
                       "[linkage.arm.spring.main]\npart = \"coil-mine\"\nfrom = \"arm.coil\"\nto = \"chassis.seat\"\n"
                       "[linkage.arm.wheel.hub]\nat = \"arm.axle\"\npart = \"tyre-69\"\n"
                       "[[corner]]\nname = \"rear\"\nlinkage = \"arm\"\nat = [0, 0, 4]\nload_g = 200\n");
}

// Hooke's law: 1 N + 0.62 N/mm over 16 mm is 10.92 N, which is 1113.5 g (standard gravity, 9.80665 m/s2).
TEST(PartsList, GivesWhatACoilPushesWithWhenItIsPressedSolid) {
  PartsList list;
  list.parts = parts_of_kind(three_coils_and_a_tyre(), "coil");
  const std::string text = parts_list_text(list, {Ink{}, true});
  EXPECT_THAT(text, StartsWith("3 parts in the built-in catalogue.\n"));
  EXPECT_THAT(text, HasSubstr("  coil-7-firm   56.0   40.0    16.0  0.620     1.00       10.92  1114\n"));
}

TEST(PartsList, BeginsWithTheSmallAndWeakOnes) {
  EXPECT_THAT(names(parts_of_kind(three_coils_and_a_tyre(), "")),
              ElementsAre("coil-7-soft", "coil-7-firm", "coil-10-soft", "tyre"));
}

TEST(PartsList, TakesAKindInSingularOrPlural) {
  for (const char* kind : {"tyre", "tyres"}) {
    EXPECT_TRUE(is_part_kind(kind));
    EXPECT_THAT(names(parts_of_kind(three_coils_and_a_tyre(), kind)), ElementsAre("tyre"));
  }
  EXPECT_EQ(parts_of_kind(three_coils_and_a_tyre(), "springs").size(), 3u);
  EXPECT_FALSE(is_part_kind("wing"));
}

TEST(PartsList, OfTheProgramShowsEveryKindWithinThePage) {
  const ProgramRun run = run_program({"parts", "--list"});
  EXPECT_EQ(run.status, 0);
  for (const char* title :
       {"\nCoils ", "\nBands ", "\nTyres ", "\nBeams ", "\nRods ", "\nPins ", "\nGears ", "\nOthers "}) {
    EXPECT_THAT(run.out, HasSubstr(title));
  }
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
}

// A firm coil of 6.5 modules holds about 1 kg when pressed solid: common practice, no source; to 2 %.
TEST(PartsList, OfTheProgramHasAFirmCoilThatHoldsAKilogram) {
  const Json json = Json::parse(run_program({"parts", "--list", "coil", "--json"}).out);
  bool found = false;
  for (const Json& part : json["parts"]) {
    EXPECT_EQ(part["kind"], "coil");
    if (part["name"] != "coil-65-firm") continue;
    found = true;
    EXPECT_NEAR(part["solid_force_n"].get<double>() / 9.80665, 1.0, 0.02);
    EXPECT_EQ(part["free_mm"], 52);  // 6.5 modules of 8 mm
  }
  EXPECT_TRUE(found);
}

TEST(PartsList, OfAModelHasItsOwnPartsAndPrices) {
  const Folder scratch;
  const std::string model = write_model(scratch);
  const ProgramRun run = run_program({"parts", "--list", "coil", model});
  EXPECT_EQ(run.status, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr("25 parts in the catalogue of Mine."));  // 24 built in, one of its own
  EXPECT_THAT(run.out,
              testing::ContainsRegex("coil-mine +61\\.0 +40\\.0 +21\\.0 +table +0\\.80 +9\\.90 .* 1\\.25 +scarce"));
  EXPECT_THAT(run.out, testing::ContainsRegex("coil-65-firm .* 0\\.80 +gone"));
  EXPECT_EQ(run_program({"parts", model, "--list", "coil"}).out, run.out);
  const Json json = Json::parse(run_program({"parts", model, "--list", "--json"}).out);
  EXPECT_EQ(json["model"], "Mine");
  for (const Json& part : json["parts"]) {
    if (part["name"] != "coil-mine") continue;
    EXPECT_EQ(part["stock"], "scarce");
  }
}

TEST(PartsList, RefusesWhatIsNoKindAndNoFile) {
  const ProgramRun wrong = run_program({"parts", "--list", "coli"});
  EXPECT_EQ(wrong.status, 2);
  EXPECT_EQ(wrong.err, "ridepitch: error: there is no kind of part 'coli'\n   fix: did you mean 'coil'?\n");
  EXPECT_EQ(run_program({"parts", "--list", "coil", "band"}).status, 2);
  EXPECT_EQ(run_program({"parts", "--list", "a.toml", "b.toml"}).status, 2);
  EXPECT_EQ(run_program({"parts", "--list", "there-is-no-such.toml"}).status, 2);
}

}  // namespace
}  // namespace ridepitch
