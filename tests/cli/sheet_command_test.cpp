#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <filesystem>

#include "cli/program.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::StartsWith;

ProgramRun print_sheet(const Folder& in, std::vector<std::string> words) {
  words.insert(words.begin(), {"sheet", model("trial-arm.toml")});
  return run_program(words, {.folder = in.path.string()});
}

TEST(SheetCommand, WritesThePdfIntoThisFolderAndNeverTwice) {
  const Folder folder;
  const ProgramRun first = print_sheet(folder, {});
  EXPECT_EQ(first.status, 0) << first.err;
  EXPECT_THAT(first.out, StartsWith("Wrote trial-arm-sheet.pdf: "));
  const std::string bytes = text_of(folder.file("trial-arm-sheet.pdf"));
  EXPECT_THAT(bytes, StartsWith("%PDF-"));
  const ProgramRun second = print_sheet(folder, {});
  EXPECT_EQ(second.status, 2);
  EXPECT_THAT(second.err, HasSubstr("there is a file 'trial-arm-sheet.pdf' already"));
  EXPECT_EQ(print_sheet(folder, {"--overwrite"}).status, 0);
  EXPECT_EQ(text_of(folder.file("trial-arm-sheet.pdf")), bytes) << "the same input prints the same bytes";
}

TEST(SheetCommand, WritesAFileForEachPageOrNone) {
  const Folder folder;
  folder.write("a-2.svg", "precious\n");
  const ProgramRun refused = print_sheet(folder, {"--out", "a.svg"});
  EXPECT_EQ(refused.status, 2);
  EXPECT_THAT(refused.err, HasSubstr("there is a file 'a-2.svg' already"));
  EXPECT_THAT(folder.names(), ElementsAre("a-2.svg"));
  EXPECT_EQ(print_sheet(folder, {"--out", "a.svg", "--overwrite"}).status, 0);
  EXPECT_THAT(folder.names(), ElementsAre("a-1.svg", "a-2.svg"));
  EXPECT_THAT(text_of(folder.file("a-2.svg")), StartsWith("<?xml"));
}

TEST(SheetCommand, WritesNoneWhereOneMayNotBeReplaced) {
  const Folder folder;
  std::filesystem::create_directory(folder.path / "a-2.png");
  const ProgramRun run = print_sheet(folder, {"--out", "a.png", "--dpi", "40", "--overwrite"});
  EXPECT_EQ(run.status, 2);
  EXPECT_THAT(run.err, HasSubstr("'a-2.png' can't be written: it is a folder"));
  EXPECT_THAT(folder.names(), ElementsAre("a-2.png"));
}

TEST(SheetCommand, PrintsThePagesOfAList) {
  const Folder folder;
  const ProgramRun run = print_sheet(folder, {"--out", "a.png", "--pages", "2", "--dpi", "72", "--json"});
  EXPECT_EQ(run.status, 0) << run.err;
  EXPECT_THAT(run.out, HasSubstr("\"a.png\""));
  EXPECT_THAT(folder.names(), ElementsAre("a.png"));
}

TEST(SheetCommand, RefusesWhatIsNoneInOneLine) {
  const Folder folder;
  const std::vector<std::pair<std::vector<std::string>, std::string>> wrong = {
      {{"--paper", "a3"}, "there is no paper 'a3'"},
      {{"--dpi", "300"}, "--dpi belongs to a PNG"},
      {{"--dpi", "5", "--out", "a.png"}, "from 36 to 600"},
      {{"--pages", "0"}, "is no list of pages"},
      {{"--pages", "2-1"}, "is no list of pages"},
      {{"--pages", "1,"}, "is no list of pages"},
      {{"--pages", "1,x"}, "is no list of pages"},
      {{"--pages", "77"}, "names page 77, but the sheet has 2 pages"},
      {{"--out", "a.docx"}, "has an ending that is none of a sheet"},
      {{"--out", "no-such-folder/a.pdf"}, "can't be written"},
      {{"--before", "missing.toml"}, "missing.toml"}};
  for (const auto& [words, told] : wrong) {
    const ProgramRun run = print_sheet(folder, words);
    EXPECT_EQ(run.status, 2) << told;
    EXPECT_EQ(run.out, "");
    EXPECT_THAT(run.err, HasSubstr(told));
    EXPECT_THAT(folder.names(), IsEmpty()) << told;
  }
}

TEST(SheetCommand, TellsWhatToChangeFromAModelBefore) {
  const Folder folder;
  const ProgramRun run = run_program({"sheet", model("gravel-tug-rework.toml"), "--before", model("gravel-tug.toml")},
                                     {.folder = folder.path.string()});
  EXPECT_EQ(run.status, 0) << run.err;
  EXPECT_THAT(folder.names(), ElementsAre("gravel-tug-rework-sheet.pdf"));
  const ProgramRun bench = run_program({"sheet", model("trial-arm.toml"), "--before", model("gravel-tug.toml")},
                                       {.folder = folder.path.string()});
  EXPECT_EQ(bench.status, 2);
  EXPECT_THAT(bench.err, HasSubstr("is on the bench"));
}

}  // namespace
}  // namespace ridepitch
