#pragma once
// A linkage written as terms of a programme: poses of all its bodies are variables, nothing is eliminated.

#include "model/model.hpp"
#include "programme.hpp"

namespace ridepitch::oracle {

/// One unit of an angle's variable, of a body [rad]: a pin a few modules away then moves by about as much.
inline constexpr double body_angle_unit = 1.0 / 40;

/// Whole turns that the assembly settles once: added to the angle that the variables give [rad].
struct Turns {
  Vector spring;  ///< by spring; 0 where it is not a torsion spring
  Vector slide;   ///< by slide
};

/// Where the bodies of a linkage have their variables: three a moving body (u, v, angle), in file order.
struct Layout {
  const Linkage* linkage = nullptr;
  int first = 0;
  const Turns* turns = nullptr;

  int variables() const { return 3 * (static_cast<int>(linkage->bodies.size()) - 1); }
  int at(int body) const { return body == chassis ? -1 : first + 3 * (body - 1); }
};

struct Place2 {
  Jet u, v;
};

/// A hole in the chassis grid; `at` is the slot of its body's u among the local variables, -1 for the chassis.
Place2 hole_place(const Jets& q, int at, const Vec2& p_B);

/// A term of one hole, or of two.
Term of_hole(const Layout& layout, HoleRef hole, std::function<Jet(const Place2&)> f);
Term of_holes(const Layout& layout, HoleRef a, HoleRef b, std::function<Jet(const Place2&, const Place2&)> f);

/// True distance of two holes that lie `across_mm` apart across the plane [mm].
Term distance_term(const Layout& layout, HoleRef a, HoleRef b, double across_mm);

/// Angle of body `to` to body `from` plus `turn` [rad].
Term angle_term(const Layout& layout, int from, int to, double turn);

/// The same term changed by an affine map: scale * term + offset.
Term scaled(Term term, double scale, double offset);

/// What each equality is, in the order in which they are added.
struct Joint {
  enum class Kind { pin_u, pin_v, rod, slide_line, slide_angle } kind;
  int index;   ///< of the pin, rod or slide
  int second;  ///< of a pin: the place in its list of the hole that is held to the first one
};
std::vector<Joint> joints(const Linkage& linkage);

void add_bodies(Programme& programme, const Layout& layout);
void add_joints(Programme& programme, const Layout& layout);
void add_springs(Programme& programme, const Layout& layout);

/// What each stop is, in the order in which they are added: springs, limits, slides.
struct StopKind {
  enum class Kind { solid, free, limit_min, limit_max, slide_min, slide_max, torsion_min, torsion_max } kind;
  int index;
};
std::vector<StopKind> stop_kinds(const Linkage& linkage);
void add_stops(Programme& programme, const Layout& layout);

/// Length (or followed angle [rad]) of a spring.
Term spring_length(const Layout& layout, int spring);

}  // namespace ridepitch::oracle
