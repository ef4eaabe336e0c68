#pragma once
// Whether answers go together: the parts of one axle, and then the whole machine.

#include <optional>
#include <string>
#include <vector>

#include "interview/answers.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// Answers that are right each by itself, but not together.
struct Objection {
  std::string what;                       ///< does not go together, in a few words
  std::string why = {};                   ///< and the numbers of it, or what would do; may be empty
  std::vector<std::string> look_at = {};  ///< keys of the answers to look at, the likeliest first
  Fault fault = Fault::no_solution;
};

struct AxleTrial {
  std::optional<Objection> objection;
  std::vector<std::string>
      picture;  ///< the linkage as it goes together, if need be without its coil; empty if it does not
};

/// Puts the parts of one axle together. `axle` has parts of its own.
AxleTrial try_axle(const Answers& answers, const std::string& axle);

/// Reads the text that the answers give, and solves it. @returns what does not go together, if anything
std::optional<Objection> try_machine(const Answers& answers);

}  // namespace ridepitch
