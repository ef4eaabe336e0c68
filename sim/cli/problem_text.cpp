#include "cli/problem_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "model/text_file.hpp"

namespace ridepitch {
namespace {

constexpr int number_width = 5;  // of the line number in the margin

/// A stretch of a line that fits the page, and where in it the mark goes.
struct Excerpt {
  std::string text;
  int column = 0;  ///< of the mark's first sign, from 1; 0: no mark
  int width = 0;
};

Excerpt excerpt(const Problem& problem, int space) {
  Excerpt out;
  std::string_view line = problem.line_text;
  out.column = problem.place.column;
  out.width = std::max(problem.place.width, 1);
  if (width_of(line) > space) {
    // Keep a third of the space before the place, so that what leads to it is seen.
    const int first = std::clamp(out.column - space / 3, 1, std::max(1, width_of(line) - space + 1));
    line.remove_prefix(byte_of_column(line, first));
    line = line.substr(0, byte_of_column(line, space + 1));
    out.column = out.column > 0 ? out.column - first + 1 : 0;
  }
  out.text = line;
  std::replace(out.text.begin(), out.text.end(), '\t', ' ');  // a tab is one column of a place
  out.text = shown(out.text);
  out.width = std::clamp(out.width, 1, std::max(1, space - out.column + 1));
  return out;
}

std::string place_text(const Problem& problem) {
  if (problem.file_name.empty()) return "ridepitch";
  std::string text = shown(problem.file_name);
  if (problem.place.line > 0) text += fmt::format(":{}", problem.place.line);
  if (problem.place.line > 0 && problem.place.column > 0) text += fmt::format(":{}", problem.place.column);
  return text;
}

std::string line_and_mark(const Problem& problem, const Ink& ink) {
  if (problem.place.line <= 0 || problem.line_text.empty()) return "";
  const std::string line_number = fmt::format("{:>{}}", problem.place.line, number_width);
  const int margin = static_cast<int>(line_number.size());
  const Excerpt seen = excerpt(problem, page_width - margin - 3);
  std::string text = fmt::format("{} | {}\n", line_number, seen.text);
  if (seen.column > 0) {
    const std::string mark(static_cast<std::size_t>(seen.width), '^');
    text += fmt::format("{:{}} | {:{}}{}\n", "", margin, "", seen.column - 1, ink.error(mark));
  }
  return text;
}

}  // namespace

std::string problem_text(const Problem& problem, std::string_view kind, const Ink& ink) {
  const std::string label = kind == "error" ? ink.error("error:") : ink.level(Level::note, fmt::format("{}:", kind));
  std::string text = fmt::format("{}: {} {}\n", place_text(problem), label, problem.text);
  text += line_and_mark(problem, ink);
  if (!problem.hint.empty()) {
    const std::string lead = "   fix: ";
    text += lead + wrapped(problem.hint, width_of(lead)) + "\n";
  }
  return text;
}

}  // namespace ridepitch
