#include "more_weight.hpp"

#include <cmath>

namespace ridepitch::oracle {
namespace {

// The body's point over a contact, at the height of the centre of gravity.
Vec3 point_over(const Model& model, const Stance& rest, const Contact& contact) {
  const double p = rest.point.x[pitch_variable] * attitude_unit, r = rest.point.x[roll_variable] * attitude_unit;
  const Vec3 at = levelled(wheel_centre(model, rest, contact), p, r);
  Vec3 point(0, 0, rest.body.cg_mm.z());
  point.y() = (at.y() + std::sin(r) * point.z()) / std::cos(r);
  point.x() = (at.x() - std::sin(p) * (std::sin(r) * point.y() + std::cos(r) * point.z())) / std::cos(p);
  return point;
}

struct Laden {
  Programme programme;
  std::shared_ptr<double> kg;
  Point at(double more_kg, const Point& from) const {
    *kg = more_kg;
    return minimise(programme, from);
  }
};

Laden laden_at(const Stance& rest, const Vec3& point) {
  Laden laden{rest.programme, std::make_shared<double>(0)};
  const Term height = point_height(point);
  laden.programme.energy.push_back(
      {height.variables, [kg = laden.kg, h = height.of](const Jets& q) { return (*kg * gravity_m_per_s2) * h(q); }});
  return laden;
}

}  // namespace

std::optional<double> sink_100g_mm(const Model& model, const Stance& rest, const Contact& contact) {
  const Vec3 over = point_over(model, rest, contact);
  const Point sunk = laden_at(rest, over).at(0.1, rest.point);
  if (!sunk.solved) return std::nullopt;
  const Term height = point_height(over);
  return value(rest.programme, height, rest.point.x) - value(rest.programme, height, sunk.x);
}

}  // namespace ridepitch::oracle
