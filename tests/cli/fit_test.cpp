// `ridepitch fit` as a builder meets it: what it prints, what it writes, how it refuses.

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <sys/stat.h>

#include <algorithm>
#include <chrono>
#include <cstdint>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/character_plot.hpp"
#include "cli/page.hpp"
#include "cli/program.hpp"

namespace ridepitch {
namespace {

using testing::AllOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::Not;
using testing::StartsWith;
using Json = nlohmann::ordered_json;

/// There and back on a coil of 0.5 N/mm, 1 N preload, 0.2 N friction, 50 mm free: 1 + 0.5 (50 - L) +- 0.2 N.
const std::string there_and_back =
    "length_mm,force_N\n50,0\n48,2.2\n46,3.2\n44,4.2\n42,5.2\n40,6.2\n42,4.8\n44,3.8\n46,2.8\n48,1.8\n";

TEST(Fit, SaysTheSpringFirstThenShowsItAndPrintsThePart) {
  const Folder scratch;
  const ProgramRun run = run_program({"fit", scratch.write("loader coil.csv", there_and_back), "--solid-mm", "38"});
  EXPECT_EQ(run.status, 0);
  EXPECT_EQ(run.err, "");
  EXPECT_THAT(run.out, HasSubstr("a coil of 0.500 N/mm (51.0 g/mm), 50.0 mm long when free"));
  EXPECT_THAT(run.out, HasSubstr("[part.loader-coil]\nkind = \"coil\"\nfree_mm = 50\nsolid_mm = 38\n"
                                 "rate_n_per_mm = 0.500000\npreload_n = 1.000000\nfriction_n = 0.200000\n"));
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
  EXPECT_THAT(run_program({"fit", scratch.file("loader coil.csv"), "--terse"}).out, Not(HasSubstr("standard error")));
}

TEST(Fit, JsonHoldsEverythingAndReadsBackToTheSameNumbers) {
  const Folder scratch;
  const ProgramRun run = run_program({"fit", scratch.write("coil.csv", there_and_back), "--solid-mm", "38", "--json"});
  const Json fit = Json::parse(run.out)["fit"];
  EXPECT_NEAR(fit["rate_n_per_mm"]["value"], 0.5, 1e-9);
  EXPECT_NEAR(fit["preload_n"]["value"], 1, 1e-9);
  EXPECT_NEAR(fit["friction_n"]["value"], 0.2, 1e-9);
  EXPECT_EQ(fit["free_mm"]["value"], 50);
  EXPECT_EQ(fit["solid_mm"], 38);
  EXPECT_EQ(fit["kind"], "coil");
  EXPECT_EQ(fit["freedoms"], 6);  // nine readings under load, three values
  EXPECT_EQ(fit["readings"].size(), 10u);
  EXPECT_EQ(fit["readings"][1]["way"], "more");
  EXPECT_EQ(fit["readings"][9]["way"], "less");
  EXPECT_EQ(fit["part"]["name"], "coil");
  EXPECT_TRUE(fit["part"]["added_to"].is_null());
}

TEST(Fit, AddsThePartToACatalogueOnce) {
  const Folder scratch;
  scratch.write("coil.csv", there_and_back);
  const std::string catalogue = scratch.write("parts.toml", "# Mine.\n[part.a]\nkind = \"beam\"\nlength = 5\n");
  const std::vector<std::string> words = {"fit", scratch.file("coil.csv"), "--part", "b", "--add", catalogue};
  EXPECT_EQ(run_program(words).status, 0);
  const std::string once = text_of(catalogue);
  EXPECT_THAT(once, StartsWith("# Mine.\n[part.a]\nkind = \"beam\"\nlength = 5\n\n[part.b]\nkind = \"coil\"\n"));

  const ProgramRun again = run_program(words);
  EXPECT_EQ(again.status, 2);
  EXPECT_THAT(again.err, AllOf(HasSubstr("parts.toml:6:7: error: the catalogue already has a part 'b'"),
                               HasSubstr("[part.b]"), HasSubstr("--replace")));
  EXPECT_EQ(again.out, "");
  EXPECT_EQ(text_of(catalogue), once);

  std::vector<std::string> replacing = words;
  replacing.insert(replacing.end(), {"--replace", "--free-mm", "49"});
  EXPECT_EQ(run_program(replacing).status, 0);
  EXPECT_THAT(text_of(catalogue), HasSubstr("free_mm = 49\n"));
  EXPECT_THAT(scratch.names(), ElementsAre("coil.csv", "parts.toml"));  // no temporary is left
}

TEST(Fit, AModelFindsTheAddedPart) {
  const Folder scratch;
  scratch.write("coil.csv", there_and_back);
  run_program(
      {"fit", scratch.file("coil.csv"), "--part", "mine", "--solid-mm", "30", "--add", scratch.file("parts.toml")});
  std::string model = text_of(hauler);
  const std::string parts = "parts = [\"parts.toml\"]";
  model.replace(model.find(parts), parts.size(),
                fmt::format("parts = [\"{}/tests/models/parts.toml\", \"parts.toml\"]", RIDEPITCH_SOURCE_DIR));
  model.replace(model.find("coil-7-firm"), std::string("coil-7-firm").size(), "mine");
  const ProgramRun check = run_program({"check", scratch.write("hauler.toml", model)});
  EXPECT_EQ(check.status, 0) << check.err;
}

TEST(Fit, NothingIsWrittenAfterAnError) {
  const Folder scratch;
  const std::string table = scratch.write("coil.csv", "length_mm,grams\n50,100\n50,120\n");
  EXPECT_EQ(run_program({"fit", table, "--add", scratch.file("parts.toml")}).status, 2);
  EXPECT_EQ(run_program({"fit", scratch.write("good.csv", there_and_back), "--add", scratch.path.string()}).status, 2);
  const std::string broken = scratch.write("broken.toml", "[part.a\n");
  EXPECT_EQ(run_program({"fit", scratch.file("good.csv"), "--add", broken}).status, 2);
  EXPECT_EQ(text_of(broken), "[part.a\n");
  EXPECT_THAT(scratch.names(), ElementsAre("broken.toml", "coil.csv", "good.csv"));
}

TEST(Fit, AWrongLineIsShownWithItsPlaceAndAWayOut) {
  const Folder scratch;
  scratch.write("coil.csv", "length_mm,grams\n54,262\n52,3o0\n");
  const ProgramRun run = run_program({"fit", "coil.csv"}, {.folder = scratch.path.string()});
  EXPECT_EQ(run.status, 2);
  EXPECT_EQ(run.err,
            "coil.csv:3:4: error: the scale reading is '3o0': 'o0' stands behind the number\n"
            "    3 | 52,3o0\n"
            "      |    ^^^\n"
            "   fix: units stand in the header only, as in length_mm,grams; a remark stands behind a '#'\n");
  const ProgramRun json = run_program({"fit", "coil.csv", "--json"}, {.folder = scratch.path.string()});
  EXPECT_EQ(json.status, 2);
  const Json error = Json::parse(json.out)["errors"][0];
  EXPECT_EQ(error["file"], "coil.csv");
  EXPECT_EQ(error["line"], 3);
  EXPECT_EQ(error["column"], 4);
}

TEST(Fit, UsageErrorsSayWhatToDo) {
  const Folder scratch;
  const std::string table = scratch.write("coil.csv", there_and_back);
  const auto refused = [](const std::vector<std::string>& words, const std::string& hint) {
    const ProgramRun run = run_program(words);
    EXPECT_EQ(run.status, 2) << run.err;
    EXPECT_THAT(run.err, HasSubstr(hint));
    EXPECT_EQ(run.out, "");
  };
  refused({"fit"}, "ridepitch fit FILE.csv");
  refused({"fit", table, table}, "one by one");
  refused({"fit", "nowhere.csv"}, "name a table of readings");
  refused({"fit", table, "--unknown", "rate"}, "add --model MODEL.toml");
  refused({"fit", table, "--spring", "main"}, "add --model MODEL.toml");
  refused({"fit", table, "--replace"}, "add --add CATALOGUE.toml");
  refused({"fit", table, "--model", hauler, "--law"}, "leave it out");
  refused({"fit", table, "--model", hauler, "--unknown", "force"}, "use rate, preload or free");
  refused({"fit", table, "--free-mm", "-4"}, "above 0");
  refused({"fit", table, "--free-mm", "0"}, "above 0");
  refused({"fit", table, "--free-mm", "1000.5"}, "at most 1000");
  refused({"fit", table, "--solid-mm", "1e4"}, "at most 1000");
  refused({"fit", table, "--solid-mm", "nan"}, "--solid-mm");
  refused({"fit", table, "--free-mm", "long"}, "'ridepitch fit --help'");
  refused({"fit", table, "--frea-mm", "5"}, "did you mean '--free-mm'?");
  refused({"fit", table, "--model", "nowhere.toml"}, "nowhere.toml");
}

TEST(Fit, ReadingsThatTellNothingAreAVerdictInOneSentenceWithoutNumbersOfASpring) {
  const Folder scratch;
  const std::string catalogue = scratch.file("parts.toml");
  const auto says_nothing = [&](const std::vector<std::string>& words, const std::string& code) {
    std::vector<std::string> all = words;
    all.insert(all.end(), {"--add", catalogue});
    const ProgramRun run = run_program(all);
    EXPECT_EQ(run.status, 1) << run.err;
    EXPECT_EQ(run.out, "");
    EXPECT_THAT(run.err, HasSubstr("fix: "));
    EXPECT_FALSE(std::filesystem::exists(catalogue));
    all.emplace_back("--json");
    const ProgramRun json = run_program(all);
    EXPECT_EQ(json.status, 1);
    EXPECT_EQ(Json::parse(json.out)["errors"][0]["code"], code);
  };
  says_nothing({"fit", scratch.write("level.csv", "length_mm,grams\n50,300\n48,300\n46,300\n")}, "no-trend");
  says_nothing({"fit", scratch.write("noise.csv", "length_mm,grams\n50,300\n48,900\n46,200\n44,800\n")}, "no-trend");
  std::string band = "length_mm,grams\n";
  for (int i = 1; i <= 9; ++i) band += fmt::format("{},{}\n", 40 + 5 * i, 1000 + i);
  says_nothing({"fit", scratch.write("band.csv", band), "--free-mm", "40"}, "explains-nothing");
  says_nothing({"fit", scratch.write("heights.csv", "extra_g,rear left_mm\n0,39\n0,39.2\n"), "--model", hauler},
               "not-told");
}

TEST(Fit, FilesThatAreNoTableAreRefusedInTime) {
  const Folder scratch;
  const auto refused = [](const std::string& path) {
    const auto start = std::chrono::steady_clock::now();
    const ProgramRun run = run_program({"fit", path});
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    EXPECT_EQ(run.status, 2) << path << ": " << run.err;
    EXPECT_EQ(run.out, "") << path;
    EXPECT_THAT(run.err, HasSubstr("fix: ")) << path;
    EXPECT_LT(run.err.size(), 20000u) << path;
    EXPECT_LT(took.count(), 10) << path;  // seconds: the bound that every command has
  };
  std::string random(100000, ' ');
  std::uint32_t state = 1;
  for (char& c : random) c = static_cast<char>((state = state * 1664525 + 1013904223) >> 24);
  refused(scratch.write("empty.csv", ""));
  refused(scratch.write("blank.csv", std::string(1000, '\n')));
  refused(scratch.write("random.csv", random));
  refused(scratch.write("zeros.csv", std::string(100000, '\0')));
  refused(scratch.write("huge.csv", "length_mm,grams\n" + std::string(5'000'000, '7')));
  refused(scratch.write("wide.csv", "length_mm" + std::string(3'900'000, ',') + "grams\n50,3\n"));
  std::string long_table = "length_mm,grams\n";
  while (long_table.size() < 3'900'000) long_table += "50,300\n";
  refused(scratch.write("long.csv", long_table));
  std::string wrong = "length_mm,grams\n";
  while (wrong.size() < 3'900'000) wrong += "x,y\n";
  refused(scratch.write("wrong.csv", wrong));
  std::string ragged = "length_mm,grams\n";
  while (ragged.size() < 3'900'000) ragged += "1,2,3\n";
  refused(scratch.write("ragged.csv", ragged));
  refused("/dev/null");
  refused("/dev/zero");
  refused(scratch.path.string());
  const std::string pipe = scratch.file("pipe");
  ASSERT_EQ(mkfifo(pipe.c_str(), 0600), 0);
  refused(pipe);  // nobody writes to it
}

TEST(Fit, NeverPutsItsCatalogueInThePlaceOfWhatItReads) {
  const Folder scratch;
  const std::string table = scratch.write("coil.csv", there_and_back), link = scratch.file("link.toml");
  const std::string heights = scratch.write("heights.csv", "extra_g,front left_mm,rear left_mm\n0,37,39\n800,33,35\n");
  std::filesystem::create_symlink(table, link);
  std::filesystem::create_hard_link(table, scratch.file("hard.toml"));
  scratch.write("parts.toml", text_of(RIDEPITCH_SOURCE_DIR "/tests/models/parts.toml"));
  const std::string model = scratch.write("hauler.toml", text_of(hauler));
  const std::string model_link = scratch.file("model-link.toml");
  std::filesystem::create_symlink(model, model_link);
  const auto refused = [](const std::vector<std::string>& words, const std::string& input) {
    const std::string before = text_of(input);
    const ProgramRun run = run_program(words);
    EXPECT_EQ(run.status, 2) << run.out;
    EXPECT_EQ(run.out, "");
    EXPECT_THAT(run.err, HasSubstr("fix: "));
    EXPECT_EQ(text_of(input), before);
  };
  for (const std::string& output : {table, link, scratch.file("hard.toml"), scratch.file("./coil.csv")})
    refused({"fit", table, "--add", output}, table);
  for (const std::string& output : {model, model_link, heights})
    refused({"fit", heights, "--model", model, "--add", output}, output);
}

TEST(Fit, FindsASpringFromTheHeightsOfAModel) {
  const Folder scratch;
  const std::string heights =
      scratch.write("heights.csv", "extra_g,front left_mm,rear left_mm\n0,37.4,39.0\n400,35.3,37.2\n800,33.1,35.3\n");
  const ProgramRun run = run_program({"fit", heights, "--model", hauler});
  EXPECT_EQ(run.status, 0) << run.err;
  EXPECT_THAT(run.out, AllOf(StartsWith("Quarry hauler: spring arm/main (coil-7-firm) explains the heights best with"),
                             HasSubstr("taken that the extra weight is put at the centre of gravity"),
                             HasSubstr("[part.coil-7-firm]\nkind = \"coil\"\nfree_mm = 56\n")));
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
  const Json fit = Json::parse(run_program({"fit", heights, "--model", hauler, "--json"}).out)["fit"];
  EXPECT_EQ(fit["spring_part"], "coil-7-firm");
  EXPECT_EQ(fit["heights"].size(), 6u);
  // The heights are those of the model as it is, to a tenth of a millimetre: 0.62 N/mm, within what that tenth makes.
  EXPECT_NEAR(fit["found"]["rate_n_per_mm"]["value"], 0.62, 0.03);
  EXPECT_LT(fit["deviation_mm"], 0.1);
}

// ------------------------------------------------------------------------------------ the plot

TEST(CharacterPlot, PutsPointsWhereTheAxesSayTheyAre) {
  Plot plot{"Force", "mm", "g", {{'o', "read", {{0, 0}, {10, 100}}}}, {{0, 0}, {10, 100}}, "fitted"};
  const std::vector<std::string> lines = lines_of(plot_text(plot, Ink{}));
  const auto in_plot = [](const std::string& line) {
    return line.find('o') != std::string::npos && line.find_first_of("|+") < line.find('o');
  };
  const auto first = std::find_if(lines.begin(), lines.end(), in_plot);
  ASSERT_NE(first, lines.end());
  const auto last = std::find_if(std::next(first), lines.end(), in_plot);
  ASSERT_NE(last, lines.end());
  EXPECT_THAT(*last, StartsWith("    0 +"));     // (0, 0) stands in the row marked 0
  EXPECT_GT(first->find('o'), last->find('o'));  // the greater x to the right, the greater y above
  EXPECT_EQ(lines.back(), "  o read   . fitted");
  for (const std::string& line : lines) EXPECT_LE(width_of(line), page_width);
}

TEST(CharacterPlot, PointsAtTheEdgeDoNotSquashTheOthers) {
  Plot plot{"Force", "mm", "g", {{'o', "read", {{0, 0}, {10, 100}}}, {'s', "solid", {{12, 9000}}, true}}, {}, ""};
  const std::vector<std::string> lines = lines_of(plot_text(plot, Ink{}));
  EXPECT_THAT(lines[2], HasSubstr("s"));  // under title and unit, the top row
  EXPECT_THAT(plot_text(plot, Ink{}), Not(HasSubstr("9000")));
}

TEST(CharacterPlot, OfNothingIsNothingAndOfOnePointIsAPlot) {
  EXPECT_EQ(plot_text({"Force", "mm", "g", {{'o', "read", {}}}, {}, ""}, Ink{}), "");
  EXPECT_THAT(plot_text({"Force", "mm", "g", {{'o', "read", {{5, 5}}}}, {}, ""}, Ink{}), HasSubstr("o"));
}

TEST(CharacterPlot, StepsAreRound) {
  EXPECT_NEAR(round_step(10, 5), 2, 1e-12);
  EXPECT_NEAR(round_step(1100, 6), 200, 1e-9);
  EXPECT_NEAR(round_step(0.07, 8), 0.01, 1e-12);
  EXPECT_NEAR(round_step(9.9, 1), 10, 1e-12);
}

}  // namespace
}  // namespace ridepitch
