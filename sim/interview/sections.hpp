#pragma once
// All questions, section by section: plain data that follows from the answers so far.

#include <string>
#include <string_view>
#include <vector>

#include "interview/answers.hpp"
#include "interview/question.hpp"

namespace ridepitch {

/// "arm", "arm-rocker", "beam", "wishbones", "live-axle"
const std::vector<Choice>& axle_kinds();

/// Axles from the front to the rear: "front", "middle" (of three) and "rear".
std::vector<std::string> axle_names(const Answers& answers);

/// The axle whose parts an axle has: itself, or the front one where it is the same as that.
std::string parts_of(const Answers& answers, const std::string& axle);

inline constexpr double usual_module_mm = 8;

/// From one hole of a beam to the next [mm].
double module_mm_of(const Answers& answers);

/// What a section is about, for pictures and trials.
enum class About { machine, axle, weighing };

struct Section {
  std::string title;
  About about = About::machine;
  std::string axle;  ///< of About::axle
  std::vector<Question> questions;
};

/// The sections in the order that they are asked in. Which questions they have, and what is usual, depends on answers
/// given before: while some are missing the list ends early, or goes on with what is usual.
std::vector<Section> sections_of(const Answers& answers);

/// Whether a key belongs to a question that is asked of some machine, if not of this one.
bool is_key_of_some_machine(std::string_view key);

}  // namespace ridepitch
