#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <regex>

#include "cli/explain_text.hpp"
#include "cli/hand_built.hpp"
#include "cli/program.hpp"
#include "cli/solve_text.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::StartsWith;
using Json = nlohmann::ordered_json;

/// Cells of a line of a table: what two blanks or more part.
std::vector<std::string> cells(const std::string& line) {
  static const std::regex gap("  +");
  std::vector<std::string> all(std::sregex_token_iterator(line.begin(), line.end(), gap, -1), {});
  std::erase(all, "");
  return all;
}

/// The headings of the tables of a page: each begins a paragraph.
std::vector<std::string> headings(const std::string& page) {
  std::vector<std::string> found;
  const std::vector<std::string> lines = lines_of(page);
  for (std::size_t i = 1; i < lines.size(); ++i) {
    if (!lines[i - 1].empty() || lines[i].ends_with(".")) continue;
    const std::vector<std::string> row = cells(lines[i]);
    if (!row.empty()) found.insert(found.end(), row.begin() + 1, row.end());
  }
  return found;
}

TEST(Explain, KnowsEveryHeadingOfSolve) {
  Solved told = hand_built_hauler();
  told.solution.measured.push_back({0, 35, 1, 37, {}});
  told.solution.causes.push_back({"mass", "mass", "50 g more", 50, "g", 1, 0.1, 0.9});
  told.solution.weighing.emplace().readings = {{{"rear left/hub"}, 0.6, 0.005, 0.6, 0.005}};
  int found = 0;
  for (const Solved& solved : {told, hand_built_bench(), hand_built_on_floor()}) {
    for (const std::string& heading : headings(solve_text(solved, {Ink{}, true}))) {
      EXPECT_TRUE(find_word(heading)) << heading;
      ++found;
    }
  }
  EXPECT_GT(found, 40);  // two pages of some two dozen columns
}

TEST(Explain, KnowsEveryWordThatSolveSaysOfTheVehicle) {
  const std::string page = solve_text(hand_built_hauler(), {Ink{}, true});
  const std::string vehicle =
      page.substr(page.find("\nVehicle\n"), page.find("\nClearance") - page.find("\nVehicle\n"));
  int found = 0;
  for (const std::string& line : lines_of(vehicle)) {
    if (!line.starts_with("  ")) continue;
    EXPECT_TRUE(find_word(cells(line)[0])) << line;
    ++found;
  }
  EXPECT_GE(found, 6);  // mass, centre, attitude and three modes
}

TEST(Explain, KnowsEveryNameInTheJsonOfSolve) {
  const Json json =
      Json::parse(run_program({"solve", "--json", RIDEPITCH_SOURCE_DIR "/tests/models/quarry-hauler.toml"}).out);
  const Json& corner = json["corners"][0];
  for (const Json& object :
       {json["vehicle"], corner["wheels"][0], corner["wheels"][0]["path"], corner["springs"][0], json["axles"][0]}) {
    for (const auto& item : object.items()) {
      if (item.key() == "name" || item.key() == "bump_end_links") continue;
      EXPECT_TRUE(find_word(item.key())) << item.key();
    }
  }
}

TEST(Explain, TellsOfAWordWhatItMeansItsOtherNamesAndWhatToReadNext) {
  const Word word{"sag", "mm", "how far it sinks", "It sinks.\n- in one way\n- or another", {"slack"}, {"droop"}};
  EXPECT_EQ(word_text(word, {}),
            "sag (mm): how far it sinks.\n"
            "\n"
            "  It sinks.\n"
            "  - in one way\n"
            "  - or another\n"
            "\n"
            "  also found under: slack\n"
            "  see also: droop\n");
}

TEST(Explain, TakesAWordInSeveralPiecesOrAsAKey) {
  const ProgramRun run = run_program({"explain", "motion", "ratio"});
  EXPECT_EQ(run.status, 0);
  EXPECT_THAT(run.out, StartsWith("motion ratio: how much the spring shortens"));
  EXPECT_EQ(run_program({"explain", "motion_ratio"}).out, run.out);
}

TEST(Explain, SaysWhatTheProgramDoesNotDo) {
  const std::string out = run_program({"explain", "limits"}).out;
  // What is left out, by the scope of the project.
  for (const char* left_out :
       {"Flex and friction", "perpendicular to one of the planes", "another plane", "driven wheel", "Side forces"}) {
    EXPECT_THAT(out, HasSubstr(left_out));
  }
}

TEST(Explain, ListsAllWordsWithinThePage) {
  const ProgramRun run = run_program({"explain"});
  EXPECT_EQ(run.status, 0);
  for (const Word& word : all_words()) EXPECT_THAT(run.out, HasSubstr("\n  " + std::string(word.word) + " "));
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
  for (const Word& word : all_words()) {
    for (const std::string& line : lines_of(word_text(word, {}))) EXPECT_LE(width_of(line), page_width) << line;
  }
}

TEST(Explain, NamesTheNearestWordForAnUnknownOne) {
  const ProgramRun run = run_program({"explain", "wheelrate"});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.out, "");
  EXPECT_EQ(run.err, "ridepitch: error: the glossary has no word 'wheelrate'\n   fix: did you mean 'wheel rate'?\n");
  EXPECT_THAT(run_program({"explain", "xyzzyx"}).err, HasSubstr("'ridepitch explain' lists the words"));
  EXPECT_THAT(run_program({"explain", "\x1b[31m"}).err, Not(HasSubstr("\x1b")));
}

TEST(Explain, GivesJsonToo) {
  const Json word = Json::parse(run_program({"explain", "--json", "sag"}).out);
  EXPECT_EQ(word["format"], 1);
  EXPECT_EQ(word["word"], "sag");
  EXPECT_EQ(word["unit"], "mm");
  const Json all = Json::parse(run_program({"explain", "--json"}).out);
  EXPECT_EQ(all["words"].size(), all_words().size());
  const Json error = Json::parse(run_program({"explain", "--json", "slag"}).out);
  EXPECT_EQ(error["errors"][0]["code"], "unknown-word");
}

}  // namespace
}  // namespace ridepitch
