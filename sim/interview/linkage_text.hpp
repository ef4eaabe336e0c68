#pragma once
// The linkage of one axle as lines of a model.

#include <string>
#include <vector>

#include "interview/model_text.hpp"

namespace ridepitch {

/// [linkage.NAME] and all that belongs to it, with a comment before it. `axle` has parts of its own.
std::vector<TextLine> linkage_lines(const Answers& answers, const std::string& axle, const std::string& name);

/// Names of its wheels: "hub"; "inner" and "outer", or "fore" and "aft" of a walking beam; "left" and "right" of an axle.
std::vector<std::string> wheel_names(const Answers& answers, const std::string& axle);

/// A letter of the pictures and the hole that it stands for.
struct Letter {
  char letter = ' ';
  std::string hole;  ///< "arm.push"
};
std::vector<Letter> letters_of(const Answers& answers, const std::string& axle);

/// A number as a model file shows it: no more decimals than it has, six at most.
std::string plain_number(double value);

/// "[2, 6]"
std::string plain_pair(const Vec2& pair);

}  // namespace ridepitch
