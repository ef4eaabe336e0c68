#include "ride/rested.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "linkage/dense.hpp"
#include "ride/equilibrium.hpp"

namespace ridepitch {
namespace {

constexpr double least_inertia_share = 1e-9;
constexpr double farthest_centre_modules = 1e6;

// K over (h, p, r): the least energy of a small motion of the body, everything else following; none if bounds leave
// the body fewer than three freedoms.
std::optional<Eigen::Matrix3d> body_stiffness(const Work& work) {
  const Eigen::MatrixXd N = null_space(active_set(work).rows);
  const Eigen::MatrixXd body = N.topRows(3);
  if (matrix_rank(body, 1e-8) < 3) return std::nullopt;
  const Eigen::MatrixXd H = N.transpose() * hessian_per_mm(work) * N;
  // Minimise y' H y with body y = b: a split of y into what moves the body and what does not.
  const Eigen::MatrixXd still = null_space(body);
  Eigen::MatrixXd with(N.cols(), 3);
  for (Eigen::Index k = 0; k < 3; ++k) with.col(k) = least_squares(body, Eigen::Matrix3d::Identity().col(k));
  if (still.cols() > 0) {
    const Eigen::MatrixXd inner = still.transpose() * H * still;
    const Eigen::MatrixXd pull = still.transpose() * H * with;
    for (Eigen::Index k = 0; k < 3; ++k) with.col(k) -= still * least_squares(inner, pull.col(k), 1e-12);
  }
  const Eigen::Matrix3d scaled = with.transpose() * H * with;
  const Eigen::Vector3d back = work.scale.head<3>();  // to (h, p, r) themselves
  return Eigen::Matrix3d(back.asDiagonal() * (0.5 * (scaled + scaled.transpose())) * back.asDiagonal());
}

// How a step of (h, p, r) turns into the rise of the centre of gravity and the turning about it.
struct BodyMotion {
  Eigen::Matrix3d rise_p_r;  // rows: rise of the cg, p, r; from (h, p, r)
  Eigen::Matrix3d turning;   // angular velocity in body axes from (h, p, r)
};

BodyMotion body_motion(const State& state, const Vec3& cg) {
  const double sp = std::sin(state.pitch_rad), cp = std::cos(state.pitch_rad);
  const double sr = std::sin(state.roll_rad), cr = std::cos(state.roll_rad);
  const double up = sr * cg.y() + cr * cg.z();
  BodyMotion motion;
  motion.rise_p_r << 1, -cp * cg.x() - sp * up, cp * (cr * cg.y() - sr * cg.z()), 0, 1, 0, 0, 0, 1;
  motion.turning << 0, 0, 1, 0, cr, 0, 0, -sr, 0;  // world = Ry(p) Rx(r)
  return motion;
}

}  // namespace

std::vector<Mode> find_modes(const SprungMass& sprung, const Rest& rest, double module_mm) {
  if (!sprung.inertia_kg_mm2 || sprung.kg <= 0) return {};
  const auto K = body_stiffness(rest.work);
  if (!K) return {};
  const BodyMotion motion = body_motion(rest.state, sprung.cg_mm);
  // kg, mm, s: stiffness in N/mm = 1000 kg/s^2, so frequencies come in rad/s with K in 1000 kg/s^2
  const Eigen::RowVector3d rise = motion.rise_p_r.row(0);
  const Eigen::Matrix3d turning = motion.turning.transpose() * *sprung.inertia_kg_mm2 * motion.turning;
  const Eigen::Matrix3d M = sprung.kg * rise.transpose() * rise + turning;
  const Eigen::Matrix2d rotary = turning.bottomRightCorner<2, 2>();
  const Spectrum inertias = spectrum(Eigen::MatrixXd(rotary));
  if (!(inertias.values[1] > 0) || inertias.values[0] < least_inertia_share * inertias.values[1]) return {};
  const Spectrum found = spectrum(Eigen::MatrixXd(1000 * *K), Eigen::MatrixXd(M));

  // Shares of kinetic energy in rise, pitch and roll: x_i (M' x)_i with x in (rise, p, r).
  Eigen::Matrix3d mass_rise_p_r = Eigen::Matrix3d::Zero();
  mass_rise_p_r(0, 0) = sprung.kg;
  mass_rise_p_r.bottomRightCorner<2, 2>() = rotary;
  Eigen::Matrix3d share;  // [coordinate, mode]
  for (Eigen::Index mode = 0; mode < 3; ++mode) {
    const Eigen::Vector3d x = motion.rise_p_r * found.vectors.col(mode);
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
