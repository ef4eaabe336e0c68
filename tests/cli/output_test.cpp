#include "cli/output.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>

#include "cli/program.hpp"

namespace ridepitch {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

TEST(WriteFile, MakesTheFileAndNothingElse) {
  const Folder scratch;
  EXPECT_FALSE(write_file(scratch.file("out.csv"), "a,b\n"));
  EXPECT_EQ(text_of(scratch.file("out.csv")), "a,b\n");
  EXPECT_THAT(scratch.names(), ElementsAre("out.csv"));
}

TEST(WriteFile, ReplacesAFileAndKeepsItsRights) {
  const Folder scratch;
  scratch.write("out.csv", "a much longer text than the new one\n");
  chmod(scratch.file("out.csv").c_str(), 0640);
  EXPECT_FALSE(write_file(scratch.file("out.csv"), "new\n"));
  EXPECT_EQ(text_of(scratch.file("out.csv")), "new\n");
  struct stat now {};
  stat(scratch.file("out.csv").c_str(), &now);
  EXPECT_EQ(now.st_mode & 0777, 0640u);
}

TEST(WriteFile, FollowsALinkAndLeavesItALink) {
  const Folder scratch;
  scratch.write("real.csv", "old\n");
  std::filesystem::create_symlink("real.csv", scratch.file("link.csv"));
  EXPECT_FALSE(write_file(scratch.file("link.csv"), "new\n"));
  EXPECT_TRUE(std::filesystem::is_symlink(scratch.file("link.csv")));
  EXPECT_EQ(text_of(scratch.file("real.csv")), "new\n");
}

TEST(WriteFile, SaysWhyItCannotAndLeavesNothingBehind) {
  const Folder scratch;
  const auto missing = write_file(scratch.file("no/such/folder/out.csv"), "text");
  ASSERT_TRUE(missing);
  EXPECT_THAT(missing->text, HasSubstr("can't be written: No such file or directory"));
  EXPECT_THAT(scratch.names(), ElementsAre());
  std::filesystem::create_directory(scratch.file("folder"));
  EXPECT_THAT(write_file(scratch.file("folder"), "text")->text, HasSubstr("it is a folder"));
  EXPECT_THAT(scratch.names(), ElementsAre("folder"));
}

TEST(WriteFile, WritesToADeviceAsItIs) {
  EXPECT_FALSE(write_file("/dev/null", "text"));
  EXPECT_TRUE(std::filesystem::is_character_file("/dev/null"));
  EXPECT_THAT(write_file("/dev/full", "text")->text, HasSubstr("No space left on device"));
}

TEST(WriteFile, LeavesAFileWithoutRightsAlone) {
  const Folder scratch;
  scratch.write("out.csv", "old\n");
  chmod(scratch.file("out.csv").c_str(), 0400);
  EXPECT_THAT(write_file(scratch.file("out.csv"), "new\n")->text, HasSubstr("it is read-only"));  // for root too
  EXPECT_EQ(text_of(scratch.file("out.csv")), "old\n");
  EXPECT_THAT(scratch.names(), ElementsAre("out.csv"));
}

}  // namespace
}  // namespace ridepitch
