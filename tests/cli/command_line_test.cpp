#include "cli/command_line.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "cli/page.hpp"
#include "cli/program.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

TEST(CommandLine, OfSolveHasItsModelsAndOptions) {
  const CommandLine line = parse_command_line({"solve", "a.toml", "--curves", "out.csv", "--terse"});
  ASSERT_TRUE(line.options);
  EXPECT_STREQ(line.command->name, "solve");
  EXPECT_THAT(line.options->models, ElementsAre("a.toml"));
  EXPECT_EQ(line.options->curves, "out.csv");
  EXPECT_TRUE(line.options->terse);
  EXPECT_FALSE(line.options->json);
}

TEST(CommandLine, TakesSeveralModelsAndOptionsInAnyOrder) {
  const CommandLine line = parse_command_line({"check", "--json", "a.toml", "b.toml"});
  ASSERT_TRUE(line.options);
  EXPECT_STREQ(line.command->name, "check");
  EXPECT_THAT(line.options->models, ElementsAre("a.toml", "b.toml"));
  EXPECT_TRUE(line.options->json);
}

TEST(CommandLine, TakesAModelWhoseNameBeginsWithADashAfterTwoDashes) {
  const CommandLine line = parse_command_line({"check", "--", "-odd.toml"});
  ASSERT_TRUE(line.options);
  EXPECT_THAT(line.options->models, ElementsAre("-odd.toml"));
}

TEST(CommandLine, WithoutAnythingShowsTheHelp) {
  EXPECT_THAT(parse_command_line({}).text, HasSubstr("Usage: ridepitch COMMAND MODEL..."));
  EXPECT_EQ(parse_command_line({}).text, parse_command_line({"--help"}).text);
}

TEST(CommandLine, HelpListsEveryCommandAndEveryOption) {
  const std::string help = parse_command_line({"-h"}).text;
  for (const char* word : {"check", "solve", "--help", "--version"}) EXPECT_THAT(help, HasSubstr(word));
  const std::string solve = parse_command_line({"solve", "--help"}).text;
  for (const char* word :
       {"--json", "--curves FILE.csv", "--terse", "--floor", "--block CORNER/WHEEL=MM", "--slope DEG", "--toward SIDE"})
    EXPECT_THAT(solve, HasSubstr(word));
  for (const std::string& line : lines_of(help + solve)) EXPECT_LE(width_of(line), page_width);
}

TEST(CommandLine, NamesTheNearestCommandForAnUnknownOne) {
  const CommandLine line = parse_command_line({"slove", "a.toml"});
  ASSERT_TRUE(line.problem);
  EXPECT_EQ(line.problem->code, "unknown-command");
  EXPECT_EQ(line.problem->text, "there is no command 'slove'");
  EXPECT_EQ(line.problem->hint, "did you mean 'solve'?");
}

TEST(CommandLine, PointsToTheHelpWhereNoCommandIsNear) {
  const CommandLine line = parse_command_line({"quarry.toml"});
  ASSERT_TRUE(line.problem);
  EXPECT_EQ(line.problem->hint, "'ridepitch --help' lists the commands");
}

TEST(CommandLine, NamesTheNearestOptionForAnUnknownOne) {
  const CommandLine line = parse_command_line({"solve", "a.toml", "--curve=x.csv"});
  ASSERT_TRUE(line.problem);
  EXPECT_EQ(line.problem->text, "ridepitch solve has no option '--curve'");
  EXPECT_EQ(line.problem->hint, "did you mean '--curves'?");
  EXPECT_EQ(parse_command_line({"--versoin"}).problem->hint, "did you mean '--version'?");
}

TEST(CommandLine, OptionsOfAnotherCommandAreUnknown) {
  EXPECT_EQ(parse_command_line({"check", "a.toml", "--terse"}).problem->text,
            "ridepitch check has no option '--terse'");
}

TEST(CommandLine, WithoutAModelIsAnError) {
  const CommandLine line = parse_command_line({"solve"});
  ASSERT_TRUE(line.problem);
  EXPECT_EQ(line.problem->text, "ridepitch solve needs a model file");
}

TEST(CommandLine, CurvesNeedAFileAndOneModel) {
  EXPECT_TRUE(parse_command_line({"solve", "a.toml", "--curves"}).problem);
  EXPECT_TRUE(parse_command_line({"solve", "a.toml", "--curves", "a.csv", "--curves", "b.csv"}).problem);
  EXPECT_THAT(parse_command_line({"solve", "a.toml", "b.toml", "--curves=c.csv"}).problem->text,
              HasSubstr("the curves of one model"));
}

TEST(CommandLine, OfSolveMayNameTheGround) {
  const CommandLine line = parse_command_line(
      {"solve", "--block", "front left/hub=12", "rear left/hub=-3", "a.toml", "--slope", "10", "--toward", "left"});
  ASSERT_TRUE(line.options);
  EXPECT_THAT(line.options->models, ElementsAre("a.toml"));
  ASSERT_TRUE(line.options->floor);
  ASSERT_EQ(line.options->floor->blocks.size(), 2u);
  EXPECT_EQ(line.options->floor->blocks[1].wheel, "rear left/hub");
  EXPECT_EQ(line.options->floor->toward, Toward::left);
  EXPECT_FALSE(parse_command_line({"solve", "a.toml"}).options->floor);
  EXPECT_TRUE(parse_command_line({"solve", "a.toml", "--floor"}).options->floor);
  EXPECT_TRUE(parse_command_line({"solve", "a.toml", "--block", "x/y=1", "--block=z/y=2"}).options->floor);
}

TEST(CommandLine, ExplainsWhatIsWrongWithTheGround) {
  EXPECT_THAT(parse_command_line({"solve", "a.toml", "--block", "hub"}).problem->text, HasSubstr("names no height"));
  EXPECT_TRUE(parse_command_line({"solve", "a.toml", "--block"}).problem);
  EXPECT_THAT(parse_command_line({"solve", "a.toml", "--slope", "10"}).problem->text, HasSubstr("which side"));
  EXPECT_EQ(parse_command_line({"solve", "a.toml", "--blok=hub=1"}).problem->hint, "did you mean '--block'?");
}

TEST(CommandLine, RemembersThatAnErrorIsWantedAsJson) {
  EXPECT_TRUE(parse_command_line({"solve", "--json"}).json);
  EXPECT_TRUE(parse_command_line({"slove", "a.toml", "--json"}).json);
  EXPECT_FALSE(parse_command_line({"solve"}).json);
}

}  // namespace
}  // namespace ridepitch
