#include "compare.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace ridepitch::oracle {
namespace {

struct Report {
  const Tolerances& tolerances;
  std::vector<std::string> lines;

  void number(const std::string& where, std::optional<double> found, std::optional<double> expected, double tolerance) {
    if (found.has_value() != expected.has_value()) {
      lines.push_back(fmt::format("{}: {}, oracle {}", where, found ? fmt::format("{:.12g}", *found) : "null",
                                  expected ? fmt::format("{:.12g}", *expected) : "null"));
    } else if (found && !(std::abs(*found - *expected) <= tolerance)) {
      lines.push_back(fmt::format("{}: {:.12g}, oracle {:.12g}, off by {:.3g}, allowed {:.3g}", where, *found,
                                  *expected, *found - *expected, tolerance));
    }
  }
  void position(const std::string& where, std::optional<double> found, std::optional<double> expected) {
    number(where, found, expected, tolerances.position_mm);
  }
  void load(const std::string& where, std::optional<double> found, std::optional<double> expected) {
    number(where, found, expected, tolerances.load_n);
  }
  void other(const std::string& where, std::optional<double> found, std::optional<double> expected) {
    number(where, found, expected, tolerances.share * std::max(tolerances.least, std::abs(expected.value_or(0))));
  }
  // A margin that runs through 0 has a kink there: its least value is found to so much of a degree only.
  void margin(const std::string& where, std::optional<double> found, std::optional<double> expected) {
    number(where, found, expected, tolerances.share * std::max(10.0, std::abs(expected.value_or(0))));
  }
  void text(const std::string& where, const std::string& found, const std::string& expected) {
    if (found != expected) lines.push_back(fmt::format("{}: '{}', oracle '{}'", where, found, expected));
  }
  bool count(const std::string& where, std::size_t found, std::size_t expected) {
    if (found == expected) return true;
    lines.push_back(fmt::format("{}: {} of them, oracle {}", where, found, expected));
    return false;
  }
};

std::string state_name(WheelState state) {
  switch (state) {
    case WheelState::lifted:
      return "lifted";
    case WheelState::topped:
      return "topped";
    case WheelState::riding:
      return "riding";
    case WheelState::bottomed:
      return "bottomed";
    case WheelState::fixed:
      return "fixed";
  }
  return "";
}

void compare_wheel(Report& report, const std::string& where, const WheelResult& a, const WheelResult& b) {
  report.text(where + " name", a.name, b.name);
  report.text(where + " state", state_name(a.state), state_name(b.state));
  report.text(where + " bump end", a.bump_end, b.bump_end);
  report.text(where + " droop end", a.droop_end, b.droop_end);
  report.load(where + " load", a.load_n, b.load_n);
  report.load(where + " ground load", a.ground_load_n, b.ground_load_n);
  report.position(where + " travel", a.travel_mm, b.travel_mm);
  report.position(where + " sag", a.sag_mm, b.sag_mm);
  report.position(where + " bump travel", a.bump_travel_mm, b.bump_travel_mm);
  report.position(where + " droop travel", a.droop_travel_mm, b.droop_travel_mm);
  report.position(where + " bump total", a.bump_total_mm, b.bump_total_mm);
  report.other(where + " bump load", a.bump_load_n, b.bump_load_n);
  report.other(where + " reserve", a.reserve, b.reserve);
  report.other(where + " motion ratio", a.motion_ratio, b.motion_ratio);
  report.other(where + " wheel rate", a.wheel_rate_n_per_mm, b.wheel_rate_n_per_mm);
  report.other(where + " frequency", a.frequency_hz, b.frequency_hz);
  report.other(where + " weight to bump", a.weight_to_bump_g, b.weight_to_bump_g);
  report.other(where + " sink", a.sink_100g_mm, b.sink_100g_mm);
  for (int i = 0; i < 2; ++i) {
    report.position(where + " centre", a.centre_C_mm[i], b.centre_C_mm[i]);
    report.position(where + " contact", a.contact_mm[i], b.contact_mm[i]);
  }
}

void compare_members(Report& report, const std::string& where, const CornerResult& a, const CornerResult& b) {
  if (report.count(where + " rods", a.rods.size(), b.rods.size())) {
    for (std::size_t i = 0; i < a.rods.size(); ++i) {
      report.text(where + " rod", a.rods[i].name, b.rods[i].name);
      report.load(where + " rod " + b.rods[i].name, a.rods[i].force_n, b.rods[i].force_n);
    }
  }
  if (!report.count(where + " pins", a.pins.size(), b.pins.size())) return;
  for (std::size_t i = 0; i < a.pins.size(); ++i) {
    const PinResult &p = a.pins[i], &q = b.pins[i];
    report.text(where + " pin", p.name, q.name);
    report.load(where + " pin " + q.name, p.force_n, q.force_n);
    for (const PinForce& expected : q.forces) {
      const auto found = std::ranges::find(p.forces, expected.body, &PinForce::body);
      if (found == p.forces.end()) {
        report.lines.push_back(where + " pin " + q.name + ": no force on " + expected.body);
        continue;
      }
      for (int axis = 0; axis < 2; ++axis) {
        report.load(where + " pin " + q.name + " on " + expected.body, found->force_C_n[axis],
                    expected.force_C_n[axis]);
      }
    }
  }
}

void compare_spring(Report& report, const std::string& where, const SpringResult& a, const SpringResult& b) {
  report.text(where + " name", a.name, b.name);
  report.position(where + " length", a.length_mm, b.length_mm);
  report.load(where + " force", a.force_n, b.force_n);
  report.load(where + " total force", a.total_force_n, b.total_force_n);
  report.other(where + " angle", a.angle_deg, b.angle_deg);
  report.other(where + " torque", a.torque_n_mm, b.torque_n_mm);
  if (!report.count(where + " motion ratios", a.motion_ratio.size(), b.motion_ratio.size())) return;
  for (std::size_t i = 0; i < a.motion_ratio.size(); ++i) {
    report.text(where + " wheel", a.motion_ratio[i].first, b.motion_ratio[i].first);
    report.other(where + " motion ratio of " + b.motion_ratio[i].first, a.motion_ratio[i].second,
                 b.motion_ratio[i].second);
  }
}

void compare_poses(Report& report, const std::string& where, const CornerResult& a, const CornerResult& b) {
  constexpr double arm_mm = 100;  // a body's angle counts by what it moves this far out
  if (!report.count(where + " poses", a.poses.size(), b.poses.size())) return;
  for (std::size_t i = 0; i < a.poses.size(); ++i) {
    const std::string body = fmt::format("{} body {}", where, i);
    const double turn = std::remainder(a.poses[i].theta_rad - b.poses[i].theta_rad, 2 * std::numbers::pi);
    report.position(body + " u", a.poses[i].p_CB.x(), b.poses[i].p_CB.x());
    report.position(body + " v", a.poses[i].p_CB.y(), b.poses[i].p_CB.y());
    report.position(body + " angle", arm_mm * turn, 0.0);
  }
}

void compare_corner(Report& report, const CornerResult& a, const CornerResult& b, const CornerNotes& notes) {
  const std::string& where = b.name;
  report.text(where + " name", a.name, b.name);
  report.position(where + " ride height", a.ride_height_mm, b.ride_height_mm);
  report.margin(where + " toggle margin", a.toggle_margin_deg, b.toggle_margin_deg);
  report.margin(where + " coil margin", a.coil_margin_deg, b.coil_margin_deg);
  report.count(where + " freedoms", static_cast<std::size_t>(a.freedoms), static_cast<std::size_t>(b.freedoms));
  if (report.count(where + " wheels", a.wheels.size(), b.wheels.size())) {
    for (std::size_t i = 0; i < a.wheels.size(); ++i) {
      compare_wheel(report, where + "/" + b.wheels[i].name, a.wheels[i], b.wheels[i]);
    }
  }
  if (report.count(where + " springs", a.springs.size(), b.springs.size())) {
    for (std::size_t i = 0; i < a.springs.size(); ++i) {
      compare_spring(report, where + " spring " + b.springs[i].name, a.springs[i], b.springs[i]);
    }
  }
  if (report.count(where + " rates", a.wheel_rate_matrix_n_per_mm.size(), b.wheel_rate_matrix_n_per_mm.size())) {
    for (std::size_t i = 0; i < a.wheel_rate_matrix_n_per_mm.size(); ++i) {
      report.other(fmt::format("{} rate {}", where, i), a.wheel_rate_matrix_n_per_mm[i],
                   b.wheel_rate_matrix_n_per_mm[i]);
    }
  }
  compare_poses(report, where, a, b);
  if (!notes.forces_told) return;
  compare_members(report, where, a, b);
  report.position(where + " as built", a.as_built_height_mm, b.as_built_height_mm);
  if (notes.settles) report.other(where + " pressed", a.pressed_height_mm, b.pressed_height_mm);
  if (notes.settles) report.other(where + " lifted", a.lifted_height_mm, b.lifted_height_mm);
  for (std::size_t i = 0; i < std::min(a.wheels.size(), b.wheels.size()); ++i) {
    // Where a spring goes solid on the way an inner freedom is held from there on, and friction jumps: its mean is known as closely
    // as the places that it is taken of are near to each other.
    const bool inner = static_cast<std::size_t>(b.freedoms) > b.wheels.size();
    const double share = inner ? 3e-3 : report.tolerances.share;
    report.number(where + "/" + b.wheels[i].name + " set down", a.wheels[i].set_down_height_mm,
                  b.wheels[i].set_down_height_mm,
                  share * std::max(1.0, std::abs(b.wheels[i].set_down_height_mm.value_or(0))));
    report.other(where + "/" + b.wheels[i].name + " friction", a.wheels[i].friction_n, b.wheels[i].friction_n);
    report.other(where + "/" + b.wheels[i].name + " break-out", a.wheels[i].break_out_g, b.wheels[i].break_out_g);
  }
}

void compare_vehicle(Report& report, const VehicleResult& a, const VehicleResult& b) {
  report.other("mass", a.mass_kg, b.mass_kg);
  report.other("total mass", a.total_mass_kg, b.total_mass_kg);
  for (int i = 0; i < 3; ++i) report.position("cg", a.cg_mm[i], b.cg_mm[i]);
  report.position("height", a.height_mm, b.height_mm);
  report.other("pitch", a.pitch_deg, b.pitch_deg);
  report.other("roll", a.roll_deg, b.roll_deg);
  report.text("indeterminate", a.indeterminate ? "true" : "false", b.indeterminate ? "true" : "false");
  if (!report.count("modes", a.modes.size(), b.modes.size())) return;
  for (std::size_t i = 0; i < a.modes.size(); ++i) {
    report.text("mode", a.modes[i].name, b.modes[i].name);
    report.other(b.modes[i].name + " frequency", a.modes[i].frequency_hz, b.modes[i].frequency_hz);
    report.other(b.modes[i].name + " centre", a.modes[i].centre_modules, b.modes[i].centre_modules);
  }
}

}  // namespace

std::vector<std::string> differences(const Solution& solution, const OracleSolution& oracle,
                                     const Tolerances& tolerances) {
  Report report{tolerances, {}};
  const Solution& expected = oracle.solution;
  report.text("model", solution.model, expected.model);
  report.text("vehicle", solution.vehicle ? "there" : "none", expected.vehicle ? "there" : "none");
  if (solution.vehicle && expected.vehicle) compare_vehicle(report, *solution.vehicle, *expected.vehicle);
  if (report.count("corners", solution.corners.size(), expected.corners.size())) {
    for (std::size_t i = 0; i < solution.corners.size(); ++i) {
      compare_corner(report, solution.corners[i], expected.corners[i], oracle.corners[i]);
    }
  }
  if (report.count("clearances", solution.clearances.size(), expected.clearances.size())) {
    for (std::size_t i = 0; i < solution.clearances.size(); ++i) {
      report.text("clearance", solution.clearances[i].name, expected.clearances[i].name);
      report.position("clearance " + expected.clearances[i].name, solution.clearances[i].height_mm,
                      expected.clearances[i].height_mm);
    }
  }
  return report.lines;
}

}  // namespace ridepitch::oracle
