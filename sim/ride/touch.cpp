#include "ride/findings.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "ride/layered_parts.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t tyre_stride = 10;

void parts_of_corner(const Model& model, const Solution& solution, std::size_t c, std::vector<Finding>& findings) {
  const Linkage& linkage = at(model.linkages, model.corners[c].linkage);
  const auto parts = layered_parts(linkage, model.module_mm);
  if (parts.size() < 2) return;
  for (std::size_t i = 0; i < parts.size(); ++i)
    for (std::size_t j = i + 1; j < parts.size(); ++j) {
      if (parts[i].layer != parts[j].layer) continue;
      double worst = 0, travel = 0;
      bool at_rest = false;
      const auto look = [&](const std::vector<Pose>& moving, double travel_mm, bool rest) {
        const double gap = part_gap(linkage, parts[i], parts[j], moving);
        if (gap >= worst) return;
        worst = gap;
        travel = travel_mm;
        at_rest = rest;
      };
      const std::vector<Pose>& rest = solution.corners[c].poses;
      if (!rest.empty()) look({rest.begin() + 1, rest.end()}, 0, true);
      for (const Curve& curve : solution.curves)
        if (curve.corner == static_cast<int>(c))
          for (std::size_t k = 0; k < curve.poses.size(); ++k) look(curve.poses[k], curve.points[k].travel_mm, false);
      if (worst >= 0) continue;
      findings.push_back(
          {.level = Level::problem,
           .code = "parts-touch",
           .where = solution.corners[c].name,
           .text = fmt::format("{} and {} lie on layer {} and run {:.1f} mm into each other {}", parts[i].name,
                               parts[j].name, parts[i].layer, -worst,
                               at_rest ? std::string("at rest") : fmt::format("at {:.1f} mm of travel", travel)),
           .remedy = "put one of them on another layer, or move its holes"});
    }
}

struct Disc {
  std::string name;
  std::size_t corner = 0, wheel = 0;
  double y_mm = 0, radius_mm = 0, width_mm = 0;
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
      const Vec3 rest = on_vehicle(corner, linkage.plane, solution.corners[c].wheels[w].centre_C_mm);
      const std::string name = solution.corners[c].name + "/" + linkage.wheels[w].name;
      Disc disc{name, c, w, rest.y(), tyre.diameter_mm / 2, tyre.width_mm, {Vec2(rest.x(), rest.z())}};
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

// Least gap of two tyres of one linkage: they stand where one pose of it puts them.
double gap_in_one_linkage(const Model& model, const Solution& solution, const Disc& a, const Disc& b) {
  const Linkage& linkage = at(model.linkages, model.corners[a.corner].linkage);
  double least = (a.at[0] - b.at[0]).norm();
  for (const Curve& curve : solution.curves) {
    if (curve.corner != static_cast<int>(a.corner)) continue;
    for (const auto& moving : curve.poses)
      least = std::min(least, (hole_place(linkage, linkage.wheels[a.wheel].at, moving) -
                               hole_place(linkage, linkage.wheels[b.wheel].at, moving))
                                  .norm());
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

void tyres(const Model& model, const Solution& solution, std::vector<Finding>& findings) {
  const auto discs = tyre_discs(model, solution);
  for (std::size_t i = 0; i < discs.size(); ++i)
    for (std::size_t j = i + 1; j < discs.size(); ++j) {
      const Disc &a = discs[i], &b = discs[j];
      if (a.y_mm * b.y_mm <= 0) continue;  // of different sides
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
}

}  // namespace

std::vector<Finding> find_touching(const Model& model, const Solution& solution) {
  std::vector<Finding> findings;
  for (std::size_t c = 0; c < model.corners.size(); ++c) parts_of_corner(model, solution, c, findings);
  tyres(model, solution, findings);
  return findings;
}

}  // namespace ridepitch
