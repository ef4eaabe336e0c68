#include "words/words.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <fstream>
#include <map>
#include <regex>
#include <string>

// The glossary holds together by itself, and has every word that the pages and outputs of the program use. What it must
// have comes from the pages, never from the glossary.

namespace ridepitch {
namespace {

using testing::AnyOf;
using testing::EndsWith;
using testing::HasSubstr;
using testing::Not;

std::vector<std::string> lines_of_page(const std::string& page) {
  std::ifstream file(RIDEPITCH_SOURCE_DIR "/" + page);
  std::vector<std::string> lines;
  for (std::string line; std::getline(file, line);) lines.push_back(line);
  return lines;
}

std::vector<std::string> cells_of_row(const std::string& line) {
  static const std::regex bar(R"(\s*\|\s*)");
  return {std::sregex_token_iterator(line.begin() + 2, line.end(), bar, -1), std::sregex_token_iterator()};
}

/// The rows of docs/findings.md: code, level, when, what it means, remedy.
std::vector<std::vector<std::string>> finding_rows() {
  std::vector<std::vector<std::string>> rows;
  for (const std::string& line : lines_of_page("docs/findings.md")) {
    if (!line.starts_with("| `")) continue;
    std::vector<std::string> cells = cells_of_row(line);
    cells[0] = cells[0].substr(1, cells[0].size() - 2);  // without its backticks
    rows.push_back(cells);
  }
  return rows;
}

TEST(Glossary, HasNoTwoWordsUnderOneName) {
  std::map<std::string_view, std::string_view> leads_to;
  for (const Word& word : all_words()) {
    EXPECT_TRUE(leads_to.emplace(word.word, word.word).second) << word.word;
  }
  for (const Word& word : all_words()) {
    for (const std::string_view synonym : word.synonyms) {
      const auto [other, is_new] = leads_to.emplace(synonym, word.word);
      EXPECT_TRUE(is_new) << synonym << " leads to " << other->second << " and to " << word.word;
    }
  }
}

TEST(Glossary, LeadsFromEveryNameToItsWord) {
  for (const Word& word : all_words()) {
    EXPECT_EQ(find_word(word.word), &word) << word.word;
    for (const std::string_view synonym : word.synonyms) EXPECT_EQ(find_word(synonym), &word) << synonym;
  }
}

TEST(Glossary, RefersOnlyToWordsThatItHas) {
  for (const Word& word : all_words()) {
    for (const std::string_view other : word.see_also) {
      const Word* found = find_word(other);
      ASSERT_TRUE(found) << word.word << " refers to " << other;
      EXPECT_EQ(found->word, other) << word.word << " refers to a synonym";
      EXPECT_NE(found, &word) << word.word << " refers to itself";
    }
  }
}

TEST(Glossary, SaysSomethingOfEveryWordInOneLineAndInSentences) {
  const std::size_t longest_line = 100;  // of a page, without the heading that stands before it
  for (const Word& word : all_words()) {
    EXPECT_FALSE(word.meaning.empty()) << word.word;
    EXPECT_LE(word.meaning.size(), longest_line) << word.word;
    EXPECT_THAT(std::string(word.meaning), Not(AnyOf(EndsWith("."), HasSubstr("\n")))) << word.word;
    EXPECT_THAT(std::string(word.text), EndsWith(".")) << word.word;
    EXPECT_THAT(std::string(word.text), Not(HasSubstr("  "))) << word.word;
    for (const std::string_view text : {word.meaning, word.text}) {
      for (const char c : text) EXPECT_TRUE(c == '\n' || (c >= 0x20 && c < 0x7f)) << word.word;
    }
  }
}

TEST(Glossary, StandsTopicByTopicUnderATitle) {
  Topic last = all_words().front().topic;
  for (const Word& word : all_words()) {
    EXPECT_GE(static_cast<int>(word.topic), static_cast<int>(last)) << word.word;
    EXPECT_FALSE(topic_title(word.topic).empty());
    last = word.topic;
  }
}

TEST(FindWord, TakesAnySpellingOfAName) {
  for (const char* name : {"motion ratio", "Motion Ratio", "motion-ratio", " motion_ratio ", "MOTION  RATIO"}) {
    ASSERT_TRUE(find_word(name)) << name;
    EXPECT_EQ(find_word(name)->word, "motion ratio");
  }
}

TEST(FindWord, TakesPluralsAndTheUnitsOfKeys) {
  EXPECT_EQ(find_word("dead points")->word, "dead point");
  EXPECT_EQ(find_word("masses")->word, "mass");
  EXPECT_EQ(find_word("wheel_rate_n_per_mm")->word, "wheel rate");
  EXPECT_EQ(find_word("total_force_n")->word, "in all");
  EXPECT_EQ(find_word("bump_total_mm")->word, "travel");
  EXPECT_EQ(find_word("cg_modules")->word, "centre of gravity");
}

TEST(FindWord, KnowsNothingOfOtherNames) {
  for (const char* name : {"", " ", "-", "slag", "s", "es", "_hz"}) EXPECT_FALSE(find_word(name)) << name;
}

TEST(Glossary, HasEveryFindingAsItsPageDescribesIt) {
  const auto rows = finding_rows();
  ASSERT_GT(rows.size(), 10u);
  for (const auto& row : rows) {
    ASSERT_GE(row.size(), 5u) << row[0];
    const Word* word = find_word(row[0]);
    ASSERT_TRUE(word) << row[0];
    EXPECT_EQ(word->word, row[0]);
    EXPECT_EQ(word->topic, Topic::findings) << row[0];
    EXPECT_EQ(word->meaning, row[3]) << row[0];
    EXPECT_THAT(std::string(word->text), HasSubstr("Try: " + row[4] + ".")) << row[0];
    EXPECT_THAT(std::string(word->text), HasSubstr(row[1].substr(0, row[1].find(';')))) << row[0];
  }
}

TEST(Glossary, HasNoFindingThatItsPageLacks) {
  std::vector<std::string> codes;
  for (const auto& row : finding_rows()) codes.push_back(row[0]);
  for (const Word& word : all_words()) {
    if (word.topic != Topic::findings) continue;
    EXPECT_THAT(codes, testing::Contains(std::string(word.word)));
  }
}

TEST(Glossary, HasEveryQuantityOfTheFormatPage) {
  // "`quantity` is one of `wheel_rate_n_per_mm`, ...": up to the end of its sentence.
  std::string text;
  bool inside = false;
  for (const std::string& line : lines_of_page("docs/model-format.md")) {
    inside = inside || line.find("`quantity` is one of") != std::string::npos;
    if (line.empty()) inside = false;
    if (inside) text += line + "\n";
  }
  static const std::regex name(R"(`([a-z_]+)`)");
  int names = 0;
  for (std::sregex_iterator it(text.begin(), text.end(), name), end; it != end; ++it) {
    const std::string quantity = (*it)[1];
    if (quantity == "quantity") continue;
    ++names;
    EXPECT_TRUE(find_word(quantity)) << quantity;
  }
  EXPECT_GE(names, 15);
}

TEST(Glossary, HasTheWordsThatBuildersAskFor) {
  for (const char* word : {"sag",
                           "droop",
                           "bump",
                           "motion ratio",
                           "wheel rate",
                           "preload",
                           "solid",
                           "sprung",
                           "module",
                           "dead point",
                           "margins",
                           "mode",
                           "limits",
                           "indeterminate",
                           "ackermann",
                           "kerb circle",
                           "camber",
                           "track change",
                           "roll centre",
                           "tip angle",
                           "verdict",
                           "toe",
                           "friction band",
                           "lock",
                           "turn circle",
                           "bump steer",
                           "scrub",
                           "rack travel",
                           "wheelbase change",
                           "standard error",
                           "unsprung",
                           "bounce",
                           "walking beam",
                           "live axle",
                           "rocker"}) {
    EXPECT_TRUE(find_word(word)) << word;
  }
}

}  // namespace
}  // namespace ridepitch
