#include "steer/steering.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/margins.hpp"
#include "ride/pose.hpp"
#include "steer/drive_train.hpp"
#include "steer/effort.hpp"
#include "steer/ideal.hpp"
#include "steer/joints.hpp"
#include "steer/knuckle.hpp"
#include "steer/steer_findings.hpp"

namespace ridepitch {
namespace {

constexpr int curve_points = 201;
constexpr double not_turned_rad = 1e-9;      // turned less, a vehicle goes straight on
constexpr double farthest_mm = 1e7;          // a turn centre beyond is no turn
constexpr double least_wheelbase_mm = 1e-6;  // under that the steered wheels stand on the line of the unsteered ones
constexpr double least_rate_deg = 1e-9;      // a slower turn of the wheels has no steering ratio
constexpr double most_gain = 1e3;            // a part that moves so much farther than its drive is beside a dead point
constexpr double assumed_friction = 0.8;     // rubber on a table; common practice, no source

/// A point of a corner's plane from above, vehicle axes.
Vec2 from_above(const Corner& corner, Plane plane, const Vec2& p_C) { return on_vehicle(corner, plane, p_C).head<2>(); }

/// A sprung wheel at rest, from above.
struct StandingWheel {
  std::string name;  ///< "front left/hub"
  Vec2 centre_mm = Vec2::Zero();
  double width_mm = 0;
  std::optional<double> ground_load_n;
  bool steered = false;
};

std::vector<StandingWheel> standing_wheels(const Model& model, const Solution& solution) {
  std::vector<StandingWheel> wheels;
  for (std::size_t c = 0; c < std::min(model.corners.size(), solution.corners.size()); ++c) {
    const Corner& corner = model.corners[c];
    const Linkage& linkage = at(model.linkages, corner.linkage);
    if (linkage.plane == Plane::top) continue;
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      const WheelResult& wheel = solution.corners[c].wheels[w];
      const Wheel& drawn = linkage.wheels[w];
      wheels.push_back({corner.name + "/" + wheel.name,
                        wheel_on_vehicle(corner, linkage.plane, drawn, wheel.centre_C_mm).head<2>(),
                        drawn.tyre.width_mm, wheel.ground_load_n, false});
    }
  }
  return wheels;
}

/// A wheel of a steering, ready to be read off.
struct WheelGauge {
  const Wheel* drawn = nullptr;
  BodyPoint at;
  double toe_rad = 0;            ///< heading with the drive at 0
  double theta_0 = 0;            ///< angle of its body there
  std::optional<double> load_n;  ///< on the ground, where it is known
  double torque_n_mm = 0;        ///< that turns it about its kingpin
  SteeredWheel result;
};

/// Left and right wheel of an axle, by index; a wheel in the middle stands alone.
struct SteeredAxle {
  std::size_t left = 0, right = 0;
  double track_mm = 0;
  double x_mm = 0;  ///< mean of the centres, the drive at 0
};

/// A corner with a steering, and where its linkage stands.
struct Instance {
  int index = 0;  ///< of the corner
  const Corner* corner = nullptr;
  TrainedDrive* drive = nullptr;
  std::vector<WheelGauge> wheels;
  std::vector<SteeredAxle> axles;
  std::vector<std::size_t> alone;
  double x_mm = 0;  ///< mean of the wheels' centres, the drive at 0
  DriveWorkspace workspace;
  Eigen::VectorXd q;
  std::vector<Turn> turns;  ///< of q
};

struct Drives {
  const Model& model;
  const Solution& solution;
  std::vector<StandingWheel> standing;
  DriveTrains trains;
  std::vector<Instance> instances;
  std::optional<double> line_x_mm;  ///< mean x of the unsteered wheels
};

double sign_of(double x) { return x < 0 ? -1 : 1; }

// ------------------------------------------------------------------------------------ one place

/// Places the linkages of all steerings: those that follow one another as `moved` leads them, the others at 0.
void place_all(Drives& drives, const Instance& moved, double drive) {
  const double head = drive / drive_unit(*moved.drive) / moved.drive->factor;
  for (Instance& each : drives.instances) {
    TrainedDrive& own = *each.drive;
    double value = 0;
    if (&each == &moved)
      value = drive;
    else if (own.leader == moved.drive->leader)
      value = std::clamp(head * own.factor * drive_unit(own), own.range[0], own.range[1]);
    place_drive(own.path, value, each.workspace, each.q);
    set_turns(each.q, each.turns);
  }
}

double steer_rad(const Instance& instance, const WheelGauge& wheel) {
  if (wheel.at.body == ground) return 0;
  return u_sign(*instance.corner) * (instance.q[3 * wheel.at.body + 2] - wheel.theta_0);
}

WheelLine wheel_line(const Instance& instance, const WheelGauge& wheel) {
  return {from_above(*instance.corner, Plane::top, position(wheel.at, instance.q, instance.turns)),
          wheel.toe_rad + steer_rad(instance, wheel)};
}

/// How the vehicle turns at one place of a steering.
struct Turning {
  SteerPoint point;  ///< but for its drive
  int side = 0;      ///< +1 to the left, -1 to the right, 0 straight on or unknown
  std::optional<double> circle_mm, kerb_mm;
};

/// Inner and outer wheel of an axle: behind the unsteered wheels the vehicle turns away from where it is steered to.
std::array<std::size_t, 2> inner_and_outer(const SteeredAxle& axle, const std::vector<double>& steer,
                                           double line_x_mm) {
  const bool to_left = (steer[axle.left] + steer[axle.right]) * (axle.x_mm - line_x_mm) > 0;
  return to_left ? std::array{axle.left, axle.right} : std::array{axle.right, axle.left};
}

/// The error of the greatest magnitude over all axles.
void measure_error(const Instance& instance, double line_x_mm, SteerPoint& point) {
  for (const SteeredAxle& axle : instance.axles) {
    const double wheelbase = std::abs(axle.x_mm - line_x_mm);
    if (wheelbase < least_wheelbase_mm) continue;
    const auto [inner, outer] = inner_and_outer(axle, point.steer_deg, line_x_mm);
    const double error =
        deg_per_rad * ackermann_error_rad(rad_per_deg * point.steer_deg[inner], rad_per_deg * point.steer_deg[outer],
                                          axle.track_mm, wheelbase);
    auto& worst = point.ackermann_error_deg;
    if (!worst || std::abs(error) > std::abs(*worst)) worst = error;
  }
}

/// About a point of the unsteered wheels' line: of the outer steered wheels the one farthest from its own tells.
void turn_about_line(const Instance& instance, double line_x_mm, SteerPoint& point) {
  std::vector<std::size_t> outer = instance.alone;
  for (const SteeredAxle& axle : instance.axles) outer.push_back(inner_and_outer(axle, point.steer_deg, line_x_mm)[1]);
  for (const std::size_t w : outer) {
    const WheelLine line = wheel_line(instance, instance.wheels[w]);
    const auto centre = turn_centre(line, line_x_mm);
    const double radius = centre ? (*centre - line.centre_mm).norm() : farthest_mm;
    if (radius >= farthest_mm || radius < point.turn_radius_mm.value_or(0)) continue;
    point.turn_radius_mm = radius;
    point.turn_centre_mm = centre;
  }
}

/// Every axle is steered: about the point that is nearest to the axes of all wheels.
void turn_on_all_wheels(const Drives& drives, const Instance& instance, SteerPoint& point) {
  std::vector<WheelLine> all;
  for (const Instance& each : drives.instances)
    for (const WheelGauge& wheel : each.wheels) all.push_back(wheel_line(each, wheel));
  const auto centre = turn_centre(all);
  if (!centre || centre->norm() > farthest_mm) return;
  double radius = 0;
  for (const WheelGauge& wheel : instance.wheels)
    radius = std::max(radius, (*centre - wheel_line(instance, wheel).centre_mm).norm());
  point.turn_radius_mm = radius;
  point.turn_centre_mm = centre;
}

/// Circles of the wheel that runs farthest out.
void measure_circles(const Drives& drives, Turning& out) {
  double outermost = -1, width = 0;
  const auto look = [&](const Vec2& centre, double width_mm) {
    const double radius = (*out.point.turn_centre_mm - centre).norm();
    if (radius < outermost) return;
    outermost = radius;
    width = width_mm;
  };
  for (const Instance& each : drives.instances)
    for (const WheelGauge& wheel : each.wheels) look(wheel_line(each, wheel).centre_mm, wheel.drawn->tyre.width_mm);
  for (const StandingWheel& wheel : drives.standing)
    if (!wheel.steered) look(wheel.centre_mm, wheel.width_mm);
  out.circle_mm = 2 * outermost;
  if (width > 0) out.kerb_mm = 2 * outermost + width;
}

Turning turning_at(const Drives& drives, const Instance& instance) {
  Turning out;
  double sum = 0;
  for (const WheelGauge& wheel : instance.wheels) {
    const double angle = steer_rad(instance, wheel);
    out.point.steer_deg.push_back(deg_per_rad * angle);
    sum += angle;
  }
  const auto& line_x_mm = drives.line_x_mm;
  if (line_x_mm) measure_error(instance, *line_x_mm, out.point);
  if (!(std::abs(sum) > not_turned_rad * static_cast<double>(instance.wheels.size()))) return out;
  out.side = static_cast<int>(sign_of(sum) * (line_x_mm ? sign_of(instance.x_mm - *line_x_mm) : 1));
  if (line_x_mm)
    turn_about_line(instance, *line_x_mm, out.point);
  else
    turn_on_all_wheels(drives, instance, out.point);
  if (!out.point.turn_centre_mm) return out;
  if (!line_x_mm) out.side = static_cast<int>(sign_of(out.point.turn_centre_mm->y()));
  measure_circles(drives, out);
  return out;
}

// ------------------------------------------------------------------------------------ a steering

/// One of evenly spaced drives over the range.
double drive_at(const TrainedDrive& drive, int point, int points) {
  const auto [least, greatest] = drive.range;
  if (point + 1 == points) return greatest;
  const double value = least + static_cast<double>(point) / (points - 1) * (greatest - least);
  // The middle of a range that lies even about 0 is 0, not what rounding leaves of it.
  return std::abs(value) < 1e-12 * (greatest - least) ? 0 : value;
}

std::vector<SteerPoint> sweep_points(Drives& drives, Instance& instance, int points,
                                     std::vector<std::vector<Pose>>* poses) {
  const TrainedDrive& drive = *instance.drive;
  std::vector<SteerPoint> out;
  for (int i = 0; i < points; ++i) {
    const double value = drive_at(drive, i, points);
    place_all(drives, instance, value);
    SteerPoint& point = out.emplace_back(turning_at(drives, instance).point);
    point.drive = value / drive_unit(drive);
    if (drive.per_turn) point.hand_turns = point.drive / *drive.per_turn;
    if (poses) poses->push_back(body_poses(instance.q));
  }
  return out;
}

Eigen::VectorXd motion_of(Instance& instance) {
  Eigen::VectorXd motion;
  drive_motion(instance.drive->path, instance.q, instance.workspace, motion);
  return motion;
}

/// The same; NaN beside a dead point, where what it comes to hangs on digits that a double has not.
Eigen::VectorXd told_motion_of(Instance& instance) {
  Eigen::VectorXd motion = motion_of(instance);
  const Mechanism& mechanism = instance.drive->path.mechanism;
  const double drive_mm = instance.drive->turns ? mechanism.size_mm : 1;
  if (!(motion_mm(mechanism, motion) < most_gain * drive_mm))
    motion.setConstant(std::numeric_limits<double>::quiet_NaN());
  return motion;
}

/// What turning the wheels of a steering takes at its drive [N, or N mm for a radian of the crank]; NaN beside a dead point.
double drive_effort(Instance& instance) {
  const Eigen::VectorXd motion = told_motion_of(instance);
  double sum = 0;
  for (const WheelGauge& wheel : instance.wheels)
    if (wheel.at.body != ground) sum += wheel.torque_n_mm * std::abs(motion[3 * wheel.at.body + 2]);
  return sum;
}

/// What it takes at the hand wheel [N mm]. All that moves with it resists: the others of the train by what they move for
/// one of its radians.
double hand_effort(Drives& drives, int leader) {
  double torque = 0;
  for (Instance& each : drives.instances) {
    if (each.drive->leader != leader) continue;
    torque += drive_effort(each) * *each.drive->per_turn * drive_unit(*each.drive) / (2 * std::numbers::pi);
  }
  return torque;
}

std::optional<SteerEffort> effort_of(Drives& drives, Instance& instance) {
  const TrainedDrive& drive = *instance.drive;
  SteerEffort effort;
  effort.friction = drives.model.friction.tyre_mu.value_or(assumed_friction);
  effort.friction_given = drives.model.friction.tyre_mu.has_value();
  if (instance.wheels.empty()) return std::nullopt;
  for (const WheelGauge& wheel : instance.wheels) {
    if (!wheel.load_n) return std::nullopt;
    effort.load_n += *wheel.load_n;
  }
  const bool leads = drive.per_turn && drive.leader == drive.linkage;
  place_all(drives, instance, 0);
  effort.drive_at_centre = drive_effort(instance);
  if (leads) effort.hand_at_centre_n_mm = hand_effort(drives, drive.leader);
  if (drive.ends[0].name.ends_with("dead point") || drive.ends[1].name.ends_with("dead point")) return effort;
  double most = 0, hand_most = 0;
  // A greatest that is not finite stays so: max would drop a NaN.
  const auto raise = [](double& greatest, double here) {
    greatest = std::isfinite(here) ? std::max(greatest, here) : std::numeric_limits<double>::infinity();
  };
  for (int i = 0; i < curve_points; ++i) {
    place_all(drives, instance, drive_at(drive, i, curve_points));
    raise(most, drive_effort(instance));
    if (leads) raise(hand_most, hand_effort(drives, drive.leader));
  }
  if (std::isfinite(most)) effort.drive_at_most = most;
  if (leads && std::isfinite(hand_most)) effort.hand_at_most_n_mm = hand_most;
  return effort;
}

void count_errors(Steering& steering) {
  // Over the range by Simpson's rule: its points are evenly spaced, their number odd.
  double sum = 0, weights = 0;
  for (std::size_t i = 0; i < steering.curve.size(); ++i) {
    const SteerPoint& point = steering.curve[i];
    if (point.turn_radius_mm && (!steering.least_radius_mm || *point.turn_radius_mm < *steering.least_radius_mm))
      steering.least_radius_mm = point.turn_radius_mm;
    if (!point.ackermann_error_deg) continue;
    const double error = *point.ackermann_error_deg;
    if (!steering.worst_error_deg || std::abs(error) > std::abs(*steering.worst_error_deg)) {
      steering.worst_error_deg = error;
      steering.worst_error_at = point.drive;
    }
    const double weight = i == 0 || i + 1 == steering.curve.size() ? 1 : i % 2 == 1 ? 4 : 2;
    sum += weight * error * error;
    weights += weight;
  }
  if (weights > 0) steering.rms_error_deg = std::sqrt(sum / weights);
}

/// How far rods are from being perpendicular to their paths at an end of the range, where the linkage stands [deg].
std::optional<double> rod_margin_deg(Instance& instance, std::size_t e) {
  const TrainedDrive& drive = *instance.drive;
  const DriveAnchor& end = e == 0 ? drive.path.anchors.front() : drive.path.anchors.back();
  if (drive.range[e] == end.drive && end.inverse.size() == 0) return 0;  // a dead point
  const auto margin_rad = margins_at(drive.path.mechanism, instance.q, motion_of(instance)).toggle_rad;
  return margin_rad ? std::optional(deg_per_rad * *margin_rad) : std::nullopt;
}

/// Locks, circles and shares of the two ends, sorted by the side that the vehicle turns to there.
void read_locks(Drives& drives, Instance& instance, Steering& steering) {
  std::array<double, 2> turned{};  // how far, by [left, right]: the farther end counts where both turn to one side
  for (std::size_t e = 0; e < 2; ++e) {
    place_all(drives, instance, instance.drive->range[e]);
    const Turning turning = turning_at(drives, instance);
    const std::vector<double>& steer_deg = turning.point.steer_deg;
    double most = 0;
    for (std::size_t w = 0; w < steer_deg.size(); ++w) {
      steering.wheels[w].lock_deg[e] = steer_deg[w];
      most = std::max(most, std::abs(steer_deg[w]));
    }
    steering.rod_margin_deg[e] = rod_margin_deg(instance, e);
    const std::size_t side = turning.side > 0 ? 0 : 1;
    if (turning.side == 0 || most < turned[side]) continue;
    turned[side] = most;
    steering.lock_radius_mm[side] = turning.point.turn_radius_mm;
    steering.turn_circle_mm[side] = turning.circle_mm;
    steering.kerb_circle_mm[side] = turning.kerb_mm;
    if (instance.axles.empty()) {
      steering.inner_lock_deg[side] = most;
      continue;
    }
    const SteeredAxle& axle = instance.axles.front();
    const double left = std::abs(steer_deg[axle.left]), right = std::abs(steer_deg[axle.right]);
    const double inner = side == 0 ? left : right, outer = side == 0 ? right : left;
    steering.inner_lock_deg[side] = inner;
    steering.outer_lock_deg[side] = outer;
    if (steering.wheelbase_mm)
      steering.ackermann_percent[side] = ackermann_percent(inner * rad_per_deg, outer * rad_per_deg, axle.track_mm,
                                                           std::abs(axle.x_mm - *drives.line_x_mm));
  }
}

/// What travel does to its wheels, and what they come near.
void read_bump(Drives& drives, Instance& instance, const SteerOptions& options, Steering& steering) {
  TrainedDrive& drive = *instance.drive;
  if (drives.standing.empty() || drives.solution.corners.size() != drives.model.corners.size()) return;
  steering.bump =
      bump_steer(drives.model, drives.solution, instance.index, {steering.poses.front(), steering.poses.back()});
  if (!options.clearance) return;
  LockClearance found = find_lock_clearance(drives.model, drives.solution, instance.index, &drive.path, drive.range,
                                            usual_clearance_cells, options.only_findings);
  if (!found.gaps.empty()) steering.clearance = std::move(found);
}

/// What binds over its lock and the travel of its wheels.
void add_joints(Drives& drives, Instance& instance, std::vector<Finding>& findings) {
  TrainedDrive& drive = *instance.drive;
  const std::vector<Finding> found =
      judge_joints(steered_joint_reaches(drives.model, drives.solution, instance.index, &drive.path, drive.range));
  findings.insert(findings.end(), found.begin(), found.end());
}

std::array<std::optional<double>, 2> wanted_range(const Linkage& linkage) {
  const Drive& drive = *linkage.drive;
  if (drive.slide) {
    if (const auto& stroke = at(linkage.slides, *drive.slide).stroke_mm) return {(*stroke)[0], (*stroke)[1]};
  } else if (drive.range_rad) {
    return {(*drive.range_rad)[0] * deg_per_rad, (*drive.range_rad)[1] * deg_per_rad};
  }
  return {};
}

/// How fast its wheels turn with the drive at 0, and what the hand wheel has to do with that.
void read_rates(Drives& drives, Instance& instance, Steering& steering) {
  const TrainedDrive& drive = *instance.drive;
  place_all(drives, instance, 0);
  const Eigen::VectorXd motion = told_motion_of(instance);
  double mean_rate = 0;
  for (std::size_t w = 0; w < steering.wheels.size(); ++w) {
    const int body = instance.wheels[w].at.body;
    if (body == ground) continue;
    double& rate = steering.wheels[w].rate_deg;
    rate = u_sign(*instance.corner) * motion[3 * body + 2] * deg_per_rad * drive_unit(drive);
    mean_rate += rate / static_cast<double>(steering.wheels.size());
  }
  if (!drive.per_turn) return;
  if (!drive.turns) steering.rack_mm_per_turn = drive.per_turn;
  steering.turns_lock_to_lock = (steering.range[1] - steering.range[0]) / *drive.per_turn;
  if (std::abs(mean_rate) > least_rate_deg) steering.steering_ratio = 360 / *drive.per_turn / std::abs(mean_rate);
}

/// Each hand wheel of a drive: the first one's numbers, which are the drive's own, by the other's gears.
std::vector<HandWheel> hand_wheels(const Linkage& linkage, const Steering& steering) {
  std::vector<HandWheel> out;
  for (const Hand& hand : linkage.hands) {
    const double ratio = ratio_of(hand), more = ratio / linkage.drive->gear_ratio;
    const auto times = [](const std::optional<double>& value, double by) {
      return value ? std::optional(*value * by) : std::nullopt;
    };
    HandWheel wheel;
    wheel.name = hand.name;
    wheel.ratio = ratio;
    wheel.rack_mm_per_turn = times(steering.rack_mm_per_turn, 1 / more);
    wheel.turns_lock_to_lock = times(steering.turns_lock_to_lock, more);
    wheel.steering_ratio = times(steering.steering_ratio, more);
    if (steering.effort) {
      wheel.at_centre_n_mm = times(steering.effort->hand_at_centre_n_mm, 1 / more);
      wheel.at_most_n_mm = times(steering.effort->hand_at_most_n_mm, 1 / more);
    }
    out.push_back(std::move(wheel));
  }
  return out;
}

Steering steering_of(Drives& drives, Instance& instance, const SteerOptions& options) {
  const TrainedDrive& drive = *instance.drive;
  const Linkage& linkage = at(drives.model.linkages, drive.linkage);
  Steering steering;
  steering.name = instance.corner->name;
  steering.corner = instance.index;
  steering.linkage = drive.linkage;
  steering.crank = drive.turns;
  steering.follows = linkage.drive->follows;
  steering.ratio = linkage.drive->ratio;
  for (std::size_t e = 0; e < 2; ++e) {
    steering.range[e] = drive.range[e] / drive_unit(drive);
    steering.ends[e] = drive.ends[e].name;
    steering.end_parts[e] = drive.ends[e].with;
  }
  steering.wanted = wanted_range(linkage);
  for (const WheelGauge& wheel : instance.wheels) steering.wheels.push_back(wheel.result);
  if (!steering.wheels.empty() && drives.line_x_mm) {
    steering.wheelbase_mm = std::abs(instance.x_mm - *drives.line_x_mm);
    steering.behind = instance.x_mm < *drives.line_x_mm;
  }
  if (!instance.axles.empty()) steering.track_mm = instance.axles.front().track_mm;
  read_rates(drives, instance, steering);
  read_locks(drives, instance, steering);
  steering.sweep = sweep_points(drives, instance, options.points, &steering.poses);
  steering.curve =
      options.points == curve_points ? steering.sweep : sweep_points(drives, instance, curve_points, nullptr);
  count_errors(steering);
  if (!options.only_findings) steering.effort = effort_of(drives, instance);
  steering.hands = hand_wheels(linkage, steering);
  read_bump(drives, instance, options, steering);
  return steering;
}

// ------------------------------------------------------------------------------------ all of them

std::optional<Problem> too_far(const Model& model, const Linkage& linkage, const Wheel& drawn, const Vec2& centre_mm,
                               const StandingWheel& same) {
  const double apart = (centre_mm - same.centre_mm).norm();
  if (apart <= model.module_mm * (1 + 1e-9)) return std::nullopt;
  const auto modules = [&](const Vec2& p) {
    return fmt::format("[{:.4g}, {:.4g}]", p.x() / model.module_mm, p.y() / model.module_mm);
  };
  return Problem{.place = drawn.place,
                 .code = "same-as-far",
                 .text = fmt::format(
                     "wheel '{}' of linkage '{}' is drawn {:.3g} modules from '{}', the wheel that it is the same as",
                     drawn.name, linkage.name, apart / model.module_mm, same.name),
                 .hint = fmt::format(
                     "it stands at {} of the vehicle's x and y, and '{}' rests at {}: move the corner, or hole '{}'",
                     modules(centre_mm), same.name, modules(same.centre_mm), hole_name(linkage, drawn.at))};
}

Problem nothing_steered(const Model& model) {
  constexpr const char* code = "no-steering";
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Linkage& linkage = linkage_at(model, static_cast<int>(c));
    if (linkage.plane != Plane::top || linkage.drive) continue;
    return {
        .place = linkage.place,
        .code = code,
        .text = fmt::format("nothing is steered: linkage '{}' lies in the top plane, but has no drive", linkage.name),
        .hint = fmt::format("add: [linkage.{}.drive] with slide = \"...\" or pin = \"...\"", linkage.name)};
  }
  return {.place = {.file = 0},
          .code = code,
          .text = "nothing is steered: no corner uses a linkage in the top plane",
          .hint =
              "draw the steering from above as a linkage with plane = \"top\" and a [linkage.NAME.drive], and give it "
              "a corner"};
}

/// Where the kingpin's axis meets the ground: below the kingpin, but for its caster and inclination.
Vec2 kingpin_foot(const Drives& drives, const Corner& corner, const SteeredWheel& wheel, const Wheel& drawn) {
  if (!drawn.king_rad || !wheel.has_king) return wheel.king_mm;
  const auto [caster, inclination] = *drawn.king_rad;
  const double height =
      drives.solution.vehicle ? drives.solution.vehicle->height_mm + corner.at_mm.z() : drawn.tyre.diameter_mm / 2;
  return wheel.king_mm + height * Vec2(std::tan(caster), sign_of(wheel.centre_mm.y()) * std::tan(inclination));
}

WheelGauge read_wheel(Drives& drives, const Instance& instance, const Wheel& drawn, std::vector<Problem>& problems) {
  const Corner& corner = *instance.corner;
  const Linkage& linkage = linkage_at(drives.model, instance.index);
  WheelGauge gauge;
  gauge.drawn = &drawn;
  gauge.at = body_point(linkage, drawn.at);
  if (gauge.at.body != ground) gauge.theta_0 = instance.q[3 * gauge.at.body + 2];
  gauge.toe_rad = heading_rad(drawn_ahead(corner, drawn, gauge.theta_0));
  SteeredWheel& wheel = gauge.result;
  wheel.name = drawn.name;
  wheel.same_as = drawn.same_as;
  wheel.toe_deg = deg_per_rad * gauge.toe_rad;
  wheel.centre_mm = wheel_line(instance, gauge).centre_mm;
  const auto king = drawn.at.body == chassis ? std::nullopt : kingpin_hole(linkage, drawn.at.body);
  wheel.has_king = king.has_value();
  wheel.king_mm = king ? from_above(corner, Plane::top, body_point(linkage, *king).p_B) : wheel.centre_mm;
  Vec2 contact_mm = wheel.centre_mm;
  for (StandingWheel& same : drives.standing) {
    if (same.name != drawn.same_as) continue;
    same.steered = true;
    contact_mm = same.centre_mm;
    gauge.load_n = same.ground_load_n;
    if (auto problem = too_far(drives.model, linkage, drawn, wheel.centre_mm, same)) problems.push_back(*problem);
  }
  const Vec2 arm = contact_mm - kingpin_foot(drives, corner, wheel, drawn);
  const Vec2 heading(std::cos(gauge.toe_rad), std::sin(gauge.toe_rad)), axis(-heading.y(), heading.x());
  wheel.scrub_radius_mm = arm.dot(axis) * sign_of(wheel.centre_mm.y()) * sign_of(axis.y());
  if (gauge.load_n)
    gauge.torque_n_mm = scrub_torque_n_mm({.load_n = *gauge.load_n,
                                           .friction = drives.model.friction.tyre_mu.value_or(assumed_friction),
                                           .width_mm = drawn.tyre.width_mm,
                                           .beside_mm = arm.dot(axis),
                                           .before_mm = arm.dot(heading)});
  return gauge;
}

/// A wheel on the left and the one on the right that stands most nearly beside it make an axle.
void pair_wheels(Instance& instance) {
  const std::vector<WheelGauge>& wheels = instance.wheels;
  std::vector<bool> taken(wheels.size(), false);
  for (std::size_t left = 0; left < wheels.size(); ++left) {
    const SteeredWheel& one = wheels[left].result;
    if (taken[left] || one.centre_mm.y() <= 0) continue;
    const auto along = [&](std::size_t j) { return std::abs(wheels[j].result.centre_mm.x() - one.centre_mm.x()); };
    std::optional<std::size_t> right;
    for (std::size_t j = 0; j < wheels.size(); ++j) {
      if (taken[j] || wheels[j].result.centre_mm.y() >= 0 || along(j) > wheels[left].drawn->tyre.diameter_mm / 2)
        continue;
      if (!right || along(j) < along(*right)) right = j;
    }
    if (!right) continue;
    const SteeredWheel& other = wheels[*right].result;
    taken[left] = taken[*right] = true;
    instance.axles.push_back(
        {left, *right, std::abs(one.king_mm.y() - other.king_mm.y()), 0.5 * (one.centre_mm.x() + other.centre_mm.x())});
  }
  for (std::size_t i = 0; i < wheels.size(); ++i)
    if (!taken[i]) instance.alone.push_back(i);
}

void read_wheels(Drives& drives, Instance& instance, std::vector<Problem>& problems) {
  const std::vector<Wheel>& drawn = linkage_at(drives.model, instance.index).wheels;
  instance.q = instance.drive->assembly.q;
  instance.turns.resize(static_cast<std::size_t>(instance.drive->path.mechanism.bodies));
  set_turns(instance.q, instance.turns);
  for (const Wheel& wheel : drawn) {
    instance.wheels.push_back(read_wheel(drives, instance, wheel, problems));
    instance.x_mm += instance.wheels.back().result.centre_mm.x() / static_cast<double>(drawn.size());
  }
  pair_wheels(instance);
}

/// The line that the unsteered wheels stand on.
std::optional<double> unsteered_x_mm(const std::vector<StandingWheel>& standing) {
  double x = 0;
  int unsteered = 0;
  for (const StandingWheel& wheel : standing) {
    if (wheel.steered) continue;
    x += wheel.centre_mm.x();
    ++unsteered;
  }
  return unsteered > 0 ? std::optional(x / unsteered) : std::nullopt;
}

}  // namespace

SteerResult steer(const Model& model, const Solution& solution, const SteerOptions& options) {
  SteerResult out;
  Drives drives{model, solution, standing_wheels(model, solution), find_drive_trains(model), {}, {}};
  out.problems = std::move(drives.trains.problems);
  if (!out.problems.empty()) return out;
  for (std::size_t c = 0; c < model.corners.size(); ++c)
    for (TrainedDrive& drive : drives.trains.drives) {
      const int index = static_cast<int>(c);
      if (drive.linkage != model.corners[c].linkage || linkage_at(model, index).plane != Plane::top) continue;
      Instance& instance = drives.instances.emplace_back();
      instance.index = index;
      instance.corner = &model.corners[c];
      instance.drive = &drive;
      prepare(drive.path, instance.workspace);
    }
  if (drives.instances.empty()) {
    out.problems.push_back(nothing_steered(model));
    return out;
  }
  for (Instance& instance : drives.instances) read_wheels(drives, instance, out.problems);
  if (!out.problems.empty()) return out;
  drives.line_x_mm = unsteered_x_mm(drives.standing);
  Steered& steered = out.steered.emplace();
  for (Instance& instance : drives.instances) steered.steering.push_back(steering_of(drives, instance, options));
  steered.findings = judge_steering(steered.steering);
  for (Instance& instance : drives.instances) add_joints(drives, instance, steered.findings);
  return out;
}

namespace {

/// The first corner with a linkage drawn from above that has a drive; none: the end.
std::vector<Corner>::const_iterator first_steering(const Model& model) {
  return std::find_if(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    const Linkage& linkage = at(model.linkages, corner.linkage);
    return linkage.plane == Plane::top && linkage.drive;
  });
}

}  // namespace

bool is_steered(const Model& model) { return first_steering(model) != model.corners.end(); }

std::vector<Finding> steering_findings(const Model& model, const SteerResult& result) {
  const auto steering = first_steering(model);
  if (steering == model.corners.end()) return {};
  if (result.steered) return result.steered->findings;
  std::vector<Finding> found;
  for (const Problem& problem : result.problems)
    found.push_back({Level::problem, problem.code, steering->name, problem.text, problem.hint});
  return found;
}

}  // namespace ridepitch
