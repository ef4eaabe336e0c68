#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/page.hpp"
#include "cli/program.hpp"

// `ridepitch steer` as a whole: its answer, its JSON (names by docs/model-format.md and the design), its table, and texts at
// fault. Expected values are definitions, plane geometry, or the file's own figures.

namespace ridepitch {
namespace {

using testing::AllOf;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using Json = nlohmann::ordered_json;

Json steer_json(const std::vector<std::string>& words, int status = 0) {
  const ProgramRun run = run_program(words);
  EXPECT_EQ(run.status, status) << run.err;
  return Json::parse(run.out);
}

TEST(Steer, AnswersInItsFirstSentence) {
  const ProgramRun run = run_program({"steer", model("scout-car.toml")});
  EXPECT_EQ(run.status, 0);
  EXPECT_EQ(run.err, "");
  EXPECT_THAT(run.out, StartsWith("Scout car: steering turns its wheels "));
  EXPECT_THAT(run.out, AllOf(HasSubstr("in a circle of "), HasSubstr("Check by hand: steering"),
                             HasSubstr("turns from lock to lock"), HasSubstr("(assumed: the file has no tyre_mu)"),
                             HasSubstr("\n  turn radius ")));
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
}

TEST(Steer, TerseLeavesOutWhatHeadingsMean) {
  const ProgramRun run = run_program({"steer", "--terse", model("scout-car.toml")});
  EXPECT_THAT(run.out, Not(HasSubstr("how far a wheel is turned, positive to the left")));
  EXPECT_THAT(run.out, HasSubstr("An estimate: the vehicle stands"));
}

TEST(Steer, JsonHasTheNamesOfTheDesign) {
  const Json json = steer_json({"steer", "--json", model("slate-carrier.toml")});
  EXPECT_EQ(json["format"], 1);
  ASSERT_EQ(json["steering"].size(), 1u);
  const Json& s = json["steering"][0];
  EXPECT_EQ(s["name"], "steering");
  EXPECT_EQ(s["drive"], "rack");
  EXPECT_EQ(s["range"], Json::array({-12.0, 12.0}));  // the file's 1.5 modules
  EXPECT_EQ(s["ends"], Json::array({"stroke", "stroke"}));
  EXPECT_NEAR(s["rack_mm_per_turn"], 37.69911184, 1e-8);  // pi m z, m = 1 mm, z = 12
  EXPECT_NEAR(s["turns_lock_to_lock"], 24 / 37.69911184, 1e-8);
  EXPECT_EQ(s["track_mm"], 96.0);  // kingpins 12 modules apart
  for (const char* pair : {"turn_circle_mm", "kerb_circle_mm", "ackermann_percent"}) {
    ASSERT_EQ(s[pair].size(), 2u) << pair;
    EXPECT_TRUE(s[pair][0].is_number()) << pair;
  }
  EXPECT_NEAR(s["kerb_circle_mm"][0].get<double>() - s["turn_circle_mm"][0].get<double>(), 24,
              1e-9);  // tyre-70 is 24 mm wide
  ASSERT_EQ(s["wheels"].size(), 2u);
  EXPECT_EQ(s["wheels"][0]["name"], "left");
  EXPECT_EQ(s["wheels"][0]["lock_deg"].size(), 2u);
  EXPECT_TRUE(s["wheels"][0]["toe_deg"].is_number());
  ASSERT_EQ(s["sweep"].size(), 21u);
  for (const Json& point : s["sweep"]) {
    EXPECT_EQ(point["steer_deg"].size(), 2u);
    EXPECT_TRUE(point["steer_deg"]["left"].is_number());
    EXPECT_TRUE(point["ackermann_error_deg"].is_number());
    EXPECT_TRUE(point["drive"] == 0.0 ? point["turn_radius_mm"].is_null() : point["turn_radius_mm"].is_number());
  }
  EXPECT_TRUE(json["findings"].is_array());
}

TEST(Steer, ErrorAndRadiusInTheJsonAreThoseOfItsOwnAngles) {  // by the definitions of the format page
  const Json json = steer_json({"steer", "--json", "--points", "9", model("slate-carrier.toml")});
  const Json& s = json["steering"][0];
  const double per_deg = std::acos(-1.0) / 180, track = s["track_mm"], wheelbase = s["wheelbase_mm"];
  for (const Json& point : s["sweep"]) {
    const double left = point["steer_deg"]["left"], right = point["steer_deg"]["right"];
    if (point["drive"] == 0.0) continue;
    const double inner = std::abs(left > 0 ? left : right), outer = std::abs(left > 0 ? right : left);
    const double ideal = std::atan(1 / (1 / std::tan(inner * per_deg) + track / wheelbase)) / per_deg;
    EXPECT_NEAR(point["ackermann_error_deg"], outer - ideal, 1e-9);
    // The wheel's centre swings 16 mm out on its kingpin.
    EXPECT_NEAR(point["turn_radius_mm"], wheelbase / std::sin(outer * per_deg) + 16, 1e-6);
  }
}

TEST(Steer, PointsAreAsManyAsAskedForAndEvenlySpaced) {
  const Json json = steer_json({"steer", "--json", "--points", "5", model("slate-carrier.toml")});
  std::vector<double> drives;
  for (const Json& point : json["steering"][0]["sweep"]) drives.push_back(point["drive"]);
  EXPECT_EQ(drives, (std::vector<double>{-12, -6, 0, 6, 12}));
}

TEST(Steer, CurveIsWrittenForASpreadsheet) {
  const Folder scratch;
  const std::string path = scratch.file("curve.csv");
  const ProgramRun run = run_program({"steer", "--curve", path, "--points", "3", model("peat-crab.toml")});
  EXPECT_EQ(run.status, 0) << run.err;
  const std::vector<std::string> lines = lines_of(text_of(path));
  ASSERT_EQ(lines.size(), 1u + 2 * 3);
  EXPECT_EQ(lines[0], "steering,drive,hand_turns,left_steer_deg,right_steer_deg,ackermann_error_deg,turn_radius_mm");
  EXPECT_THAT(lines[1], StartsWith("front steering,-8,-0.31830988618379"));  // 8 mm over 8 pi mm a turn
  EXPECT_THAT(lines[2], StartsWith("front steering,0,0,"));
  EXPECT_THAT(lines[4], StartsWith("rear steering,-8,"));
}

TEST(Steer, OfAModelThatSteersEveryAxleHasNoWheelbase) {
  const Json json = steer_json({"steer", "--json", model("peat-crab.toml")});
  ASSERT_EQ(json["steering"].size(), 2u);
  EXPECT_TRUE(json["steering"][0]["wheelbase_mm"].is_null());
  EXPECT_TRUE(json["steering"][1]["ackermann_percent"][0].is_null());
  EXPECT_EQ(json["steering"][1]["follows"], "front-steer");
  EXPECT_TRUE(json["steering"][0]["turn_circle_mm"][0].is_number());
}

TEST(Steer, OfACrankCountsInDegrees) {
  const Json json = steer_json({"steer", "--json", model("bark-dumper.toml")});
  const Json& s = json["steering"][0];
  EXPECT_EQ(s["drive"], "crank");
  EXPECT_NEAR(s["range"][0], -27, 1e-9);
  EXPECT_NEAR(s["range"][1], 30, 1e-9);
  EXPECT_TRUE(s["rack_mm_per_turn"].is_null());
  EXPECT_NEAR(s["turns_lock_to_lock"], 57.0 / 360 * 3, 1e-12);
  // Drag link, crank and arm are a parallelogram: the left wheel turns as the crank does.
  for (const Json& point : s["sweep"]) EXPECT_NEAR(point["steer_deg"]["left"], point["drive"].get<double>(), 1e-9);
}

TEST(Steer, DemoMachinesSteerWithoutAProblemOrWarning) {
  for (const char* name : {"scout-car.toml", "peat-crab.toml", "bark-dumper.toml"})
    EXPECT_EQ(steer_json({"steer", "--json", model(name)})["findings"], Json::array()) << name;
}

// Its tie rods are 4 modules long and its wheels rise by 3: they can't but turn.
// A machine is not found good by `solve` before its steering was judged too.
TEST(Steer, FindingsAreAmongThoseOfSolve) {
  const Json steer = steer_json({"steer", "--json", model("slate-carrier.toml")})["findings"];
  const Json solve = steer_json({"solve", "--json", model("slate-carrier.toml")})["findings"];
  ASSERT_EQ(steer.size(), 2u);
  for (const Json& finding : steer) EXPECT_THAT(solve, testing::Contains(finding));
  EXPECT_THAT(run_program({"solve", model("slate-carrier.toml")}).out, HasSubstr("It works; 2 warnings and 1 note at"));
  EXPECT_THAT(run_program({"solve", model("peat-crab.toml")}).out, HasSubstr("It works; 1 note at the end."));
}

TEST(Steer, ShortTieRodsAreToldOfThoughTheySteerNothingAtRest) {
  const Json findings = steer_json({"steer", "--json", model("slate-carrier.toml")})["findings"];
  ASSERT_EQ(findings.size(), 2u);
  for (const Json& finding : findings) EXPECT_EQ(finding["code"], "steers-in-bump");
}

TEST(Steer, JsonTellsBumpSteerOfEveryWheelAndTheRoomAtLock) {
  const Json json = steer_json({"steer", "--json", model("scout-car.toml")});
  const Json& s = json["steering"][0];
  for (const Json& wheel : s["wheels"]) {
    const Json& bump = wheel["bump_steer"];
    EXPECT_TRUE(bump["slope_deg_per_10mm"].is_number());
    EXPECT_EQ(bump["heights_given"], true);
    EXPECT_EQ(bump["straight"]["points"].size(), 21u);
    EXPECT_EQ(bump["at_lock"].size(), 2u);
    for (const char* end : {"now", "exact", "upright", "hole"})
      EXPECT_EQ(bump["zero_slope"][end]["hole"].size(), 2u) << end;
    EXPECT_NEAR(bump["zero_slope"]["upright"]["slope_deg_per_10mm"], 0, 1e-9);
  }
  EXPECT_EQ(s["room"]["clear"], true);
  EXPECT_EQ(s["room"]["clear_drive"], s["range"]);
  ASSERT_EQ(s["room"]["gaps"].size(), 2u);
  EXPECT_EQ(s["room"]["gaps"][0]["wheel"], "front left/hub");
  EXPECT_EQ(s["room"]["gaps"][0]["keepout"], false);
  EXPECT_EQ(s["room"]["gaps"][0]["at_modules"].size(), 3u);
}

TEST(Steer, SaysWhereATyreRunsIntoAKeepout) {
  const Folder scratch;
  scratch.write("parts.toml", text_of(model("parts.toml")));
  const std::string path =
      scratch.write("tight.toml", text_of(model("scout-car.toml")) +
                                      "\n[[keepout]]\nname = \"battery\"\nat = [12, 10, 4]\nsize = [2, 8, 8]\n");
  const Json json = steer_json({"steer", "--json", path});
  const Json& room = json["steering"][0]["room"];
  EXPECT_EQ(room["clear"], false);
  EXPECT_EQ(room["gaps"][0]["against"], "battery");
  EXPECT_EQ(room["gaps"][0]["keepout"], true);
  EXPECT_LT(room["gaps"][0]["gap_mm"], 0);
  EXPECT_EQ(json["findings"][0]["code"], "no-room");
  EXPECT_EQ(json["findings"][0]["level"], "problem");
  EXPECT_THAT(run_program({"steer", path}).out, HasSubstr("battery"));
}

TEST(Steer, AStrokeThatTheRodsCanNotFollowIsDoneAsFarAsItGoes) {
  const Folder scratch;
  scratch.write("parts.toml", text_of(model("parts.toml")));
  const std::string path = scratch.write(
      "long.toml", replaced(text_of(model("slate-carrier.toml")), "stroke = [-1.5, 1.5]", "stroke = [-9, 9]"));
  const Json json = steer_json({"steer", "--json", path});
  const Json& s = json["steering"][0];
  EXPECT_EQ(s["ends"][0], "dead point");
  EXPECT_LT(s["range"][1], 72);
  EXPECT_EQ(json["findings"][0]["code"], "stroke-not-followed");
  EXPECT_EQ(run_program({"steer", path}).status, 0);
}

TEST(Steer, AModelWithoutSteeringIsToldSo) {
  const ProgramRun run = run_program({"steer", model("quarry-hauler.toml")});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.out, "");
  EXPECT_THAT(run.err, AllOf(HasSubstr("quarry-hauler.toml"),
                             HasSubstr("nothing is steered: no corner uses a linkage in the top plane"),
                             HasSubstr("plane = \"top\"")));
  const Json json = steer_json({"steer", "--json", model("quarry-hauler.toml")}, 2);
  EXPECT_EQ(json["errors"][0]["code"], "no-steering");
}

/// The slate carrier with something replaced, steered: it is refused at a place.
void expect_refused(const std::string& from, const std::string& to, const std::string& code, const std::string& line,
                    int status = 2) {
  const Folder scratch;
  scratch.write("parts.toml", text_of(model("parts.toml")));
  const std::string text = replaced(text_of(model("slate-carrier.toml")), from, to);
  const Json json = steer_json({"steer", "--json", scratch.write("bad.toml", text)}, status);
  ASSERT_FALSE(json["errors"].empty()) << code;
  const Json& error = json["errors"][0];
  EXPECT_EQ(error["code"], code) << error.dump();
  EXPECT_GE(error["column"], 1);
  ASSERT_GE(error["line"], 1) << code;
  EXPECT_THAT(lines_of(text).at(error["line"].get<std::size_t>() - 1), HasSubstr(line)) << error.dump();
}

TEST(Steer, TextsAtFaultAreRefusedAtTheirPlace) {
  expect_refused("ahead = [1, 0]\n", "", "missing-key", "[linkage.steer.wheel.left]");
  expect_refused("same_as = \"front left/hub\"", "same_as = \"front lefd/hub\"", "unknown-name",
                 "same_as = \"front lefd/hub\"");
  expect_refused("same_as = \"front left/hub\"\n", "", "missing-key", "[linkage.steer.wheel.left]");
  expect_refused("at = [18, 0, 4]", "at = [16, 0, 4]", "same-as-far", "[linkage.steer.wheel.left]");
  expect_refused("pinion_teeth = 12", "follows = \"steer\"", "follower-loop", "[linkage.steer.drive]");
  expect_refused("pinion_teeth = 12", "follows = \"stear\"", "unknown-name", "follows = \"stear\"");
  expect_refused("stroke = [-1.5, 1.5]", "stroke = [0.5, 1.5]", "leaves-out-zero", "stroke = [0.5, 1.5]");
  // A rod from the rack to the chassis locks it.
  expect_refused("[linkage.steer.drive]",
                 "[linkage.steer.rod.lock]\nfrom = \"rack.left\"\nto = \"chassis.left\"\nlength = "
                 "4.609772228646444\n\n[linkage.steer.drive]",
                 "no-freedom", "[linkage.steer.drive]");
  // Without its tie rod the right knuckle is loose.
  expect_refused("[linkage.steer.rod.right]\nfrom = \"rack.right\"\nto = \"knuckle-right.arm\"\nlength = 4\n", "",
                 "loose-steering", "[linkage.steer.drive]");
}

TEST(Steer, WordsAtFaultAreNamed) {
  const std::string scout = model("scout-car.toml");
  const std::vector<std::vector<std::string>> all = {{"steer"},
                                                     {"steer", scout, "--points", "1"},
                                                     {"steer", scout, "--points", "x"},
                                                     {"steer", scout, scout, "--curve", "x.csv"},
                                                     {"steer", scout, "--pointz", "3"},
                                                     {"steer", "no-such-file.toml"},
                                                     {"steer", scout, "--curve", "/no/such/folder/x.csv"}};
  for (const auto& words : all) {
    const ProgramRun run = run_program(words);
    EXPECT_EQ(run.status, 2) << words.back();
    EXPECT_THAT(run.err, HasSubstr("error")) << words.back();
    EXPECT_EQ(run.out, "") << words.back();
  }
}

TEST(Steer, ItsQuantitiesCanBeTuned) {
  const Folder scratch;
  scratch.write("parts.toml", text_of(model("parts.toml")));
  // Where the arms end, both knuckles by themselves: the search looks at all nine and takes what is asked.
  const std::string path = scratch.write("tuned.toml", text_of(model("slate-carrier.toml")) + R"(
[tune]
corner = "steering"

[[tune.vary]]
hole = "knuckle-left.arm"
at = [[3, 0.5], [3, 0], [2.5, 0.5]]

[[tune.vary]]
hole = "knuckle-right.arm"
at = [[3, -0.5], [3, 0], [2.5, -0.5]]

[[tune.want]]
quantity = "ackermann_error_deg"
value = 0
tolerance = 0.5

[[tune.want]]
quantity = "turn_radius_mm"
of = "steering"
tolerance = 10

[[tune.need]]
quantity = "lock_deg"
least = 20
)");
  const Json tuned = steer_json({"tune", "--json", path});
  EXPECT_EQ(tuned["candidates"], 9);
  ASSERT_FALSE(tuned["results"].empty());
  const Json as_it_stands = steer_json({"steer", "--json", path});
  const Json& steering = as_it_stands["steering"][0];
  // One of the results changes nothing: what it has is what `steer` says.
  for (const Json& result : tuned["results"]) {
    if (!result["changes"].empty()) continue;
    const Json& quantities = result["quantities"];
    EXPECT_NEAR(quantities["ackermann_error_deg"], std::abs(steering["worst_error_deg"].get<double>()), 1e-9);
    EXPECT_NEAR(quantities["lock_deg of steering/left"], steering["inner_lock_deg"][0].get<double>(), 1e-9);
    EXPECT_NEAR(quantities["turn_radius_mm"], steering["turn_circle_mm"][0].get<double>() / 2, 1e-6);
    return;
  }
  ADD_FAILURE() << "no result leaves the model as it stands";
}

TEST(Steer, SeveralModelsAreOneDocument) {
  const Json json = steer_json({"steer", "--json", model("scout-car.toml"), model("peat-crab.toml")});
  ASSERT_EQ(json["models"].size(), 2u);
  EXPECT_EQ(json["models"][1]["model"], "Peat crab");
}

}  // namespace
}  // namespace ridepitch
