#pragma once
// What the tests of the reader read.

#include <string>
#include <string_view>

#include "model/read.hpp"
#include "rigs/files.hpp"

namespace ridepitch {

/// Products and quotients of the numbers written down, of some hundreds at most: a few roundings.
inline constexpr double exact = 1e-12;

/// Reads a text as a file beside the good ones, whose parts it can name.
inline const std::string beside_good_ones = source_path("tests/model/good/text.toml");
inline ReadModel read_text(std::string_view text) { return read_model_text(text, beside_good_ones); }

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
