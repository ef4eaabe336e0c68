#include "cli/run.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include "cli/command_line.hpp"
#include "cli/exit_status.hpp"
#include "cli/json_text.hpp"
#include "cli/output.hpp"
#include "cli/problem_text.hpp"

namespace ridepitch {
namespace {

/// Prints what there is to say; the exit status.
int print(Outcome outcome, bool json) {
  int status = outcome.status.value_or(exit_status(outcome.problems));
  if (status == exit_done && !outcome.holds) status = exit_verdict_fails;
  const bool is_written = !outcome.written.empty() && outcome.problems.empty();
  const std::string file = shown(outcome.written);
  if (json && !outcome.problems.empty()) outcome.out = errors_json(outcome.problems);
  if (const std::string why = write_all(STDOUT_FILENO, outcome.out); !why.empty()) {
    write_all(STDERR_FILENO, fmt::format("ridepitch: error: standard output can't be written: {}\n{}", why,
                                         is_written ? fmt::format("   '{}' was written all the same\n", file) : ""));
    status = exit_text_at_fault;
  }
  if (!json) {
    std::string text;
    for (const Problem& problem : outcome.problems) text += problem_text(problem, "error", ink_for(STDERR_FILENO));
    write_all(STDERR_FILENO, text);
  }
  if (is_written)
    for (const std::string& left : leftovers_beside(outcome.written))
      write_all(STDERR_FILENO,
                fmt::format("ridepitch: note: '{}' is the unfinished text of a write that was killed; it "
                            "may be removed\n",
                            shown(left)));
  return status;
}

}  // namespace

int run(int argc, char** argv) {
  prepare_standard_streams();
  const CommandLine line = parse_command_line({argv + (argc > 0 ? 1 : 0), argv + argc});
  if (line.problem) return print({"", {*line.problem}}, line.json);
  if (!line.options) return print({line.text, {}}, false);
  Outcome outcome = line.command->run(*line.options, ink_for(STDOUT_FILENO));
  for (Problem& problem : outcome.problems)
    if (problem.hint.empty())
      problem.hint = fmt::format("'ridepitch {} --help' shows how it is used", line.command->name);
  return print(std::move(outcome), line.json);
}

}  // namespace ridepitch
