// Nothing that a file can hold may crash the reader, hang it, or make it allocate without bound.

#include <fcntl.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <thread>
#include <tuple>

#include "model/model_files.hpp"
#include "model/text_file.hpp"
#include "model/write_file.hpp"
#include "rigs/files.hpp"
#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

std::string repeated(std::string_view text, int times) {
  std::string result;
  result.reserve(text.size() * static_cast<std::size_t>(times));
  for (int i = 0; i < times; ++i) result += text;
  return result;
}

void expect_sound_answer(const ReadModel& read, std::string_view text) {
  EXPECT_EQ(read.model.has_value(), read.problems.empty());
  EXPECT_LE(read.problems.size(), 50u);
  const TextLines lines(text);
  Place before{0, 0, 0, 0};
  for (const Problem& problem : read.problems) {
    const Place& place = problem.place;
    EXPECT_FALSE(problem.text.empty());
    EXPECT_FALSE(problem.code.empty());
    EXPECT_LT(problem.text.size(), 2000u);
    EXPECT_LT(problem.line_text.size(), 5000u);
    EXPECT_EQ(first_not_utf8(problem.text + problem.hint + problem.line_text), std::nullopt);
    EXPECT_EQ(problem.text.find('\n'), std::string::npos) << problem.text;
    EXPECT_LE(std::tie(before.file, before.line, before.column), std::tie(place.file, place.line, place.column));
    before = place;
    if (place.file != 0 || place.line == 0) continue;
    EXPECT_LE(place.line, lines.count());
    EXPECT_GE(place.column, 1);
    EXPECT_LE(place.column, code_points(lines.line(place.line)) + 1) << problem.text;
  }
}

ReadModel read_hostile(const std::string& text) {
  ReadModel read = read_text(text);
  expect_sound_answer(read, text);
  return read;
}

std::string only_problem(const std::string& text) {
  const ReadModel read = read_hostile(text);
  return read.problems.size() == 1 ? read.problems[0].text
                                   : "not one problem, but " + std::to_string(read.problems.size());
}

TEST(Hostile, OverFourMegabytesAreRefusedUnread) {
  std::mt19937 random(1);
  std::string junk(10'000'000, ' ');
  for (char& c : junk) c = static_cast<char>(random());
  EXPECT_EQ(only_problem(junk), "the file is over 4 MB");
}

TEST(Hostile, BytesThatAreNotUtf8HaveAPlace) {
  const ReadModel read = read_hostile("format = 1\nname = \"K\xC3\xA4rr\xFF\"\n");
  ASSERT_EQ(read.problems.size(), 1u);
  EXPECT_EQ(read.problems[0].text, "this is not UTF-8 text: byte 0xFF");
  EXPECT_EQ(read.problems[0].place.line, 2);
  EXPECT_EQ(read.problems[0].place.column, 13);
}

const std::string hidden = "a control character stands here: it could hide or reorder what is shown";

TEST(Hostile, ANulByteIsRefused) { EXPECT_EQ(only_problem(std::string("name = \"a\0b\"\n", 13)), hidden); }

// Unicode's general category Cc, and the embeddings, overrides and isolates of its bidirectional algorithm (UAX #9, 2.1
// to 2.5).
TEST(Hostile, ControlCharactersAreRefusedWhereverTheyStand) {
  const std::vector<std::pair<std::string, std::string>> spelt = {
      {"\x1b", "\\u001b"},         {"\x7f", "\\u007f"},         {"\xc2\x80", "\\u0080"},
      {"\xc2\x9f", "\\u009f"},     {"\xe2\x80\xaa", "\\u202a"}, {"\xe2\x80\xae", "\\u202e"},
      {"\xe2\x81\xa6", "\\u2066"}, {"\xe2\x81\xa9", "\\u2069"}};
  const std::string text(small_model);
  for (const auto& [raw, escape] : spelt) {
    EXPECT_EQ(only_problem("# a note " + raw + "\n" + text), hidden) << escape;
    EXPECT_EQ(only_problem(replaced(text, "name = \"Arm\"", "name = \"Arm" + raw + "\"")), hidden) << escape;
    EXPECT_EQ(only_problem(replaced(text, "name = \"Arm\"", "name = \"Arm" + escape + "\"")), hidden) << escape;
    EXPECT_EQ(only_problem(replaced(text, "name = \"Arm\"", "name = \"Arm\"\n\"" + escape + "\" = 1")), hidden)
        << escape;
    const Folder folder;
    const ReadPriceList prices =
        read_price_list(folder.write("p.csv", "part,price,stock\ncoil" + raw + "7,1,plenty\n"));
    ASSERT_EQ(prices.problems.size(), 1u) << escape;
    EXPECT_EQ(prices.problems[0].text, hidden);
    EXPECT_EQ(prices.problems[0].place.line, 2);
    EXPECT_EQ(prices.problems[0].place.column, 5);
    EXPECT_EQ(printable("a" + raw + "b"),
              "a\xEF\xBF\xBD"
              "b")
        << escape;
  }
  // Neighbours that are none of them.
  for (const char* plain : {"\xc2\xa0", "\xe2\x80\xa9", "\xe2\x80\xaf", "\xe2\x81\xa5", "\xe2\x81\xaa", "\xc3\xa9"})
    EXPECT_EQ(printable(plain), plain);
}

TEST(Hostile, APipeWithoutAWriterIsRefusedInTime) {
  const Folder folder;
  const std::string pipe = folder.file("pipe");
  ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
  const ReadModel read = read_model(pipe);
  ASSERT_EQ(read.problems.size(), 1u);
  EXPECT_EQ(read.problems[0].text, "the file can't be read: it is a pipe that nothing is written to");
}

TEST(Hostile, APipeIsReadToItsEndHoweverSlowItsWriter) {
  const Folder folder;
  const std::string pipe = folder.file("pipe"), text = "format = 1\n" + repeated("# a line of a long text\n", 10'000);
  ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
  std::thread writer([&] {
    usleep(200'000);
    const int end = open(pipe.c_str(), O_WRONLY | O_CLOEXEC);
    usleep(100'000);
    EXPECT_EQ(write_all(end, text), "");
    close(end);
  });
  EXPECT_EQ(read_file_text(pipe, false).text, text);
  writer.join();
}

TEST(Hostile, NestingOfEveryKindIsRefused) {
  EXPECT_EQ(only_problem("a = " + repeated("[", 100'000)), "this is nested more deeply than any model is");
  EXPECT_EQ(only_problem("[a" + repeated(".a", 1'000'000) + "]"),
            "there are more dotted names here than any model has");
}

// The longest of these takes about a second in a build without optimisation; a quadratic reader would take minutes.
TEST(Hostile, ALotOfAnythingIsReadInATimeThatCanBeWaitedFor) {
  const std::string head = "format = 1\nname = \"x\"\n";
  EXPECT_EQ(read_hostile(head + repeated("[[mass]]\n", 400'000)).problems.size(), 50u);
  EXPECT_EQ(read_hostile(head + repeated("[[corner]]\nname = 1\n", 190'000)).problems.size(), 50u);
  EXPECT_FALSE(read_hostile("a = [" + repeated("1,", 1'900'000) + "]").model);
  EXPECT_FALSE(read_hostile("name = \"" + repeated("x", 3'900'000) + "\"").model);
  EXPECT_FALSE(read_hostile("[linkage." + repeated("x", 3'900'000) + "]").model);
  std::string keys, bodies = head + "[linkage.a]\nplane = \"side\"\n[linkage.a.body]\nchassis = { holes = {} }\n",
                    rods = bodies;
  for (int i = 0; i < 250'000; ++i) keys += "key" + std::to_string(i) + " = 1\n";
  for (int i = 0; i < 100'000; ++i) bodies += "b" + std::to_string(i) + " = { holes = {} }\n";
  for (int i = 0; i < 50'000; ++i)
    rods += "[linkage.a.rod.r" + std::to_string(i) + "]\nfrom = \"chasis.a\"\nto = \"b.c\"\n";
  EXPECT_EQ(read_hostile(keys).problems.size(), 50u);
  EXPECT_FALSE(read_hostile(bodies).model);
  EXPECT_EQ(read_hostile(rods).problems.size(), 50u);
}

TEST(Hostile, HugeNumbersAreNotBelieved) {
  for (const char* const number : {"1e7", "-1e300", "9223372036854775807", "-9223372036854775808", "1e308"}) {
    const ReadModel read = read_hostile("format = 1\nname = \"x\"\nmodule_mm = " + std::string(number) + "\n");
    ASSERT_FALSE(read.problems.empty());
    EXPECT_EQ(std::count_if(read.problems.begin(), read.problems.end(),
                            [](const Problem& p) { return p.code == "not-believable"; }),
              1)
        << number;
  }
}

TEST(Hostile, FilesNamedByAModelMayBeAnything) {
  const auto parts = [](std::string_view name) {
    std::string text(small_model);
    const std::string_view named = "[\"parts.toml\"]";
    text.replace(text.find(named), named.size(), "[\"" + std::string(name) + "\"]");
    return only_problem(text);
  };
  EXPECT_EQ(parts("/dev/zero"), "catalogue '/dev/zero' can't be read: it is not a plain file");
  EXPECT_EQ(parts("."), "catalogue '.' can't be read: it is a folder");
  EXPECT_EQ(parts(""), "catalogue '' can't be read: it is a folder");
  EXPECT_EQ(parts("parts.toml/parts.toml"), "catalogue 'parts.toml/parts.toml' can't be read: there is no such file");
  EXPECT_EQ(parts("a\\u0000b"), hidden);
  EXPECT_EQ(parts(repeated("x", 5000)).substr(0, 80), "catalogue '" + repeated("x", 60) + "...' can'");
}

TEST(Hostile, EveryPrefixOfAModelHasASoundAnswer) {
  const std::string text = text_of(source_path("tests/model/good/everything.toml"));
  ASSERT_GT(text.size(), 1000u);
  for (std::size_t length = 0; length < text.size(); length += 13) read_hostile(text.substr(0, length));
}

TEST(Hostile, AModelWithoutAnyOneOfItsLinesHasASoundAnswer) {
  const std::string text = text_of(source_path("tests/model/good/everything.toml"));
  const TextLines lines(text);
  ASSERT_GT(lines.count(), 100);
  for (int left_out = 1; left_out <= lines.count(); ++left_out) {
    std::string rest;
    for (int i = 1; i <= lines.count(); ++i) {
      if (i != left_out) rest += std::string(lines.line(i)) + "\n";
    }
    read_hostile(rest);
  }
}

TEST(Hostile, AModelWithAnyValueExchangedForAnotherHasASoundAnswer) {
  const std::string text = text_of(source_path("tests/model/good/everything.toml"));
  const TextLines lines(text);
  const char* const values[] = {"-1", "0",    "1e6", "nan", "\"\"",      "\"a.b\"", "\"a/b\"",
                                "[]", "[[]]", "[1]", "{}",  "{ a = 1 }", "true",    "1979-05-27"};
  for (int changed = 1; changed <= lines.count(); ++changed) {
    const std::size_t equals = lines.line(changed).find('=');
    if (equals == std::string_view::npos) continue;
    for (const char* const value : values) {
      std::string other;
      for (int i = 1; i <= lines.count(); ++i) {
        other += i == changed ? std::string(lines.line(i).substr(0, equals + 1)) + value : std::string(lines.line(i));
        other += "\n";
      }
      read_hostile(other);
    }
  }
}

TEST(Hostile, AModelWithRandomBytesInItHasASoundAnswer) {
  const std::string text = text_of(source_path("tests/model/good/everything.toml"));
  std::mt19937 random(2);
  const std::string_view letters = "=.,[]{}\"'\n #-0a\xC3\x80";
  for (int i = 0; i < scaled(1000); ++i) {
    std::string other = text;
    for (unsigned slips = 1 + random() % 4; slips > 0; --slips) {
      const std::size_t at = random() % other.size();
      const char letter = letters[random() % letters.size()];
      if (random() % 3 == 0)
        other.erase(at, 1);
      else if (random() % 2 == 0)
        other[at] = letter;
      else
        other.insert(at, 1, letter);
    }
    read_hostile(other);
  }
}

}  // namespace
}  // namespace ridepitch
