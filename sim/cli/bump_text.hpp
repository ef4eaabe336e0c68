#pragma once
// Bump steer and lock clearance, as `steer` prints them.

#include <nlohmann/json_fwd.hpp>
#include <string>

#include "cli/page.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

/// Toe of every wheel over its travel, and the holes that would take the slope away; empty where there is none.
std::string bump_text(const Steering& steering, const TextStyle& style);

/// What each wheel comes nearest to; empty where there is nothing that it could meet.
std::string clearance_text(const Steering& steering, const TextStyle& style);

/// null where there is none. Angles in degrees, travel in mm, holes and heights in modules.
nlohmann::ordered_json bump_json(const BumpSteer& wheel);
nlohmann::ordered_json clearance_json(const Steering& steering, double module_mm);

}  // namespace ridepitch
