#pragma once
// What steering does: a model and how it stands in, the angles of its steered wheels over the drive's range out, with
// lock, turning circle and what is off the ideal.
//
// Definitions: docs/model-format.md, "Steering". Angles are positive to the left; a lock or circle given for [left,
// right] is that in which the vehicle turns to the left and to the right.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "model/model.hpp"
#include "ride/solution.hpp"
#include "steer/bump_steer.hpp"
#include "steer/lock_clearance.hpp"

namespace ridepitch {

struct SteerOptions {
  int points = 21;             ///< of the sweep, evenly spaced over the range; >= 2
  bool clearance = true;       ///< work out lock clearance, where there are sprung wheels: the slowest part
  bool only_findings = false;  ///< leave out what no finding tells: effort, and lock clearance where nothing touches
};

struct SteeredWheel {
  std::string name;
  std::string same_as;               ///< the sprung wheel that it is; empty: none
  double toe_deg = 0;                ///< of its `ahead` in vehicle axes, the drive at 0
  std::array<double, 2> lock_deg{};  ///< angle of steer at the least drive, at the greatest
  double rate_deg = 0;          ///< d(angle)/d(drive) with the drive at 0 [deg/mm, deg/deg]; NaN beside a dead point
  Vec2 king_mm = Vec2::Zero();  ///< where it turns about, vehicle axes: the kingpin, or its centre without one
  bool has_king = false;
  Vec2 centre_mm = Vec2::Zero();  ///< with the drive at 0, vehicle axes
  double scrub_radius_mm = 0;     ///< from the kingpin's foot on the ground to the contact
};

/// What it takes to steer the standing vehicle. An estimate: effort.hpp.
struct SteerEffort {
  double friction = 0;          ///< of tyre on ground
  bool friction_given = false;  ///< by the file; else it is assumed
  double load_n = 0;            ///< on the steered wheels
  double drive_at_centre = 0;   ///< force on the rack [N], or torque on the crank [N mm]; NaN beside a dead point
  std::optional<double> drive_at_most;  ///< over the range; none where it grows without bound
  std::optional<double> hand_at_centre_n_mm,
      hand_at_most_n_mm;  ///< at the hand wheel, with all that follows; none: no pinion
};

struct SteerPoint {
  double drive = 0;                           ///< mm or degrees
  std::optional<double> hand_turns;           ///< of the hand wheel from the middle, its sense that of the drive
  std::vector<double> steer_deg;              ///< by wheel
  std::optional<double> ackermann_error_deg;  ///< the greatest over its axles
  std::optional<double> turn_radius_mm;
  std::optional<Vec2> turn_centre_mm;  ///< vehicle axes
};

/// One of several hand wheels that move a drive.
struct HandWheel {
  std::string name;
  double ratio = 1;  ///< its turns for one of the pinion or crank
  std::optional<double> rack_mm_per_turn, turns_lock_to_lock, steering_ratio;  ///< as of a Steering
  std::optional<double> at_centre_n_mm, at_most_n_mm;                          ///< as of a SteerEffort
};

/// One corner whose top linkage has a drive.
struct Steering {
  std::string name;  ///< of the corner
  int corner = 0, linkage = 0;
  bool crank = false;   ///< a pin drives it: its values are degrees; else a rack's, mm
  std::string follows;  ///< the linkage whose drive leads
  double ratio = 1;
  std::array<double, 2> range{};  ///< mm or degrees
  std::array<std::string, 2> ends;
  std::array<std::vector<std::string>, 2> end_parts;  ///< at a dead point, or where parts meet
  std::array<std::optional<double>, 2> wanted;        ///< what its own stroke or range says; none: nothing
  std::array<std::optional<double>, 2>
      rod_margin_deg;                      ///< at the ends: how far rods are from being perpendicular to their paths
  std::optional<double> rack_mm_per_turn;  ///< of the hand wheel; of a rack
  std::optional<double> turns_lock_to_lock;
  std::optional<double> steering_ratio;  ///< degrees of the hand wheel for one of the wheels' mean, at the centre
  std::optional<double> wheelbase_mm;    ///< a magnitude; none: every axle is steered
  bool behind = false;                   ///< it steers behind the unsteered wheels
  std::optional<double> track_mm;        ///< between kingpins
  std::array<std::optional<double>, 2> inner_lock_deg, outer_lock_deg;  ///< [left, right], magnitudes
  std::array<std::optional<double>, 2> lock_radius_mm;                  ///< [left, right], turn_radius at full lock
  std::array<std::optional<double>, 2> turn_circle_mm, kerb_circle_mm;  ///< [left, right]
  std::array<std::optional<double>, 2> ackermann_percent;               ///< [left, right]
  std::optional<double> worst_error_deg;  ///< ackermann_error of the greatest magnitude over the range
  std::optional<double> worst_error_at;   ///< mm or degrees
  std::optional<double> rms_error_deg;    ///< over the range
  std::optional<double> least_radius_mm;  ///< least turn_radius over the range
  std::optional<SteerEffort> effort;
  std::vector<HandWheel>
      hands;  ///< where the file names them; what is told of a hand wheel elsewhere is the first one's
  std::vector<SteeredWheel> wheels;
  std::vector<BumpSteer> bump;  ///< one for each wheel; empty where nothing is sprung
  std::optional<LockClearance>
      clearance;                         ///< none likewise, where not asked for, and where its wheels can meet nothing
  std::vector<SteerPoint> sweep;         ///< rising drive
  std::vector<SteerPoint> curve;         ///< the same, always 201 points: what worst and rms are taken from
  std::vector<std::vector<Pose>> poses;  ///< [sweep x bodies], the chassis first
};

struct Steered {
  std::vector<Steering> steering;  ///< in order of corners
  std::vector<Finding> findings;
};

struct SteerResult {
  std::optional<Steered> steered;
  std::vector<Problem> problems;  ///< why there is none; without file name and line text
};

/// Works out every steering of a model at rest.
/// Problems: nothing is steered; a drive that does not hold its linkage; a steered wheel drawn more than one module
/// from the sprung wheel that it is.
/// @param solution  of the same model: where its sprung wheels stand, and what they carry
SteerResult steer(const Model& model, const Solution& solution, const SteerOptions& options = {});

/// Whether a linkage drawn from above has a drive.
bool is_steered(const Model& model);

/// The findings of `steer`, and what it refuses a model for as problems; none where nothing is steered.
std::vector<Finding> steering_findings(const Model& model, const SteerResult& result);

}  // namespace ridepitch
