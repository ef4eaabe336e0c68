#include "ride/droop.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"
#include "model/index.hpp"
#include "ride/equilibrium.hpp"
#include "ride/hold.hpp"
#include "ride/system.hpp"

namespace ridepitch {
namespace {

// What least energy leaves open is settled by forces too small to show: 1e-7 N a wheel, 1e-7 N/mm of height apart.
constexpr double hint_of_force_n = 1e-7;
constexpr double hint_of_rate_n_per_mm = 1e-7;
constexpr double flat_n_per_mm = 1e-9;  // a curvature under it holds nothing
constexpr double flat_share = 1e-11;    // of the greatest curvature
constexpr double no_slope = 1e-9;       // of a gauge along a motion: it does not move it
constexpr double met_mm = 1e-6;         // a stop this near is met

// Motions that neither energy nor an active stop resists: columns over the coordinates q.
Eigen::MatrixXd flat_motions(const Work& work) {
  const FreeMotions free = free_motions(work);
  if (free.curvature.size() == 0) return Eigen::MatrixXd(work.members[0].T.rows(), 0);
  const double limit = std::max(flat_n_per_mm, flat_share * free.curvature.cwiseAbs().maxCoeff());
  Eigen::Index flat = 0;
  while (flat < free.curvature.size() && free.curvature[flat] < limit) ++flat;
  return work.members[0].T * free.motion.leftCols(flat);
}

// Rise of every wheel in each flat motion, [wheels x motions].
Eigen::MatrixXd wheel_rises(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::MatrixXd& motions) {
  Eigen::MatrixXd Z(count(mechanism.wheels), motions.cols());
  for (int i = 0; i < count(mechanism.wheels); ++i) Z.row(i) = slopes_along(at(mechanism.wheels, i).height, q, motions);
  return Z;
}

bool works_a_spring(const Mechanism& mechanism, const Eigen::VectorXd& q, const Eigen::VectorXd& dq) {
  return std::any_of(mechanism.springs.begin(), mechanism.springs.end(), [&](const SpringElement& spring) {
    return std::abs(slopes_along(spring.gauge, q, dq)[0]) > no_slope;
  });
}

Problem loose_body(const Mechanism& mechanism, const Eigen::VectorXd& motion) {
  int most = 0;
  for (int b = 1; b < mechanism.bodies; ++b)
    if (motion_mm(mechanism, motion.segment<3>(3 * b)) > motion_mm(mechanism, motion.segment<3>(3 * most))) most = b;
  const Body& body = at(mechanism.linkage->bodies, most + 1);
  return {.place = body.place,
          .code = "held-by-nothing",
          .text = fmt::format(
              "nothing holds body '{}' of linkage '{}': it can move while the wheels stay, and no spring resists it",
              body.name, mechanism.linkage->name),
          .hint = "give it a spring or a rod, or join it to another body"};
}

Problem loose_wheel(const Mechanism& mechanism, Eigen::Index wheel) {
  const Wheel& named = at(mechanism.linkage->wheels, wheel);
  return {.place = named.place,
          .code = "held-by-nothing",
          .text = fmt::format("wheel '{}' of linkage '{}' can fall: no spring, limit or stop holds it", named.name,
                              mechanism.linkage->name),
          .hint = "give its arm a spring, or a limit that stops it"};
}

// The first stop, in order, that is met and that some motion of the wheel would open or close.
std::string end_of(const Mechanism& mechanism, const Eigen::VectorXd& q, int wheel) {
  const Closure closure = linearised(mechanism, q);
  const Eigen::MatrixXd T = tangents(closure.part);
  const Eigen::ArrayXXd rise = slopes_along(at(mechanism.wheels, wheel).height, q, T).cwiseAbs();
  for (const Stop& stop : mechanism.stops) {
    if (std::abs(stop_gap(stop, read(stop.gauge, q, closure.turns).value)) > met_mm) continue;
    const Eigen::ArrayXXd opens = slopes_along(stop.gauge, q, T).cwiseAbs();
    if ((opens > no_slope && rise > no_slope).any()) return stop.name;
  }
  return "";
}

// A linkage on the bench, coming to rest; its mechanism gets the small springs that level wheels.
struct Hanging {
  Mechanism mechanism;
  System system;
  State state;
  Work work;
};

void settle(Hanging& hanging) {
  hanging.system.members[0].mechanism = &hanging.mechanism;
  prepare(hanging.system, hanging.work);
  descend(hanging.system, 1, hanging.state, hanging.work);
  const State soft = hanging.state;
  if (!make_exact(hanging.system, 1, hanging.state, hanging.work)) hanging.state = soft;
  evaluate(hanging.system, hanging.state, Bounds::exact, hanging.work);
}

// A motion of the linkage that lowers no wheel and works no spring.
std::optional<Problem> something_loose(const Hanging& hanging, const Eigen::MatrixXd& flat, const Eigen::MatrixXd& Z) {
  const Eigen::MatrixXd inner = flat * null_space(Z, no_slope);
  for (Eigen::Index f = 0; f < inner.cols(); ++f)
    if (!works_a_spring(hanging.mechanism, hanging.state.q[0], inner.col(f)))
      return loose_body(hanging.mechanism, inner.col(f));
  return std::nullopt;
}

// Whether an active stop is opened or closed by what moves a wheel: a stop of another part of the linkage holds no wheel.
bool stopped(const Hanging& hanging, Eigen::Index wheel) {
  const Mechanism& mechanism = hanging.mechanism;
  const Eigen::VectorXd& q = hanging.state.q[0];
  const Eigen::MatrixXd T = tangents(linearised(mechanism, q).part);
  const WheelPoint& point = at(mechanism.wheels, wheel);
  for (const Gauge* gauge : {&point.height, &point.sideways}) {
    // Free coordinates of parts that are not joined to the wheel's do not move it, and stay.
    const Eigen::VectorXd motion = T * slopes_along(*gauge, q, T).transpose();
    for (std::size_t b = 0; b < mechanism.stops.size(); ++b)
      if (hanging.work.bound[b].active &&
          std::abs(slopes_along(mechanism.stops[b].gauge, q, motion)[0]) > no_slope * motion_mm(mechanism, motion))
        return true;
  }
  return false;
}

// Lets wheels that could only fall hang lowest. @returns a wheel that nothing stops
std::optional<Problem> let_fall(Hanging& hanging, const Eigen::VectorXd& motion, const Eigen::VectorXd& fallen) {
  const bool sprung = works_a_spring(hanging.mechanism, hanging.state.q[0], motion);
  Eigen::Index falling = 0;
  fallen.minCoeff(&falling);
  for (Tread& tread : hanging.system.members[0].treads) tread.push_n = -hint_of_force_n;
  settle(hanging);
  if (sprung || stopped(hanging, falling)) return std::nullopt;
  return loose_wheel(hanging.mechanism, falling);
}

// Lets wheels that trade height hang level.
void level(Hanging& hanging, const Eigen::MatrixXd& Z, double tiny) {
  int first = -1;
  for (int i = 0; i < Z.rows(); ++i) {
    if (Z.row(i).cwiseAbs().maxCoeff() < tiny) continue;
    if (first < 0)
      first = i;
    else
      hanging.mechanism.springs.push_back(level_spring(hanging.mechanism, first, i, hint_of_rate_n_per_mm));
  }
  settle(hanging);
}

}  // namespace

DroopResult find_droop(const Assembly& assembly) {
  Hanging hanging{.mechanism = assembly.mechanism, .system = bench_system(assembly.mechanism), .state = {}, .work = {}};
  hanging.state.q = {assembly.q};
  settle(hanging);
  constexpr int most_rounds = 4;
  for (int round = 0; round < most_rounds; ++round) {
    const Eigen::MatrixXd flat = flat_motions(hanging.work);
    if (flat.cols() == 0) break;
    const Eigen::MatrixXd Z = wheel_rises(hanging.mechanism, hanging.state.q[0], flat);
    if (auto problem = something_loose(hanging, flat, Z)) return {std::nullopt, problem};
    const double greatest = Z.size() ? Z.cwiseAbs().maxCoeff() : 0, tiny = 1e-7 * greatest + no_slope;
    if (greatest < no_slope) break;
    const Eigen::VectorXd fall = -Z.colwise().sum().transpose(), fallen = Z * fall;
    if (fallen.maxCoeff() <= tiny && fallen.minCoeff() < -tiny) {
      if (auto problem = let_fall(hanging, flat * fall, fallen)) return {std::nullopt, problem};
    } else {
      level(hanging, Z, tiny);
    }
  }
  Droop droop{.q = hanging.state.q[0], .height_mm = {}, .end = {}};
  for (int i = 0; i < count(hanging.mechanism.wheels); ++i) {
    droop.height_mm.push_back(wheel_centre(hanging.mechanism, i, droop.q).y());
    droop.end.push_back(end_of(assembly.mechanism, droop.q, i));
  }
  return {std::move(droop), std::nullopt};
}

}  // namespace ridepitch
