// A part put into a catalogue's text: the rest of it stays as it was, to the byte.

#include "fit/part_text.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "model/read_parts.hpp"

namespace ridepitch {
namespace {

using testing::EndsWith;
using testing::HasSubstr;
using testing::StartsWith;

const std::vector<PartKey> coil = {{"kind", "\"coil\""},        {"free_mm", "56"},     {"solid_mm", "40"},
                                   {"rate_n_per_mm", "0.6213"}, {"preload_n", "1.02"}, {"friction_n", "0.31"}};

const std::vector<PartKey> table_coil = {
    {"kind", "\"coil\""}, {"free_mm", "56"}, {"solid_mm", "40"}, {"law", "[[0, 1], [8, 5.1],\n       [16, 12]]"}};

const std::string catalogue =
    "# Mine.\n"
    "\n"
    "[part.wheel]   # of the loader\n"
    "kind = \"tyre\"\n"
    "diameter_mm = 60.50\n"
    "\n"
    "# The long one.\n"
    "[part.long]\n"
    "  kind = \"coil\" # steel\n"
    "free_mm = 70  # by ruler\n"
    "law = [[0, 1.0],   # weak\n"
    "       [10, 4],\n"
    "       [20, 9]]\n"
    "solid_mm = 50\n"
    "# it is red\n"
    "diameter_mm = 14\n"
    "mass_g = 6\n"
    "\n"
    "# The band.\n"
    "[part.band]\n"
    "kind = \"band\"\n"
    "free_mm = 40\n"
    "rate_n_per_mm = 0.2\n";

std::string added(const std::string& text, const std::string& name, const std::vector<PartKey>& keys,
                  bool replace = false) {
  const EditedCatalogue edited = add_part(text, "my.toml", name, keys, replace);
  for (const Problem& problem : edited.problems) ADD_FAILURE() << problem.text;
  return edited.text.value_or("");
}

Problem refused(const std::string& text, const std::string& name, bool replace = false) {
  const EditedCatalogue edited = add_part(text, "my.toml", name, coil, replace);
  EXPECT_FALSE(edited.text);
  EXPECT_FALSE(edited.problems.empty());
  return edited.problems.empty() ? Problem{} : edited.problems.front();
}

Catalogue read_back(const std::string& text) {
  Reading reading;
  reading.sources.push_back({"my.toml", text});
  Catalogue parts;
  read_catalogue(reading, 0, parts);
  for (const Problem& problem : reading.problems) ADD_FAILURE() << problem.text << "\n" << text;
  return parts;
}

const std::string coil_table =
    "[part.mine]\n"
    "kind = \"coil\"\nfree_mm = 56\nsolid_mm = 40\nrate_n_per_mm = 0.6213\npreload_n = 1.02\nfriction_n = 0.31\n";

TEST(AddPart, PutsANewPartAtTheEnd) {
  EXPECT_EQ(added(catalogue, "mine", coil), catalogue + "\n" + coil_table);
  const Catalogue parts = read_back(added(catalogue, "mine", coil));
  EXPECT_EQ(std::get<Coil>(parts.at("mine").data).rate_n_per_mm, 0.6213);
  EXPECT_EQ(parts.size(), 4u);
}

TEST(AddPart, EndsALineThatWasLeftOpenAndKeepsItsLineEnds) {
  EXPECT_EQ(added("[part.b]\nkind = \"beam\"\nlength = 5", "mine", coil),
            "[part.b]\nkind = \"beam\"\nlength = 5\n\n" + coil_table);
  const std::string windows = added("[part.b]\r\nkind = \"beam\"\r\nlength = 5\r\n", "mine", coil);
  EXPECT_THAT(windows,
              StartsWith("[part.b]\r\nkind = \"beam\"\r\nlength = 5\r\n\r\n[part.mine]\r\nkind = \"coil\"\r\n"));
  EXPECT_EQ(std::count(windows.begin(), windows.end(), '\n'), std::count(windows.begin(), windows.end(), '\r'));
}

TEST(AddPart, MakesACatalogueThatIsNotThereYet) { EXPECT_THAT(added("", "mine", coil), EndsWith("\n\n" + coil_table)); }

TEST(AddPart, QuotesANameThatNeedsIt) {
  const Catalogue parts = read_back(added("", "my \"red\" coil", coil));
  EXPECT_EQ(parts.count("my \"red\" coil"), 1u);
}

TEST(AddPart, RefusesANameThatIsTaken) {
  const Problem problem = refused(catalogue, "long");
  EXPECT_EQ(problem.code, "name-taken");
  EXPECT_EQ(problem.place.line, 8);
  EXPECT_EQ(problem.file_name, "my.toml");
  EXPECT_THAT(problem.hint, HasSubstr("--replace"));
}

TEST(AddPart, ReplacesTheValuesInPlaceAndKeepsEverythingElse) {
  EXPECT_EQ(added(catalogue, "long", coil, true),
            "# Mine.\n"
            "\n"
            "[part.wheel]   # of the loader\n"
            "kind = \"tyre\"\n"
            "diameter_mm = 60.50\n"
            "\n"
            "# The long one.\n"
            "[part.long]\n"
            "  kind = \"coil\" # steel\n"
            "free_mm = 56  # by ruler\n"
            "solid_mm = 40\n"
            "rate_n_per_mm = 0.6213\n"
            "preload_n = 1.02\n"
            "friction_n = 0.31\n"
            "# it is red\n"
            "diameter_mm = 14\n"
            "mass_g = 6\n"
            "\n"
            "# The band.\n"
            "[part.band]\n"
            "kind = \"band\"\n"
            "free_mm = 40\n"
            "rate_n_per_mm = 0.2\n");
}

TEST(AddPart, ALawTakesThePlaceOfRateAndPreloadAndTheOtherWayRound) {
  const std::string once = added(catalogue, "long", coil, true), twice = added(once, "long", table_coil, true);
  const auto parts = read_back(twice);
  const Coil& back = std::get<Coil>(parts.at("long").data);
  ASSERT_TRUE(back.law);
  EXPECT_EQ(back.law->size(), 3u);
  EXPECT_EQ(back.friction_n, 0.31) << "what the new readings do not tell stays";
  EXPECT_THAT(twice, testing::Not(HasSubstr("preload_n")));
}

TEST(AddPart, RefusesWhatItCanNotReplaceLineByLine) {
  EXPECT_EQ(refused(catalogue, "wheel", true).code, "wrong-kind");
  EXPECT_EQ(
      refused("[part]\nlong = { kind = \"coil\", free_mm = 9, solid_mm = 5, rate_n_per_mm = 1 }\n", "long", true).code,
      "not-a-table");
  EXPECT_EQ(
      refused("part.long.kind = \"coil\"\npart.long.free_mm = 9\npart.long.solid_mm = 5\npart.long.rate_n_per_mm = 1\n",
              "long", true)
          .code,
      "not-a-table");
}

TEST(AddPart, RefusesATextThatIsNoCatalogue) {
  EXPECT_EQ(
      refused("[part.a]\nkind = \"coil\"\nfree_mm = \"long\"\nsolid_mm = 4\nrate_n_per_mm = 1\n", "mine").place.line,
      3);
  EXPECT_EQ(refused("name = \"Quarry hauler\"\n", "mine").code, "unknown-key");
  EXPECT_EQ(refused("[part.a\n", "mine").place.line, 1);
  EXPECT_NE(refused(catalogue, "").text, "");
}

TEST(PartText, KeepsTwoDigitsOfTheStandardError) {
  EXPECT_EQ(with_its_digits({0.62134, 0.0041}), "0.6213");
  EXPECT_EQ(with_its_digits({0.62134, 0.041}), "0.621");
  EXPECT_EQ(with_its_digits({12.3456, 2.0}), "12.35");    // never fewer than two decimals
  EXPECT_EQ(with_its_digits({0.62, 1e-14}), "0.620000");  // nor more than six
  EXPECT_EQ(with_its_digits({56, std::nullopt}), "56");
}

TEST(PartText, NamesAPartAfterItsFile) {
  EXPECT_EQ(part_name_from("folder/my coil.csv"), "my-coil");
  EXPECT_EQ(part_name_from(".csv"), "-csv");
}

}  // namespace
}  // namespace ridepitch
