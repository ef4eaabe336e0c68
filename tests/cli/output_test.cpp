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
  const Scratch scratch;
  EXPECT_FALSE(write_file(scratch.path("out.csv"), "a,b\n"));
  EXPECT_EQ(read_text(scratch.path("out.csv")), "a,b\n");
  EXPECT_THAT(scratch.names(), ElementsAre("out.csv"));
}

TEST(WriteFile, ReplacesAFileAndKeepsItsRights) {
  const Scratch scratch;
  scratch.write("out.csv", "a much longer text than the new one\n");
  chmod(scratch.path("out.csv").c_str(), 0640);
  EXPECT_FALSE(write_file(scratch.path("out.csv"), "new\n"));
  EXPECT_EQ(read_text(scratch.path("out.csv")), "new\n");
  struct stat now {};
  stat(scratch.path("out.csv").c_str(), &now);
  EXPECT_EQ(now.st_mode & 0777, 0640u);
}

TEST(WriteFile, FollowsALinkAndLeavesItALink) {
  const Scratch scratch;
  scratch.write("real.csv", "old\n");
  std::filesystem::create_symlink("real.csv", scratch.path("link.csv"));
  EXPECT_FALSE(write_file(scratch.path("link.csv"), "new\n"));
  EXPECT_TRUE(std::filesystem::is_symlink(scratch.path("link.csv")));
  EXPECT_EQ(read_text(scratch.path("real.csv")), "new\n");
}

TEST(WriteFile, SaysWhyItCannotAndLeavesNothingBehind) {
  const Scratch scratch;
  const auto missing = write_file(scratch.path("no/such/folder/out.csv"), "text");
  ASSERT_TRUE(missing);
  EXPECT_THAT(missing->text, HasSubstr("can't be written: No such file or directory"));
  EXPECT_THAT(scratch.names(), ElementsAre());
  std::filesystem::create_directory(scratch.path("folder"));
  EXPECT_THAT(write_file(scratch.path("folder"), "text")->text, HasSubstr("it is a folder"));
  EXPECT_THAT(scratch.names(), ElementsAre("folder"));
}

TEST(WriteFile, WritesToADeviceAsItIs) {
  EXPECT_FALSE(write_file("/dev/null", "text"));
  EXPECT_TRUE(std::filesystem::is_character_file("/dev/null"));
  EXPECT_THAT(write_file("/dev/full", "text")->text, HasSubstr("No space left on device"));
}

TEST(WriteFile, LeavesAFileWithoutRightsAlone) {
  if (geteuid() == 0) GTEST_SKIP() << "root may write anything";
  const Scratch scratch;
  scratch.write("out.csv", "old\n");
  chmod(scratch.path("out.csv").c_str(), 0400);
  EXPECT_THAT(write_file(scratch.path("out.csv"), "new\n")->text, HasSubstr("Permission denied"));
  EXPECT_EQ(read_text(scratch.path("out.csv")), "old\n");
  EXPECT_THAT(scratch.names(), ElementsAre("out.csv"));
}

}  // namespace
}  // namespace ridepitch
