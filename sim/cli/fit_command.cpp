#include <sys/stat.h>

#include <utility>

#include "cli/commands.hpp"
#include "cli/fit_text.hpp"
#include "cli/output.hpp"
#include "cli/problem_text.hpp"
#include "fit/part_text.hpp"
#include "model/read.hpp"
#include "model/text_file.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

Problem cannot_read(const std::string& path, const std::string& why, std::string hint) {
  Problem problem;
  problem.code = "not-readable";
  problem.text = "it can't be read: " + why;
  problem.hint = std::move(hint);
  problem.file_name = path;
  return problem;
}

/// Puts the part into the catalogue that is asked for. Nothing is written where anything is wrong with either.
std::vector<Problem> add_to_catalogue(const FitOptions& options, const std::vector<PartKey>& keys, FittedPart& part) {
  if (options.add.empty()) return {};
  struct stat there {};
  FileText old;
  if (stat(options.add.c_str(), &there) == 0) {
    old = read_file_text(options.add, true);
    if (!old.why_not.empty())
      return {cannot_read(options.add, old.why_not,
                          "name a catalogue, a file of [part.NAME] tables, or one that is to be made")};
  }
  EditedCatalogue edited = add_part(old.text, options.add, part.name, keys, options.replace);
  if (!edited.text) return std::move(edited.problems);
  if (const auto failed = write_file(options.add, *edited.text)) return {*failed};
  part.added_to = options.add;
  part.replaced = edited.replaced;
  return {};
}

template <class Fitted>
Outcome say(const Options& options, const Ink& ink, const Fitted& fitted, const std::string& name,
            const std::vector<PartKey>& keys) {
  FittedPart part{name, part_text(name, keys), "", false};
  if (std::vector<Problem> problems = add_to_catalogue(options.fit, keys, part); !problems.empty())
    return {"", std::move(problems)};
  return {options.json ? fit_json(fitted, part) : fit_text(fitted, part, {ink, options.terse}), {}};
}

Outcome fit_one_spring(const Options& options, const Ink& ink, const std::string& text) {
  const FitOptions& asked = options.fit;
  ReadSpringReadings read = read_spring_readings(text, asked.files.front(), asked.free_mm);
  if (!read.readings) return {"", std::move(read.problems)};
  FitSpringResult result = fit_spring(*read.readings, asked.files.front(), {asked.free_mm, asked.solid_mm, asked.law});
  if (!result.fit) return {"", std::move(result.problems)};
  const std::vector<PartKey> keys = part_keys(*result.fit);
  const std::string name = asked.part.empty() ? part_name_from(asked.files.front()) : asked.part;
  return say(options, ink, FittedSpring{asked.files.front(), std::move(*read.readings), std::move(*result.fit)}, name,
             keys);
}

std::vector<Unknown> unknowns_of(const std::vector<std::string>& words) {
  std::vector<Unknown> unknowns;
  for (const std::string& word : words) {
    unknowns.push_back(word == "preload" ? Unknown::preload : word == "free" ? Unknown::free_length : Unknown::rate);
  }
  return unknowns;
}

/// The sprung centre of gravity, where weights are put that the table says no place for.
std::optional<Vec3> centre_of_gravity(const Model& model, std::vector<Problem>& problems) {
  if (model.bench) return Vec3(Vec3::Zero());
  SolveResult result = solve(model, {.curve_points = 2, .other_stances = false, .readings = false});
  if (result.solution) return result.solution->vehicle->cg_mm;
  fill_in_lines(result.problems, model);
  problems = std::move(result.problems);
  return std::nullopt;
}

Outcome fit_from_heights(const Options& options, const Ink& ink, const std::string& text) {
  const FitOptions& asked = options.fit;
  ReadModel model = read_model(asked.model);
  if (!model.model) return {"", std::move(model.problems)};
  std::vector<Problem> problems;
  const auto cg_mm = centre_of_gravity(*model.model, problems);
  if (!cg_mm) return {"", std::move(problems)};
  ReadHeightReadings read = read_height_readings(text, asked.files.front(), *model.model, *cg_mm);
  if (!read.readings) return {"", std::move(read.problems)};
  FitHeightsResult result =
      fit_heights(*model.model, *read.readings, asked.files.front(), {asked.spring, unknowns_of(asked.unknowns)});
  if (!result.fit) return {"", std::move(result.problems)};
  const HeightFit& fit = *result.fit;
  const std::vector<PartKey> keys = part_keys(fit.after);
  const std::string name = !asked.part.empty() ? asked.part
                           : !fit.part.empty() ? fit.part
                                               : part_name_from(asked.files.front());
  return say(
      options, ink,
      FittedHeights{asked.files.front(), std::move(*model.model), std::move(*read.readings), std::move(*result.fit)},
      name, keys);
}

}  // namespace

Outcome run_fit(const Options& options, const Ink& ink) {
  const FileText file = read_file_text(options.fit.files.front(), false);
  if (!file.why_not.empty()) {
    return {"",
            {cannot_read(options.fit.files.front(), file.why_not,
                         "name a table of readings, a CSV file; docs/measure-a-spring.md shows one")}};
  }
  return options.fit.model.empty() ? fit_one_spring(options, ink, file.text)
                                   : fit_from_heights(options, ink, file.text);
}

}  // namespace ridepitch
