#pragma once
// What `steer` prints, as text, JSON or CSV.

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "cli/json_text.hpp"
#include "cli/page.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

struct SteeredModel {
  Solved solved;  ///< its findings are those of `solve`, and are not printed here
  Steered steered;
};

/// The answer in a sentence, what can be checked by hand, the engineer's numbers, findings.
std::string steer_text(const SteeredModel& model, const TextStyle& style);

/// { "format": 1, "model": ..., "steering": [ ... ], "findings": [ ... ] }; several: { "format": 1, "models": [ ... ] }.
std::string steer_json(const std::vector<SteeredModel>& models);

/// One line for every point of every sweep, numbers that read back to the same double; empty where there is none.
std::string steer_csv(const SteeredModel& model);

/// Toe of every wheel over its travel, and the holes that would take the slope away; empty where there is none.
std::string bump_text(const Steering& steering, const TextStyle& style);

/// How the kingpins lean over the travel of their wheels.
std::string kingpin_text(const Steering& steering, const TextStyle& style);

/// What each wheel comes nearest to; empty where there is nothing that it could meet.
std::string clearance_text(const Steering& steering, const TextStyle& style);

/// null where there is none. Angles in degrees, travel in mm, holes and heights in modules.
nlohmann::ordered_json bump_json(const BumpSteer& wheel);
nlohmann::ordered_json clearance_json(const Steering& steering, double module_mm);

}  // namespace ridepitch
