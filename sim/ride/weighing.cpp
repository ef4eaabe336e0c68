#include "ride/weighing.hpp"

#include <algorithm>
#include <cmath>

#include "model/index.hpp"

namespace ridepitch {
namespace {

constexpr int most_weighing_rounds = 60;
constexpr double same_place_mm = 1e-11;

const Member& member_of(const Vehicle& vehicle, WheelRef wheel) {
  return at(vehicle.system.members, at(vehicle.member_of, wheel.corner));
}

Vec3 point_of(const Vehicle& vehicle, WheelRef wheel, const State& state) {
  const Member& member = member_of(vehicle, wheel);
  const Eigen::VectorXd& q = at(state.q, at(vehicle.member_of, wheel.corner));
  return wheel_point(member, at(member.treads, wheel.wheel), wheel_centre(*member.mechanism, wheel.wheel, q));
}

Eigen::Matrix3d box_inertia(double kg, const Vec3& size) {
  const Vec3 square = size.cwiseProduct(size);
  const Vec3 diagonal = kg / 12 * (Vec3::Constant(square.sum()) - square);
  return diagonal.asDiagonal();
}

}  // namespace

bool sides_apart(const Model& model, const std::function<double(WheelRef)>& left_mm) {
  return std::none_of(model.weighed.begin(), model.weighed.end(), [&](const Weighed& reading) {
    const auto stands = [&](double side) {
      return std::any_of(reading.wheels.begin(), reading.wheels.end(),
                         [&](WheelRef wheel) { return side * left_mm(wheel) > 0; });
    };
    return stands(1) && stands(-1);
  });
}

std::optional<Rest> lower_as_weighed(const Model& model, Vehicle& vehicle, int steps) {
  double total_kg = 0, unsprung_kg = 0;
  for (const Weighed& reading : model.weighed) total_kg += reading.kg;
  for (const Member& member : vehicle.system.members)
    for (const Tread& tread : member.treads) unsprung_kg += tread.weight_n / gravity_m_per_s2;
  SprungMass sprung;
  sprung.kg = total_kg - unsprung_kg;
  if (!(sprung.kg > 0)) return std::nullopt;
  if (model.sprung) {
    sprung.cg_mm.z() = model.sprung->cg_height_mm.value_or(0);
    if (model.sprung->size_mm) sprung.inertia_kg_mm2 = box_inertia(sprung.kg, *model.sprung->size_mm);
  }
  const bool apart = sides_apart(model, [&](WheelRef wheel) { return point_of(vehicle, wheel, vehicle.hanging).y(); });

  // The first guess stands on the hanging wheels; each round puts the loads at the contacts of the last one's rest.
  State state = vehicle.hanging;
  std::optional<Rest> rest;
  for (int round = 0; round < most_weighing_rounds; ++round) {
    // Moments about the vehicle's origin, in the levelled world: readings less what stands on each wheel's own weight.
    Vec2 moment = Vec2::Zero();
    for (const Weighed& reading : model.weighed)
      for (const WheelRef wheel : reading.wheels) {
        const Vec3 contact = levelled(state, point_of(vehicle, wheel, state));
        const double kg = reading.kg / static_cast<double>(reading.wheels.size()) -
                          at(member_of(vehicle, wheel).treads, wheel.wheel).weight_n / gravity_m_per_s2;
        moment += kg * contact.head<2>();
      }
    const Vec2 level = moment / sprung.kg;
    // Back into vehicle axes at the known height z: x' = cp x + sp (sr y + cr z), y' = cr y - sr z
    const double sp = std::sin(state.pitch_rad), cp = std::cos(state.pitch_rad), sr = std::sin(state.roll_rad),
                 cr = std::cos(state.roll_rad);
    const double z = sprung.cg_mm.z();
    const double y = apart ? (level.y() + sr * z) / cr : 0;
    const Vec3 cg((level.x() - sp * (sr * y + cr * z)) / cp, y, z);
    const double change = (cg - sprung.cg_mm).norm();
    sprung.cg_mm = cg;
    set_sprung_mass(sprung, vehicle);
    if (rest && change < same_place_mm) return rest;
    rest = round == 0 ? lower(vehicle.system, vehicle.hanging, steps) : come_to_rest(vehicle.system, state);
    if (!rest) return std::nullopt;
    state = rest->state;
  }
  return rest;
}

Model with_mass_at(const Model& model, double kg, const Vec3& cg_mm) {
  Model out = model;
  out.weighed.clear();
  out.sprung.reset();
  out.masses = {Mass{"in one point", kg, cg_mm, std::nullopt, {}}};
  return out;
}

}  // namespace ridepitch
