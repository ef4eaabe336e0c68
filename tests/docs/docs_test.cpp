// What the pages say is so: shown outputs are the program's, links lead somewhere, commands exist.
// The expected side is always the page, the other what the built program or ./dev really does.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <regex>
#include <set>

#include "docs/console_block.hpp"

namespace ridepitch::docs {
namespace {

using testing::Contains;
using testing::ElementsAre;
using testing::IsEmpty;

namespace fs = std::filesystem;

std::string joined(const Lines& lines) {
  std::string text;
  for (const std::string& line : lines) text += "    " + line + "\n";
  return text;
}

/// What the first group of a pattern catches, each time that it occurs.
Lines matches(const std::string& text, const std::regex& pattern) {
  Lines found;
  for (std::sregex_iterator it(text.begin(), text.end(), pattern), end; it != end; ++it) found.push_back((*it)[1]);
  return found;
}

/// The words after "./dev " that a text names.
std::set<std::string> dev_commands_named(const std::string& text) {
  static const std::regex call(R"(\./dev ([a-z]+))");
  const Lines words = matches(text, call);
  return {words.begin(), words.end()};
}

/// The commands that ./dev lists when called alone: the indented first words.
std::set<std::string> dev_commands() {
  const ScratchRoot scratch;
  static const std::regex entry(R"(^  ([a-z]+) .*)");
  std::set<std::string> words;
  for (const std::string& line : scratch.run("bash '" RIDEPITCH_SOURCE_DIR "/dev'").lines) {
    if (std::smatch match; std::regex_match(line, match, entry)) words.insert(match[1]);
  }
  return words;
}

/// A TOML fence that is a model by itself, not a piece of one.
bool is_whole_model(const Fence& fence) {
  const auto has = [&](const char* start) {
    return std::ranges::any_of(fence.text, [&](const std::string& line) { return line.starts_with(start); });
  };
  return fence.kind == "toml" && has("format = 1") && has("[[corner]]");
}

/// Anchors of a page's headings as Markdown viewers make them: small letters, hyphens for spaces, no punctuation.
std::set<std::string> anchors(const std::string& page) {
  static const std::regex heading(R"(#+ (.*))");
  std::set<std::string> found;
  for (const std::string& line : lines_of(page)) {
    std::smatch match;
    if (!std::regex_match(line, match, heading)) continue;
    std::string anchor;
    for (const char c : match[1].str()) {
      if (c == ' ' || c == '-') anchor += '-';
      if (std::isalnum(static_cast<unsigned char>(c))) anchor += static_cast<char>(std::tolower(c));
    }
    found.insert(anchor);
  }
  return found;
}

TEST(Pages, ShowWhatTheProgramPrints) {
  for (const std::string& page : pages()) {
    const ScratchRoot scratch;
    for (const ShownCommand& example : shown_commands(read_text(page))) {
      const Output real = scratch.run(example.command);
      EXPECT_LT(real.status, 126) << page << ":" << example.line << ": the program does not run or crashes";
      EXPECT_TRUE(agrees(example.shown, real.lines))
          << page << ":" << example.line << ": " << example.command << "\n  the page shows\n"
          << joined(example.shown) << "  the program prints\n"
          << joined(real.lines) << "  './dev docs' puts the real output there";
    }
  }
}

TEST(Pages, HaveNoCommandThatIsNotTried) {
  for (const std::string& page : pages()) {
    const Lines lines = lines_of(read_text(page));
    const auto tried = shown_commands(read_text(page));
    for (std::size_t i = 0; i < lines.size(); ++i) {
      const int number = static_cast<int>(i) + 1;
      if (lines[i].find("$ ridepitch") == std::string::npos) continue;
      EXPECT_TRUE(std::ranges::any_of(tried, [&](const ShownCommand& c) { return c.line == number; }))
          << page << ":" << number << ": stands outside of a ```console fence";
    }
  }
}

TEST(Pages, CloseTheirFences) {
  for (const std::string& page : pages()) {
    for (const Fence& fence : fences(read_text(page))) EXPECT_TRUE(fence.closed) << page << ":" << fence.line;
  }
}

TEST(Pages, ShowOnlyWholeModelsThatCheck) {
  int models = 0;
  for (const std::string& page : pages()) {
    const ScratchRoot scratch;
    for (const Fence& fence : fences(read_text(page))) {
      if (!is_whole_model(fence)) continue;
      ++models;
      std::ofstream model(scratch.path() + "/shown.toml");
      for (const std::string& line : fence.text) model << line << "\n";
      model.close();
      const Output real = scratch.run("ridepitch check shown.toml");
      EXPECT_EQ(real.status, 0) << page << ":" << fence.line << "\n" << joined(real.lines);
    }
  }
  EXPECT_GT(models, 0) << "docs/model-format.md shows one";
}

TEST(Pages, LinkToFilesThatExist) {
  static const std::regex link(R"(\]\(([^)#]+)(#[^)]*)?\))");
  for (const std::string& page : pages()) {
    for (const std::string& target : matches(read_text(page), link)) {
      if (target.starts_with("http")) continue;
      const fs::path path = (fs::path(RIDEPITCH_SOURCE_DIR) / page).parent_path() / target;
      EXPECT_TRUE(fs::exists(path)) << page << " links to " << target;
    }
  }
}

TEST(Pages, LinkToHeadingsThatExist) {
  static const std::regex link(R"(\]\(#([^)]*)\))");
  for (const std::string& page : pages()) {
    const std::string text = read_text(page);
    const std::set<std::string> known = anchors(text);
    for (const std::string& anchor : matches(text, link)) EXPECT_THAT(known, Contains(anchor)) << page;
  }
}

TEST(Pages, NameOnlyDevCommandsThatExist) {
  const std::set<std::string> known = dev_commands();
  for (const std::string& page : pages()) {
    for (const std::string& word : dev_commands_named(read_text(page))) EXPECT_THAT(known, Contains(word)) << page;
  }
}

/// The codes of all findings that the source makes: "Level::warning, "low-bump"" or ".level = ..., .code = "..."".
std::set<std::string> codes_in_the_source() {
  static const std::regex finding(R"re(Level::(?:note|warning|problem),\s*(?:\.code = )?"([a-z-]+)")re");
  std::set<std::string> codes;
  for (const auto& file : fs::recursive_directory_iterator(fs::path(RIDEPITCH_SOURCE_DIR) / "sim")) {
    if (file.path().extension() != ".cpp") continue;
    const Lines found = matches(read_text(fs::relative(file.path(), RIDEPITCH_SOURCE_DIR).string()), finding);
    codes.insert(found.begin(), found.end());
  }
  return codes;
}

TEST(Findings, PageHasOneRowForEveryCodeOfTheSource) {
  static const std::regex row(R"(\| `([a-z-]+)` \|.*)");
  std::set<std::string> rows;
  for (const std::string& line : lines_of(read_text("docs/findings.md"))) {
    std::smatch match;
    if (!std::regex_match(line, match, row)) continue;
    EXPECT_TRUE(rows.insert(match[1]).second) << match[1] << " has two rows";
  }
  EXPECT_EQ(rows, codes_in_the_source());
  EXPECT_THAT(rows, Contains("tyres-touch"));
}

TEST(Readme, ShowsARealOutputOfSolve) {
  const auto shown = shown_commands(read_text("README.md"));
  EXPECT_TRUE(std::ranges::any_of(
      shown, [](const ShownCommand& c) { return c.command.starts_with("ridepitch solve") && c.shown.size() > 5; }));
}

TEST(Developers, NamesEveryDevCommand) {
  const std::set<std::string> named = dev_commands_named(read_text("DEVELOPERS.md"));
  const std::set<std::string> known = dev_commands();
  EXPECT_FALSE(known.empty());
  for (const std::string& command : known) EXPECT_THAT(named, Contains(command));
}

TEST(ConsoleBlock, OutputRunsToTheNextPromptAndOtherCommandsAreLeftOut) {
  const auto commands = shown_commands(
      "text\n```console\n$ ridepitch check a\nfine\n\n$ ./dev test\nnot ours\n$ ridepitch solve b\n```\n"
      "```sh\n$ ridepitch not in a console fence\n```\n");
  ASSERT_EQ(commands.size(), 2u);
  EXPECT_EQ(commands[0].command, "ridepitch check a");
  EXPECT_EQ(commands[0].line, 3);
  EXPECT_THAT(commands[0].shown, ElementsAre("fine", ""));
  EXPECT_EQ(commands[1].command, "ridepitch solve b");
  EXPECT_THAT(commands[1].shown, IsEmpty());
}

TEST(ConsoleBlock, DotsStandForAnyNumberOfLinesAndNothingElseDoes) {
  const Lines real = {"a", "b", "c", "b", "d"};
  EXPECT_TRUE(agrees({"a", "b", "c", "b", "d"}, real));
  EXPECT_TRUE(agrees({"a", "...", "b", "d"}, real));
  EXPECT_TRUE(agrees({"...", "c", "..."}, real));
  EXPECT_TRUE(agrees({"a", "b", "c", "b", "d", "..."}, real));
  EXPECT_FALSE(agrees({"a", "...", "x", "..."}, real));
  EXPECT_FALSE(agrees({"a", "b", "c", "b"}, real));
  EXPECT_FALSE(agrees({"a", "...", "c"}, real));
  EXPECT_FALSE(agrees({}, real));
  EXPECT_TRUE(agrees({"..."}, {}));
}

TEST(ConsoleBlock, CommandsRunInACopySoThatNothingTheyWriteStays) {
  const ScratchRoot scratch;
  const Output written =
      scratch.run("test -d models && echo new > models/made-by-the-docs-test.toml; ls models | grep made");
  EXPECT_THAT(written.lines, ElementsAre("made-by-the-docs-test.toml"));
  EXPECT_FALSE(fs::exists(fs::path(RIDEPITCH_SOURCE_DIR) / "models/made-by-the-docs-test.toml"));
}

}  // namespace
}  // namespace ridepitch::docs
