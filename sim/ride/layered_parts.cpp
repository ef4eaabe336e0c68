#include "ride/layered_parts.hpp"

#include <algorithm>
#include <numeric>

#include "model/index.hpp"
#include "ride/pose.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

// Whether two holes are one point: the same, or joined by a pin.
bool share(const Linkage& linkage, HoleRef a, HoleRef b) {
  if (a == b) return true;
  return std::any_of(linkage.pins.begin(), linkage.pins.end(), [&](const Pin& pin) {
    return std::find(pin.holes.begin(), pin.holes.end(), a) != pin.holes.end() &&
           std::find(pin.holes.begin(), pin.holes.end(), b) != pin.holes.end();
  });
}

double segment_distance(const Vec2& a, const Vec2& b, const Vec2& c, const Vec2& d) {
  const auto side = [](const Vec2& p, const Vec2& q, const Vec2& r) {
    return (q.x() - p.x()) * (r.y() - p.y()) - (q.y() - p.y()) * (r.x() - p.x());
  };
  if (side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0) return 0;
  return std::min(
      {point_to_segment(a, c, d), point_to_segment(b, c, d), point_to_segment(c, a, b), point_to_segment(d, a, b)});
}

}  // namespace

double beam_radius_mm(double module_mm) {
  constexpr double slack_mm = 0.2;  // neighbours in a plane turn past each other
  return (module_mm - slack_mm) / 2;
}

std::vector<std::vector<int>> beam_chains(const Linkage& linkage, int body) {
  const Body& each = at(linkage.bodies, body);
  if (!each.shape.empty() || body == chassis) return each.shape;
  std::vector<int> all(each.holes.size());
  std::iota(all.begin(), all.end(), 0);
  return {all};
}

double point_to_segment(const Vec2& p, const Vec2& a, const Vec2& b) {
  const Vec2 ab = b - a;
  const double square = ab.squaredNorm();
  const double share = square > 0 ? std::clamp((p - a).dot(ab) / square, 0.0, 1.0) : 0;
  return (p - a - share * ab).norm();
}

std::vector<LayeredPart> layered_parts(const Linkage& linkage, double module_mm) {
  const double beam = beam_radius_mm(module_mm);
  std::vector<LayeredPart> parts;
  for (int b = 0; b < count(linkage.bodies); ++b) {
    const Body& body = at(linkage.bodies, b);
    const auto chains = beam_chains(linkage, b);
    if (!body.layer || chains.empty()) continue;
    LayeredPart part{"body '" + body.name + "'", *body.layer, {}};
    for (const auto& chain : chains)
      for (std::size_t i = 0; i + 1 < chain.size(); ++i)
        part.pieces.push_back({{b, chain[i]}, {b, chain[i + 1]}, beam});
    parts.push_back(std::move(part));
  }
  for (const Rod& rod : linkage.rods)
    if (rod.layer) parts.push_back({"rod '" + rod.name + "'", *rod.layer, {{rod.from, rod.to, beam}}});
  for (const Spring& spring : linkage.springs) {
    if (!spring.layer || turns(spring)) continue;
    const double radius = traits_of(spring.data).width_mm / 2;
    parts.push_back({"spring '" + spring.name + "'", *spring.layer, {{spring.from, spring.to, radius}}});
  }
  return parts;
}

Vec2 hole_place(const Linkage& linkage, HoleRef ref, const std::vector<Pose>& moving) {
  const Vec2& p = at(at(linkage.bodies, ref.body).holes, ref.hole).p_B;
  return ref.body == chassis ? p : in_chassis(at(moving, ref.body - 1), p);
}

double part_gap(const Linkage& linkage, const LayeredPart& one, const LayeredPart& other,
                const std::vector<Pose>& moving) {
  double gap = 1e300;
  for (const Segment& p : one.pieces)
    for (const Segment& r : other.pieces) {
      if (share(linkage, p.a, r.a) || share(linkage, p.a, r.b) || share(linkage, p.b, r.a) || share(linkage, p.b, r.b))
        continue;
      gap = std::min(gap, segment_distance(hole_place(linkage, p.a, moving), hole_place(linkage, p.b, moving),
                                           hole_place(linkage, r.a, moving), hole_place(linkage, r.b, moving)) -
                              p.radius_mm - r.radius_mm);
    }
  return gap;
}

}  // namespace ridepitch
