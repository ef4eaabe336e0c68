// Bump steer against a solve in full coordinates (toe.hpp), to 1e-6 degree: leaning kingpins, linkages in the side and the
// front plane, flipped and mirrored, a live axle, a crank with a middle link.

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include <gtest/gtest.h>

#include "model/read.hpp"
#include "ride/pose.hpp"
#include "ride/solve.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "steer/bump_steer.hpp"
#include "steer/drive_sweep.hpp"
#include "toe.hpp"

namespace ridepitch::oracle {
namespace {

constexpr double close_deg = 1e-6;

struct Machine {
  std::string name;
  double least = 0, greatest = 0;  // drive: mm or rad
};

class EverySteering : public ::testing::TestWithParam<Machine> {};

void compare(const Model& model, const Solution& solution, int corner, const BumpSteer& wheel, const BumpCurve& curve,
             double drive) {
  const auto w = static_cast<std::size_t>(wheel.wheel);
  const double rest = steered_place(model, solution, corner, drive, wheel.wheel, 0).heading_deg[w];
  ASSERT_GT(curve.points.size(), 20u);
  for (std::size_t i = 10; i + 10 < curve.points.size();
       i += 20) {  // at an end a part may be straight: no root beside it
    const BumpPoint& point = curve.points[i];
    const double rise = point.travel_mm - curve.rest_travel_mm;
    const auto toe_at = [&](double more) {
      return steered_place(model, solution, corner, drive, wheel.wheel, rise + more).heading_deg[w] - rest;
    };
    EXPECT_NEAR(point.toe_deg, toe_at(0), close_deg) << wheel.same_as << " drive " << drive << " rise " << rise;
    // Central difference, extrapolated once (Richardson): 1e-5.
    const double slope = (8 * (toe_at(0.1) - toe_at(-0.1)) - (toe_at(0.2) - toe_at(-0.2))) / 1.2 * 10;
    EXPECT_NEAR(point.slope_deg_per_10mm, slope, 1e-5 * std::max(1.0, std::abs(slope))) << wheel.same_as;
  }
  const auto toe_at = [&](double rise) {
    return steered_place(model, solution, corner, drive, wheel.wheel, rise).heading_deg[w];
  };
  const double slope = (8 * (toe_at(0.1) - toe_at(-0.1)) - (toe_at(0.2) - toe_at(-0.2))) / 1.2 * 10;
  EXPECT_NEAR(curve.rest_slope_deg_per_10mm, slope, 1e-5) << wheel.same_as << " drive " << drive;
}

TEST_P(EverySteering, TurnsItsWheelsInBumpAsAnIndependentSolverSays) {
  const Machine& machine = GetParam();
  const auto [model, solution] = standing(read_file("tests/steer/models/" + machine.name + ".toml"));
  ASSERT_FALSE(solution.corners.empty());
  const int corner = static_cast<int>(model.corners.size()) - 1;
  const std::array<double, 2> drives{machine.least, machine.greatest};
  std::array<std::vector<Pose>, 2> locks;
  const AssembleResult top =
      assemble(model.linkages[static_cast<std::size_t>(model.corners.back().linkage)], model.module_mm);
  ASSERT_TRUE(top.assembly.has_value());
  DrivePathOrProblem found = find_drive_path(*top.assembly, model.module_mm);
  ASSERT_TRUE(found.path.has_value());
  DriveWorkspace workspace;
  prepare(*found.path, workspace);
  for (std::size_t end = 0; end < 2; ++end) {
    Eigen::VectorXd q;
    ASSERT_TRUE(place_drive(*found.path, drives[end], workspace, q));
    locks[end] = body_poses(q);
  }
  const std::vector<BumpSteer> wheels = bump_steer(model, solution, corner, locks);
  ASSERT_EQ(wheels.size(), 2u);
  for (const BumpSteer& wheel : wheels) {
    ASSERT_TRUE(wheel.straight && wheel.lock[0] && wheel.lock[1]);
    compare(model, solution, corner, wheel, *wheel.straight, 0);
    for (std::size_t end = 0; end < 2; ++end) compare(model, solution, corner, wheel, *wheel.lock[end], drives[end]);
  }
}

std::string test_name(const ::testing::TestParamInfo<Machine>& tested) {
  std::string name = tested.param.name;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}

constexpr double deg = 0.017453292519943295;
INSTANTIATE_TEST_SUITE_P(Oracle, EverySteering,
                         ::testing::Values(Machine{"wishbones", -12, 12}, Machine{"leading-arms", -20 * deg, 20 * deg},
                                           Machine{"live-axle", -10 * deg, 10 * deg}, Machine{"upright-pins", -8, 8}),
                         test_name);

}  // namespace
}  // namespace ridepitch::oracle
