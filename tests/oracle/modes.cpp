#include "modes.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <numbers>
#include <optional>

#include "difference.hpp"

namespace ridepitch::oracle {
namespace {

constexpr double body_unit[3] = {1, attitude_unit, attitude_unit};

// The vehicle with its attitude held, contacts and stops that carry force kept shut.
struct HeldBody {
  Programme programme;
  std::shared_ptr<std::array<double, 3>> attitude;
  int first = 0;  ///< place of the attitude's equalities
};

HeldBody held_body(const Stance& stance) {
  HeldBody held{stance.programme, std::make_shared<std::array<double, 3>>(), 0};
  held.programme.stops.clear();
  for (std::size_t k = 0; k < stance.programme.stops.size(); ++k) {
    if (stance.point.stop_force[k] > 1e-7) held.programme.equal.push_back(stance.programme.stops[k].gap);
  }
  held.first = static_cast<int>(held.programme.equal.size());
  for (int i = 0; i < 3; ++i) {
    (*held.attitude)[i] = stance.point.x[i];
    held.programme.equal.push_back(
        {{i}, [a = held.attitude, i](const Jets& q) { return (1 / body_unit[i]) * q[0] - Jet((*a)[i]); }});
  }
  return held;
}

bool body_is_free(const Stance& stance, const HeldBody& held) {
  std::vector<Term> kept(held.programme.equal.begin(), held.programme.equal.begin() + held.first);
  const Matrix Z = null_space(jacobian(held.programme, kept, stance.point.x));
  Matrix body(3, Z.columns);
  for (int r = 0; r < 3; ++r) {
    for (int c = 0; c < Z.columns; ++c) body(r, c) = Z(r, c);
  }
  return Z.columns - null_space(body, 1e-7).columns == 3;
}

// A point fixed to the body that carries a wheel: where its tyre meets the ground at rest.
struct FixedPoint {
  Vec2 from_centre = Vec2::Zero();  // in the corner's plane, at rest
  double beside_mm = 0;             // across it
};

double body_angle(const Stance& stance, const Contact& contact, const Vector& x) {
  const Layout& layout = stance.parts[contact.part].layout;
  const int at = layout.at(layout.linkage->wheels[contact.wheel].at.body);
  return at < 0 ? 0 : x[at + 2] * body_angle_unit;
}

// World axes of the vehicle's, by columns.
Eigen::Matrix3d axes_of(double pitch, double roll) {
  Eigen::Matrix3d axes;
  for (int k = 0; k < 3; ++k) axes.col(k) = levelled(Vec3::Unit(k), pitch, roll);
  axes.row(2) << -std::sin(pitch), std::cos(pitch) * std::sin(roll), std::cos(pitch) * std::cos(roll);  // upward
  return axes;
}

double tyre_mm(const Contact& contact, double load) {
  const double radius = contact.tyre->diameter_mm / 2;
  return contact.tyre->rate_n_per_mm ? radius - load / *contact.tyre->rate_n_per_mm : radius;
}

FixedPoint contact_on_body(const Model& model, const Stance& stance, std::size_t i) {
  const Contact& contact = stance.contacts[i];
  const Corner& corner = model.corners[stance.parts[contact.part].corner];
  const Linkage& linkage = *stance.parts[contact.part].layout.linkage;
  const double pitch = stance.point.x[pitch_variable] * attitude_unit,
               roll = stance.point.x[roll_variable] * attitude_unit;
  const Vec3 down = axes_of(pitch, roll).transpose() * Vec3(0, 0, -tyre_mm(contact, stance.ground_load_n[i]));
  const Vec3 u = on_vehicle(linkage, corner, Vec2(1, 0)) - corner.at_mm,
             v = on_vehicle(linkage, corner, Vec2(0, 1)) - corner.at_mm;
  const Vec3 across(u.y() * v.z() - u.z() * v.y(), u.z() * v.x() - u.x() * v.z(), u.x() * v.y() - u.y() * v.x());
  return {{down.dot(u), down.dot(v)}, down.dot(across)};
}

// Where that point is, level with the world, from the vehicle's origin, in another state of the vehicle.
Vec3 point_at(const Model& model, const Stance& rest, std::size_t i, const FixedPoint& fixed, const Vector& x) {
  const Contact& contact = rest.contacts[i];
  const Corner& corner = model.corners[rest.parts[contact.part].corner];
  const Linkage& linkage = *rest.parts[contact.part].layout.linkage;
  Stance there = rest;
  there.point.x = x;
  const double turned = body_angle(rest, contact, x) - body_angle(rest, contact, rest.point.x);
  const double c = std::cos(turned), s = std::sin(turned);
  const Vec2 in_plane(c * fixed.from_centre.x() - s * fixed.from_centre.y(),
                      s * fixed.from_centre.x() + c * fixed.from_centre.y());
  const Vec3 u = on_vehicle(linkage, corner, Vec2(1, 0)) - corner.at_mm,
             v = on_vehicle(linkage, corner, Vec2(0, 1)) - corner.at_mm;
  const Vec3 across(u.y() * v.z() - u.z() * v.y(), u.z() * v.x() - u.x() * v.z(), u.x() * v.y() - u.y() * v.x());
  const Vec3 on_body =
      wheel_centre(model, there, contact) + in_plane.x() * u + in_plane.y() * v + fixed.beside_mm * across;
  return levelled(on_body, x[pitch_variable] * attitude_unit, x[roll_variable] * attitude_unit);
}

// Sway of the centre of gravity and yaw for each unit of height, pitch and roll, with which the contacts that carry slip
// sideways as little as can be: rows sway, yaw.
std::optional<Matrix> followed_by_grip(const Model& model, const Stance& stance, HeldBody& held) {
  const Point rest = polish(held.programme, {stance.point.x, {}, {}, false});
  if (!rest.solved) return std::nullopt;
  std::vector<std::size_t> carrying;
  for (std::size_t i = 0; i < stance.contacts.size(); ++i)
    if (stance.ground_load_n[i] > 1e-9) carrying.push_back(i);
  const int n = static_cast<int>(carrying.size());
  const auto cg_at = [&](const Vector& x) {
    return levelled(stance.body.cg_mm, x[pitch_variable] * attitude_unit, x[roll_variable] * attitude_unit);
  };
  Matrix grip(n, 2);
  std::vector<FixedPoint> fixed;
  for (int k = 0; k < n; ++k) {
    fixed.push_back(contact_on_body(model, stance, carrying[k]));
    grip(k, 0) = 1;
    grip(k, 1) = point_at(model, stance, carrying[k], fixed[k], stance.point.x).x() - cg_at(stance.point.x).x();
  }
  Matrix follows(2, 3);
  for (int j = 0; j < 3; ++j) {
    std::vector<Vector> by_step(n);
    for (double h = 0.16; h > 0.16 / 300; h /= 2) {
      Point side[2];
      for (const int up : {0, 1}) {
        (*held.attitude)[j] = stance.point.x[j] + (up ? h : -h);
        side[up] = polish(held.programme, rest);
      }
      (*held.attitude)[j] = stance.point.x[j];
      if (!side[0].solved || !side[1].solved) {
        for (Vector& list : by_step) list.clear();
        continue;
      }
      for (int k = 0; k < n; ++k) {
        double slip[2];
        for (const int up : {0, 1})
          slip[up] = (point_at(model, stance, carrying[k], fixed[k], side[up].x) - cg_at(side[up].x)).y();
        by_step[k].push_back((slip[1] - slip[0]) / (2 * h) / body_unit[j]);
      }
    }
    Vector against(n);
    for (int k = 0; k < n; ++k) against[k] = -romberg(by_step[k]);
    const Vector sway_and_yaw = least_squares(grip, against);
    for (int row = 0; row < 2; ++row) follows(row, j) = sway_and_yaw[row];
  }
  return follows;
}

// d2E / d(height, pitch, roll)^2 [N/mm, N, N mm], from differences of what it takes to hold the attitude.
std::optional<Matrix> stiffness(const Stance& stance, HeldBody& held) {
  const Point rest = polish(held.programme, {stance.point.x, {}, {}, false});
  if (!rest.solved) return std::nullopt;
  Matrix K(3, 3);
  for (int j = 0; j < 3; ++j) {
    std::array<Vector, 3> by_step;
    for (double h = 0.16; h > 0.16 / 300; h /= 2) {
      Point side[2];
      for (const int up : {0, 1}) {
        (*held.attitude)[j] = stance.point.x[j] + (up ? h : -h);
        side[up] = polish(held.programme, rest);
      }
      (*held.attitude)[j] = stance.point.x[j];
      if (!side[0].solved || !side[1].solved) {
        for (Vector& list : by_step) list.clear();
        continue;
      }
      for (int i = 0; i < 3; ++i) {
        const double slope = (side[1].equal_force[held.first + i] - side[0].equal_force[held.first + i]) / (2 * h);
        by_step[i].push_back(slope / (body_unit[i] * body_unit[j]));
      }
    }
    for (int i = 0; i < 3; ++i) K(i, j) = romberg(by_step[i]);
  }
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < i; ++j) K(i, j) = K(j, i) = 0.5 * (K(i, j) + K(j, i));
  }
  return K;
}

}  // namespace

std::vector<Mode> modes(const Model& model, const Stance& stance) {
  constexpr double no_inertia = 1e-9, no_radius_mm = 1e-3, far_modules = 1e6;
  HeldBody held = held_body(stance);
  if (!body_is_free(stance, held)) return {};
  const double pitch = stance.point.x[pitch_variable] * attitude_unit;
  const double roll = stance.point.x[roll_variable] * attitude_unit;
  // Turning rates in vehicle axes: pitch about the world's y, roll about the body's x.
  const Vec3 by_pitch(0, std::cos(roll), -std::sin(roll)), by_roll(1, 0, 0);
  Matrix turning(2, 2);
  const std::array<Vec3, 2> axes{by_pitch, by_roll};
  for (int i = 0; i < 2; ++i) {
    for (int j = 0; j < 2; ++j) turning(i, j) = axes[i].dot(stance.body.inertia_kg_mm2 * axes[j]);
  }
  const EigenPairs inertia = eigen_symmetric(turning);
  if (!(inertia.values[0] > no_inertia * inertia.values[1])) return {};
  if (!(inertia.values[0] > no_radius_mm * no_radius_mm * stance.body.kg)) return {};
  const std::optional<Matrix> follows = followed_by_grip(model, stance, held);
  if (!follows) return {};
  const std::optional<Matrix> K = stiffness(stance, held);
  if (!K) return {};

  Vector rise = gradient(stance.programme, point_height(stance.body.cg_mm), stance.point.x);  // of the cg
  rise.resize(3);
  for (int i = 0; i < 3; ++i) rise[i] /= body_unit[i];
  // Turning rates over height, pitch and roll, yaw about the world's z included.
  const Vec3 by_yaw = axes_of(pitch, roll).transpose() * Vec3(0, 0, 1);
  std::array<Vec3, 3> turns{Vec3::Zero(), by_pitch, by_roll};
  for (int i = 0; i < 3; ++i) turns[i] += (*follows)(1, i) * by_yaw;
  Matrix M(3, 3);
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j) {
      M(i, j) = stance.body.kg * (rise[i] * rise[j] + (*follows)(0, i) * (*follows)(0, j)) +
                turns[i].dot(stance.body.inertia_kg_mm2 * turns[j]);
    }
  }
  const EigenPairs e = eigen_generalised(*K, M);

  // Shares of kinetic energy: the cg's rise, pitch, roll.
  Matrix share(3, 3);
  for (int m = 0; m < 3; ++m) {
    const Vector q{e.vectors(0, m), e.vectors(1, m), e.vectors(2, m)};
    const double total = dot(q, product(M, q));
    // In the coordinates rise, pitch, roll: height = rise - (slopes of the rise) times pitch and roll.
    const Vector Mq = product(M, q);
    share(m, 0) = dot(rise, q) * Mq[0] / total;  // the row of the rise is that of the height
    for (int i = 1; i < 3; ++i) share(m, i) = q[i] * (Mq[i] - rise[i] * Mq[0]) / total;
  }
  std::array<int, 3> order{0, 1, 2}, best = order;
  double most = -1;
  do {
    const double sum = share(order[0], 0) + share(order[1], 1) + share(order[2], 2);
    if (sum > most) {
      most = sum;
      best = order;
    }
  } while (std::next_permutation(order.begin(), order.end()));

  std::vector<Mode> list;
  const std::array<const char*, 3> names{"bounce", "pitch", "roll"};
  for (int n = 0; n < 3; ++n) {
    const int m = best[n];
    Mode mode{names[n], std::sqrt(1000 * e.values[m]) / (2 * std::numbers::pi), {}};
    // Rise of (x, 0, z of the cg): dh - dp (cos p x + sin p cos r z) - dr cos p sin r z = 0.
    const double dh = e.vectors(0, m), dp = e.vectors(1, m), dr = e.vectors(2, m), z = stance.body.cg_mm.z();
    const double x = (dh - dp * std::sin(pitch) * std::cos(roll) * z - dr * std::cos(pitch) * std::sin(roll) * z) /
                     (dp * std::cos(pitch)) / model.module_mm;
    if (n < 2 && std::abs(x) <= far_modules) mode.centre_modules = x;
    list.push_back(mode);
  }
  return list;
}

}  // namespace ridepitch::oracle
