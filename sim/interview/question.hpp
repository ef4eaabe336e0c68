#pragma once
// A question as data, and what can be an answer to it.

#include <string>
#include <string_view>
#include <vector>

namespace ridepitch {

enum class Form {
  text,     ///< any words
  choice,   ///< one of a few words
  numbers,  ///< one number or several
  coil,     ///< a coil of the built-in catalogue, or "own"
  tyre,     ///< a tyre of the built-in catalogue, or a diameter [mm]
};

enum class Unit { none, holes, mm, grams };

struct Choice {
  std::string name;         ///< what is typed
  std::string meaning;      ///< in a few words
  std::string effect = {};  ///< what it means for the machine, in two or three sentences; may be empty
};

struct Question {
  std::string key = {};   ///< in a file of answers: "front_arm_axle"
  std::string ask = {};   ///< short, without its unit and a question mark
  std::string more = {};  ///< what `?` tells; may be empty
  Form form = Form::numbers;
  Unit unit = Unit::none;
  int least_numbers = 1, most_numbers = 1;
  double least = 0, most = 0;  ///< of each number
  bool least_excluded = false;
  bool whole = false;                ///< no halves
  std::vector<Choice> choices = {};  ///< of Form::choice
  std::string usual = {};  ///< taken where nothing is typed; empty: an answer is needed, unless it may be left out
  bool may_be_left_out = false;
};

/// A question for one number.
Question number_question(std::string key, std::string ask, Unit unit, double least, double most, std::string usual,
                         std::string more = "");

/// A question for one of a few words.
Question choice_question(std::string key, std::string ask, std::vector<Choice> choices, std::string usual);

/// The name of a unit as a prompt shows it: "holes", "mm", "g", or empty.
std::string_view unit_name(Unit unit);

/// An answer in the form that Answers hold, or why it can't be one.
struct CheckedAnswer {
  std::string answer;
  std::string reason;  ///< "'abc' is not a number"; empty: it can be
};

/// Looks at what was typed.
///
/// Numbers: a decimal point or comma, halves as 1/2 signs, a unit behind them ("12,5 cm" for a question in mm, "1.2 kg"
/// for one in grams); several are parted by blanks, or by commas where that can't be mistaken, or by x ("460 x 150 x 120"). Holes sit at whole or
/// half steps. Choices: their name or a beginning of it that is no other's, or its number in the list. Nothing typed:
/// the usual answer; "-" leaves out what may be left out.
CheckedAnswer check_answer(const Question& question, std::string_view typed);

}  // namespace ridepitch
