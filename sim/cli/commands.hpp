#pragma once
// The commands: from options to what is to be printed. They read and write files, but print nothing themselves.

#include <string>
#include <vector>

#include "cli/command.hpp"
#include "cli/json_text.hpp"
#include "steer/steering.hpp"

namespace ridepitch {

/// Asks for a model, or takes the answers from a file; writes it, solves it.
Outcome run_new(const Options& options, const Ink& ink);

/// Of several models, what is wrong with any is reported, and those that nothing is wrong with are printed.
/// With --json one error leaves only errors.
Outcome run_check(const Options& options, const Ink& ink);

/// As `run_check`. Curves are written before anything is printed, and not at all after an error.
Outcome run_solve(const Options& options, const Ink& ink);

/// Angles of the steered wheels over the range of their drives. As `run_solve`; the table is written before anything is
/// printed.
Outcome run_steer(const Options& options, const Ink& ink);

/// Exit status 1 where nothing can stand in.
Outcome run_rework(const Options& options, const Ink& ink);

/// Exit status 1 where nothing passes.
Outcome run_tune(const Options& options, const Ink& ink);

/// Exit status 1 where the model does not stand the same any more, or, changed by options, has no stance at all.
Outcome run_swap(const Options& options, const Ink& ink);

/// What a model is built from; with --list the catalogue as tables, the built-in one or that of a model.
Outcome run_parts(const Options& options, const Ink& ink);

/// Pages for the builder, as files. All are written, or none.
Outcome run_sheet(const Options& options, const Ink& ink);

/// A word of the glossary, or all of them.
Outcome run_explain(const Options& options, const Ink& ink);

Outcome run_nudge(const Options& options, const Ink& ink);

/// A spring's data from a table of readings. The catalogue is written before anything is printed, and not at all after an
/// error.
Outcome run_fit(const Options& options, const Ink& ink);

/// Models that could be read and solved, in the order of their paths, and the problems of the others.
struct SolvedModels {
  std::vector<Solved> solved = {};
  std::vector<Problem> problems = {};
};

struct SolveOptions;

/// Two models can't be compared where one is on the bench and the other on its wheels.
std::optional<Problem> not_comparable(const Model& a, const Model& b);

/// @param or_steering  leave a model without sprung wheels, a drawing of a steering, unsolved
SolvedModels solve_models(const std::vector<std::string>& paths, const SolveOptions& how, bool or_steering = false);

/// Adds what keeps it from being built, and what `steer` finds, to what `solve` found, so that nothing is found good before
/// all was looked at. @returns its steering
SteerResult add_further_findings(Solved& solved);

/// Adds problems that have only a place in a model, with the model's file and line filled in.
void add_problems(std::vector<Problem>& all, std::vector<Problem> more, const Model& model);

}  // namespace ridepitch
