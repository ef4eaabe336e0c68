// Every file of tests/model/bad is refused with exactly the problems that stand in the file of the same name that
// ends in .expected: "LINE:COLUMN: TEXT", or "FILE:LINE:COLUMN: TEXT" where another file is at fault. Where a
// problem stands was worked out by reading the file, with a mark at the spot.

#include <fmt/core.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "model/model_files.hpp"
#include "rigs/files.hpp"

namespace ridepitch {
namespace {

namespace fs = std::filesystem;

const fs::path bad_folder = source_path("tests/model/bad");

std::vector<std::string> names_in_folder(std::string_view extension) {
  std::vector<std::string> names;
  for (const fs::directory_entry& entry : fs::directory_iterator(bad_folder)) {
    if (entry.path().extension() == extension) names.push_back(entry.path().stem().string());
  }
  std::sort(names.begin(), names.end());
  return names;
}

std::string told(const std::string& name) {
  const std::string path = (bad_folder / (name + ".toml")).string();
  const ReadModel read = read_model(path);
  std::string lines;
  for (const Problem& problem : read.problems) {
    EXPECT_NE(problem.hint, "") << problem.text;
    const std::string file = fs::path(problem.file_name).lexically_relative(bad_folder).string() + ":";
    lines += fmt::format("{}{}:{}: {}\n", problem.file_name == path ? "" : file, problem.place.line,
                         problem.place.column, problem.text);
  }
  EXPECT_EQ(read.model.has_value(), read.problems.empty()) << name;
  return lines;
}

class BadFile : public testing::TestWithParam<std::string> {};

TEST_P(BadFile, IsRefusedWithItsMessageLineAndColumn) {
  const fs::path expected = bad_folder / (GetParam() + ".expected");
  ASSERT_TRUE(fs::exists(expected)) << "what should be said of " << GetParam() << "?";
  const std::string lines = text_of(expected);
  ASSERT_FALSE(lines.empty());
  EXPECT_EQ(told(GetParam()), lines);
}

std::string test_name(const testing::TestParamInfo<std::string>& info) {
  std::string name = info.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
}

INSTANTIATE_TEST_SUITE_P(Corpus, BadFile, testing::ValuesIn(names_in_folder(".toml")), test_name);

TEST(BadFiles, HaveAnExpectationEachAndThereAreEnoughOfThem) {
  EXPECT_EQ(names_in_folder(".toml"), names_in_folder(".expected"));
  EXPECT_GE(names_in_folder(".toml").size(), 160u);
}

// What a message is worth to a builder beyond its text: the code that scripts look for, the line, the way out.
TEST(BadFiles, ShowTheLineAndTheWayOut) {
  const ReadModel read = read_model((bad_folder / "rod-key-misspelt.toml").string());
  ASSERT_EQ(read.problems.size(), 2u);
  EXPECT_EQ(read.problems[0].code, "missing-key");
  EXPECT_EQ(read.problems[0].line_text, "[linkage.arm.rod.push]");
  EXPECT_EQ(read.problems[0].place.width, 4);
  EXPECT_EQ(read.problems[0].hint, "add: length = 6   (modules, hole centre to hole centre)");
  EXPECT_EQ(read.problems[1].code, "unknown-key");
  EXPECT_EQ(read.problems[1].line_text, "  lenght = 12");
  EXPECT_EQ(read.problems[1].place.width, 6);
  EXPECT_EQ(read.problems[1].hint, "did you mean 'length'?");
  EXPECT_EQ(read.problems[1].file_name, (bad_folder / "rod-key-misspelt.toml").string());
  EXPECT_EQ(read.problems[1].fault, Fault::text);
}

TEST(BadFiles, SuggestTheNearestOfWhateverNameIsMeant) {
  const auto hint = [](std::string_view name) {
    const ReadModel read = read_model((bad_folder / (std::string(name) + ".toml")).string());
    return read.problems.empty() ? "" : read.problems[0].hint;
  };
  EXPECT_EQ(hint("key-misspelt"), "did you mean 'module_mm'?");
  EXPECT_EQ(hint("body-unknown"), "did you mean 'arm'?");
  EXPECT_EQ(hint("hole-unknown"), "did you mean 'axle'?");
  EXPECT_EQ(hint("linkage-unknown"), "did you mean 'arm'?");
  EXPECT_EQ(hint("part-unknown"), "did you mean 'coil'?");
  EXPECT_EQ(hint("plane-unknown"), "did you mean 'side'?");
  EXPECT_EQ(hint("weighed-unknown-wheel"), "did you mean 'hub'?");
  EXPECT_EQ(hint("tune-unknown-corner"), "did you mean 'rear left'?");
  EXPECT_EQ(hint("tune-unknown-quantity"), "did you mean 'wheel_rate_n_per_mm'?");
  EXPECT_EQ(hint("spring-kind-unknown"), "did you mean 'coil'?");
  EXPECT_EQ(hint("torsion-with-ends"),
            "its keys: 'kind', 'count', 'layer', 'between', 'rate_n_mm_per_deg', 'free_deg', 'min_deg' and 'max_deg'");
}

}  // namespace
}  // namespace ridepitch
