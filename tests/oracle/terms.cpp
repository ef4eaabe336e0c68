#include "terms.hpp"

#include <utility>

#include "law.hpp"

namespace ridepitch::oracle {
namespace {

Vec2 on_body(const Linkage& linkage, HoleRef ref) { return linkage.bodies[ref.body].holes[ref.hole].p_B; }

Jet squared(const Jet& a) { return a * a; }

// The local variables of up to two bodies, and where each begins among them.
struct Slots {
  std::vector<int> variables;
  int a = -1, b = -1;
};

Slots slots_of(const Layout& layout, int body_a, int body_b) {
  Slots slots;
  const auto place = [&](int body) {
    if (body == chassis) return -1;
    const int at = static_cast<int>(slots.variables.size());
    for (int i = 0; i < 3; ++i) slots.variables.push_back(layout.at(body) + i);
    return at;
  };
  slots.a = place(body_a);
  slots.b = body_b == body_a ? slots.a : place(body_b);
  return slots;
}

}  // namespace

Place2 hole_place(const Jets& q, int at, const Vec2& p_B) {
  if (at < 0) return {Jet(p_B.x()), Jet(p_B.y())};
  const Jet c = cos(q[at + 2]), s = sin(q[at + 2]);
  return {q[at] + p_B.x() * c - p_B.y() * s, q[at + 1] + p_B.x() * s + p_B.y() * c};
}

Term of_hole(const Layout& layout, HoleRef hole, std::function<Jet(const Place2&)> f) {
  const Slots slots = slots_of(layout, hole.body, hole.body);
  return {slots.variables, [at = slots.a, p = on_body(*layout.linkage, hole), f = std::move(f)](const Jets& q) {
            return f(hole_place(q, at, p));
          }};
}

Term of_holes(const Layout& layout, HoleRef a, HoleRef b, std::function<Jet(const Place2&, const Place2&)> f) {
  const Slots slots = slots_of(layout, a.body, b.body);
  return {slots.variables,
          [slots, p_a = on_body(*layout.linkage, a), p_b = on_body(*layout.linkage, b),
           f = std::move(f)](const Jets& q) { return f(hole_place(q, slots.a, p_a), hole_place(q, slots.b, p_b)); }};
}

Term distance_term(const Layout& layout, HoleRef a, HoleRef b, double across_mm) {
  return of_holes(layout, a, b, [across_mm](const Place2& p, const Place2& q) {
    return sqrt(squared(q.u - p.u) + squared(q.v - p.v) + Jet(across_mm * across_mm));
  });
}

Term angle_term(const Layout& layout, int from, int to, double turn) {
  const Slots slots = slots_of(layout, from, to);
  return {slots.variables, [slots, turn](const Jets& q) {
            const Jet from_angle = slots.a < 0 ? Jet(0) : q[slots.a + 2];
            const Jet to_angle = slots.b < 0 ? Jet(0) : q[slots.b + 2];
            return to_angle - from_angle + Jet(turn);
          }};
}

Term scaled(Term term, double scale, double offset) {
  return {term.variables,
          [f = std::move(term.of), scale, offset](const Jets& q) { return scale * f(q) + Jet(offset); }};
}

std::vector<Joint> joints(const Linkage& linkage) {
  std::vector<Joint> list;
  for (std::size_t i = 0; i < linkage.pins.size(); ++i) {
    for (std::size_t k = 1; k < linkage.pins[i].holes.size(); ++k) {
      list.push_back({Joint::Kind::pin_u, static_cast<int>(i), static_cast<int>(k)});
      list.push_back({Joint::Kind::pin_v, static_cast<int>(i), static_cast<int>(k)});
    }
  }
  for (std::size_t i = 0; i < linkage.rods.size(); ++i) list.push_back({Joint::Kind::rod, static_cast<int>(i), 0});
  for (std::size_t i = 0; i < linkage.slides.size(); ++i) {
    list.push_back({Joint::Kind::slide_line, static_cast<int>(i), 0});
    if (!linkage.slides[i].turns) list.push_back({Joint::Kind::slide_angle, static_cast<int>(i), 0});
  }
  return list;
}

void add_bodies(Programme& programme, const Layout& layout) {
  for (std::size_t body = 1; body < layout.linkage->bodies.size(); ++body) {
    programme.unit.insert(programme.unit.end(), {1.0, 1.0, body_angle_unit});
  }
}

void add_joints(Programme& programme, const Layout& layout) {
  const Linkage& linkage = *layout.linkage;
  for (const Joint& joint : joints(linkage)) {
    switch (joint.kind) {
      case Joint::Kind::pin_u:
      case Joint::Kind::pin_v: {
        const Pin& pin = linkage.pins[joint.index];
        const bool u = joint.kind == Joint::Kind::pin_u;
        programme.equal.push_back(
            of_holes(layout, pin.holes[0], pin.holes[joint.second],
                     [u](const Place2& p, const Place2& q) { return u ? p.u - q.u : p.v - q.v; }));
        break;
      }
      case Joint::Kind::rod: {
        const Rod& rod = linkage.rods[joint.index];
        programme.equal.push_back(scaled(distance_term(layout, rod.from, rod.to, rod.across_mm), 1, -rod.length_mm));
        break;
      }
      case Joint::Kind::slide_line: {
        const Slide& slide = linkage.slides[joint.index];
        const Vec2 normal(-slide.along.y(), slide.along.x());
        programme.equal.push_back(
            of_holes(layout, slide.through, slide.hole, [normal](const Place2& p, const Place2& q) {
              return normal.x() * (q.u - p.u) + normal.y() * (q.v - p.v);
            }));
        break;
      }
      case Joint::Kind::slide_angle: {
        const Slide& slide = linkage.slides[joint.index];
        const double turn = layout.turns->slide[joint.index];
        programme.equal.push_back(scaled(angle_term(layout, chassis, slide.hole.body, turn), 1 / body_angle_unit,
                                         -slide.angle_rad / body_angle_unit));
        break;
      }
    }
  }
}

Term spring_length(const Layout& layout, int spring) {
  const Spring& s = layout.linkage->springs[spring];
  if (const auto* torsion = std::get_if<Torsion>(&s.data)) {
    return angle_term(layout, torsion->from, torsion->to, layout.turns->spring[spring]);
  }
  return distance_term(layout, s.from, s.to, s.across_mm);
}

void add_springs(Programme& programme, const Layout& layout) {
  for (std::size_t i = 0; i < layout.linkage->springs.size(); ++i) {
    const Spring& spring = layout.linkage->springs[i];
    Term length = spring_length(layout, static_cast<int>(i));
    programme.energy.push_back({length.variables, [f = std::move(length.of), &spring](const Jets& q) {
                                  const Jet l = f(q);
                                  const auto one = [&l](const auto& data) {
                                    using Kind = std::decay_t<decltype(data)>;
                                    if constexpr (std::is_same_v<Kind, Coil>)
                                      return coil_energy(data, l);
                                    else if constexpr (std::is_same_v<Kind, Band>)
                                      return band_energy(data, l);
                                    else
                                      return torsion_energy(data, l);
                                  };
                                  return static_cast<double>(spring.count) * std::visit(one, spring.data);
                                }});
  }
}

std::vector<StopKind> stop_kinds(const Linkage& linkage) {
  using Kind = StopKind::Kind;
  std::vector<StopKind> list;
  for (std::size_t i = 0; i < linkage.springs.size(); ++i) {
    const int index = static_cast<int>(i);
    if (std::holds_alternative<Coil>(linkage.springs[i].data)) {
      list.push_back({Kind::solid, index});
      list.push_back({Kind::free, index});
    } else if (const auto* torsion = std::get_if<Torsion>(&linkage.springs[i].data)) {
      if (torsion->min_rad) list.push_back({Kind::torsion_min, index});
      if (torsion->max_rad) list.push_back({Kind::torsion_max, index});
    }
  }
  for (std::size_t i = 0; i < linkage.limits.size(); ++i) {
    if (linkage.limits[i].min_mm) list.push_back({Kind::limit_min, static_cast<int>(i)});
    if (linkage.limits[i].max_mm) list.push_back({Kind::limit_max, static_cast<int>(i)});
  }
  for (std::size_t i = 0; i < linkage.slides.size(); ++i) {
    if (!linkage.slides[i].stroke_mm) continue;
    list.push_back({Kind::slide_min, static_cast<int>(i)});
    list.push_back({Kind::slide_max, static_cast<int>(i)});
  }
  return list;
}

void add_stops(Programme& programme, const Layout& layout) {
  using Kind = StopKind::Kind;
  const Linkage& linkage = *layout.linkage;
  const auto slide_position = [&](const Slide& slide) {
    return of_holes(layout, slide.through, slide.hole, [along = slide.along](const Place2& p, const Place2& q) {
      return along.x() * (q.u - p.u) + along.y() * (q.v - p.v);
    });
  };
  const auto limit_length = [&](const Limit& limit) {
    return distance_term(layout, limit.from, limit.to, limit.across_mm);
  };
  const auto add = [&](Term term, double scale, double offset, const std::string& name) {
    programme.stops.push_back({scaled(std::move(term), scale, offset), name});
  };
  constexpr double turn = 1 / body_angle_unit;  // an angle's gap as a length, so that all stops weigh alike
  for (const StopKind& stop : stop_kinds(linkage)) {
    const int i = stop.index;
    switch (stop.kind) {
      case Kind::solid:
        add(spring_length(layout, i), 1, -std::get<Coil>(linkage.springs[i].data).solid_mm,
            linkage.springs[i].name + " solid");
        break;
      case Kind::free:
        add(spring_length(layout, i), -1, std::get<Coil>(linkage.springs[i].data).free_mm,
            linkage.springs[i].name + " free");
        break;
      case Kind::torsion_min:
        add(spring_length(layout, i), turn, -turn * *std::get<Torsion>(linkage.springs[i].data).min_rad,
            linkage.springs[i].name + " min");
        break;
      case Kind::torsion_max:
        add(spring_length(layout, i), -turn, turn * *std::get<Torsion>(linkage.springs[i].data).max_rad,
            linkage.springs[i].name + " max");
        break;
      case Kind::limit_min:
        add(limit_length(linkage.limits[i]), 1, -*linkage.limits[i].min_mm, linkage.limits[i].name + " min");
        break;
      case Kind::limit_max:
        add(limit_length(linkage.limits[i]), -1, *linkage.limits[i].max_mm, linkage.limits[i].name + " max");
        break;
      case Kind::slide_min:
        add(slide_position(linkage.slides[i]), 1, -(*linkage.slides[i].stroke_mm)[0], linkage.slides[i].name + " min");
        break;
      case Kind::slide_max:
        add(slide_position(linkage.slides[i]), -1, (*linkage.slides[i].stroke_mm)[1], linkage.slides[i].name + " max");
        break;
    }
  }
}

}  // namespace ridepitch::oracle
