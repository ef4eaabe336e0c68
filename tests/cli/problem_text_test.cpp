#include "cli/problem_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "cli/exit_status.hpp"
#include "cli/program.hpp"

// What an error must look like is a rule of this project: place, line, mark, way out. No outside source.

namespace ridepitch {
namespace {

Problem too_long_rod() {
  Problem problem;
  problem.place = {0, 21, 1, 6};
  problem.file_name = "hauler.toml";
  problem.line_text = "length = 15";
  problem.code = "cannot-assemble";
  problem.text = "rod 'pushrod' is too long to assemble";
  problem.hint = "14 modules or less";
  return problem;
}

TEST(ProblemText, GivesThePlaceTheLineAMarkAndTheWayOut) {
  EXPECT_EQ(problem_text(too_long_rod(), "error", Ink{}),
            "hauler.toml:21:1: error: rod 'pushrod' is too long to assemble\n"
            "   21 | length = 15\n"
            "      | ^^^^^^\n"
            "   fix: 14 modules or less\n");
}

TEST(ProblemText, OfAFileAsAWholeHasNoLine) {
  Problem problem = too_long_rod();
  problem.place = {0, 0, 0, 0};
  problem.line_text.clear();
  problem.hint.clear();
  EXPECT_EQ(problem_text(problem, "error", Ink{}), "hauler.toml: error: rod 'pushrod' is too long to assemble\n");
}

TEST(ProblemText, OfTheCommandLineSpeaksForTheProgram) {
  Problem problem;
  problem.text = "there is no command 'slove'";
  problem.hint = "did you mean 'solve'?";
  EXPECT_EQ(problem_text(problem, "error", Ink{}),
            "ridepitch: error: there is no command 'slove'\n   fix: did you mean 'solve'?\n");
}

TEST(ProblemText, PutsItsMarkUnderThePlaceWhateverStandsBefore) {
  Problem problem = too_long_rod();
  problem.line_text = "\t\xc3\xa4 = \"\x1b\"";  // a tab is one column, a letter of two bytes too
  problem.place = {0, 3, 6, 0};
  EXPECT_THAT(problem_text(problem, "error", Ink{}), testing::HasSubstr("    3 |  \xc3\xa4 = \"?\"\n"
                                                                        "      |      ^\n"));
}

TEST(ProblemText, ShowsOnlyTheStretchAroundThePlaceOfAVeryLongLine) {
  Problem problem = too_long_rod();
  problem.line_text = std::string(5000, 'a') + "X" + std::string(5000, 'b');
  problem.place = {0, 7, 5001, 3000};
  const std::vector<std::string> lines = lines_of(problem_text(problem, "error", Ink{}));
  ASSERT_EQ(lines.size(), 4u);
  EXPECT_LE(width_of(lines[1]), page_width);
  EXPECT_LE(width_of(lines[2]), page_width);
  EXPECT_EQ(lines[1].find('X'), lines[2].find('^'));
}

TEST(ProblemText, BreaksALongHintAndKeepsLinesThatAreMeantToBePasted) {
  Problem problem = too_long_rod();
  problem.hint = "say which way you mean, one of these:\nnear = { push = [5, 6] }\nnear = { push = [5, -6] }";
  EXPECT_THAT(problem_text(problem, "error", Ink{}),
              testing::HasSubstr("   fix: say which way you mean, one of these:\n"
                                 "        near = { push = [5, 6] }\n"
                                 "        near = { push = [5, -6] }\n"));
  problem.hint = std::string(60, 'a') + " " + std::string(60, 'b');
  for (const std::string& line : lines_of(problem_text(problem, "error", Ink{}))) EXPECT_LE(width_of(line), page_width);
}

TEST(FillInLines, NamesTheModelsFileAndShowsItsLine) {
  const Folder scratch;
  Model model;
  model.files = {scratch.write("model.toml", "format = 1\nname = \"x\"\n")};
  Problem problem;
  problem.place = {0, 2, 1, 4};
  std::vector<Problem> problems = {problem};
  fill_in_lines(problems, model);
  EXPECT_EQ(problems[0].file_name, scratch.file("model.toml"));
  EXPECT_EQ(problems[0].line_text, "name = \"x\"");
}

TEST(ExitStatus, IsTwoWhereAnyTextIsAtFaultAndThreeWhereThereIsOnlyNoSolution) {
  Problem text, no_solution;
  no_solution.fault = Fault::no_solution;
  EXPECT_EQ(exit_status({}), 0);
  EXPECT_EQ(exit_status({no_solution}), 3);
  EXPECT_EQ(exit_status({no_solution, text}), 2);
}

}  // namespace
}  // namespace ridepitch
