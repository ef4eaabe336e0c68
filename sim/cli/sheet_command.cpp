#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <string_view>

#include "cli/commands.hpp"
#include "cli/json_pieces.hpp"
#include "cli/output.hpp"
#include "cli/usage.hpp"
#include "ride/solve.hpp"
#include "sheet/sheet_files.hpp"
#include "steer/further_findings.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

constexpr int usual_dpi = 300;
constexpr int most_pages = 9999;  // that a list may name; a sheet has fewer than a hundred

/// From one page to another, counted from 1.
struct PageRange {
  int first = 0, last = 0;
};

std::optional<int> page_number(std::string_view text) {
  int number = 0;
  const auto [rest, failed] = std::from_chars(text.data(), text.data() + text.size(), number);
  if (failed != std::errc() || rest != text.data() + text.size() || number < 1 || number > most_pages)
    return std::nullopt;
  return number;
}

std::optional<PageRange> page_range(std::string_view text) {
  const std::size_t dash = text.find('-');
  const auto first = page_number(text.substr(0, dash));
  const auto last = dash == text.npos ? first : page_number(text.substr(dash + 1));
  if (!first || !last || *last < *first) return std::nullopt;
  return PageRange{*first, *last};
}

/// "1,3-4"; of an empty list none. @returns none where it is no list of pages
std::optional<std::vector<PageRange>> read_pages(std::string_view list) {
  std::vector<PageRange> ranges;
  while (!list.empty()) {
    const std::size_t comma = list.find(',');
    const auto range = page_range(list.substr(0, comma));
    if (!range || comma + 1 == list.size()) return std::nullopt;
    ranges.push_back(*range);
    list = comma == list.npos ? std::string_view() : list.substr(comma + 1);
  }
  return ranges;
}

/// Indices of pages, each once, in their order on the sheet.
std::vector<int> chosen_pages(const std::vector<PageRange>& ranges, int pages) {
  std::vector<int> chosen;
  for (int page = 0; page < pages; ++page)
    if (ranges.empty() || std::any_of(ranges.begin(), ranges.end(), [&](const PageRange& range) {
          return range.first <= page + 1 && page + 1 <= range.last;
        }))
      chosen.push_back(page);
  return chosen;
}

/// A page that a list names and the sheet does not have.
std::optional<Problem> missing_page(const std::vector<PageRange>& ranges, int pages) {
  for (const PageRange& range : ranges)
    if (range.last > pages)
      return usage(
          fmt::format("--pages names page {}, but the sheet has {} page{}", range.last, pages, pages == 1 ? "" : "s"),
          "name pages that it has");
  return std::nullopt;
}

/// What is asked for, read before any work is done.
struct Asked {
  std::string path;
  Paper paper = a4;
  int dpi = usual_dpi;
  std::vector<PageRange> ranges;
};

std::optional<Problem> read_asked(const Options& options, Asked& asked) {
  const SheetOptions& how = options.sheet;
  asked.path = how.out;
  if (how.out.empty()) asked.path = std::filesystem::path(options.models.front()).stem().string() + "-sheet.pdf";
  if (how.paper == "letter") {
    asked.paper = letter;
  } else if (!how.paper.empty() && how.paper != "a4") {
    return usage(fmt::format("there is no paper '{}'", shown(how.paper)), "--paper a4 or --paper letter");
  }
  if (how.dpi > 0) {
    if (sheet_format(asked.path) != SheetFormat::png)
      return usage("--dpi belongs to a PNG; everything else is drawn by lines", "--out FILE.png, or leave out --dpi");
    asked.dpi = how.dpi;
  }
  auto ranges = read_pages(how.pages);
  if (!ranges)
    return usage(fmt::format("--pages '{}' is no list of pages", shown(how.pages)),
                 "numbers from 1 and ranges, separated by commas: --pages 1,3-4");
  asked.ranges = std::move(*ranges);
  return std::nullopt;
}

/// The format of a file that may be written.
std::optional<Problem> read_format(const std::string& path, SheetFormat& format) {
  const auto found = sheet_format(path);
  if (!found)
    return Problem{.code = "unknown-format",
                   .text = fmt::format("'{}' has an ending that is none of a sheet", shown(path)),
                   .hint = "--out FILE.pdf, FILE.svg, FILE.png or FILE.html"};
  format = *found;
  return std::nullopt;
}

/// The sheet, by the functions that the window calls.
Sheet sheet_of(std::vector<Solved>& solved, const SheetFacts& facts) {
  Solved& now = solved.front();
  const SteerResult steering = add_further_findings(now);
  const Results results = results_of(now.model, now.solution, steering);
  if (solved.size() == 1) return make_sheet(results, facts);
  Solved& was = solved.back();
  const SteerResult steering_before = add_further_findings(was);
  const Results before = results_of(was.model, was.solution, steering_before);
  return make_sheet(before, results, compare(before, results, {}, why_not_steered(steering)), {}, facts);
}

std::string written_words(const std::vector<FileToWrite>& files, std::size_t pages) {
  std::vector<std::string> names;
  for (const FileToWrite& file : files) names.push_back(shown(file.path));
  return wrapped(fmt::format("Wrote {}: {} page{}.", listed(names), pages, pages == 1 ? "" : "s"), 0) + "\n";
}

std::string written_json(const Model& model, const std::vector<FileToWrite>& files, const std::vector<int>& pages) {
  return json_document({{"model", model.name},
                        {"pages", list_json(pages, [](int page) { return Json(page + 1); })},
                        {"written", list_json(files, [](const FileToWrite& file) { return Json(file.path); })}});
}

}  // namespace

Outcome run_sheet(const Options& options, const Ink&) {
  Asked asked;
  if (auto problem = read_asked(options, asked)) return {"", {*problem}};
  std::vector<std::string> paths = {options.models.front()};
  if (!options.sheet.before.empty()) paths.push_back(options.sheet.before);
  SolvedModels models = solve_models(paths, SolveOptions{});
  if (!models.problems.empty()) return {"", std::move(models.problems)};
  const Model& model = models.solved.front().model;
  if (auto problem = not_comparable(models.solved.back().model, model)) return {"", {*problem}};

  std::vector<std::string> inputs;
  for (const Solved& each : models.solved)
    inputs.insert(inputs.end(), each.model.files.begin(), each.model.files.end());
  if (auto refused = refused_output(asked.path, inputs, true)) return {"", {*refused}};
  SheetFormat format = SheetFormat::pdf;
  if (auto problem = read_format(asked.path, format)) return {"", {*problem}};

  const std::string file = std::filesystem::path(options.models.front()).filename().string();
  const Sheet sheet = sheet_of(models.solved, {"", file, "", asked.paper});
  const int count = static_cast<int>(sheet.pages.size());
  if (auto problem = missing_page(asked.ranges, count)) return {"", {*problem}};
  const std::vector<int> pages = chosen_pages(asked.ranges, count);
  for (const std::string& path : sheet_paths(asked.path, format, pages))
    if (auto refused = refused_output(path, inputs, options.overwrite)) return {"", {*refused}};
  const std::vector<FileToWrite> files = sheet_files(sheet, asked.path, format, pages, asked.dpi);
  if (std::any_of(files.begin(), files.end(), [](const FileToWrite& each) { return each.text.empty(); }))
    return {"", {{.code = "no-sheet", .text = "there is not enough memory for the sheet", .hint = "a smaller --dpi"}}};
  if (auto problem = write_files(files, options.overwrite)) return {"", {*problem}};
  return {.out = options.json ? written_json(model, files, pages) : written_words(files, pages.size()),
          .written = files.front().path};
}

}  // namespace ridepitch
