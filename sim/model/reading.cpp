#include "model/reading.hpp"

#include <algorithm>
#include <map>
#include <tuple>
#include <utility>

#include <fmt/core.h>

#include "model/nearest_name.hpp"
#include "model/text_file.hpp"

namespace ridepitch {
namespace {

// Problems are sorted and cut when there are so many, so that a hostile file can't fill the memory with them.
constexpr std::size_t problems_kept_while_reading = 1000;

constexpr int longest_shown_name = 60;
constexpr int longest_shown_line = 400;
constexpr std::size_t most_listed = 20;

void sort_and_cut(std::vector<Problem>& problems) {
  std::stable_sort(problems.begin(), problems.end(), [](const Problem& a, const Problem& b) {
    return std::tie(a.place.file, a.place.line, a.place.column) < std::tie(b.place.file, b.place.line, b.place.column);
  });
  if (problems.size() > most_problems) problems.resize(most_problems);
}

/// What to do about a problem that says no more than what is wrong with a value.
std::string usual_hint(const std::string& code) {
  if (code == "out-of-range" || code == "negative") return "write a number in that range, in the unit that is named";
  if (code == "not-finite") return "write a number, such as 12 or 12.5";
  if (code == "bad-name") return "give it a name of letters, digits, blanks or hyphens";
  if (code == "not-readable") return "check the name, and that the file is there";
  return "docs/model-format.md says what may stand here";
}

/// A line for display: nothing if the spot lies too far right to be shown.
std::string shown_line(std::string_view line, const Place& place) {
  constexpr std::size_t longest_bytes = 4 * longest_shown_line;
  if (line.size() <= longest_bytes && code_points(line) <= longest_shown_line) return printable(line);
  if (place.column + place.width > longest_shown_line) return "";
  const std::string_view head = line.substr(0, longest_bytes);
  return printable(head.substr(0, byte_of_column(head, longest_shown_line + 1)));
}

}  // namespace

void Reading::problem(Place place, std::string code, std::string text, std::string hint) {
  problem({place, std::move(code), std::move(text), std::move(hint)});
}

void Reading::problem(Problem problem) {
  ++found;
  problems.push_back(std::move(problem));
  if (problems.size() >= problems_kept_while_reading) sort_and_cut(problems);
}

void Reading::note(Place place, std::string code, std::string text, std::string hint) {
  if (notes.size() >= problems_kept_while_reading) return;
  notes.push_back({place, std::move(code), std::move(text), std::move(hint)});
}

std::string Reading::suggest(std::string_view name, const std::vector<std::string>& known, std::string_view plural) {
  if (known.empty() || suggestions_left <= 0) return "";
  --suggestions_left;
  const std::string nearest = nearest_name(name, known);
  if (!nearest.empty()) return fmt::format("did you mean {}?", in_quotes(nearest));
  return fmt::format("known {}: {}", plural, list_in_quotes(known));
}

std::vector<Problem> in_line_order(std::vector<Problem> problems, const std::vector<SourceText>& sources) {
  sort_and_cut(problems);
  std::map<int, TextLines> lines;
  for (Problem& problem : problems) {
    const int file = problem.place.file;
    if (file < 0 || static_cast<std::size_t>(file) >= sources.size()) continue;
    const SourceText& source = sources[static_cast<std::size_t>(file)];
    problem.file_name = source.name;
    const auto found = lines.try_emplace(file, TextLines(source.text)).first;
    problem.line_text = shown_line(found->second.line(problem.place.line), problem.place);
    if (problem.hint.empty()) problem.hint = usual_hint(problem.code);
  }
  return problems;
}

std::optional<Problem> text_problem(const std::vector<SourceText>& sources, int file) {
  const SourceText& source = sources[static_cast<std::size_t>(file)];
  if (source.text.size() > most_text_bytes) {
    return Problem{{file, 0, 0, 0},
                   "too-big",
                   fmt::format("the file is over {} MB", most_text_bytes / 1'000'000),
                   "no model comes near that size; is it the right file?"};
  }
  if (const auto byte = first_not_utf8(source.text)) {
    const auto [line, column] = TextLines(source.text).line_and_column(*byte);
    return Problem{{file, line, column, 1},
                   "not-utf8",
                   fmt::format("this is not UTF-8 text: byte 0x{:02X}", static_cast<unsigned char>(source.text[*byte])),
                   "save the file as UTF-8"};
  }
  if (const auto byte = first_control_character(source.text)) {
    const auto [line, column] = TextLines(source.text).line_and_column(*byte);
    return control_character({file, line, column, 1});
  }
  return std::nullopt;
}

Problem control_character(Place place) {
  return {place, "control-character", "a control character stands here: it could hide or reorder what is shown",
          "delete it; most editors don't show it"};
}

std::string short_name(std::string_view name) {
  const std::string_view head = name.substr(0, byte_of_column(name, longest_shown_name + 1));
  return printable(head) + (head.size() < name.size() ? "..." : "");
}

std::string in_quotes(std::string_view name) { return fmt::format("'{}'", short_name(name)); }

std::string list_in_quotes(const std::vector<std::string>& names) {
  std::string result;
  const std::size_t listed = std::min(names.size(), most_listed);
  for (std::size_t i = 0; i < listed; ++i) {
    const bool last = i + 1 == names.size();
    result += (i == 0 ? "" : last ? " and " : ", ") + in_quotes(names[i]);
  }
  if (listed < names.size()) result += fmt::format(" and {} more", names.size() - listed);
  return result;
}

}  // namespace ridepitch
