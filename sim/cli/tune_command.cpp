#include <fmt/format.h>

#include <algorithm>

#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/problem_text.hpp"
#include "cli/searched.hpp"
#include "model/edit.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

constexpr double usual_limit_s = 600;
constexpr std::uint64_t most_candidates = std::uint64_t{1} << 62;

Problem nothing_to_tune(const Model& model) {
  return {.code = "no-tune",
          .text = "the model does not say what may vary",
          .hint = "add [tune] and a [[tune.vary]]; docs/model-format.md, 'What the builder wants'",
          .file_name = model.files.front()};
}

Problem no_such_result(const TuneOptions& how, std::size_t found) {
  return {.code = "no-such-result",
          .text = fmt::format("there is no result {} to write: only {} passed", how.pick, found),
          .hint = fmt::format("--pick {} or less", found)};
}

}  // namespace

Outcome run_tune(const Options& options, const Ink& ink) {
  std::vector<std::string> paths = {options.models.front()};
  if (!options.tune.like.empty()) paths.push_back(options.tune.like);
  SolvedModels models = solve_models(paths, SolveOptions{});
  if (!models.problems.empty()) return {.out = "", .problems = std::move(models.problems)};
  Tuned tuned;
  tuned.before = std::move(models.solved.front());
  if (models.solved.size() > 1) tuned.like = std::move(models.solved[1]);
  const Model& model = tuned.before.model;
  const auto refuse = [&](std::vector<Problem> problems) {
    fill_in_lines(problems, model);
    return Outcome{.out = "", .problems = std::move(problems)};
  };
  if (!options.tune.write.empty())
    if (auto refused =
            refused_edit(options.tune.write, model, tuned.like ? tuned.like->model.files : std::vector<std::string>{},
                         options.overwrite))
      return refuse({*refused});
  if (!model.tune || model.tune->vary.empty()) return refuse({nothing_to_tune(model)});
  tuned.space = make_space(model, *model.tune);
  if (tuned.space.size == 0)
    return refuse(
        {{.place = model.tune->place,
          .code = "nothing-left",
          .text = "nothing is left to choose from: the price list calls every part of some spring or rod gone, or some "
                  "body's parts have no hole among the places of its [[tune.vary]]",
          .hint = "add parts, lengths or places to it, or remove keep_parts"}});
  if (tuned.space.size > most_candidates)
    return refuse({{.place = model.tune->place,
                    .code = "too-many",
                    .text = "there are more candidates than can be counted",
                    .hint = "vary fewer things, or narrower"}});
  const Solved& like = tuned.like ? *tuned.like : tuned.before;
  AimsOrProblem aims = make_aims(model, *model.tune, tuned.space.corners, like.model, like.solution);
  if (!aims.aims) return refuse(std::move(aims.problems));
  tuned.aims = std::move(*aims.aims);

  const Evaluator evaluator = make_evaluator(tuned.space, tuned.aims, tuned.before.solution);
  tuned.by_kernel = evaluator.tape.has_value();
  tuned.by = evaluator.tape ? evaluator.kernel.name : evaluator.why_no_tape;
  tuned.result = search_with_progress(evaluator, options.tune, TimeLimit(options.tune.limit, usual_limit_s));

  Outcome outcome;
  // What every need is met of passes, whatever it misses of what is wanted.
  outcome.holds = std::any_of(tuned.result.found.begin(), tuned.result.found.end(), [](const Found& found) {
    return std::none_of(found.misses.begin(), found.misses.end(), [](const Miss& miss) { return miss.need >= 0; });
  });
  if (!options.tune.write.empty()) {
    const auto pick = static_cast<std::size_t>(options.tune.pick);
    if (pick > tuned.result.found.size() && outcome.holds)
      return refuse({no_such_result(options.tune, tuned.result.found.size())});
    if (outcome.holds) {
      outcome.problems =
          write_edited_copy(model, tuned.result.found[pick - 1].changes, options.tune.write, options.overwrite);
      if (!outcome.problems.empty()) return outcome;
      tuned.written = outcome.written = options.tune.write;
    }
  }
  outcome.out = options.json ? tune_json(tuned) : tune_text(tuned, options.tune, {ink, options.terse});
  return outcome;
}

}  // namespace ridepitch
