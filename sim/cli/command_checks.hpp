#pragma once
// What only makes sense together: the words and options of one command against each other.

#include <optional>
#include <string>

#include "cli/options.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// What is wrong with the options of a command, if anything. They are left as `run` takes them.
std::optional<Problem> check_new(Options& options);
std::optional<Problem> check_solve(Options& options);
std::optional<Problem> check_steer(Options& options);
std::optional<Problem> check_rework(Options& options);
std::optional<Problem> check_swap(Options& options);
std::optional<Problem> check_tune(Options& options);
std::optional<Problem> check_parts(Options& options);
std::optional<Problem> check_fit(Options& options);

/// "30", "30s", "10m" or "1h" in seconds; none where it is no time above 0.
std::optional<double> seconds_of(const std::string& time);

}  // namespace ridepitch
