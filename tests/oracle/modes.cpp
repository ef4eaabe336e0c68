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
  constexpr double no_inertia = 1e-9, far_modules = 1e6;
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
  const std::optional<Matrix> K = stiffness(stance, held);
  if (!K) return {};

  Vector rise = gradient(stance.programme, point_height(stance.body.cg_mm), stance.point.x);  // of the cg
  rise.resize(3);
  for (int i = 0; i < 3; ++i) rise[i] /= body_unit[i];
  Matrix M(3, 3);
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j) {
      M(i, j) = stance.body.kg * rise[i] * rise[j] + (i > 0 && j > 0 ? turning(i - 1, j - 1) : 0);
    }
  }
  const EigenPairs e = eigen_generalised(*K, M);

  // Shares of kinetic energy: the cg's rise, pitch, roll.
  Matrix share(3, 3);
  for (int m = 0; m < 3; ++m) {
    const Vector q{e.vectors(0, m), e.vectors(1, m), e.vectors(2, m)};
    const double total = dot(q, product(M, q));
    share(m, 0) = stance.body.kg * dot(rise, q) * dot(rise, q) / total;
    for (int i = 0; i < 2; ++i) {
      share(m, i + 1) = q[i + 1] * (turning(i, 0) * q[1] + turning(i, 1) * q[2]) / total;
    }
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
