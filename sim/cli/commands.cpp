// All commands with their options, a sentence each.

#include "cli/commands.hpp"

#include "cli/command_checks.hpp"

namespace ridepitch {
namespace {

constexpr int most_steer_points = 100001;
constexpr int most_results = 1000;
constexpr int most_threads = 1024;
constexpr int least_dpi = 36, most_dpi = 600;  // a page of more takes over 140 MB while it is drawn
constexpr double most_price = 1e5;
constexpr double most_play_mm = 10;  // more play than a pin's own diameter is none

Option terse(Options& to) { return {"--terse", "", "Leave out the lines that explain the headings.", &to.terse}; }

Option overwrite(Options& to) {
  return {"--overwrite", "", "Replace the file that is written if there is one of that name.", &to.overwrite};
}

Option spread(Options& to) {
  return {
      "--spread", "",
      "Also tell the chance that a built one keeps what is kept, with the usual scatter of parts where the model has "
      "no [spread].",
      &to.spread};
}

std::vector<Option> options_of_new(Options& to) {
  return {
      {"--kind", "KIND", "Suspension of the wheels: arm, arm-rocker, beam, wishbones or live-axle (default: asked).",
       &to.new_model.kind},
      {"--answers", "FILE",
       "Take the answers from a file of 'key = value' lines (docs/first-file.md) instead of asking.",
       &to.new_model.answers},
      terse(to),
      overwrite(to)};
}

std::vector<Option> no_options(Options&) { return {}; }

std::vector<Option> options_of_solve(Options& to) {
  return {
      {"--curves", "FILE.csv", "Also write the travel curves of all wheels to a CSV file; one model only.", &to.curves},
      terse(to),
      {"--all", "", "Also tell the forces of all pins, the points that modes turn about, and both sides by themselves.",
       &to.all},
      {"--spread", "",
       "Also tell what built ones come to, with the usual scatter of parts where the model has no [spread].",
       &to.spread},
      {"--floor", "",
       "Also find how far the ground may rise and fall under each wheel before one lifts off, and how far the "
       "floor may be tilted before the vehicle tips over.",
       &to.floor_words.asked},
      {"--block", "CORNER/WHEEL=MM",
       "Put a block of that height under a wheel, or a dip if negative. Several may follow. Includes --floor.",
       &to.floor_words.blocks},
      {"--slope", "DEG", "Tilt the floor by this angle. Includes --floor.", &to.floor_words.slope},
      {"--toward", "SIDE", "Downhill side of the slope: left, right, front or rear.", &to.floor_words.toward},
      overwrite(to)};
}

std::vector<Option> options_of_steer(Options& to) {
  return {{"--points", "N", "Number of positions shown over the drive's range (default 21).", &to.steer.points, 2,
           most_steer_points},
          {"--curve", "FILE.csv", "Also write these positions to a CSV file; one model only.", &to.steer.curve},
          terse(to),
          overwrite(to)};
}

/// Of a command that searches, among its own.
std::vector<Option> with_search(Options& to, const char* limit, std::vector<Option> options) {
  options.insert(
      options.end(),
      {{"--top", "N", "Number of results, each the best of those that change the same things (default 5).",
        &to.tune.top, 1, most_results},
       {"--write", "FILE",
        "Write the best result to this file, which may be the model itself: only the changed values differ, comments "
        "and spacing stay.",
        &to.tune.write},
       {"--pick", "K", "Write result K instead of the first.", &to.tune.pick, 1},
       {"--threads", "N", "Number of threads (default: one for each core).", &to.tune.threads, 1, most_threads},
       {"--limit", "TIME", limit, &to.tune.limit},
       {"--depth", "N", "Look at no layouts with more changes than that.", &to.tune.depth, 1},
       {"--prefer", "WHAT",
        "What comes first of what holds and brings no new finding: changes (the fewest; default), closeness, cost or, "
        "of rework, "
        "chance: the greatest that a built one keeps what is kept, among the 20 with the fewest changes.",
        &to.tune.prefer},
       terse(to),
       overwrite(to)});
  return options;
}

std::vector<Option> options_of_rework(Options& to) {
  return with_search(to,
                     "Time limit: seconds, or 5m, 1h (default 10 s). Numbers of changes that take longer are left out.",
                     {{"--gone", "PART",
                       "A spring, rod, tyre or part of a body that is gone. May be given again (default: what the "
                       "price list calls gone).",
                       &to.rework.gone},
                      {"--prices", "FILE.csv", "Price list: CSV with columns part,price,stock.", &to.rework.prices},
                      {"--keep", "NAME=NUMBER,...", "Tolerances, as for swap.", &to.rework.keep},
                      spread(to)});
}

std::vector<Option> options_of_swap(Options& to) {
  return {
      {"--spring", "CORNER/SPRING=PART*COUNT",
       "Another spring there, or another number of them: PART, PART*COUNT or *COUNT. May be given again.",
       &to.swap.springs},
      {"--hole", "CORNER/BODY.HOLE=U,V", "Move that hole, in modules.", &to.swap.holes},
      {"--rod", "CORNER/ROD=LENGTH", "Change the length of that rod, in modules.", &to.swap.rods},
      {"--rod-height", "CORNER/ROD=FROM,TO", "Heights of the ends of that tie rod, in modules.", &to.swap.heights},
      {"--part", "CORNER/BODY=PART", "Another part for that body.", &to.swap.parts},
      {"--tyre", "CORNER/WHEEL=PART", "Another tyre for that wheel.", &to.swap.tyres},
      {"--without", "CORNER/SPRING", "Remove that spring, or the anti-roll bar of that name.", &to.swap.without},
      {"--keep", "NAME=NUMBER,...",
       "Tolerances, separated by commas: ride=MM, pitch=DEG, roll=DEG, rate=PERCENT, frequency=PERCENT (default: "
       "as the rate), bump=PERCENT and reserve=PERCENT (least, of before); of a steering toe=DEG, lock=DEG (how much "
       "less), ideal=DEG (how much greater the worst error), bump-steer=DEG (per 10 mm at rest), turned=DEG (at droop "
       "and bump). Default "
       "ride=1,pitch=0.5,roll=0.5,rate=5,frequency=5,bump=80,reserve=80,toe=0.5,lock=1,ideal=1,bump-steer=0.5,"
       "turned=2.",
       &to.swap.keep},
      spread(to),
      {"--write", "FILE",
       "Write the changed model to this file, which may be the model itself: only the changed values differ, "
       "comments and spacing stay.",
       &to.swap.write},
      terse(to),
      overwrite(to)};
}

std::vector<Option> options_of_tune(Options& to) {
  return with_search(to,
                     "Time limit: seconds, or 5m, 1h (default 10m). Numbers of changes that take longer are left out.",
                     {{"--like", "BEFORE", "A model whose values are wanted where [tune] gives none.", &to.tune.like}});
}

std::vector<Option> options_of_nudge(Options& to) {
  return {
      {"--corner", "NAME", "Only what is at this corner, and its effect there.", &to.nudge.corner},
      {"--play", "MM",
       "How far a joint's pin shifts to the loaded side of its hole (default: pin_play_mm of [spread]; 0: no play).",
       &to.nudge.play_mm, 0, most_play_mm},
      {"--limit", "TIME", "Time limit: seconds, or 5m, 1h (default 1m). What was tried by then is shown.",
       &to.tune.limit},
      terse(to)};
}

std::vector<Option> options_of_parts(Options& to) {
  return {
      {"--list", "[KIND]",
       "List the built-in catalogue, or that of a model with its prices; all of it, or one kind: coil, band, tyre, "
       "beam, rod, pin, gear, other.",
       &to.list},
      {"--against", "OTHER", "What this model needs more and less of than another one, and what it saves.",
       &to.bill.against},
      {"--prices", "FILE.csv", "Price list: CSV with columns part,price,stock (default: the model's own).",
       &to.bill.prices},
      {"--over", "PRICE", "Call parts dear of which one costs more than that.", &to.bill.over, 0, most_price},
      {"--csv", "", "Print a table for a spreadsheet or a shop: with --against what is to be bought.", &to.bill.csv}};
}

std::vector<Option> options_of_fit(Options& to) {
  FitOptions& fit = to.fit;
  return {
      {"--part", "NAME", "Name of the part that is printed or added (default: from the file's name).", &fit.part},
      {"--free-mm", "MM", "Length of the unloaded spring between its hole centres.", &fit.free_mm},
      {"--solid-mm", "MM", "Its length with the coils touching.", &fit.solid_mm},
      {"--law", "", "Write a table of forces instead of rate and preload, for a spring whose curve bends.", &fit.law},
      {"--model", "MODEL.toml", "The table holds ride heights of this model under extra weights.", &fit.model},
      {"--spring", "NAME", "Which of the model's springs to fit, if it has several: LINKAGE/SPRING.", &fit.spring},
      {"--unknown", "WHAT", "With --model, the values to fit: rate, preload, free (default rate,preload).",
       &fit.unknowns},
      {"--add", "CATALOGUE.toml", "Add the part to this catalogue; the rest of its text stays.", &fit.add},
      {"--replace", "", "With --add, replace a part of the same name.", &fit.replace},
      terse(to)};
}

std::vector<Option> options_of_sheet(Options& to) {
  return {{"--before", "OTHER", "The model as it was: what to change, and what then differs.", &to.sheet.before},
          {"--out", "FILE",
           "File to write; its ending says what: .pdf, .svg, .png or .html (default: MODEL-sheet.pdf in this folder). "
           "Several pages as SVG or PNG are FILE-1, FILE-2 and so on.",
           &to.sheet.out},
          {"--paper", "SIZE", "Paper: a4 (default) or letter.", &to.sheet.paper},
          {"--dpi", "N", "Dots per inch of a PNG (default 300).", &to.sheet.dpi, least_dpi, most_dpi},
          {"--pages", "LIST", "Only these pages, such as 1,3-4.", &to.sheet.pages},
          overwrite(to)};
}

}  // namespace

const std::vector<Command>& all_commands() {
  constexpr const char* models = "MODEL... [options]";
  const CommandWords several, one{.most = 1}, one_or_two{.most = 2}, any{.least = 0},
      one_or_none{.least = 0, .most = 1};
  const CommandWords table{"table of readings", "FILE.csv; docs/measure-a-spring.md shows one", 1, 1};
  static const std::vector<Command> commands = {
      {"new", "Asks for a model's measures one by one, in holes, millimetres and grams, writes its file and solves it.",
       "[FILE] [options]", &Options::models, one_or_none, options_of_new, check_new, run_new},
      {"check", "Reads models, puts their linkages together and reports everything wrong with them.", models,
       &Options::models, several, no_options, nullptr, run_check},
      {"solve",
       "Says how a vehicle stands: height, sag, scale readings, wheel rates, travel left, forces in every part, and "
       "what is wrong with it.",
       models, &Options::models, several, options_of_solve, check_solve, run_solve},
      {"steer",
       "Says how far a vehicle's wheels turn and what stops them, in what circle it turns, how far the wheels are off "
       "their ideal angles, and what the hand wheel does.",
       models, &Options::models, several, options_of_steer, check_steer, run_steer},
      {"rework",
       "Replaces a spring that can no longer be had: which others can stand in for it, and which holes and rods make "
       "the model stand and ride as before.",
       "MODEL [--gone PART] [options]", &Options::models, one, options_of_rework, check_rework, run_rework},
      {"swap",
       "Compares a model with another one, or with itself changed: what differs, what a changed spring needs, and "
       "whether it still stands and rides the same.",
       "BEFORE [AFTER] [options]", &Options::models, one_or_two, options_of_swap, check_swap, run_swap},
      {"tune", "Searches holes, rods and springs for what the model's [tune] asks, and ranks what it finds.",
       "MODEL [options]", &Options::models, one, options_of_tune, check_tune, run_tune},
      {"nudge",
       "Says what one step of each hole, rod and spring does to the numbers, the greatest effect first, and how far "
       "the play of the pins lets them vary.",
       "MODEL [options]", &Options::models, one, options_of_nudge, check_tune, run_nudge},
      {"parts",
       "Says what a model is built from, what that costs and what is gone; with --list, which parts there are, with "
       "lengths, rates and forces.",
       "MODEL [--against OTHER] [options], or --list [KIND] [MODEL]", &Options::models, any, options_of_parts,
       check_parts, run_parts},
      {"sheet",
       "Prints a sheet for the builder: what to change, drawings to scale, what ruler and scale will read. PDF, SVG, "
       "PNG "
       "or HTML.",
       "MODEL [--before OTHER] [--out FILE] [options]", &Options::models, one, options_of_sheet, nullptr, run_sheet},
      {"explain", "Explains a word of the output in plain language; without a word, lists them all.",
       "[WORD] [options]", &Options::name, any, no_options, nullptr, run_explain},
      {"fit", "Finds a spring's data from readings of a ruler and a kitchen scale, or from ride heights of a model.",
       "FILE.csv [options]", &Options::tables, table, options_of_fit, check_fit, run_fit}};
  return commands;
}

}  // namespace ridepitch
