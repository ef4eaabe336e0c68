// Nothing that a file can hold may crash the reader, hang it, or make it allocate without bound.

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <tuple>

#include "model/model_files.hpp"
#include "model/text_file.hpp"
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

TEST(Hostile, ANulByteIsASyntaxError) {
  EXPECT_EQ(only_problem(std::string("name = \"a\0b\"\n", 13)),
            "a text in quotes does not end here, or holds a control character");
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
  EXPECT_EQ(parts("a\\u0000b"),
            "catalogue 'a\xEF\xBF\xBD"
            "b' can't be read: there is no such file");
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
