#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "cli/program.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;
using testing::StartsWith;
using Json = nlohmann::ordered_json;

// Counted by hand from the file: four corners, each two coils, an arm, a rod and a tyre.
TEST(PartsOfAModel, AreListedWithPinsAndPrices) {
  const ProgramRun run = run_program({"parts", model("gravel-tug.toml")});
  EXPECT_EQ(run.status, 0) << run.err;
  EXPECT_THAT(run.out, StartsWith("Gravel tug is built from "));
  EXPECT_THAT(run.out, HasSubstr("Gone: coil-75-firm."));
  EXPECT_THAT(run.out, HasSubstr("60.80")) << "8 coils at 7.60";
  const Json json = Json::parse(run_program({"parts", model("gravel-tug.toml"), "--json", "--over", "5"}).out);
  int pieces = 0, axles = 0;
  for (const Json& line : json["lines"]) {
    const std::string part = line["part"];
    pieces += line["count"].get<int>();
    if (part.starts_with("axle-")) axles += line["count"].get<int>();
    if (part == "coil-75-firm") {
      EXPECT_EQ(line["count"], 8);
      EXPECT_EQ(line["price"], 60.80);
      EXPECT_EQ(line["stock"], "gone");
      EXPECT_TRUE(line["dear"]) << "7.60 is over 5";
    }
  }
  EXPECT_EQ(json["pieces"], pieces);
  EXPECT_GE(axles, 4) << "a wheel stands on an axle: four of them";
}

TEST(PartsOfAModel, AgainstTheModelBeforeAddUp) {
  const Json json = Json::parse(
      run_program({"parts", model("gravel-tug-rework.toml"), "--against", model("gravel-tug.toml"), "--json"}).out);
  double added = 0, removed = 0;
  for (const Json& line : json["against"]["added"]) added += line["price"].is_null() ? 0 : line["price"].get<double>();
  for (const Json& line : json["against"]["removed"])
    removed += line["price"].is_null() ? 0 : line["price"].get<double>();
  EXPECT_GT(added, 0);
  EXPECT_GT(removed, added);
  if (json["against"]["saved"].is_number()) {
    EXPECT_NEAR(json["against"]["saved"].get<double>(), removed - added, 1e-9);
  }
}

TEST(PartsOfAModel, AreATableForAShop) {
  const Folder folder;
  folder.write("p.csv", "part,price,stock\ncoil-75-firm,7.605,scarce\n");
  const ProgramRun run = run_program({"parts", model("gravel-tug.toml"), "--csv", "--prices", folder.file("p.csv")});
  EXPECT_THAT(run.out, StartsWith("part,count,price_each,price,stock\n"));
  EXPECT_THAT(run.out, HasSubstr("\ntyre-69,4,,,\n")) << "the list does not have it";
  EXPECT_THAT(run.out, testing::ContainsRegex("\ncoil-75-firm,8,7.6[01],60.[0-9]+,scarce\n"));
}

TEST(PartsOfAModel, AndTheCatalogueAreNotAskedForTogether) {
  const std::vector<std::pair<std::vector<std::string>, std::string>> wrong = {
      {{"parts"}, "needs a model, or --list"},
      {{"parts", hauler, hauler}, "takes one model"},
      {{"parts", "--list", "coil", "--csv"}, "--list shows a catalogue"},
      {{"parts", hauler, "--csv", "--json"}, "two forms of one list"},
      {{"parts", hauler, "--prices", "none.csv"}, "none.csv"},
      {{"parts", hauler, "--over", "-1"}, "--over"},
      {{"parts", hauler, "--against", "none.toml"}, "none.toml"}};
  for (const auto& [words, told] : wrong) {
    const ProgramRun run = run_program(words);
    EXPECT_EQ(run.status, 2) << told;
    EXPECT_THAT(run.err + run.out, HasSubstr(told));
  }
}

}  // namespace
}  // namespace ridepitch
