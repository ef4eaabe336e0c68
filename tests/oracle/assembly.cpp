#include "assembly.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <random>
#include <stdexcept>

#include "law.hpp"

namespace ridepitch::oracle {
namespace {

constexpr double pi = std::numbers::pi;
double within_half_turn(double angle, double of) { return 2 * pi * std::round((of - angle) / (2 * pi)); }

Jet squared(const Jet& a) { return a * a; }

std::vector<Term> hint_energies(const Layout& layout) {
  std::vector<Term> terms;
  for (std::size_t b = 1; b < layout.linkage->bodies.size(); ++b) {
    for (const Near& near : layout.linkage->bodies[b].near) {
      terms.push_back(of_hole(layout, {static_cast<int>(b), near.hole}, [p = near.p_C](const Place2& hole) {
        return 0.5 * (squared(hole.u - Jet(p.x())) + squared(hole.v - Jet(p.y())));
      }));
    }
  }
  return terms;
}

// Every body turned at random, its first hinted hole on its hint; without hints anywhere near the chassis.
Vector random_start(const Linkage& linkage, std::mt19937& random) {
  const auto share = [&random] { return static_cast<double>(random()) / 4294967296.0; };
  Vector x;
  for (std::size_t b = 1; b < linkage.bodies.size(); ++b) {
    const Body& body = linkage.bodies[b];
    const double theta = 2 * pi * share();
    Vec2 p(200 * (share() - 0.5), 200 * (share() - 0.5));
    if (!body.near.empty()) {
      const Vec2 hole = body.holes[body.near[0].hole].p_B;
      p = body.near[0].p_C - Vec2(std::cos(theta) * hole.x() - std::sin(theta) * hole.y(),
                                  std::sin(theta) * hole.x() + std::cos(theta) * hole.y());
    }
    x.insert(x.end(), {p.x(), p.y(), theta / body_angle_unit});
  }
  return x;
}

// The assembly nearest to the hints: many starts, each pulled to its hints on the joints.
Vector nearest_assembly(const Linkage& linkage, const Turns& turns) {
  constexpr int starts = 200;
  const Layout layout{&linkage, 0, &turns};
  Programme programme = bare_programme(layout);
  programme.energy = hint_energies(layout);
  std::mt19937 random(20240229);
  std::optional<Vector> best;
  double least = 0;
  for (int i = 0; i < starts; ++i) {
    const Point found = minimise(programme, {random_start(linkage, random), {}, {}, false});
    if (!found.solved) continue;
    double off = 0;
    for (const Term& term : programme.energy) off += value(programme, term, found.x);
    if (!best || off < least - 1e-6) {
      best = found.x;
      least = off;
    }
    if (programme.energy.empty()) break;
  }
  if (!best) throw std::runtime_error("oracle: linkage " + linkage.name + " does not go together");
  for (std::size_t i = 2; i < best->size(); i += 3) {
    double& theta = (*best)[i];
    theta += within_half_turn(theta * body_angle_unit, 0) / body_angle_unit;
  }
  return *best;
}

bool fits(const Programme& programme, const Vector& x) {
  return std::ranges::all_of(programme.stops, [&](const Stop& stop) { return value(programme, stop.gap, x) >= 0; });
}

// The next point along a linkage of one freedom, on the side of `ahead`, which it turns along.
std::optional<Vector> next_along(const Programme& bare, const Vector& x, Vector& ahead) {
  constexpr double stride = 0.25;  // short against any link
  Vector tangent = null_space(jacobian(bare, bare.equal, x)).entries;
  const double side = dot(tangent, ahead) < 0 ? -1 : 1;
  Vector next = x;
  for (std::size_t i = 0; i < next.size(); ++i) {
    tangent[i] *= side;
    next[i] += stride * tangent[i];
  }
  ahead = tangent;
  const Point landed = polish(bare, {next, {}, {}, false});
  if (!landed.solved) return std::nullopt;
  return landed.x;
}

// Moved along itself until springs and limits fit: a linkage of one freedom is walked both ways in turn, others follow
// the hints between their stops.
Vector within_stops(const Layout& layout, const Vector& assembled) {
  const Programme bare = bare_programme(layout);
  Programme stopped = bare;
  add_stops(stopped, layout);
  const Matrix Z = null_space(jacobian(bare, bare.equal, assembled));
  if (Z.columns == 1) {
    constexpr int strides = 4000;  // several turns of any crank
    std::array<std::optional<Vector>, 2> at{assembled, assembled};
    std::array<Vector, 2> ahead{Z.entries, Z.entries};
    for (double& entry : ahead[1]) entry = -entry;
    for (int i = 0; i < strides; ++i) {
      for (const int direction : {0, 1}) {
        if (at[direction] && fits(stopped, *at[direction])) return *at[direction];
        if (at[direction]) at[direction] = next_along(bare, *at[direction], ahead[direction]);
      }
    }
  }
  stopped.energy = hint_energies(layout);
  const Point fitted = minimise(stopped, {assembled, {}, {}, false});
  if (!fitted.solved) throw std::runtime_error("oracle: springs and limits of " + layout.linkage->name + " never fit");
  return fitted.x;
}

// Directions in which the least energy leaves the linkage free, as columns.
Matrix flat_directions(const Programme& programme, const Point& point) {
  constexpr double no_stiffness = 1e-6;  // N/mm
  std::vector<Term> held = programme.equal;
  for (std::size_t k = 0; k < programme.stops.size(); ++k) {
    if (point.stop_force[k] > 1e-7) held.push_back(programme.stops[k].gap);
  }
  const Matrix Z = null_space(jacobian(programme, held, point.x));
  if (Z.columns == 0) return Z;
  const EigenPairs e = eigen_symmetric(product(transposed(Z), product(lagrangian_bend(programme, point), Z)));
  std::vector<int> flat;
  for (int i = 0; i < Z.columns; ++i) {
    if (std::abs(e.values[i]) < no_stiffness) flat.push_back(i);
  }
  Matrix D(Z.rows, static_cast<int>(flat.size()));
  for (int c = 0; c < D.columns; ++c) {
    for (int r = 0; r < D.rows; ++r) {
      for (int k = 0; k < Z.columns; ++k) D(r, c) += Z(r, k) * e.vectors(k, flat[c]);
    }
  }
  return D;
}

// Wheels whose heights the flat directions couple.
struct Group {
  std::vector<int> wheels;
  bool rocks = false;  ///< some flat direction raises one and lowers another
  bool falls = false;  ///< some flat direction lowers wheels and raises none
};

std::vector<Group> coupled_wheels(const Matrix& B, const std::vector<int>& wheels) {
  const int n = B.rows;
  Matrix P(n, n);  // projection onto the heights that the flat directions reach
  for (int i = 0; i < n; ++i) {
    Vector unit(n, 0.0);
    unit[i] = 1;
    const Vector reached = product(B, least_squares(B, unit));
    for (int r = 0; r < n; ++r) P(r, i) = reached[r];
  }
  std::vector<Group> groups;
  std::vector<bool> taken(n, false);
  for (int i = 0; i < n; ++i) {
    if (taken[i] || P(i, i) < 1e-9) continue;
    std::vector<int> members{i};
    taken[i] = true;
    for (std::size_t m = 0; m < members.size(); ++m) {
      for (int j = 0; j < n; ++j) {
        if (taken[j] || std::abs(P(members[m], j)) < 1e-9) continue;
        taken[j] = true;
        members.push_back(j);
      }
    }
    Group group;
    double rank = 0;
    bool opposed = false;
    for (const int a : members) {
      rank += P(a, a);
      for (const int b : members) opposed = opposed || P(a, b) < -1e-9;
      group.wheels.push_back(wheels[a]);
    }
    group.rocks = rank > 1.5 || opposed;
    group.falls = rank > 1.5 || !opposed;
    groups.push_back(group);
  }
  return groups;
}

// Hung at least energy; what that leaves open is levelled, then lowered.
Point hang(const Layout& layout, const Vector& fitted, const std::vector<int>& sprung) {
  Programme programme = bare_programme(layout);
  add_springs(programme, layout);
  add_stops(programme, layout);
  Point point = minimise(programme, {fitted, {}, {}, false});
  if (!point.solved) throw std::runtime_error("oracle: no droop for " + layout.linkage->name);
  const Matrix D = flat_directions(programme, point);
  if (D.columns == 0 || sprung.empty()) return point;

  // From here on every spring that stores anything keeps its length, and slack bands stay slack.
  Programme open = bare_programme(layout);
  add_stops(open, layout);
  for (std::size_t i = 0; i < layout.linkage->springs.size(); ++i) {
    const Term length = spring_length(layout, static_cast<int>(i));
    const double now = value(open, length, point.x);
    const auto* band = std::get_if<Band>(&layout.linkage->springs[i].data);
    if (band && now < band->free_mm + 1e-9) {
      open.stops.push_back({scaled(length, -1, band->free_mm), "slack"});
    } else {
      open.equal.push_back(scaled(length, 1, -now));
    }
  }
  std::vector<Term> heights;
  for (const int wheel : sprung) heights.push_back(wheel_height(layout, wheel));
  const std::vector<Group> groups = coupled_wheels(product(jacobian(open, heights, point.x), D), sprung);
  const auto run = [&](const Programme& p) {
    const Point found = minimise(p, {point.x, {}, {}, false});
    if (!found.solved) throw std::runtime_error("oracle: droop stays open for " + layout.linkage->name);
    point.x = found.x;
  };
  Programme level = open;
  for (const Group& group : groups) {
    if (!group.rocks) continue;
    for (std::size_t i = 0; i < group.wheels.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        const Term a = wheel_height(layout, group.wheels[i]), b = wheel_height(layout, group.wheels[j]);
        const std::size_t split = a.variables.size();
        std::vector<int> both = a.variables;
        both.insert(both.end(), b.variables.begin(), b.variables.end());
        level.energy.push_back({both, [a, b, split](const Jets& q) {
                                  const Jets first(q.begin(), q.begin() + static_cast<std::ptrdiff_t>(split));
                                  const Jets second(q.begin() + static_cast<std::ptrdiff_t>(split), q.end());
                                  return 0.5 * squared(a.of(first) - b.of(second));
                                }});
      }
    }
  }
  if (!level.energy.empty()) run(level);
  Programme low = open;
  for (const Group& group : groups) {
    if (!group.falls) continue;
    const Term lead = wheel_height(layout, group.wheels[0]);
    const double lead_v = value(open, lead, point.x);
    for (const int wheel : group.wheels) {
      const Term height = wheel_height(layout, wheel);
      low.energy.push_back(height);
      if (!group.rocks || wheel == group.wheels[0]) continue;
      const double apart = value(open, height, point.x) - lead_v;
      const std::size_t split = height.variables.size();
      std::vector<int> both = height.variables;
      both.insert(both.end(), lead.variables.begin(), lead.variables.end());
      low.equal.push_back({both, [height, lead, split, apart](const Jets& q) {
                             const Jets first(q.begin(), q.begin() + static_cast<std::ptrdiff_t>(split));
                             const Jets second(q.begin() + static_cast<std::ptrdiff_t>(split), q.end());
                             return height.of(first) - lead.of(second) - Jet(apart);
                           }});
    }
  }
  if (!low.energy.empty()) run(low);
  return point;
}

}  // namespace

Programme bare_programme(const Layout& layout) {
  Programme programme;
  add_bodies(programme, layout);
  add_joints(programme, layout);
  return programme;
}

Term wheel_height(const Layout& layout, int wheel) {
  return of_hole(layout, layout.linkage->wheels[wheel].at, [](const Place2& p) { return p.v; });
}

Vector gap_per_wheel(const Rig& rig, const Vector& x, int stop) {
  Programme programme = bare_programme(rig.layout());
  add_stops(programme, rig.layout());
  const Matrix Z = null_space(jacobian(programme, programme.equal, x));
  std::vector<Term> heights;
  for (const int wheel : rig.sprung) heights.push_back(wheel_height(rig.layout(), wheel));
  const Matrix B = product(jacobian(programme, heights, x), Z);
  const Vector a = product(transposed(Z), gradient(programme, programme.stops[stop].gap, x));
  return least_squares(transposed(B), a);
}

Rig assemble_and_hang(const Linkage& linkage) {
  Rig rig;
  rig.linkage = &linkage;
  rig.turns = {Vector(linkage.springs.size(), 0.0), Vector(linkage.slides.size(), 0.0)};
  for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
    if (linkage.wheels[w].at.body != chassis) rig.sprung.push_back(static_cast<int>(w));
  }
  const Layout layout = rig.layout();
  Vector somewhere;
  if (layout.variables() > 0) {
    const Vector assembled = nearest_assembly(linkage, rig.turns);
    const auto angle = [&](int body) {
      return body == chassis ? 0.0 : assembled[layout.at(body) + 2] * body_angle_unit;
    };
    for (std::size_t i = 0; i < linkage.springs.size(); ++i) {
      if (const auto* torsion = std::get_if<Torsion>(&linkage.springs[i].data)) {
        rig.turns.spring[i] = within_half_turn(angle(torsion->to) - angle(torsion->from), torsion->free_rad);
      }
    }
    for (std::size_t i = 0; i < linkage.slides.size(); ++i) {
      rig.turns.slide[i] = within_half_turn(angle(linkage.slides[i].hole.body), linkage.slides[i].angle_rad);
    }
    somewhere = within_stops(layout, assembled);
    rig.droop = hang(layout, somewhere, rig.sprung);
  } else {
    rig.droop.solved = true;
  }
  Programme bare = bare_programme(layout);
  for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
    rig.droop_v_mm.push_back(value(bare, wheel_height(layout, static_cast<int>(w)), rig.droop.x));
  }
  // Counted where the linkage was assembled: full droop may be a dead point.
  const Matrix Z = null_space(jacobian(bare, bare.equal, somewhere));
  rig.freedoms = Z.columns;
  std::vector<Term> heights;
  for (const int wheel : rig.sprung) heights.push_back(wheel_height(layout, wheel));
  const Matrix B = product(jacobian(bare, heights, somewhere), Z);
  const int reached = B.columns - null_space(B).columns;
  rig.inner = rig.freedoms - reached;
  rig.fewer = reached < static_cast<int>(rig.sprung.size());
  return rig;
}

}  // namespace ridepitch::oracle
