#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>

#include "cli/page.hpp"
#include "cli/program.hpp"

// `ridepitch swap` as a whole. The demo's numbers are judged by its own `solve`, not by figures written down here.

namespace ridepitch {
namespace {

using testing::AllOf;
using testing::Contains;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using Json = nlohmann::ordered_json;

/// A demo as users are shown it.
std::string shown_model(const std::string& name) { return source_path("models/" + name); }

Json swap_json(const std::vector<std::string>& words, int status) {
  std::vector<std::string> all = words;
  all.push_back("--json");
  const ProgramRun run = run_program(all);
  EXPECT_EQ(run.status, status) << run.out << run.err;
  EXPECT_EQ(run.err, "");
  return Json::parse(run.out);
}

TEST(Swap, AnEqualSpringStandsTheSame) {
  const ProgramRun run = run_program({"swap", hauler, "--spring", "rear left/main=coil-7-firm*2"});
  EXPECT_EQ(run.status, 0);
  EXPECT_THAT(run.out, StartsWith("Quarry hauler, with the change: stands the same"));
  EXPECT_EQ(run.err, "");
}

TEST(Swap, AnotherSpringDoesNot) {
  const ProgramRun run = run_program({"swap", hauler, "--spring", "rear left/main=coil-65-soft"});
  EXPECT_EQ(run.status, 1);
  EXPECT_THAT(run.out, HasSubstr(" mm lower"));
  EXPECT_THAT(run.out, HasSubstr("which share that linkage"));  // all four corners change
  EXPECT_THAT(run.out, HasSubstr("needs a motion ratio of"));
  EXPECT_THAT(run.out, HasSubstr("ride height within 1 mm, pitch within 0.5"));
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
  EXPECT_EQ(run_program({"swap", hauler, "--spring", "rear left/main=coil-65-firm", "--keep", "ride=9,rate=20"}).status,
            0);
}

// The tug has four corners of two coil-75-firm each; tests/models/gravel-tug's list has coil-65-firm at 1.20: 4 x 3 x 1.20 =
// 14.40.
TEST(Swap, SaysWhatToBuyAndWhatIsLeftOver) {
  const std::string tug = source_path("tests/models/gravel-tug.toml");
  const ProgramRun run = run_program({"swap", tug, "--spring", "front left/main=coil-65-firm*3"});
  EXPECT_THAT(run.out, HasSubstr("coil-65-firm     12  1.20  14.40  plenty"));
  EXPECT_THAT(run.out, HasSubstr("Left over: 8 coil-75-firm."));
  const Json shopping = swap_json({"swap", tug, "--spring", "front left/main=coil-65-firm*3"}, run.status)["shopping"];
  const Json bought = {
      {"part", "coil-65-firm"}, {"count", 12}, {"price_each", 1.2}, {"price", 12 * 1.2}, {"stock", "plenty"}};
  EXPECT_EQ(shopping["buy"], Json::array({bought}));
  EXPECT_EQ(shopping["left_over"][0]["part"], "coil-75-firm");
  EXPECT_EQ(shopping["left_over"][0]["count"], 8);
  EXPECT_DOUBLE_EQ(shopping["total"].get<double>(), 14.4);
}

TEST(Swap, SaysWhatARulerThatWasThereShouldReadAfterwards) {
  const std::vector<std::string> words = {"swap", shown_model("readings/weighed-hauler.toml"), "--spring",
                                          "rear left/main=coil-65-firm"};
  const ProgramRun run = run_program(words);
  EXPECT_THAT(run.out, HasSubstr("expect on ruler"));
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
  int told = 0;
  const Json swapped = swap_json(words, run.status);
  for (const Json& each : swapped["differences"]) {
    if (each["expected_on_ruler_mm"].is_null()) continue;
    ++told;
    // The file's readings: 36 and 37.5 mm.
    const double read_mm = each["where"] == "front left" ? 36 : 37.5;
    EXPECT_NEAR(each["expected_on_ruler_mm"], read_mm + double(each["after"]) - double(each["before"]), 1e-9);
  }
  EXPECT_EQ(told, 2);
  EXPECT_TRUE(swapped["after"]["measured"].empty()) << "no ruler was at the changed one";
  EXPECT_THAT(run_program({"swap", hauler, "--spring", "rear left/main=coil-65-firm"}).out,
              Not(HasSubstr("expect on ruler")));
}

TEST(Swap, JsonHasBothModelsAsSolveHasThem) {
  const Json swap = swap_json({"swap", model("log-skidder-banded.toml"), model("log-skidder-plain.toml")}, 1);
  Json before = swap_json({"solve", model("log-skidder-banded.toml")}, 0);
  Json after = swap_json({"solve", model("log-skidder-plain.toml")}, 0);
  before.erase("format");
  after.erase("format");
  EXPECT_EQ(swap["format"], 1);
  EXPECT_EQ(swap["holds"], false);
  EXPECT_EQ(swap["before"], before);
  EXPECT_EQ(swap["after"], after);
  bool found = false;
  for (const Json& each : swap["differences"]) {
    if (each["where"] != "left side" || each["quantity"] != "ride_height_mm") continue;
    found = true;
    EXPECT_EQ(each["before"], before["corners"][0]["ride_height_mm"]);
    EXPECT_EQ(each["after"], after["corners"][0]["ride_height_mm"]);
    EXPECT_EQ(each["tolerance"], 1.0);
    EXPECT_EQ(each["within"], false);
  }
  EXPECT_TRUE(found);
}

TEST(Swap, WhatIsWrittenSolvesToWhatWasPromised) {
  const Folder scratch;
  const std::string copy = scratch.file("copy.toml");
  const std::vector<std::string> words = {"swap",     hauler,
                                          "--spring", "rear left/main=coil-65-hard*1",
                                          "--hole",   "rear left/chassis.seat=-3,9",
                                          "--rod",    "rear left/pushrod=6.5",
                                          "--write",  copy};
  const Json swap = swap_json(words, 1);
  EXPECT_EQ(swap["written"], copy);
  Json solved = swap_json({"solve", copy}, 0);
  solved.erase("format");
  EXPECT_EQ(solved, swap["after"]);
  const Json again = swap_json({"swap", hauler, copy}, 1);
  EXPECT_EQ(again["verdict"], swap["verdict"]);
  EXPECT_THAT(scratch.names(), ElementsAre("copy.toml"));
}

TEST(Swap, TheModelItselfCanBeWritten) {
  const Folder scratch;
  const std::string text = text_of(model("trial-arm.toml"));
  const std::string copy = scratch.write("arm.toml", text);
  EXPECT_EQ(run_program({"swap", copy, "--spring", "rear left/main=*3", "--write", copy}).status, 1);
  std::string wanted = text;
  wanted.replace(wanted.find("count = 2"), 9, "count = 3");
  EXPECT_EQ(text_of(copy), wanted);
}

// Tyres are not carried by the springs: of another one the machine stands higher by half the difference of their
// diameters, (84 - 69) / 2 mm, and four are heavier by 4 times (74 - 40) g. The catalogue has these figures.
TEST(Swap, AnotherTyreLiftsTheMachineByHalfTheDifferenceOfDiameters) {
  const Json swap = swap_json(
      {"swap", shown_model("gravel-tug.toml"), "--tyre", "rear left/hub=tyre-84", "--keep", "ride=9,frequency=10%"}, 0);
  EXPECT_EQ(swap["changes"].size(), 1u);
  EXPECT_EQ(swap["changes"][0]["change"], "tyre hub: tyre-69 -> tyre-84");
  for (const int corner : {0, 1, 2, 3}) {
    const auto height = [&](const char* side) { return swap[side]["corners"][corner]["ride_height_mm"].get<double>(); };
    EXPECT_NEAR(height("after") - height("before"), 7.5, 1e-9) << corner;
  }
  const auto mass = [&](const char* side) { return swap[side]["vehicle"]["total_mass_kg"].get<double>(); };
  EXPECT_NEAR(mass("after") - mass("before"), 0.136, 1e-9);
}

TEST(Swap, APartWithoutTheHoleIsAProblemUntilTheHoleMoves) {
  const std::vector<std::string> part = {"swap", shown_model("gravel-tug.toml"), "--part", "rear left/rocker=beam-4-4"};
  const Json without = swap_json(part, 1);
  EXPECT_EQ(without["verdict"], "has a new problem (no-such-hole at arm/rocker.coil)");
  EXPECT_EQ(without["changes"][0]["change"], "part rocker: beam-4-6 -> beam-4-4");
  const Folder scratch;
  const std::string copy = scratch.file("copy.toml");
  std::vector<std::string> moved = part;
  moved.insert(moved.end(), {"--hole", "rear left/rocker.coil=0,3", "--write", copy});
  const std::string verdict = swap_json(moved, 1)["verdict"];
  EXPECT_THAT(verdict, Not(HasSubstr("no-such-hole")));
  const Json again = swap_json({"swap", shown_model("gravel-tug.toml"), copy}, 1);
  EXPECT_EQ(again["verdict"], verdict);
  int told = 0;
  for (const Json& each : again["differences"])
    if (each["quantity"] == "part") {
      ++told;
      EXPECT_EQ(each["before"], "beam-4-6");
      EXPECT_EQ(each["after"], "beam-4-4");
    }
  EXPECT_EQ(told, 4);  // corners share the linkage
}

TEST(Swap, HeightsOfTieRodsChangeTheBumpSteerAlone) {
  const std::vector<std::string> words = {"swap", shown_model("bark-dumper.toml"), "--rod-height",
                                          "steering/left=3,4.5"};
  const Json swap = swap_json(words, 1);
  EXPECT_EQ(swap["changes"][0]["change"], "height left: [3, 4] -> [3, 4.5]");
  std::set<std::string> differ;
  for (const Json& each : swap["differences"])
    if (each["before"] != each["after"] && each["quantity"] != "height") differ.insert(each["quantity"]);
  for (const std::string& quantity : differ)
    EXPECT_THAT(quantity, testing::AnyOf(HasSubstr("steer"), HasSubstr("turned"))) << quantity;
  EXPECT_FALSE(differ.empty());
  const ProgramRun run = run_program(words);
  EXPECT_THAT(run.out, HasSubstr("\n  height left: [3, 4] -> [3, 4.5], at steering\n"));
}

TEST(Swap, ChangesThatHaveNoSolutionAreAVerdict) {
  const Folder scratch;
  const std::vector<std::string> words = {"swap",    hauler,           "--rod", "rear left/pushrod=30",
                                          "--write", scratch.file("x")};
  const ProgramRun run = run_program(words);
  EXPECT_EQ(run.status, 1);
  EXPECT_THAT(run.out,
              StartsWith("Quarry hauler, with the change: does not stand: linkage 'arm' does not go together"));
  const Json json = swap_json(words, 1);
  EXPECT_EQ(json["holds"], false);
  EXPECT_TRUE(json["after"].is_null());
  EXPECT_EQ(json["errors"].size(), 1u);
  EXPECT_TRUE(scratch.names().empty());
}

TEST(Swap, ASecondModelWithoutASolutionIsAnError) {
  const Folder scratch;
  std::string text = text_of(model("trial-arm.toml"));
  text.replace(text.find("load_g = 640"), 12, "load_g = 64000");
  text.replace(text.find("max = 9.9"), 9, "max = 2");
  const std::string stuck = scratch.write("stuck.toml", text);
  ASSERT_EQ(run_program({"solve", stuck}).status, 3);
  EXPECT_EQ(run_program({"swap", model("trial-arm.toml"), stuck}).status, 3);
  EXPECT_EQ(run_program({"swap", stuck, model("trial-arm.toml")}).status, 3);
  EXPECT_EQ(run_program({"swap", model("trial-arm.toml"), scratch.file("none.toml")}).status, 2);
}

TEST(Swap, WordsAtFaultAreNamed) {
  const ProgramRun run =
      run_program({"swap", hauler, "--spring", "rear lefft/main=coil-65-soft", "--rod", "rear left/pushrd=6"});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.out, "");
  EXPECT_THAT(run.err, AllOf(HasSubstr("--spring names corner 'rear lefft'"), HasSubstr("did you mean 'rear left'?"),
                             HasSubstr("--rod names rod 'pushrd'"), HasSubstr("did you mean 'pushrod'?")));
}

TEST(Swap, UsageThatMakesNoSenseIsRefused) {
  const std::vector<std::vector<std::string>> all = {{"swap"},
                                                     {"swap", hauler},
                                                     {"swap", hauler, hauler, hauler},
                                                     {"swap", hauler, hauler, "--rod", "rear left/pushrod=6"},
                                                     {"swap", hauler, hauler, "--write", "x"},
                                                     {"swap", hauler, "--spring"},
                                                     {"swap", hauler, "--without", "a/b", "--keep", "riding=2"},
                                                     {"swap", hauler, model("trial-arm.toml")}};
  for (const auto& words : all) {
    const ProgramRun run = run_program(words);
    EXPECT_EQ(run.status, 2) << testing::PrintToString(words);
    EXPECT_EQ(run.out, "");
    EXPECT_THAT(run.err, HasSubstr("fix: "));
  }
}

TEST(Swap, AModelAfterAnOptionIsAModel) {
  EXPECT_EQ(run_program({"swap", "--spring", "rear left/main=*2", hauler}).status, 0);
  EXPECT_EQ(run_program({"swap", "--spring", "rear left/main=*3", "--spring", "rear left/main=*2", hauler}).status, 0);
}

}  // namespace
}  // namespace ridepitch
