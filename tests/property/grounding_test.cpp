// Grounding of random vehicles against a brute-force scan: wheels read off their curves, the body put onto them by rotation
// matrices and Eigen's dense least squares, the first share at which a point is under the ground halved down.

#include "ride/grounding.hpp"

#include <cmath>
#include <map>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>
#include <Eigen/Dense>

#include "random_vehicle.hpp"
#include "ride/solve.hpp"

namespace ridepitch::property {
namespace {

constexpr int steps = 64;
constexpr double rad = 3.14159265358979323846 / 180;

struct Foot {
  int corner = 0;
  const Curve* curve = nullptr;
  double left = 0;
  Vec3 rest = Vec3::Zero();
  double height = 0;
};

// World height of a vehicle point: the third row of Ry(pitch) Rx(roll), ISO 8855.
double height(const Vec3& pose, const Vec3& point) {
  const Eigen::Matrix3d R =
      (Eigen::AngleAxisd(pose.y(), Vec3::UnitY()) * Eigen::AngleAxisd(pose.z(), Vec3::UnitX())).toRotationMatrix();
  return pose.x() + (R * point).z();
}

// The centre of a corner's wheel, in plane side or front, flipped or not: beside its linkage by `out`, outward.
Vec3 placed(const Model& model, int corner, const Vec2& p) {
  const Corner& c = model.corners[static_cast<std::size_t>(corner)];
  const double u = c.flip ? -p.x() : p.x();
  const bool front = model.linkages[static_cast<std::size_t>(c.linkage)].plane == Plane::front;
  const double out = model.linkages[static_cast<std::size_t>(c.linkage)].wheels[0].out_mm;
  return c.at_mm + Vec3(front ? 0 : u, (front ? u : 0) + (c.at_mm.y() < 0 ? -out : out), p.y());
}

std::vector<Foot> feet_of(const Model& model, const Solution& solution, const Vec3& rest) {
  std::vector<Foot> feet;
  for (std::size_t c = 0; c < solution.corners.size(); ++c) {
    const WheelResult& wheel = solution.corners[c].wheels[0];
    Foot foot;
    foot.corner = static_cast<int>(c);
    foot.left = wheel.bump_travel_mm.value_or(0);
    foot.rest = placed(model, foot.corner, wheel.centre_C_mm);
    foot.height = height(rest, foot.rest);
    for (const Curve& curve : solution.curves)
      if (curve.corner == foot.corner) foot.curve = &curve;
    feet.push_back(foot);
  }
  return feet;
}

// Its centre when raised by a share: on the chord between two points of its curve.
Vec3 raised(const Model& model, const Solution& solution, const Foot& foot, double share) {
  const WheelResult& wheel = solution.corners[static_cast<std::size_t>(foot.corner)].wheels[0];
  const double v = wheel.centre_C_mm.y() + share * foot.left;
  const auto& points = foot.curve->points;
  std::size_t k = 1;
  while (k + 1 < points.size() && points[k].centre_C_mm.y() < v) ++k;
  const Vec2 a = points[k - 1].centre_C_mm, b = points[k].centre_C_mm;
  return placed(model, foot.corner, a + (v - a.y()) / (b.y() - a.y()) * (b - a));
}

Vec3 lie_on(const std::vector<Vec3>& centres, const std::vector<Foot>& feet, Vec3 pose) {
  for (int k = 0; k < 30; ++k) {
    Eigen::MatrixXd J(static_cast<Eigen::Index>(centres.size()), 3);
    Eigen::VectorXd off(J.rows());
    for (Eigen::Index i = 0; i < J.rows(); ++i) {
      const Vec3& c = centres[static_cast<std::size_t>(i)];
      off[i] = height(pose, c) - feet[static_cast<std::size_t>(i)].height;
      for (int j = 0; j < 3; ++j) {
        Vec3 more = pose, less = pose;
        const double step = j == 0 ? 1e-3 : 1e-5;
        more[j] += step;
        less[j] -= step;
        J(i, j) = (height(more, c) - height(less, c)) / (2 * step);
      }
    }
    pose -= J.colPivHouseholderQr().solve(off);
  }
  return pose;
}

// The first share at which a point is at the ground; none.
std::optional<double> scanned(const Model& model, const Solution& solution, const std::vector<Foot>& feet,
                              const std::vector<int>& rising, const Vec3& rest, const Vec3& point) {
  const auto at = [&](double share) {
    std::vector<Vec3> centres;
    for (const Foot& foot : feet) centres.push_back(foot.rest);
    for (const int i : rising)
      centres[static_cast<std::size_t>(i)] = raised(model, solution, feet[static_cast<std::size_t>(i)], share);
    return height(lie_on(centres, feet, rest), point);
  };
  for (int k = 1; k <= steps; ++k) {
    double low = (k - 1.0) / steps, high = static_cast<double>(k) / steps;
    if (at(high) >= 0) continue;
    for (int i = 0; i < 40; ++i) (at((low + high) / 2) >= 0 ? low : high) = (low + high) / 2;
    return low;
  }
  return std::nullopt;
}

RC_GTEST_PROP(GroundingOfRandomVehicles, IsWhereABruteForceScanFindsIt, ()) {
  Model model = vehicle(draw_vehicle());
  const SolveResult stood = solve(model, {.other_stances = false});
  RC_PRE(stood.solution.has_value());
  const VehicleResult& v = *stood.solution->vehicle;
  const Vec3 rest(v.height_mm, v.pitch_deg * rad, v.roll_deg * rad);
  const auto feet = feet_of(model, *stood.solution, rest);
  double most_left = 0;
  for (std::size_t i = 0; i < feet.size(); ++i) {
    RC_PRE(stood.solution->corners[i].wheels[0].ground_load_n.value() > 1e-6);
    RC_PRE(feet[i].curve && feet[i].left > 0.1);
    most_left = std::max(most_left, feet[i].left);
  }
  // A point anywhere along the vehicle, at rest above the ground by up to what could take it there.
  const double x = *rc::gen::inRange(-100, 101), y = *rc::gen::inRange(-40, 41);
  const double up = 0.01 * *rc::gen::inRange(2, 150) * most_left;
  const Vec3 flat(x, y, 0);
  model.clearances.push_back(
      {"point", Vec3(x, y, (up - height(rest, flat)) / (std::cos(rest.y()) * std::cos(rest.z()))), {}});
  const Vec3& point = model.clearances[0].at_mm;

  std::map<std::vector<int>, double> expected;
  const auto expect = [&](const std::vector<int>& rising) {
    if (const auto share = scanned(model, *stood.solution, feet, rising, rest, point)) expected[rising] = *share;
  };
  expect({0, 1});  // front left and right, then rear left and right, as the vehicles are written
  expect({2, 3});
  if (expected.empty()) expect({0, 1, 2, 3});

  const auto found = find_groundings(model, *stood.solution);
  RC_ASSERT(found.size() == expected.size());
  for (const Grounding& one : found) {
    std::vector<int> rising;
    double least = 1e300;
    for (const WheelRef ref : one.wheels) {
      rising.push_back(ref.corner);
      least = std::min(least, feet[static_cast<std::size_t>(ref.corner)].left);
    }
    RC_ASSERT(expected.contains(rising));
    RC_ASSERT(std::abs(one.share - expected[rising]) < 1e-4);  // the scan's chords
    RC_ASSERT(std::abs(one.travel_left_mm - (1 - one.share) * least) < 1e-9);
    RC_ASSERT(one.all_axles == (rising.size() == 4));
  }
}

}  // namespace
}  // namespace ridepitch::property
