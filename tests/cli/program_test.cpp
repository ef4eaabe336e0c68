#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/page.hpp"
#include "cli/program.hpp"

// The program as a whole: what it prints where, and how it ends. Its rules are docs and README of this project.

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::EndsWith;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;
using testing::StartsWith;
using Json = nlohmann::ordered_json;

/// One arm on the bench; `last_line` is put at its end.
std::string arm_model(const std::string& coil_to = "chassis.seat", const std::string& last_line = "") {
  return "format = 1\n"
         "name = \"Arm\"\n"
         "[linkage.arm]\n"
         "plane = \"side\"\n"
         "[linkage.arm.body]\n"
         "chassis = { holes = { pivot = [0, 0], seat = [4, 7] } }\n"
         "arm = { holes = { root = [0, 0], coil = [5, 0], axle = [8, 0] }, near = { axle = [8, 0] } }\n"
         "[[linkage.arm.pin]]\n"
         "join = [\"chassis.pivot\", \"arm.root\"]\n"
         "[linkage.arm.spring.main]\n"
         "kind = \"coil\"\n"
         "free_mm = 60\n"
         "solid_mm = 40\n"
         "rate_n_per_mm = 0.8\n"
         "from = \"arm.coil\"\n"
         "to = \"" +
         coil_to +
         "\"\n"
         "[linkage.arm.wheel.hub]\n"
         "at = \"arm.axle\"\n"
         "part = \"wheel\"\n"
         "[[corner]]\n"
         "name = \"rear\"\n"
         "linkage = \"arm\"\n"
         "at = [0, 0, 4]\n"
         "load_n = 2.5\n" +
         last_line;
}

/// The same with its tyre in a catalogue beside it.
std::string write_arm(const Folder& scratch, const std::string& name, const std::string& text) {
  scratch.write("parts.toml", "[part.wheel]\nkind = \"tyre\"\ndiameter_mm = 60\n");
  return scratch.write(name, "parts = [\"parts.toml\"]\n" + text);
}

/// Well-formed, but its rod reaches nowhere near.
std::string without_solution() {
  return arm_model() +
         "[linkage.arm.rod.tie]\n"
         "from = \"arm.axle\"\n"
         "to = \"chassis.seat\"\n"
         "length = 40\n";
}

// --------------------------------------------------------------------------------- how it ends

TEST(Program, WithoutAnythingShowsItsHelp) {
  const ProgramRun run = run_program({});
  EXPECT_EQ(run.status, 0);
  EXPECT_THAT(run.out, HasSubstr("Usage: ridepitch COMMAND MODEL..."));
  EXPECT_EQ(run.err, "");
  EXPECT_EQ(run_program({"--help"}).out, run.out);
}

TEST(Program, SaysItsVersion) {
  const ProgramRun run = run_program({"--version"});
  EXPECT_EQ(run.status, 0);
  EXPECT_THAT(run.out, testing::MatchesRegex("ridepitch [0-9]+\\.[0-9]+(\\.[0-9]+)?\n"));
}

TEST(Program, EndsWithTwoForAWrongCommandLine) {
  const ProgramRun run = run_program({"slove", hauler});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.out, "");
  EXPECT_EQ(run.err, "ridepitch: error: there is no command 'slove'\n   fix: did you mean 'solve'?\n");
}

TEST(Program, SolvesAVehicleAndEndsWithNought) {
  const ProgramRun run = run_program({"solve", hauler});
  EXPECT_EQ(run.status, 0);
  EXPECT_EQ(run.err, "");
  EXPECT_THAT(run.out, StartsWith("Quarry hauler: it stands on all 4 wheels"));
  EXPECT_THAT(run.out, EndsWith("usually another 1 to 2 mm lower (common practice).\n"));
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
}

TEST(Program, ChecksThatPartsHaveTheHolesOfTheirBodies) {
  const std::string hoist = RIDEPITCH_SOURCE_DIR "/models/bad-example/crooked-hoist.toml";
  const ProgramRun run = run_program({"check", hoist});
  EXPECT_EQ(run.status, 0);
  EXPECT_THAT(run.out, HasSubstr("1 problem found in"));
  EXPECT_THAT(run.out, HasSubstr("problem  no-such-hole: front/arm.push"));
  EXPECT_THAT(run_program({"check", "--json", hoist}).out, HasSubstr("\"code\": \"no-such-hole\""));
}

TEST(Program, ChecksAModelAndSaysWhatItLookedAt) {
  const Folder scratch;
  const ProgramRun run = run_program({"check", write_arm(scratch, "arm.toml", arm_model())});
  EXPECT_EQ(run.status, 0);
  EXPECT_EQ(run.err, "");
  EXPECT_EQ(run.out, "Arm: nothing wrong found in 1 corner, 1 wheel, 1 linkage, 1 body, 1 pin, 1 spring.\n");
}

TEST(Program, CheckShowsNotesWithTheirPlace) {
  const Folder scratch;
  const std::string spare =
      "[linkage.spare]\n"
      "plane = \"side\"\n"
      "[linkage.spare.body]\n"
      "chassis = { holes = { a = [0, 0], top = [0, 3] } }\n"
      "b = { holes = { c = [0, 0], d = [1, 0] } }\n"
      "[[linkage.spare.pin]]\n"
      "join = [\"chassis.a\", \"b.c\"]\n"
      "[linkage.spare.limit.strap]\n"
      "from = \"chassis.top\"\n"
      "to = \"b.d\"\n"
      "max = 3.5\n"
      "[linkage.spare.wheel.hub]\n"
      "at = \"b.d\"\n"
      "part = \"wheel\"\n";
  const std::string path = write_arm(scratch, "arm.toml", arm_model() + spare);
  const ProgramRun run = run_program({"check", path});
  EXPECT_EQ(run.status, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr(path + ":26:10: note: "));
}

TEST(Program, ShowsAnErrorWithItsLineAndAWayOutAndEndsWithTwo) {
  const Folder scratch;
  const std::string path = write_arm(scratch, "arm.toml", arm_model("chassis.saet"));
  for (const char* command : {"check", "solve"}) {
    const ProgramRun run = run_program({command, path});
    EXPECT_EQ(run.status, 2);
    EXPECT_EQ(run.out, "");
    const std::vector<std::string> lines = lines_of(run.err);
    ASSERT_EQ(lines.size(), 4u) << run.err;
    EXPECT_THAT(lines[0], StartsWith(path + ":17:1: error: "));
    EXPECT_EQ(lines[1], "   17 | to = \"chassis.saet\"");
    EXPECT_EQ(lines[2], "      | ^^");
    EXPECT_EQ(lines[3], "   fix: did you mean 'seat'?");
  }
}

TEST(Program, EndsWithThreeWhereTheTextIsRightButHasNoSolution) {
  const Folder scratch;
  const std::string path = write_arm(scratch, "arm.toml", without_solution());
  for (const char* command : {"check", "solve"}) {
    const ProgramRun run = run_program({command, path});
    EXPECT_EQ(run.status, 3) << run.err;
    EXPECT_EQ(run.out, "");
    EXPECT_THAT(run.err, HasSubstr("'tie'"));
    EXPECT_THAT(run.err, HasSubstr("   fix: "));
  }
}

TEST(Program, SaysSoWhereTheModelIsAFolderOrIsNotThere) {
  const Folder scratch;
  const ProgramRun folder = run_program({"solve", scratch.path.string()});
  EXPECT_EQ(folder.status, 2);
  EXPECT_THAT(folder.err, StartsWith(scratch.path.string() + ": error: "));
  EXPECT_THAT(folder.err, HasSubstr("folder"));
  const ProgramRun missing = run_program({"check", scratch.file("nix.toml")});
  EXPECT_EQ(missing.status, 2);
  EXPECT_THAT(missing.err, StartsWith(scratch.file("nix.toml") + ": error: "));
}

// ------------------------------------------------------------------------------ several models

TEST(Program, SolvesSeveralModelsOneAfterTheOther) {
  const Folder scratch;
  const ProgramRun run = run_program({"solve", hauler, write_arm(scratch, "arm.toml", arm_model()), "--terse"});
  EXPECT_EQ(run.status, 0);
  EXPECT_THAT(run.out, StartsWith("Quarry hauler: "));
  EXPECT_THAT(run.out, HasSubstr("\n\n\nArm: on the bench"));
}

TEST(Program, OfSeveralModelsReportsAllThatFailAndPrintsTheOthers) {
  const Folder scratch;
  const std::string good = write_arm(scratch, "good.toml", arm_model());
  const std::string wrong = write_arm(scratch, "wrong.toml", arm_model("chassis.saet"));
  const std::string apart = write_arm(scratch, "apart.toml", without_solution());
  const ProgramRun run = run_program({"check", apart, good, wrong});
  EXPECT_EQ(run.status, 2);  // a text at fault counts before a missing solution
  EXPECT_THAT(run.out, StartsWith("Arm: nothing wrong found"));
  EXPECT_EQ(lines_of(run.out).size(), 1u);
  EXPECT_THAT(run.err, StartsWith(apart + ":"));
  EXPECT_THAT(run.err, HasSubstr("\n" + wrong + ":"));
  EXPECT_EQ(run_program({"check", apart, good}).status, 3);
}

// ---------------------------------------------------------------------------------------- JSON

TEST(ProgramJson, IsOneDocumentAndNothingElse) {
  const ProgramRun run = run_program({"solve", "--json", hauler});
  EXPECT_EQ(run.status, 0);
  EXPECT_EQ(run.err, "");
  const Json json = Json::parse(run.out);
  EXPECT_EQ(json["format"], 1);
  EXPECT_EQ(json["model"], "Quarry hauler");
  EXPECT_EQ(json["corners"].size(), 4u);
  EXPECT_EQ(Json::parse(run_program({"check", hauler, "--json"}).out)["counts"]["corners"], 4);
}

TEST(ProgramJson, OfSeveralModelsIsOneDocumentToo) {
  const Json json = Json::parse(run_program({"solve", "--json", hauler, hauler}).out);
  ASSERT_EQ(json["models"].size(), 2u);
  EXPECT_EQ(json["models"][0], json["models"][1]);
}

TEST(ProgramJson, IsADocumentOfErrorsWhereSomethingIsWrong) {
  const Folder scratch;
  const std::string wrong = write_arm(scratch, "wrong.toml", arm_model("chassis.saet"));
  const ProgramRun run = run_program({"solve", "--json", hauler, wrong});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.err, "");
  const Json json = Json::parse(run.out);
  EXPECT_FALSE(json.contains("models"));
  ASSERT_EQ(json["errors"].size(), 1u);
  EXPECT_EQ(json["errors"][0]["file"], wrong);
  EXPECT_EQ(json["errors"][0]["line"], 17);
  EXPECT_EQ(json["errors"][0]["column"], 1);
  EXPECT_EQ(json["errors"][0]["hint"], "did you mean 'seat'?");
}

TEST(ProgramJson, IsADocumentOfErrorsForAWrongCommandLineToo) {
  for (const std::vector<std::string>& words : {std::vector<std::string>{"solve", "--json"},
                                                {"slove", "--json", hauler},
                                                {"solve", hauler, "--json", "--curve"}}) {
    const ProgramRun run = run_program(words);
    EXPECT_EQ(run.status, 2);
    EXPECT_EQ(run.err, "");
    EXPECT_EQ(Json::parse(run.out)["errors"].size(), 1u) << run.out;
  }
}

TEST(ProgramJson, IsTheSameBytesEveryTime) {
  EXPECT_EQ(run_program({"solve", "--json", hauler}).out, run_program({"solve", "--json", hauler}).out);
}

// --------------------------------------------------------------------------------------- colour

TEST(ProgramColour, IsUsedOnATerminalOnly) {
  EXPECT_THAT(run_program({"solve", hauler}, {.output = StandardOutput::terminal}).out, HasSubstr("\x1b[1m"));
  EXPECT_THAT(run_program({"solve", hauler}).out, Not(HasSubstr("\x1b")));
}

TEST(ProgramColour, IsNotUsedWhereNoColorIsSet) {  // no-color.org: when present and not empty
  const ProgramRun plain =
      run_program({"solve", hauler}, {.output = StandardOutput::terminal, .environment = {{"NO_COLOR", "1"}}});
  EXPECT_THAT(plain.out, Not(HasSubstr("\x1b")));
  const ProgramRun empty =
      run_program({"solve", hauler}, {.output = StandardOutput::terminal, .environment = {{"NO_COLOR", ""}}});
  EXPECT_THAT(empty.out, HasSubstr("\x1b"));
}

TEST(ProgramColour, IsNotUsedOnATerminalThatCannotShowIt) {
  const ProgramRun dumb =
      run_program({"solve", hauler}, {.output = StandardOutput::terminal, .environment = {{"TERM", "dumb"}}});
  EXPECT_THAT(dumb.out, Not(HasSubstr("\x1b")));
}

TEST(ProgramColour, IsNeverInJson) {
  EXPECT_THAT(run_program({"solve", "--json", hauler}, {.output = StandardOutput::terminal}).out,
              Not(HasSubstr("\x1b")));
}

// ------------------------------------------------------------------------------- output that fails

TEST(ProgramOutput, ThatCannotBeWrittenIsAnErrorAndNoCrash) {
  for (const auto& [output, why] : {std::pair{StandardOutput::closed, "Bad file descriptor"},
                                    {StandardOutput::broken_pipe, "Broken pipe"},
                                    {StandardOutput::full, "No space left on device"}}) {
    for (const std::vector<std::string>& words :
         {std::vector<std::string>{"solve", hauler}, {"solve", "--json", hauler}, {"check", hauler}, {"--help"}}) {
      const ProgramRun run = run_program(words, {.output = output});
      EXPECT_EQ(run.status, 2);
      EXPECT_EQ(run.err, std::string("ridepitch: error: standard output can't be written: ") + why + "\n");
    }
  }
}

TEST(ProgramOutput, DoesNotEndUpInAFileThatTookAClosedDescriptorsNumber) {
  const Folder scratch;
  const ProgramRun run =
      run_program({"solve", hauler, "--curves", scratch.file("out.csv")}, {.output = StandardOutput::closed});
  EXPECT_EQ(run.status, 2);
  EXPECT_THAT(text_of(scratch.file("out.csv")), StartsWith("corner,wheel,travel_mm"));
  EXPECT_THAT(text_of(scratch.file("out.csv")), Not(HasSubstr("Quarry hauler")));
}

// --------------------------------------------------------------------------------------- curves

TEST(ProgramCurves, AreWrittenForEveryWheelWithTwoHundredPointsAndMore) {
  const Folder scratch;
  const ProgramRun run = run_program({"solve", hauler, "--curves", scratch.file("out.csv")});
  EXPECT_EQ(run.status, 0) << run.err;
  const std::vector<std::string> lines = lines_of(text_of(scratch.file("out.csv")));
  EXPECT_THAT(lines[0], StartsWith("corner,wheel,travel_mm,load_n,motion_ratio,wheel_rate_n_per_mm,"));
  EXPECT_GE(lines.size(), 1u + 4 * 200);
  EXPECT_THAT(scratch.names(), ElementsAre("out.csv"));
}

TEST(ProgramCurves, ThatCannotBeWrittenAreAnErrorThatLeavesNothingBehind) {
  const Folder scratch;
  const ProgramRun run = run_program({"solve", hauler, "--curves", scratch.file("no/out.csv")});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.out, "");  // nothing is written after an error
  EXPECT_THAT(run.err, HasSubstr("no/out.csv' can't be written: No such file or directory\n"));
  EXPECT_THAT(scratch.names(), IsEmpty());
  const ProgramRun full = run_program({"solve", hauler, "--curves", "/dev/full", "--json"});
  EXPECT_EQ(full.status, 2);
  EXPECT_EQ(Json::parse(full.out)["errors"][0]["code"], "cannot-write");
}

TEST(ProgramCurves, AreNotWrittenAfterAnError) {
  const Folder scratch;
  const std::string wrong = write_arm(scratch, "wrong.toml", arm_model("chassis.saet"));
  scratch.write("out.csv", "old\n");
  EXPECT_EQ(run_program({"solve", wrong, "--curves", scratch.file("out.csv")}).status, 2);
  EXPECT_EQ(text_of(scratch.file("out.csv")), "old\n");
}

TEST(ProgramCurves, GoWhereAFreshFileOfTheUserWouldGo) {
  const Folder scratch;
  EXPECT_EQ(run_program({"solve", hauler, "--curves", "out.csv"}, {.folder = scratch.path.string()}).status, 0);
  EXPECT_THAT(scratch.names(), ElementsAre("out.csv"));
  const mode_t mask = umask(0);
  umask(mask);
  struct stat now {};
  stat(scratch.file("out.csv").c_str(), &now);
  EXPECT_EQ(now.st_mode & 0777, 0666u & ~mask);
}

// ----------------------------------------------------------------------------------- on the ground

TEST(Program, LetsAVehicleStandOnBlocksAndASlope) {
  const ProgramRun run = run_program({"solve", hauler, "--block", "front left/hub=10", "rear right/hub=-4", "--slope",
                                      "8", "--toward", "right", "--json"});
  EXPECT_EQ(run.status, 0) << run.err;
  const Json floor = Json::parse(run.out)["floor"];
  EXPECT_EQ(floor["blocks"], Json::parse(R"({ "front left/hub": 10.0, "rear right/hub": -4.0 })"));
  EXPECT_NEAR(floor["slope_deg"].get<double>(), 8, 1e-12);
  EXPECT_EQ(floor["toward"], "right");
  EXPECT_EQ(floor["wheels"].size(), 4u);
  EXPECT_EQ(floor["tilts"].size(), 4u);
}

TEST(Program, EndsWithTwoWhereAWheelOfABlockIsNotThere) {
  const ProgramRun run = run_program({"solve", hauler, "--block", "front lift/hub=10"});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.out, "");
  EXPECT_THAT(run.err, HasSubstr("quarry-hauler.toml: error: --block names 'front lift/hub'"));
  EXPECT_THAT(run.err, HasSubstr("fix: did you mean 'front left/hub'?"));
}

TEST(Program, EndsWithTwoWhereTheBenchIsAskedAboutTheGround) {
  const Folder scratch;
  const ProgramRun run = run_program({"solve", write_arm(scratch, "arm.toml", arm_model()), "--floor"});
  EXPECT_EQ(run.status, 2);
  EXPECT_THAT(run.err, HasSubstr("each linkage is solved alone on the bench"));
}

TEST(Program, EndsWithThreeWhereItTipsOver) {
  const ProgramRun run = run_program({"solve", hauler, "--slope", "80", "--toward", "left", "--json"});
  EXPECT_EQ(run.status, 3);
  EXPECT_EQ(Json::parse(run.out)["errors"][0]["code"], "tips-over");
}

}  // namespace
}  // namespace ridepitch
