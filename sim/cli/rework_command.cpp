#include <fmt/format.h>

#include <algorithm>
#include <functional>

#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/problem_text.hpp"
#include "cli/progress.hpp"
#include "cli/searched.hpp"
#include "model/edit.hpp"
#include "model/nearest_name.hpp"
#include "model/read.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

constexpr double usual_rework_limit_s = 10;

/// What is wrong with the name of a part that is gone.
std::optional<Problem> gone_problem(const Model& model, const std::string& part) {
  const std::vector<std::string> used = replaceable_parts(model);
  if (std::find(used.begin(), used.end(), part) != used.end()) return std::nullopt;
  const std::string nearest = nearest_name(part, used);
  return Problem{.code = "unknown-part",
                 .text = fmt::format("no spring, rod, tyre or body of the model is a '{}'", shown(part)),
                 .hint = !nearest.empty() ? fmt::format("did you mean '{}'?", nearest)
                         : used.empty()   ? "its springs are written in place: give them a 'part' of a catalogue first"
                                          : fmt::format("its parts are {}", fmt::join(used, ", "))};
}

/// A tyre or a body's part is replaced one for one, what hangs on it is searched afterwards.
std::optional<Problem> mixed_problem(const Model& model, const std::vector<std::string>& gone) {
  const std::vector<std::string> searched = searched_parts(model);
  const auto is_searched = [&](const std::string& part) {
    return std::find(searched.begin(), searched.end(), part) != searched.end();
  };
  const auto other = std::find_if_not(gone.begin(), gone.end(), is_searched);
  if (other == gone.end() || std::none_of(gone.begin(), gone.end(), is_searched)) return std::nullopt;
  return Problem{
      .code = "usage",
      .text = fmt::format("'{}' is replaced one for one, springs and rods by a search of the holes about them",
                          shown(*other)),
      .hint = fmt::format("first --gone {} --write FILE, then the others in that file", shown(*other))};
}

Problem nothing_gone(const Model& model) {
  return {.code = "usage",
          .text = "ridepitch rework does not know what is gone",
          .hint = fmt::format("add --gone PART, or a price list that calls a part gone; its parts are {}",
                              fmt::join(replaceable_parts(model), ", "))};
}

}  // namespace

Outcome run_rework(const Options& options, const Ink& ink) {
  const ReadKeep keep = read_keep(options.rework.keep);
  if (keep.problem) return {.out = "", .problems = {*keep.problem}};
  SolvedModels models = solve_models({options.models.front()}, SolveOptions{});
  if (!models.problems.empty()) return {.out = "", .problems = std::move(models.problems)};
  Reworked r;
  r.before = std::move(models.solved.front());
  r.gone = options.rework.gone;
  r.keep = keep.keep;
  Model& model = r.before.model;
  if (!options.rework.prices.empty()) {
    ReadPriceList list = read_price_list(options.rework.prices);
    if (!list.problems.empty()) return {.out = "", .problems = std::move(list.problems)};
    model.prices = std::move(list.prices);
    model.has_prices = true;
  }
  if (!options.tune.write.empty())
    if (auto refused = refused_edit(options.tune.write, model, {options.rework.prices}, options.overwrite))
      return {.out = "", .problems = {std::move(*refused)}};
  if (r.gone.empty()) r.gone = gone_by_list(model);
  if (r.gone.empty()) return {.out = "", .problems = {nothing_gone(model)}};
  for (const std::string& part : r.gone)
    if (auto problem = gone_problem(model, part)) return {.out = "", .problems = {std::move(*problem)}};

  if (auto problem = mixed_problem(model, r.gone)) return {.out = "", .problems = {std::move(*problem)}};

  const TimeLimit limit(options.tune.limit, usual_rework_limit_s);
  {
    Progress progress("trying springs (Ctrl-C: the best so far)");
    r.alone = stand_ins(model, r.before.solution, r.gone, r.keep, std::ref(progress), [&] { return limit.over(); });
  }
  const bool by_chance = options.tune.prefer == prefer_chance,
             with_chance = by_chance || options.spread || model.spread.given;
  if (!Interruptible::interrupted())
    r.holes = search_holes(
        model, r.before.solution, r.gone, r.keep,
        [&](const Evaluator& evaluator, auto accept) {
          return search_with_progress(evaluator, options.tune, limit, std::move(accept));
        },
        with_chance);
  if (by_chance) sort_by_chance(r.holes.layouts);
  const auto most = static_cast<std::size_t>(std::max(options.tune.top, options.tune.pick));
  if (r.holes.layouts.size() > most) r.holes.layouts.resize(most);
  const std::vector<const Changes*> choices = r.choices();
  const auto pick = static_cast<std::size_t>(options.tune.pick);
  if (!choices.empty() && pick > choices.size()) {
    const std::size_t hold = choices.size();
    return {.out = "",
            .problems = {{.code = "no-such-result",
                          .text = fmt::format("there is no result {}: {} hold{}", pick, hold, hold == 1 ? "s" : ""),
                          .hint = fmt::format("--pick {} or less", hold)}}};
  }
  if (!choices.empty()) {
    r.picked_changes = *choices[pick - 1];
    Model after = changed(model, r.picked_changes);
    SolveResult solved = solve(after);
    if (solved.solution) r.picked = Solved{std::move(after), std::move(*solved.solution), {}};
    if (!options.tune.write.empty()) {
      std::vector<Problem> problems = write_edited_copy(model, r.picked_changes, options.tune.write, options.overwrite);
      if (!problems.empty()) return {.out = "", .problems = std::move(problems)};
      r.written = options.tune.write;
    }
  }
  Outcome outcome;
  outcome.holds = !choices.empty();
  outcome.written = r.written;
  outcome.out = options.json ? rework_json(r) : rework_text(r, {ink, options.terse});
  return outcome;
}

}  // namespace ridepitch
