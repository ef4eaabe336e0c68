#include "steer/steering.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/margins.hpp"
#include "steer/drive_train.hpp"
#include "steer/effort.hpp"
#include "steer/ideal.hpp"
#include "steer/knuckle.hpp"
#include "steer/steer_findings.hpp"

namespace ridepitch {
namespace {

constexpr int curve_points = 201;
constexpr double not_turned_rad = 1e-9;   // turned less, a vehicle goes straight on
constexpr double farthest_mm = 1e7;       // a turn centre beyond is no turn
constexpr double assumed_friction = 0.8;  // rubber on a table; common practice, no source

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
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
    if (linkage.plane == Plane::top) continue;
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      const WheelResult& wheel = solution.corners[c].wheels[w];
      wheels.push_back({corner.name + "/" + wheel.name, from_above(corner, linkage.plane, wheel.centre_C_mm),
                        linkage.wheels[w].tyre.width_mm, wheel.ground_load_n, false});
    }
  }
  return wheels;
}

/// A wheel of a steering, ready to be read off.
struct WheelGauge {
  const Wheel* wheel = nullptr;
  BodyPoint at;
  double toe_rad = 0;           ///< heading with the drive at 0
  double theta_0 = 0;           ///< angle of its body there
  Vec2 king_mm = Vec2::Zero();  ///< vehicle axes
  const StandingWheel* same = nullptr;
  double torque_n_mm = 0;  ///< that turns it about its kingpin
};

/// Left and right wheel of an axle, by index; a wheel in the middle stands alone.
struct SteeredAxle {
  int left = -1, right = -1;
  double track_mm = 0;
  double x_mm = 0;  ///< mean of the centres, the drive at 0
};

struct Instance {
  int corner = 0;
  TrainedDrive* drive = nullptr;
  std::vector<WheelGauge> wheels;
  std::vector<SteeredAxle> axles;
  std::vector<int> alone;
  DriveWorkspace room;
  std::vector<Turn> turns;
};

struct Drives {
  const Model& model;
  const Solution& solution;
  std::vector<StandingWheel> standing;
  DriveTrains trains;
  std::vector<Instance> instances;
  std::optional<double> line_x_mm;  ///< mean x of the unsteered wheels
};

/// Wheels to the left and right that stand beside each other make an axle.
void pair_wheels(const std::vector<SteeredWheel>& wheels, Instance& instance) {
  std::vector<bool> taken(wheels.size(), false);
  for (std::size_t i = 0; i < wheels.size(); ++i) {
    const Vec2& p = wheels[i].centre_mm;
    if (taken[i] || p.y() <= 0) continue;
    int best = -1;
    for (std::size_t j = 0; j < wheels.size(); ++j) {
      const double along = std::abs(wheels[j].centre_mm.x() - p.x());
      if (taken[j] || wheels[j].centre_mm.y() >= 0 || along > instance.wheels[i].wheel->tyre.diameter_mm / 2) continue;
      if (best < 0 || along < std::abs(wheels[static_cast<std::size_t>(best)].centre_mm.x() - p.x()))
        best = static_cast<int>(j);
    }
    if (best < 0) continue;
    const auto j = static_cast<std::size_t>(best);
    taken[i] = taken[j] = true;
    instance.axles.push_back({static_cast<int>(i), best, std::abs(wheels[i].king_mm.y() - wheels[j].king_mm.y()),
                              0.5 * (p.x() + wheels[j].centre_mm.x())});
  }
  for (std::size_t i = 0; i < wheels.size(); ++i)
    if (!taken[i]) instance.alone.push_back(static_cast<int>(i));
}

// ------------------------------------------------------------------------------------ one place

/// Where the linkage of a steering stands: q of every instance of its train, the others at 0.
using Places = std::vector<Eigen::VectorXd>;

void place_all(Drives& scene, const Instance& moved, double drive, Places& places) {
  places.resize(scene.instances.size());
  const double head = drive / drive_unit(*moved.drive) / moved.drive->factor;
  for (std::size_t i = 0; i < scene.instances.size(); ++i) {
    Instance& instance = scene.instances[i];
    TrainedDrive& other = *instance.drive;
    double value = 0;
    if (&instance == &moved)
      value = drive;
    else if (other.leader == moved.drive->leader)
      value = std::clamp(head * other.factor * drive_unit(other), other.range[0], other.range[1]);
    place_drive(other.way, value, instance.room, places[i]);
  }
}

double steer_rad(const Drives& scene, const Instance& instance, const WheelGauge& wheel, const Eigen::VectorXd& q) {
  if (wheel.at.body == ground) return 0;
  return u_sign(scene.model.corners[static_cast<std::size_t>(instance.corner)]) *
         (q[3 * wheel.at.body + 2] - wheel.theta_0);
}

std::vector<WheelLine> wheel_lines(const Drives& scene, Instance& instance, const Eigen::VectorXd& q) {
  std::vector<WheelLine> lines;
  set_turns(q, instance.turns);
  const Corner& corner = scene.model.corners[static_cast<std::size_t>(instance.corner)];
  for (const WheelGauge& wheel : instance.wheels)
    lines.push_back({from_above(corner, Plane::top, position(wheel.at, q, instance.turns)),
                     wheel.toe_rad + steer_rad(scene, instance, wheel, q)});
  return lines;
}

/// How the vehicle turns at one place of a steering.
struct Turning {
  int way = 0;  ///< +1 to the left, -1 to the right, 0 straight on or unknown
  std::optional<Vec2> centre_mm;
  std::optional<double> radius_mm;  ///< to the outer steered wheel
  std::optional<double> error_rad;
  std::optional<double> circle_mm, kerb_mm;
};

double sign_of(double x) { return x < 0 ? -1 : 1; }

Turning turning_at(Drives& scene, std::size_t index, const Places& places) {
  Instance& instance = scene.instances[index];
  const std::vector<WheelLine> lines = wheel_lines(scene, instance, places[index]);
  std::vector<double> angle;
  double mean = 0;
  for (const WheelGauge& wheel : instance.wheels) {
    angle.push_back(steer_rad(scene, instance, wheel, places[index]));
    mean += angle.back() / static_cast<double>(instance.wheels.size());
  }
  Turning out;
  double x_mean = 0;
  for (const SteeredAxle& axle : instance.axles) x_mean += 2 * axle.x_mm;
  for (const int w : instance.alone) x_mean += scene.instances[index].wheels[static_cast<std::size_t>(w)].king_mm.x();
  x_mean /= static_cast<double>(std::max<std::size_t>(1, lines.size()));
  if (std::abs(mean) > not_turned_rad)
    out.way = static_cast<int>(sign_of(mean) * (scene.line_x_mm ? sign_of(x_mean - *scene.line_x_mm) : 1));

  for (const SteeredAxle& axle : instance.axles) {
    if (!scene.line_x_mm) break;
    const double wheelbase = axle.x_mm - *scene.line_x_mm;
    if (std::abs(wheelbase) < 1e-6) continue;
    const double left = angle[static_cast<std::size_t>(axle.left)], right = angle[static_cast<std::size_t>(axle.right)];
    const bool to_left = (left + right) * wheelbase > 0;
    const double error =
        ackermann_error_rad(to_left ? left : right, to_left ? right : left, axle.track_mm, std::abs(wheelbase));
    if (!out.error_rad || std::abs(error) > std::abs(*out.error_rad)) out.error_rad = error;
  }
  if (out.way == 0) return out;

  if (scene.line_x_mm) {
    std::vector<int> outer = instance.alone;
    for (const SteeredAxle& axle : instance.axles) {
      const double sum = angle[static_cast<std::size_t>(axle.left)] + angle[static_cast<std::size_t>(axle.right)];
      outer.push_back(sum * (axle.x_mm - *scene.line_x_mm) > 0 ? axle.right : axle.left);
    }
    for (const int w : outer) {
      const WheelLine& line = lines[static_cast<std::size_t>(w)];
      const auto centre = turn_centre(line, *scene.line_x_mm);
      if (!centre) continue;
      const double radius = (*centre - line.centre_mm).norm();
      if (radius > farthest_mm || (out.radius_mm && radius < *out.radius_mm)) continue;
      out.radius_mm = radius;
      out.centre_mm = centre;
    }
  } else {
    std::vector<WheelLine> all;
    for (std::size_t i = 0; i < scene.instances.size(); ++i)
      for (const WheelLine& line : wheel_lines(scene, scene.instances[i], places[i])) all.push_back(line);
    out.centre_mm = turn_centre(all);
    if (out.centre_mm && out.centre_mm->norm() > farthest_mm) out.centre_mm.reset();
    if (out.centre_mm) {
      for (const WheelLine& line : lines)
        out.radius_mm = std::max(out.radius_mm.value_or(0), (*out.centre_mm - line.centre_mm).norm());
      out.way = static_cast<int>(sign_of(out.centre_mm->y()));
    }
  }
  if (!out.centre_mm) return out;

  double outermost = -1, width = 0;
  const auto look = [&](const Vec2& centre, double width_mm) {
    const double radius = (*out.centre_mm - centre).norm();
    if (radius < outermost) return;
    outermost = radius;
    width = width_mm;
  };
  for (std::size_t i = 0; i < scene.instances.size(); ++i) {
    const auto others = wheel_lines(scene, scene.instances[i], places[i]);
    for (std::size_t w = 0; w < others.size(); ++w)
      look(others[w].centre_mm, scene.instances[i].wheels[w].wheel->tyre.width_mm);
  }
  for (const StandingWheel& wheel : scene.standing)
    if (!wheel.steered) look(wheel.centre_mm, wheel.width_mm);
  out.circle_mm = 2 * outermost;
  if (width > 0) out.kerb_mm = 2 * outermost + width;
  return out;
}

// ------------------------------------------------------------------------------------ a steering

std::vector<SteerPoint> sweep_points(Drives& scene, std::size_t index, int points,
                                     std::vector<std::vector<Pose>>* poses) {
  Instance& instance = scene.instances[index];
  TrainedDrive& drive = *instance.drive;
  const DriveSweep sweep = sweep_drive(drive.way, drive.range[0], drive.range[1], points);
  std::vector<SteerPoint> out;
  Places places;
  for (std::size_t i = 0; i < sweep.drive.size(); ++i) {
    place_all(scene, instance, sweep.drive[i], places);
    places[index] = sweep.q.col(static_cast<Eigen::Index>(i));
    SteerPoint point;
    point.drive = sweep.drive[i] / drive_unit(drive);
    if (drive.per_turn) point.hand_turns = point.drive / *drive.per_turn;
    for (const WheelGauge& wheel : instance.wheels)
      point.steer_deg.push_back(deg_per_rad * steer_rad(scene, instance, wheel, places[index]));
    const Turning turning = turning_at(scene, index, places);
    if (turning.error_rad) point.ackermann_error_deg = deg_per_rad * *turning.error_rad;
    point.turn_radius_mm = turning.radius_mm;
    point.turn_centre_mm = turning.centre_mm;
    if (poses) poses->push_back(body_poses(places[index]));
    out.push_back(std::move(point));
  }
  return out;
}

/// What turning the wheels of a steering takes at its drive [N, or N mm for a radian of the crank]; not finite at a dead point.
double drive_effort(Instance& instance, const Eigen::VectorXd& q) {
  Eigen::VectorXd motion;
  drive_motion(instance.drive->way, q, instance.room, motion);
  double sum = 0;
  for (const WheelGauge& wheel : instance.wheels)
    if (wheel.at.body != ground) sum += wheel.torque_n_mm * std::abs(motion[3 * wheel.at.body + 2]);
  return sum;
}

std::optional<SteerEffort> effort_of(Drives& scene, std::size_t index) {
  Instance& instance = scene.instances[index];
  TrainedDrive& drive = *instance.drive;
  SteerEffort effort;
  effort.friction = scene.model.friction.tyre_mu.value_or(assumed_friction);
  effort.friction_given = scene.model.friction.tyre_mu.has_value();
  bool known = !instance.wheels.empty();
  for (const WheelGauge& wheel : instance.wheels) {
    known = known && wheel.same && wheel.same->ground_load_n;
    if (known) effort.load_n += *wheel.same->ground_load_n;
  }
  if (!known) return std::nullopt;
  // All that moves with this hand wheel resists it: the others of the train by what they move for one of its radians.
  const auto of_hand = [&](const Places& places) {
    double torque = 0;
    for (std::size_t i = 0; i < scene.instances.size(); ++i) {
      Instance& other = scene.instances[i];
      if (other.drive->leader != drive.leader) continue;
      const double per_rad = *other.drive->per_turn * drive_unit(*other.drive) / (2 * std::numbers::pi);
      torque += drive_effort(other, places[i]) * per_rad;
    }
    return torque;
  };
  const bool leads = drive.per_turn && drive.leader == drive.linkage;
  Places places;
  place_all(scene, instance, 0, places);
  effort.drive_at_centre = drive_effort(instance, places[index]);
  if (leads) effort.hand_at_centre_n_mm = of_hand(places);
  double most = 0, hand_most = 0;
  for (int i = 0; i < curve_points; ++i) {
    const double share = static_cast<double>(i) / (curve_points - 1);
    place_all(scene, instance, drive.range[0] + share * (drive.range[1] - drive.range[0]), places);
    // A greatest that is not finite stays so: max would drop a NaN.
    const double here = drive_effort(instance, places[index]);
    most = std::isfinite(here) ? std::max(most, here) : std::numeric_limits<double>::infinity();
    if (!leads) continue;
    const double hand = of_hand(places);
    hand_most = std::isfinite(hand) ? std::max(hand_most, hand) : std::numeric_limits<double>::infinity();
  }
  const bool dead = drive.ends[0].name.ends_with("dead point") || drive.ends[1].name.ends_with("dead point");
  if (std::isfinite(most) && !dead) effort.drive_at_most = most;
  if (leads && std::isfinite(hand_most) && !dead) effort.hand_at_most_n_mm = hand_most;
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

/// Locks, circles and shares of the two ends, sorted by which way the vehicle turns there.
void read_locks(Drives& scene, std::size_t index, Steering& steering) {
  Instance& instance = scene.instances[index];
  TrainedDrive& drive = *instance.drive;
  std::array<double, 2> turned{};  // how far, by [left, right]: the farther end counts where both go one way
  for (std::size_t e = 0; e < 2; ++e) {
    Places places;
    place_all(scene, instance, drive.range[e], places);
    for (std::size_t w = 0; w < instance.wheels.size(); ++w)
      steering.wheels[w].lock_deg[e] = deg_per_rad * steer_rad(scene, instance, instance.wheels[w], places[index]);
    const DriveAnchor& end = e == 0 ? drive.way.anchors.front() : drive.way.anchors.back();
    if (drive.range[e] == end.drive && end.inverse.size() == 0) {
      steering.rod_margin_deg[e] = 0;
    } else {
      Eigen::VectorXd motion;
      drive_motion(drive.way, places[index], instance.room, motion);
      const Margins margins = margins_at(drive.way.mechanism, places[index], motion);
      if (margins.toggle_rad) steering.rod_margin_deg[e] = deg_per_rad * *margins.toggle_rad;
    }
    const Turning turning = turning_at(scene, index, places);
    if (turning.way == 0) continue;
    const std::size_t side = turning.way > 0 ? 0 : 1;
    double most = 0;
    for (const SteeredWheel& wheel : steering.wheels) most = std::max(most, std::abs(wheel.lock_deg[e]));
    if (most < turned[side]) continue;
    turned[side] = most;
    steering.lock_radius_mm[side] = turning.radius_mm;
    steering.turn_circle_mm[side] = turning.circle_mm;
    steering.kerb_circle_mm[side] = turning.kerb_mm;
    if (instance.axles.empty()) {
      steering.inner_lock_deg[side] = most;
      continue;
    }
    const SteeredAxle& axle = instance.axles.front();
    const auto inner = static_cast<std::size_t>(side == 0 ? axle.left : axle.right);
    const auto outer = static_cast<std::size_t>(side == 0 ? axle.right : axle.left);
    steering.inner_lock_deg[side] = std::abs(steering.wheels[inner].lock_deg[e]);
    steering.outer_lock_deg[side] = std::abs(steering.wheels[outer].lock_deg[e]);
    if (steering.wheelbase_mm && scene.line_x_mm)
      steering.ackermann_percent[side] =
          ackermann_percent(*steering.inner_lock_deg[side] * rad_per_deg, *steering.outer_lock_deg[side] * rad_per_deg,
                            axle.track_mm, std::abs(axle.x_mm - *scene.line_x_mm));
  }
}

/// What travel does to its wheels, and what they come near.
void read_bump(Drives& scene, std::size_t index, bool with_room, Steering& steering) {
  Instance& instance = scene.instances[index];
  TrainedDrive& drive = *instance.drive;
  if (scene.standing.empty() || scene.solution.corners.size() != scene.model.corners.size()) return;
  std::array<std::vector<Pose>, 2> locks;
  for (std::size_t e = 0; e < 2; ++e) {
    Eigen::VectorXd q;
    place_drive(drive.way, drive.range[e], instance.room, q);
    locks[e] = body_poses(q);
  }
  steering.bump = bump_steer(scene.model, scene.solution, instance.corner, locks);
  if (!with_room) return;
  Room room = room_at_lock(scene.model, scene.solution, instance.corner, &drive.way, drive.range);
  if (!room.gaps.empty()) steering.room = std::move(room);
}

std::array<std::optional<double>, 2> wanted_range(const Linkage& linkage) {
  const Drive& drive = *linkage.drive;
  if (drive.slide) {
    const auto& stroke = linkage.slides[static_cast<std::size_t>(*drive.slide)].stroke_mm;
    if (stroke) return {(*stroke)[0], (*stroke)[1]};
  } else if (drive.range_rad) {
    return {(*drive.range_rad)[0] * deg_per_rad, (*drive.range_rad)[1] * deg_per_rad};
  }
  return {};
}

Steering steering_of(Drives& scene, std::size_t index, std::vector<SteeredWheel> wheels, const SteerOptions& options) {
  Instance& instance = scene.instances[index];
  TrainedDrive& drive = *instance.drive;
  const Linkage& linkage = scene.model.linkages[static_cast<std::size_t>(drive.linkage)];
  Steering steering;
  steering.name = scene.model.corners[static_cast<std::size_t>(instance.corner)].name;
  steering.corner = instance.corner;
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
  steering.wheels = std::move(wheels);
  if (!steering.wheels.empty() && scene.line_x_mm) {
    double x = 0;
    for (const SteeredWheel& wheel : steering.wheels)
      x += wheel.centre_mm.x() / static_cast<double>(steering.wheels.size());
    steering.wheelbase_mm = std::abs(x - *scene.line_x_mm);
    steering.behind = x < *scene.line_x_mm;
  }
  if (!instance.axles.empty()) steering.track_mm = instance.axles.front().track_mm;

  if (drive.per_turn) {
    if (!drive.turns) steering.rack_mm_per_turn = drive.per_turn;
    steering.turns_lock_to_lock = (steering.range[1] - steering.range[0]) / *drive.per_turn;
  }
  Places places;
  place_all(scene, instance, 0, places);
  Eigen::VectorXd motion;
  drive_motion(drive.way, places[index], instance.room, motion);
  double mean_rate = 0;
  for (std::size_t w = 0; w < steering.wheels.size(); ++w) {
    const int body = instance.wheels[w].at.body;
    if (body == ground) continue;
    steering.wheels[w].rate_deg = u_sign(scene.model.corners[static_cast<std::size_t>(instance.corner)]) *
                                  motion[3 * body + 2] * deg_per_rad * drive_unit(drive);
    mean_rate += steering.wheels[w].rate_deg / static_cast<double>(steering.wheels.size());
  }
  if (drive.per_turn && std::abs(mean_rate) > 1e-9)
    steering.steering_ratio = 360 / *drive.per_turn / std::abs(mean_rate);

  read_locks(scene, index, steering);
  steering.sweep = sweep_points(scene, index, options.points, &steering.poses);
  steering.curve = options.points == curve_points ? steering.sweep : sweep_points(scene, index, curve_points, nullptr);
  count_errors(steering);
  steering.effort = effort_of(scene, index);
  read_bump(scene, index, options.room, steering);
  return steering;
}

// ------------------------------------------------------------------------------------ the scene

StandingWheel* find_standing(std::vector<StandingWheel>& wheels, const std::string& name) {
  const auto found =
      std::find_if(wheels.begin(), wheels.end(), [&](const StandingWheel& wheel) { return wheel.name == name; });
  return found == wheels.end() ? nullptr : &*found;
}

std::optional<Problem> too_far(const Model& model, const Linkage& linkage, const SteeredWheel& wheel,
                               const StandingWheel& same, Place place) {
  const double apart = (wheel.centre_mm - same.centre_mm).norm();
  if (apart <= model.module_mm * (1 + 1e-9)) return std::nullopt;
  const auto modules = [&](const Vec2& p) {
    return fmt::format("[{:.4g}, {:.4g}]", p.x() / model.module_mm, p.y() / model.module_mm);
  };
  Problem problem;
  problem.place = place;
  problem.code = "same-as-far";
  problem.text =
      fmt::format("wheel '{}' of linkage '{}' is drawn {:.3g} modules from '{}', the wheel that it is the same as",
                  wheel.name, linkage.name, apart / model.module_mm, same.name);
  for (const Wheel& each : linkage.wheels)
    if (each.name == wheel.name)
      problem.hint =
          fmt::format("it stands at {} of the vehicle's x and y, and '{}' rests at {}: move the corner, or hole '{}'",
                      modules(wheel.centre_mm), same.name, modules(same.centre_mm), hole_name(linkage, each.at));
  return problem;
}

Problem nothing_steered(const Model& model) {
  Problem problem;
  problem.place = {.file = 0};
  problem.code = "no-steering";
  problem.text = "nothing is steered: no corner uses a linkage in the top plane";
  problem.hint =
      "draw the steering from above as a linkage with plane = \"top\" and a [linkage.NAME.drive], and give it a corner";
  for (const Corner& corner : model.corners) {
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
    if (linkage.plane != Plane::top || linkage.drive) continue;
    problem.place = linkage.place;
    problem.text =
        fmt::format("nothing is steered: linkage '{}' lies in the top plane, but has no drive", linkage.name);
    problem.hint = fmt::format("add: [linkage.{}.drive] with slide = \"...\" or pin = \"...\"", linkage.name);
    break;
  }
  return problem;
}

/// Where the kingpin's axis meets the ground: below the kingpin, but for its caster and inclination.
Vec2 king_foot(const Drives& scene, const Corner& corner, const SteeredWheel& wheel, const Wheel& drawn) {
  if (!drawn.king_rad || !wheel.has_king) return wheel.king_mm;
  const double height =
      scene.solution.vehicle ? scene.solution.vehicle->height_mm + corner.at_mm.z() : drawn.tyre.diameter_mm / 2;
  return wheel.king_mm +
         height * Vec2(std::tan((*drawn.king_rad)[0]), sign_of(wheel.centre_mm.y()) * std::tan((*drawn.king_rad)[1]));
}

std::vector<SteeredWheel> read_wheels(Drives& scene, Instance& instance, std::vector<Problem>& problems) {
  const Corner& corner = scene.model.corners[static_cast<std::size_t>(instance.corner)];
  const Linkage& linkage = scene.model.linkages[static_cast<std::size_t>(corner.linkage)];
  const Eigen::VectorXd& q = instance.drive->assembly.q;
  instance.turns.resize(static_cast<std::size_t>(instance.drive->way.mechanism.bodies));
  set_turns(q, instance.turns);
  std::vector<SteeredWheel> wheels;
  for (const Wheel& drawn : linkage.wheels) {
    WheelGauge gauge;
    gauge.wheel = &drawn;
    gauge.at = body_point(linkage, drawn.at);
    if (gauge.at.body != ground) gauge.theta_0 = q[3 * gauge.at.body + 2];
    const Vec2 a = drawn.ahead.value_or(Vec2::UnitX());
    const double c = std::cos(gauge.theta_0), s = std::sin(gauge.theta_0);
    gauge.toe_rad = std::atan2(s * a.x() + c * a.y(), u_sign(corner) * (c * a.x() - s * a.y()));
    SteeredWheel wheel;
    wheel.name = drawn.name;
    wheel.same_as = drawn.same_as;
    wheel.toe_deg = deg_per_rad * gauge.toe_rad;
    wheel.centre_mm = from_above(corner, Plane::top, position(gauge.at, q, instance.turns));
    const auto king = drawn.at.body == chassis ? std::nullopt : kingpin_hole(linkage, drawn.at.body);
    wheel.has_king = king.has_value();
    wheel.king_mm = gauge.king_mm =
        king ? from_above(corner, Plane::top, body_point(linkage, *king).p_B) : wheel.centre_mm;
    if (StandingWheel* same = find_standing(scene.standing, drawn.same_as)) {
      same->steered = true;
      gauge.same = same;
      if (auto problem = too_far(scene.model, linkage, wheel, *same, drawn.place)) problems.push_back(*problem);
    }
    const Vec2 r = wheel.centre_mm - king_foot(scene, corner, wheel, drawn);
    const Vec2 heading(std::cos(gauge.toe_rad), std::sin(gauge.toe_rad)), axis(-heading.y(), heading.x());
    wheel.scrub_radius_mm = r.dot(axis) * sign_of(wheel.centre_mm.y()) * sign_of(axis.y());
    if (gauge.same && gauge.same->ground_load_n)
      gauge.torque_n_mm = scrub_torque_n_mm({.load_n = *gauge.same->ground_load_n,
                                             .friction = scene.model.friction.tyre_mu.value_or(assumed_friction),
                                             .width_mm = drawn.tyre.width_mm,
                                             .beside_mm = r.dot(axis),
                                             .before_mm = r.dot(heading)});
    instance.wheels.push_back(gauge);
    wheels.push_back(std::move(wheel));
  }
  pair_wheels(wheels, instance);
  return wheels;
}

}  // namespace

SteerResult steer(const Model& model, const Solution& solution, const SteerOptions& options) {
  SteerResult out;
  Drives scene{model, solution, standing_wheels(model, solution), find_drive_trains(model), {}, {}};
  out.problems = std::move(scene.trains.problems);
  if (!out.problems.empty()) return out;
  for (std::size_t c = 0; c < model.corners.size(); ++c)
    for (TrainedDrive& drive : scene.trains.drives) {
      if (drive.linkage != model.corners[c].linkage ||
          model.linkages[static_cast<std::size_t>(drive.linkage)].plane != Plane::top)
        continue;
      Instance instance;
      instance.corner = static_cast<int>(c);
      instance.drive = &drive;
      prepare(drive.way, instance.room);
      scene.instances.push_back(std::move(instance));
    }
  if (scene.instances.empty()) {
    out.problems.push_back(nothing_steered(model));
    return out;
  }
  std::vector<std::vector<SteeredWheel>> wheels;
  for (Instance& instance : scene.instances) wheels.push_back(read_wheels(scene, instance, out.problems));
  if (!out.problems.empty()) return out;
  double x = 0;
  int unsteered = 0;
  for (const StandingWheel& wheel : scene.standing) {
    if (wheel.steered) continue;
    x += wheel.centre_mm.x();
    ++unsteered;
  }
  if (unsteered > 0) scene.line_x_mm = x / unsteered;
  Steered steered;
  for (std::size_t i = 0; i < scene.instances.size(); ++i)
    steered.steering.push_back(steering_of(scene, i, std::move(wheels[i]), options));
  steered.findings = judge_steering(steered.steering);
  out.steered = std::move(steered);
  return out;
}

}  // namespace ridepitch
