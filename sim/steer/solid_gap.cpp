#include "steer/solid_gap.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include <Eigen/Geometry>
#include <Eigen/LU>

#include "linkage/roots.hpp"

namespace ridepitch {
namespace {

// The point of a solid that lies farthest in a direction.
Vec3 support(const Cylinder& c, const Vec3& n) {
  const double along = n.dot(c.axis);
  Vec3 radial = n - along * c.axis;
  radial -= radial.dot(c.axis) * c.axis;  // what rounding has left along the axis would else grow with the radius
  const double length = radial.norm();
  Vec3 out = c.centre_mm + (along < 0 ? -c.half_width_mm : c.half_width_mm) * c.axis;
  if (length > 1e-13 * n.norm()) out += c.radius_mm / length * radial;  // under that every point of the face will do
  return out;
}

Vec3 support(const Cuboid& b, const Vec3& n) {
  return b.centre_mm + Vec3(std::copysign(b.half_mm.x(), n.x()), std::copysign(b.half_mm.y(), n.y()),
                            std::copysign(b.half_mm.z(), n.z()));
}

// A point of the difference first - second, with the two that it comes from.
struct Corner3 {
  Vec3 w, first, second;
};

template <class A, class B>
Corner3 corner(const A& a, const B& b, const Vec3& n) {
  const Vec3 first = support(a, n), second = support(b, -n);
  return {first - second, first, second};
}

// Up to four corners and the shares of the point nearest to the origin.
struct Simplex {
  Corner3 at[4];
  double share[4] = {};
  int size = 0;
  Vec3 v = Vec3::Zero();  // that point
};

// The point of the plane (line, point) through all corners that is nearest to the origin. @returns whether it lies between them
bool find_nearest(Simplex& s) {
  constexpr double flat = 1e-12;  // of an edge: what is left of it after those before it
  const Vec3 base = s.at[0].w;
  const int edges = s.size - 1;
  // Edges by Gram-Schmidt, E = Q R: nearly flat simplices are told by the length of what is left.
  Eigen::Matrix3d Q, R = Eigen::Matrix3d::Zero();
  for (int i = 0; i < edges; ++i) {
    const Vec3 edge = s.at[i + 1].w - base;
    Vec3 rest = edge;
    for (int pass = 0; pass < 2; ++pass)
      for (int k = 0; k < i; ++k) {
        const double along = Q.col(k).dot(rest);
        R(k, i) += along;
        rest -= along * Q.col(k);
      }
    R(i, i) = rest.norm();
    if (!(R(i, i) > flat * edge.norm())) return false;
    Q.col(i) = rest / R(i, i);
  }
  for (int i = edges; i > 0; --i) {
    double right = -Q.col(i - 1).dot(base);
    for (int k = i + 1; k <= edges; ++k) right -= R(i - 1, k - 1) * s.share[k];
    s.share[i] = right / R(i - 1, i - 1);
  }
  s.share[0] = 1;
  for (int i = 1; i <= edges; ++i) s.share[0] -= s.share[i];
  s.v.setZero();
  for (int i = 0; i <= edges; ++i) {
    if (s.share[i] < 0) return false;
    s.v += s.share[i] * s.at[i].w;
  }
  return true;
}

// Keeps the corners whose nearest point to the origin is the nearest of all; that is the simplex's.
void reduce(Simplex& s) {
  double best = std::numeric_limits<double>::infinity();
  Simplex out;
  for (int mask = 1; mask < (1 << s.size); ++mask) {
    Simplex part;
    for (int i = 0; i < s.size; ++i)
      if (mask & (1 << i)) part.at[part.size++] = s.at[i];
    // Of equal ones the one with fewer corners: it comes first or is a little nearer by rounding only.
    if (!find_nearest(part) || !(part.v.squaredNorm() < best)) continue;
    best = part.v.squaredNorm();
    out = part;
  }
  s = out;
}

constexpr double exact_mm = 1e-10;
constexpr int most_rounds = 200;

// The distance, or a gap of 0 where the solids overlap or nearly touch.
template <class A, class B>
SolidGap distance(const A& a, const B& b) {
  Vec3 towards = b.centre_mm - a.centre_mm;
  if (towards.norm() == 0) towards = Vec3::UnitX();
  Simplex s;
  s.at[0] = corner(a, b, towards);
  s.size = 1;
  reduce(s);
  double before = std::numeric_limits<double>::infinity();
  for (int round = 0; round < most_rounds; ++round) {
    const double length = s.v.norm();
    if (length < exact_mm || s.size == 4) break;
    if (!(length < before)) break;  // rounding: it does not get any nearer
    before = length;
    const Corner3 next = corner(a, b, -s.v);
    if (length - s.v.dot(next.w) / length < exact_mm) break;  // no point lies nearer along v
    Simplex with = s;
    with.at[with.size++] = next;
    reduce(with);
    if (!(with.v.norm() < length)) break;
    s = with;
  }
  SolidGap out;
  out.mm = s.size == 4 || s.v.norm() < exact_mm ? 0 : s.v.norm();
  for (int i = 0; i < s.size; ++i) {
    out.on_first_mm += s.share[i] * s.at[i].first;
    out.on_second_mm += s.share[i] * s.at[i].second;
  }
  if (out.mm > 0) out.normal = s.v.normalized();
  return out;
}

// Directions perpendicular to which a solid's support function has a crease: one face, edge or rim takes over from another.
std::vector<Vec3> crease_axes(const Cylinder& c) { return {c.axis}; }
std::vector<Vec3> crease_axes(const Cuboid&) { return {Vec3::UnitX(), Vec3::UnitY(), Vec3::UnitZ()}; }

// How far the first must be shifted against n to come off the second.
template <class A, class B>
double overlap_along(const A& a, const B& b, const Vec3& n) {
  return corner(a, b, n).w.dot(n);
}

struct Deepest {
  double mm = std::numeric_limits<double>::infinity();
  Vec3 n = Vec3::UnitX();
};

template <class A, class B>
Deepest descend(const A& a, const B& b, Deepest from, double step) {
  for (int round = 0; step > 1e-10 && round < 400; ++round) {
    const Vec3 across = from.n.unitOrthogonal(), other = from.n.cross(across);
    bool nearer = false;
    for (int k = 0; k < 8; ++k) {
      const double angle = std::numbers::pi / 4 * k + 0.37 * round;
      const Vec3 n = (from.n + step * (std::cos(angle) * across + std::sin(angle) * other)).normalized();
      const double mm = overlap_along(a, b, n);
      if (mm < from.mm) {
        from = {mm, n};
        nearer = true;
      }
    }
    if (!nearer) step /= 2;
  }
  return from;
}

// The least along a crease, about the least of evenly spread directions.
template <class A, class B>
Deepest least_on_crease(const A& a, const B& b, const Vec3& axis) {
  const Vec3 across = axis.unitOrthogonal(), other = axis.cross(across);
  const auto direction = [&](double angle) { return Vec3(std::cos(angle) * across + std::sin(angle) * other); };
  const auto depth = [&](double angle) { return overlap_along(a, b, direction(angle)); };
  constexpr double close_enough_rad = 1e-11;
  constexpr int turns = 48;
  constexpr double stride = 2 * std::numbers::pi / turns;
  int least = 0;
  for (int i = 1; i < turns; ++i)
    if (depth(i * stride) < depth(least * stride)) least = i;
  const double angle = find_least(depth, (least - 1) * stride, (least + 1) * stride, close_enough_rad);
  return {depth(angle), direction(angle)};
}

// The least over all directions: the best few of many, each drawn down.
template <class A, class B>
SolidGap overlap(const A& a, const B& b) {
  std::vector<Vec3> axes = crease_axes(a);
  for (const Vec3& axis : crease_axes(b)) axes.push_back(axis);
  std::vector<Deepest> found;
  const auto look = [&](const Vec3& n) { found.push_back({overlap_along(a, b, n), n}); };
  const auto look_both = [&](const Vec3& n) {
    if (n.norm() < 1e-9) return;  // axes that are parallel
    look(n.normalized());
    look(-n.normalized());
  };
  for (std::size_t i = 0; i < axes.size(); ++i) {
    look_both(axes[i]);
    for (std::size_t k = i + 1; k < axes.size(); ++k) look_both(axes[i].cross(axes[k]));
  }
  constexpr int spread = 96;  // directions in a golden spiral
  for (int i = 0; i < spread; ++i) {
    const double z = 1 - (2.0 * i + 1) / spread, r = std::sqrt(1 - z * z),
                 angle = i * std::numbers::pi * (3 - std::sqrt(5.0));
    look(Vec3(r * std::cos(angle), r * std::sin(angle), z));
  }
  for (const Vec3& axis : axes) found.push_back(least_on_crease(a, b, axis));
  constexpr std::size_t tried = 4;
  std::partial_sort(found.begin(), found.begin() + tried, found.end(),
                    [](const Deepest& one, const Deepest& other) { return one.mm < other.mm; });
  Deepest best = found.front();
  for (std::size_t i = 0; i < tried; ++i) {
    const Deepest lower = descend(a, b, found[i], 0.1);
    if (lower.mm < best.mm) best = lower;
  }
  const Corner3 deepest = corner(a, b, best.n);
  return {-best.mm, deepest.first, deepest.second, -best.n};
}

template <class A, class B>
SolidGap gap(const A& a, const B& b, bool how_deep) {
  SolidGap apart = distance(a, b);
  if (apart.mm > 10 * exact_mm || !how_deep) return apart;
  const SolidGap into = overlap(a, b);
  if (into.mm < 0) return into;
  apart.normal = into.normal;
  return apart;
}

}  // namespace

SolidGap gap_between(const Cylinder& wheel, const Cuboid& box, bool how_deep) { return gap(wheel, box, how_deep); }
SolidGap gap_between(const Cylinder& wheel, const Cylinder& other, bool how_deep) {
  return gap(wheel, other, how_deep);
}

double least_along(const Cylinder& wheel, const Vec3& n) { return support(wheel, -n).dot(n); }
double greatest_along(const Cylinder& wheel, const Vec3& n) { return support(wheel, n).dot(n); }
double greatest_along(const Cuboid& box, const Vec3& n) { return support(box, n).dot(n); }

}  // namespace ridepitch
