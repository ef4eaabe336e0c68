#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/page.hpp"
#include "cli/program.hpp"

// `ridepitch nudge` as a whole: its numbers are those of `solve` on the model with that step written into it.

namespace ridepitch {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using Json = nlohmann::ordered_json;

Json nudge_json(const std::vector<std::string>& words) {
  const ProgramRun run = run_program(words);
  EXPECT_EQ(run.status, 0) << run.err;
  return Json::parse(run.out);
}

TEST(Nudge, PrintsATableForEachWheelOfEachLinkage) {
  const ProgramRun run = run_program({"nudge", model("ore-hauler.toml")});
  EXPECT_EQ(run.status, 0);
  EXPECT_THAT(run.out, AllOf(StartsWith("Ore hauler: what one step of each part does"), HasSubstr("\nfront left/hub "),
                             HasSubstr("\nrear left/hub "), Not(HasSubstr("\nrear right/hub ")),
                             HasSubstr("With 0.05 mm of play at each joint")));
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
}

TEST(Nudge, OneCornerIsLookedAtAlone) {
  const ProgramRun run = run_program({"nudge", model("ore-hauler.toml"), "--corner", "rear right", "--play", "0"});
  EXPECT_THAT(run.out,
              AllOf(HasSubstr("\nrear right/hub "), Not(HasSubstr("\nfront left/hub ")), Not(HasSubstr("of play"))));
}

TEST(Nudge, AStepIsWhatSwapSaysOfIt) {
  const Json nudge = nudge_json({"nudge", hauler, "--json"});
  EXPECT_EQ(nudge["step_modules"], 1.0);
  EXPECT_EQ(nudge["play"]["play_mm"], 0.05);
  const Json swap = Json::parse(run_program({"swap", hauler, "--hole", "rear left/chassis.seat=-3,9", "--json"}).out);
  int found = 0;
  for (const Json& step : nudge["steps"]) {
    if (step["step"] != "chassis.seat u+1") continue;
    for (const Json& change : step["changes"]) {
      for (const Json& difference : swap["differences"]) {
        if (difference["where"] != change["where"] || difference["quantity"] != change["quantity"]) continue;
        EXPECT_EQ(difference["before"], change["before"]);
        EXPECT_EQ(difference["after"], change["after"]);
        ++found;
      }
    }
  }
  EXPECT_GT(found, 20);  // four corners, four wheels, the vehicle
}

TEST(Nudge, TheGreatestEffectComesFirst) {
  const Json nudge = nudge_json({"nudge", model("scout-car.toml"), "--json", "--play", "0"});
  EXPECT_TRUE(nudge["play"].is_null());
  double last = std::numeric_limits<double>::infinity();
  for (const Json& step : nudge["steps"]) {
    if (!step["error"].is_null()) continue;
    const double effect =
        step["effect"].is_null() ? std::numeric_limits<double>::infinity() : step["effect"].get<double>();
    EXPECT_LE(effect, last);
    last = effect;
  }
  EXPECT_GE(nudge["steps"].size(), 40u);
}

TEST(Nudge, OfASteeringIsWhatSteerSaysOfEachStep) {
  const Folder scratch;
  scratch.write("parts.toml", text_of(model("parts.toml")));
  const std::string carrier = model("slate-carrier.toml");
  const Json nudge = nudge_json({"nudge", carrier, "--json", "--corner", "steering"});
  ASSERT_EQ(nudge["steering"].size(), 1u);
  EXPECT_TRUE(nudge["steps"].empty());
  const Json& steering = nudge["steering"][0];
  EXPECT_EQ(steering["corner"], "steering");
  int found = 0;
  for (const Json& step : steering["steps"]) {
    if (step["step"] != "knuckle-left.arm v+0.5") continue;
    // The same written into the file.
    std::string text = text_of(carrier);
    const std::string was = "knuckle-left = { holes = { king = [0, 0], arm = [3, 0.5]";
    text.replace(text.find(was), was.size(), "knuckle-left = { holes = { king = [0, 0], arm = [3, 1.0]");
    const Json other = nudge_json({"steer", "--json", scratch.write("other.toml", text)});
    const Json& s = other["steering"][0];
    for (const Json& change : step["changes"]) {
      ++found;
      const double after = change["after"];
      if (change["quantity"] == "ackermann_error_deg") {
        EXPECT_NEAR(after, std::abs(s["worst_error_deg"].get<double>()), 1e-9);
      }
      if (change["where"] == "steering/left") {
        EXPECT_NEAR(after,
                    std::max(std::abs(s["wheels"][0]["lock_deg"][0].get<double>()),
                             std::abs(s["wheels"][0]["lock_deg"][1].get<double>())),
                    1e-9);
      }
    }
  }
  EXPECT_GE(found, 3);
  EXPECT_THAT(run_program({"nudge", model("scout-car.toml"), "--play", "0"}).out, HasSubstr("\nsteering "));
}

TEST(Nudge, EndsAtItsLimitWithWhatItTriedAndSaysHowMuchThatIs) {
  const Json nudge = nudge_json({"nudge", model("ore-hauler.toml"), "--limit", "1e-6", "--json"});
  EXPECT_EQ(nudge["complete"], false);
  EXPECT_EQ(nudge["looked_at"], 0);
  EXPECT_GT(nudge["candidates"], 50);
  EXPECT_THAT(run_program({"nudge", model("ore-hauler.toml"), "--limit", "1e-6"}).out,
              AllOf(HasSubstr("This is not all: 0 of "), HasSubstr("--limit")));
  EXPECT_EQ(nudge_json({"nudge", model("ore-hauler.toml"), "--json"})["complete"], true);
}

TEST(Nudge, WordsAtFaultAreNamed) {
  EXPECT_THAT(run_program({"nudge", hauler, "--corner", "rear lef"}).err, HasSubstr("did you mean 'rear left'?"));
  const std::vector<std::vector<std::string>> all = {{"nudge"},
                                                     {"nudge", hauler, hauler},
                                                     {"nudge", hauler, "--corner", "rear lef"},
                                                     {"nudge", hauler, "--play", "-1"},
                                                     {"nudge", hauler, "--play", "x"},
                                                     {"nudge", "no-such-file.toml"}};
  for (const auto& words : all) EXPECT_EQ(run_program(words).status, 2) << testing::PrintToString(words);
}

}  // namespace
}  // namespace ridepitch
