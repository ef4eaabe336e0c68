#pragma once
// The models that the tests of the reader read.

#include <gtest/gtest.h>

#include <string>
#include <string_view>

#include "model/read.hpp"

namespace ridepitch {

/// Products and quotients of the numbers written down, of some hundreds at most: a few roundings.
inline constexpr double exact = 1e-12;

inline std::string source_path(std::string_view name) {
  return std::string(RIDEPITCH_SOURCE_DIR) + "/" + std::string(name);
}

/// A model that must be sound; an empty one, and a failure, if it is not.
inline Model read_sound_model(std::string_view name) {
  ReadModel read = read_model(source_path(name));
  for (const Problem& problem : read.problems) {
    ADD_FAILURE() << name << ":" << problem.place.line << ":" << problem.place.column << ": " << problem.text;
  }
  return read.model.value_or(Model{});
}

/// Reads a text as a file beside the good ones, whose parts it can name.
inline ReadModel read_text(std::string_view text) {
  return read_model_text(text, source_path("tests/model/good/text.toml"));
}

/// The smallest sound model on the bench: one arm, one torsion spring, one wheel. What is added to it stands below.
inline constexpr std::string_view small_model = R"(format = 1
name = "Arm"
parts = ["parts.toml"]
linkage.arm.plane = "side"
linkage.arm.body.chassis = { holes = { arm = [0, 0], seat = [0, 5] } }
linkage.arm.body.arm = { holes = { root = [0, 0], axle = [8, 0] } }
linkage.arm.pin = [{ join = ["chassis.arm", "arm.root"] }]
linkage.arm.spring.main = { kind = "torsion", between = ["chassis", "arm"], rate_n_mm_per_deg = 30, free_deg = -40 }
linkage.arm.wheel.hub = { at = "arm.axle", part = "tyre-a" }
[[corner]]
name = "rear left"
linkage = "arm"
at = [0, 0, 0]
load_n = 8
)";

inline std::string with_crlf(std::string_view text) {
  std::string result;
  for (const char c : text) result += c == '\n' ? std::string("\r\n") : std::string(1, c);
  return result;
}

inline ReadModel read_small_model_with(std::string_view added) {
  return read_text(std::string(small_model) + std::string(added));
}

}  // namespace ridepitch
