#include "ride/rested.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "linkage/dense.hpp"
#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "ride/equilibrium.hpp"
#include "ride/rise.hpp"
#include "ride/wheel_state.hpp"

namespace ridepitch {
namespace {

constexpr double least_inertia_share = 1e-9;
constexpr double least_gyration_mm = 1e-3;  // a radius of gyration under it is rounding of a point mass's place
constexpr double farthest_centre_modules = 1e6;
constexpr double least_carried_n = 1e-9;

/// What follows when the body moves by (h, p, r): [unknowns x 3], a column a unit each.
using Following = Eigen::MatrixXd;

/// Where everything else sits at least energy; none if bounds leave the body fewer than three freedoms.
std::optional<Following> following_motion(const Work& work, const Eigen::MatrixXd& hessian) {
  const Eigen::MatrixXd N = null_space(active_set(work).rows);
  const Eigen::MatrixXd body = N.topRows(3);
  if (matrix_rank(body, 1e-8) < 3) return std::nullopt;
  const Eigen::MatrixXd H = N.transpose() * hessian * N;
  // Minimise y' H y with body y = b: a split of y into what moves the body and what does not.
  const Eigen::MatrixXd still = null_space(body);
  Eigen::MatrixXd with(N.cols(), 3);
  for (Eigen::Index k = 0; k < 3; ++k) with.col(k) = least_squares(body, Eigen::Matrix3d::Identity().col(k));
  if (still.cols() > 0) {
    const Eigen::MatrixXd inner = still.transpose() * H * still;
    const Eigen::MatrixXd pull = still.transpose() * H * with;
    for (Eigen::Index k = 0; k < 3; ++k) with.col(k) -= still * least_squares(inner, pull.col(k), 1e-12);
  }
  return Following(N * with);
}

/// Turning the vehicle from its axes into the world's: Ry(p) Rx(r), z up.
Eigen::Matrix3d to_world(const State& state) {
  const double sp = std::sin(state.pitch_rad), cp = std::cos(state.pitch_rad);
  const double sr = std::sin(state.roll_rad), cr = std::cos(state.roll_rad);
  Eigen::Matrix3d R;
  R << cp, sp * sr, sp * cr, 0, cr, -sr, -sp, cp * sr, cp * cr;
  return R;
}

/// Speeds over (h, p, r), in world axes.
struct BodyMotion {
  Eigen::RowVector3d rise;  ///< of the centre of gravity
  Eigen::RowVector3d sway;  ///< of the centre of gravity, to the left
  Eigen::Matrix3d turning;  ///< angular velocity
};

/// Sideways speed of a point over (h, p, r), as rigid with the vehicle and turning with it about its centre of gravity.
Eigen::RowVector3d sideways(const Vec3& from_cg, const Eigen::Matrix3d& turning) {
  return from_cg.x() * turning.row(2) - from_cg.z() * turning.row(0);
}

/// What the linkage adds to the sideways speed of a wheel's contact, which is rigid with the body that carries the wheel.
/// @param dq  [coordinates x 3] of the linkage over (h, p, r)
Eigen::RowVector3d by_linkage(const Member& member, const Eigen::VectorXd& q, std::size_t wheel,
                              const Eigen::Matrix3d& R, double radius_mm, const Eigen::MatrixXd& dq) {
  const WheelPoint& point = member.mechanism->wheels[wheel];
  if (point.fixed) return Eigen::RowVector3d::Zero();
  const std::vector<Turn> turns = turns_at(q);
  const auto along = [&](const Gauge& gauge) {
    const GaugeReading reading = read(gauge, q, turns);
    Eigen::RowVector3d slope;
    for (Eigen::Index k = 0; k < 3; ++k) slope[k] = slope_along(gauge, reading, dq.col(k));
    return slope;
  };
  const Eigen::RowVector3d u = along(point.sideways), v = along(point.height);
  const Vec3 du = R * u_axis(member.plane, member.u_sign), dv = R * v_axis(member.plane);
  // The contact lies plumb under the centre: turning about an axis w moves it by w x (0, 0, -radius).
  const double turned = (du.y() * dv.z() - du.z() * dv.y()) * radius_mm;
  return du.y() * u + dv.y() * v + turned * dq.row(3 * point.at.body + 2);
}

/// Sway and yaw follow so that the contacts slip sideways as little as can be.
BodyMotion body_motion(const RestedVehicle& rested, const Following& following) {
  const State& state = rested.rest.state;
  const System& system = rested.vehicle.system;
  const Eigen::Matrix3d R = to_world(state);
  const Vec3 cg = levelled(state, rested.vehicle.sprung.cg_mm);
  BodyMotion motion;
  motion.rise = rise_of(state, rested.vehicle.sprung.cg_mm).body.transpose();
  motion.turning << 0, 0, R(0, 0), 0, 1, R(1, 0), 0, 0, R(2, 0);  // about the world's y, and about the vehicle's x
  motion.sway.setZero();

  std::vector<PlacedWheel> carrying = placed_wheels(system, state);
  std::erase_if(carrying, [&](const PlacedWheel& wheel) {
    return ground_load(system, rested.rest, wheel.member, wheel.wheel) <= least_carried_n;
  });
  Eigen::MatrixXd grip(count(carrying), 2), slip(count(carrying), 3);
  for (int i = 0; i < count(carrying); ++i) {
    const PlacedWheel& wheel = at(carrying, i);
    const double radius_mm =
        loaded_radius_mm(*wheel.tread, ground_load(system, rested.rest, wheel.member, wheel.wheel));
    const Vec3 contact = levelled(state, wheel.point_mm) - radius_mm * Vec3::UnitZ();
    const MemberWork& mine = rested.rest.work.members[wheel.member];
    slip.row(i) = sideways(contact - cg, motion.turning) +
                  by_linkage(system.members[wheel.member], state.q[wheel.member], wheel.wheel, R, radius_mm,
                             mine.T * following.middleRows(mine.first, mine.free));
    grip.row(i) << 1, contact.x() - cg.x();
  }
  for (Eigen::Index k = 0; k < 3; ++k) {
    const Eigen::VectorXd sway_and_yaw = least_squares(grip, -slip.col(k));
    motion.sway[k] = sway_and_yaw[0];
    motion.turning(2, k) += sway_and_yaw[1];
  }
  return motion;
}

/// Whether the body has an inertia about its centre of gravity, as it pitches and as it rolls.
bool has_inertia(const SprungMass& sprung) {
  if (!sprung.inertia_kg_mm2 || sprung.kg <= 0) return false;
  const Eigen::Matrix2d rotary = sprung.inertia_kg_mm2->topLeftCorner<2, 2>();  // about x, which it rolls, and y
  const Spectrum inertias = spectrum(Eigen::MatrixXd(rotary));
  return inertias.values[0] >= least_inertia_share * inertias.values[1] &&
         inertias.values[0] > sprung.kg * least_gyration_mm * least_gyration_mm;
}

}  // namespace

std::vector<Mode> find_modes(const RestedVehicle& rested) {
  const SprungMass& sprung = rested.vehicle.sprung;
  const Rest& rest = rested.rest;
  const double module_mm = rested.model.module_mm;
  if (!has_inertia(sprung)) return {};
  const Eigen::MatrixXd hessian = hessian_per_mm(rest.work);
  const auto per_mm = following_motion(rest.work, hessian);
  if (!per_mm) return {};
  const Eigen::Vector3d back = rest.work.scale.head<3>();  // mm of motion for a unit of (h, p, r)
  const Eigen::Matrix3d scaled = per_mm->transpose() * hessian * *per_mm;
  const Eigen::Matrix3d K = back.asDiagonal() * (0.5 * (scaled + scaled.transpose())) * back.asDiagonal();
  const Following following = rest.work.scale.cwiseInverse().asDiagonal() * *per_mm * back.asDiagonal();
  const BodyMotion motion = body_motion(rested, following);
  // kg, mm, s: stiffness in N/mm = 1000 kg/s^2, so frequencies come in rad/s with K in 1000 kg/s^2
  const Eigen::Matrix3d R = to_world(rest.state);
  const Eigen::Matrix3d M =
      sprung.kg * (motion.rise.transpose() * motion.rise + motion.sway.transpose() * motion.sway) +
      motion.turning.transpose() * (R * *sprung.inertia_kg_mm2 * R.transpose()) * motion.turning;
  const Spectrum found = spectrum(Eigen::MatrixXd(1000 * K), Eigen::MatrixXd(M));

  // Shares of kinetic energy in rise, pitch and roll: x_i (M' x)_i with x in (rise, p, r).
  Eigen::Matrix3d rise_p_r = Eigen::Matrix3d::Identity();
  rise_p_r.row(0) = motion.rise;
  Eigen::Matrix3d from_rise = Eigen::Matrix3d::Identity();  // its inverse; dh/d(rise) is 1
  from_rise(0, 1) = -motion.rise[1];
  from_rise(0, 2) = -motion.rise[2];
  const Eigen::Matrix3d mass_rise_p_r = from_rise.transpose() * M * from_rise;
  Eigen::Matrix3d share;  // [coordinate, mode]
  for (Eigen::Index mode = 0; mode < 3; ++mode) {
    const Eigen::Vector3d x = rise_p_r * found.vectors.col(mode);
    share.col(mode) = x.cwiseProduct(mass_rise_p_r * x) / x.dot(mass_rise_p_r * x);
  }
  std::array<Eigen::Index, 3> order{0, 1, 2}, best = order;
  double most = -1e300;
  do {
    const double sum = share(0, order[0]) + share(1, order[1]) + share(2, order[2]);
    if (sum > most + 1e-12) {
      most = sum;
      best = order;
    }
  } while (std::next_permutation(order.begin(), order.end()));

  const double sp = std::sin(rest.state.pitch_rad), cp = std::cos(rest.state.pitch_rad);
  const double sr = std::sin(rest.state.roll_rad), cr = std::cos(rest.state.roll_rad);
  const double z = sprung.cg_mm.z();
  const std::array<const char*, 3> names{"bounce", "pitch", "roll"};
  std::vector<Mode> modes;
  for (std::size_t i = 0; i < 3; ++i) {
    const double square = found.values[best[i]];
    Mode mode{.name = names[i],
              .frequency_hz = std::sqrt(std::max(0.0, square)) / (2 * std::numbers::pi),
              .centre_modules = {}};
    // The point (x, 0, z) does not rise: dh - cos(p) x dp - sin(p) cos(r) z dp - cos(p) sin(r) z dr = 0
    const Eigen::Vector3d v = found.vectors.col(best[i]);
    if (i < 2) {
      const double centre = (v[0] - sp * cr * z * v[1] - cp * sr * z * v[2]) / (cp * v[1]) / module_mm;
      if (std::abs(centre) <= farthest_centre_modules) mode.centre_modules = centre;
    }
    modes.push_back(mode);
  }
  return modes;
}

}  // namespace ridepitch
