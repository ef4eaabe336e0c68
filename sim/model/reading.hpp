#pragma once
// What is found wrong while a model is read, file by file.

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "model/problem.hpp"

namespace ridepitch {

/// One text that takes part: the model, a catalogue, a price list. Place::file is its index.
struct SourceText {
  std::string name;  ///< as messages give it
  std::string text;
};

/// No list of problems is longer.
inline constexpr std::size_t most_problems = 50;

/// Collects problems while a model is read.
struct Reading {
  std::vector<SourceText> sources;
  std::vector<Problem> problems;  ///< the first ones in line order, where there are very many
  std::vector<Problem> notes;
  int found = 0;  ///< how many problems there were in all

  /// A catalogue or price list could not be read: a part that is not known might be in it.
  bool parts_missing = false;

  void problem(Place place, std::string code, std::string text, std::string hint = "");
  void problem(Problem problem);
  void note(Place place, std::string code, std::string text, std::string hint = "");

  /// "did you mean 'arm'?", or the known names if they are few and none is near; empty if there are none.
  ///
  /// @param plural  what the names are: "bodies"
  std::string suggest(std::string_view name, const std::vector<std::string>& known, std::string_view plural);

 private:
  int suggestions_left = 200;
};

/// The first problems in the order of files and lines, at most most_problems, with file name and line filled in.
std::vector<Problem> in_line_order(std::vector<Problem> problems, const std::vector<SourceText>& sources);

/// Whether a place is behind another one of the same text.
inline bool is_later(const Place& a, const Place& b) {
  return std::pair(a.line, a.column) > std::pair(b.line, b.column);
}

/// Checks size and encoding of a source; a problem if it can't be read as text.
std::optional<Problem> text_problem(const std::vector<SourceText>& sources, int file);

/// A control character in a text, or in a name that spells one by an escape.
Problem control_character(Place place);

/// A name as messages show it: control characters replaced, cut if it is very long.
std::string short_name(std::string_view name);

/// The same in single quotes.
std::string in_quotes(std::string_view name);

/// "'a', 'b' and 'c'", cut after twenty.
std::string list_in_quotes(const std::vector<std::string>& names);

}  // namespace ridepitch
