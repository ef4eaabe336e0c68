#include "cli/hand_built.hpp"

namespace ridepitch {
namespace {

Linkage arm_linkage() {
  Linkage arm;
  arm.name = "arm";
  Wheel hub;
  hub.name = "hub";
  arm.wheels.push_back(hub);
  return arm;
}

CornerResult hauler_corner(const std::string& name, bool front) {
  WheelResult hub;
  hub.name = "hub";
  hub.load_n = front ? 6.592650284 : 5.175329716;
  hub.ground_load_n = front ? 7.347762334 : 5.930441766;
  hub.travel_mm = hub.sag_mm = hub.droop_travel_mm = front ? 10.99312739 : 8.074575098;
  hub.bump_travel_mm = front ? 14.61842979 : 17.53698208;
  hub.bump_total_mm = 25.61155718;
  hub.bump_load_n = 13.45090865;
  hub.reserve = front ? 2.040288514 : 2.599043808;
  hub.motion_ratio = front ? 0.6250174967 : 0.6253147375;
  hub.wheel_rate_n_per_mm = front ? 0.4840924144 : 0.483215819;
  hub.frequency_hz = front ? 4.270852659 : 4.815950665;
  hub.bump_end = "main solid";
  hub.droop_end = "main free";

  SpringResult main;
  main.name = "main";
  main.length_mm = front ? 49.10932627 : 50.93378591;
  main.force_n = front ? 5.272217711 : 4.141052735;
  main.total_force_n = front ? 10.54443542 : 8.28210547;
  main.motion_ratio = {{"hub", hub.motion_ratio}};

  CornerResult corner;
  corner.name = name;
  corner.ride_height_mm = front ? 37.42354632 : 39.04599039;
  corner.toggle_margin_deg = 69.89943743;
  corner.coil_margin_deg = 68.489811;
  corner.wheels = {hub};
  corner.springs = {main};
  corner.rods = {{"pushrod", front ? 10.54479342 : 8.287202734}};
  corner.pins = {{"chassis.arm",
                  front ? 3.953009666 : 3.112807439,
                  {{"arm", front ? Vec2(0.06459608922, 3.952481849) : Vec2(-0.06495218158, 3.112129716)},
                   {"chassis", front ? Vec2(-0.06459608922, -3.952481849) : Vec2(0.06495218158, -3.112129716)}}},
                 {"chassis.rocker", front ? 14.90684654 : 11.68671965, {}}};
  corner.freedoms = corner.freedoms_by_count = 1;
  return corner;
}

/// Three points of a straight line are enough of a curve to be written down.
Curve short_curve(int corner, const SpringResult& spring) {
  Curve curve;
  curve.corner = corner;
  for (int k = 0; k < 3; ++k) {
    CurvePoint point;
    point.travel_mm = 12.5 * k;
    point.load_n = 1.25 + 6.25 * k;
    point.wheel_rate_n_per_mm = 0.5;
    point.motion_ratio = 0.625;
    point.spring_length_mm = {56.0 - 7.5 * k};
    point.spring_force_n = {spring.torque_n_mm ? 100.0 : 1.0 + 4.65 * k};
    curve.points.push_back(point);
  }
  return curve;
}

}  // namespace

Solved hand_built_hauler() {
  Solved solved;
  solved.model.files = {"hauler.toml", "parts.toml"};
  solved.model.name = solved.solution.model = "Quarry hauler";
  solved.model.linkages = {arm_linkage()};

  VehicleResult vehicle;
  vehicle.mass_kg = 2.4;
  vehicle.total_mass_kg = 2.708;
  vehicle.cg_mm = 8 * Vec3(2.158333333, 0.0, 5.325);
  vehicle.height_mm = 6.2;
  vehicle.pitch_deg = 0.5810049449;
  vehicle.modes = {
      {"bounce", 4.463283086, -89.31703972}, {"pitch", 7.146856193, 3.606616398}, {"roll", 7.658220737, {}}};
  solved.solution.vehicle = vehicle;

  for (const char* name : {"front left", "front right", "rear left", "rear right"}) {
    Corner corner;
    corner.name = name;
    solved.model.corners.push_back(corner);
    solved.solution.corners.push_back(hauler_corner(name, name[0] == 'f'));
    solved.solution.curves.push_back(
        short_curve(static_cast<int>(solved.model.corners.size()) - 1, solved.solution.corners.back().springs[0]));
  }
  solved.solution.clearances = {{"belly", 14.23600229}};
  return solved;
}

Solved hand_built_on_floor() {
  Solved solved = hand_built_hauler();
  Solution& solution = solved.solution;
  for (const std::size_t c : {0u, 1u}) {
    WheelPath path;
    path.rest = {-0.5, 0.0, {}, 25.5};
    path.droop = {1.25, -2.5, {}, 30.0};
    path.bump = {-3.5, 1.5, {}, 20.0};
    path.camber_deg_per_mm = -0.125;
    path.track_change_mm_per_mm = 0.25;
    solution.corners[c].wheels[0].path = path;
    for (CurvePoint& point : solution.curves[c].points) point.path = path.droop;
  }
  for (const std::size_t c : {2u, 3u}) {
    WheelPath path;
    path.rest.wheelbase_change_mm = 0;
    path.droop.wheelbase_change_mm = 1.75;
    path.bump.wheelbase_change_mm = -4.5;
    path.wheelbase_change_mm_per_mm = -0.0625;
    solution.corners[c].wheels[0].path = path;
    for (CurvePoint& point : solution.curves[c].points) point.path = path.bump;
  }
  solution.axles = {{{"front left/hub", "front right/hub"}, 128, 25.5}, {{"rear left/hub", "rear right/hub"}, 136, {}}};
  FloorResult floor;
  floor.blocks = {{"front left/hub", 12.5}, {"rear left/hub", -3}};
  floor.slope_deg = 10;
  floor.toward = "left";
  floor.wheels = {{"front left/hub", {42.25, 14.5, {"rear left/hub"}, false}, {-33.5, -11, {"rear right/hub"}, false}},
                  {"front right/hub", {38.5, 12, {"front left/hub", "rear left/hub"}, false}, {-60, -9, {}, true}}};
  floor.tilts = {{"left", 44.5, {"rear right/hub"}, 50.75}, {"right", {}, {}, 48.5}, {"front", {}, {}, {}}};
  floor.slide_deg = 38.66;
  floor.tolerance_mm = floor.tolerance_deg = 0.001;
  solution.floor = floor;
  return solved;
}

Solved hand_built_bench() {
  Solved solved;
  solved.model.files = {"arm.toml"};
  solved.model.name = solved.solution.model = "Single arm";
  solved.model.linkages = {arm_linkage()};
  solved.model.bench = true;
  Corner corner;
  corner.name = "arm";
  corner.load_n = 6.0;
  solved.model.corners = {corner};

  CornerResult result = hauler_corner("arm", true);
  result.wheels[0].load_n = 6.0;
  result.wheels[0].ground_load_n.reset();
  result.wheels[0].bump_load_n.reset();
  result.wheels[0].reserve.reset();
  result.wheels[0].bump_end = "dead point";
  result.wheels[0].bump_end_links = {"pushrod", "rocker"};
  SpringResult twist;
  twist.name = "twist";
  twist.angle_deg = -14.04;
  twist.torque_n_mm = 123.45;
  twist.motion_ratio = {{"hub", std::nullopt}};
  result.springs.push_back(twist);
  solved.solution.corners = {result};
  return solved;
}

}  // namespace ridepitch
