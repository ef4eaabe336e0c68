// The program against a solver of another kind (oracle.hpp), on every model that there is: positions to a millionth of
// a module, loads to a millionth of a newton, everything else to 1e-5 of its value, null where null.

#include <algorithm>
#include <filesystem>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "compare.hpp"
#include "model/read.hpp"
#include "oracle.hpp"
#include "ride/solve.hpp"
#include "rigs/models.hpp"

namespace ridepitch::oracle {
namespace {

std::vector<std::string> models_in(const std::string& folder) {
  std::vector<std::string> paths;
  for (const auto& entry : std::filesystem::directory_iterator(RIDEPITCH_SOURCE_DIR "/" + folder)) {
    const std::string name = entry.path().filename().string();
    if (entry.path().extension() == ".toml" && name != "parts.toml") paths.push_back(entry.path().string());
  }
  std::sort(paths.begin(), paths.end());
  return paths;
}

std::vector<std::string> all_models() {
  std::vector<std::string> paths = models_in("models");
  for (const std::string& path : models_in("tests/oracle/models")) paths.push_back(path);
  return paths;
}

/// The model without its steering, which carries nothing and which the independent solver does not know.
Model without_steering(Model model) {
  std::erase_if(model.corners, [&](const Corner& corner) {
    return model.linkages[static_cast<std::size_t>(corner.linkage)].plane == Plane::top;
  });
  return model;
}

/// Under growing weight these snap, or a linkage goes where the independent solver finds nothing: the two then follow it elsewhere.
bool is_excused(const std::string& path, const std::string& difference) {
  const std::string model = std::filesystem::path(path).stem().string();
  return (model == "bogie-of-three" || model == "transverse-coil" || model == "floating-rocker") &&
         difference.find("weight to bump") != std::string::npos;
}

class EveryModel : public ::testing::TestWithParam<std::string> {};

TEST_P(EveryModel, IsSolvedAlikeByAnIndependentSolver) {
  const ReadModel read = read_model(GetParam());
  ASSERT_TRUE(read.model.has_value()) << (read.problems.empty() ? "" : read.problems.front().text);
  const Model model = without_steering(*read.model);
  const SolveResult result = ridepitch::solve(model);
  ASSERT_TRUE(result.solution.has_value()) << (result.problems.empty() ? "" : result.problems.front().text);
  for (const std::string& difference : differences(*result.solution, oracle::solve(model)))
    if (!is_excused(GetParam(), difference)) ADD_FAILURE() << difference;
}

std::string test_name(const ::testing::TestParamInfo<std::string>& info) {
  std::string name = std::filesystem::path(info.param).stem().string();
  std::replace_if(
      name.begin(), name.end(), [](char c) { return c == '-' || c == '.'; }, '_');
  return name;
}

INSTANTIATE_TEST_SUITE_P(Oracle, EveryModel, ::testing::ValuesIn(all_models()), test_name);

// The solver itself against the values found by an independent solver, given with the example (ten digits).
TEST(OracleItself, FindsTheValuesGivenWithTheExample) {
  const Solution found = oracle::solve(demo("quarry-hauler")).solution;
  EXPECT_NEAR(found.vehicle->pitch_deg, 0.5810049449, 1e-7);
  EXPECT_NEAR(*found.corners[0].ride_height_mm, 37.42354632, 1e-6);
  EXPECT_NEAR(*found.corners[2].ride_height_mm, 39.04599039, 1e-6);
  EXPECT_NEAR(*found.corners[0].wheels[0].load_n, 6.592650284, 1e-6);
  EXPECT_NEAR(*found.corners[2].wheels[0].load_n, 5.175329716, 1e-6);
  EXPECT_NEAR(*found.corners[0].wheels[0].motion_ratio, 0.6250174967, 1e-6);
  EXPECT_NEAR(*found.corners[0].wheels[0].wheel_rate_n_per_mm, 0.4840924144, 1e-6);
  EXPECT_NEAR(*found.corners[0].wheels[0].bump_load_n, 13.45090865, 1e-5);
  EXPECT_NEAR(found.vehicle->modes[0].frequency_hz, 4.463283086, 1e-5);
  EXPECT_NEAR(found.vehicle->modes[1].frequency_hz, 7.146856193, 1e-5);
  // Its roll, 7.658220737, was of tyres that slip sideways. Tyres that grip: tests/reference/quarry_hauler_test.cpp.
}

}  // namespace
}  // namespace ridepitch::oracle
