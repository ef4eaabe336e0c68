#include "steer/joints.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include <fmt/format.h>
#include <Eigen/Geometry>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/curve_place.hpp"
#include "steer/carry.hpp"
#include "steer/knuckle.hpp"
#include "steer/posed_drive.hpp"

namespace ridepitch {
namespace {

constexpr int grid = 7;                // places along each number that is moved: what joints do bends little
constexpr double finest = 1e-4;        // of a number's range, to which the greatest is drawn up
constexpr double no_length_mm = 1e-6;  // a shaft that is shorter has no direction
constexpr double rounding = 1e-9;      // a joint at its limit does not bind

// ------------------------------------------------------------------------------- the greatest over travel and lock

/// Everything that is moved: drive, travel of the wheel, travel of the wheel at the other end of its tie rod.
using Moved = std::array<double, 3>;
struct MovedRange {
  Moved low{}, high{};
};

struct Greatest {
  double value = -std::numeric_limits<double>::infinity();
  Moved at{};
};

/// Of several readings at once.
template <std::size_t n>
using Readings = std::optional<std::array<double, n>>;

/// A reading drawn up by steps along each number that halve.
template <std::size_t n, class Read>
void draw_up(const Read& read, const MovedRange& range, std::size_t which, Greatest& most) {
  for (double share = 0.5 / (grid - 1); share > finest; share /= 2)
    for (std::size_t i = 0; i < most.at.size(); ++i)
      for (const double side : {-1.0, 1.0}) {
        Moved next = most.at;
        next[i] = std::clamp(next[i] + side * share * (range.high[i] - range.low[i]), range.low[i], range.high[i]);
        if (next[i] == most.at[i]) continue;
        const Readings<n> readings = read(next);
        if (readings && (*readings)[which] > most.value) most = {(*readings)[which], next};
      }
}

/// The greatest of each reading, from the best place of a grid.
/// @param read  Readings<n>(const Moved&); none where the parts do not go together
template <std::size_t n, class Read>
std::array<Greatest, n> greatest_of(const Read& read, const MovedRange& range) {
  std::array<Greatest, n> most;
  const auto count = [&](std::size_t i) { return range.high[i] > range.low[i] ? grid : 1; };
  const auto value = [&](std::size_t i, int k) {
    return k == 0 ? range.low[i] : range.low[i] + k * (range.high[i] - range.low[i]) / (grid - 1);
  };
  for (int i = 0; i < count(0); ++i)
    for (int j = 0; j < count(1); ++j)
      for (int k = 0; k < count(2); ++k) {
        const Moved at{value(0, i), value(1, j), value(2, k)};
        const Readings<n> readings = read(at);
        if (!readings) continue;
        for (std::size_t r = 0; r < n; ++r)
          if ((*readings)[r] > most[r].value) most[r] = {(*readings)[r], at};
      }
  for (std::size_t r = 0; r < n; ++r)
    if (std::isfinite(most[r].value)) draw_up<n>(read, range, r, most[r]);
  return most;
}

// ------------------------------------------------------------------------------------------------- angles of joints

/// Between a direction and a plane, by the plane's normal.
double angle_to_plane(const Vec3& direction, const Vec3& normal) {
  return std::atan2(std::abs(direction.dot(normal)), direction.cross(normal).norm());
}

/// Between two lines.
double angle_of_lines(const Vec3& one, const Vec3& other) {
  return std::atan2(one.cross(other).norm(), std::abs(one.dot(other)));
}

/// Angle at the inner joint, at the outer one, length, length negated.
std::array<double, 4> shaft_readings(const Vec3& start_mm, const Vec3& centre_mm, const Vec3& axis) {
  const Vec3 along = centre_mm - start_mm;
  const double length = along.norm();
  const bool no_direction = length < no_length_mm;
  const auto angle = [&](const Vec3& to) { return no_direction ? std::numbers::pi / 2 : angle_of_lines(along, to); };
  return {angle(Vec3::UnitY()), angle(axis), length, -length};
}

// -------------------------------------------------------------------------------------------------------- the parts

/// Its centre at rest on the vehicle.
Vec3 centre_at_rest(const Model& model, const Solution& solution, WheelRef ref) {
  return wheel_on_vehicle(at(model.corners, ref.corner), linkage_at(model, ref.corner).plane, wheel_of(model, ref),
                          standing_of(solution, ref).centre_C_mm);
}

void set_travel_range(const std::optional<CarrierTravel>& travel, std::size_t which, MovedRange& range) {
  if (!travel) return;
  range.low[which] = travel->curve->points.front().travel_mm;
  range.high[which] = travel->curve->points.back().travel_mm;
}

/// What its carrier has done since rest.
Carry carry_at(const std::optional<CarrierTravel>& travel, double travel_mm) {
  if (!travel) return {};
  return carry(*travel->corner, travel->plane, travel->rest, place_on_curve(*travel->curve, travel_mm));
}

/// What the numbers of a place mean.
struct Naming {
  bool travels = false, other_travels = false, driven = false, crank = false;
};

JointPlace place_of(const Naming& naming, const Moved& at) {
  JointPlace out;
  if (naming.driven) out.drive = at[0] / (naming.crank ? rad_per_deg : 1);
  if (naming.travels) out.travel_mm = at[1];
  if (naming.other_travels) out.other_travel_mm = at[2];
  return out;
}

void add_angle(const std::string& where, Joint joint, const std::string& name, const Greatest& most, double limit,
               const Naming& naming, std::vector<JointReach>& reaches) {
  if (!std::isfinite(most.value)) return;
  JointReach& reach = reaches.emplace_back();
  reach.where = where;
  reach.joint = joint;
  reach.name = name;
  reach.most = most.value;
  reach.limit = limit;
  reach.at = place_of(naming, most.at);
  reach.crank = naming.crank;
}

void add_shaft(const std::string& where, const Shaft& shaft, const std::array<Greatest, 4>& most, const Naming& naming,
               std::vector<JointReach>& reaches) {
  add_angle(where, Joint::universal, "its shaft's inner joint", most[0], shaft.swing_rad, naming, reaches);
  add_angle(where, Joint::universal, "its shaft's outer joint", most[1], shaft.swing_rad, naming, reaches);
  if (!std::isfinite(most[2].value) || !std::isfinite(most[3].value)) return;
  Greatest change = most[2];
  change.value = most[2].value + most[3].value;
  add_angle(where, Joint::slide, "its shaft", change, shaft.slide_mm, naming, reaches);
  reaches.back().shortest_at = place_of(naming, most[3].at);
  reaches.back().shortest_mm = -most[3].value;
}

// ------------------------------------------------------------------------------------------------ a linkage by itself

void add_rods(const Model& model, int corner, std::vector<JointReach>& reaches) {
  for (const Rod& rod : linkage_at(model, corner).rods) {
    const auto swing = swing_rad(model, rod);
    if (!swing || !(rod.across_mm > 0)) continue;
    Greatest angle;
    angle.value = std::asin(rod.across_mm / rod.length_mm);
    add_angle(at(model.corners, corner).name + "/" + rod.name, Joint::ball, "its ball ends", angle, *swing, {},
              reaches);
  }
}

/// Whether a top linkage has a wheel on a kingpin that is this sprung one.
bool turns_about_kingpin(const Model& model, WheelRef ref) {
  const std::string name = wheel_name(model, ref);
  return std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    const Linkage& linkage = at(model.linkages, corner.linkage);
    return linkage.plane == Plane::top &&
           std::any_of(linkage.wheels.begin(), linkage.wheels.end(), [&](const Wheel& wheel) {
             return wheel.same_as == name && wheel.at.body != chassis && kingpin_hole(linkage, wheel.at.body);
           });
  });
}

void add_unsteered_shaft(const Model& model, const Solution& solution, WheelRef ref, std::vector<JointReach>& reaches) {
  const auto& shaft = wheel_of(model, ref).shaft;
  if (!shaft || turns_about_kingpin(model, ref)) return;
  const Vec3 start = shaft_start_mm(model, ref), centre = centre_at_rest(model, solution, ref);
  const Vec3 axis = axis_at_rest(centre.y(), Vec3::UnitX(), &standing_of(solution, ref));
  const auto travel = carrier_travel(model, solution, ref);
  MovedRange range;
  set_travel_range(travel, 1, range);
  const auto read = [&](const Moved& moved) -> Readings<4> {
    const Carry now = carry_at(travel, moved[1]);
    return shaft_readings(start, carried(now, centre), now.R * axis);
  };
  add_shaft(wheel_name(model, ref), *shaft, greatest_of<4>(read, range), {.travels = travel.has_value()}, reaches);
}

// ------------------------------------------------------------------------------------------------------- a steering

/// A top linkage with all that moves its knuckles.
struct SteeredJoints {
  const Model& model;
  const Solution& solution;
  KnuckleSet set;
  PosedDrive top;
  std::array<double, 2> drive_range{};
  bool crank = false;
  std::vector<std::optional<CarrierTravel>> travels;  // [knuckles]
};

/// The knuckle at the other end of its tie rod whose wheel moves by itself; none.
std::optional<std::size_t> other_mover(const SteeredJoints& joints, std::size_t k) {
  const auto& tie = joints.set.knuckles[k].tie;
  if (!tie || tie->inner_knuckle < 0) return std::nullopt;
  const auto other = static_cast<std::size_t>(tie->inner_knuckle);
  const auto &own_wheel = joints.set.knuckles[k].same_as, &other_wheel = joints.set.knuckles[other].same_as;
  // Of two wheels of one linkage each rises alone.
  if (!joints.travels[other] || (own_wheel && own_wheel->corner == other_wheel->corner)) return std::nullopt;
  return other;
}

std::vector<Carry> carries_at(const SteeredJoints& joints, std::size_t k, const Moved& moved) {
  const std::vector<Knuckle>& knuckles = joints.set.knuckles;
  std::vector<Carry> carries(knuckles.size());
  if (joints.travels[k])
    carries = carries_of(joints.model, joints.set, *knuckles[k].same_as, carry_at(joints.travels[k], moved[1]));
  if (const auto other = other_mover(joints, k)) carries[*other] = carry_at(joints.travels[*other], moved[2]);
  return carries;
}

MovedRange range_of(const SteeredJoints& joints, std::size_t k) {
  MovedRange range;
  range.low[0] = joints.drive_range[0];
  range.high[0] = joints.drive_range[1];
  set_travel_range(joints.travels[k], 1, range);
  if (const auto other = other_mover(joints, k)) set_travel_range(joints.travels[*other], 2, range);
  return range;
}

Naming naming_of(const SteeredJoints& joints, std::size_t k) {
  return {.travels = joints.travels[k].has_value(),
          .other_travels = other_mover(joints, k).has_value(),
          .driven = joints.top.path != nullptr,
          .crank = joints.crank};
}

/// Angles at a tie rod's inner end and at its ball.
void add_tie_rod(SteeredJoints& joints, std::size_t k, std::vector<JointReach>& reaches) {
  const Knuckle& knuckle = joints.set.knuckles[k];
  const Linkage& linkage = linkage_at(joints.model, joints.set.corner);
  if (!knuckle.tie) return;
  const TieRod& tie = *knuckle.tie;
  const Rod& rod = at(linkage.rods, tie.rod);
  const auto swing = swing_rad(joints.model, rod);
  if (!swing) return;
  const auto read = [&](const Moved& moved) -> Readings<2> {
    const std::vector<Pose>& poses = poses_at(joints.top, moved[0]);
    const std::vector<Carry> carries = carries_at(joints, k, moved);
    const auto turns = turn_knuckles(joints.set, poses, carries);
    if (!turns[k]) return std::nullopt;
    const Vec3 inner = tie_rod_inner_mm(joints.set, tie, poses, carries, turns);
    const Vec3 along = on_knuckle(knuckle, carries[k], turns[k]->psi_rad, tie.ball_mm) - inner;
    const Vec3 inner_normal =
        tie.inner_knuckle < 0
            ? Vec3(Vec3::UnitZ())
            : Vec3(at(carries, tie.inner_knuckle).R * at(joints.set.knuckles, tie.inner_knuckle).axis);
    return std::array{angle_to_plane(along, inner_normal), angle_to_plane(along, carries[k].R * knuckle.axis)};
  };
  const std::array<Greatest, 2> most = greatest_of<2>(read, range_of(joints, k));
  const std::string where = at(joints.model.corners, joints.set.corner).name + "/" + rod.name;
  const std::array<int, 2> bodies{tie.inner.body, knuckle.body};
  for (std::size_t end = 0; end < 2; ++end)
    add_angle(where, Joint::ball, "its ball end on " + at(linkage.bodies, bodies[end]).name, most[end], *swing,
              naming_of(joints, k), reaches);
}

void add_steered_shaft(SteeredJoints& joints, std::size_t k, std::vector<JointReach>& reaches) {
  const Knuckle& knuckle = joints.set.knuckles[k];
  if (!knuckle.same_as || !wheel_of(joints.model, *knuckle.same_as).shaft) return;
  const WheelRef ref = *knuckle.same_as;
  const Vec3 start = shaft_start_mm(joints.model, ref), centre = centre_at_rest(joints.model, joints.solution, ref);
  const Vec3 axis = axis_at_rest(centre.y(), knuckle.ahead, &standing_of(joints.solution, ref));
  const auto read = [&](const Moved& moved) -> Readings<4> {
    const std::vector<Carry> carries = carries_at(joints, k, moved);
    const auto turn = turn_knuckles(joints.set, poses_at(joints.top, moved[0]), carries)[k];
    // A knuckle that nothing holds stands as drawn.
    if (!turn && (knuckle.tie || knuckle.driven)) return std::nullopt;
    const double psi = turn ? turn->psi_rad : 0;
    return shaft_readings(start, on_knuckle(knuckle, carries[k], psi, centre),
                          turned_with(knuckle, carries[k], psi, axis));
  };
  add_shaft(wheel_name(joints.model, ref), *wheel_of(joints.model, ref).shaft,
            greatest_of<4>(read, range_of(joints, k)), naming_of(joints, k), reaches);
}

// ---------------------------------------------------------------------------------------------------------- words

std::string place_words(const JointPlace& place, bool crank) {
  std::string text;
  if (place.travel_mm) text += fmt::format(" at {:.1f} mm of travel", *place.travel_mm);
  if (place.other_travel_mm) text += fmt::format(" ({:.1f} mm of the other wheel's)", *place.other_travel_mm);
  if (place.drive) text += fmt::format(" with the drive at {:.1f} {}", *place.drive, crank ? "degrees" : "mm");
  return text;
}

std::string reach_words(const JointReach& reach) {
  if (reach.joint == Joint::slide)
    return fmt::format("{} grows by {:.1f} mm, from {:.1f} mm{} to {:.1f} mm{}: it slides by {:.1f} mm only",
                       reach.name, reach.most, reach.shortest_mm, place_words(*reach.shortest_at, reach.crank),
                       reach.shortest_mm + reach.most, place_words(reach.at, reach.crank), reach.limit);
  const bool both = reach.joint == Joint::ball && !reach.at.travel_mm && !reach.at.drive;
  return fmt::format("{} {} {:.1f} degrees{}, over {:g}: {}", reach.name, both ? "stand askew by" : "swings by",
                     reach.most * deg_per_rad, place_words(reach.at, reach.crank), reach.limit * deg_per_rad,
                     both ? "they bind" : "it binds");
}

const char* remedy_for(const JointReach& reach) {
  switch (reach.joint) {
    case Joint::ball:
      return "a longer rod, its two ends nearer to one plane, or ball ends that swing farther";
    case Joint::universal:
      return "a longer shaft, its inner joint as high as the wheel's centre at rest, less travel or lock, or joints "
             "that "
             "swing farther";
    case Joint::slide:
      return "a shaft that slides farther, its inner joint near the middle of the arc of the wheel's centre, or less "
             "travel";
  }
  return "";
}

}  // namespace

std::optional<double> swing_rad(const Model& model, const Rod& rod) {
  if (rod.swing_rad) return rod.swing_rad;
  const Piece* piece = find_piece(model.catalogue, rod.part);
  return piece ? piece->swing_rad : std::nullopt;
}

Vec3 shaft_start_mm(const Model& model, WheelRef ref) {
  const int linkage = at(model.corners, ref.corner).linkage;
  const auto first = std::find_if(model.corners.begin(), model.corners.end(),
                                  [&](const Corner& corner) { return corner.linkage == linkage; });
  Vec3 start = wheel_of(model, ref).shaft->from_mm;
  if (first->at_mm.y() * at(model.corners, ref.corner).at_mm.y() < 0) start.y() = -start.y();
  return start;
}

std::vector<JointReach> steered_joint_reaches(const Model& model, const Solution& solution, int corner, DrivePath* path,
                                              const std::array<double, 2>& range) {
  std::vector<JointReach> reaches;
  if (solution.corners.size() != model.corners.size()) return reaches;
  const std::vector<Pose>& drawn = at(solution.corners, corner).poses;
  const auto& drive = linkage_at(model, corner).drive;
  SteeredJoints joints{.model = model,
                       .solution = solution,
                       .set = knuckle_set(model, corner, drawn),
                       .top = posed_drive(path, drawn),
                       .drive_range = path ? range : std::array<double, 2>{},
                       .crank = drive && drive->pin,
                       .travels = {}};
  for (const Knuckle& knuckle : joints.set.knuckles)
    joints.travels.push_back(knuckle.same_as ? carrier_travel(model, solution, *knuckle.same_as) : std::nullopt);
  for (std::size_t k = 0; k < joints.set.knuckles.size(); ++k) {
    add_tie_rod(joints, k, reaches);
    add_steered_shaft(joints, k, reaches);
  }
  return reaches;
}

std::vector<JointReach> joint_reaches(const Model& model, const Solution& solution) {
  std::vector<JointReach> reaches;
  for (int c = 0; c < count(model.corners); ++c) {
    const Linkage& linkage = linkage_at(model, c);
    add_rods(model, c, reaches);
    if (solution.corners.size() != model.corners.size()) continue;
    if (linkage.plane == Plane::top) {
      if (linkage.drive) continue;
      const auto steered = steered_joint_reaches(model, solution, c, nullptr, {});
      reaches.insert(reaches.end(), steered.begin(), steered.end());
    } else {
      for (int w = 0; w < count(linkage.wheels); ++w) add_unsteered_shaft(model, solution, {c, w}, reaches);
    }
  }
  return reaches;
}

std::vector<Finding> judge_joints(const std::vector<JointReach>& reaches) {
  std::vector<Finding> found;
  for (const JointReach& reach : reaches) {
    if (!(reach.most > reach.limit + rounding)) continue;
    found.push_back({Level::warning, "joint-binds", reach.where, reach_words(reach), remedy_for(reach)});
  }
  return found;
}

}  // namespace ridepitch
