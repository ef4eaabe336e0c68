#pragma once
// What `steer` prints, as text, JSON or CSV.

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

}  // namespace ridepitch
