#include "cli/command_line.hpp"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <charconv>
#include <iterator>

#include "cli/catalogue_text.hpp"
#include "cli/floor_words.hpp"
#include "cli/page.hpp"
#include "interview/sections.hpp"
#include "model/nearest_name.hpp"

namespace ridepitch {

std::optional<double> seconds_of(const std::string& time) {
  double number = 0;
  const char* const end = time.data() + time.size();
  const auto [rest, failed] = std::from_chars(time.data(), end, number);
  if (failed != std::errc() || !(number > 0) || !(number < 1e6)) return std::nullopt;
  const std::string_view unit(rest, static_cast<std::size_t>(end - rest));
  if (unit.empty() || unit == "s") return number;
  if (unit == "m" || unit == "min") return 60 * number;
  if (unit == "h") return 3600 * number;
  return std::nullopt;
}

namespace {

constexpr double most_believable_mm = 1e5;  // no spring of a model is longer

constexpr int most_steer_points = 100001;

constexpr const char* what_it_is = "Works out how a model vehicle stands and rides on its springs.";

struct DeclaredCommand {
  Command which;
  CLI::App* app;
  std::string usage;                ///< what follows its name: "MODEL... [options]"
  std::vector<std::string>* words;  ///< where its words that are no options go
};

/// The commands and their options, all declared here.
struct Declared {
  CLI::App app{what_it_is, "ridepitch"};
  Options options;
  std::vector<DeclaredCommand> commands;
  FloorWords floor;

  Declared() {
    app.set_help_flag("-h,--help", "Print this help.");
    app.set_version_flag("--version", "ridepitch " RIDEPITCH_VERSION, "Print the version.");
    app.require_subcommand(0, 1);

    CLI::App* create =
        command(Command::new_model, "new",
                "Asks for a model's measures one by one, in holes, millimetres and grams, writes its file and "
                "solves it.",
                "[FILE] [options]", options.models);
    create
        ->add_option("--kind", options.new_model.kind,
                     "How the wheels are hung: arm, arm-rocker, beam, wishbones or live-axle; asked otherwise.")
        ->type_name("KIND");
    create
        ->add_option("--answers", options.new_model.answers,
                     "Take the answers from a file of 'key = value' lines (docs/first-file.md) instead of asking.")
        ->type_name("FILE");
    create->add_flag("--terse", options.terse, "Leave out the lines that explain the headings.");
    create->add_flag("--overwrite", options.new_model.overwrite,
                     "Replace the model file if there is one of that name.");

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
    declare_floor(*solve);

    declare_steer();
    declare_rework();
    declare_swap();
    declare_tune();
    declare_nudge();

    CLI::App* parts =
        command(Command::parts, "parts",
                "Lists the parts that models are built from, with lengths, rates and what they push with.",
                "--list [KIND] [MODEL]", options.models);
    parts
        ->add_option("--list", options.parts.kind,
                     "List the built-in catalogue, or that of a model with its prices; all of it, or one kind: coil, "
                     "band, tyre, beam, rod, pin, gear, other.")
        ->expected(0, 1)
        ->type_name("[KIND]");

    command(Command::explain, "explain",
            "Tells in plain language what a word of the output means; without a word, lists them.", "[WORD] [options]",
            options.explain.words);

    declare_fit();
  }

  /// Of the commands that search.
  void search_options(CLI::App* to, const char* limit) {
    TuneOptions& how = options.tune;
    to->add_option("--top", how.top, "So many results; 10 if not given.")->type_name("N");
    to->add_option("--write", how.write,
                   "Write the best result to this file, which may be the model itself: only the changed values differ, "
                   "comments and spacing stay.")
        ->type_name("FILE");
    to->add_option("--pick", how.pick, "Write result K instead of the first.")->type_name("K");
    to->add_option("--threads", how.threads, "Search with so many threads; one for each core if not given.")
        ->type_name("N");
    to->add_option("--limit", how.limit, limit)->type_name("TIME");
  }

  void declare_steer() {
    CLI::App* steer = command(
        Command::steer, "steer",
        "Says how far a vehicle's wheels turn and what ends it, in what circle it turns, how far the wheels are "
        "off their ideal angles, and what the hand wheel does.");
    steer->add_option("--points", options.steer.points, "Show so many places over the drive's range; 21 if not given.")
        ->type_name("N")
        ->check(CLI::Range(2, most_steer_points));
    steer
        ->add_option("--curve", options.steer.curve,
                     "Also write these places to a CSV file, for a spreadsheet; one model only.")
        ->type_name("FILE.csv");
    steer->add_flag("--terse", options.terse, "Leave out the lines that explain the headings.");
  }

  void declare_rework() {
    CLI::App* rework = command(
        Command::rework, "rework",
        "A spring can no longer be had: which others can stand in for it, and which holes and rods make the model "
        "stand and ride as before.",
        "MODEL --gone PART [options]", options.models);
    list_option(rework, "--gone", options.rework.gone, "PART", "The spring that is gone. May be given again.");
    rework->add_option("--prices", options.rework.prices, "A price list: CSV with columns part,price,stock.")
        ->type_name("FILE.csv");
    rework->add_option("--keep", options.rework.keep, "How far it may be off, as for swap.")
        ->type_name("NAME=NUMBER,...");
    search_options(rework, "How long to search for holes: seconds, or 5m, 1h; 20 seconds if not given.");
    rework->add_flag("--terse", options.terse, "Leave out the lines that explain the headings.");
  }

  void declare_tune() {
    CLI::App* tune =
        command(Command::tune, "tune",
                "Searches holes, rods and springs for what the model's [tune] asks, and ranks what it finds.",
                "MODEL [options]", options.models);
    tune->add_option("--like", options.tune.like, "A model whose values are wanted where [tune] gives none.")
        ->type_name("BEFORE");
    search_options(
        tune, "Look at everything if that takes no longer, else search so long: seconds, or 5m, 1h; 10m if not given.");
    tune->add_flag("--terse", options.terse, "Leave out the lines that explain the headings.");
  }

  void declare_nudge() {
    CLI::App* nudge =
        command(Command::nudge, "nudge",
                "Says what one step of each hole, rod and spring does to the numbers, the greatest effect "
                "first, and how far the play of the pins lets them wander.",
                "MODEL [options]", options.models);
    nudge->add_option("--corner", options.nudge.corner, "Only what is at this corner, and what it does there.")
        ->type_name("NAME");
    nudge
        ->add_option("--play", options.nudge.play_mm,
                     "How far the centres of two holes on one pin can stand apart; 0.1 if not given, 0 for none.")
        ->type_name("MM")
        ->check(CLI::Range(0.0, 10.0));
    nudge->add_flag("--terse", options.terse, "Leave out the lines that explain the headings.");
  }

  void declare_swap() {
    CLI::App* swap =
        command(Command::swap, "swap",
                "Compares a model with another one, or with itself changed: what differs, what a changed spring needs, "
                "and whether it still stands and rides the same.",
                "BEFORE [AFTER] [options]", options.models);
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

  void declare_floor(CLI::App& solve) {
    solve.add_flag("--floor", floor.asked,
                   "Also find how far the ground may rise and fall under each wheel before one comes off it, and how "
                   "far the floor may be tilted before the vehicle tips over.");
    list_option(&solve, "--block", floor.blocks, "CORNER/WHEEL=MM",
                "Let a wheel stand on a block so many mm high, or in a dip where that is negative; several may follow. "
                "With --floor's answers.");
    solve.add_option("--slope", floor.slope, "Tilt the floor by so many degrees. With --floor's answers.")
        ->type_name("DEG");
    solve.add_option("--toward", floor.toward, "The side that is downhill on it: left, right, front or rear.")
        ->type_name("SIDE");
  }

  CLI::App* command(Command which, const std::string& name, const std::string& does) {
    return command(which, name, does, "MODEL... [options]", options.models);
  }

  /// @param usage  what follows the command's name
  /// @param words  takes what is no option
  CLI::App* command(Command which, const std::string& name, const std::string& does, const std::string& usage,
                    std::vector<std::string>& words) {
    CLI::App* declared = app.add_subcommand(name, does);
    declared->set_help_flag("-h,--help", "Print this help.");
    declared->add_option("WORDS", words);
    declared->add_flag("--json", options.json, "Print one JSON document, also on error.");
    declared->allow_extras();  // so that a wrong option is ours to explain
    commands.push_back({which, declared, usage, &words});
    return declared;
  }

  void declare_fit() {
    FitOptions& to = options.fit;
    CLI::App* fit =
        command(Command::fit, "fit",
                "Finds a spring's data from what a ruler and a kitchen scale read, or from ride heights of a model.",
                "FILE.csv [options]", to.files);
    fit->add_option("--part", to.part, "Name of the part that is printed or added; made of the file's name otherwise.")
        ->type_name("NAME");
    fit->add_option("--free-mm", to.free_mm, "Length of the unloaded spring between its hole centres.")
        ->type_name("MM");
    fit->add_option("--solid-mm", to.solid_mm, "Its length with the coils touching.")->type_name("MM");
    fit->add_flag("--law", to.law, "Write a table of forces in place of rate and preload, for a spring that bends.");
    fit->add_option("--model", to.model, "The table holds ride heights of this model under extra weights.")
        ->type_name("MODEL.toml");
    fit->add_option("--spring", to.spring, "Which of the model's springs to fit, where it has several: LINKAGE/SPRING.")
        ->type_name("NAME");
    fit->add_option("--unknown", to.unknowns, "With --model, what to fit: rate, preload, free; rate,preload otherwise.")
        ->type_name("WHAT")
        ->delimiter(',')
        ->expected(1);
    fit->add_option("--add", to.add, "Put the part into this catalogue, the rest of its text kept.")
        ->type_name("CATALOGUE.toml");
    fit->add_flag("--replace", to.replace, "With --add, put it in the place of a part of the same name.");
    fit->add_flag("--terse", options.terse, "Leave out the lines that explain the headings.");
  }

  std::vector<std::string> command_names() const {
    std::vector<std::string> names;
    for (const DeclaredCommand& each : commands) names.push_back(each.app->get_name());
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
  for (const DeclaredCommand& each : declared.commands) {
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
  return fmt::format("{}\n\nUsage: ridepitch {} {}\n{}", wrapped(command.app->get_description(), 0),
                     command.app->get_name(), command.usage, options_help(*command.app));
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

std::optional<Problem> search_contradiction(const Options& options, Command which, const std::string& name) {
  const TuneOptions& how = options.tune;
  if (options.models.size() > 1)
    return usage_problem("usage", fmt::format("{} takes one model, but several are named", name), name + " MODEL.toml");
  if (which == Command::rework && options.rework.gone.empty())
    return usage_problem("usage", "ridepitch rework does not know which spring is gone",
                         "ridepitch rework MODEL.toml --gone PART");
  if (how.top < 1 || how.top > 1000)
    return usage_problem("usage", "--top is not a number from 1 to 1000", name + " MODEL.toml --top 10");
  if (how.threads < 0 || how.threads > 1024)
    return usage_problem("usage", "--threads is not a number from 1 to 1024", name + " MODEL.toml --threads 2");
  if (how.pick < 1)
    return usage_problem("usage", "--pick counts results from 1", name + " MODEL.toml --pick 2 --write FILE");
  if (!how.limit.empty() && !seconds_of(how.limit))
    return usage_problem("usage", fmt::format("--limit '{}' is no time", shown(how.limit)),
                         "seconds, minutes or hours: --limit 30, --limit 5m, --limit 1h");
  return std::nullopt;
}

/// What the words and options of `fit` mean together.
std::optional<Problem> fit_contradiction(FitOptions& fit) {
  const auto usage = [](std::string text, std::string hint) {
    return usage_problem("usage", std::move(text), std::move(hint));
  };
  if (fit.files.empty()) {
    return usage_problem("no-file", "ridepitch fit needs a table of readings",
                         "ridepitch fit FILE.csv; docs/measure-a-spring.md shows one");
  }
  if (fit.files.size() > 1) {
    return usage(fmt::format("ridepitch fit takes one table, but '{}' follows", shown(fit.files[1])),
                 "fit the tables one by one");
  }
  for (const std::string& unknown : fit.unknowns) {
    if (unknown != "rate" && unknown != "preload" && unknown != "free") {
      return usage(fmt::format("--unknown does not know '{}'", shown(unknown)),
                   "use rate, preload or free, such as --unknown rate,free");
    }
  }
  for (const auto& length : {fit.free_mm, fit.solid_mm}) {
    if (length && !(*length > 0 && *length < most_believable_mm))
      return usage(fmt::format("a spring can't be {} mm long", *length),
                   "lengths are in mm between hole centres, above 0");
  }
  if (fit.model.empty() && (!fit.spring.empty() || !fit.unknowns.empty())) {
    return usage(fmt::format("{} belongs to ride heights of a model", fit.spring.empty() ? "--unknown" : "--spring"),
                 "add --model MODEL.toml");
  }
  if (!fit.model.empty() && (fit.free_mm || fit.solid_mm || fit.law)) {
    return usage(fmt::format("{} belongs to readings of a spring by itself", fit.law       ? "--law"
                                                                             : fit.free_mm ? "--free-mm"
                                                                                           : "--solid-mm"),
                 "leave it out, or leave out --model; the model's own part says the lengths");
  }
  if (fit.replace && fit.add.empty())
    return usage("--replace says what to do in a catalogue, but none is named", "add --add CATALOGUE.toml");
  return std::nullopt;
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

/// The kinds of `new`, and its one file.
std::optional<Problem> check_new(const Options& options) {
  if (options.models.size() > 1) {
    return usage_problem("usage", "ridepitch new writes one model, but several files are named",
                         "ridepitch new FILE.toml");
  }
  std::vector<std::string> axles;
  for (const Choice& kind : axle_kinds()) axles.push_back(kind.name);
  const std::string& kind = options.new_model.kind;
  if (kind.empty() || std::find(axles.begin(), axles.end(), kind) != axles.end()) return std::nullopt;
  return usage_problem("unknown-kind", fmt::format("there is no kind '{}'", shown(kind)),
                       suggestion(kind, axles, fmt::format("the kinds are {}", fmt::join(axles, ", "))));
}

/// What the words of `parts` mean: the name of a kind is one, what looks like a file is a model.
std::optional<Problem> sort_words_of_parts(Options& options) {
  std::vector<std::string> words = std::move(options.models);
  if (!options.parts.kind.empty()) words.insert(words.begin(), std::move(options.parts.kind));
  options.models.clear();
  options.parts.kind.clear();
  for (const std::string& word : words) {
    const bool looks_like_a_file = word.find_first_of("./") != std::string::npos;
    if (is_part_kind(word) && options.parts.kind.empty()) {
      options.parts.kind = word;
    } else if (looks_like_a_file && options.models.empty()) {
      options.models.push_back(word);
    } else if (is_part_kind(word) || looks_like_a_file) {
      return usage_problem("usage", fmt::format("'{}' is one too many", shown(word)),
                           "ridepitch parts --list takes one kind and one model");
    } else {
      return usage_problem("unknown-kind", fmt::format("there is no kind of part '{}'", shown(word)),
                           suggestion(word, part_kind_names(), "the kinds are " + part_kinds_text()));
    }
  }
  return std::nullopt;
}

/// What only makes sense together: the options of one command against each other.
std::optional<Problem> contradiction(Options& options, const DeclaredCommand& command) {
  const std::string name = "ridepitch " + command.app->get_name();
  switch (command.which) {
    case Command::new_model:
      return check_new(options);
    case Command::explain:
      return std::nullopt;
    case Command::parts:
      options.parts.list = command.app->count("--list") > 0;
      if (!options.parts.list) {
        return usage_problem("usage", "ridepitch parts lists the catalogue only when told to", name + " --list");
      }
      return sort_words_of_parts(options);
    case Command::fit:
      return fit_contradiction(options.fit);
    case Command::check:
    case Command::solve:
    case Command::steer:
    case Command::rework:
    case Command::swap:
    case Command::tune:
    case Command::nudge:
      break;
  }
  if (options.models.empty()) {
    return usage_problem("no-model", fmt::format("{} needs a model file", name), fmt::format("{} MODEL.toml", name));
  }
  if (!options.curves.empty() && options.models.size() > 1) {
    return usage_problem("usage", "--curves writes the curves of one model, but several are named",
                         "solve them one by one, each with a file of its own");
  }
  if (!options.steer.curve.empty() && options.models.size() > 1) {
    return usage_problem("usage", "--curve writes the table of one model, but several are named",
                         "steer them one by one, each with a file of its own");
  }
  if (command.which == Command::rework || command.which == Command::tune)
    return search_contradiction(options, command.which, name);
  if (command.which == Command::nudge && options.models.size() > 1) {
    return usage_problem("usage", "ridepitch nudge looks at one model, but several are named",
                         "ridepitch nudge MODEL.toml");
  }
  return command.which == Command::swap ? swap_contradiction(options) : std::nullopt;
}

CommandLine parse(Declared& declared, const std::vector<std::string>& words) {
  CommandLine line;
  const auto dashes = std::find(words.begin(), words.end(), "--");  // after it nothing is an option
  std::vector<std::string> backwards(std::make_reverse_iterator(dashes), words.rend());  // as CLI11 wants them
  try {
    declared.app.parse(backwards);
  } catch (const CLI::CallForHelp&) {
    for (const DeclaredCommand& each : declared.commands) {
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
    const std::vector<std::string> names = declared.command_names();
    const bool of_command = !words.empty() && std::find(names.begin(), names.end(), words[0]) != names.end();
    line.problem =
        usage_problem("usage", shown(error.what()),
                      fmt::format("'ridepitch {}--help' shows how it is used", of_command ? words[0] + " " : ""));
    return line;
  }

  for (const DeclaredCommand& command : declared.commands) {
    if (!command.app->parsed()) continue;
    if (const std::vector<std::string> left = command.app->remaining(); !left.empty()) {
      line.problem = unknown_option(left.front(), *command.app, "ridepitch " + command.app->get_name());
      return line;
    }
    if (dashes != words.end()) command.words->insert(command.words->end(), dashes + 1, words.end());
    line.problem = contradiction(declared.options, command);
    if (!line.problem) {
      FloorOrProblem floor = read_floor(declared.floor);
      line.problem = std::move(floor.problem);
      declared.options.floor = std::move(floor.floor);
    }
    if (!line.problem) {
      line.options = declared.options;
      line.options->command = command.which;
    }
    return line;
  }
  line.text = program_help(declared);
  return line;
}

}  // namespace

CommandLine parse_command_line(const std::vector<std::string>& as_given) {
  const std::vector<std::string> words = with_every_block_named(as_given);
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
