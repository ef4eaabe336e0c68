#include <fmt/format.h>

#include <map>
#include <sstream>

#include "cli/commands.hpp"
#include "cli/fit_text.hpp"
#include "cli/output.hpp"
#include "cli/usage.hpp"
#include "fit/part_text.hpp"
#include "model/read.hpp"
#include "model/text_file.hpp"
#include "ride/solve.hpp"

namespace ridepitch {
namespace {

Problem cannot_read(const std::string& path, const std::string& why, std::string hint) {
  return {.code = "not-readable", .text = "it can't be read: " + why, .hint = std::move(hint), .file_name = path};
}

/// Puts the part into the catalogue that is asked for. Nothing is written where anything is wrong with either.
std::vector<Problem> add_to_catalogue(const FitOptions& options, const std::string& table,
                                      const std::vector<PartKey>& keys, FittedPart& part) {
  if (options.add.empty()) return {};
  // The catalogue is changed in place; neither readings nor model are one.
  if (auto refused = refused_output(options.add, {table, options.model}, true)) return {std::move(*refused)};
  const bool is_there = would_replace(options.add);
  FileText old;
  if (is_there) {
    old = read_file_text(options.add, true);
    if (!old.why_not.empty())
      return {cannot_read(options.add, old.why_not,
                          "name a catalogue, a file of [part.NAME] tables, or one that is to be made")};
  }
  EditedCatalogue edited = add_part(old.text, options.add, part.name, keys, options.replace);
  if (!edited.text) return std::move(edited.problems);
  const auto failed =
      is_there ? replace_file(options.add, old.text, *edited.text) : create_file(options.add, *edited.text);
  if (failed) return {*failed};
  part.added_to = options.add;
  part.replaced = edited.replaced;
  return {};
}

template <class Fitted>
Outcome say(const Options& options, const Ink& ink, const Fitted& fitted, const std::string& name,
            const std::vector<PartKey>& keys) {
  FittedPart part{name, part_text(name, keys), "", false};
  if (std::vector<Problem> problems = add_to_catalogue(options.fit, options.tables.front(), keys, part);
      !problems.empty())
    return {"", std::move(problems)};
  return {.out = options.json ? fit_json(fitted, part) : fit_text(fitted, part, {ink, options.terse}),
          .written = part.added_to};
}

/// The first of some names that there is; else one made of the table's.
std::string part_name(const Options& options, const std::string& of_model) {
  if (!options.fit.part.empty()) return options.fit.part;
  return of_model.empty() ? part_name_from(options.tables.front()) : of_model;
}

Outcome fit_one_spring(const Options& options, const Ink& ink, const std::string& text) {
  const FitOptions& asked = options.fit;
  const std::string& path = options.tables.front();
  ReadSpringReadings read = read_spring_readings(text, path, asked.free_mm);
  if (!read.readings) return {"", std::move(read.problems)};
  FitSpringResult result = fit_spring(*read.readings, path, {asked.free_mm, asked.solid_mm, asked.law});
  if (!result.fit) return {"", std::move(result.problems)};
  const std::vector<PartKey> keys = part_keys(*result.fit);
  return say(options, ink, FittedSpring{path, std::move(*read.readings), std::move(*result.fit)},
             part_name(options, ""), keys);
}

/// "rate,free" as what it names; what is wrong with it, if anything.
std::optional<Problem> read_unknowns(const std::string& text, std::vector<Unknown>& unknowns) {
  const std::map<std::string, Unknown> known = {
      {"rate", Unknown::rate}, {"preload", Unknown::preload}, {"free", Unknown::free_length}};
  std::istringstream words(text);
  for (std::string word; std::getline(words, word, ',');) {
    const auto found = known.find(word);
    if (found == known.end())
      return usage(fmt::format("--unknown does not know '{}'", shown(word)),
                   "use rate, preload or free, such as --unknown rate,free");
    unknowns.push_back(found->second);
  }
  return std::nullopt;
}

/// The sprung centre of gravity, where weights are put that the table says no place for.
std::optional<Vec3> centre_of_gravity(const Model& model, std::vector<Problem>& problems) {
  if (model.bench) return Vec3(Vec3::Zero());
  SolveResult result = solve(model, {.curve_points = 2, .other_stances = false, .readings = false});
  if (result.solution) return result.solution->vehicle->cg_mm;
  add_problems(problems, std::move(result.problems), model);
  return std::nullopt;
}

Outcome fit_from_heights(const Options& options, const Ink& ink, const std::string& text) {
  const std::string& path = options.tables.front();
  HeightFitOptions how{options.fit.spring, {}};
  if (const auto problem = read_unknowns(options.fit.unknowns, how.unknowns)) return {"", {*problem}};
  ReadModel model = read_model(options.fit.model);
  if (!model.model) return {"", std::move(model.problems)};
  std::vector<Problem> problems;
  const auto cg_mm = centre_of_gravity(*model.model, problems);
  if (!cg_mm) return {"", std::move(problems)};
  ReadHeightReadings read = read_height_readings(text, path, *model.model, *cg_mm);
  if (!read.readings) return {"", std::move(read.problems)};
  FitHeightsResult result = fit_heights(*model.model, *read.readings, path, how);
  if (!result.fit) return {"", std::move(result.problems)};
  const std::vector<PartKey> keys = part_keys(result.fit->after);
  const std::string name = part_name(options, result.fit->part);
  return say(options, ink,
             FittedHeights{path, std::move(*model.model), std::move(*read.readings), std::move(*result.fit)}, name,
             keys);
}

}  // namespace

Outcome run_fit(const Options& options, const Ink& ink) {
  const std::string& path = options.tables.front();
  const FileText file = read_file_text(path, false);
  if (!file.why_not.empty())
    return {
        "",
        {cannot_read(path, file.why_not, "name a table of readings, a CSV file; docs/measure-a-spring.md shows one")}};
  return options.fit.model.empty() ? fit_one_spring(options, ink, file.text)
                                   : fit_from_heights(options, ink, file.text);
}

}  // namespace ridepitch
