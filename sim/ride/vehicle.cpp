#include "ride/vehicle.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"

namespace ridepitch {

SprungMass sum_masses(const Model& model) {
  SprungMass sprung;
  for (const Mass& mass : model.masses) {
    sprung.kg += mass.kg;
    sprung.cg_mm += mass.kg * mass.at_mm;
  }
  if (sprung.kg <= 0) return sprung;
  sprung.cg_mm /= sprung.kg;
  // I = sum m (|r|^2 E - r r') + box m/12 (b^2 + c^2): parallel axes and the uniform box, any mechanics text
  constexpr double rounding = 1e-12;  // of a place, in a sum of several: masses that near lie at the centre
  Eigen::Matrix3d inertia = Eigen::Matrix3d::Zero();
  for (const Mass& mass : model.masses) {
    Vec3 r = mass.at_mm - sprung.cg_mm;
    if (r.norm() < rounding * mass.at_mm.norm()) r.setZero();
    inertia += mass.kg * (r.squaredNorm() * Eigen::Matrix3d::Identity() - r * r.transpose());
    if (!mass.size_mm) continue;
    const Vec3 square = mass.size_mm->cwiseProduct(*mass.size_mm);
    inertia.diagonal() += mass.kg / 12 * (Vec3::Constant(square.sum()) - square);
  }
  sprung.inertia_kg_mm2 = inertia;
  return sprung;
}

std::string wheel_name(const Model& model, const Vehicle& vehicle, std::size_t member, std::size_t wheel) {
  const Corner& corner = model.corners[static_cast<std::size_t>(vehicle.corner_of[member])];
  return corner.name + "/" + model.linkages[static_cast<std::size_t>(corner.linkage)].wheels[wheel].name;
}

double loaded_radius_mm(const Tread& tread, double ground_load_n) {
  return tread.radius_mm - (tread.tyre_rate_n_per_mm ? ground_load_n / *tread.tyre_rate_n_per_mm : 0);
}

void set_sprung_mass(const SprungMass& sprung, Vehicle& vehicle) {
  vehicle.sprung = sprung;
  vehicle.system.weight_n = sprung.kg * gravity_m_per_s2;
  vehicle.system.cg_mm = sprung.cg_mm;
}

State hang(const Vehicle& vehicle) {
  State state;
  for (const int linkage : vehicle.linkage_of) state.q.push_back(at(vehicle.droops, linkage).q);
  if (!vehicle.system.on_ground) return state;
  state.height_mm = -std::numeric_limits<double>::infinity();
  for (const PlacedWheel& wheel : placed_wheels(vehicle.system, state))
    state.height_mm = std::max(state.height_mm, wheel.tread->radius_mm + wheel.tread->ground_mm - wheel.point_mm.z());
  return state;
}

namespace {

Member make_member(const Model& model, const Corner& corner, const Mechanism& mechanism) {
  const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
  Member member{
      .mechanism = &mechanism, .plane = linkage.plane, .at_mm = corner.at_mm, .u_sign = u_sign(corner), .treads = {}};
  for (const Wheel& wheel : linkage.wheels) {
    const double share_kg = corner.unsprung_kg / static_cast<double>(linkage.wheels.size());
    member.treads.push_back({.radius_mm = wheel.tyre.diameter_mm / 2,
                             .left_mm = outward(corner) * wheel.out_mm,
                             .tyre_rate_n_per_mm = wheel.tyre.rate_n_per_mm,
                             .weight_n = (wheel.tyre.mass_g / 1000 + share_kg) * gravity_m_per_s2,
                             .push_n = corner.load_n.value_or(0)});
  }
  return member;
}

// Turns counted so that the bar stands within half a turn of where it is unloaded, with both linkages as assembled.
BarLink make_bar(const Vehicle& vehicle, const Model& model, const Bar& bar) {
  BarLink link{.member = {}, .body = {}, .rate_n_mm_per_rad = bar.rate_n_mm_per_rad, .free_rad = bar.free_rad};
  std::array<double, 2> angle{};
  for (std::size_t end = 0; end < 2; ++end) {
    const auto corner = static_cast<std::size_t>(bar.ends[end].corner);
    link.member[end] = vehicle.member_of[corner];
    link.body[end] = bar.ends[end].body - 1;
    angle[end] = vehicle.assemblies[static_cast<std::size_t>(model.corners[corner].linkage)].q[3 * link.body[end] + 2];
  }
  const double turn = 2 * std::numbers::pi;
  link.free_rad += turn * std::round((angle[1] - angle[0] - bar.free_rad) / turn);
  return link;
}

// Fewer than three wheels, or all in a line: well-formed, but nothing can stand on them.
std::optional<Problem> cannot_stand(const Model& model, const Vehicle& vehicle) {
  std::vector<Vec2> plan;
  for (const PlacedWheel& wheel : placed_wheels(vehicle.system, vehicle.hanging))
    plan.emplace_back(wheel.point_mm.head<2>());
  double area = 0;
  for (std::size_t i = 2; i < plan.size(); ++i)
    for (std::size_t j = 1; j < i; ++j) {
      const Vec2 a = plan[i] - plan[0], b = plan[j] - plan[0];
      area = std::max(area, std::abs(a.x() * b.y() - a.y() * b.x()));
    }
  constexpr double least_area_mm2 = 1.0;  // of twice a triangle of wheels
  if (area > least_area_mm2) return std::nullopt;
  return Problem{.place = model.corners.front().place,
                 .code = "cannot-stand",
                 .text = plan.size() < 3 ? fmt::format("the vehicle cannot stand: it has {} wheel{} on the ground, and "
                                                       "needs three",
                                                       plan.size(), plan.size() == 1 ? "" : "s")
                                         : "the vehicle cannot stand: all its wheels are in one line",
                 .hint = "add corners, or give every corner a load_n to solve the linkages alone",
                 .fault = Fault::no_solution};
}

}  // namespace

VehicleOrProblems build_vehicle(const Model& model) {
  VehicleOrProblems out;
  Vehicle vehicle;
  for (const Linkage& linkage : model.linkages) {
    AssembleResult result = assemble(linkage, model.module_mm);
    out.problems.insert(out.problems.end(), result.problems.begin(), result.problems.end());
    if (!result.assembly) continue;
    vehicle.assemblies.push_back(std::move(*result.assembly));
    if (linkage.plane == Plane::top) {
      vehicle.droops.push_back({.q = vehicle.assemblies.back().q, .height_mm = {}, .end = {}});
      continue;
    }
    DroopResult droop = find_droop(vehicle.assemblies.back());
    if (droop.problem)
      out.problems.push_back(*droop.problem);
    else
      vehicle.droops.push_back(std::move(*droop.droop));
  }
  if (!out.problems.empty()) return out;

  vehicle.system.on_ground = !model.bench;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Corner& corner = model.corners[c];
    const auto linkage = static_cast<std::size_t>(corner.linkage);
    if (model.linkages[linkage].plane == Plane::top) {
      vehicle.member_of.push_back(-1);
      continue;
    }
    vehicle.member_of.push_back(static_cast<int>(vehicle.system.members.size()));
    vehicle.corner_of.push_back(static_cast<int>(c));
    vehicle.linkage_of.push_back(corner.linkage);
    vehicle.system.members.push_back(make_member(model, corner, vehicle.assemblies[linkage].mechanism));
  }
  for (const Bar& bar : model.bars) vehicle.system.bars.push_back(make_bar(vehicle, model, bar));
  set_sprung_mass(sum_masses(model), vehicle);
  vehicle.hanging = hang(vehicle);
  if (!model.bench)
    if (auto problem = cannot_stand(model, vehicle)) {
      out.problems.push_back(*problem);
      return out;
    }
  out.vehicle = std::move(vehicle);
  return out;
}

}  // namespace ridepitch
