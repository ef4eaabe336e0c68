#include "cli/json_text.hpp"

#include <array>
#include <cmath>
#include <string_view>

#include "cli/json_pieces.hpp"
#include "cli/page.hpp"
#include "cli/tally.hpp"
#include "model/index.hpp"
#include "ride/quantity_readers.hpp"

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

constexpr std::string_view of_path = "path/";  // leaves that stand in the path of a wheel

/// Every number of a vehicle, corner, wheel or spring in its place of the JSON (words/quantity.hpp).
/// @param part  of no quantity. @param in_path  those of its path, else all others
void add_leaves(Json& out, const Solved& solved, Scope scope, Figure part, bool in_path = false) {
  for (const Quantity& what : quantities()) {
    std::string_view leaf = leaf_of(what);
    if (what.of != scope || leaf == no_leaf || leaf.starts_with(of_path) != in_path) continue;
    if (in_path) leaf.remove_prefix(of_path.size());
    if (in_path && leaf.find('/') != leaf.npos) continue;  // of a place of it: point_json
    part.what = &what;
    Json value = maybe(value_of(solved.model, solved.solution, part));
    if (leaf.find('/') == leaf.npos)
      out[std::string(leaf)] = std::move(value);
    else
      out[Json::json_pointer("/" + std::string(leaf))] = std::move(value);
  }
}

Json range_json(const std::optional<Likely>& range) { return range ? Json(*range) : Json(nullptr); }

Json mode_json(const Mode& mode) {
  return {{"name", mode.name}, {"frequency_hz", mode.frequency_hz}, {"centre_modules", maybe(mode.centre_modules)}};
}

Json vehicle_json(const Solved& solved) {
  const Solution& solution = solved.solution;
  if (!solution.vehicle) return nullptr;
  const VehicleResult& vehicle = *solution.vehicle;
  Json out = Json::object();
  add_leaves(out, solved, Scope::vehicle, {});
  out.update(
      {{"indeterminate", vehicle.indeterminate},
       {"snapped", vehicle.snapped},
       {"other_stances",
        list_json(vehicle.other_stances, [&](const OtherStance& other) { return other_stance_json(other, solution); })},
       {"modes", list_json(vehicle.modes, mode_json)}});
  if (solution.drawn) out["expected"] = {{std::string(name::pitch), range_json(vehicle.expected_pitch_deg)}};
  return out;
}

Json full_size_json(const std::optional<FullSize>& full_size) {
  if (!full_size) return nullptr;
  Json lengths = list_json(full_size->lengths, [](const FullSizeLength& length) -> Json {
    return {{"name", length.name},
            {"model_mm", length.model_mm},
            {"original_mm", length.original_mm},
            {"scaled_mm", length.scaled_mm},
            {"off_percent", length.off_percent}};
  });
  return {
      {"scale", full_size->scale}, {"lengths", std::move(lengths)}, {"modes", list_json(full_size->modes, mode_json)}};
}

Json path_json(const Solved& solved, const Figure& wheel, const std::optional<WheelPath>& path) {
  if (!path) return nullptr;
  const auto point_json = [](const PathPoint& point) {
    Json out = Json::object();
    for (const PathReader& each : path_readers) out[each.name] = maybe(point.*each.value);
    return out;
  };
  Json out = {{"rest", point_json(path->rest)}, {"droop", point_json(path->droop)}, {"bump", point_json(path->bump)}};
  add_leaves(out, solved, Scope::wheel, wheel, true);
  return out;
}

Json axle_json(const AxleResult& axle) {
  return {{"wheels", axle.wheels}, {"track_mm", axle.track_mm}, {"roll_centre_mm", maybe(axle.roll_centre_mm)}};
}

Json reach_json(const GroundReach& reach) {
  return {
      {"height_mm", reach.height_mm}, {"travel_mm", reach.travel_mm}, {"lifted", reach.lifted}, {"tips", reach.tips}};
}

Json floor_json(const std::optional<FloorResult>& floor) {
  if (!floor) return nullptr;
  Json blocks = Json::object();
  for (const Block& block : floor->blocks) blocks[block.wheel] = block.height_mm;
  Json wheels = list_json(floor->wheels, [](const WheelReach& wheel) -> Json {
    return {{"name", wheel.wheel}, {"block", reach_json(wheel.block)}, {"dip", reach_json(wheel.dip)}};
  });
  Json tilts = list_json(floor->tilts, [](const TiltReach& tilt) -> Json {
    return {{"toward", tilt.toward},
            {"lift_deg", maybe(tilt.lift_deg)},
            {"lifted", tilt.lifted},
            {"tip_deg", maybe(tilt.tip_deg)}};
  });
  return {{"blocks", std::move(blocks)},         {"slope_deg", floor->slope_deg},
          {"toward", maybe(floor->toward)},      {"wheels", std::move(wheels)},
          {"tilts", std::move(tilts)},           {"slide_deg", maybe(floor->slide_deg)},
          {"tolerance_mm", floor->tolerance_mm}, {"tolerance_deg", floor->tolerance_deg}};
}

Json wheel_json(const Solved& solved, const Figure& at_wheel, const WheelResult& wheel) {
  Json out = {{"name", wheel.name}};
  add_leaves(out, solved, Scope::wheel, at_wheel);
  out.update({{"weight_to_bump_why", maybe(wheel.weight_to_bump_why)},
              {"state", state_name(wheel.state)},
              {"bump_end", maybe(wheel.bump_end)},
              {"bump_end_links", wheel.bump_end_links},
              {"droop_end", maybe(wheel.droop_end)},
              {"path", path_json(solved, at_wheel, wheel.path)}});
  if (solved.solution.drawn)
    out["expected"] = {{std::string(name::wheel_rate), range_json(wheel.expected_rate_n_per_mm)},
                       {std::string(name::bump_travel), range_json(wheel.expected_bump_mm)}};
  return out;
}

Json spring_json(const Solved& solved, const Figure& at_spring, const SpringResult& spring) {
  Json out = {{"name", spring.name}}, ratios = Json::object();
  for (const auto& [wheel, ratio] : spring.motion_ratio) ratios[wheel] = maybe(ratio);
  add_leaves(out, solved, Scope::spring, at_spring);
  out["motion_ratio"] = std::move(ratios);
  if (spring.angle_deg || spring.torque_n_mm) add_leaves(out, solved, Scope::torsion, at_spring);
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

Json corner_json(const Solved& solved, int index) {
  const CornerResult& corner = at(solved.solution.corners, index);
  Json out = {{"name", corner.name}}, wheels = Json::array(), springs = Json::array();
  for (int w = 0; w < count(corner.wheels); ++w)
    wheels.push_back(wheel_json(solved, {nullptr, index, w}, at(corner.wheels, w)));
  for (int s = 0; s < count(corner.springs); ++s)
    springs.push_back(spring_json(solved, {nullptr, index, -1, s}, at(corner.springs, s)));
  add_leaves(out, solved, Scope::corner, {nullptr, index});
  out.update({{"freedoms", corner.freedoms},
              {"freedoms_by_count", corner.freedoms_by_count},
              {"wheels", std::move(wheels)},
              {"springs", std::move(springs)},
              {"rods", list_json(corner.rods,
                                 [](const RodResult& rod) -> Json {
                                   return {{"name", rod.name}, {"force_n", rod.force_n}};
                                 })},
              {"pins", list_json(corner.pins, pin_json)}});
  if (solved.solution.drawn) {
    out["expected"] = {{std::string(name::as_built), range_json(corner.expected_height_mm)}};
    out["ruler_band_mm"] = corner.ruler_band_mm ? Json(*corner.ruler_band_mm) : Json(nullptr);
  }
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
  return {{"model", checked.model.name},
          {"counts", std::move(counts)},
          {"findings", findings_json(checked.solution.findings)},
          {"notes", problems_json(checked.notes)}};
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

Json problems_json(const std::vector<Problem>& problems) { return list_json(problems, place_json); }

Json findings_json(const std::vector<Finding>& findings) {
  return list_json(findings, [](const Finding& finding) -> Json {
    return {{"level", level_name(finding.level)},
            {"code", finding.code},
            {"where", finding.where},
            {"text", finding.text},
            {"remedy", finding.remedy}};
  });
}

Json weighing_json(const Solution& solution, double module_mm) {
  if (!solution.weighing) return nullptr;
  const Weighing& weighing = *solution.weighing;
  const double g_per_kg = 1000;
  Json readings = list_json(weighing.readings, [&](const WeighedReading& reading) -> Json {
    return {{"wheels", reading.wheels},
            {"read_g", reading.read_kg * g_per_kg},
            {"within_g", reading.within_kg * g_per_kg},
            {"computed_g", reading.computed_kg * g_per_kg},
            {"may_differ_g", reading.may_differ_kg * g_per_kg}};
  });
  Json heights = Json::object();
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
  return list_json(solution.measured, [&](const MeasuredHeight& height) -> Json {
    return {{"of", at(solution.corners, height.corner).name},
            {"ride_height_mm", height.measured_mm},
            {"within_mm", height.within_mm},
            {"computed_mm", height.computed_mm},
            {"difference_mm", height.measured_mm - height.computed_mm},
            {"friction_mm", maybe(height.friction_mm)}};
  });
}

Json cause_json(const LikelyCause& cause) {
  return {{"code", cause.code}, {"what", cause.what}, {"needs", cause.needs},         {"amount", cause.amount},
          {"unit", cause.unit}, {"size", cause.size}, {"leaves_mm", cause.leaves_mm}, {"likelihood", cause.likelihood}};
}

Json slices_json(const Stacks& stacks) {
  return list_json(stacks.linkages, [](const LinkageStack& stack) -> Json {
    Json parts = list_json(stack.parts, [](const StackedPart& part) -> Json {
      static constexpr std::array kinds = {"body", "rod", "spring"};
      return {{"name", part.name},
              {"kind", kinds[static_cast<std::size_t>(part.kind)]},
              {"from", part.first},
              {"to", part.last},
              {"given", part.given}};
    });
    Json tyres = list_json(stack.tyres, [](const StackedTyre& tyre) -> Json {
      return {{"wheel", tyre.name}, {"from", tyre.across.from}, {"to", tyre.across.to}};
    });
    Json pins = list_json(stack.pins, [](const NeededPin& pin) -> Json {
      return {{"at", pin.joint},
              {"axle", pin.axle},
              {"needed_modules", pin.needed},
              {"part", maybe(pin.part)},
              {"over_modules", pin.length ? Json(*pin.length - pin.needed) : Json(nullptr)}};
    });
    return {{"linkage", stack.name},      {"width", stack.complete ? Json(stack.width) : Json(nullptr)},
            {"complete", stack.complete}, {"sure", stack.sure},
            {"parts", std::move(parts)},  {"tyres", std::move(tyres)},
            {"pins", std::move(pins)}};
  });
}

Json solved_json(const Solved& solved) {
  const Solution& solution = solved.solution;
  Json corners = Json::array(), clearances = Json::array();
  for (int c = 0; c < count(solution.corners); ++c) corners.push_back(corner_json(solved, c));
  for (int p = 0; p < count(solution.clearances); ++p) {
    clearances.push_back({{"name", at(solution.clearances, p).name}});
    add_leaves(clearances.back(), solved, Scope::point, {nullptr, -1, -1, -1, p});
  }
  return {{"model", solution.model},
          {"vehicle", vehicle_json(solved)},
          {"corners", std::move(corners)},
          {"axles", list_json(solution.axles, axle_json)},
          {"floor", floor_json(solution.floor)},
          {"drawn", solution.drawn ? Json({{"vehicles", solution.drawn->vehicles},
                                           {"why_general", maybe(solution.drawn->why_general)}})
                                   : Json(nullptr)},
          {"full_size", full_size_json(solution.full_size)},
          {"clearance", std::move(clearances)},
          {"slices", slices_json(solved.stacks)},
          {"findings", findings_json(solution.findings)},
          {"notes", problems_json(solved.notes)},
          {"weighing", weighing_json(solution, solved.model.module_mm)},
          {"measured", measured_json(solution)},
          {"causes", list_json(solution.causes, cause_json)}};
}

std::string json_document(const Json& content) {
  Json out = {{"format", format}};
  out.update(content);
  // Names may hold anything: what is not UTF-8 is replaced rather than refused.
  return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string solve_json(const std::vector<Solved>& solved) { return document_of(solved, solved_json); }

std::string new_json(const Solved& solved, const std::string& path, const std::vector<std::string>& assumed) {
  Json out = {{"written", path}, {"assumed", assumed}};
  out.update(solved_json(solved));
  return json_document(out);
}

std::string check_json(const std::vector<Solved>& checked) { return document_of(checked, checked_json); }

std::string errors_json(const std::vector<Problem>& problems) {
  return json_document({{"errors", problems_json(problems)}});
}

}  // namespace ridepitch
