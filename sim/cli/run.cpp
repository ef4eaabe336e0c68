#include "cli/run.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include "cli/command_line.hpp"
#include "cli/commands.hpp"
#include "cli/exit_status.hpp"
#include "cli/json_text.hpp"
#include "cli/output.hpp"
#include "cli/problem_text.hpp"

namespace ridepitch {
namespace {

Outcome run_command(const Options& options) {
  const Ink ink = ink_for(STDOUT_FILENO);
  switch (options.command) {
    case Command::new_model:
      return run_new(options, ink);
    case Command::check:
      return run_check(options, ink);
    case Command::steer:
      return run_steer(options, ink);
    case Command::rework:
      return run_rework(options, ink);
    case Command::tune:
      return run_tune(options, ink);
    case Command::swap:
      return run_swap(options, ink);
    case Command::nudge:
      return run_nudge(options, ink);
    case Command::parts:
      return run_parts(options, ink);
    case Command::explain:
      return run_explain(options, ink);
    case Command::fit:
      return run_fit(options, ink);
    case Command::solve:
      break;
  }
  return run_solve(options, ink);
}

/// Prints what there is to say; the exit status.
int print(Outcome outcome, bool json) {
  int status = outcome.status.value_or(exit_status(outcome.problems));
  if (status == exit_done && !outcome.holds) status = exit_verdict_fails;
  if (json && !outcome.problems.empty()) outcome.out = errors_json(outcome.problems);
  if (const std::string why = write_all(STDOUT_FILENO, outcome.out); !why.empty()) {
    write_all(STDERR_FILENO, fmt::format("ridepitch: error: standard output can't be written: {}\n", why));
    status = exit_text_at_fault;
  }
  if (!json) {
    std::string text;
    for (const Problem& problem : outcome.problems) text += problem_text(problem, "error", ink_for(STDERR_FILENO));
    write_all(STDERR_FILENO, text);
  }
  return status;
}

}  // namespace

int run(int argc, char** argv) {
  prepare_standard_streams();
  const CommandLine line = parse_command_line({argv + (argc > 0 ? 1 : 0), argv + argc});
  if (line.problem) return print({"", {*line.problem}}, line.json);
  if (!line.options) return print({line.text, {}}, false);
  return print(run_command(*line.options), line.options->json);
}

}  // namespace ridepitch
