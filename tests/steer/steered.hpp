#pragma once
// Model texts that the tests of this folder share. Modules of 8 mm.

#include <string>

#include "model/read.hpp"
#include "steer/drive_sweep.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

inline constexpr double module_mm = 8;
inline constexpr double per_deg = 0.017453292519943295;  ///< rad

/// Two knuckles on kingpins 12 modules apart, turned by a rack behind them over two tie rods.
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
std::string rack_steering(const RackSteering& rack);

/// Four wheels on upright slides on the bench under 5 N each, wheel centres at (+-16, +-8) modules: nothing leans, and
/// `same_as` has somebody to name.
std::string four_wheels();

std::string top_corner(const std::string& linkage, double x, bool flip = false);

/// Reads a text; fails the calling test where it is refused.
Model read_written(const std::string& text);

/// Steers it; fails the calling test where that does not work.
Steered steered(const std::string& text, int points = 21);

/// The one problem that keeps it from being steered.
Problem refused(const std::string& text);

/// The one finding of a code; fails the calling test where there is none.
Finding finding(const Steered& steered, const std::string& code);
bool has_finding(const Steered& steered, const std::string& code);

/// The way of a linkage's drive; fails the calling test where there is none. @param model  must outlive the result
DriveWay way_of(const Model& model, const std::string& linkage);

/// q with the drive at a value.
Eigen::VectorXd placed(DriveWay& way, double drive);

/// Index of a body's angle in q.
Eigen::Index angle_of(const Model& model, const std::string& linkage, const std::string& body);

}  // namespace ridepitch
