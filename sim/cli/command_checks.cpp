#include "cli/command_checks.hpp"

#include <fmt/format.h>
#include "cli/searched.hpp"

#include <algorithm>
#include <charconv>

#include "cli/catalogue_text.hpp"
#include "cli/usage.hpp"
#include "fit/spring_readings.hpp"
#include "interview/sections.hpp"

namespace ridepitch {
namespace {

constexpr double longest_time = 1e6;  // in its unit; a larger number is a slip
constexpr double s_per_min = 60, s_per_h = 3600;

/// A file of one model's results.
std::optional<Problem> check_file_of_one(const Options& options, const std::string& file, const char* option,
                                         const char* what) {
  if (file.empty() || options.models.size() == 1) return std::nullopt;
  return usage(fmt::format("{} writes the {} of one model, but several are named", option, what),
               "run it for each model by itself, each with a file of its own");
}

}  // namespace

std::optional<double> seconds_of(const std::string& time) {
  double number = 0;
  const char* const end = time.data() + time.size();
  const auto [rest, failed] = std::from_chars(time.data(), end, number);
  if (failed != std::errc() || !(number > 0) || !(number < longest_time)) return std::nullopt;
  const std::string_view unit(rest, static_cast<std::size_t>(end - rest));
  if (unit.empty() || unit == "s") return number;
  if (unit == "m" || unit == "min") return s_per_min * number;
  if (unit == "h") return s_per_h * number;
  return std::nullopt;
}

std::optional<Problem> check_new(Options& options) {
  std::vector<std::string> axles;
  for (const Choice& kind : axle_kinds()) axles.push_back(kind.name);
  const std::string& kind = options.new_model.kind;
  if (kind.empty() || std::find(axles.begin(), axles.end(), kind) != axles.end()) return std::nullopt;
  return Problem{.code = "unknown-kind",
                 .text = fmt::format("there is no kind '{}'", shown(kind)),
                 .hint = suggestion(kind, axles, fmt::format("the kinds are {}", fmt::join(axles, ", ")))};
}

std::optional<Problem> check_solve(Options& options) {
  if (auto problem = check_file_of_one(options, options.curves, "--curves", "curves")) return problem;
  FloorOrProblem floor = read_floor(options.floor_words);
  options.floor = std::move(floor.floor);
  return floor.problem;
}

std::optional<Problem> check_steer(Options& options) {
  return check_file_of_one(options, options.steer.curve, "--curve", "table");
}

namespace {

std::optional<Problem> check_search(Options& options) {
  const std::string& limit = options.tune.limit;
  int& pick = options.tune.pick;
  if (pick > 0 && options.tune.write.empty())
    return usage("--pick says which result is written, but nothing says where", "add --write FILE.toml");
  pick = std::max(pick, 1);
  if (!read_prefer(options.tune.prefer))
    return usage(
        fmt::format("--prefer '{}' is none of changes, closeness, cost and chance", shown(options.tune.prefer)),
        "--prefer cost");
  if (limit.empty() || seconds_of(limit)) return std::nullopt;
  return usage(fmt::format("--limit '{}' is no time", shown(limit)),
               "seconds, minutes or hours: --limit 30, --limit 5m, --limit 1h");
}

}  // namespace

std::optional<Problem> check_tune(Options& options) {
  if (options.tune.prefer == prefer_chance)
    return usage("--prefer chance needs to know what is kept: it is for ridepitch rework", "--prefer closeness");
  return check_search(options);
}

std::optional<Problem> check_rework(Options& options) { return check_search(options); }

std::optional<Problem> check_swap(Options& options) {
  const char* const how = "ridepitch swap BEFORE.toml AFTER.toml, or ridepitch swap MODEL.toml --spring ...";
  const bool two = options.models.size() == 2;
  if (two && options.swap.any_change()) return usage("ridepitch swap has a second model, and changes beside it", how);
  if (!two && !options.swap.any_change())
    return usage("ridepitch swap has neither a second model nor a change to compare with", how);
  if (two && !options.swap.write.empty())
    return usage("--write writes the changed model, but nothing is changed",
                 "--spring, --hole, --rod, --part, --tyre or --without change it");
  return std::nullopt;
}

/// Of `parts` without --list.
std::optional<Problem> check_bill(const Options& options) {
  if (options.models.size() != 1)
    return usage(
        options.models.empty() ? "ridepitch parts needs a model, or --list" : "ridepitch parts takes one model",
        "ridepitch parts MODEL.toml, against another with --against OTHER.toml; ridepitch parts --list");
  if (options.bill.csv && options.json)
    return usage("--csv and --json are two forms of one list", "leave out one of them");
  return std::nullopt;
}

/// The name of a kind is one, what looks like a file is a model.
std::optional<Problem> check_parts(Options& options) {
  if (!options.list) return check_bill(options);
  if (options.bill.any())
    return usage("--list shows a catalogue, and takes none of --against, --prices, --over and --csv",
                 "leave out --list to see what a model is built from");
  std::vector<std::string> words = std::move(options.models);
  if (!options.list->empty()) words.insert(words.begin(), *options.list);
  options.models.clear();
  options.list = "";
  for (const std::string& word : words) {
    const bool looks_like_a_file = word.find_first_of("./") != std::string::npos;
    if (is_part_kind(word) && options.list->empty()) {
      options.list = word;
    } else if (looks_like_a_file && options.models.empty()) {
      options.models.push_back(word);
    } else if (is_part_kind(word) || looks_like_a_file) {
      return usage(fmt::format("'{}' is one too many", shown(word)),
                   "ridepitch parts --list takes one kind and one model");
    } else {
      return Problem{.code = "unknown-kind",
                     .text = fmt::format("there is no kind of part '{}'", shown(word)),
                     .hint = suggestion(word, part_kind_names(), "the kinds are " + part_kinds_text())};
    }
  }
  return std::nullopt;
}

std::optional<Problem> check_fit(Options& options) {
  const FitOptions& fit = options.fit;
  for (const auto& length : {fit.free_mm, fit.solid_mm})
    if (length && !(*length > 0 && *length <= most_spring_mm))
      return usage(fmt::format("a spring can't be {} mm long", *length),
                   fmt::format("lengths are in mm between hole centres, above 0 and at most {}", most_spring_mm));
  if (fit.model.empty() && (!fit.spring.empty() || !fit.unknowns.empty()))
    return usage(fmt::format("{} belongs to ride heights of a model", fit.spring.empty() ? "--unknown" : "--spring"),
                 "add --model MODEL.toml");
  if (!fit.model.empty() && (fit.free_mm || fit.solid_mm || fit.law))
    return usage(fmt::format("{} belongs to readings of a spring by itself", fit.law       ? "--law"
                                                                             : fit.free_mm ? "--free-mm"
                                                                                           : "--solid-mm"),
                 "leave it out, or leave out --model; the model's own part says the lengths");
  if (fit.replace && fit.add.empty())
    return usage("--replace says what to do in a catalogue, but none is named", "add --add CATALOGUE.toml");
  return std::nullopt;
}

}  // namespace ridepitch
