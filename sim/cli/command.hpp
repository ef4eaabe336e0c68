#pragma once
// A command of the program as data: its name, its options, what it does.

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "cli/options.hpp"
#include "cli/page.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// What a command has to say.
struct Outcome {
  std::string out;                     ///< for standard output
  std::vector<Problem> problems = {};  ///< for standard error; with --json they take the place of `out`
  bool holds = true;                   ///< the verdict, where one was asked for
  std::string written = {};            ///< path of the file that was written, if any
  std::optional<int> status = {};      ///< exit status, where it is not the one that the problems ask for
};

inline constexpr std::size_t any_number_of_words = static_cast<std::size_t>(-1);

/// Where the value of an option goes; that of a `bool` is that it was given. A list takes one word each time.
using OptionValue = std::variant<bool*, int*, double*, std::optional<double>*, std::string*,
                                 std::optional<std::string>*, std::vector<std::string>*>;

struct Option {
  const char* name;   ///< "--curves"
  const char* value;  ///< what stands for its value: "FILE.csv"; "[KIND]" may be left out; empty: it has none
  const char* does;   ///< a sentence for --help
  OptionValue to;
  double least = -1e5, most = 1e5;  ///< of a number
};

/// What words that are no options a command takes.
struct CommandWords {
  const char* what = "model file";
  const char* example = "MODEL.toml";
  std::size_t least = 1, most = any_number_of_words;
};

struct Command {
  const char* name;
  const char* does;                           ///< a sentence for --help
  const char* usage;                          ///< what follows the name: "MODEL... [options]"
  std::vector<std::string> Options::*words;   ///< where the words go that are no options
  CommandWords takes;                         ///< how many of them
  std::vector<Option> (*options)(Options&);   ///< beside --help and --json
  std::optional<Problem> (*check)(Options&);  ///< what only makes sense together; may be null
  Outcome (*run)(const Options&, const Ink&);
};

/// All commands, in the order of the help.
const std::vector<Command>& all_commands();

}  // namespace ridepitch
