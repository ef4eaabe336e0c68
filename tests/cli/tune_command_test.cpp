#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <nlohmann/json.hpp>

#include "cli/page.hpp"
#include "cli/program.hpp"

// `ridepitch tune` as a whole: what it promises is what `solve` says of the file that it writes.

namespace ridepitch {
namespace {

using testing::AllOf;
using testing::HasSubstr;

using Json = nlohmann::ordered_json;

const std::string ore_hauler = RIDEPITCH_SOURCE_DIR "/models/ore-hauler.toml";

/// What may vary at the rear, spread out and commented as a builder would.
const std::string rear = R"(
[tune]   # a softer rear
corner = "rear left"

[[tune.vary]]
hole = "chassis.seat"
u = [-5, -3]
v = [8, 10]
step = 1

[[tune.vary]]
rod   = "pushrod"
length = [5, 6, 7]

[[tune.vary]]
spring = "main"
part = ["coil-65-medium", "coil-65-firm"]
count = [1, 2]
)";

const std::string wanted = R"(
[[tune.want]]
quantity = "ride_height_mm"
of = "rear left"
tolerance = 1
[[tune.want]]
quantity = "wheel_rate_n_per_mm"
of = "rear left/hub"
value = 0.4
tolerance = 0.02
[[tune.need]]
quantity = "bump_travel_mm"
of = "rear left/hub"
least = 8
)";

std::string with(const std::string& tune) { return text_of(ore_hauler) + tune; }

Json json_of(const ProgramRun& run, int status) {
  EXPECT_EQ(run.status, status) << run.out << run.err;
  return Json::parse(run.out);
}

const Json& corner(const Json& solved, const std::string& name) {
  for (const Json& each : solved["corners"])
    if (each["name"] == name) return each;
  throw std::runtime_error(name);
}

TEST(Tune, LooksAtEveryCandidateOfASmallSpaceAndSaysSo) {
  const Folder scratch;
  const Json tuned = json_of(run_program({"tune", scratch.write("ore.toml", with(rear + wanted)), "--json"}), 0);
  EXPECT_EQ(tuned["candidates"], 9 * 3 * 4);
  EXPECT_EQ(tuned["looked_at"], 9 * 3 * 4);
  EXPECT_EQ(tuned["exhaustive"], true);
  EXPECT_EQ(tuned["complete"], true);
  EXPECT_LE(tuned["passing"], tuned["assembled"]);
  ASSERT_FALSE(tuned["results"].empty());
  bool in_doubt = false;
  for (const Json& result : tuned["results"]) {
    const Json& q = result["quantities"];
    EXPECT_GE(q["bump_travel_mm"], 8.0) << "a need";
    const Json& found = result["new_findings"];
    EXPECT_TRUE(std::none_of(found.begin(), found.end(), [](const Json& each) { return each["level"] == "problem"; }));
    EXPECT_LE(in_doubt, !found.empty()) << "what brings a new warning comes last";
    in_doubt = !found.empty();
  }
}

TEST(Tune, ScoresByTheSquaresOfMissesInTolerances) {
  const Folder scratch;
  const std::string path = scratch.write("ore.toml", with(rear + wanted));
  const Json tuned = json_of(run_program({"tune", path, "--json"}), 0);
  const double height = corner(json_of(run_program({"solve", path, "--json"}), 0), "rear left")["ride_height_mm"];
  for (const Json& result : tuned["results"]) {
    const Json& q = result["quantities"];
    const double off = q["ride_height_mm"].get<double>() - height,
                 rate = (q["wheel_rate_n_per_mm"].get<double>() - 0.4) / 0.02;
    EXPECT_NEAR(result["score"], off * off + rate * rate,
                1e-9 * (1 + off * off + rate * rate));  // docs/model-format.md
  }
}

TEST(Tune, WhatItWritesSolvesToWhatItPromised) {
  const Folder scratch;
  const std::string path = scratch.write("ore.toml", with(rear + wanted)), copy = scratch.file("copy.toml");
  const Json tuned = json_of(run_program({"tune", path, "--pick", "2", "--write", copy, "--json"}), 0);
  EXPECT_EQ(tuned["written"], copy);
  const Json& promised = tuned["results"][1]["quantities"];
  const Json solved = json_of(run_program({"solve", copy, "--json"}), 0);
  const Json& is = corner(solved, "rear left");
  const auto expect_same = [](const Json& a, const Json& b) {
    EXPECT_NEAR(a.get<double>(), b.get<double>(), 1e-9 * std::max(1.0, std::abs(b.get<double>())));
  };
  expect_same(is["ride_height_mm"], promised["ride_height_mm"]);
  expect_same(is["wheels"][0]["wheel_rate_n_per_mm"], promised["wheel_rate_n_per_mm"]);
  expect_same(is["wheels"][0]["bump_travel_mm"], promised["bump_travel_mm"]);
}

TEST(Tune, AsksForNumbersThatOnlyTheGeneralSolverHas) {
  const Folder scratch;
  const std::string few = R"(
[tune]
corner = "rear left"
[[tune.vary]]
rod = "pushrod"
length = [6, 7]
)";
  const std::string asked = R"([[tune.want]]
quantity = "bounce_frequency_hz"
tolerance = 0.1
[[tune.want]]
quantity = "total_mass_kg"
tolerance = 0.001
[[tune.need]]
quantity = "load_n"
of = "rear left/hub"
least = 1
[[tune.need]]
quantity = "ground_load_n"
of = "rear left/hub"
least = 1
[[tune.need]]
quantity = "bump_total_mm"
of = "rear left/hub"
least = 1
[[tune.need]]
quantity = "travel_mm"
of = "rear left/hub"
least = 1
)";
  const std::string path = scratch.write("ore.toml", with(few + asked)), copy = scratch.file("copy.toml");
  const Json tuned = json_of(run_program({"tune", path, "--write", copy, "--json"}), 0);
  const Json& promised = tuned["results"][0]["quantities"];
  const Json solved = json_of(run_program({"solve", copy, "--json"}), 0);
  const Json& wheel = corner(solved, "rear left")["wheels"][0];
  for (const char* name : {"load_n", "ground_load_n", "bump_total_mm", "travel_mm"})
    EXPECT_NEAR(promised[name], wheel[name].get<double>(), 1e-9 * std::max(1.0, wheel[name].get<double>())) << name;
  EXPECT_NEAR(promised["total_mass_kg"], solved["vehicle"]["total_mass_kg"].get<double>(), 1e-9);
  EXPECT_NEAR(promised["bounce_frequency_hz"], solved["vehicle"]["modes"][0]["frequency_hz"].get<double>(), 1e-9);
}

TEST(Tune, TheCopyDiffersInChangedValuesOnly) {
  const Folder scratch;
  std::string text = with(rear + wanted);
  for (std::size_t at = 0; (at = text.find('\n', at)) != std::string::npos; at += 2) text.replace(at, 1, "\r\n");
  const std::string path = scratch.write("ore.toml", text), copy = scratch.file("copy.toml");
  const Json tuned = json_of(run_program({"tune", path, "--write", copy, "--json"}), 0);
  const std::vector<std::string> before = lines_of(text), after = lines_of(text_of(copy));
  ASSERT_EQ(before.size(), after.size());
  std::size_t differ = 0;
  for (std::size_t i = 0; i < before.size(); ++i) differ += before[i] != after[i];
  const std::size_t changes = tuned["results"][0]["changes"].size();
  EXPECT_GT(changes, 0u);
  EXPECT_GE(differ, changes);
  EXPECT_LE(differ, 2 * changes) << "a spring's part and count are two lines, a rod's part and length too";
}

TEST(Tune, WithoutWantsTheModelAsItStandsIsTheBest) {
  const Folder scratch;
  const Json tuned = json_of(run_program({"tune", scratch.write("ore.toml", with(rear)), "--json"}), 0);
  const Json& best = tuned["results"][0];
  EXPECT_EQ(best["score"], 0.0);
  EXPECT_EQ(best["changes"], Json::object());
  EXPECT_EQ(best["unbeaten"], true);
}

TEST(Tune, TheWorstOfSeveralWheelsStandsUnderTheQuantitysName) {
  const Folder scratch;
  const std::string both = R"(
[[tune.want]]
quantity = "wheel_rate_n_per_mm"
value = 0.4
tolerance = 0.02
)";
  const Json tuned = json_of(run_program({"tune", scratch.write("ore.toml", with(rear + both)), "--json"}), 0);
  const Json& q = tuned["results"][0]["quantities"];
  const double left = q["wheel_rate_n_per_mm of rear left/hub"], right = q["wheel_rate_n_per_mm of rear right/hub"];
  EXPECT_EQ(q["wheel_rate_n_per_mm"], std::abs(left - 0.4) >= std::abs(right - 0.4) ? left : right);
}

TEST(Tune, ThatNothingPassesIsAVerdict) {
  const Folder scratch;
  const std::string path =
      scratch.write("ore.toml", with(rear + "[[tune.need]]\nquantity = \"bump_travel_mm\"\nleast = 200\n"));
  const std::string copy = scratch.file("copy.toml");
  const ProgramRun run = run_program({"tune", path, "--write", copy});
  EXPECT_EQ(run.status, 1);
  EXPECT_THAT(run.out,
              AllOf(HasSubstr("None of all 108 layouts has what is wanted"), HasSubstr("bump travel at least 200 mm")));
  EXPECT_THAT(scratch.names(), testing::ElementsAre("ore.toml"));
}

TEST(Tune, PlainOutputFitsThePage) {
  const Folder scratch;
  const ProgramRun run = run_program({"tune", scratch.write("ore.toml", with(rear + wanted)), "--top", "3"});
  EXPECT_THAT(run.out, HasSubstr("all 108 layouts were looked at"));
  for (const std::string& line : lines_of(run.out)) EXPECT_LE(width_of(line), page_width) << line;
}

TEST(Tune, AResultThatIsNotThereIsRefused) {
  const Folder scratch;
  const std::string copy = scratch.file("copy.toml");
  const ProgramRun run =
      run_program({"tune", scratch.write("ore.toml", with(rear + wanted)), "--pick", "5000", "--write", copy});
  EXPECT_EQ(run.status, 2);
  EXPECT_THAT(run.err, HasSubstr("there is no result 5000"));
  EXPECT_THAT(scratch.names(), testing::ElementsAre("ore.toml"));
}

TEST(Tune, AModelThatSaysNothingOfWhatMayVaryIsRefused) {
  const ProgramRun run = run_program({"tune", ore_hauler});
  EXPECT_EQ(run.status, 2);
  EXPECT_THAT(run.err, AllOf(HasSubstr("does not say what may vary"), HasSubstr("[[tune.vary]]")));
}

/// "problem snap-through rear left" of each finding of a list.
std::vector<std::string> problems_of(const Json& findings) {
  std::vector<std::string> all;
  for (const Json& each : findings)
    if (each["level"] == "problem") all.push_back(each["code"].get<std::string>() + " " + each["where"].dump());
  return all;
}

// The best by score alone falls through a range that holds less: `solve` says that it does not work.
TEST(Tune, WhatComesFirstHasNoProblemThatTheStartHasNot) {
  const Folder scratch;
  const std::string start = RIDEPITCH_SOURCE_DIR "/tests/cli/models/tune-snap.toml", copy = scratch.file("copy.toml");
  const std::vector<std::string> had =
      problems_of(Json::parse(run_program({"solve", start, "--json"}).out)["findings"]);
  const Json tuned = json_of(run_program({"tune", start, "--json", "--write", copy}), 0);
  ASSERT_FALSE(tuned["results"].empty());
  for (const Json& result : tuned["results"]) EXPECT_THAT(problems_of(result["new_findings"]), testing::IsEmpty());
  for (const std::string& each : problems_of(Json::parse(run_program({"solve", copy, "--json"}).out)["findings"]))
    EXPECT_THAT(had, testing::Contains(each));
}

/// Near three million choices.
std::string wide_space() {
  std::string wide = rear;
  for (const char* hole : {"chassis.rocker", "rocker.coil", "rocker.push"})
    wide += std::string("[[tune.vary]]\nhole = \"") + hole + "\"\nu = [0, 4]\nv = [0, 8]\nstep = 0.25\n";
  return wide;
}

TEST(Tune, SaysOfALargeSpaceThatNothingIsThereOnceAllWasLookedAt) {
  const Folder scratch;
  const std::string path =
      scratch.write("ore.toml", with(wide_space() + "[[tune.need]]\nquantity = \"bump_travel_mm\"\nleast = 200\n"));
  const ProgramRun run = run_program({"tune", path});
  EXPECT_EQ(run.status, 1);
  EXPECT_THAT(run.out, HasSubstr("None of all"));
}

// Where no height is wanted nothing is proved, and there is no time for all.
TEST(Tune, ThatNothingWasFoundInASampleIsNotThatThereIsNone) {
  const Folder scratch;
  const std::string path = scratch.write("ore.toml", with(wide_space() + R"([[tune.want]]
quantity = "wheel_rate_n_per_mm"
value = 0.4
[[tune.need]]
quantity = "bump_travel_mm"
least = 200
)"));
  const ProgramRun run = run_program({"tune", path, "--limit", "1"});
  EXPECT_EQ(run.status, 1);
  EXPECT_THAT(run.out, AllOf(HasSubstr("Nothing that has what is wanted was found"), HasSubstr("a sample")));
  EXPECT_THAT(run.out, testing::Not(HasSubstr("None of all")));
}

TEST(Tune, CtrlCGivesTheBestSoFarAndSaysThatItIsIncomplete) {
  const Folder scratch;
  std::string wide = rear;
  wide += "[[tune.vary]]\nhole = \"chassis.rocker\"\nu = [0, 4]\nv = [4, 8]\nstep = 0.25\n";
  wide += "[[tune.vary]]\nhole = \"rocker.coil\"\nu = [-2, 2]\nv = [1, 5]\nstep = 0.25\n";
  wide += "[[tune.vary]]\nhole = \"rocker.push\"\nu = [1, 5]\nv = [-2, 2]\nstep = 0.25\n";
  const std::string height = "[[tune.want]]\nquantity = \"ride_height_mm\"\ntolerance = 1\n";
  const std::string path = scratch.write("ore.toml", with(wide + height)), out = scratch.file("out.json");
  // coreutils' timeout sends the signal that Ctrl-C sends, and hands on the status.
  const std::string command = std::string("timeout --foreground --preserve-status --signal=INT 1 ") +
                              RIDEPITCH_PROGRAM + " tune " + path + " --limit 100 --json >" + out;
  const int status = std::system(command.c_str());  // NOLINT(cert-env33-c): a test's own command
  ASSERT_TRUE(WIFEXITED(status));
  EXPECT_EQ(WEXITSTATUS(status), 0);
  const Json tuned = Json::parse(text_of(out));
  EXPECT_EQ(tuned["complete"], false);
  EXPECT_FALSE(tuned["results"].empty());
}

}  // namespace
}  // namespace ridepitch
