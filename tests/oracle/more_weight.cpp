#include "more_weight.hpp"

#include <algorithm>
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

// Is a stop met that a rise of this wheel closes?
bool stopped(const Stance& rest, const Contact& contact, const Point& point) {
  constexpr double shut_mm = 1e-7, closes = 1e-9;
  const Part& part = rest.parts[contact.part];
  const Rig& rig = *part.rig;
  const auto from = point.x.begin() + part.layout.first;
  const Vector x(from, from + part.layout.variables());
  const auto place = std::ranges::find(rig.sprung, contact.wheel) - rig.sprung.begin();
  for (int k = 0; k < part.stops; ++k) {
    if (value(rest.programme, rest.programme.stops[part.first_stop + k].gap, point.x) > shut_mm) continue;
    if (gap_per_wheel(rig, x, k)[place] < -closes) return true;
  }
  return false;
}

bool grounds(const Model& model, const Stance& rest, const Point& point) {
  return std::ranges::any_of(model.clearances, [&](const Clearance& clearance) {
    return value(rest.programme, point_height(clearance.at_mm), point.x) < 0;
  });
}

}  // namespace

std::optional<double> weight_to_bump_g(const Model& model, const Stance& rest, const Contact& contact) {
  constexpr double first_kg = 0.05, most_kg = 20, close_kg = 1e-8;
  if (stopped(rest, contact, rest.point)) return 0.0;
  if (grounds(model, rest, rest.point)) return std::nullopt;
  const Laden laden = laden_at(rest, point_over(model, rest, contact));
  double free = 0;
  Point point = rest.point;
  for (double stride = first_kg; free < most_kg; stride *= 1.3) {
    const Point next = laden.at(free + stride, point);
    if (!next.solved) return std::nullopt;
    if (!stopped(rest, contact, next)) {
      free += stride;
      point = next;
      continue;
    }
    double met = free + stride;
    while (met - free > close_kg) {
      const double middle = 0.5 * (free + met);
      const Point there = laden.at(middle, point);
      if (!there.solved) return std::nullopt;
      if (stopped(rest, contact, there)) {
        met = middle;
      } else {
        free = middle;
        point = there;
      }
    }
    if (grounds(model, rest, point)) return std::nullopt;
    return 1000 * met;
  }
  return std::nullopt;
}

std::optional<double> sink_100g_mm(const Model& model, const Stance& rest, const Contact& contact) {
  const Vec3 over = point_over(model, rest, contact);
  const Point sunk = laden_at(rest, over).at(0.1, rest.point);
  if (!sunk.solved) return std::nullopt;
  const Term height = point_height(over);
  return value(rest.programme, height, rest.point.x) - value(rest.programme, height, sunk.x);
}

}  // namespace ridepitch::oracle
