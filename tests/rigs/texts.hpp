#pragma once
// The rigs that tests share, as tables of a model file: simple enough for closed forms. Modules of 8 mm unless a test says
// otherwise. A linkage is called "l", its wheel "hub" and its spring "main" where nothing else is said.

#include <string>

namespace ridepitch {

// ------------------------------------------------------------------------------------------ what a linkage is put into

/// "format = 1 ..." and a corner "c" of linkage "l" on the bench under a load.
std::string on_bench(const std::string& tables, double load_n, const std::string& corner = "c");

/// A vehicle of `grams` with its mass at (x, y, z) modules, without corners.
std::string body(double grams, double x, double y, double z);

std::string corner(const std::string& name, const std::string& linkage, double x, double y, double z = 4);

/// Four corners on one linkage, at (+-x, +-y) modules.
std::string four_corners(const std::string& linkage, double x, double y);

/// A corner for a linkage in the top plane, x modules ahead of the origin.
std::string top_corner(const std::string& linkage, double x, bool flip = false);

/// A linkage in the top plane alone: nothing stands, and what it does is its drawing's.
std::string on_drawing(const std::string& tables, const std::string& linkage);

// --------------------------------------------------------------------------------------------------------- springs

/// A coil between two holes of linkage "l".
std::string coil(const std::string& name, const std::string& from, const std::string& to, double free_mm,
                 double solid_mm, double rate_n_per_mm);

// --------------------------------------------------------------------------------------------------------- linkages

/// A linkage whose wheel the chassis holds fast, at chassis.hub.
std::string fixed_wheel(const std::string& name = "f");

/// An arm about (0, 0), level as drawn.
struct Arm {
  std::string seat = "[5, 8]";                         ///< chassis.seat
  std::string holes = "coil = [5, 0], axle = [8, 0]";  ///< of the arm, beside its root
  std::string more = {};                               ///< further tables: its spring
  std::string bodies = {};                             ///< further lines of the table of bodies
  std::string chassis_holes = {};                      ///< ", low = [3, -4]"
  std::string plane = "side";
  std::string near_axle = "[8, 0]";
  std::string tyre = "part = \"tyre-62\"";
};
std::string arm(const Arm& rig);

/// An arm that lies level at rest, its wheel at 8 modules, under a coil that stands upright on it, on the bench. With the
/// arm level and the coil perpendicular to it, the motion ratio is at / 8 and does not change with travel to first order,
/// so that the wheel rate is the spring's rate times its square.
struct LevelArm {
  double load_n = 5;
  double at = 5;  ///< the coil's hole on the arm, modules
  double rate_n_per_mm = 0.5;
  double length_mm = 60;   ///< of the coil at rest
  double squeeze_mm = 10;  ///< shortened by so much at rest; its preload makes up the load
  int count = 1;
  std::string law = {};   ///< in place of rate and preload: "[[0, 1], [20, 9]]"
  std::string more = {};  ///< further tables
};
std::string level_arm(const LevelArm& rig);

/// A carrier whose wheel, at carrier.eye, is guided up and down through chassis.guide by a slide called "way"; no spring.
struct Carrier {
  std::string name = "l";
  std::string chassis_holes = {};   ///< ", top = [0, 10]"
  std::string bodies = {};          ///< further lines of the table of bodies
  std::string more = {};            ///< further keys of the slide, then further tables
  std::string near_eye = "[0, 0]";  ///< its hint; empty: none
  std::string tyre = "part = \"tyre-62\"";
};
std::string carrier(const Carrier& rig);

/// That carrier under a coil whose seat is `top` modules above the guide: with the coil at a length L its centre stands
/// at 8 top - L mm above the corner's place.
struct Upright {
  std::string name = "l";
  double top = 10, free_mm = 64, solid_mm = 44, rate_n_per_mm = 0.5, preload_n = 0;
  std::string more = {};        ///< further keys of the slide, then further tables
  std::string more_holes = {};  ///< of the chassis, ", low = [0, -5]"
  std::string law = {};         ///< in place of rate and preload: "[[0, 1], [20, 9]]"
  std::string near_eye = "[0, 0]";
  std::string tyre = "part = \"tyre-62\"";
};
std::string upright(const Upright& rig);

/// The linkage of the format's example: arm, pushrod, rocker, coil.
struct RockerArm {
  double pushrod = 6, across = 0;  ///< length of the pushrod and its distance along the axle, modules
  double free_mm = 56, solid_mm = 40, rate_n_per_mm = 0.6;
};
std::string rocker_arm(const RockerArm& rig = {});

/// Two knuckles on kingpins 12 modules apart, turned by a rack behind them over two tie rods; drawn from above.
struct RackSteering {
  std::string name = "steer";
  double guide_x = -3, arm_x = -3,
         arm_in = 0.5;  ///< arms end that far behind and inside the left kingpin; the right is its mirror
  double right_arm_x = -3;
  double rod = 3.5, right_rod = 3.5;
  std::string stroke = "[-1.5, 1.5]";
  std::string drive = "pinion_teeth = 12";  ///< what follows `slide = "rack"`
  std::string ahead = "[1, 0]";
  std::string end = "front";      ///< whose wheels they are; empty: nobody's
  std::string more = {};          ///< further tables of the linkage
  std::string more_holes = {};    ///< of the chassis, ", post = [-5, 3]"
  std::string chassis_more = {};  ///< further keys of the chassis, ", layer = 0"
  std::string left_layer = {};    ///< the same of the left knuckle
};
std::string rack_steering(const RackSteering& rig);

// ------------------------------------------------------------------------------------------------- with a builder's notes

/// A level arm on a seat straight above its coil, on the bench, with comments that must survive edits. By moments about its
/// pivot its coil pushes with `trial_arm_force_n` where the arm is level: coil 5 modules out, wheel 8, load 8 N.
std::string trial_arm();
inline constexpr double trial_arm_force_n = 8.0 * 8 / 5;

/// The same with a knuckle that a rack steers, drawn from above; its second corner.
std::string steered_trial_arm();

}  // namespace ridepitch
