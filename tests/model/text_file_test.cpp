#include "model/text_file.hpp"

#include <gtest/gtest.h>

#include <cerrno>
#include <filesystem>
#include <fstream>
#include <string>
#include <system_error>

#include <unistd.h>

namespace ridepitch {
namespace {

using namespace std::string_view_literals;

TEST(TextLines, AreCountedFromOneWithoutTheirEnds) {
  const TextLines lines("one\ntwo\r\n\nfour");
  EXPECT_EQ(lines.count(), 4);
  EXPECT_EQ(lines.line(1), "one");
  EXPECT_EQ(lines.line(2), "two");
  EXPECT_EQ(lines.line(3), "");
  EXPECT_EQ(lines.line(4), "four");
  EXPECT_EQ(lines.line(0), "");
  EXPECT_EQ(lines.line(5), "");
}

TEST(TextLines, LeaveOutAByteOrderMark) {
  const TextLines lines("\xEF\xBB\xBFname");
  EXPECT_EQ(lines.line(1), "name");
  EXPECT_EQ(lines.line_and_column(3), std::pair(1, 1));
  EXPECT_EQ(lines.line_and_column(0), std::pair(1, 1));
}

TEST(TextLines, CountColumnsInCodePoints) {
  const std::string_view text = "a\n\xC3\xA4\xE2\x82\xAC\xF0\x9F\x94\xA7x";  // a-umlaut, euro sign, a spanner, x
  const TextLines lines(text);
  EXPECT_EQ(lines.line_and_column(text.find('x')), std::pair(2, 4));
  EXPECT_EQ(code_points(lines.line(2)), 4);
  EXPECT_EQ(byte_of_column(lines.line(2), 4), 9u);
  EXPECT_EQ(byte_of_column(lines.line(2), 99), lines.line(2).size());
  EXPECT_EQ(column_of_byte(lines.line(2), 9), 4);
}

// The Unicode Standard, table 3-7 (well-formed byte sequences): the ends of each row, and what lies beside them.
TEST(Utf8, EveryRowOfTheTableIsText) {
  for (const std::string_view text :
       {"\x7F"sv, "\xC2\x80"sv, "\xDF\xBF"sv, "\xE0\xA0\x80"sv, "\xEC\xBF\xBF"sv, "\xED\x80\x80"sv, "\xED\x9F\xBF"sv,
        "\xEE\x80\x80"sv, "\xEF\xBF\xBF"sv, "\xF0\x90\x80\x80"sv, "\xF3\xBF\xBF\xBF"sv, "\xF4\x80\x80\x80"sv,
        "\xF4\x8F\xBF\xBF"sv, ""sv, "\0"sv}) {
    EXPECT_EQ(first_not_utf8(text), std::nullopt);
  }
}

TEST(Utf8, WhatIsBesideTheTableIsNot) {
  for (const std::string_view text :
       {"\x80"sv, "\xC0\x80"sv, "\xC1\xBF"sv, "\xC2"sv, "\xE0\x9F\xBF"sv, "\xED\xA0\x80"sv, "\xEE\x80"sv,
        "\xF0\x8F\xBF\xBF"sv, "\xF4\x90\x80\x80"sv, "\xF5\x80\x80\x80"sv, "\xFF"sv}) {
    EXPECT_EQ(first_not_utf8(std::string("ok") + std::string(text)), 2u);
  }
}

TEST(ReadFileText, SaysWhyAFileCannotBeRead) {
  const std::string folder = std::string(RIDEPITCH_SOURCE_DIR) + "/tests/model";
  EXPECT_EQ(read_file_text(folder, false).why_not, "it is a folder");
  EXPECT_EQ(read_file_text(folder + "/no-such-file.toml", false).why_not, "there is no such file");
  EXPECT_EQ(read_file_text(folder + "/text_file_test.cpp/below.toml", false).why_not, "there is no such file");
  EXPECT_EQ(read_file_text("", false).why_not, "there is no such file");
  EXPECT_EQ(read_file_text(std::string("a\0b", 3), false).why_not, "there is no such file");
}

TEST(ReadFileText, TakesNoDeviceForACatalogue) {
  EXPECT_EQ(read_file_text("/dev/zero", true).why_not, "it is not a plain file");
}

TEST(ReadFileText, SaysThatThereIsNoPermission) {
  const auto path = std::filesystem::temp_directory_path() / ("ridepitch-no-permission-" + std::to_string(getpid()));
  std::ofstream(path) << "format = 1";
  std::filesystem::permissions(path, std::filesystem::perms::none);
  const FileText file = read_file_text(path.string(), false);
  std::filesystem::remove(path);
  if (geteuid() == 0) GTEST_SKIP() << "nothing is closed to root";
  EXPECT_EQ(file.why_not, "there is no permission to read it");
}

// What even root can't open or read: a link to itself, and memory that isn't there.
TEST(ReadFileText, GivesTheSystemsReasonForWhatItCannotOpenOrRead) {
  const auto path = std::filesystem::temp_directory_path() / ("ridepitch-loop-" + std::to_string(getpid()));
  std::filesystem::create_symlink(path, path);
  const FileText loop = read_file_text(path.string(), false);
  std::filesystem::remove(path);
  EXPECT_EQ(loop.why_not, std::generic_category().message(ELOOP));
  EXPECT_EQ(read_file_text("/proc/self/mem", false).why_not, std::generic_category().message(EIO));
}

TEST(ReadFileText, StopsReadingSoonAfterTheLimit) {
  const FileText endless = read_file_text("/dev/zero", false);
  EXPECT_EQ(endless.why_not, "");
  EXPECT_GT(endless.text.size(), most_text_bytes);
  EXPECT_LT(endless.text.size(), most_text_bytes + 100'000);
}

}  // namespace
}  // namespace ridepitch
