// From what was typed to an answer, or to the reason why it can't be one.

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "interview/answers.hpp"
#include "interview/question.hpp"
#include "model/nearest_name.hpp"
#include "model/read.hpp"
#include "model/read_parts.hpp"
#include "model/reading.hpp"
#include "model/text_file.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t longest_text = 80;

CheckedAnswer refuse(std::string reason) { return {"", std::move(reason)}; }

std::string_view trimmed(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t' || text.back() == '\r')) text.remove_suffix(1);
  return text;
}

std::string small_letters(std::string_view text) {
  std::string out(text);
  for (char& c : out) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return out;
}

void replace_all(std::string& text, std::string_view from, std::string_view to) {
  for (std::size_t at = text.find(from); at != std::string::npos; at = text.find(from, at + to.size())) {
    text.replace(at, from.size(), to);
  }
}

// ------------------------------------------------------------------------------------ numbers

bool is_digit(char c) { return c >= '0' && c <= '9'; }

/// Letters that are typed for others: a real minus sign, a half, brackets around a pair.
std::string in_plain_letters(std::string_view typed) {
  std::string text(typed);
  replace_all(text, "\xe2\x88\x92", "-");  // U+2212
  replace_all(text, "\xc2\xbd", ".5");     // U+00BD
  for (const char* sign : {"(", ")", "[", "]", ";"}) replace_all(text, sign, " ");
  return text;
}

/// Pieces between blanks; a comma at the end of one parts it from the next.
std::vector<std::string> pieces_of(const std::string& text) {
  std::vector<std::string> pieces;
  std::string piece;
  for (const char c : text + " ") {
    if (c != ' ' && c != '\t') {
      piece += c;
      continue;
    }
    while (!piece.empty() && piece.back() == ',') piece.pop_back();
    if (!piece.empty()) pieces.push_back(std::move(piece));
    piece.clear();
  }
  return pieces;
}

/// "2,6" where two numbers are wanted, "2.5,6.5" anywhere: commas that part. A comma beside no point is a decimal one.
bool commas_part(const std::string& piece, int least_numbers) {
  const auto commas = std::count(piece.begin(), piece.end(), ',');
  const bool has_point = piece.find('.') != std::string::npos;
  return commas > 0 && (has_point || (least_numbers > 1 && commas == least_numbers - 1));
}

/// A number and what follows it: "12.5" and "mm" of "12,5mm". No number: nothing.
struct NumberAndUnit {
  double number = 0;
  std::string unit;
};

std::optional<NumberAndUnit> number_and_unit(std::string piece) {
  std::replace(piece.begin(), piece.end(), ',', '.');
  const char* first = piece.data();
  const char* const end = first + piece.size();
  if (first < end && *first == '+') ++first;
  NumberAndUnit out;
  const auto [rest, error] = std::from_chars(first, end, out.number, std::chars_format::fixed);
  if (error != std::errc() || !std::isfinite(out.number)) return std::nullopt;
  out.unit = small_letters(std::string_view(rest, static_cast<std::size_t>(end - rest)));
  const bool starts_with_letter = out.unit.empty() || (!is_digit(out.unit[0]) && out.unit[0] != '.');
  return starts_with_letter ? std::optional(out) : std::nullopt;
}

struct UnitWord {
  std::string_view word;
  Unit unit;
  double factor;  ///< to the unit of the question
};

constexpr UnitWord unit_words[] = {{"hole", Unit::holes, 1},    {"holes", Unit::holes, 1}, {"module", Unit::holes, 1},
                                   {"modules", Unit::holes, 1}, {"mm", Unit::mm, 1},       {"cm", Unit::mm, 10},
                                   {"m", Unit::mm, 1000},       {"g", Unit::grams, 1},     {"gram", Unit::grams, 1},
                                   {"grams", Unit::grams, 1},   {"kg", Unit::grams, 1000}, {"row", Unit::holes, 1},
                                   {"rows", Unit::holes, 1}};

std::optional<double> factor_of(std::string_view word, Unit unit) {
  for (const UnitWord& each : unit_words) {
    if (each.word == word && each.unit == unit) return each.factor;
  }
  return std::nullopt;
}

std::string wanted_unit(const Question& question) {
  return question.unit == Unit::none ? "a number alone" : std::string(unit_name(question.unit));
}

std::string how_many(const Question& question) {
  if (question.least_numbers == question.most_numbers) {
    return question.least_numbers == 1 ? "one number is" : fmt::format("{} numbers are", question.least_numbers);
  }
  return fmt::format("{} to {} numbers are", question.least_numbers, question.most_numbers);
}

std::string with_its_unit(const Question& question, double value) {
  const std::string_view unit = unit_name(question.unit);
  return fmt::format("{}{}{}", value, unit.empty() ? "" : " ", unit);
}

/// Why a number can't be one of this question's; empty: it can.
std::string reason_against(const Question& question, double value) {
  if (value < question.least || (question.least_excluded && value == question.least)) {
    if (question.least >= 0 && value < 0) return fmt::format("{} is negative", value);
    return fmt::format("{} is too small: it must be {} {}", value, question.least_excluded ? "over" : "at least",
                       with_its_unit(question, question.least));
  }
  if (value > question.most) {
    return fmt::format("{} is too much: it must be at most {}", value, with_its_unit(question, question.most));
  }
  if (question.whole && value != std::round(value)) return fmt::format("{} is no whole number", value);
  if (question.unit == Unit::holes && 2 * value != std::round(2 * value)) {
    return fmt::format("{} is between holes: they sit at whole or half steps", value);
  }
  return "";
}

CheckedAnswer check_numbers(const Question& question, std::string_view typed) {
  std::vector<std::string> pieces = pieces_of(in_plain_letters(typed));
  if (pieces.size() == 1 && commas_part(pieces[0], question.least_numbers)) {
    std::replace(pieces[0].begin(), pieces[0].end(), ',', ' ');
    pieces = pieces_of(pieces[0]);
  }
  std::vector<double> numbers;
  std::size_t with_unit = 0;  // how many of the numbers have had theirs
  for (const std::string& piece : pieces) {
    const auto scale = [&](const std::string& word) {
      const std::optional<double> factor = factor_of(word, question.unit);
      // "4 and 5 cm" is a way to write two lengths: a unit holds for all numbers before it that have none.
      for (std::size_t i = with_unit; factor && i < numbers.size(); ++i) numbers[i] *= *factor;
      with_unit = numbers.size();
      return factor.has_value();
    };
    const std::optional<NumberAndUnit> found = number_and_unit(piece);
    if (found) numbers.push_back(found->number);
    const std::string word = found ? found->unit : small_letters(piece);
    if (!found && (numbers.empty() || is_digit(word[0]) || word[0] == '-')) {
      return refuse(fmt::format("{} is not a number", in_quotes(piece)));
    }
    if (!word.empty() && !scale(word)) {
      return refuse(fmt::format("{} is no unit for this: give {}", in_quotes(word), wanted_unit(question)));
    }
  }
  const int count = static_cast<int>(numbers.size());
  if (count < question.least_numbers || count > question.most_numbers) {
    return refuse(fmt::format("{} wanted, but there {} {}", how_many(question), count == 1 ? "is" : "are", count));
  }
  CheckedAnswer out;
  for (double& number : numbers) {
    if (std::string reason = reason_against(question, number); !reason.empty()) return refuse(std::move(reason));
    out.answer += fmt::format("{}{}", out.answer.empty() ? "" : " ", number + 0.0);  // never "-0"
  }
  return out;
}

// -------------------------------------------------------------------------------------- words

CheckedAnswer check_text(std::string_view typed) {
  if (first_not_utf8(typed)) return refuse("it holds letters that are not UTF-8");
  if (std::any_of(typed.begin(), typed.end(),
                  [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; })) {
    return refuse("it holds a control character");
  }
  if (typed.size() > longest_text) return refuse(fmt::format("it is over {} letters long", longest_text));
  return {std::string(typed), ""};
}

CheckedAnswer check_choice(const Question& question, std::string_view typed) {
  const std::string word = small_letters(typed);
  std::vector<std::string> names, beginning_so;
  for (const Choice& choice : question.choices) {
    if (choice.name == word) return {choice.name, ""};
    names.push_back(choice.name);
    if (choice.name.starts_with(word)) beginning_so.push_back(choice.name);
  }
  if (beginning_so.size() == 1) return {beginning_so[0], ""};
  if (word.size() == 1 && is_digit(word[0]) && word[0] > '0') {
    const auto place = static_cast<std::size_t>(word[0] - '1');
    if (place < names.size()) return {names[place], ""};
  }
  const std::string nearest = nearest_name(word, names);
  return refuse(nearest.empty() ? fmt::format("{} is none of {}", in_quotes(typed), fmt::join(names, ", "))
                                : fmt::format("{} is none of them; did you mean '{}'?", in_quotes(typed), nearest));
}

bool has(const std::vector<std::string>& names, std::string_view name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

CheckedAnswer check_coil(std::string_view typed) {
  const std::string word = small_letters(typed);
  std::vector<std::string> names = part_names(built_in_parts(), {Coil::kind});
  if (word == "own" || has(names, word)) return {word, ""};
  names.emplace_back("own");
  const std::string nearest = nearest_name(word, names);
  return refuse(nearest.empty()
                    ? fmt::format("there is no coil {} in the catalogue; 'own' describes yours", in_quotes(typed))
                    : fmt::format("there is no coil {}; did you mean '{}'?", in_quotes(typed), nearest));
}

CheckedAnswer check_tyre(const Question& question, std::string_view typed) {
  const std::string word = small_letters(typed);
  const std::vector<std::string> names = part_names(built_in_parts(), {Tyre::kind});
  if (has(names, word)) return {word, ""};
  if (word.find_first_of("abcdefhijlnopqrstuvwxyz") == std::string::npos) return check_numbers(question, typed);
  CheckedAnswer length = check_numbers(question, typed);
  if (length.reason.empty()) return length;
  const std::string nearest = nearest_name(word, names);
  return refuse(nearest.empty()
                    ? fmt::format("there is no tyre {} in the catalogue; give its diameter in mm", in_quotes(typed))
                    : fmt::format("there is no tyre {}; did you mean '{}'?", in_quotes(typed), nearest));
}

}  // namespace

std::string_view unit_name(Unit unit) {
  switch (unit) {
    case Unit::holes:
      return "holes";
    case Unit::mm:
      return "mm";
    case Unit::grams:
      return "g";
    case Unit::none:
      break;
  }
  return "";
}

CheckedAnswer check_answer(const Question& question, std::string_view typed) {
  std::string_view words = trimmed(typed);
  if (words.empty()) words = question.usual;
  if (words == left_out || words.empty()) {
    if (question.may_be_left_out) return {std::string(left_out), ""};
    return refuse(words.empty() ? "an answer is needed" : "this can't be left out");
  }
  switch (question.form) {
    case Form::text:
      return check_text(words);
    case Form::choice:
      return check_choice(question, words);
    case Form::coil:
      return check_coil(words);
    case Form::tyre:
      return check_tyre(question, words);
    case Form::numbers:
      break;
  }
  return check_numbers(question, words);
}

}  // namespace ridepitch
