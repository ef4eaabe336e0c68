#include "cli/json_pieces.hpp"
#include "cli/steered_model.hpp"

namespace ridepitch {
namespace {

template <class Value>
Json pair_json(const std::array<Value, 2>& pair) {
  return Json::array({maybe(pair[0]), maybe(pair[1])});
}

/// A place on the ground, in modules.
Json place_json(const Vec2& place_mm, double module_mm) { return {place_mm.x() / module_mm, place_mm.y() / module_mm}; }

Json wheel_json(const SteeredWheel& wheel, double module_mm) {
  return {{"name", wheel.name},
          {"same_as", maybe(wheel.same_as)},
          {"toe_deg", wheel.toe_deg},
          {"lock_deg", wheel.lock_deg},
          {"rate_deg", wheel.rate_deg},
          {"kingpin_modules", wheel.has_king ? place_json(wheel.king_mm, module_mm) : Json(nullptr)},
          {"scrub_radius_mm", wheel.scrub_radius_mm}};
}

Json point_json(const Steering& steering, const SteerPoint& point, double module_mm) {
  Json angles = Json::object();
  for (std::size_t w = 0; w < steering.wheels.size(); ++w) angles[steering.wheels[w].name] = point.steer_deg[w];
  return {{"drive", point.drive},
          {"hand_turns", maybe(point.hand_turns)},
          {"steer_deg", std::move(angles)},
          {"ackermann_error_deg", maybe(point.ackermann_error_deg)},
          {"turn_radius_mm", maybe(point.turn_radius_mm)},
          {"turn_centre_modules",
           maybe(point.turn_centre_mm, [&](const Vec2& centre_mm) { return place_json(centre_mm, module_mm); })}};
}

Json effort_json(const SteerEffort& effort) {
  return {{"friction", effort.friction},
          {"friction_assumed", !effort.friction_given},
          {"load_n", effort.load_n},
          {"drive_at_centre", effort.drive_at_centre},
          {"drive_at_most", maybe(effort.drive_at_most)},
          {"hand_at_centre_n_mm", maybe(effort.hand_at_centre_n_mm)},
          {"hand_at_most_n_mm", maybe(effort.hand_at_most_n_mm)}};
}

Json hand_json(const HandWheel& hand) {
  return {{"name", hand.name},
          {"ratio", hand.ratio},
          {"rack_mm_per_turn", maybe(hand.rack_mm_per_turn)},
          {"turns_lock_to_lock", maybe(hand.turns_lock_to_lock)},
          {"steering_ratio", maybe(hand.steering_ratio)},
          {"at_centre_n_mm", maybe(hand.at_centre_n_mm)},
          {"at_most_n_mm", maybe(hand.at_most_n_mm)}};
}

Json steering_json(const SteeredModel& model, const Steering& steering) {
  const double module_mm = model.solved.model.module_mm;
  Json wheels = Json::array();
  for (std::size_t w = 0; w < steering.wheels.size(); ++w) {
    wheels.push_back(wheel_json(steering.wheels[w], module_mm));
    wheels.back()["bump_steer"] = w < steering.bump.size() ? bump_json(steering.bump[w]) : Json(nullptr);
  }
  return {{"name", steering.name},
          {"linkage", model.solved.model.linkages[static_cast<std::size_t>(steering.linkage)].name},
          {"drive", steering.crank ? "crank" : "rack"},
          {"follows", maybe(steering.follows)},
          {"ratio", steering.follows.empty() ? Json(nullptr) : Json(steering.ratio)},
          {"range", steering.range},
          {"ends", steering.ends},
          {"end_parts", steering.end_parts},
          {"rod_margin_deg", pair_json(steering.rod_margin_deg)},
          {"rack_mm_per_turn", maybe(steering.rack_mm_per_turn)},
          {"turns_lock_to_lock", maybe(steering.turns_lock_to_lock)},
          {"steering_ratio", maybe(steering.steering_ratio)},
          {"wheelbase_mm", maybe(steering.wheelbase_mm)},
          {"track_mm", maybe(steering.track_mm)},
          {"inner_lock_deg", pair_json(steering.inner_lock_deg)},
          {"outer_lock_deg", pair_json(steering.outer_lock_deg)},
          {"turn_circle_mm", pair_json(steering.turn_circle_mm)},
          {"kerb_circle_mm", pair_json(steering.kerb_circle_mm)},
          {"ackermann_percent", pair_json(steering.ackermann_percent)},
          {"worst_error_deg", maybe(steering.worst_error_deg)},
          {"worst_error_at", maybe(steering.worst_error_at)},
          {"rms_error_deg", maybe(steering.rms_error_deg)},
          {"least_radius_mm", maybe(steering.least_radius_mm)},
          {"effort", maybe(steering.effort, effort_json)},
          {"hands", list_json(steering.hands, hand_json)},
          {"wheels", std::move(wheels)},
          {"room", clearance_json(steering, module_mm)},
          {"sweep",
           list_json(steering.sweep, [&](const SteerPoint& point) { return point_json(steering, point, module_mm); })}};
}

Json model_json(const SteeredModel& model) {
  return {
      {"model", model.solved.model.name},
      {"steering", list_json(model.steered.steering, [&](const Steering& each) { return steering_json(model, each); })},
      {"findings", findings_json(model.steered.findings)},
      {"notes", problems_json(model.solved.notes)}};
}

}  // namespace

std::string steer_json(const std::vector<SteeredModel>& models) { return document_of(models, model_json); }

}  // namespace ridepitch
