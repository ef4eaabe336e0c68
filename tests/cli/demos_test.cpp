#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <set>

#include "cli/program.hpp"
#include "rigs/models.hpp"
#include "stack/made_of.hpp"

// What models/ shows: machines with nothing against them, built of parts that exist, and one that is bad on purpose. What a finding
// is says docs/findings.md; which the bad one shows, its own comments.

namespace ridepitch {
namespace {

using testing::IsSupersetOf;
using Json = nlohmann::ordered_json;

std::vector<std::string> shown_demos() {
  std::set<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(source_path("models")))
    if (entry.path().extension() == ".toml" && entry.path().stem() != "parts")
      names.insert(entry.path().stem().string());
  return {names.begin(), names.end()};
}

Json findings_of(const std::string& file) {
  const ProgramRun run = run_program({"solve", "--json", source_path(file)});
  EXPECT_EQ(run.status, 0) << run.err;
  return Json::parse(run.out)["findings"];
}

class ShownDemo : public testing::TestWithParam<std::string> {};

TEST_P(ShownDemo, HasNothingAgainstItSteeringIncluded) {
  EXPECT_EQ(findings_of("models/" + GetParam() + ".toml"), Json::array());
}

TEST_P(ShownDemo, IsBuiltOfPartsThatExist) {
  const Model model = shown_demo(GetParam());
  for (const Linkage& linkage : model.linkages)
    for (std::size_t b = 1; b < linkage.bodies.size(); ++b)
      EXPECT_FALSE(made_of(model.catalogue, model.module_mm, linkage.bodies[b]).free())
          << linkage.name << " " << linkage.bodies[b].name;
}

TEST_P(ShownDemo, HasItsWheelsBesideTheirArms) {
  const Model model = shown_demo(GetParam());
  for (const Linkage& linkage : model.linkages)
    for (const Wheel& wheel : linkage.wheels)
      EXPECT_TRUE(linkage.plane != Plane::side || wheel.out_mm != 0) << linkage.name << " " << wheel.name;
}

INSTANTIATE_TEST_SUITE_P(Models, ShownDemo, testing::ValuesIn(shown_demos()), [](const auto& each) {
  std::string name = each.param;
  std::replace(name.begin(), name.end(), '-', '_');
  return name;
});

TEST(BadExample, ShowsWhatItsCommentsSay) {
  std::set<std::string> codes;
  for (const Json& finding : findings_of("models/bad-example/crooked-hoist.toml")) codes.insert(finding["code"]);
  EXPECT_THAT(codes, IsSupersetOf({"bottomed",
                                   "does-not-stack",
                                   "frequency-ratio",
                                   "grounded",
                                   "grounds-before-bump",
                                   "inertia-guess",
                                   "joint-binds",
                                   "left-right-load",
                                   "lifted",
                                   "low-coil-margin",
                                   "low-droop",
                                   "measured-differs",
                                   "no-room",
                                   "no-such-hole",
                                   "not-turned",
                                   "parts-touch",
                                   "pin-load",
                                   "points-aside",
                                   "redundant",
                                   "steers-in-bump",
                                   "stroke-not-followed",
                                   "tie-rod-binds",
                                   "topped",
                                   "turns-opposite",
                                   "tyres-touch",
                                   "unequal-lock"}));
}

}  // namespace
}  // namespace ridepitch
