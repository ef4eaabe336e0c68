#include "cli/json_text.hpp"

#include <cmath>
#include <nlohmann/json.hpp>
#include <string_view>

#include "cli/json_pieces.hpp"
#include "cli/page.hpp"
#include "cli/tally.hpp"
#include "ride/state_name.hpp"

namespace ridepitch {
namespace {

constexpr int format = 1;

Json other_stance_json(const OtherStance& other, const Solution& solution) {
  Json heights = Json::object();
  for (std::size_t c = 0; c < other.ride_height_mm.size() && c < solution.corners.size(); ++c) {
    heights[solution.corners[c].name] = other.ride_height_mm[c];
  }
  return {{"from", other.from},
          {"pitch_deg", other.pitch_deg},
          {"roll_deg", other.roll_deg},
          {"ride_height_mm", std::move(heights)}};
}

Json vehicle_json(const Solution& solution, double module_mm) {
  if (!solution.vehicle) return nullptr;
  const VehicleResult& vehicle = *solution.vehicle;
  Json others = Json::array(), modes = Json::array();
  for (const OtherStance& other : vehicle.other_stances) others.push_back(other_stance_json(other, solution));
  for (const Mode& mode : vehicle.modes) {
    modes.push_back(
        {{"name", mode.name}, {"frequency_hz", mode.frequency_hz}, {"centre_modules", maybe(mode.centre_modules)}});
  }
  const Vec3 cg = vehicle.cg_mm / module_mm;
  return {{"mass_kg", vehicle.mass_kg},
          {"total_mass_kg", vehicle.total_mass_kg},
          {"cg_modules", Json::array({cg.x(), cg.y(), cg.z()})},
          {"height_mm", vehicle.height_mm},
          {"pitch_deg", vehicle.pitch_deg},
          {"roll_deg", vehicle.roll_deg},
          {"indeterminate", vehicle.indeterminate},
          {"snapped", vehicle.snapped},
          {"other_stances", std::move(others)},
          {"modes", std::move(modes)}};
}

Json path_point_json(const PathPoint& point) {
  return {{"camber_deg", maybe(point.camber_deg)},
          {"track_change_mm", maybe(point.track_change_mm)},
          {"wheelbase_change_mm", maybe(point.wheelbase_change_mm)},
          {"roll_centre_mm", maybe(point.roll_centre_mm)}};
}

Json path_json(const std::optional<WheelPath>& path) {
  if (!path) return nullptr;
  return {{"rest", path_point_json(path->rest)},
          {"droop", path_point_json(path->droop)},
          {"bump", path_point_json(path->bump)},
          {"camber_deg_per_mm", maybe(path->camber_deg_per_mm)},
          {"track_change_mm_per_mm", maybe(path->track_change_mm_per_mm)},
          {"wheelbase_change_mm_per_mm", maybe(path->wheelbase_change_mm_per_mm)}};
}

Json axles_json(const std::vector<AxleResult>& axles) {
  Json out = Json::array();
  for (const AxleResult& axle : axles) {
    out.push_back(
        {{"wheels", axle.wheels}, {"track_mm", axle.track_mm}, {"roll_centre_mm", maybe(axle.roll_centre_mm)}});
  }
  return out;
}

Json reach_json(const GroundReach& reach) {
  return {
      {"height_mm", reach.height_mm}, {"travel_mm", reach.travel_mm}, {"lifted", reach.lifted}, {"tips", reach.tips}};
}

Json floor_json(const std::optional<FloorResult>& floor) {
  if (!floor) return nullptr;
  Json blocks = Json::object(), wheels = Json::array(), tilts = Json::array();
  for (const Block& block : floor->blocks) blocks[block.wheel] = block.height_mm;
  for (const WheelReach& wheel : floor->wheels) {
    wheels.push_back({{"name", wheel.wheel}, {"block", reach_json(wheel.block)}, {"dip", reach_json(wheel.dip)}});
  }
  for (const TiltReach& tilt : floor->tilts) {
    tilts.push_back({{"toward", tilt.toward},
                     {"lift_deg", maybe(tilt.lift_deg)},
                     {"lifted", tilt.lifted},
                     {"tip_deg", maybe(tilt.tip_deg)}});
  }
  return {{"blocks", std::move(blocks)},         {"slope_deg", floor->slope_deg},
          {"toward", maybe(floor->toward)},      {"wheels", std::move(wheels)},
          {"tilts", std::move(tilts)},           {"slide_deg", maybe(floor->slide_deg)},
          {"tolerance_mm", floor->tolerance_mm}, {"tolerance_deg", floor->tolerance_deg}};
}

Json wheel_json(const WheelResult& wheel) {
  return {{"name", wheel.name},
          {"load_n", maybe(wheel.load_n)},
          {"ground_load_n", maybe(wheel.ground_load_n)},
          {"travel_mm", maybe(wheel.travel_mm)},
          {"sag_mm", maybe(wheel.sag_mm)},
          {"bump_travel_mm", maybe(wheel.bump_travel_mm)},
          {"droop_travel_mm", maybe(wheel.droop_travel_mm)},
          {"bump_total_mm", maybe(wheel.bump_total_mm)},
          {"bump_load_n", maybe(wheel.bump_load_n)},
          {"reserve", maybe(wheel.reserve)},
          {"motion_ratio", maybe(wheel.motion_ratio)},
          {"wheel_rate_n_per_mm", maybe(wheel.wheel_rate_n_per_mm)},
          {"frequency_hz", maybe(wheel.frequency_hz)},
          {"state", state_name(wheel.state)},
          {"bump_end", maybe(wheel.bump_end)},
          {"bump_end_links", wheel.bump_end_links},
          {"droop_end", maybe(wheel.droop_end)},
          {"path", path_json(wheel.path)}};
}

Json spring_json(const SpringResult& spring) {
  Json ratios = Json::object();
  for (const auto& [wheel, ratio] : spring.motion_ratio) ratios[wheel] = maybe(ratio);
  Json out = {{"name", spring.name},
              {"length_mm", maybe(spring.length_mm)},
              {"force_n", maybe(spring.force_n)},
              {"total_force_n", maybe(spring.total_force_n)},
              {"motion_ratio", std::move(ratios)}};
  if (spring.angle_deg || spring.torque_n_mm) {
    out["angle_deg"] = maybe(spring.angle_deg);
    out["torque_n_mm"] = maybe(spring.torque_n_mm);
  }
  return out;
}

Json pin_json(const PinResult& pin) {
  Json forces = Json::object();
  for (const PinForce& force : pin.forces) {
    forces[force.body] = Json::array({force.force_C_n.x(), force.force_C_n.y()});
  }
  return {{"name", pin.name}, {"force_n", pin.force_n}, {"forces", std::move(forces)}};
}

/// Rows of the wheel-rate matrix; null where not every rate exists.
Json matrix_json(const CornerResult& corner) {
  const std::size_t n = corner.wheels.size();
  if (corner.wheel_rate_matrix_n_per_mm.size() != n * n) return nullptr;
  Json rows = Json::array();
  for (std::size_t i = 0; i < n; ++i) {
    Json row = Json::array();
    for (std::size_t j = 0; j < n; ++j) row.push_back(corner.wheel_rate_matrix_n_per_mm[i * n + j]);
    rows.push_back(std::move(row));
  }
  return rows;
}

Json corner_json(const CornerResult& corner) {
  Json wheels = Json::array(), springs = Json::array(), rods = Json::array(), pins = Json::array();
  for (const WheelResult& wheel : corner.wheels) wheels.push_back(wheel_json(wheel));
  for (const SpringResult& spring : corner.springs) springs.push_back(spring_json(spring));
  for (const RodResult& rod : corner.rods) rods.push_back({{"name", rod.name}, {"force_n", rod.force_n}});
  for (const PinResult& pin : corner.pins) pins.push_back(pin_json(pin));
  Json out = {{"name", corner.name},
              {"ride_height_mm", maybe(corner.ride_height_mm)},
              {"toggle_margin_deg", maybe(corner.toggle_margin_deg)},
              {"coil_margin_deg", maybe(corner.coil_margin_deg)},
              {"freedoms", corner.freedoms},
              {"freedoms_by_count", corner.freedoms_by_count},
              {"wheels", std::move(wheels)},
              {"springs", std::move(springs)},
              {"rods", std::move(rods)},
              {"pins", std::move(pins)}};
  if (corner.wheels.size() > 1) out["wheel_rate_matrix_n_per_mm"] = matrix_json(corner);
  return out;
}

Json place_json(const Problem& problem) {
  const Place& place = problem.place;
  return {{"file", maybe(problem.file_name)},
          {"line", place.line > 0 ? Json(place.line) : Json(nullptr)},
          {"column", place.line > 0 && place.column > 0 ? Json(place.column) : Json(nullptr)},
          {"code", problem.code},
          {"text", problem.text},
          {"hint", maybe(problem.hint)}};
}

Json checked_json(const Solved& checked) {
  Json counts = Json::object();
  for (const Count& count : tally(checked.model)) counts[count.plural] = count.number;
  return {{"model", checked.model.name}, {"counts", std::move(counts)}, {"notes", problems_json(checked.notes)}};
}

/// The document of one model, or of several.
std::string document(const std::vector<Solved>& all, Json (*one)(const Solved&)) {
  if (all.size() == 1) return json_document(one(all[0]));
  Json models = Json::array();
  for (const Solved& each : all) models.push_back(one(each));
  return json_document({{"models", std::move(models)}});
}

}  // namespace

Json law_json(const std::optional<ForceTable>& law) {
  if (!law) return nullptr;
  Json points = Json::array();
  for (const Vec2& point : *law) points.push_back(Json::array({point.x(), point.y()}));
  return points;
}

Json maybe(const std::optional<double>& value) { return value && std::isfinite(*value) ? Json(*value) : Json(nullptr); }

Json maybe(std::string_view text) { return text.empty() ? Json(nullptr) : Json(text); }

Json problems_json(const std::vector<Problem>& problems) {
  Json out = Json::array();
  for (const Problem& problem : problems) out.push_back(place_json(problem));
  return out;
}

Json findings_json(const std::vector<Finding>& findings) {
  Json out = Json::array();
  for (const Finding& finding : findings) {
    out.push_back({{"level", level_name(finding.level)},
                   {"code", finding.code},
                   {"where", finding.where},
                   {"text", finding.text},
                   {"remedy", finding.remedy}});
  }
  return out;
}

Json weighing_json(const Solution& solution, double module_mm) {
  if (!solution.weighing) return nullptr;
  const Weighing& weighing = *solution.weighing;
  const double g_per_kg = 1000;
  Json readings = Json::array(), heights = Json::object();
  for (const WeighedReading& reading : weighing.readings) {
    readings.push_back({{"wheels", reading.wheels},
                        {"read_g", reading.read_kg * g_per_kg},
                        {"within_g", reading.within_kg * g_per_kg},
                        {"computed_g", reading.computed_kg * g_per_kg},
                        {"may_differ_g", reading.may_differ_kg * g_per_kg}});
  }
  for (std::size_t c = 0; c < solution.corners.size(); ++c)
    heights[solution.corners[c].name] = maybe(weighing.ride_height_within_mm[c]);
  const Json y = weighing.cg_y_within_mm ? Json(*weighing.cg_y_within_mm / module_mm) : Json(nullptr);
  return {{"mass_within_g", weighing.mass_within_kg * g_per_kg},
          {"cg_within_modules", Json::array({weighing.cg_x_within_mm / module_mm, y, nullptr})},
          {"pitch_within_deg", weighing.pitch_within_deg},
          {"roll_within_deg", weighing.roll_within_deg},
          {"ride_height_within_mm", std::move(heights)},
          {"readings", std::move(readings)}};
}

Json measured_json(const Solution& solution) {
  Json all = Json::array();
  for (const MeasuredHeight& height : solution.measured) {
    all.push_back({{"of", solution.corners[static_cast<std::size_t>(height.corner)].name},
                   {"ride_height_mm", height.measured_mm},
                   {"within_mm", height.within_mm},
                   {"computed_mm", height.computed_mm},
                   {"difference_mm", height.measured_mm - height.computed_mm},
                   {"friction_mm", maybe(height.friction_mm)}});
  }
  return all;
}

Json causes_json(const Solution& solution) {
  Json all = Json::array();
  for (const LikelyCause& cause : solution.causes) {
    all.push_back({{"code", cause.code},
                   {"what", cause.what},
                   {"needs", cause.needs},
                   {"amount", cause.amount},
                   {"unit", cause.unit},
                   {"size", cause.size},
                   {"leaves_mm", cause.leaves_mm}});
  }
  return all;
}

Json solved_json(const Solved& solved) {
  const Solution& solution = solved.solution;
  Json corners = Json::array(), clearances = Json::array();
  for (const CornerResult& corner : solution.corners) corners.push_back(corner_json(corner));
  for (const ClearanceResult& point : solution.clearances) {
    clearances.push_back({{"name", point.name}, {"height_mm", point.height_mm}});
  }
  return {{"model", solution.model},
          {"vehicle", vehicle_json(solution, solved.model.module_mm)},
          {"corners", std::move(corners)},
          {"axles", axles_json(solution.axles)},
          {"floor", floor_json(solution.floor)},
          {"clearance", std::move(clearances)},
          {"findings", findings_json(solution.findings)},
          {"notes", problems_json(solved.notes)},
          {"weighing", weighing_json(solution, solved.model.module_mm)},
          {"measured", measured_json(solution)},
          {"causes", causes_json(solution)}};
}

std::string json_document(const Json& content) {
  Json out = {{"format", format}};
  out.update(content);
  // Names may hold anything: what is not UTF-8 is replaced rather than refused.
  return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string solve_json(const std::vector<Solved>& solved) { return document(solved, solved_json); }

std::string new_json(const Solved& solved, const std::string& path, const std::vector<std::string>& assumed) {
  Json out = {{"format", format}, {"written", path}, {"assumed", assumed}};
  out.update(solved_json(solved));
  return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string check_json(const std::vector<Solved>& checked) { return document(checked, checked_json); }

std::string errors_json(const std::vector<Problem>& problems) {
  return json_document({{"errors", problems_json(problems)}});
}

}  // namespace ridepitch
