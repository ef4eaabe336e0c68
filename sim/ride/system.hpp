#pragma once
// A vehicle as one elastic system: its body on its wheels, every corner's linkage, bars and tyres, and the energy
// of all that with its first and second derivatives.
//
// Letters: h, p, r  height of the vehicle's origin [mm], pitch and roll [rad];  q  coordinates of a linkage;
// s  its free coordinates (linkage/partition.hpp);  H  height of a wheel's centre above the floor [mm];
// D  how far downhill of the vehicle's origin a point lies, along the floor [mm].
// The unknowns of a step are (h, p, r) where the body is free, then every member's s, in order.

#include <array>
#include <optional>
#include <vector>

#include <Eigen/Core>

#include "linkage/closure.hpp"
#include "linkage/mechanism.hpp"
#include "model/model.hpp"

namespace ridepitch {

/// A wheel as the ground meets it.
struct Tread {
  double radius_mm = 0;
  double left_mm = 0;                        ///< how far left of its linkage's plane its centre is
  std::optional<double> tyre_rate_n_per_mm;  ///< none: rigid
  double weight_n = 0;                       ///< of its unsprung mass, at its centre
  double push_n = 0;                         ///< bench mode: upward load on it, net of its own weight
  double friction_n = 0;                     ///< what friction adds to that push up its travel; negative: down
  double ground_mm = 0;                      ///< height of the ground under it above the floor
  double grip_share = 0;                     ///< of what holds the vehicle on a slope; all together 1
  double grip_arm_mm = 0;                    ///< height of its centre over its contact, as far as grip turns anything
};

/// A floor out of level, as seen by the vehicle on it: gravity leans towards `down`, and the tyres hold.
struct Slope {
  double sin = 0, cos = 1;    ///< of its angle
  Vec2 down = Vec2::UnitX();  ///< downhill, unit, along the floor: [ahead, left]
  double rolling_cos = 1;     ///< cosine of the pitch at which tyres are turned about the vehicle's x axis
};

/// A corner's linkage and where it sits.
struct Member {
  const Mechanism* mechanism = nullptr;
  Plane plane = Plane::side;
  Vec3 at_mm = Vec3::Zero();
  double u_sign = 1;          ///< -1: flipped
  std::vector<Tread> treads;  ///< one for each wheel
};

/// An anti-roll bar: energy rate/2 (angle_b - angle_a - free)^2.
struct BarLink {
  std::array<int, 2> member{};
  std::array<int, 2> body{};  ///< moving bodies
  double rate_n_mm_per_rad = 0;
  double free_rad = 0;  ///< whole turns of the assembly included
};

struct System {
  std::vector<Member> members;
  std::vector<BarLink> bars;
  bool on_ground = true;  ///< the body is free and stands on the ground; false: held level, no ground
  Slope slope;
  double weight_n = 0;  ///< of the sprung mass
  Vec3 cg_mm = Vec3::Zero();
};

/// Where everything is.
struct State {
  double height_mm = 0, pitch_rad = 0, roll_rad = 0;
  std::vector<Eigen::VectorXd> q;  ///< one for each member
};

/// Something one-sided: a stop of a member, or the contact of a rigid wheel with the ground.
struct Bound {
  int member = 0;
  int index = 0;  ///< of the stop or wheel
  bool contact = false;
};

/// Where bounds stand and what they carry.
struct BoundState {
  double gap = 0;       ///< >= 0 within [mm or rad]
  double force = 0;     ///< >= 0 [N or N mm]
  bool active = false;  ///< held at its gap 0
};

/// A linkage alone on the bench: its body held level, its wheels weightless and not loaded.
System bench_system(const Mechanism& mechanism);

/// How bounds are enforced while the energy is worked out.
enum class Bounds {
  soft,   ///< each a one-sided spring of `bound_stiffness`: finds which ones are active
  exact,  ///< each with the force it was given: the solution is exact
};

/// A member's share of the work.
struct MemberWork {
  Closure closure;
  int first = 0;  ///< its first unknown
  int free = 0;
  Eigen::MatrixXd T;       ///< [coordinates x free]
  Eigen::VectorXd g;       ///< [coordinates] gradient of everything but the ties
  Eigen::MatrixXd W;       ///< [coordinates x coordinates]
  Eigen::MatrixXd WT;      ///< W T
  Eigen::MatrixXd body_q;  ///< [3 x coordinates] cross derivatives with (h, p, r)
  Eigen::VectorXd lambda;  ///< [ties]
};

/// Everything about a system at a state. Sized once by `prepare`.
struct Work {
  std::vector<Bound> bounds;
  std::vector<BoundState> bound;  ///< [bounds]
  double load_share = 1;          ///< of all weights and pushes
  double energy_n_mm = 0;
  Eigen::VectorXd gradient;  ///< [unknowns]
  Eigen::MatrixXd hessian;   ///< [unknowns x unknowns], of the energy less forces times gaps, along the ties
  Eigen::MatrixXd rows;      ///< [bounds x unknowns] gradient of every gap
  Eigen::VectorXd scale;     ///< [unknowns] mm of motion for a unit of each unknown
  std::vector<MemberWork> members;
};

inline constexpr double bound_stiffness_n_per_mm = 1e2;

/// Sizes the workspace for a system and lists its bounds.
void prepare(const System& system, Work& work);

/// Energy only, bounds soft. q must satisfy the ties.
double soft_energy(const System& system, const State& state, double load_share, Work& work);

/// Greatest difference of two states, radians counted in mm.
double distance_mm(const System& system, const State& a, const State& b);

/// How far a stop is from being met. @param bound  one that is no contact
double gap_of_stop(const System& system, const State& state, const Bound& bound, Work& work);

/// Energy, gradient, Hessian, gaps and rows at a state that satisfies the ties.
void evaluate(const System& system, const State& state, Bounds bounds, Work& work);

/// The state moved by a step of the unknowns and closed again. @returns false where it does not close
bool moved(const System& system, const State& state, const Eigen::VectorXd& step, Work& work, State& out);

/// Largest motion in a step, in mm.
double step_size_mm(const Work& work, const Eigen::VectorXd& step);

/// A point of a member's plane on the vehicle [mm], and a wheel's centre there: beside the plane.
Vec3 plane_point(const Member& member, const Vec2& p_C);
Vec3 wheel_point(const Member& member, const Tread& tread, const Vec2& centre_C);
/// Height of a vehicle point above the floor: h - sin(p) x + cos(p) (sin(r) y + cos(r) z).
double height_of(const State& state, const Vec3& point_mm);
/// A vehicle point turned level with the floor, relative to the vehicle's origin.
Vec3 levelled(const State& state, const Vec3& point_mm);
Vec2 wheel_centre(const Mechanism& mechanism, int wheel, const Eigen::VectorXd& q);

/// A wheel of a system, its linkage at some q.
struct PlacedWheel {
  std::size_t member = 0, wheel = 0;
  const Tread* tread = nullptr;
  Vec2 centre_C_mm = Vec2::Zero();  ///< in the chassis grid of its linkage
  Vec3 point_mm = Vec3::Zero();     ///< on the vehicle
};

/// All wheels, member by member. The body's pose does not matter.
std::vector<PlacedWheel> placed_wheels(const System& system, const State& state);

}  // namespace ridepitch
