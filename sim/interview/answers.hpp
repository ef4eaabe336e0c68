#pragma once
// What a builder has answered, and how the program reads it back.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/geometry.hpp"

namespace ridepitch {

/// Answers by the key of their question, written as check_answer() writes them: numbers with a decimal point, parted by
/// one blank, in the question's unit; what was left out is "-".
using Answers = std::map<std::string, std::string, std::less<>>;

/// Stands for an answer that was left out.
inline constexpr std::string_view left_out = "-";

/// The answer to a question; empty if there is none or it was left out.
std::string word_of(const Answers& answers, std::string_view key);

/// Its numbers; none if there is no answer or it was left out.
std::vector<double> numbers_of(const Answers& answers, std::string_view key);

/// Its first number.
std::optional<double> number_of(const Answers& answers, std::string_view key);

/// Its first two numbers: along and up, or out and up; the second is 0 where it was not given.
Vec2 holes_of(const Answers& answers, std::string_view key);

}  // namespace ridepitch
