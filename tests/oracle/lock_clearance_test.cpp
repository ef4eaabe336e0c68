// Lock clearance against wheels placed by the solve in full coordinates (toe.hpp), over a dense grid of drive and travel: no
// place of the grid has a smaller gap than the least, and the place told has just that. Distances of two solids have their own
// tests (tests/steer).

#include <algorithm>
#include <array>
#include <sstream>
#include <string>

#include <gtest/gtest.h>

#include "model/read.hpp"
#include "ride/solve.hpp"
#include "rigs/files.hpp"
#include "rigs/models.hpp"
#include "steer/lock_clearance.hpp"
#include "steer/solid_gap.hpp"
#include "toe.hpp"

namespace ridepitch::oracle {
namespace {

struct Machine {
  std::string name, keepout;
  Vec3 at_mm, size_mm;
};

class EveryLockClearance : public ::testing::TestWithParam<Machine> {};

TEST_P(EveryLockClearance, IsNoLessAnywhereOnADenseGrid) {
  const Machine& machine = GetParam();
  const std::string path = source_path("tests/steer/models/" + machine.name + ".toml");
  std::stringstream text;
  text << text_of(path);
  text << "[[keepout]]\nname = \"block\"\nat = [" << machine.at_mm.x() / 8 << ", " << machine.at_mm.y() / 8 << ", "
       << machine.at_mm.z() / 8 << "]\nsize = [" << machine.size_mm.x() / 8 << ", " << machine.size_mm.y() / 8 << ", "
       << machine.size_mm.z() / 8 << "]\n";
  const Model model = read_rig(text.str(), path);
  const Solution solution = *solve(model).solution;
  const int corner = static_cast<int>(model.corners.size()) - 1;
  const Linkage& top = model.linkages[static_cast<std::size_t>(model.corners.back().linkage)];
  DrivePath way = *find_drive_path(*assemble(top, model.module_mm).assembly, model.module_mm).path;
  const LockClearance clearance = find_lock_clearance(model, solution, corner, &way, {way.least(), way.greatest()});
  const Cuboid block{machine.at_mm, machine.size_mm / 2};
  ASSERT_EQ(clearance.gaps.size(), 2u);
  const LeastGap& gap = clearance.gaps[0];
  ASSERT_EQ(gap.against, "block");
  const auto curve = std::find_if(solution.curves.begin(), solution.curves.end(), [&](const Curve& one) {
    return solution.corners[static_cast<std::size_t>(one.corner)].name + "/" +
               solution.corners[static_cast<std::size_t>(one.corner)]
                   .wheels[static_cast<std::size_t>(one.wheel)]
                   .name ==
           gap.wheel;
  });
  ASSERT_NE(curve, solution.curves.end());
  const auto& sprung =
      solution.corners[static_cast<std::size_t>(curve->corner)].wheels[static_cast<std::size_t>(curve->wheel)];
  const auto& first = curve->points.front();
  const double rest_travel = first.travel_mm + sprung.centre_C_mm.y() - first.centre_C_mm.y();
  const auto gap_at = [&](double drive, double travel) {
    const SteeredPlace at = steered_place(model, solution, corner, drive, 0, travel - rest_travel);
    return gap_between(
               {at.centre_mm[0], at.axis[0], top.wheels[0].tyre.diameter_mm / 2, top.wheels[0].tyre.width_mm / 2},
               block)
        .mm;
  };
  const double unit = top.drive->pin ? 0.017453292519943295 : 1;  // mm or rad for one of the result's
  EXPECT_NEAR(gap_at(unit * gap.drive, *gap.travel_mm), gap.gap_mm, 1e-5);
  constexpr int drives = 12, travels = 20;
  double least = 1e300;
  for (int i = 0; i <= drives; ++i)
    for (int k = 1; k < travels; ++k) {
      const double drive = way.least() + (way.greatest() - way.least()) * i / drives;
      const double travel = first.travel_mm + (curve->points.back().travel_mm - first.travel_mm) * k / travels;
      try {
        least = std::min(least, gap_at(drive, travel));
      } catch (const std::runtime_error&) {  // a rod that does not reach
      }
    }
  EXPECT_LE(gap.gap_mm, least + 1e-6);
  EXPECT_GE(gap.gap_mm, least - 3);  // places of the grid lie up to 3 mm of a wheel's motion apart
}

std::string test_name(const ::testing::TestParamInfo<Machine>& tested) {
  std::string name = tested.param.name + "_" + tested.param.keepout;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}

INSTANTIATE_TEST_SUITE_P(Oracle, EveryLockClearance,
                         ::testing::Values(Machine{"wishbones", "sill", Vec3(100, 80, 40), Vec3(20, 24, 40)},
                                           Machine{"wishbones", "wing", Vec3(150, 90, 110), Vec3(60, 60, 10)},
                                           Machine{"leading-arms", "bumper", Vec3(195, 60, 30), Vec3(10, 16, 20)},
                                           Machine{"live-axle", "rail", Vec3(128, 40, 40), Vec3(100, 16, 20)}),
                         test_name);

}  // namespace
}  // namespace ridepitch::oracle
