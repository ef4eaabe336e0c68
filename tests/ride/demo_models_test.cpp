// The machines of models/: each reads, stands without a problem or warning, and stands on forces that balance.
// Balance is plain statics of a rigid body; what a finding is says docs/findings.md.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>
#include <string>
#include <vector>

#include "model/read.hpp"
#include "ride/solve.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"

namespace ridepitch {
namespace {

constexpr double balance = 1e-9;  // of the weight, and of the weight times a metre for moments

constexpr bool on_the_bench = true;

std::string path_of(const std::string& name) { return std::string(RIDEPITCH_SOURCE_DIR) + "/models/" + name + ".toml"; }

// Every model file, by what it is; 'parts.toml' is a catalogue that one of them names. One that doesn't read counts as
// a vehicle, so that its test says why.
std::vector<std::string> demo_models(bool bench) {
  std::set<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(std::string(RIDEPITCH_SOURCE_DIR) + "/models")) {
    const std::filesystem::path& path = entry.path();
    if (path.extension() != ".toml" || path.filename() == "parts.toml") continue;
    const ReadModel read = read_model(path.string());
    if ((read.model && read.model->bench) == bench) names.insert(path.stem().string());
  }
  return {names.begin(), names.end()};
}

// What a test's name may hold.
std::string test_name(const testing::TestParamInfo<std::string>& model) {
  std::string name = model.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}

/// A point of the vehicle turned level with the world, about the vehicle's origin: Ry(pitch) Rx(roll), as
/// docs/model-format.md writes the attitude.
Vec3 turned_level(const Vec3& point, double pitch, double roll) {
  const Vec3 rolled(point.x(), std::cos(roll) * point.y() - std::sin(roll) * point.z(),
                    std::sin(roll) * point.y() + std::cos(roll) * point.z());
  return {std::cos(pitch) * rolled.x() + std::sin(pitch) * rolled.z(), rolled.y(),
          -std::sin(pitch) * rolled.x() + std::cos(pitch) * rolled.z()};
}

/// A wheel's centre in vehicle axes, from where it lies in its linkage's plane.
Vec3 wheel_centre_mm(const Model& model, const Corner& corner, const WheelResult& wheel) {
  const double u = corner.flip ? -wheel.centre_C_mm.x() : wheel.centre_C_mm.x();
  const double v = wheel.centre_C_mm.y();
  const bool side = model.linkages[static_cast<std::size_t>(corner.linkage)].plane == Plane::side;
  return corner.at_mm + (side ? Vec3(u, 0, v) : Vec3(0, u, v));
}

class DemoModel : public testing::TestWithParam<std::string> {
 protected:
  void SetUp() override {
    ReadModel read = read_model(path_of(GetParam()));
    for (const Problem& problem : read.problems) {
      ADD_FAILURE() << GetParam() << ":" << problem.place.line << ":" << problem.place.column << ": " << problem.text;
    }
    for (const Problem& note : read.notes) ADD_FAILURE() << GetParam() << ":" << note.place.line << ": " << note.text;
    ASSERT_TRUE(read.model);
    model = std::move(*read.model);
    SolveResult solved = solve(model);
    for (const Problem& problem : solved.problems) ADD_FAILURE() << GetParam() << ": " << problem.text;
    ASSERT_TRUE(solved.solution);
    solution = std::move(*solved.solution);
    ASSERT_EQ(solution.corners.size(), model.corners.size());
    leave_out_steering();
  }

  // What steers carries nothing: these tests are about what stands.
  void leave_out_steering() {
    for (std::size_t c = model.corners.size(); c-- > 0;) {
      if (model.linkages[static_cast<std::size_t>(model.corners[c].linkage)].plane != Plane::top) continue;
      model.corners.erase(model.corners.begin() + static_cast<std::ptrdiff_t>(c));
      solution.corners.erase(solution.corners.begin() + static_cast<std::ptrdiff_t>(c));
    }
  }

  Model model;
  Solution solution;
};

class DemoVehicle : public DemoModel {};
class DemoOnTheBench : public DemoModel {};

void expect_no_problem_or_warning(const Solution& solution) {
  for (const Finding& finding : solution.findings) {
    if (finding.code == "grounds-before-bump") continue;  // true of the skidders, the hauler and the loader
    EXPECT_EQ(finding.level, Level::note) << finding.code << " " << finding.where << ": " << finding.text;
  }
}

void expect_travel_left_both_ways(const Solution& solution) {
  int wheels = 0;
  for (const CornerResult& corner : solution.corners) {
    for (const WheelResult& wheel : corner.wheels) {
      ++wheels;
      const std::string where = corner.name + "/" + wheel.name;
      EXPECT_EQ(wheel.state, WheelState::riding) << where;
      ASSERT_TRUE(wheel.bump_total_mm && wheel.bump_travel_mm && wheel.droop_travel_mm) << where;
      // The limits of docs/findings.md (common practice, no source), exact: the models keep clear of them.
      EXPECT_GE(*wheel.droop_travel_mm, 0.25 * *wheel.bump_total_mm) << where;
      EXPECT_GE(*wheel.bump_travel_mm, 0.35 * *wheel.bump_total_mm) << where;
    }
  }
  EXPECT_GT(wheels, 0);
}

TEST_P(DemoVehicle, StandsWithoutAProblemOrWarning) { expect_no_problem_or_warning(solution); }

TEST_P(DemoVehicle, HasEveryWheelRidingWithTravelLeftBothWays) { expect_travel_left_both_ways(solution); }

TEST_P(DemoVehicle, StandsLevelAndHasItsThreeModes) {
  ASSERT_TRUE(solution.vehicle);
  EXPECT_LT(std::abs(solution.vehicle->pitch_deg), 1.5);  // what the eye takes for level: common practice, no source
  EXPECT_NEAR(solution.vehicle->roll_deg, 0, 1e-9);       // both sides are alike
  EXPECT_EQ(solution.vehicle->modes.size(), 3u);
  EXPECT_FALSE(solution.clearances.empty());
}

TEST_P(DemoVehicle, PressesTheGroundWithItsWholeWeight) {
  ASSERT_TRUE(solution.vehicle);
  double sum_n = 0, kg = 0;
  for (const Mass& mass : model.masses) kg += mass.kg;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Corner& corner = model.corners[c];
    kg += corner.unsprung_kg;
    for (const Wheel& wheel : model.linkages[static_cast<std::size_t>(corner.linkage)].wheels) {
      kg += wheel.tyre.mass_g / 1000;
    }
    for (const WheelResult& wheel : solution.corners[c].wheels) {
      ASSERT_TRUE(wheel.ground_load_n);
      sum_n += *wheel.ground_load_n;
    }
  }
  const double weight_n = kg * gravity_m_per_s2;
  EXPECT_NEAR(sum_n, weight_n, balance * weight_n);
  EXPECT_NEAR(solution.vehicle->total_mass_kg, kg, balance * kg);
}

// Each wheel bears on the springs with load_n, straight above its contact (the tyre's weight acts in the same line):
// about the sprung centre of gravity, seen from above in the world, these have no moment.
TEST_P(DemoVehicle, BalancesAboutItsCentreOfGravity) {
  ASSERT_TRUE(solution.vehicle);
  const double radians = std::acos(-1.0) / 180;
  const double pitch = solution.vehicle->pitch_deg * radians, roll = solution.vehicle->roll_deg * radians;
  double kg = 0;
  Vec3 cg_mm = Vec3::Zero();
  for (const Mass& mass : model.masses) {
    kg += mass.kg;
    cg_mm += mass.kg * mass.at_mm;
  }
  cg_mm /= kg;
  const Vec3 cg = turned_level(cg_mm, pitch, roll);
  double about_x = 0, about_y = 0;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    for (const WheelResult& wheel : solution.corners[c].wheels) {
      ASSERT_TRUE(wheel.load_n);
      const Vec3 centre = turned_level(wheel_centre_mm(model, model.corners[c], wheel), pitch, roll);
      about_x += *wheel.load_n * (centre.y() - cg.y());
      about_y -= *wheel.load_n * (centre.x() - cg.x());
    }
  }
  const double metre_mm = 1000;
  EXPECT_NEAR(about_x, 0, balance * kg * gravity_m_per_s2 * metre_mm);
  EXPECT_NEAR(about_y, 0, balance * kg * gravity_m_per_s2 * metre_mm);
}

TEST_P(DemoOnTheBench, SinksWithoutAProblemOrWarning) { expect_no_problem_or_warning(solution); }

TEST_P(DemoOnTheBench, HasItsWheelRidingWithTravelLeftBothWays) { expect_travel_left_both_ways(solution); }

TEST_P(DemoOnTheBench, CarriesWhatHangsOnIt) {
  EXPECT_FALSE(solution.vehicle);
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Corner& corner = model.corners[c];
    ASSERT_TRUE(corner.load_n);
    const auto& wheels = model.linkages[static_cast<std::size_t>(corner.linkage)].wheels;
    for (std::size_t w = 0; w < wheels.size(); ++w) {
      const WheelResult& wheel = solution.corners[c].wheels[w];
      ASSERT_TRUE(wheel.load_n && wheel.ground_load_n);
      EXPECT_NEAR(*wheel.load_n, *corner.load_n, balance * *corner.load_n);
      const double own_kg = wheels[w].tyre.mass_g / 1000 + corner.unsprung_kg / static_cast<double>(wheels.size());
      const double own_n = own_kg * gravity_m_per_s2;
      EXPECT_NEAR(*wheel.ground_load_n, *corner.load_n + own_n, balance * *corner.load_n);
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Models, DemoVehicle, testing::ValuesIn(demo_models(!on_the_bench)), test_name);
INSTANTIATE_TEST_SUITE_P(Models, DemoOnTheBench, testing::ValuesIn(demo_models(on_the_bench)), test_name);

// The pair exists to be compared: what its builder reads in the band's two files.
struct LogSkidder : testing::Test {
  static Solution stand(const std::string& name) { return solved(shown_demo(name)); }
};

// A band pulled further by either wheel's rise pushes both down, and the more the one rises, the more the other.
TEST_F(LogSkidder, IsHeldUpByItsBandWhichTiesFrontAndRear) {
  const Solution banded = stand("log-skidder-banded"), plain = stand("log-skidder-plain");
  ASSERT_EQ(banded.corners.size(), 2u);
  ASSERT_EQ(plain.corners.size(), 2u);
  const double a_ruler_shows_mm = 1;
  EXPECT_GT(banded.corners[0].ride_height_mm.value_or(0) - plain.corners[0].ride_height_mm.value_or(0),
            a_ruler_shows_mm);
  ASSERT_EQ(banded.corners[0].wheel_rate_matrix_n_per_mm.size(), 4u);
  ASSERT_EQ(plain.corners[0].wheel_rate_matrix_n_per_mm.size(), 4u);
  // Its rate times both motion ratios, about 0.067 x 0.6 x 0.6, less what its turning takes: well over a tenth of that.
  EXPECT_GT(banded.corners[0].wheel_rate_matrix_n_per_mm[1], 0.0025);
  EXPECT_NEAR(plain.corners[0].wheel_rate_matrix_n_per_mm[1], 0, 1e-9);  // no spring joins them: zero by definition
}

}  // namespace
}  // namespace ridepitch
