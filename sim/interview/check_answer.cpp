// From what was typed to an answer, or to the reason why it can't be one.

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <optional>
#include <sstream>

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
constexpr std::string_view letters_of_no_unit = "abcdefhijlnopqrstuvwxyz";  // of a length

CheckedAnswer refuse(std::string reason) { return {"", std::move(reason)}; }

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

/// "460 x 150 x 120", "46cm×15cm": what parts lengths becomes a blank. It stands behind a number or its unit, before a number.
std::string without_times_signs(std::string text) {
  replace_all(text, "\xc3\x97", "x");  // U+00D7
  for (std::size_t at = 1; at + 1 < text.size(); ++at) {
    if (text[at] != 'x' && text[at] != 'X') continue;
    const std::size_t before = text.find_last_not_of(' ', at - 1), after = text.find_first_not_of(' ', at + 1);
    if (before == std::string::npos || after == std::string::npos) continue;
    const bool behind_length = is_digit(text[before]) || text[before] == 'm';
    if (behind_length && is_digit(text[after])) text[at] = ' ';
  }
  return text;
}

/// Pieces between blanks; a comma at the end of one parts it from the next.
std::vector<std::string> pieces_of(const std::string& text) {
  std::istringstream stream(text);
  std::vector<std::string> pieces;
  for (std::string piece; stream >> piece;) {
    piece.erase(piece.find_last_not_of(',') + 1);
    if (!piece.empty()) pieces.push_back(std::move(piece));
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
  Unit unit;
  double factor;  ///< to the unit of the question
};

const std::map<std::string_view, UnitWord> unit_words = {
    {"hole", {Unit::holes, 1}},    {"holes", {Unit::holes, 1}}, {"module", {Unit::holes, 1}},
    {"modules", {Unit::holes, 1}}, {"row", {Unit::holes, 1}},   {"rows", {Unit::holes, 1}},
    {"mm", {Unit::mm, 1}},         {"cm", {Unit::mm, 10}},      {"m", {Unit::mm, 1000}},
    {"g", {Unit::grams, 1}},       {"gram", {Unit::grams, 1}},  {"grams", {Unit::grams, 1}},
    {"kg", {Unit::grams, 1000}}};

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
  std::string text = in_plain_letters(typed);
  if (question.most_numbers > 1) text = without_times_signs(std::move(text));
  std::vector<std::string> pieces = pieces_of(text);
  if (pieces.size() == 1 && commas_part(pieces[0], question.least_numbers)) {
    std::replace(pieces[0].begin(), pieces[0].end(), ',', ' ');
    pieces = pieces_of(pieces[0]);
  }
  std::vector<double> numbers;
  std::size_t with_unit = 0;  // how many of the numbers have had theirs
  for (const std::string& piece : pieces) {
    const auto scale = [&](const std::string& word) {
      const auto known = unit_words.find(word);
      if (known == unit_words.end() || known->second.unit != question.unit) return false;
      // In "4 and 5 cm" a unit holds for all numbers before it that have none.
      for (std::size_t i = with_unit; i < numbers.size(); ++i) numbers[i] *= known->second.factor;
      with_unit = numbers.size();
      return true;
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
  if (has_control_character(typed)) return refuse("it holds a control character");
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

/// The name of a built-in part of a kind, or what else may be said, or a refusal with the nearest of those.
CheckedAnswer check_part(std::string_view typed, std::string_view kind, const std::vector<std::string>& or_else,
                         std::string_view otherwise) {
  std::vector<std::string> names = part_names(built_in_parts(), {kind});
  names.insert(names.end(), or_else.begin(), or_else.end());
  const std::string word = small_letters(typed);
  if (std::find(names.begin(), names.end(), word) != names.end()) return {word, ""};
  const std::string nearest = nearest_name(word, names);
  if (!nearest.empty())
    return refuse(fmt::format("there is no {} {}; did you mean '{}'?", kind, in_quotes(typed), nearest));
  return refuse(fmt::format("there is no {} {} in the catalogue; {}", kind, in_quotes(typed), otherwise));
}

CheckedAnswer check_tyre(const Question& question, std::string_view typed) {
  CheckedAnswer named = check_part(typed, Tyre::kind, {}, "give its diameter in mm");
  if (named.reason.empty()) return named;
  CheckedAnswer length = check_numbers(question, typed);
  const bool no_name = small_letters(typed).find_first_of(letters_of_no_unit) == std::string::npos;
  return length.reason.empty() || no_name ? length : named;
}

}  // namespace

std::string_view unit_name(Unit unit) {
  constexpr std::string_view names[] = {"", "holes", "mm", "g"};  // in the order of Unit
  return names[static_cast<std::size_t>(unit)];
}

Question number_question(std::string key, std::string ask, Unit unit, double least, double most, std::string usual,
                         std::string more) {
  Question out{.key = std::move(key), .ask = std::move(ask), .more = std::move(more)};
  out.unit = unit;
  out.least = least;
  out.most = most;
  out.usual = std::move(usual);
  return out;
}

Question choice_question(std::string key, std::string ask, std::vector<Choice> choices, std::string usual) {
  Question out{.key = std::move(key), .ask = std::move(ask)};
  out.form = Form::choice;
  out.choices = std::move(choices);
  out.usual = std::move(usual);
  return out;
}

CheckedAnswer check_answer(const Question& question, std::string_view typed) {
  std::string_view words = without_blanks(typed);
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
      return check_part(words, Coil::kind, {"own"}, "'own' describes yours");
    case Form::tyre:
      return check_tyre(question, words);
    case Form::numbers:
      break;
  }
  return check_numbers(question, words);
}

}  // namespace ridepitch
