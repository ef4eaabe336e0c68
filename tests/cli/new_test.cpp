// `new` as a builder meets it: at a terminal, with wrong answers, and from a file.

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cli/page.hpp"
#include "cli/program.hpp"
#include "cli/terminal_session.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::StartsWith;
using Json = nlohmann::ordered_json;

double grams(const Json& newtons) { return newtons.get<double>() / 9.80665 * 1000; }

/// What the scale would read under both wheels of an axle of the quarry hauler, to a gram.
std::string scale_reading(const Json& demo, std::size_t left) {
  double sum = 0;
  for (const std::size_t corner : {left, left + 1}) sum += grams(demo["corners"][corner]["wheels"][0]["ground_load_n"]);
  return std::to_string(std::lround(sum));
}

/// Ruler and scale readings of the quarry hauler at a terminal, with the slips of someone who does it for the first time.
void measure_the_hauler(TerminalSession& session, const Json& demo) {
  const std::vector<std::string> typed = {
      "Quarry hauler", "4", "2", "", "?",                             // four axles: two or three can be asked
      "rocker", "arm-rocker", "ahead", "forward", "12.8", "12,8 cm",  // 12.8 mm is no track
      "8", "5.3", "5",                                                // there is no hole at 5.3
      "16", "2 6", "3", "0 3", "-4 9", "wheel", "coil-7-firm", "own", "56", "40", "102 g", "1.114 kg", "2", "70", "42",
      "35",
      // The rod of 16 holes does not go together: the answers to look at come again, with a rod of 6.
      "", "6", "", "", "yes", "same", "20", "0", "back", "a kilogram and a half", scale_reading(demo, 0), "-1210",
      scale_reading(demo, 2), "1.5", "-", "3", "", "39", "288"};
  for (const std::string& line : typed) session.answer(line);
}

TEST(NewAtATerminal, MeasuresADemoMachineToItsStance) {
  const Json demo = Json::parse(run_program({"solve", "--json", hauler}).out);
  const Folder scratch;
  TerminalSession session({"new", "measured.toml"}, scratch.path.string());
  measure_the_hauler(session, demo);
  ASSERT_EQ(session.finish(), 0) << session.shown();
  const std::string shown = session.shown();
  for (const char* reason : {"4 is too much: it must be at most 3.", "'rocker' is none of", "'ahead' is none of",
                             "12.8 is too small: it must be at least 40 mm", "5.3 is between holes",
                             "these do not go together: rod 'pushrod' is 128 mm long", "there is no coil 'coil-7-firm'",
                             "is not a number", "-1210 is negative"}) {
    EXPECT_THAT(shown, HasSubstr(reason));
  }
  EXPECT_THAT(shown, HasSubstr("Written: measured.toml"));
  EXPECT_THAT(shown, HasSubstr("Quarry hauler: it stands on all 4 wheels"));

  // The stance of the machine that was measured, within 0.5 mm and 10 g: what a ruler and a kitchen scale allow.
  const Json made = Json::parse(run_program({"solve", "--json", scratch.file("measured.toml")}).out);
  ASSERT_EQ(made["corners"].size(), 4u);
  for (std::size_t c = 0; c < 4; ++c) {
    const Json &mine = made["corners"][c], &real = demo["corners"][c];
    EXPECT_EQ(mine["name"], real["name"]);
    EXPECT_NEAR(mine["ride_height_mm"].get<double>(), real["ride_height_mm"].get<double>(), 0.5);
    EXPECT_NEAR(grams(mine["wheels"][0]["ground_load_n"]), grams(real["wheels"][0]["ground_load_n"]), 10);
    EXPECT_NEAR(mine["wheels"][0]["sag_mm"].get<double>(), real["wheels"][0]["sag_mm"].get<double>(), 0.5);
  }
}

TEST(NewAtATerminal, KeepsToThePage) {
  const Folder scratch;
  TerminalSession session({"new", "--kind", "wishbones"}, scratch.path.string());
  session.enter_until("never said");
  EXPECT_EQ(session.finish(), 0);
  for (const std::string& line : lines_of(session.shown())) EXPECT_LE(width_of(line), page_width) << line;
  EXPECT_THAT(scratch.names(), ElementsAre("my-machine.toml"));
}

TEST(NewAtATerminal, AsksBeforeItReplacesAFile) {
  const Folder scratch;
  scratch.write("mine.toml", "not to be lost\n");
  TerminalSession session({"new", "mine.toml"}, scratch.path.string());
  session.enter_until("Replace it");
  session.answer("perhaps");
  session.answer("no");
  session.answer("other");
  EXPECT_EQ(session.finish(), 0);
  EXPECT_THAT(session.shown(), HasSubstr("There is a file 'mine.toml' already. Replace it"));
  EXPECT_THAT(scratch.names(), ElementsAre("mine.toml", "other.toml"));
  EXPECT_EQ(text_of(scratch.file("mine.toml")), "not to be lost\n");
}

TEST(NewAtATerminal, AsksForAnotherNameWhereItCannotWrite) {
  const Folder scratch;
  TerminalSession session({"new", "no-such-folder/mine.toml"}, scratch.path.string());
  session.enter_until("The model's file");
  session.answer("mine.toml");
  EXPECT_EQ(session.finish(), 0);
  EXPECT_THAT(session.shown(), HasSubstr("'no-such-folder/mine.toml' can't be written"));
  EXPECT_THAT(scratch.names(), ElementsAre("mine.toml"));
}

TEST(NewAtATerminal, EndsAtCtrlCWithNothingWritten) {
  const Folder scratch;
  TerminalSession session({"new", "mine.toml"}, scratch.path.string());
  session.answer("Mine");
  session.answer("2");
  session.press("\x03");
  EXPECT_EQ(session.finish(), 130);  // as shells have it: 128 and the number of SIGINT
  EXPECT_THAT(session.shown(), HasSubstr("Stopped. Nothing was written."));
  EXPECT_THAT(scratch.names(), IsEmpty());
}

TEST(NewAtATerminal, EndsWhereTheInputEndsWithNothingWritten) {
  const Folder scratch;
  TerminalSession session({"new", "mine.toml"}, scratch.path.string());
  session.answer("Mine");
  session.press("\x04");
  EXPECT_EQ(session.finish(), 2);
  EXPECT_THAT(session.shown(), HasSubstr("error: the answers ended before the last question; nothing was written"));
  EXPECT_THAT(scratch.names(), IsEmpty());
}

// -------------------------------------------------------------------------------- without a terminal

TEST(NewWithoutATerminal, IsAUsageErrorAndDoesNotWait) {
  const Folder scratch;
  const ProgramRun run = run_program({"new", "mine.toml"}, {.folder = scratch.path.string()});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.out, "");
  EXPECT_EQ(run.err,
            "ridepitch: error: there is no terminal to ask at, and no answers are given\n"
            "   fix: ridepitch new --answers FILE; docs/first-file.md shows such a file\n");
  const Json json = Json::parse(run_program({"new", "--json"}, {.folder = scratch.path.string()}).out);
  EXPECT_EQ(json["errors"][0]["code"], "no-terminal");
  EXPECT_THAT(scratch.names(), IsEmpty());
}

TEST(NewFromAFile, WritesAModelAndShowsWhatItDoes) {
  const Folder scratch;
  scratch.write("answers.txt", "name = Little loader\nfront_kind = wishbones\n");
  const ProgramRun run = run_program({"new", "--answers", "answers.txt", "--terse"}, {.folder = scratch.path.string()});
  EXPECT_EQ(run.status, 0) << run.err;
  EXPECT_THAT(run.out, StartsWith("Written: little-loader.toml\nNot answered, and taken as usual: axles = 2"));
  EXPECT_THAT(run.out, HasSubstr("\nLittle loader: it stands on all 4 wheels"));
  EXPECT_EQ(run_program({"check", scratch.file("little-loader.toml")}).status, 0);
}

TEST(NewFromAFile, GivesJsonToo) {
  const Folder scratch;
  scratch.write("answers.txt", "front_scale_g = 1400\n");
  const ProgramRun run =
      run_program({"new", "a.toml", "--answers", "answers.txt", "--json"}, {.folder = scratch.path.string()});
  const Json json = Json::parse(run.out);
  EXPECT_EQ(json["format"], 1);
  EXPECT_EQ(json["written"], "a.toml");
  EXPECT_THAT(json["assumed"].get<std::vector<std::string>>(), testing::Contains("rear_scale_g"));
  EXPECT_EQ(json["corners"].size(), 4u);
}

TEST(NewFromAFile, ShowsWrongAnswersWithTheirLineAndWritesNothing) {
  const Folder scratch;
  scratch.write("answers.txt", "front_kind = arm\nfront_coils = none\n");
  const ProgramRun run = run_program({"new", "a.toml", "--answers", "answers.txt"}, {.folder = scratch.path.string()});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.err,
            "answers.txt:2:15: error: front_coils: 'none' is not a number\n"
            "    2 | front_coils = none\n"
            "      |               ^^^^\n"
            "   fix: How many such coils side by side, for each wheel\n");
  EXPECT_THAT(scratch.names(), ElementsAre("answers.txt"));
  EXPECT_EQ(run_program({"new", "--answers", "missing.txt"}, {.folder = scratch.path.string()}).status, 2);
}

TEST(NewFromAFile, EndsWithThreeWherePartsDoNotGoTogether) {
  const Folder scratch;
  scratch.write("answers.txt", "front_kind = arm-rocker\nfront_rod = 20\n");
  const ProgramRun run = run_program({"new", "a.toml", "--answers", "answers.txt"}, {.folder = scratch.path.string()});
  EXPECT_EQ(run.status, 3);
  EXPECT_THAT(run.err, StartsWith("answers.txt:2:1: error: these do not go together\n"));
  for (const std::string& line : lines_of(run.err)) EXPECT_LE(width_of(line), page_width) << line;
  EXPECT_THAT(scratch.names(), ElementsAre("answers.txt"));
}

TEST(NewFromAFile, ReplacesAModelOnlyWhenTold) {
  const Folder scratch;
  scratch.write("answers.txt", "");
  scratch.write("a.toml", "mine\n");
  const ProgramRun run = run_program({"new", "a.toml", "--answers", "answers.txt"}, {.folder = scratch.path.string()});
  EXPECT_EQ(run.status, 2);
  EXPECT_THAT(run.err, HasSubstr("there is a file 'a.toml' already"));
  EXPECT_EQ(text_of(scratch.file("a.toml")), "mine\n");
  EXPECT_EQ(run_program({"new", "a.toml", "--answers", "answers.txt", "--overwrite"}, {.folder = scratch.path.string()})
                .status,
            0);
  EXPECT_THAT(text_of(scratch.file("a.toml")), HasSubstr("format = 1"));
}

TEST(NewFromAFile, RefusesAClosedInputInItsOwnWordsAndWritesNothing) {
  const Folder scratch;
  for (const std::vector<std::string>& words : std::vector<std::vector<std::string>>{
           {"new", "a.toml", "--answers", "-"}, {"new", "--answers", "-", "--json"}}) {
    const ProgramRun run = run_program(words, {.folder = scratch.path.string(), .closed_input = true});
    EXPECT_EQ(run.status, 2) << run.out;
    EXPECT_THAT(run.out + run.err, HasSubstr("standard input is closed"));
    EXPECT_THAT(run.out + run.err, HasSubstr("new --answers FILE"));
    EXPECT_THAT(scratch.names(), IsEmpty());
  }
}

TEST(NewFromAFile, NeverReplacesAFileUnderAnyNameOrLinkUnlessTold) {
  const Folder scratch;
  const std::string mine = scratch.write("mine.toml", "mine\n"), answers = scratch.write("answers.txt", "");
  std::filesystem::create_symlink(mine, scratch.file("link.toml"));
  std::filesystem::create_hard_link(mine, scratch.file("hard.toml"));
  std::filesystem::create_symlink("nowhere.toml", scratch.file("dangling.toml"));
  const auto all = scratch.names();
  const auto refused = [&](const std::vector<std::string>& words) {
    const ProgramRun run = run_program(words, {.folder = scratch.path.string()});
    EXPECT_EQ(run.status, 2) << run.out;
    EXPECT_EQ(run.out, "");
    EXPECT_THAT(run.err, HasSubstr("fix: "));
    EXPECT_EQ(scratch.names(), all);
    EXPECT_EQ(text_of(mine), "mine\n");
    EXPECT_EQ(text_of(answers), "");
  };
  for (const char* name : {"mine.toml", "./mine.toml", "link.toml", "hard.toml", "dangling.toml"})
    refused({"new", name, "--answers", "answers.txt"});
  // The answers themselves are no place for the model, whatever is said.
  refused({"new", "answers.txt", "--answers", "answers.txt"});
  refused({"new", "answers.txt", "--answers", "answers.txt", "--overwrite"});
  refused({"new", "./answers.txt", "--answers", "answers.txt", "--overwrite"});
}

TEST(NewCommandLine, RefusesUnknownKindsAndSeveralFiles) {
  EXPECT_THAT(run_program({"new", "--kind", "wishbone"}).err, HasSubstr("did you mean 'wishbones'?"));
  EXPECT_EQ(run_program({"new", "a.toml", "b.toml"}).status, 2);
}

}  // namespace
}  // namespace ridepitch
