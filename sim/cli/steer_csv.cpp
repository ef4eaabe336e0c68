#include <fmt/format.h>

#include <algorithm>

#include "cli/csv_cells.hpp"
#include "cli/steered_model.hpp"

namespace ridepitch {

std::string steer_csv(const SteeredModel& model) {
  std::vector<std::string> wheels;  // of any steering
  for (const Steering& steering : model.steered.steering)
    for (const SteeredWheel& wheel : steering.wheels)
      if (std::find(wheels.begin(), wheels.end(), wheel.name) == wheels.end()) wheels.push_back(wheel.name);
  std::string text = "steering,drive,hand_turns";
  for (const std::string& wheel : wheels) text += "," + csv_text(wheel + "_steer_deg");
  text += ",ackermann_error_deg,turn_radius_mm\n";
  for (const Steering& steering : model.steered.steering) {
    for (const SteerPoint& point : steering.sweep) {
      text += csv_text(steering.name) + "," + csv_number(point.drive) + "," + csv_number(point.hand_turns);
      for (const std::string& name : wheels) {
        const auto same = std::find_if(steering.wheels.begin(), steering.wheels.end(),
                                       [&](const SteeredWheel& wheel) { return wheel.name == name; });
        text += ",";
        if (same != steering.wheels.end())
          text += csv_number(point.steer_deg[static_cast<std::size_t>(same - steering.wheels.begin())]);
      }
      text += "," + csv_number(point.ackermann_error_deg) + "," + csv_number(point.turn_radius_mm) + "\n";
    }
  }
  return text;
}

}  // namespace ridepitch
