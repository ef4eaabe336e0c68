#include "cli/json_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/hand_built.hpp"

namespace ridepitch {
namespace {

using Json = nlohmann::ordered_json;

Json document(const Solved& solved) { return Json::parse(solve_json({solved})); }

std::vector<std::string> keys_of(const Json& object) {
  std::vector<std::string> keys;
  for (const auto& item : object.items()) keys.push_back(item.key());
  return keys;
}

TEST(SolveJson, HoldsTheBuildersReadings) {
  Solved solved = hand_built_hauler();
  EXPECT_TRUE(document(solved)["weighing"].is_null());
  EXPECT_TRUE(document(solved)["measured"].empty());
  solved.solution.measured.push_back({2, 37, 1, 39, 0.5});
  solved.solution.causes.push_back({"rate", "spring coil", "less", -8, "%", 0.8, 0.25, 0.7});
  solved.solution.weighing = Weighing{.mass_within_kg = 0.01,
                                      .cg_x_within_mm = 1.6,
                                      .cg_y_within_mm = {},
                                      .ride_height_within_mm = {0.2, 0.2, 0.3, std::nullopt},
                                      .readings = {{{"rear left/hub"}, 0.7, 0.005, 0.66, 0.025}}};
  const Json json = document(solved);
  EXPECT_EQ(json["measured"][0]["of"], "rear left");
  EXPECT_EQ(json["measured"][0]["difference_mm"], -2);
  EXPECT_EQ(json["measured"][0]["friction_mm"], 0.5);
  EXPECT_EQ(json["causes"][0]["amount"], -8);
  EXPECT_EQ(json["causes"][0]["likelihood"], 0.7);
  EXPECT_NEAR(json["weighing"]["mass_within_g"], 10, 1e-12);
  EXPECT_NEAR(json["weighing"]["cg_within_modules"][0], 0.2, 1e-12);
  EXPECT_TRUE(json["weighing"]["cg_within_modules"][1].is_null());
  EXPECT_NEAR(json["weighing"]["readings"][0]["read_g"], 700, 1e-9);
  EXPECT_EQ(json["weighing"]["ride_height_within_mm"]["rear left"], 0.3);
}

// Later work and other programs read these names: they are fixed, more may be added.
TEST(SolveJson, HasTheKeysThatOthersReadBy) {
  const Json json = document(hand_built_hauler());
  const auto expect_keys = [](const Json& object, const std::vector<std::string>& expected) {
    const std::vector<std::string> keys = keys_of(object);
    for (const std::string& key : expected) EXPECT_THAT(keys, testing::Contains(key));
  };
  expect_keys(json,
              {"format", "model", "vehicle", "corners", "clearance", "findings", "weighing", "measured", "causes"});
  expect_keys(json["vehicle"], {"mass_kg", "total_mass_kg", "cg_modules", "pitch_deg", "roll_deg", "indeterminate",
                                "other_stances", "modes"});
  expect_keys(json["vehicle"]["modes"][0], {"name", "frequency_hz", "centre_modules"});
  const Json& corner = json["corners"][0];
  expect_keys(corner,
              {"name", "ride_height_mm", "toggle_margin_deg", "coil_margin_deg", "wheels", "springs", "rods", "pins"});
  expect_keys(corner["wheels"][0], {"name", "load_n", "ground_load_n", "travel_mm", "sag_mm", "bump_travel_mm",
                                    "droop_travel_mm", "bump_total_mm", "bump_load_n", "reserve", "motion_ratio",
                                    "wheel_rate_n_per_mm", "frequency_hz", "state", "bump_end", "droop_end"});
  expect_keys(corner["springs"][0], {"name", "length_mm", "force_n", "total_force_n", "motion_ratio"});
  expect_keys(corner["rods"][0], {"name", "force_n"});
  expect_keys(corner["pins"][0], {"name", "force_n", "forces"});
  expect_keys(json["clearance"][0], {"name", "height_mm"});
}

TEST(SolveJson, PrintsNumbersThatReadBackToTheSameDouble) {
  Solved solved = hand_built_hauler();
  // Values whose shortest form has 17 digits, or none of the usual size.
  const double awkward[] = {0.1 + 0.2, 1.0 / 3, 5e-324, 1.7976931348623157e308, -1e-17};
  for (const double value : awkward) {
    solved.solution.corners[0].rods[0].force_n = value;
    EXPECT_EQ(document(solved)["corners"][0]["rods"][0]["force_n"].get<double>(), value);
  }
}

TEST(SolveJson, GivesTheCentreOfMassInModules) {
  const Json json = document(hand_built_hauler());
  EXPECT_NEAR(json["vehicle"]["cg_modules"][2].get<double>(), 5.325, 1e-12);  // 42.6 mm over 8 mm
}

TEST(SolveJson, IsNullWhereAValueDoesNotExist) {
  Solved solved = hand_built_hauler();
  WheelResult bare;
  bare.name = "hub";
  bare.state = WheelState::fixed;
  solved.solution.corners[0].wheels[0] = bare;
  solved.solution.corners[0].ride_height_mm.reset();
  const Json corner = document(solved)["corners"][0];
  EXPECT_TRUE(corner["ride_height_mm"].is_null());
  for (const char* key :
       {"load_n", "travel_mm", "sag_mm", "bump_travel_mm", "droop_travel_mm", "bump_total_mm", "bump_load_n", "reserve",
        "motion_ratio", "wheel_rate_n_per_mm", "frequency_hz", "bump_end", "droop_end"}) {
    EXPECT_TRUE(corner["wheels"][0][key].is_null()) << key;
  }
  EXPECT_EQ(corner["wheels"][0]["state"], "fixed");
  EXPECT_TRUE(document(hand_built_hauler())["vehicle"]["modes"][2]["centre_modules"].is_null());
}

TEST(SolveJson, IsNullForANumberThatIsNotFinite) {
  Solved solved = hand_built_hauler();
  solved.solution.corners[0].rods[0].force_n = std::nan("");
  EXPECT_TRUE(document(solved)["corners"][0]["rods"][0]["force_n"].is_null());
}

TEST(SolveJson, NamesAMotionRatioByItsWheelAndAForceByItsBody) {
  const Json corner = document(hand_built_hauler())["corners"][0];
  EXPECT_NEAR(corner["springs"][0]["motion_ratio"]["hub"].get<double>(), 0.6250174967, 1e-15);
  EXPECT_NEAR(corner["pins"][0]["forces"]["arm"][1].get<double>(), 3.952481849, 1e-15);
}

TEST(SolveJson, GivesATorsionSpringItsAngleAndTorque) {
  const Json springs = document(hand_built_bench())["corners"][0]["springs"];
  EXPECT_FALSE(springs[0].contains("angle_deg"));
  EXPECT_TRUE(springs[1]["length_mm"].is_null());
  EXPECT_TRUE(springs[1]["force_n"].is_null());
  EXPECT_TRUE(springs[1]["motion_ratio"]["hub"].is_null());
  EXPECT_EQ(springs[1]["angle_deg"].get<double>(), -14.04);
  EXPECT_EQ(springs[1]["torque_n_mm"].get<double>(), 123.45);
}

TEST(SolveJson, HasNoVehicleOnTheBench) { EXPECT_TRUE(document(hand_built_bench())["vehicle"].is_null()); }

TEST(SolveJson, WritesTheWheelRateMatrixInRows) {
  Solved solved = hand_built_hauler();
  CornerResult& corner = solved.solution.corners[0];
  EXPECT_FALSE(document(solved)["corners"][0].contains("wheel_rate_matrix_n_per_mm"));
  corner.wheels.push_back(corner.wheels[0]);
  EXPECT_TRUE(document(solved)["corners"][0]["wheel_rate_matrix_n_per_mm"].is_null());
  corner.wheel_rate_matrix_n_per_mm = {1, 2, 3, 4};
  EXPECT_EQ(document(solved)["corners"][0]["wheel_rate_matrix_n_per_mm"], Json::parse("[[1.0, 2.0], [3.0, 4.0]]"));
}

TEST(SolveJson, ListsOtherStancesWithTheHeightsByCorner) {
  Solved solved = hand_built_hauler();
  solved.solution.vehicle->other_stances = {{"bump", 3.5, 0.0, {10, 11, 12, 13}}};
  const Json other = document(solved)["vehicle"]["other_stances"][0];
  EXPECT_EQ(other["from"], "bump");
  EXPECT_EQ(other["ride_height_mm"]["rear left"].get<double>(), 12);
}

TEST(SolveJson, GivesTheWayOfAWheelAndTheAxles) {
  const Json json = document(hand_built_on_floor());
  EXPECT_EQ(json["corners"][0]["wheels"][0]["path"], Json::parse(R"({
    "rest": { "camber_deg": -0.5, "track_change_mm": 0.0, "wheelbase_change_mm": null, "roll_centre_mm": 25.5 },
    "droop": { "camber_deg": 1.25, "track_change_mm": -2.5, "wheelbase_change_mm": null, "roll_centre_mm": 30.0 },
    "bump": { "camber_deg": -3.5, "track_change_mm": 1.5, "wheelbase_change_mm": null, "roll_centre_mm": 20.0 },
    "camber_deg_per_mm": -0.125, "track_change_mm_per_mm": 0.25, "wheelbase_change_mm_per_mm": null })"));
  EXPECT_EQ(json["axles"][1], Json::parse(R"({ "wheels": ["rear left/hub", "rear right/hub"], "track_mm": 136.0,
    "roll_centre_mm": null })"));
  EXPECT_TRUE(document(hand_built_hauler())["corners"][0]["wheels"][0]["path"].is_null());
}

TEST(SolveJson, GivesTheGroundAndHowMuchOfItIsTaken) {
  const Json floor = document(hand_built_on_floor())["floor"];
  EXPECT_EQ(floor["blocks"], Json::parse(R"({ "front left/hub": 12.5, "rear left/hub": -3.0 })"));
  EXPECT_EQ(floor["slope_deg"].get<double>(), 10);
  EXPECT_EQ(floor["toward"], "left");
  EXPECT_EQ(floor["wheels"][0], Json::parse(R"({ "name": "front left/hub",
    "block": { "height_mm": 42.25, "travel_mm": 14.5, "lifted": ["rear left/hub"], "tips": false },
    "dip": { "height_mm": -33.5, "travel_mm": -11.0, "lifted": ["rear right/hub"], "tips": false } })"));
  EXPECT_EQ(floor["tilts"][0], Json::parse(R"({ "toward": "left", "lift_deg": 44.5, "lifted": ["rear right/hub"],
    "tip_deg": 50.75 })"));
  EXPECT_TRUE(floor["tilts"][2]["tip_deg"].is_null());
  EXPECT_EQ(floor["slide_deg"].get<double>(), 38.66);
  EXPECT_EQ(floor["tolerance_mm"].get<double>(), 0.001);
  EXPECT_TRUE(document(hand_built_hauler())["floor"].is_null());
}

TEST(SolveJson, OfSeveralModelsIsOneDocument) {
  const Json json = Json::parse(solve_json({hand_built_hauler(), hand_built_bench()}));
  EXPECT_EQ(json["format"], 1);
  ASSERT_EQ(json["models"].size(), 2u);
  EXPECT_EQ(json["models"][1]["model"], "Single arm");
}

TEST(SolveJson, ReplacesWhatIsNotUtf8InAName) {
  Solved solved = hand_built_hauler();
  solved.solution.model = "bad \xff name";
  EXPECT_EQ(document(solved)["model"], "bad \xef\xbf\xbd name");
}

TEST(SolveJson, KeepsOneFindingForEachPlace) {
  Solved solved = hand_built_hauler();
  solved.solution.findings = {{Level::warning, "low-reserve", "front left/hub", "text", "remedy"},
                              {Level::warning, "low-reserve", "front right/hub", "text", "remedy"}};
  const Json json = document(solved);
  ASSERT_EQ(json["findings"].size(), 2u);
  EXPECT_EQ(json["findings"][1]["where"], "front right/hub");
  EXPECT_EQ(json["findings"][1]["level"], "warning");
}

TEST(ErrorsJson, HasAPlaceACodeATextAndAHint) {
  Problem placed;
  placed.file_name = "hauler.toml";
  placed.place = {0, 21, 1, 6};
  placed.code = "unknown-key";
  placed.text = "there is no key 'lenght' in a rod";
  placed.hint = "did you mean 'length'?";
  Problem usage;
  usage.code = "no-model";
  usage.text = "ridepitch solve needs a model file";
  EXPECT_EQ(Json::parse(errors_json({placed, usage})), Json::parse(R"({
    "format": 1,
    "errors": [
      { "file": "hauler.toml", "line": 21, "column": 1, "code": "unknown-key",
        "text": "there is no key 'lenght' in a rod", "hint": "did you mean 'length'?" },
      { "file": null, "line": null, "column": null, "code": "no-model",
        "text": "ridepitch solve needs a model file", "hint": null }
    ]
  })"));
}

TEST(CheckJson, CountsWhatAModelHas) {
  const Json json = Json::parse(check_json({hand_built_hauler()}));
  EXPECT_EQ(json["model"], "Quarry hauler");
  EXPECT_EQ(json["counts"]["corners"], 4);
  EXPECT_EQ(json["counts"]["wheels"], 4);
  EXPECT_EQ(json["counts"]["linkages"], 1);
}

}  // namespace
}  // namespace ridepitch
