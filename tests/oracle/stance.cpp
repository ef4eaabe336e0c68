#include "stance.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace ridepitch::oracle {
namespace {

constexpr double g_n_per_kg = gravity_m_per_s2;

Body3 lumped(const std::vector<Mass>& masses) {
  Body3 body;
  for (const Mass& mass : masses) {
    body.kg += mass.kg;
    body.cg_mm += mass.kg * mass.at_mm;
  }
  body.cg_mm /= body.kg;
  for (const Mass& mass : masses) {
    const Vec3 size = mass.size_mm.value_or(Vec3::Zero()), d = mass.at_mm - body.cg_mm;
    const Vec3 s2 = size.cwiseProduct(size);
    const Eigen::Matrix3d own = Vec3(s2.y() + s2.z(), s2.x() + s2.z(), s2.x() + s2.y()).asDiagonal();
    body.inertia_kg_mm2 += mass.kg * (own / 12 + d.squaredNorm() * Eigen::Matrix3d::Identity() - d * d.transpose());
  }
  return body;
}

// Height of a place (x, y, z may vary): h - sin p x + cos p (sin r y + cos r z).
Jet world_height(const Jet& h, const Jet& p, const Jet& r, const Jet& x, const Jet& y, const Jet& z) {
  return h - sin(p) * x + cos(p) * (sin(r) * y + cos(r) * z);
}

// A wheel's centre above the ground, in terms of attitude and its body.
Term wheel_above_ground(const Layout& layout, const Corner& corner, int wheel) {
  const Linkage& linkage = *layout.linkage;
  const Term probe = of_hole(layout, linkage.wheels[wheel].at, [](const Place2& p) { return p.u; });
  std::vector<int> variables{height_variable, pitch_variable, roll_variable};
  variables.insert(variables.end(), probe.variables.begin(), probe.variables.end());
  const HoleRef ref = linkage.wheels[wheel].at;
  const Vec2 p_B = linkage.bodies[ref.body].holes[ref.hole].p_B;
  const int at = ref.body == chassis ? -1 : 3;
  const double side = corner.flip ? -1 : 1;
  const double beside = (corner.at_mm.y() < 0 ? -1 : 1) * linkage.wheels[wheel].out_mm;
  return {variables, [=, plane = linkage.plane, origin = corner.at_mm](const Jets& q) {
            const Place2 c = hole_place(q, at, p_B);
            const Jet u = side * c.u, z = Jet(origin.z()) + c.v;
            const Jet x = plane == Plane::side ? Jet(origin.x()) + u : Jet(origin.x());
            const Jet y = plane == Plane::front ? Jet(origin.y()) + u : Jet(origin.y() + beside);
            return world_height(q[0], q[1], q[2], x, y, z);
          }};
}

double unsprung_kg(const Linkage& linkage, const Corner& corner, int wheel) {
  return linkage.wheels[wheel].tyre.mass_g / 1000 + corner.unsprung_kg / static_cast<double>(linkage.wheels.size());
}

double radius_mm(const Contact& contact) { return contact.tyre->diameter_mm / 2; }

// What changes while the vehicle is let down, shared with the programme's terms.
struct Dials {
  double weight_share = 1;  ///< 0 to 1
  Vec3 cg_mm = Vec3::Zero();
};

Term gravity_term(std::shared_ptr<const Dials> dials, double kg) {
  return {{height_variable, pitch_variable, roll_variable}, [dials = std::move(dials), kg](const Jets& q) {
            const Vec3& c = dials->cg_mm;
            return (dials->weight_share * kg * g_n_per_kg) * world_height(q[0], q[1], q[2], c.x(), c.y(), c.z());
          }};
}

Term weight_term(std::shared_ptr<const Dials> dials, double kg, const Term& height) {
  return {height.variables, [dials = std::move(dials), kg, f = height.of](const Jets& q) {
            return (dials->weight_share * kg * g_n_per_kg) * f(q);
          }};
}

Term tyre_term(double rate, double radius, const Term& height) {
  return {height.variables, [rate, radius, f = height.of](const Jets& q) {
            const Jet sink = Jet(radius) - f(q);
            return sink.value > 0 ? 0.5 * rate * (sink * sink) : Jet(0);
          }};
}

double droop_angle(const Rig& rig, int body) {
  return body == chassis ? 0.0 : rig.droop.x[rig.layout().at(body) + 2] * body_angle_unit;
}

// (angle of the second body - that of the first) about the bar's free angle, within half a turn of it at droop, where
// both stand within half a turn of their assembly.
Term bar_term(const Bar& bar, const std::array<const Part*, 2>& parts) {
  std::vector<int> variables;
  std::array<int, 2> slots{-1, -1};
  double angle = 0;
  for (const int end : {0, 1}) {
    const int body = bar.ends[end].body;
    slots[end] = static_cast<int>(variables.size());
    variables.push_back(parts[end]->layout.at(body) + 2);
    angle += (end == 1 ? 1 : -1) * droop_angle(*parts[end]->rig, body);
  }
  const double turn = 2 * std::numbers::pi * std::round((bar.free_rad - angle) / (2 * std::numbers::pi));
  const double offset = turn - bar.free_rad, rate = bar.rate_n_mm_per_rad;
  return {variables, [slots, offset, rate](const Jets& q) {
            const Jet twist = q[slots[1]] - q[slots[0]] + Jet(offset);
            return 0.5 * rate * (twist * twist);
          }};
}

struct Built {
  Stance stance;
  std::shared_ptr<Dials> dials;
};

Built build(const Model& model, const std::vector<Rig>& rigs) {
  Built built{{}, std::make_shared<Dials>()};
  Stance& s = built.stance;
  Programme& p = s.programme;
  p.unit = {1, attitude_unit, attitude_unit};
  std::vector<double> droop_x;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Rig& rig = rigs[model.corners[c].linkage];
    if (model.linkages[model.corners[c].linkage].plane == Plane::top) continue;
    Part part{static_cast<int>(c),
              &rig,
              {rig.linkage, static_cast<int>(p.unit.size()), &rig.turns},
              static_cast<int>(p.stops.size()),
              0};
    add_bodies(p, part.layout);
    add_joints(p, part.layout);
    add_springs(p, part.layout);
    add_stops(p, part.layout);
    part.stops = static_cast<int>(p.stops.size()) - part.first_stop;
    droop_x.insert(droop_x.end(), rig.droop.x.begin(), rig.droop.x.end());
    s.parts.push_back(part);
  }
  for (const Bar& bar : model.bars) {
    std::array<const Part*, 2> ends{};
    for (const int end : {0, 1}) {
      ends[end] = &*std::ranges::find(s.parts, bar.ends[end].corner, &Part::corner);
    }
    p.energy.push_back(bar_term(bar, ends));
  }
  for (std::size_t i = 0; i < s.parts.size(); ++i) {
    const Corner& corner = model.corners[s.parts[i].corner];
    const Linkage& linkage = *s.parts[i].layout.linkage;
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      const int wheel = static_cast<int>(w);
      Contact contact{static_cast<int>(i),
                      wheel,
                      unsprung_kg(linkage, corner, wheel),
                      &linkage.wheels[w].tyre,
                      wheel_above_ground(s.parts[i].layout, corner, wheel),
                      {}};
      p.energy.push_back(weight_term(built.dials, contact.unsprung_kg, contact.height));
      if (contact.tyre->rate_n_per_mm) {
        p.energy.push_back(tyre_term(*contact.tyre->rate_n_per_mm, radius_mm(contact), contact.height));
      } else {
        contact.stop = static_cast<int>(p.stops.size());
        p.stops.push_back({scaled(contact.height, 1, -radius_mm(contact)), corner.name + " ground"});
      }
      s.contacts.push_back(contact);
    }
  }
  // All wheels at droop, the lowest touching.
  s.point.x = {0, 0, 0};
  s.point.x.insert(s.point.x.end(), droop_x.begin(), droop_x.end());
  double highest = -std::numeric_limits<double>::infinity();
  for (const Contact& contact : s.contacts) {
    highest = std::max(highest, radius_mm(contact) - value(p, contact.height, s.point.x));
  }
  s.point.x[height_variable] = highest;
  return built;
}

// The weight grows from nothing; each stance is followed downhill from the one before.
void lower(Built& built) {
  Stance& s = built.stance;
  std::vector<double> shares{1e-3, 2e-3, 5e-3, 0.01, 0.02};
  for (int i = 1; i <= 40; ++i) shares.push_back(i / 40.0);
  for (const double share : shares) {
    built.dials->weight_share = share;
    const Point next = minimise(s.programme, s.point);
    if (!next.solved) throw std::runtime_error("oracle: no stance at " + std::to_string(share) + " of the weight");
    s.point = next;
  }
}

// Where several stops share one load: the ground loads with the least sum of squares, none negative.
void share_loads(Stance& s) {
  std::vector<int> shut;
  for (std::size_t k = 0; k < s.programme.stops.size(); ++k) {
    if (value(s.programme, s.programme.stops[k].gap, s.point.x) < 1e-6) shut.push_back(static_cast<int>(k));
  }
  const Matrix A = jacobian(s.programme, s.programme.equal, s.point.x);
  const Matrix Z = null_space(A);
  Matrix G(Z.columns, static_cast<int>(shut.size()));
  for (int c = 0; c < G.columns; ++c) {
    const Vector column = product(transposed(Z), gradient(s.programme, s.programme.stops[shut[c]].gap, s.point.x));
    for (int r = 0; r < G.rows; ++r) G(r, c) = column[r];
  }
  const Matrix open = null_space(G, 1e-8);
  const auto is_contact = [&](int stop) {
    return std::ranges::any_of(s.contacts, [stop](const Contact& c) { return c.stop == stop; });
  };
  for (int r = 0; r < open.rows; ++r) {
    for (int c = 0; c < open.columns; ++c) s.indeterminate |= is_contact(shut[r]) && std::abs(open(r, c)) > 1e-7;
  }
  // With the ground loads given, do stops inside a linkage still share something?
  std::vector<int> inside;
  for (int c = 0; c < G.columns; ++c) {
    if (!is_contact(shut[c])) inside.push_back(c);
  }
  Matrix G_inside(G.rows, static_cast<int>(inside.size()));
  for (int c = 0; c < G_inside.columns; ++c) {
    for (int r = 0; r < G.rows; ++r) G_inside(r, c) = G(r, inside[c]);
  }
  const Matrix open_inside = null_space(G_inside, 1e-8);
  s.open_force.assign(s.programme.stops.size(), false);
  for (int r = 0; r < open_inside.rows; ++r) {
    for (int c = 0; c < open_inside.columns; ++c) {
      if (std::abs(open_inside(r, c)) > 1e-7) s.open_force[shut[inside[r]]] = true;
    }
  }
  if (!s.indeterminate) return;

  // All forces that keep the balance are known + open w: w has as many entries as the loads have freedoms.
  const Vector wanted = product(transposed(Z), gradient(s.programme, s.programme.energy, s.point.x));
  const Vector known = least_squares(G, wanted, 1e-8);
  if (open.columns > Jet::slots) throw std::runtime_error("oracle: too many stops share one load");
  Programme share;
  share.unit = Vector(open.columns, 1.0);
  std::vector<int> freedoms(open.columns);
  for (int i = 0; i < open.columns; ++i) freedoms[i] = i;
  for (int r = 0; r < open.rows; ++r) {
    const auto force = [known, open, r](const Jets& w) {
      Jet f(known[r]);
      for (int c = 0; c < open.columns; ++c) f = f + open(r, c) * w[c];
      return f;
    };
    share.stops.push_back({{freedoms, force}, "none pulls"});
    if (is_contact(shut[r])) {
      share.energy.push_back({freedoms, [force](const Jets& w) { return 0.5 * (force(w) * force(w)); }});
    }
  }
  const Point shared = minimise(share, {Vector(open.columns, 0.0), {}, {}, false});
  if (!shared.solved) throw std::runtime_error("oracle: loads that statics cannot tell were not shared out");
  std::fill(s.point.stop_force.begin(), s.point.stop_force.end(), 0.0);
  for (int r = 0; r < open.rows; ++r) {
    double force = known[r];
    for (int c = 0; c < open.columns; ++c) force += open(r, c) * shared.x[c];
    s.point.stop_force[shut[r]] = std::max(0.0, force);
  }
}

// The sprung centre of gravity that has the readings' moments in this stance.
Vec3 cg_by_readings(const Model& model, const Stance& s, double kg, bool sides_apart) {
  const double p = s.point.x[pitch_variable] * attitude_unit, r = s.point.x[roll_variable] * attitude_unit;
  double X = 0, Y = 0;
  for (const Contact& contact : s.contacts) {
    const Part& part = s.parts[contact.part];
    double carried_kg = -contact.unsprung_kg;
    for (const Weighed& reading : model.weighed) {
      if (std::ranges::find(reading.wheels, WheelRef{part.corner, contact.wheel}) != reading.wheels.end()) {
        carried_kg += reading.kg / static_cast<double>(reading.wheels.size());
      }
    }
    const Vec3 at = levelled(wheel_centre(model, s, contact), p, r);
    X += carried_kg / kg * at.x();
    Y += carried_kg / kg * at.y();
  }
  Vec3 cg(0, 0, model.sprung && model.sprung->cg_height_mm ? *model.sprung->cg_height_mm : 0);
  if (sides_apart) cg.y() = (Y + std::sin(r) * cg.z()) / std::cos(r);
  cg.x() = (X - std::sin(p) * (std::sin(r) * cg.y() + std::cos(r) * cg.z())) / std::cos(p);
  return cg;
}

bool names_one_side_each(const Model& model, const Stance& s) {
  for (const Weighed& reading : model.weighed) {
    bool left = false, right = false;
    for (const WheelRef& ref : reading.wheels) {
      for (const Contact& contact : s.contacts) {
        if (s.parts[contact.part].corner != ref.corner || contact.wheel != ref.wheel) continue;
        const double y = wheel_centre(model, s, contact).y();
        left = left || y > 0;
        right = right || y < 0;
      }
    }
    if (left && right) return false;
  }
  return true;
}

// Total mass and box of a weighed vehicle; its cg is found with its stance.
Body3 weighed_body(const Model& model, const Stance& s) {
  Body3 body;
  for (const Weighed& reading : model.weighed) body.kg += reading.kg;
  for (const Contact& contact : s.contacts) body.kg -= contact.unsprung_kg;
  if (model.sprung && model.sprung->size_mm) {
    body.inertia_kg_mm2 = lumped({Mass{"", body.kg, Vec3::Zero(), model.sprung->size_mm, {}}}).inertia_kg_mm2;
  }
  return body;
}

}  // namespace

void read_loads(Stance& s) {
  s.ground_load_n.clear();
  for (const Contact& contact : s.contacts) {
    double load = 0;
    if (contact.stop) {
      load = s.point.stop_force[*contact.stop];
    } else {
      load = *contact.tyre->rate_n_per_mm *
             std::max(0.0, radius_mm(contact) - value(s.programme, contact.height, s.point.x));
    }
    s.ground_load_n.push_back(load);
  }
}

Term point_height(const Vec3& p_V) {
  return {{height_variable, pitch_variable, roll_variable},
          [p_V](const Jets& q) { return world_height(q[0], q[1], q[2], p_V.x(), p_V.y(), p_V.z()); }};
}

Vec3 levelled(const Vec3& p_V, double pitch, double roll) {
  return {std::cos(pitch) * p_V.x() + std::sin(pitch) * (std::sin(roll) * p_V.y() + std::cos(roll) * p_V.z()),
          std::cos(roll) * p_V.y() - std::sin(roll) * p_V.z(), 0};
}

Vec3 on_vehicle(const Linkage& linkage, const Corner& corner, const Vec2& p_C) {
  const double u = (corner.flip ? -1 : 1) * p_C.x(), v = p_C.y();
  switch (linkage.plane) {
    case Plane::side:
      return corner.at_mm + Vec3(u, 0, v);
    case Plane::front:
      return corner.at_mm + Vec3(0, u, v);
    case Plane::top:
      return corner.at_mm + Vec3(u, v, 0);
  }
  return corner.at_mm;
}

Vec2 wheel_in_grid(const Stance& stance, const Contact& contact) {
  const Layout& layout = stance.parts[contact.part].layout;
  const HoleRef at = layout.linkage->wheels[contact.wheel].at;
  return {value(stance.programme, of_hole(layout, at, [](const Place2& p) { return p.u; }), stance.point.x),
          value(stance.programme, of_hole(layout, at, [](const Place2& p) { return p.v; }), stance.point.x)};
}

Vec3 wheel_centre(const Model& model, const Stance& stance, const Contact& contact) {
  const Part& part = stance.parts[contact.part];
  const Corner& corner = model.corners[part.corner];
  const Wheel& wheel = part.layout.linkage->wheels[contact.wheel];
  const double beside = (corner.at_mm.y() < 0 ? -1 : 1) * wheel.out_mm;
  return on_vehicle(*part.layout.linkage, corner, wheel_in_grid(stance, contact)) + Vec3(0, beside, 0);
}

Stance stand(const Model& model, const std::vector<Rig>& rigs) {
  Built built = build(model, rigs);
  Stance& s = built.stance;
  const Point at_droop = s.point;
  const bool weighed = !model.weighed.empty();
  s.body = weighed ? weighed_body(model, s) : lumped(model.masses);
  built.dials->cg_mm = s.body.cg_mm;
  s.programme.energy.push_back(gravity_term(built.dials, s.body.kg));
  if (weighed) {
    const bool apart = names_one_side_each(model, s);
    built.dials->cg_mm = cg_by_readings(model, s, s.body.kg, apart);
    lower(built);
    for (int round = 0; round < 200; ++round) {
      const Vec3 cg = cg_by_readings(model, s, s.body.kg, apart);
      const double off = (cg - built.dials->cg_mm).norm();
      built.dials->cg_mm = cg;
      s.point = minimise(s.programme, s.point);
      if (!s.point.solved) throw std::runtime_error("oracle: no stance of the weighed vehicle");
      if (off < 1e-12) break;
    }
    s.body.cg_mm = built.dials->cg_mm;
    s.point = at_droop;
  }
  lower(built);
  share_loads(s);
  read_loads(s);
  return s;
}

Stance stand_on_bench(const Model& model, int corner, const Rig& rig) {
  Stance s;
  const Linkage& linkage = *rig.linkage;
  Part part{corner, &rig, rig.layout(), 0, static_cast<int>(stop_kinds(linkage).size())};
  s.programme = bare_programme(part.layout);
  add_springs(s.programme, part.layout);
  add_stops(s.programme, part.layout);
  s.parts.push_back(part);
  const auto share = std::make_shared<double>(0);
  const double load_n = *model.corners[corner].load_n;
  for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
    const int wheel = static_cast<int>(w);
    const Term v = wheel_height(part.layout, wheel);
    s.contacts.push_back(
        {0, wheel, unsprung_kg(linkage, model.corners[corner], wheel), &linkage.wheels[w].tyre, v, {}});
    s.programme.energy.push_back(
        {v.variables, [share, load_n, f = v.of](const Jets& q) { return (-*share * load_n) * f(q); }});
    s.ground_load_n.push_back(load_n + s.contacts.back().unsprung_kg * g_n_per_kg);
  }
  s.point = rig.droop;
  for (int i = 0; i <= 40; ++i) {
    *share = i == 0 ? 1e-3 : i / 40.0;
    s.point = minimise(s.programme, {s.point.x, {}, {}, false});
    if (!s.point.solved) throw std::runtime_error("oracle: no stance on the bench for " + linkage.name);
  }
  return s;
}

}  // namespace ridepitch::oracle
