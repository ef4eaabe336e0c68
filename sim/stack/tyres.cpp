#include "stack/tyres.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "ride/pose.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t tyre_stride = 10;

struct Disc {
  std::string name;
  std::size_t corner = 0, wheel = 0;
  double y_mm = 0, radius_mm = 0, width_mm = 0;
  double side = 0;       // its sign tells the side of the vehicle
  std::vector<Vec2> at;  // x, z of its centre: at rest, then over its own travel
};

std::vector<Disc> tyre_discs(const Model& model, const Solution& solution) {
  std::vector<Disc> discs;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Corner& corner = model.corners[c];
    const Linkage& linkage = at(model.linkages, corner.linkage);
    if (linkage.plane == Plane::top) continue;
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      const Tyre& tyre = linkage.wheels[w].tyre;
      const Vec3 rest =
          wheel_on_vehicle(corner, linkage.plane, linkage.wheels[w], solution.corners[c].wheels[w].centre_C_mm);
      const std::string name = solution.corners[c].name + "/" + linkage.wheels[w].name;
      Disc disc{name,
                c,
                w,
                rest.y(),
                tyre.diameter_mm / 2,
                tyre.width_mm,
                linkage.plane == Plane::side ? corner.at_mm.y() : rest.y(),
                {Vec2(rest.x(), rest.z())}};
      for (const Curve& curve : solution.curves)
        if (curve.corner == static_cast<int>(c) && curve.wheel == static_cast<int>(w))
          for (std::size_t k = 0; k < curve.points.size(); k += tyre_stride) {
            const Vec3 p = on_vehicle(corner, linkage.plane, curve.points[k].centre_C_mm);
            disc.at.emplace_back(p.x(), p.z());
          }
      discs.push_back(std::move(disc));
    }
  }
  return discs;
}

Vec2 hub_place(const Linkage& linkage, std::size_t wheel, const std::vector<Pose>& moving) {
  const HoleRef ref = linkage.wheels[wheel].at;
  const Vec2& p = at(at(linkage.bodies, ref.body).holes, ref.hole).p_B;
  return ref.body == chassis ? p : in_chassis(at(moving, ref.body - 1), p);
}

// Least gap of two tyres of one linkage: they stand where one pose of it puts them.
double gap_in_one_linkage(const Model& model, const Solution& solution, const Disc& a, const Disc& b) {
  const Linkage& linkage = at(model.linkages, model.corners[a.corner].linkage);
  double least = (a.at[0] - b.at[0]).norm();
  for (const Curve& curve : solution.curves) {
    if (curve.corner != static_cast<int>(a.corner)) continue;
    for (const auto& moving : curve.poses)
      least = std::min(least, (hub_place(linkage, a.wheel, moving) - hub_place(linkage, b.wheel, moving)).norm());
  }
  return least - a.radius_mm - b.radius_mm;
}

double gap_of(const Model& model, const Solution& solution, const Disc& a, const Disc& b) {
  if (a.corner == b.corner) return gap_in_one_linkage(model, solution, a, b);
  double least = 1e300;
  for (const Vec2& p : a.at)
    for (const Vec2& q : b.at) least = std::min(least, (p - q).norm());
  return least - a.radius_mm - b.radius_mm;
}

}  // namespace

std::vector<Finding> find_touching_tyres(const Model& model, const Solution& solution) {
  std::vector<Finding> findings;
  const auto discs = tyre_discs(model, solution);
  for (std::size_t i = 0; i < discs.size(); ++i)
    for (std::size_t j = i + 1; j < discs.size(); ++j) {
      const Disc &a = discs[i], &b = discs[j];
      if (a.side * b.side <= 0) continue;  // of different sides
      const bool beside =
          a.width_mm > 0 && b.width_mm > 0 && std::abs(a.y_mm - b.y_mm) >= (a.width_mm + b.width_mm) / 2;
      if (beside) continue;
      const double gap = gap_of(model, solution, a, b);
      if (gap >= 0) continue;
      findings.push_back(
          {.level = Level::problem,
           .code = "tyres-touch",
           .where = a.name,
           .text =
               fmt::format("its tyre and that of '{}' run {:.1f} mm into each other over their travel", b.name, -gap),
           .remedy = "smaller tyres, or their axles farther apart"});
    }
  return findings;
}

}  // namespace ridepitch
