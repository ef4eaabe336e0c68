#include "stack/pieces.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "spring/spring_traits.hpp"
#include "stack/made_of.hpp"

namespace ridepitch {
namespace {

constexpr double rounding_slices = 1e-9;

int whole_slices(double modules) { return static_cast<int>(std::ceil(modules - rounding_slices)); }

/// The joint that each hole lies in.
struct JointHole {
  HoleRef hole;
  int joint = 0;
};

struct Builder {
  const Catalogue& catalogue;
  double module_mm;
  const Linkage& linkage;
  StackParts out = {};
  std::vector<JointHole> joint_holes = {};
};

const Vec2& place_of(const Linkage& linkage, HoleRef ref) {
  return at(at(linkage.bodies, ref.body).holes, ref.hole).p_B;
}

int joint_at(const Builder& to, HoleRef ref) {
  for (const JointHole& each : to.joint_holes)
    if (each.hole == ref) return each.joint;
  return -1;
}

int add_joint(Builder& to, const std::string& name, const std::vector<HoleRef>& holes) {
  const int joint = count(to.out.joints);
  const RidingPoint point{holes.front().body, place_of(to.linkage, holes.front()), joint};
  to.out.joints.push_back({name, {{{point, point, axle_radius_mm}}, {}}, {}});
  for (const HoleRef hole : holes) to.joint_holes.push_back({hole, joint});
  return joint;
}

/// Every pin, and every other hole that a rod or spring ends at.
void add_joints(Builder& to) {
  for (const Pin& pin : to.linkage.pins) add_joint(to, pin.name, pin.holes);
  const auto end = [&](HoleRef hole) {
    if (joint_at(to, hole) < 0) add_joint(to, hole_name(to.linkage, hole), {hole});
  };
  for (const Rod& rod : to.linkage.rods) {
    end(rod.from);
    end(rod.to);
  }
  for (const Spring& spring : to.linkage.springs) {
    if (turns(spring)) continue;
    end(spring.from);
    end(spring.to);
  }
}

/// The points of a line, with the joints that lie on it put in.
std::vector<RidingPoint> points_of(const Builder& of, int body, const std::vector<Vec2>& line) {
  const double fit_mm = hole_fit_modules * of.module_mm;
  std::vector<RidingPoint> on;  // the body's joints
  for (const JointHole& each : of.joint_holes)
    if (each.hole.body == body) on.push_back({body, place_of(of.linkage, each.hole), each.joint});
  const auto point = [&](const Vec2& p_B) {
    for (const RidingPoint& joint : on)
      if ((joint.p_B - p_B).norm() <= fit_mm) return RidingPoint{body, p_B, joint.joint};
    return RidingPoint{body, p_B, -1};
  };
  std::vector<RidingPoint> out = {point(line.front())};
  for (std::size_t i = 0; i + 1 < line.size(); ++i) {
    const Vec2 along = line[i + 1] - line[i];
    std::vector<std::pair<double, RidingPoint>> between;
    for (const RidingPoint& joint : on) {
      if (point_to_segment(joint.p_B, line[i], line[i + 1]) > fit_mm) continue;
      if ((joint.p_B - line[i]).norm() <= fit_mm || (joint.p_B - line[i + 1]).norm() <= fit_mm) continue;
      between.emplace_back((joint.p_B - line[i]).dot(along), joint);
    }
    std::sort(between.begin(), between.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
    for (const auto& [share, joint] : between) out.push_back(joint);
    out.push_back(point(line[i + 1]));
  }
  return out;
}

void add_line(const Builder& of, int body, const std::vector<Vec2>& line, std::vector<Capsule>& to) {
  if (line.empty()) return;
  const std::vector<RidingPoint> points = points_of(of, body, straightened(line));
  const double radius = beam_radius_mm(of.module_mm);
  if (points.size() == 1) to.push_back({points[0], points[0], radius});
  for (std::size_t i = 0; i + 1 < points.size(); ++i) to.push_back({points[i], points[i + 1], radius});
}

std::vector<Across> walls_of(const Piece& piece) {
  std::vector<Across> walls;
  for (const double wall : piece.walls)
    walls.push_back({wall - piece.walls.front() - 0.5, wall - piece.walls.front() - 0.5 + piece.thick});
  return walls;
}

bool same_walls(const std::vector<Across>& one, const std::vector<Across>& other) {
  return std::equal(one.begin(), one.end(), other.begin(), other.end(),
                    [](const Across& a, const Across& b) { return a.from == b.from && a.to == b.to; });
}

/// The sheets of a body's own parts; those alike across are one.
std::vector<StackSheet> sheets_of_parts(const Builder& of, int body, const MadeOf& made) {
  std::vector<StackSheet> sheets;
  for (const LaidPart& part : made.parts) {
    const std::vector<Across> walls = walls_of(*part.piece);
    auto sheet =
        std::find_if(sheets.begin(), sheets.end(), [&](const StackSheet& s) { return same_walls(s.walls, walls); });
    if (sheet == sheets.end()) sheet = sheets.insert(sheets.end(), {{}, walls});
    add_line(of, body, part.holes_mm, sheet->silhouette.pieces);
  }
  return sheets;
}

std::vector<StackSheet> sheets_of(const Builder& of, int index) {
  const Body& body = at(of.linkage.bodies, index);
  const MadeOf made = made_of(of.catalogue, of.module_mm, body);
  if (body.shape.empty() && !made.free()) return sheets_of_parts(of, index, made);
  StackSheet sheet{{}, {{-0.5, 0.5}}};
  const std::string& part = body.part.empty() && !body.built.empty() ? body.built.front().part : body.part;
  if (const Piece* piece = find_piece(of.catalogue, part)) sheet.walls = walls_of(*piece);
  for (const auto& line : outlines(of.catalogue, of.module_mm, of.linkage, index))
    add_line(of, index, line, sheet.silhouette.pieces);
  if (sheet.silhouette.pieces.empty()) return {};
  return {std::move(sheet)};
}

void join(Builder& to, int joint, int item) {
  auto& items = at(to.out.joints, joint).items;
  if (std::find(items.begin(), items.end(), item) == items.end()) items.push_back(item);
}

void add_bodies(Builder& to) {
  for (int b = 0; b < count(to.linkage.bodies); ++b) {
    const Body& body = at(to.linkage.bodies, b);
    std::vector<StackSheet> sheets = sheets_of(to, b);
    if (sheets.empty()) continue;
    StackItem item{StackKind::body, b, "body '" + body.name + "'", std::move(sheets), body.layer, false, {}};
    item.carries_wheel = b != chassis && std::any_of(to.linkage.wheels.begin(), to.linkage.wheels.end(),
                                                     [&](const Wheel& wheel) { return wheel.at.body == b; });
    for (const JointHole& each : to.joint_holes)
      if (each.hole.body == b) join(to, each.joint, count(to.out.items));
    to.out.items.push_back(std::move(item));
  }
}

/// A rod or spring between two holes.
void add_link(Builder& to, StackItem item, HoleRef from, HoleRef end, double radius_mm, const Across& across) {
  const RidingPoint a{from.body, place_of(to.linkage, from), joint_at(to, from)},
      b{end.body, place_of(to.linkage, end), joint_at(to, end)};
  item.sheets = {{{{{a, b, radius_mm}}, {}}, {across}}};
  join(to, a.joint, count(to.out.items));
  join(to, b.joint, count(to.out.items));
  to.out.items.push_back(std::move(item));
}

void add_rods(Builder& to) {
  for (int r = 0; r < count(to.linkage.rods); ++r) {
    const Rod& rod = at(to.linkage.rods, r);
    const Piece* piece = find_piece(to.catalogue, rod.part);
    const double width = (piece ? piece->thick : 1) + whole_slices(rod.across_mm / to.module_mm);
    add_link(to, {StackKind::rod, r, "rod '" + rod.name + "'", {}, rod.layer, false, {}}, rod.from, rod.to,
             beam_radius_mm(to.module_mm), {-0.5, width - 0.5});
  }
}

/// As many coils side by side as there are, in the middle of the whole slices that they take.
Across coil_across(const Spring& spring, double diameter_mm, double module_mm) {
  const double more = whole_slices(spring.across_mm / module_mm);
  if (!(diameter_mm > 0)) return {-0.5, 0.5 + more};
  const double width = spring.count * diameter_mm / module_mm;
  const double middle = -0.5 + 0.5 * std::max(1, whole_slices(width));
  return {middle - 0.5 * width, middle + 0.5 * width + more};
}

void add_springs(Builder& to) {
  for (int s = 0; s < count(to.linkage.springs); ++s) {
    const Spring& spring = at(to.linkage.springs, s);
    if (turns(spring)) continue;
    const double diameter_mm = traits_of(spring.data).width_mm;
    add_link(to, {StackKind::spring, s, "spring '" + spring.name + "'", {}, spring.layer, false, {}}, spring.from,
             spring.to, diameter_mm / 2, coil_across(spring, diameter_mm, to.module_mm));
  }
}

int item_of_body(const StackParts& parts, int body) {
  for (int i = 0; i < count(parts.items); ++i)
    if (at(parts.items, i).kind == StackKind::body && at(parts.items, i).index == body) return i;
  return -1;
}

/// Tyres stand where `out` says, and an axle goes from each to its body.
void add_tyres(Builder& to) {
  if (to.linkage.plane != Plane::side) return;
  for (int w = 0; w < count(to.linkage.wheels); ++w) {
    const Wheel& wheel = at(to.linkage.wheels, w);
    const RidingPoint hub{wheel.at.body, place_of(to.linkage, wheel.at), -1};
    const double out = wheel.out_mm / to.module_mm, half = wheel.tyre.width_mm / (2 * to.module_mm);
    const Silhouette disc{{{hub, hub, wheel.tyre.diameter_mm / 2}}, {}};
    const int tyre = count(to.out.items), body = item_of_body(to.out, wheel.at.body);
    to.out.items.push_back(
        {StackKind::tyre, w, "tyre '" + wheel.name + "'", {{disc, {{out - half, out + half}}}}, 0, false, {}});
    StackJoint axle{hole_name(to.linkage, wheel.at), {{{hub, hub, axle_radius_mm}}, {}}, {tyre}, w};
    if (body >= 0) axle.items.push_back(body);
    to.out.joints.push_back(std::move(axle));
  }
}

// ------------------------------------------------------------------------------------ keep-outs

/// A box of the vehicle seen from a corner's linkage.
StackSheet seen_from(const Corner& corner, Plane plane, double module_mm, const Keepout& keepout) {
  const Vec3 middle = keepout.at_mm - corner.at_mm, half = keepout.size_mm / 2;
  const Vec3 u = u_axis(corner, plane), v = v_axis(plane);
  const Vec3 out = outward(corner, plane);
  const Vec2 centre(middle.dot(u), middle.dot(v)), reach(half.dot(u.cwiseAbs()), half.dot(v));
  const double across = middle.dot(out) / module_mm, width = half.dot(out.cwiseAbs()) / module_mm;
  return {{{}, PlaneBox{centre - reach, centre + reach}}, {{across - width, across + width}}};
}

bool same_sheet(const StackSheet& one, const StackSheet& other) {
  constexpr double same = 1e-9;
  return (one.silhouette.box->low - other.silhouette.box->low).cwiseAbs().maxCoeff() < same &&
         (one.silhouette.box->high - other.silhouette.box->high).cwiseAbs().maxCoeff() < same &&
         std::abs(one.walls[0].from - other.walls[0].from) < same &&
         std::abs(one.walls[0].to - other.walls[0].to) < same;
}

/// A box that corners see alike, those of a vehicle whose sides are mirror images, is one.
void add_keepouts(const Model& model, int linkage, StackParts& parts) {
  for (int k = 0; k < count(model.keepouts); ++k) {
    const Keepout& keepout = at(model.keepouts, k);
    const std::size_t first = parts.items.size();
    for (int c = 0; c < count(model.corners); ++c) {
      const Corner& corner = at(model.corners, c);
      if (corner.linkage != linkage) continue;
      StackSheet sheet = seen_from(corner, at(model.linkages, linkage).plane, model.module_mm, keepout);
      const auto known = std::find_if(parts.items.begin() + static_cast<std::ptrdiff_t>(first), parts.items.end(),
                                      [&](const StackItem& item) { return same_sheet(item.sheets[0], sheet); });
      if (known != parts.items.end())
        known->corners.push_back(c);
      else
        parts.items.push_back(
            {StackKind::keepout, k, "keepout '" + keepout.name + "'", {std::move(sheet)}, 0, false, {c}});
    }
  }
}

/// Rods with heights of their own lie there, above the first corner that uses the linkage.
void lay_at_heights(const Model& model, int linkage, StackParts& parts) {
  const auto corner = std::find_if(model.corners.begin(), model.corners.end(),
                                   [&](const Corner& each) { return each.linkage == linkage; });
  if (at(model.linkages, linkage).plane != Plane::top || corner == model.corners.end()) return;
  for (StackItem& item : parts.items) {
    if (item.kind != StackKind::rod || item.layer) continue;
    const auto& height_mm = at(at(model.linkages, linkage).rods, item.index).height_mm;
    if (!height_mm) continue;
    const auto [low, high] = std::minmax((*height_mm)[0], (*height_mm)[1]);
    const double half = 0.5;
    item.sheets[0].walls = {
        {(low - corner->at_mm.z()) / model.module_mm - half, (high - corner->at_mm.z()) / model.module_mm + half}};
    item.layer = 0;
  }
}

}  // namespace

bool overlap(const Across& one, const Across& other) {
  const double low = std::max(one.from, other.from), high = std::min(one.to, other.to);
  if (high - low > rounding_slices) return true;
  const auto thin_within = [](const Across& thin, const Across& wide) {
    return thin.to - thin.from <= rounding_slices && thin.from > wide.from + rounding_slices &&
           thin.to < wide.to - rounding_slices;
  };
  return thin_within(one, other) || thin_within(other, one);
}

Across shifted(const Across& wall, int slices) { return {wall.from + slices, wall.to + slices}; }

bool overlap(const std::vector<Across>& walls, int slice, const std::vector<Across>& other, int other_slice) {
  for (const Across& a : walls)
    for (const Across& b : other)
      if (overlap(shifted(a, slice), shifted(b, other_slice))) return true;
  return false;
}

double beam_radius_mm(double module_mm) {
  constexpr double slack_mm = 0.2;  // neighbours in a plane turn past each other
  return (module_mm - slack_mm) / 2;
}

double point_to_segment(const Vec2& p, const Vec2& a, const Vec2& b) {
  const Vec2 ab = b - a;
  const double square = ab.squaredNorm();
  const double share = square > 0 ? std::clamp((p - a).dot(ab) / square, 0.0, 1.0) : 0;
  return (p - a - share * ab).norm();
}

Vec3 outward(const Corner& corner, Plane plane) {
  switch (plane) {
    case Plane::side:
      return outward(corner) * Vec3::UnitY();
    case Plane::front:
      return corner.at_mm.x() < 0 ? Vec3(-Vec3::UnitX()) : Vec3(Vec3::UnitX());
    case Plane::top:
      break;
  }
  return Vec3::UnitZ();
}

StackParts stack_parts(const Catalogue& catalogue, double module_mm, const Linkage& linkage) {
  Builder to{catalogue, module_mm, linkage};
  add_joints(to);
  add_bodies(to);
  add_rods(to);
  add_springs(to);
  add_tyres(to);
  return std::move(to.out);
}

StackParts stack_parts(const Model& model, int linkage) {
  StackParts parts = stack_parts(model.catalogue, model.module_mm, at(model.linkages, linkage));
  lay_at_heights(model, linkage, parts);
  add_keepouts(model, linkage, parts);
  return parts;
}

}  // namespace ridepitch
