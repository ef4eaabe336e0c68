#pragma once
// What solving a vehicle gives: plain results, by corner, in file order. A value that does not
// exist (docs/model-format.md, "What the numbers mean") is an empty optional.

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "model/geometry.hpp"
#include "model/model.hpp"
#include "ride/readings.hpp"

namespace ridepitch {

/// Where a body is, in the chassis grid of its linkage.
struct Pose {
  Vec2 p_CB = Vec2::Zero();  ///< the body grid's origin [mm]
  double theta_rad = 0;      ///< turned from u to v; continuous, not wrapped
};

/// What built models come to: 10th, 50th and 90th percentile (ride/scatter.hpp).
using Likely = std::array<double, 3>;

enum class WheelState { lifted, topped, riding, bottomed, fixed };

/// How a wheel stands at one place of its travel, and where its contact has gone since rest. A linkage in the front plane
/// leans the wheel and moves it sideways, one in the side plane moves it along; what its plane can't do is empty.
struct PathPoint {
  std::optional<double> camber_deg;           ///< the wheel's top outward from the vehicle's z
  std::optional<double> track_change_mm;      ///< the contact outward from where it is at rest
  std::optional<double> wheelbase_change_mm;  ///< the contact forward from where it is at rest
  std::optional<double> roll_centre_mm;       ///< above the ground, by this wheel alone
};

/// The same over a wheel's travel, with its slopes at rest.
struct WheelPath {
  PathPoint rest, droop, bump;  ///< droop and bump: the ends of its curve
  std::optional<double> camber_deg_per_mm, track_change_mm_per_mm, wheelbase_change_mm_per_mm;  ///< over travel
};

/// How the body that carries a wheel stands and moves for each mm that the wheel rises, in the chassis grid.
struct WheelMotion {
  double turn_rad = 0;
  double turn_rad_per_mm = 0;
  Vec2 centre_per_mm = Vec2::UnitY();  ///< of the wheel's centre
};

struct WheelResult {
  std::string name;
  std::optional<double> load_n, ground_load_n;
  std::optional<double> travel_mm, sag_mm, bump_travel_mm, droop_travel_mm, bump_total_mm;
  std::optional<double> bump_load_n, reserve;
  std::optional<double> motion_ratio, wheel_rate_n_per_mm, frequency_hz;
  std::optional<double> weight_to_bump_g;    ///< least mass over its contact that bottoms it
  std::string weight_to_bump_why;            ///< why there is none: "grounds: belly", "dead point", "no rest"
  std::optional<double> sink_100g_mm;        ///< of the body over its contact, under 100 g there
  std::optional<double> friction_n;          ///< of its linkage, as a force at the wheel
  std::optional<double> break_out_g;         ///< that force as a mass
  std::optional<double> set_down_height_mm;  ///< set down from there its springs just bottom
  std::optional<Likely> expected_rate_n_per_mm, expected_bump_mm;
  WheelState state = WheelState::riding;
  std::string bump_end, droop_end;          ///< "main solid", "strap max", "dead point"; empty: none
  std::vector<std::string> bump_end_links;  ///< at a dead point: the rods and bodies that became collinear
  Vec2 centre_C_mm = Vec2::Zero();          ///< at rest, in the chassis grid
  std::optional<WheelMotion> motion;        ///< at rest, of a wheel that can rise alone
  std::optional<WheelPath> path;            ///< of a wheel that moves
  Vec3 contact_mm = Vec3::
      Zero();  ///< point of the ground under it, vehicle axes turned level with the world (x ahead of, y left of the vehicle's origin)
};

struct SpringResult {
  std::string name;
  std::optional<double> length_mm, force_n, total_force_n;                  ///< null for a torsion spring
  std::optional<double> angle_deg, torque_n_mm;                             ///< of a torsion spring only
  std::vector<std::pair<std::string, std::optional<double>>> motion_ratio;  ///< by wheel, in file order
};

struct RodResult {
  std::string name;
  double force_n = 0;  ///< positive in compression
};

struct PinForce {
  std::string body;
  Vec2 force_C_n = Vec2::Zero();  ///< on that body at the pin, in axes of the chassis grid
};

struct PinResult {
  std::string name;
  double force_n = 0;  ///< greatest on one body
  std::vector<PinForce> forces;
};

struct CornerResult {
  std::string name;
  std::optional<double> ride_height_mm;
  std::optional<double> as_built_height_mm;  ///< with the play of its joints taken up by the load
  /// Where friction holds it after it was pressed down and let come up, and after it was lifted and set down; with play.
  std::optional<double> pressed_height_mm, lifted_height_mm;
  std::optional<Likely> expected_height_mm;            ///< as built
  std::optional<std::array<double, 2>> ruler_band_mm;  ///< 10th percentile of pressed to 90th of lifted
  std::optional<double> toggle_margin_deg, coil_margin_deg;
  std::vector<WheelResult> wheels;
  std::vector<SpringResult> springs;
  std::vector<RodResult> rods;
  std::vector<PinResult> pins;
  std::vector<Pose> poses;  ///< at rest, one for each body, the chassis first
  /// [n x n] d(vertical force of wheel i) / d(height of wheel j) [N/mm], row by row; empty where not every rate exists
  std::vector<double> wheel_rate_matrix_n_per_mm;
  std::string mobility_note;  ///< where the two counts of freedom differ: which joints are redundant
  int freedoms = 0;           ///< by the rank of the constraint Jacobian
  int freedoms_by_count = 0;  ///< by the Grübler-Kutzbach formula
};

struct Mode {
  std::string name;  ///< "bounce", "pitch" or "roll"
  double frequency_hz = 0;
  std::optional<double> centre_modules;
};

/// Another stance in which the vehicle would stay, found by a restart.
struct OtherStance {
  std::string from;  ///< "bump", "nose down" or "nose up"
  double pitch_deg = 0, roll_deg = 0;
  std::vector<double> ride_height_mm;  ///< by corner
};

struct VehicleResult {
  double mass_kg = 0;         ///< sprung
  double total_mass_kg = 0;   ///< with the wheels
  Vec3 cg_mm = Vec3::Zero();  ///< sprung, vehicle axes
  double height_mm = 0;       ///< of the vehicle's origin above the ground
  double pitch_deg = 0, roll_deg = 0;
  bool indeterminate = false;
  bool snapped = false;  ///< fell through an unstable range while its weight grew
  std::vector<OtherStance> other_stances;
  std::vector<Mode> modes;
  std::optional<double> roll_stiffness_share_front;  ///< of the wheels ahead of the centre of gravity
  std::optional<double> lean_deg_per_0_1_g;          ///< in a bend of 0.1 g, outward
  std::optional<double> load_transfer_n;             ///< from the inner to the outer wheels, in the same bend
  std::optional<Likely> expected_pitch_deg;
};

struct ClearanceResult {
  std::string name;
  double height_mm = 0;
};

enum class Level { note, warning, problem };

struct Finding {
  Level level = Level::note;
  std::string code;    ///< "low-reserve": docs/findings.md has one row for each
  std::string where;   ///< "rear left/hub"; empty: the vehicle
  std::string text;    ///< what, with its number and the limit
  std::string remedy;  ///< what a builder can do
};

/// One wheel raised through its travel, the linkage's other wheels held where they rest.
struct CurvePoint {
  double travel_mm = 0;
  double load_n = 0;  ///< slope of the linkage's own spring energy over travel
  double wheel_rate_n_per_mm = 0;
  double friction_n = 0;  ///< at the wheel, by the springs' forces there
  std::optional<double> motion_ratio;
  Vec2 centre_C_mm = Vec2::Zero();
  std::vector<double> spring_length_mm;  ///< in file order; a torsion spring's is its angle [rad]
  std::vector<double> spring_force_n;  ///< push of one spring (negative: pull); a torsion spring's is its torque [N mm]
  std::vector<double> spring_motion_ratio;
  WheelMotion motion;
  PathPoint path;  ///< at its corner of the vehicle
};

struct Curve {
  int corner = 0, wheel = 0;
  std::vector<CurvePoint> points;  ///< evenly spaced, droop to bump; the ends are exact
  /// Body poses of every point, [points x moving bodies], for drawing and contact checks.
  std::vector<std::vector<Pose>> poses;
};

/// The left and the right wheel of an axle.
struct AxleResult {
  std::array<std::string, 2> wheels;     ///< "front left/hub", "front right/hub"
  double track_mm = 0;                   ///< between their contacts
  std::optional<double> roll_centre_mm;  ///< above the ground, where the vehicle's plane of symmetry has it
};

/// A block, or a dip, under one wheel.
struct Block {
  std::string wheel;     ///< "front left/hub"
  double height_mm = 0;  ///< of the ground there above the floor; negative in a dip
};

/// How far the ground may go up or down under one wheel, the rest of it staying, before a wheel comes off it.
struct GroundReach {
  double height_mm = 0;             ///< the farthest at which all wheels still carry
  double travel_mm = 0;             ///< how far this wheel's travel has changed there
  std::vector<std::string> lifted;  ///< which come off just beyond; empty: none did
  bool tips = false;                ///< nothing supports the vehicle just beyond
};

struct WheelReach {
  std::string wheel;
  GroundReach block, dip;
};

/// The floor tilted until the vehicle tips over.
struct TiltReach {
  std::string toward;               ///< which side is downhill: "left"
  std::optional<double> lift_deg;   ///< the steepest at which all wheels still carry; empty: none comes off
  std::vector<std::string> lifted;  ///< which come off just beyond
  std::optional<double> tip_deg;    ///< the steepest at which it still stands; empty: it stands on any
};

/// The ground that the vehicle stands on, and how much more of it it can take.
struct FloorResult {
  std::vector<Block> blocks;
  double slope_deg = 0;
  std::string toward;                          ///< which side is downhill; empty: the floor is level
  std::vector<WheelReach> wheels;              ///< of those that carry, in file order
  std::vector<TiltReach> tilts;                ///< left, right, front, rear; with the same blocks
  std::optional<double> slide_deg;             ///< where tyres begin to slide, by `tyre_mu`
  double tolerance_mm = 0, tolerance_deg = 0;  ///< of all of these
};

/// A length of the model beside the one that the original has.
struct FullSizeLength {
  std::string name;
  double model_mm = 0, original_mm = 0;
  double scaled_mm = 0;    ///< the model's, times the scale
  double off_percent = 0;  ///< of the original's: positive if the model is too long
};

/// What the model stands for at the size of its original.
struct FullSize {
  double scale = 1;  ///< lengths of the original over the model's, by the tyres
  std::vector<FullSizeLength> lengths;
  std::vector<Mode> modes;  ///< frequencies over the root of the scale; centres as in the model
};

/// How many vehicles were drawn.
struct Drawn {
  int vehicles = 0;
  std::string why_general;  ///< why each took the general solver; empty: they did not
};

struct Solution {
  std::string model;
  std::optional<VehicleResult> vehicle;  ///< none in bench mode
  std::vector<AxleResult> axles;         ///< none in bench mode
  std::optional<FloorResult> floor;      ///< where it was asked for
  std::optional<FullSize> full_size;     ///< where the model says what it stands for
  std::optional<Drawn> drawn;            ///< what stands behind every expected range; none: they were not asked for
  std::vector<CornerResult> corners;     ///< every corner, in order, mirrored ones too
  std::vector<ClearanceResult> clearances;
  std::vector<Finding> findings;
  std::vector<Curve> curves;             ///< of every wheel that has one
  std::optional<Weighing> weighing;      ///< of a weighed vehicle
  std::vector<MeasuredHeight> measured;  ///< what the ruler said, in file order
  std::vector<LikelyCause> causes;       ///< of measured heights that differ, the likeliest first
};

}  // namespace ridepitch
