// Shapes of linkages and vehicles, in mm.

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "picture/linkage_shapes.hpp"
#include "picture/vehicle_picture.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"

namespace ridepitch {
namespace {

TEST(BeamOutline, has_round_ends_and_the_width_of_a_beam) {
  const std::vector<Vec2> points = beam_outline(Vec2(0, 0), Vec2(40, 0), 3.9);
  double low = 1e9, high = -1e9;
  for (const Vec2& p : points) {
    low = std::min(low, p.x());
    high = std::max(high, p.x());
    EXPECT_LE(std::abs(p.y()), 3.9 + 1e-12);
    const double to_axis = p.x() < 0 ? p.norm() : p.x() > 40 ? (p - Vec2(40, 0)).norm() : std::abs(p.y());
    EXPECT_NEAR(to_axis, 3.9, 1e-9);
  }
  EXPECT_NEAR(low, -3.9, 0.05);
  EXPECT_NEAR(high, 43.9, 0.05);
}

TEST(CoilLine, closes_up_as_it_is_compressed) {
  const auto long_one = coil_line(Vec2(0, 0), Vec2(0, 60), 14, 8),
             short_one = coil_line(Vec2(0, 0), Vec2(0, 30), 14, 8);
  EXPECT_EQ(long_one.size(), short_one.size());
  EXPECT_EQ(short_one.front(), Vec2(0, 0));
  EXPECT_EQ(short_one.back(), Vec2(0, 30));
  for (const Vec2& p : short_one) EXPECT_LE(std::abs(p.x()), 7 + 1e-9);
}

TEST(LinkageShapes, are_to_scale_and_their_ghost_lies_in_the_same_places) {
  const Standing hauler = standing(demo("quarry-hauler"));
  const Linkage& linkage = hauler.model.linkages[0];
  const std::vector<Pose>& poses = hauler.solution.corners[0].poses;
  const std::vector<Shape> shapes = linkage_shapes(hauler.model, linkage, poses);
  const auto* tyre = std::get_if<Disc>(&shapes.front());
  ASSERT_TRUE(tyre);
  EXPECT_NEAR(tyre->radius_mm, 35, 1e-12) << "tyre-70";
  const Box now = bounds_of(shapes), ghost = bounds_of(linkage_ghost(hauler.model, linkage, poses));
  EXPECT_NEAR(now.low.y(), ghost.low.y(), 1e-12) << "the tyre reaches lowest of both";
}

TEST(VehiclePicture, is_there_for_every_demo_but_one_on_the_bench) {
  for (const char* name : {"quarry-hauler", "ore-hauler", "timber-forwarder", "log-skidder-banded", "scout-car",
                           "sand-loader", "gravel-tug", "trial-arm"}) {
    const Standing each = standing(shown_demo(name));
    for (const VehicleView view : {VehicleView::from_side, VehicleView::from_front}) {
      const Picture picture = vehicle_picture({each.model, each.solution}, view);
      EXPECT_EQ(picture.shapes.empty(), each.model.bench) << name;
    }
  }
}

TEST(SeenPoint, stands_at_the_height_that_the_format_defines) {
  VehicleResult vehicle;
  vehicle.height_mm = 40;
  vehicle.pitch_deg = 3;
  vehicle.roll_deg = -2;
  const Vec3 p(100, 50, 20);
  const double pitch = 3 * std::numbers::pi / 180, roll = -2 * std::numbers::pi / 180;
  // docs/model-format.md, "Units and axes": h - sin(p) x + cos(p) (sin(r) y + cos(r) z).
  const double height = 40 - std::sin(pitch) * 100 + std::cos(pitch) * (std::sin(roll) * 50 + std::cos(roll) * 20);
  EXPECT_NEAR(seen_point(vehicle, VehicleView::from_side, p).y(), height, 1e-12);
  EXPECT_NEAR(seen_point(vehicle, VehicleView::from_front, p).y(), height, 1e-12);
}

}  // namespace
}  // namespace ridepitch
