// Gaps over the travel against brute force: the same linkage solved at ten times as many places, distances of lines by GEOS
// (a general geometry library, https://libgeos.org), less the radii of the round ends.

#include "stack/gap.hpp"

#include <geos_c.h>
#include <gtest/gtest.h>
#include <Eigen/Geometry>

#include <cmath>
#include <memory>
#include <random>

#include "model/index.hpp"
#include "model/read.hpp"
#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "rigs/scale.hpp"
#include "tune/random_linkage.hpp"

namespace ridepitch {
namespace {

constexpr double deep_mm = 0.05;  // what a clash that is over it must not be missed for

/// GEOS, for as long as it is needed.
struct Geos {
  GEOSContextHandle_t handle = GEOS_init_r();
  ~Geos() { GEOS_finish_r(handle); }
};

using Shape = std::shared_ptr<GEOSGeometry>;

Shape line(const Geos& geos, const Vec2& a, const Vec2& b) {
  GEOSCoordSequence* points = GEOSCoordSeq_create_r(geos.handle, 2, 2);
  GEOSCoordSeq_setXY_r(geos.handle, points, 0, a.x(), a.y());
  GEOSCoordSeq_setXY_r(geos.handle, points, 1, b.x(), b.y());
  return {GEOSGeom_createLineString_r(geos.handle, points),
          [&geos](GEOSGeometry* g) { GEOSGeom_destroy_r(geos.handle, g); }};
}

Shape box(const Geos& geos, const PlaneBox& of) {
  return {GEOSGeom_createRectangle_r(geos.handle, of.low.x(), of.low.y(), of.high.x(), of.high.y()),
          [&geos](GEOSGeometry* g) { GEOSGeom_destroy_r(geos.handle, g); }};
}

Vec2 turned(const RidingPoint& point, const std::vector<Pose>& moving) {
  if (point.body == 0) return point.p_B;
  const Pose& pose = moving[static_cast<std::size_t>(point.body) - 1];
  return pose.p_CB + Eigen::Rotation2Dd(pose.theta_rad) * point.p_B;
}

double apart(const Geos& geos, const Shape& a, const Shape& b) {
  double distance = 0;
  GEOSDistance_r(geos.handle, a.get(), b.get(), &distance);
  return distance;
}

double gap_by_geos(const Geos& geos, const Silhouette& one, const Silhouette& other, const std::vector<Pose>& moving) {
  double least = 1e300;
  for (const Capsule& p : one.pieces)
    for (const Capsule& q : other.pieces)
      least = std::min(least, apart(geos, line(geos, turned(p.a, moving), turned(p.b, moving)),
                                    line(geos, turned(q.a, moving), turned(q.b, moving))) -
                                  p.radius_mm - q.radius_mm);
  return least;
}

bool share_joint(const StackParts& parts, int one, int other) {
  return std::any_of(parts.joints.begin(), parts.joints.end(), [&](const StackJoint& joint) {
    const auto& items = joint.items;
    return std::find(items.begin(), items.end(), one) != items.end() &&
           std::find(items.begin(), items.end(), other) != items.end();
  });
}

struct Tally {
  int pairs = 0, clashes = 0;
};

/// Every pair of parts of a linkage that share no joint, one sheet each.
void compare(const Model& model, const Solution& coarse, const Solution& fine, int linkage, Tally& tally) {
  const Geos geos;
  const StackParts parts = stack_parts(model, linkage);
  const std::vector<Motion> motions = travels_of(model, coarse, linkage), dense = travels_of(model, fine, linkage);
  GapFinder gaps(motions);
  for (const StackItem& item : parts.items) gaps.add(item.sheets.at(0).silhouette);
  for (int i = 0; i < count(parts.items); ++i)
    for (int k = i + 1; k < count(parts.items); ++k) {
      if (share_joint(parts, i, k)) continue;
      const Silhouette &one = at(parts.items, i).sheets[0].silhouette, &other = at(parts.items, k).sheets[0].silhouette;
      double least = 1e300;
      for (const Motion& motion : dense)
        for (const auto& moving : motion.poses) least = std::min(least, gap_by_geos(geos, one, other, moving));
      const std::string which = at(parts.items, i).name + " and " + at(parts.items, k).name;
      const NearestPlace found = gaps.nearest(i, k, -clash_mm, false);
      ++tally.pairs;
      if (least < -deep_mm) {
        ++tally.clashes;
        ASSERT_GE(found.motion, 0) << which << " meet by " << -least;
        EXPECT_NEAR(found.gap_mm, least, deep_mm) << which;
        EXPECT_GE(gaps.nearest(i, k, -clash_mm, true).motion, 0) << which;
      } else if (found.motion >= 0) {
        EXPECT_LT(least, 0) << which << " were said to meet by " << -found.gap_mm;
      }
    }
}

TEST(Gaps, of_random_linkages_over_their_travel_are_those_of_brute_force) {
  std::mt19937 random(17);
  Tally tally;
  for (int trial = 0; trial < scaled(12, 3); ++trial) {
    ReadModel read = read_model_text(random_model_text(random), "random.toml");
    if (!read.model) continue;
    const SolveResult coarse = solve(*read.model, {.other_stances = false, .readings = false});
    const SolveResult fine = solve(*read.model, {.curve_points = 1001, .other_stances = false, .readings = false});
    if (!coarse.solution || !fine.solution) continue;
    for (int l = 0; l < count(read.model->linkages); ++l)
      compare(*read.model, *coarse.solution, *fine.solution, l, tally);
  }
  RecordProperty("pairs", tally.pairs);
  EXPECT_GT(tally.pairs, 20);
  EXPECT_GT(tally.clashes, 3);
}

/// A stick that swings about the origin, past a small disc that it only touches between two of few poses.
TEST(Gaps, are_found_between_the_poses_of_a_motion) {
  Motion motion;
  constexpr int poses = 9;
  for (int k = 0; k < poses; ++k) {
    motion.poses.push_back({{Vec2::Zero(), 0.05 * k}});
    motion.place.push_back(k);
  }
  const std::vector<Motion> motions = {motion};
  GapFinder gaps(motions);
  const double angle = 0.05 * 3.5, reach = 100;  // halfway between two poses, where the tip is 2.5 mm away at either
  const Vec2 disc = reach * Vec2(std::cos(angle), std::sin(angle));
  const int stick = gaps.add({{{{1, {0, 0}}, {1, {reach, 0}}, 0.5}}, {}});
  const int small = gaps.add({{{{0, disc}, {0, disc}, 0.1}}, {}});
  const NearestPlace found = gaps.nearest(stick, small, -clash_mm, false);
  ASSERT_EQ(found.motion, 0);
  EXPECT_NEAR(found.gap_mm, -0.6, deep_mm);  // through the middle of the disc: both radii
  EXPECT_NEAR(found.place, 3.5, 0.02);
}

TEST(Gaps, of_a_box_and_a_piece_are_those_of_brute_force) {
  std::mt19937 random(3);
  std::uniform_real_distribution<double> any(-20, 20);
  const Geos geos;
  int within = 0;
  for (int trial = 0; trial < scaled(400); ++trial) {
    const PlaneBox of{{-8, -5}, {9, 6}};
    const Vec2 a(any(random), any(random)), b(any(random), any(random));
    const double gap = gap_in({{{{0, a}, {0, b}, 1}}, {}}, {{}, of}, {});
    const double distance = apart(geos, line(geos, a, b), box(geos, of));
    if (distance > 0) {
      EXPECT_NEAR(gap, distance - 1, 1e-9);
      continue;
    }
    // Within: the farthest of many points of the line from the nearest side.
    double deepest = 0;
    for (int i = 0; i <= 2000; ++i) {
      const Vec2 p = a + i / 2000.0 * (b - a);
      deepest = std::max(deepest,
                         std::min({p.x() - of.low.x(), of.high.x() - p.x(), p.y() - of.low.y(), of.high.y() - p.y()}));
    }
    EXPECT_NEAR(gap, -deepest - 1, 0.03);
    ++within;
  }
  EXPECT_GT(within, 50);
}

}  // namespace
}  // namespace ridepitch
