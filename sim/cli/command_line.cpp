#include "cli/command_line.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <iterator>

#include "cli/page.hpp"
#include "model/nearest_name.hpp"

namespace ridepitch {
namespace {

constexpr const char* what_it_is = "Works out how a model vehicle stands and rides on its springs.";

struct DeclaredCommand {
  Command which;
  CLI::App* app;
  std::string takes;  ///< the models, as its help has them: "MODEL..."
};

/// The commands and their options, all declared here.
struct Declared {
  CLI::App app{what_it_is, "ridepitch"};
  Options options;
  std::vector<DeclaredCommand> commands;

  Declared() {
    app.set_help_flag("-h,--help", "Print this help.");
    app.set_version_flag("--version", "ridepitch " RIDEPITCH_VERSION, "Print the version.");
    app.require_subcommand(0, 1);

    command(Command::check, "check",
            "Reads models, puts their linkages together and reports everything wrong with them.");

    CLI::App* solve =
        command(Command::solve, "solve",
                "Says how a vehicle stands: height, sag, scale readings, wheel rates, travel left, forces "
                "in every part, and what is wrong with it.");
    solve
        ->add_option("--curves", options.curves,
                     "Also write the travel curves of all wheels to a CSV file, for a spreadsheet; one model only.")
        ->type_name("FILE.csv");
    solve->add_flag("--terse", options.terse, "Leave out the lines that explain the headings.");

    declare_swap();
  }

  void declare_swap() {
    CLI::App* swap =
        command(Command::swap, "swap",
                "Compares a model with another one, or with itself changed: what differs, what a changed spring needs, "
                "and whether it still stands and rides the same.",
                "BEFORE [AFTER]");
    SwapOptions& how = options.swap;
    list_option(swap, "--spring", how.springs, "CORNER/SPRING=PART*COUNT",
                "Another spring there, or another number of them: PART, PART*COUNT or *COUNT. May be given again.");
    list_option(swap, "--hole", how.holes, "CORNER/BODY.HOLE=U,V", "That hole at another place, in modules.");
    list_option(swap, "--rod", how.rods, "CORNER/ROD=LENGTH", "That rod of another length, in modules.");
    list_option(swap, "--without", how.without, "CORNER/SPRING",
                "That spring, or the anti-roll bar of that name, taken out.");
    swap->add_option(
            "--keep", how.keep,
            "How far it may be off: ride=MM, pitch=DEG, roll=DEG, rate=PERCENT, frequency=PERCENT (as the rate, "
            "if not given), bump=PERCENT and reserve=PERCENT (least, of before), with commas between. "
            "ride=1,pitch=0.5,roll=0.5,rate=5,frequency=5,bump=80,reserve=80 if not given.")
        ->type_name("NAME=NUMBER,...");
    swap->add_option("--write", how.write,
                     "Write the changed model to this file, which may be the model itself: only the changed values "
                     "differ, comments and spacing stay.")
        ->type_name("FILE");
    swap->add_flag("--terse", options.terse, "Leave out the lines that explain the headings.");
  }

  /// An option that may be given again, with one word each time.
  static void list_option(CLI::App* to, const std::string& name, std::vector<std::string>& words,
                          const std::string& form, const std::string& does) {
    to->add_option(name, words, does)->type_name(form)->allow_extra_args(false);
  }

  /// @param takes  the models that it takes, for its help
  CLI::App* command(Command which, const std::string& name, const std::string& does,
                    const std::string& takes = "MODEL...") {
    CLI::App* declared = app.add_subcommand(name, does);
    declared->set_help_flag("-h,--help", "Print this help.");
    declared->add_option("MODEL", options.models, "Model files (docs/model-format.md).");
    declared->add_flag("--json", options.json, "Print one JSON document, also on error.");
    declared->allow_extras();  // so that a wrong option is ours to explain
    commands.push_back({which, declared, takes});
    return declared;
  }

  std::vector<std::string> command_names() const {
    std::vector<std::string> names;
    for (const auto& each : commands) names.push_back(each.app->get_name());
    return names;
  }
};

/// "  --curves FILE.csv  Also write ...", the description wrapped beside it.
std::string help_line(const std::string& term, const std::string& description, int term_width) {
  return fmt::format("  {:<{}}  {}\n", term, term_width, wrapped(description, term_width + 4));
}

std::string option_term(const CLI::Option& option) {
  std::string term;
  for (const std::string& name : option.get_snames()) term += (term.empty() ? "-" : ", -") + name;
  for (const std::string& name : option.get_lnames()) term += (term.empty() ? "--" : ", --") + name;
  if (option.get_items_expected_max() > 0) term += " " + option.get_type_name();
  return term;
}

std::string options_help(const CLI::App& app) {
  std::vector<std::pair<std::string, std::string>> lines;
  for (const CLI::Option* option : app.get_options()) {
    if (!option->get_positional()) lines.emplace_back(option_term(*option), option->get_description());
  }
  std::size_t widest = 0;
  for (const auto& line : lines) widest = std::max(widest, line.first.size());
  std::string text = "\nOptions\n";
  for (const auto& [term, description] : lines) text += help_line(term, description, static_cast<int>(widest));
  return text;
}

std::string program_help(const Declared& declared) {
  std::string text = fmt::format("{}\n\nUsage: ridepitch COMMAND MODEL... [options]\n\nCommands\n", what_it_is);
  for (const auto& each : declared.commands) {
    text += help_line(each.app->get_name(), each.app->get_description(), 9);
  }
  text += options_help(declared.app);
  text += "\n'ridepitch COMMAND --help' lists the options of a command.\n";
  for (const char* rule :
       {"Of several models, everything that is wrong with any is reported, and the others are printed.",
        "Exit status: 0 done, and what was asked for holds; 1 it does not hold; 2 a text or the command line is at "
        "fault, or something can't be written; 3 the text is "
        "right but has no solution."}) {
    text += wrapped(rule, 0) + "\n";
  }
  return text;
}

std::string command_help(const DeclaredCommand& command) {
  return fmt::format("{}\n\nUsage: ridepitch {} {} [options]\n{}", wrapped(command.app->get_description(), 0),
                     command.app->get_name(), command.takes, options_help(*command.app));
}

Problem usage_problem(std::string code, std::string text, std::string hint) {
  Problem problem;
  problem.code = std::move(code);
  problem.text = std::move(text);
  problem.hint = std::move(hint);
  return problem;
}

std::string suggestion(const std::string& word, const std::vector<std::string>& known, const std::string& otherwise) {
  const std::string nearest = nearest_name(word, known);
  return nearest.empty() ? otherwise : fmt::format("did you mean '{}'?", nearest);
}

Problem unknown_command(const std::string& word, const Declared& declared) {
  return usage_problem("unknown-command", fmt::format("there is no command '{}'", shown(word)),
                       suggestion(word, declared.command_names(), "'ridepitch --help' lists the commands"));
}

Problem unknown_option(const std::string& word, const CLI::App& app, const std::string& command) {
  std::vector<std::string> known;
  for (const CLI::Option* option : app.get_options()) {
    for (const std::string& name : option->get_lnames()) known.push_back("--" + name);
  }
  const std::string name = word.substr(0, word.find('='));
  return usage_problem("unknown-option", fmt::format("{} has no option '{}'", command, shown(name)),
                       suggestion(name, known, fmt::format("'{} --help' lists the options", command)));
}

std::optional<Problem> swap_contradiction(const Options& options) {
  const std::string how = "ridepitch swap BEFORE.toml AFTER.toml, or ridepitch swap MODEL.toml --spring ...";
  if (options.models.size() > 2)
    return usage_problem("usage", "ridepitch swap compares two models, but more are named", how);
  const bool two = options.models.size() == 2, changed = options.swap.any_change();
  if (two && changed) {
    return usage_problem("usage", "ridepitch swap has a second model, and changes beside it", how);
  }
  if (!two && !changed) {
    return usage_problem("usage", "ridepitch swap has neither a second model nor a change to compare with", how);
  }
  if (two && !options.swap.write.empty()) {
    return usage_problem("usage", "--write writes the changed model, but nothing is changed",
                         "--spring, --hole, --rod or --without change it");
  }
  return std::nullopt;
}

/// What only makes sense together: the options of one command against each other.
std::optional<Problem> contradiction(const Options& options, const std::string& command) {
  if (options.models.empty()) {
    return usage_problem("no-model", fmt::format("{} needs a model file", command),
                         fmt::format("{} MODEL.toml", command));
  }
  if (!options.curves.empty() && options.models.size() > 1) {
    return usage_problem("usage", "--curves writes the curves of one model, but several are named",
                         "solve them one by one, each with a file of its own");
  }
  return command == "ridepitch swap" ? swap_contradiction(options) : std::nullopt;
}

CommandLine parse(Declared& declared, const std::vector<std::string>& words) {
  CommandLine line;
  const auto dashes = std::find(words.begin(), words.end(), "--");  // after it everything is a model
  std::vector<std::string> backwards(std::make_reverse_iterator(dashes), words.rend());  // as CLI11 wants them
  try {
    declared.app.parse(backwards);
  } catch (const CLI::CallForHelp&) {
    for (const auto& each : declared.commands) {
      if (each.app->parsed()) {
        line.text = command_help(each);
        return line;
      }
    }
    line.text = program_help(declared);
    return line;
  } catch (const CLI::CallForVersion& version) {
    line.text = std::string(version.what()) + "\n";
    return line;
  } catch (const CLI::ParseError& error) {
    line.problem = usage_problem("usage", shown(error.what()), "'ridepitch --help' shows how it is used");
    return line;
  }

  for (const auto& [which, app, takes] : declared.commands) {
    if (!app->parsed()) continue;
    const std::string command = "ridepitch " + app->get_name();
    if (const std::vector<std::string> left = app->remaining(); !left.empty()) {
      line.problem = unknown_option(left.front(), *app, command);
      return line;
    }
    if (dashes != words.end()) {
      declared.options.models.insert(declared.options.models.end(), dashes + 1, words.end());
    }
    line.problem = contradiction(declared.options, command);
    if (!line.problem) {
      line.options = declared.options;
      line.options->command = which;
    }
    return line;
  }
  line.text = program_help(declared);
  return line;
}

}  // namespace

CommandLine parse_command_line(const std::vector<std::string>& words) {
  Declared declared;
  CommandLine line;
  if (!words.empty() && !words[0].empty() && words[0][0] != '-') {
    const std::vector<std::string> names = declared.command_names();
    if (std::find(names.begin(), names.end(), words[0]) == names.end()) {
      line.problem = unknown_command(words[0], declared);
    }
  } else if (!words.empty() && words[0] != "-h" && words[0] != "--help" && words[0] != "--version") {
    line.problem = unknown_option(words[0], declared.app, "ridepitch");
  }
  if (!line.problem) line = parse(declared, words);
  const auto dashes = std::find(words.begin(), words.end(), "--");
  line.json = std::find(words.begin(), dashes, "--json") != dashes;
  return line;
}

}  // namespace ridepitch
