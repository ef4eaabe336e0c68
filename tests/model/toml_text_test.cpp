#include "model/toml_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <string>

namespace ridepitch {
namespace {

using testing::ElementsAre;

/// A place as "line:column+width".
std::string spot(const Place& place) {
  return std::to_string(place.line) + ":" + std::to_string(place.column) + "+" + std::to_string(place.width);
}

std::vector<std::string> keys(const TomlTable& table) {
  std::vector<std::string> result;
  for (const TomlEntry& entry : table.entries) result.push_back(entry.key);
  return result;
}

const TomlTable& table(const TomlEntry* entry) { return std::get<TomlTable>(entry->value.data); }

TEST(ParseToml, KeysStandInTheOrderOfTheText) {
  const ParsedToml parsed = parse_toml("zebra = 1\napple = 2\n[mango]\n[banana]\n[mango.b]\n[mango.a]\n", 0);
  EXPECT_THAT(keys(parsed.root), ElementsAre("zebra", "apple", "mango", "banana"));
  EXPECT_THAT(keys(table(parsed.root.find("mango"))), ElementsAre("b", "a"));
}

TEST(ParseToml, KeysAndValuesKnowTheirPlaces) {
  const ParsedToml parsed = parse_toml("  length = 6\nat = [1, 22]\n", 3);
  const TomlEntry* length = parsed.root.find("length");
  EXPECT_EQ(spot(length->place), "1:3+6");
  EXPECT_EQ(length->place.file, 3);
  EXPECT_EQ(spot(length->value.place), "1:12+1");
  EXPECT_EQ(spot(std::get<TomlArray>(parsed.root.find("at")->value.data)[1].place), "2:10+2");
}

// A table is shown at the last name of its header, wherever the parser keeps that name's first mention.
TEST(ParseToml, ATableStandsAtItsNameInItsHeader) {
  const ParsedToml parsed = parse_toml(
      "[linkage.arm.body]\n"  // makes linkage and arm in passing
      "[linkage.arm]\n"       // arm's own header
      "[[ linkage . arm . pin ]]\n"
      "[[linkage.arm.pin]]\n"
      "[part.\"a ] b\".'c']\n"
      "rod = { length = 6 }\n",
      0);
  const TomlEntry* linkage = parsed.root.find("linkage");
  EXPECT_EQ(spot(linkage->value.place), "1:2+7");
  const TomlEntry* arm = table(linkage).find("arm");
  EXPECT_EQ(spot(arm->place), "1:10+3");
  EXPECT_EQ(spot(arm->value.place), "2:10+3");
  EXPECT_EQ(spot(table(arm).find("body")->value.place), "1:14+4");
  const auto& pins = std::get<TomlArray>(table(arm).find("pin")->value.data);
  EXPECT_EQ(spot(pins[0].place), "3:20+3");
  EXPECT_EQ(spot(pins[1].place), "4:15+3");
  const TomlEntry* quoted = table(parsed.root.find("part")).find("a ] b");
  EXPECT_EQ(spot(quoted->value.place), "5:7+7");
  const TomlEntry* c = table(quoted).find("c");
  EXPECT_EQ(spot(c->value.place), "5:15+3");
  EXPECT_EQ(spot(table(c).find("rod")->value.place), "6:1+3");
}

TEST(ParseToml, ADottedKeyMakesTablesAtItsParts) {
  const ParsedToml parsed = parse_toml("a.bb.ccc = 1\n", 0);
  EXPECT_EQ(spot(parsed.root.find("a")->value.place), "1:1+1");
  EXPECT_EQ(spot(table(parsed.root.find("a")).find("bb")->value.place), "1:3+2");
}

TEST(ParseToml, ByteOrderMarkCarriageReturnsAndTabsDoNotShiftColumns) {
  const ParsedToml parsed = parse_toml("\xEF\xBB\xBFname = \"x\"\r\n\tsize = 1\r\n", 0);
  ASSERT_FALSE(parsed.problem);
  EXPECT_EQ(spot(parsed.root.find("name")->place), "1:1+4");
  EXPECT_EQ(spot(parsed.root.find("size")->place), "2:2+4");
}

TEST(ParseToml, EveryKindOfValueArrives) {
  const ParsedToml parsed = parse_toml("a = true\nb = 0x10\nc = 1_000.5\nd = 'x'\ne = 1979-05-27\nf = []\ng = {}\n", 0);
  EXPECT_EQ(std::get<bool>(parsed.root.find("a")->value.data), true);
  EXPECT_EQ(std::get<std::int64_t>(parsed.root.find("b")->value.data), 16);
  EXPECT_EQ(std::get<double>(parsed.root.find("c")->value.data), 1000.5);
  EXPECT_EQ(std::get<std::string>(parsed.root.find("d")->value.data), "x");
  EXPECT_TRUE(std::holds_alternative<TomlDate>(parsed.root.find("e")->value.data));
  EXPECT_TRUE(std::get<TomlArray>(parsed.root.find("f")->value.data).empty());
  EXPECT_TRUE(table(parsed.root.find("g")).entries.empty());
}

TEST(ParseToml, NestingBeyondAnyModelIsRefusedWhicheverWayItIsWritten) {
  const auto repeated = [](std::string_view text, int times) {
    std::string result;
    for (int i = 0; i < times; ++i) result += text;
    return result;
  };
  const auto refusal = [](const std::string& text) {
    const ParsedToml parsed = parse_toml(text, 0);
    return parsed.problem ? parsed.problem->text : "";
  };
  const std::string nested = "this is nested more deeply than any model is";
  const std::string dotted = "there are more dotted names here than any model has";
  EXPECT_EQ(refusal("a = " + repeated("[", 100'000)), nested);
  EXPECT_EQ(refusal("a = " + repeated("{ a = ", 100'000)), nested);
  EXPECT_EQ(refusal("a = " + repeated("[", 40) + repeated("]", 40)), nested);
  EXPECT_EQ(refusal("a" + repeated(".a", 100) + " = 1"), nested);
  EXPECT_EQ(refusal("a" + repeated(".a", 100'000) + " = 1"), dotted);
  EXPECT_EQ(refusal("[a" + repeated(".a", 100'000) + "]"), dotted);
  EXPECT_EQ(refusal("[[a" + repeated(" . a", 100'000) + "]]"), dotted);
  // Just within what the parser is given: it must free some 2500 levels.
  EXPECT_EQ(
      refusal("a" + repeated(".a", 490) + " = " + repeated("{ a.a.a.a.a.a.a.a = ", 250) + "1" + repeated(" }", 250)),
      nested);
  std::string many;
  for (int i = 0; i < 30'000; ++i) many += "x" + std::to_string(i) + ".y = 1\n";
  EXPECT_EQ(refusal(many), dotted);
}

TEST(ParseToml, DotsInCommentsAreNoNames) {
  std::string text;
  for (int i = 0; i < 100; ++i)
    text += "# front \"left\" ..................... 12\nx" + std::to_string(i) + " = 1 # .............\n";
  EXPECT_FALSE(parse_toml(text, 0).problem);
}

}  // namespace
}  // namespace ridepitch
