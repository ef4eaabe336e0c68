#include "ride/touch.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace ridepitch {
namespace {

constexpr double beam_slack_mm = 0.2;  // a beam is this much narrower than a module
constexpr std::size_t tyre_stride = 10;

// One round-ended piece of a part, between two holes.
struct Segment {
  HoleRef a, b;
  double radius_mm = 0;
};

struct LayeredPart {
  std::string name;
  int layer = 0;
  std::vector<Segment> pieces;
};

std::vector<std::vector<int>> chains_of(const Body& body) {
  if (!body.shape.empty()) return body.shape;
  std::vector<int> all;
  for (std::size_t h = 0; h < body.holes.size(); ++h) all.push_back(static_cast<int>(h));
  return {all};
}

std::vector<LayeredPart> layered_parts(const Linkage& linkage, double module_mm) {
  const double beam = (module_mm - beam_slack_mm) / 2;
  std::vector<LayeredPart> parts;
  for (std::size_t b = 0; b < linkage.bodies.size(); ++b) {
    const Body& body = linkage.bodies[b];
    if (!body.layer || (b == chassis && body.shape.empty())) continue;
    LayeredPart part{"body '" + body.name + "'", *body.layer, {}};
    for (const auto& chain : chains_of(body))
      for (std::size_t i = 0; i + 1 < chain.size(); ++i)
        part.pieces.push_back({{static_cast<int>(b), chain[i]}, {static_cast<int>(b), chain[i + 1]}, beam});
    parts.push_back(std::move(part));
  }
  for (const Rod& rod : linkage.rods)
    if (rod.layer) parts.push_back({"rod '" + rod.name + "'", *rod.layer, {{rod.from, rod.to, beam}}});
  for (const Spring& spring : linkage.springs) {
    if (!spring.layer || std::holds_alternative<Torsion>(spring.data)) continue;
    const auto* coil = std::get_if<Coil>(&spring.data);
    parts.push_back({"spring '" + spring.name + "'", *spring.layer, {{spring.from, spring.to, coil ? coil->diameter_mm / 2 : 0}}});
  }
  return parts;
}

// Whether two holes are one point: the same, or joined by a pin.
bool share(const Linkage& linkage, HoleRef a, HoleRef b) {
  if (a == b) return true;
  return std::any_of(linkage.pins.begin(), linkage.pins.end(), [&](const Pin& pin) {
    return std::find(pin.holes.begin(), pin.holes.end(), a) != pin.holes.end() &&
           std::find(pin.holes.begin(), pin.holes.end(), b) != pin.holes.end();
  });
}

Vec2 place(const Linkage& linkage, HoleRef ref, const std::vector<Pose>& moving) {
  const Vec2& p = linkage.bodies[static_cast<std::size_t>(ref.body)].holes[static_cast<std::size_t>(ref.hole)].p_B;
  if (ref.body == chassis) return p;
  const Pose& pose = moving[static_cast<std::size_t>(ref.body) - 1];
  const double c = std::cos(pose.theta_rad), s = std::sin(pose.theta_rad);
  return pose.p_CB + Vec2(c * p.x() - s * p.y(), s * p.x() + c * p.y());
}

double point_to_segment(const Vec2& p, const Vec2& a, const Vec2& b) {
  const Vec2 ab = b - a;
  const double square = ab.squaredNorm();
  const double share = square > 0 ? std::clamp((p - a).dot(ab) / square, 0.0, 1.0) : 0;
  return (p - a - share * ab).norm();
}

double segment_distance(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  const auto side = [](const Vec2& p, const Vec2& q, const Vec2& r) {
    return (q.x() - p.x()) * (r.y() - p.y()) - (q.y() - p.y()) * (r.x() - p.x());
  };
  if (side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0) return 0;
  return std::min({point_to_segment(a, c, d), point_to_segment(b, c, d), point_to_segment(c, a, b), point_to_segment(d, a, b)});
}

// Gap between two parts [mm], the pieces that meet at a shared hole left out.
double part_gap(const Linkage& linkage, const LayeredPart& one, const LayeredPart& other, const std::vector<Pose>& moving) {
  double gap = 1e300;
  for (const Segment& p : one.pieces)
    for (const Segment& r : other.pieces) {
      if (share(linkage, p.a, r.a) || share(linkage, p.a, r.b) || share(linkage, p.b, r.a) || share(linkage, p.b, r.b)) continue;
      gap = std::min(gap, segment_distance(place(linkage, p.a, moving), place(linkage, p.b, moving), place(linkage, r.a, moving),
                                           place(linkage, r.b, moving)) - p.radius_mm - r.radius_mm);
    }
  return gap;
}

void parts_of_corner(const Model& model, const Solution& solution, std::size_t c, std::vector<Finding>& findings) {
  const Linkage& linkage = model.linkages[static_cast<std::size_t>(model.corners[c].linkage)];
  const auto parts = layered_parts(linkage, model.module_mm);
  if (parts.size() < 2) return;
  for (std::size_t i = 0; i < parts.size(); ++i)
    for (std::size_t j = i + 1; j < parts.size(); ++j) {
      if (parts[i].layer != parts[j].layer) continue;
      double worst = 0, travel = 0;
      bool at_rest = false;
      const auto look = [&](const std::vector<Pose>& moving, double at, bool rest) {
        const double gap = part_gap(linkage, parts[i], parts[j], moving);
        if (gap >= worst) return;
        worst = gap;
        travel = at;
        at_rest = rest;
      };
      const std::vector<Pose>& rest = solution.corners[c].poses;
      if (!rest.empty()) look({rest.begin() + 1, rest.end()}, 0, true);
      for (const Curve& curve : solution.curves)
        if (curve.corner == static_cast<int>(c))
          for (std::size_t k = 0; k < curve.poses.size(); ++k) look(curve.poses[k], curve.points[k].travel_mm, false);
      if (worst >= 0) continue;
      findings.push_back({.level = Level::problem, .code = "parts-touch", .where = solution.corners[c].name,
                          .text = fmt::format("{} and {} lie on layer {} and run {:.1f} mm into each other {}", parts[i].name, parts[j].name,
                                              parts[i].layer, -worst, at_rest ? std::string("at rest") : fmt::format("at {:.1f} mm of travel", travel)),
                          .remedy = "put one of them on another layer, or move its holes"});
    }
}

struct Disc {
  std::string name;
  std::size_t corner = 0, wheel = 0;
  double y_mm = 0, radius_mm = 0, width_mm = 0;
  std::vector<Vec2> at;  // x, z of its centre: at rest, then over its own travel
};

// x, z of a wheel's centre and its y, from its place in the chassis grid.
Vec3 in_vehicle(const Corner& corner, Plane plane, const Vec2& centre) {
  const double u = (corner.flip ? -1 : 1) * centre.x();
  return plane == Plane::side ? Vec3(corner.at_mm.x() + u, corner.at_mm.y(), corner.at_mm.z() + centre.y())
                              : Vec3(corner.at_mm.x(), corner.at_mm.y() + u, corner.at_mm.z() + centre.y());
}

std::vector<Disc> tyre_discs(const Model& model, const Solution& solution) {
  std::vector<Disc> discs;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Corner& corner = model.corners[c];
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
    if (linkage.plane == Plane::top) continue;
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      const Tyre& tyre = linkage.wheels[w].tyre;
      const Vec3 rest = in_vehicle(corner, linkage.plane, solution.corners[c].wheels[w].centre_C_mm);
      Disc disc{solution.corners[c].name + "/" + linkage.wheels[w].name, c, w, rest.y(), tyre.diameter_mm / 2, tyre.width_mm,
                {Vec2(rest.x(), rest.z())}};
      for (const Curve& curve : solution.curves)
        if (curve.corner == static_cast<int>(c) && curve.wheel == static_cast<int>(w))
          for (std::size_t k = 0; k < curve.points.size(); k += tyre_stride) {
            const Vec3 p = in_vehicle(corner, linkage.plane, curve.points[k].centre_C_mm);
            disc.at.emplace_back(p.x(), p.z());
          }
      discs.push_back(std::move(disc));
    }
  }
  return discs;
}

// Least gap of two tyres of one linkage: they stand where one pose of it puts them.
double gap_in_one_linkage(const Model& model, const Solution& solution, const Disc& a, const Disc& b) {
  const Linkage& linkage = model.linkages[static_cast<std::size_t>(model.corners[a.corner].linkage)];
  double least = (a.at[0] - b.at[0]).norm();
  for (const Curve& curve : solution.curves) {
    if (curve.corner != static_cast<int>(a.corner)) continue;
    for (const auto& moving : curve.poses)
      least = std::min(least, (place(linkage, linkage.wheels[a.wheel].at, moving) - place(linkage, linkage.wheels[b.wheel].at, moving)).norm());
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
      const bool beside = a.width_mm > 0 && b.width_mm > 0 && std::abs(a.y_mm - b.y_mm) >= (a.width_mm + b.width_mm) / 2;
      if (beside) continue;
      const double gap = gap_of(model, solution, a, b);
      if (gap >= 0) continue;
      findings.push_back({.level = Level::problem, .code = "tyres-touch", .where = a.name,
                          .text = fmt::format("its tyre and that of '{}' run {:.1f} mm into each other over their travel", b.name, -gap),
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
