#pragma once
// Mistakes on the command line.

#include <optional>
#include <string>
#include <vector>

#include "model/problem.hpp"

namespace ridepitch {

/// What is wrong with words or options, and how to write them.
Problem usage(std::string text, std::string hint = "");

/// "did you mean 'coil'?", or something else where no known name is near.
std::string suggestion(const std::string& word, const std::vector<std::string>& known, const std::string& otherwise);

/// A finite number that is all of a word, if need be with a plus sign.
std::optional<double> read_number(const std::string& word);

}  // namespace ridepitch
