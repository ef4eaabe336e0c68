#include "cli/command_line.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/split_words.hpp"
#include "cli/usage.hpp"
#include "model/text_file.hpp"

namespace ridepitch {
namespace {

using WordList = std::vector<std::string>;

/// Whether one of some words stands before what can't be an option any more.
bool has(const WordList& words, const WordList& any) {
  const auto end = std::find(words.begin(), words.end(), "--");
  return std::find_first_of(words.begin(), end, any.begin(), any.end()) != end;
}

std::vector<Option> options_of(const Command& command, Options& to) {
  std::vector<Option> options = command.options(to);
  options.insert(options.begin(), {"--json", "", "Print one JSON document, also on error.", &to.json});
  return options;
}

// ------------------------------------------------------------------------------------ help

std::string program_help() {
  std::vector<Term> commands;
  for (const Command& each : all_commands()) commands.push_back({each.name, each.does});
  std::string text =
      "Works out how a model vehicle stands and rides on its springs.\n\nUsage: ridepitch COMMAND MODEL... "
      "[options]\n\nCommands\n" +
      terms_text(commands, Ink{}) + "\nOptions\n" +
      terms_text({{"-h, --help", "Print this help."}, {"--version", "Print the version."}}, Ink{}) +
      "\n'ridepitch COMMAND --help' lists the options of a command.\n";
  for (const char* rule :
       {"Of several models, everything that is wrong with any is reported, and the others are printed.",
        "Exit status: 0 done, and what was asked for holds; 1 it does not hold; 2 a text or the command line is at "
        "fault, or something can't be written; 3 the text is right but has no solution."})
    text += wrapped(rule, 0) + "\n";
  return text;
}

std::string command_help(const Command& command) {
  Options nowhere;
  std::vector<Term> lines = {{"-h, --help", "Print this help."}};
  for (const Option& option : options_of(command, nowhere))
    lines.push_back({fmt::format("{}{}{}", option.name, *option.value ? " " : "", option.value), option.does});
  return fmt::format("{}\n\nUsage: ridepitch {} {}\n\nOptions\n{}", wrapped(command.does, 0), command.name,
                     command.usage, terms_text(lines, Ink{}));
}

// ------------------------------------------------------------------------------------ values

/// A number as an option takes it; what is wrong with it, if anything.
std::optional<Problem> take_number(const Option& option, const std::string& word, bool whole, double& to) {
  const auto number = read_number(word);
  if (number && *number >= option.least && *number <= option.most && (!whole || *number == std::floor(*number))) {
    to = *number;
    return std::nullopt;
  }
  return usage(fmt::format("{} takes a {}number from {:g} to {:g}, not '{}'", option.name, whole ? "whole " : "",
                           option.least, option.most, shown(word)));
}

/// Puts what was written to where it goes.
std::optional<Problem> take(const Option& option, const WordList& words) {
  // What comes of an unset variable of the shell is no way to leave an option out.
  if (std::find(words.begin(), words.end(), "") != words.end() && *option.value && option.value[0] != '[')
    return usage(fmt::format("{} takes {}, but its value is empty", option.name, option.value));
  const std::string word = words.empty() ? "" : words.front();
  const bool whole = std::holds_alternative<int*>(option.to);
  double number = 0;
  if (whole || std::holds_alternative<double*>(option.to) || std::holds_alternative<std::optional<double>*>(option.to))
    if (auto problem = take_number(option, word, whole, number)) return problem;
  std::visit(
      [&](auto* to) {
        using To = std::remove_pointer_t<decltype(to)>;
        if constexpr (std::is_same_v<To, bool>) {
          *to = true;
        } else if constexpr (std::is_same_v<To, WordList>) {
          *to = words;
        } else if constexpr (std::is_assignable_v<To&, std::string>) {
          *to = word;
        } else if constexpr (std::is_same_v<To, int>) {
          *to = static_cast<int>(number);
        } else {
          *to = number;
        }
      },
      option.to);
  return std::nullopt;
}

// ------------------------------------------------------------------------------------ the whole

Problem unknown_option(const std::string& word, const std::vector<Option>& options, const std::string& command) {
  WordList known = {"--help"};
  for (const Option& option : options) known.emplace_back(option.name);
  const std::string name = word.substr(0, word.find('='));
  return {.code = "unknown-option",
          .text = fmt::format("{} has no option '{}'", command, shown(name)),
          .hint = suggestion(name, known, fmt::format("'{} --help' lists the options", command))};
}

/// Whether there are as many words as the command takes.
std::optional<Problem> check_count(const Command& command, std::size_t count) {
  const CommandWords& takes = command.takes;
  if (count < takes.least)
    return Problem{.code = command.words == &Options::models ? "no-model" : "no-file",
                   .text = fmt::format("ridepitch {} needs a {}", command.name, takes.what),
                   .hint = fmt::format("ridepitch {} {}", command.name, takes.example)};
  if (count <= takes.most) return std::nullopt;
  return usage(fmt::format("ridepitch {} takes {} {}{}, but more are named", command.name,
                           takes.most == 1 ? "one" : "two", takes.what, takes.most == 1 ? "" : "s"),
               "run it for them one by one");
}

std::optional<Problem> read_options(const Command& command, const WordList& words, Options& to) {
  const std::vector<Option> options = options_of(command, to);
  const std::string name = std::string("ridepitch ") + command.name;
  const std::string how = fmt::format("'{} --help' shows how it is used", name);
  SplitWords split = split_words(options, words);
  if (!split.wrong.empty()) return usage(shown(split.wrong), how);
  if (!split.unknown.empty()) return unknown_option(split.unknown.front(), options, name);
  for (const Option& option : options) {
    const auto given = split.values.find(option.name);
    if (given == split.values.end()) continue;
    if (auto problem = take(option, given->second)) {
      problem->hint = how;
      return problem;
    }
  }
  if (auto problem = check_count(command, split.others.size())) return problem;
  if (std::find(split.others.begin(), split.others.end(), "") != split.others.end())
    return usage(fmt::format("an empty word is no {}", command.takes.what), how);
  to.*command.words = std::move(split.others);
  return command.check ? command.check(to) : std::nullopt;
}

}  // namespace

CommandLine parse_command_line(const std::vector<std::string>& as_given) {
  WordList words = with_every_block_named(as_given);
  CommandLine line;
  line.json = has(words, {"--json"});
  for (const std::string& word : words)
    if (has_control_character(word)) {
      line.problem =
          usage(fmt::format("'{}' holds a control character, which would be shown as something else", shown(word)),
                "give the file or part a name without it");
      return line;
    }
  if (words.empty() || words[0] == "-h" || words[0] == "--help") {
    line.text = program_help();
  } else if (words[0] == "--version") {
    line.text = "ridepitch " RIDEPITCH_VERSION "\n";
  } else if (words[0].starts_with('-')) {
    line.problem = unknown_option(words[0], {{"--version", "", "", {}}}, "ridepitch");
  } else {
    const auto& commands = all_commands();
    const auto found =
        std::find_if(commands.begin(), commands.end(), [&](const Command& each) { return words[0] == each.name; });
    if (found == commands.end()) {
      WordList names;
      for (const Command& each : commands) names.emplace_back(each.name);
      line.problem = Problem{.code = "unknown-command",
                             .text = fmt::format("there is no command '{}'", shown(words[0])),
                             .hint = suggestion(words[0], names, "'ridepitch --help' lists the commands")};
      return line;
    }
    words.erase(words.begin());
    if (has(words, {"-h", "--help"})) {
      line.text = command_help(*found);
    } else {
      line.command = &*found;
      line.problem = read_options(*found, words, line.options.emplace());
      if (line.problem) line.options.reset();
    }
  }
  return line;
}

}  // namespace ridepitch
