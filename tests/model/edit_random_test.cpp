// One model, spelt in every way that TOML has, and random changes of it.

#include <gtest/gtest.h>

#include <cctype>
#include <cstdlib>
#include <random>

#include "model/edit.hpp"
#include "model/model_files.hpp"
#include "model/model_words.hpp"
#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

using Random = std::mt19937;

int below(Random& random, int n) { return std::uniform_int_distribution<int>(0, n - 1)(random); }
bool chance(Random& random, int percent) { return below(random, 100) < percent; }

template <class Item>
const Item& any_of(Random& random, const std::vector<Item>& items) {
  return items[static_cast<std::size_t>(below(random, static_cast<int>(items.size())))];
}

/// A value to be spelt: a number or word as it is, a list, or a table.
struct Said {
  enum Kind { token, text, list, table } kind = token;
  std::string words = {};                               // token, text
  std::vector<Said> elements = {};                      // list
  std::vector<std::pair<std::string, Said>> keys = {};  // table
};

Said word(const std::string& text) { return {Said::text, text}; }
Said numeral(const std::string& token) { return {Said::token, token}; }
Said listed(std::vector<Said> elements) { return {Said::list, {}, std::move(elements)}; }
Said tabled(std::vector<std::pair<std::string, Said>> keys) { return {Said::table, {}, {}, std::move(keys)}; }
Said point(const std::string& u, const std::string& v) { return listed({numeral(u), numeral(v)}); }

/// Writes it at random, with comments and blanks wherever TOML lets them stand.
struct Scribe {
  Random& random;

  std::string blanks() { return std::string(static_cast<std::size_t>(chance(random, 20) ? below(random, 4) : 1), ' '); }
  std::string comment() {
    return any_of<std::string>(random, {"# as it was", "# \"quoted\", [x] = {1, 2}", "#", "# it's 'so'", "# µé 3.5"});
  }
  std::string line_end() { return (chance(random, 25) ? blanks() + comment() : chance(random, 10) ? " " : "") + "\n"; }
  std::string above() {
    std::string lines;
    while (chance(random, 25)) lines += chance(random, 50) ? "\n" : blanks() + comment() + "\n";
    return lines;
  }
  std::string key(const std::string& name) {
    const bool bare = name.find_first_of(" .é") == std::string::npos;
    if (bare && !chance(random, 15)) return name;
    return chance(random, 50) ? '"' + name + '"' : "'" + name + "'";
  }
  std::string dot() { return chance(random, 10) ? " . " : "."; }

  /// Within one line, or over several where lists allow it.
  std::string value(const Said& said, bool one_line) {
    if (said.kind == Said::token) return said.words;
    if (said.kind == Said::text) return chance(random, 30) ? "'" + said.words + "'" : '"' + said.words + '"';
    if (said.kind == Said::table) return braces(said);
    const bool spread = !one_line && chance(random, 30);
    std::string result = "[" + std::string(chance(random, 20) ? " " : "");
    for (std::size_t i = 0; i < said.elements.size(); ++i) {
      if (spread) result += line_end() + (chance(random, 20) ? "  " + comment() + "\n" : "") + "  ";
      result += value(said.elements[i], one_line);
      if (i + 1 < said.elements.size() || (spread && chance(random, 50))) result += chance(random, 15) ? " ," : ",";
      if (i + 1 < said.elements.size()) result += blanks();
    }
    if (spread) result += line_end();
    return result + "]";
  }
  std::string braces(const Said& said) {
    std::string result = "{" + blanks();
    for (std::size_t i = 0; i < said.keys.size(); ++i) {
      result += (i > 0 ? "," + blanks() : "") + statement(said.keys[i].first, said.keys[i].second, true);
    }
    return result + blanks() + "}";
  }
  /// key = value; of a table, in braces or with dotted keys.
  std::string statement(const std::string& name, const Said& said, bool one_line) {
    if (said.kind != Said::table || said.keys.empty() || chance(random, 50)) {
      return key(name) + blanks() + "=" + blanks() + value(said, one_line);
    }
    std::string result;
    for (std::size_t i = 0; i < said.keys.size(); ++i) {
      const auto& [inner, what] = said.keys[i];
      const bool plain = what.kind != Said::table;
      result += i > 0 ? (one_line ? "," + blanks() : line_end() + above() + blanks()) : "";
      result +=
          key(name) + dot() + key(inner) + blanks() + "=" + blanks() + (plain ? value(what, one_line) : braces(what));
    }
    return result;
  }
  bool is_list_of_tables(const Said& said) {
    return said.kind == Said::list && !said.elements.empty() && said.elements[0].kind == Said::table;
  }
  /// The statements of a table, then those of its tables that get headers of their own.
  std::string body(const std::string& header, const Said& said) {
    std::string statements, headed;
    for (const auto& [name, what] : said.keys) {
      const std::string inner = header.empty() ? key(name) : header + dot() + key(name);
      if (what.kind == Said::table && chance(random, 60)) {
        headed += table(inner, what);
      } else if (is_list_of_tables(what) && chance(random, 70)) {
        for (const Said& element : what.elements)
          headed += above() + "[[" + inner + "]]" + line_end() + body(inner, element);
      } else {
        statements += above() + (chance(random, 10) ? "  " : "") + statement(name, what, false) + line_end();
      }
    }
    return statements + headed;
  }
  std::string table(const std::string& header, const Said& said) {
    const std::string inner = body(header, said);
    const std::size_t first = inner.find_first_not_of(" \n");
    const bool may_be_left_out = first != std::string::npos && inner[first] == '[';
    if (may_be_left_out && chance(random, 50)) return inner;
    return above() + "[" + header + "]" + line_end() + inner;
  }
};

Said the_model() {
  const Said law = listed({point("0", "0.5"), point("15", "3.5"), point("30", "7.25")});
  const Said arm = tabled(
      {{"plane", word("side")},
       {"body",
        tabled({{"chassis", tabled({{"holes", tabled({{"arm", point("0", "0")},
                                                      {"rocker", point("2", "6.0")},
                                                      {"seat", point("-4", "+9.50")},
                                                      {"top é", point("-5", "9")}})}})},
                {"arm",
                 tabled({{"holes",
                          tabled({{"root", point("0", "0")}, {"push", point("5", "0")}, {"axle", point("8", "0")}})},
                         {"near", tabled({{"axle", point("8", "0")}})},
                         {"part", word("beam-9")}})},
                {"rocker",
                 tabled({{"holes",
                          tabled({{"root", point("0", "0")}, {"push", point("3", "0")}, {"coil", point("0", "3")}})},
                         {"near", tabled({{"push", point("5", "6")}})}})}})},
       {"pin", listed({tabled({{"join", listed({word("chassis.arm"), word("arm.root")})}}),
                       tabled({{"join", listed({word("chassis.rocker"), word("rocker.root")})}})})},
       {"rod",
        tabled(
            {{"push rod", tabled({{"part", word("rod-6")},
                                  {"from", word("arm.push")},
                                  {"to", word("rocker.push")},
                                  {"length", numeral("6")}})},
             {"own", tabled({{"from", word("arm.push")}, {"length", numeral("8.5")}, {"to", word("rocker.coil")}})}})},
       {"spring", tabled({{"main", tabled({{"part", word("coil-65-firm")},
                                           {"from", word("rocker.coil")},
                                           {"to", word("chassis.seat")},
                                           {"count", numeral("2")}})},
                          {"own", tabled({{"kind", word("coil")},
                                          {"free_mm", numeral("70")},
                                          {"solid_mm", numeral("40.0")},
                                          {"law", law},
                                          {"from", word("arm.push")},
                                          {"to", word("chassis.top é")}})},
                          {"twist", tabled({{"kind", word("torsion")},
                                            {"between", listed({word("chassis"), word("arm")})},
                                            {"rate_n_mm_per_deg", numeral("12")},
                                            {"free_deg", numeral("-90")}})}})},
       {"wheel", tabled({{"hub", tabled({{"at", word("arm.axle")}, {"part", word("tyre-69")}})}})}});
  const auto corner = [](const std::string& name, const std::string& x) {
    return tabled({{"name", word(name)},
                   {"linkage", word("arm")},
                   {"at", listed({numeral(x), numeral("8"), numeral("4")})},
                   {"mirror", numeral("true")}});
  };
  const auto bar = [](const std::string& name, const std::string& end) {
    return tabled({{"name", word(name)},
                   {"ends", listed({word(end + " left/arm"), word(end + " right/rocker")})},
                   {"rate_n_mm_per_deg", numeral("12")}});
  };
  return tabled(
      {{"format", numeral("1")},
       {"name", word("Hauler")},
       {"linkage", tabled({{"arm", arm}})},
       {"mass", listed({tabled({{"name", word("all")},
                                {"grams", numeral("2400")},
                                {"at", listed({numeral("0"), numeral("0"), numeral("5")})}})})},
       {"corner", listed({corner("front left", "10"), corner("rear left", "-10")})},
       {"bar", listed({bar("rear bar", "rear"), bar("front bar", "front")})},
       {"tune",
        tabled(
            {{"corner", word("rear left")},
             {"vary", listed({tabled({{"spring", word("own")}, {"count", listed({numeral("1"), numeral("2")})}}),
                              tabled({{"rod", word("push rod")}, {"length", listed({numeral("5"), numeral("6")})}})})},
             {"need", listed({tabled({{"quantity", word("spring_force_n")},
                                      {"of", word("rear left/own")},
                                      {"least", numeral("1")}})})}})}});
}

Change any_change(Random& random, const Model& model, bool removals) {
  const Linkage& arm = model.linkages[0];
  const double step_mm = model.module_mm / 2;
  switch (below(random, removals ? 7 : 3)) {
    case 0: {
      const int body = below(random, static_cast<int>(arm.bodies.size()));
      const int hole = below(random, static_cast<int>(arm.bodies[static_cast<std::size_t>(body)].holes.size()));
      return MoveHole{0, body, hole, Vec2(below(random, 40) - 20, below(random, 40) - 20) * step_mm};
    }
    case 1:
      return SetLength{0, below(random, 2), (1 + below(random, 30)) * step_mm};
    case 2: {
      const int spring = below(random, static_cast<int>(arm.springs.size()));
      const bool torsion = std::holds_alternative<Torsion>(arm.springs[static_cast<std::size_t>(spring)].data);
      const std::string part =
          torsion ? "" : any_of<std::string>(random, {"", "coil-65-firm", "coil-95-hard", "band-8-plain"});
      return SetSpring{0, spring, part, 1 + below(random, 12)};
    }
    case 3:
      return RemoveSpring{0, below(random, static_cast<int>(arm.springs.size()))};
    case 4:
      return SetPart{0, arm.bodies[1].name == "arm" ? 1 : 2,  // the rocker has no part
                     any_of<std::string>(random, {"beam-9", "beam-11", "beam-4-4", "frame-5-7"})};
    case 5:
      return SetTyre{0, 0, any_of<std::string>(random, {"tyre-69", "tyre-84", "tyre-95-soft"})};
    default:
      return RemoveBar{below(random, static_cast<int>(model.bars.size()))};
  }
}

/// The text with a mark in place of every number that stands by itself, behind one of "=[, ".
std::string without_numbers(const std::string& text) {
  const auto is_digit = [&](std::size_t i) { return i < text.size() && text[i] >= '0' && text[i] <= '9'; };
  const auto is_letter = [&](std::size_t i) {
    return i < text.size() && std::isalpha(static_cast<unsigned char>(text[i]));
  };
  std::string result;
  for (std::size_t i = 0; i < text.size();) {
    std::size_t end = i;
    if (i > 0 && std::string_view("=[, ").find(text[i - 1]) != std::string_view::npos) {
      if (text[end] == '-' || text[end] == '+') ++end;
      const std::size_t digits = end;
      while (is_digit(end)) ++end;
      if (end > digits && text[end] == '.' && is_digit(end + 1)) {
        ++end;
        while (is_digit(end)) ++end;
      }
      if (end == digits || is_letter(end)) end = i;
    }
    if (end > i) {
      result += '#';
      i = end;
    } else {
      result += text[i++];
    }
  }
  return result;
}

struct Spelling {
  std::string text;
  Model model;
};

/// Another spelling each time, the order of tables included.
Spelling spelt(Random& random) {
  Scribe scribe{random};
  Spelling result{scribe.body("", the_model()), {}};
  if (chance(random, 30)) result.text.erase(result.text.find_last_not_of("\n") + 1);
  if (chance(random, 40)) result.text = with_crlf(result.text);
  if (chance(random, 30)) result.text = "\xEF\xBB\xBF" + result.text;
  const ReadModel read = read_model_text(result.text, "spelt.toml");
  EXPECT_TRUE(read.problems.empty()) << read.problems[0].place.line << ": " << read.problems[0].text << "\n"
                                     << result.text;
  result.model = read.model.value_or(Model{});
  return result;
}

template <class Named>
int index_of(const std::vector<Named>& list, const std::string& name) {
  for (std::size_t i = 0; i < list.size(); ++i) {
    if (list[i].name == name) return static_cast<int>(i);
  }
  return -1;
}

TEST(EditRandomly, EverySpellingReadsAsTheChangedModelDoes) {
  Random random(20260801);
  for (int round = 0; round < scaled(300); ++round) {
    const Spelling before = spelt(random);
    ASSERT_FALSE(HasFailure());
    Changes changes;
    for (int n = 1 + below(random, 4); n > 0; --n) changes.push_back(any_change(random, before.model, true));
    const EditedText after = edit_text(before.text, before.model, changes);
    ASSERT_TRUE(after.problems.empty()) << after.problems[0].text << "\n" << before.text;
    const ReadModel read = read_model_text(after.text, "spelt.toml");
    ASSERT_TRUE(read.model) << after.text;
    ASSERT_EQ(words_of(*read.model), words_of(changed(before.model, changes))) << after.text;
  }
}

TEST(EditRandomly, NothingButNumbersDiffersWhereNothingElseChanges) {
  Random random(20260802);
  for (int round = 0; round < scaled(200); ++round) {
    const Spelling before = spelt(random);
    ASSERT_FALSE(HasFailure());
    Changes changes;
    for (int n = 1 + below(random, 4); n > 0; --n) {
      Change change = any_change(random, before.model, false);
      const auto* spring = std::get_if<SetSpring>(&change);
      const auto* rod = std::get_if<SetLength>(&change);
      // Counts that are not written yet, and parts, change more.
      const Linkage& arm = before.model.linkages[0];
      if (spring) change = SetSpring{0, index_of(arm.springs, "main"), "", spring->count};
      if (rod) change = SetLength{0, index_of(arm.rods, "own"), rod->length_mm};
      changes.push_back(change);
    }
    const EditedText after = edit_text(before.text, before.model, changes);
    ASSERT_TRUE(after.problems.empty()) << after.problems[0].text;
    ASSERT_EQ(without_numbers(after.text), without_numbers(before.text));
  }
}

TEST(EditRandomly, ThereAndBackIsTheSameText) {
  Random random(20260803);
  for (int round = 0; round < scaled(100); ++round) {
    const Spelling before = spelt(random);
    ASSERT_FALSE(HasFailure());
    const Linkage& arm = before.model.linkages[0];
    const int main = index_of(arm.springs, "main"), rod = index_of(arm.rods, "push rod");
    const int seat = index_of(arm.bodies[0].holes, "seat");
    const Changes there = {MoveHole{0, chassis, seat, Vec2(3, 5) * 8}, SetLength{0, rod, 40},
                           SetSpring{0, main, "coil-95-hard", 7}};
    const Changes back = {MoveHole{0, chassis, seat, Vec2(-4, 9.5) * 8}, SetLength{0, rod, 48},
                          SetSpring{0, main, "coil-65-firm", 2}};
    const EditedText away = edit_text(before.text, before.model, there);
    ASSERT_TRUE(away.problems.empty()) << away.problems[0].text;
    ASSERT_NE(away.text, before.text);
    const EditedText again =
        edit_text(away.text, read_model_text(away.text, "spelt.toml").model.value_or(Model{}), back);
    ASSERT_TRUE(again.problems.empty()) << again.problems[0].text;
    ASSERT_EQ(again.text, before.text);
  }
}

TEST(EditRandomly, RemovalsOnlyTakeAway) {
  Random random(20260804);
  for (int round = 0; round < scaled(200); ++round) {
    const Spelling before = spelt(random);
    ASSERT_FALSE(HasFailure());
    const EditedText after =
        edit_text(before.text, before.model, {RemoveSpring{0, below(random, 3)}, RemoveBar{below(random, 2)}});
    ASSERT_TRUE(after.problems.empty()) << after.problems[0].text << "\n" << before.text;
    // Letter by letter it is what the old text was, with something left out. A comment that stays gets a line of its own,
    // with the indentation of the old one.
    std::size_t at = 0;
    for (const char c : after.text) {
      if (std::string_view(" \t\n").find(c) != std::string_view::npos) continue;
      at = before.text.find(c, at);
      ASSERT_NE(at, std::string::npos) << after.text;
      ++at;
    }
    ASSERT_LT(after.text.size(), before.text.size());
  }
}

}  // namespace
}  // namespace ridepitch
