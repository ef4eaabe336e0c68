#pragma once
// The linkage of one axle as lines of a model.

#include <string>
#include <vector>

#include "interview/axle_forms.hpp"
#include "interview/model_text.hpp"

namespace ridepitch {

/// [linkage.NAME] and all that belongs to it, with a comment before it. `axle` has parts of its own.
std::vector<TextLine> linkage_lines(const Answers& answers, const std::string& axle, const std::string& name);

/// Half of what the wheels of an axle stand apart [modules]; 0 where it is not asked.
double half_track_modules(const Answers& answers, const std::string& axle);

/// A place on a rocker that is drawn with its rod's leg towards +u, as it lies where that leg points to "wheel", "away", "up"
/// or "down".
Vec2 turned(const Vec2& p, std::string_view points);

/// A number as a model file shows it: no more decimals than it has, six at most.
std::string plain_number(double value);

/// "[2, 6]"
std::string plain_pair(const Vec2& pair);

}  // namespace ridepitch
