// The table of quantities (words/quantity.hpp) and what follows from it: a new one is a row, a reader and a word.

#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "cli/json_text.hpp"
#include "cli/program.hpp"
#include "ride/solve.hpp"
#include "rigs/models.hpp"
#include "steer/quantity_readers.hpp"
#include "swap/keep.hpp"
#include "tune/aims.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

using QuantityJson = nlohmann::ordered_json;

/// A vehicle with coils, a clearance point and a steered axle.
const char* const with_everything = "bark-dumper";

template <class Reader>
std::size_t readers_of(const std::vector<Reader>& readers, std::string_view name) {
  return static_cast<std::size_t>(
      std::count_if(readers.begin(), readers.end(), [&](const Reader& each) { return each.name == name; }));
}

TEST(Quantities, HaveOneReaderEachButWhatIsChosen) {
  for (const Quantity& each : quantities()) {
    EXPECT_EQ(readers_of(ride_readers(), each.name), each.of != Scope::chosen && !of_steering(each.of)) << each.name;
    EXPECT_EQ(readers_of(steering_readers(), each.name), of_steering(each.of)) << each.name;
  }
  for (const RideReader& each : ride_readers()) EXPECT_TRUE(find_quantity(each.name)) << each.name;
  for (const SteeringReader& each : steering_readers()) EXPECT_TRUE(find_quantity(each.name)) << each.name;
}

TEST(Quantities, AreExplainedByTheGlossary) {
  for (const Quantity& each : quantities())
    EXPECT_TRUE(find_word(each.words) || find_word(each.name)) << each.name << " has no word";
}

TEST(Quantities, AreNamedAndToldOnceAndJudgedByAWordOfKeep) {
  std::set<std::string_view> names;
  std::set<int> places;
  for (const Quantity& each : quantities()) {
    EXPECT_TRUE(names.insert(each.name).second) << each.name;
    if (each.told > 0) {
      EXPECT_TRUE(places.insert(each.told).second) << each.name;
    }
    const auto& words = keep_table();
    const bool known = std::any_of(words.begin(), words.end(), [&](const KeepWord& w) { return w.name == each.keep; });
    EXPECT_EQ(known, each.rule != Rule::none) << each.name;
    EXPECT_EQ(known, !each.keep.empty()) << each.name;
    if (known) {
      EXPECT_GT(each.told, 0) << each.name << " is judged, but not told";
    }
  }
}

TEST(Quantities, StandInTheJsonOfWhatTheyBelongTo) {
  const Model model = demo(with_everything);
  const SolveResult result = solve(model);
  ASSERT_TRUE(result.solution);
  const QuantityJson solved = QuantityJson::parse(solve_json({Solved{model, *result.solution, {}}}));
  const auto has = [&](const QuantityJson& part, const Quantity& what) {
    return part.contains(QuantityJson::json_pointer("/" + std::string(leaf_of(what))));
  };
  for (const Quantity& each : quantities()) {
    if (leaf_of(each) == no_leaf) continue;
    const QuantityJson& corner = solved["corners"][0];
    if (each.of == Scope::vehicle) {
      EXPECT_TRUE(has(solved["vehicle"], each)) << each.name;
    }
    if (each.of == Scope::corner) {
      EXPECT_TRUE(has(corner, each)) << each.name;
    }
    if (each.of == Scope::wheel) {
      EXPECT_TRUE(has(corner["wheels"][0], each)) << each.name;
    }
    if (each.of == Scope::spring) {
      EXPECT_TRUE(has(corner["springs"][0], each)) << each.name;
    }
    if (each.of == Scope::point) {
      EXPECT_TRUE(has(solved["clearance"][0], each)) << each.name;
    }
  }
  const ProgramRun run = run_program({"steer", ridepitch::model("bark-dumper.toml"), "--json"});
  ASSERT_EQ(run.status, 0) << run.err;
  const QuantityJson steering = QuantityJson::parse(run.out)["steering"][0];
  for (const Quantity& each : quantities()) {
    if (leaf_of(each) == no_leaf || !of_steering(each.of)) continue;
    EXPECT_TRUE(has(each.of == Scope::steered_wheel ? steering["wheels"][0] : steering, each)) << each.name;
  }
}

TEST(Quantities, CanAllBeWantedAndNeeded) {
  std::string tune = "\n[tune]\n";
  std::size_t asked = 0;
  for (const Quantity& each : quantities()) {
    if (each.name == name::price || each.of == Scope::torsion) continue;  // it has no price list and no such spring
    const std::string key = "quantity = \"" + std::string(each.name) + "\"\n";
    tune += "[[tune.want]]\n" + key + "value = 1\n[[tune.need]]\n" + key + "least = 1\n";
    ++asked;
  }
  const Model model = demo_with(with_everything, tune);
  const SolveResult result = solve(model);
  ASSERT_TRUE(result.solution);
  std::vector<int> corners;
  for (std::size_t c = 0; c < model.corners.size(); ++c) corners.push_back(static_cast<int>(c));
  const AimsOrProblem aims = make_aims(model, *model.tune, corners, model, *result.solution);
  for (const Problem& each : aims.problems) EXPECT_EQ(each.text, "");
  ASSERT_TRUE(aims.aims);
  EXPECT_EQ(aims.aims->wants.size(), asked);
  EXPECT_EQ(aims.aims->needs.size(), asked);
}

/// Files in which a quantity's name stands as a key of something else.
bool is_another_key(const std::string& file, std::string_view name) {
  static const std::map<std::string, std::set<std::string_view>> keys = {
      {"cli/bump_text.cpp", {"toe_deg", "travel_mm"}},  // of each point of a wheel's travel
      {"cli/catalogue_text.cpp", {"price"}},            // of a part
      {"cli/bill_text.cpp", {"price"}},                 // its heading
      {"cli/json_text.cpp",                             // of other stances, floors, readings, modes
       {"frequency_hz", "motion_ratio", "height_mm", "pitch_deg", "roll_deg", "ride_height_mm", "roll_centre_mm",
        "travel_mm"}},
      {"cli/fit_json.cpp", {"friction_n"}},                             // of a spring
      {"cli/swap_json.cpp", {"bump_travel_mm", "as_built_height_mm"}},  // of what a spring needs; of all corners
      {"fit/part_text.cpp", {"friction_n"}},                            // of a spring
      {"model/read_parts.cpp", {"friction_n"}},                         // of a spring
      {"cli/rework_text.cpp", {"price"}},                               // its heading
      {"cli/search_json.cpp", {"price"}},                               // of a result or stand-in
      {"cli/tune_text.cpp", {"price"}},                                 // its heading
      {"cli/shopping_text.cpp", {"price"}},                             // of a part to buy
      {"cli/words_json.cpp", {"price", "friction_n"}},                  // of a part
      {"interview/model_text.cpp", {"ride_height_mm"}},                 // of the model file
      {"model/read_corners.cpp", {"load_n"}},                           // of the model file
      {"model/read_prices.cpp", {"price"}},                             // of a price list
      {"model/read_vehicle.cpp", {"ride_height_mm"}},                   // of the model file
      {"swap/keep.cpp",
       {"reserve", "pitch_deg", "roll_deg", "ride_height_mm", "toe_deg", "worst_error_deg",
        "bump_steer_deg_per_10mm"}}};             // words and keys of --keep
  if (file == "cli/steer_json.cpp") return true;  // the document of a steering
  const auto found = keys.find(file);
  return found != keys.end() && found->second.contains(name);
}

TEST(Quantities, AreSpeltInTheirTableAndTheirReadersOnly) {
  const std::filesystem::path sim = RIDEPITCH_SOURCE_DIR "/sim";
  int files = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(sim)) {
    const std::string extension = entry.path().extension().string(), stem = entry.path().stem().string(),
                      file = std::filesystem::relative(entry.path(), sim).generic_string();
    if (extension != ".cpp" && extension != ".hpp") continue;
    if (stem == "quantity_readers" || file.starts_with("words/")) continue;  // their rows and words
    std::ifstream in(entry.path());
    std::string text, line;
    while (std::getline(in, line)) text += line.substr(0, line.find("//")) + "\n";
    ++files;
    for (const Quantity& each : quantities()) {
      const bool spelt = text.find('"' + std::string(each.name) + '"') != std::string::npos;
      if (spelt) {
        EXPECT_TRUE(is_another_key(file, each.name)) << file << ": write name::..., not \"" << each.name << '"';
      }
    }
  }
  EXPECT_GT(files, 200);
}

}  // namespace
}  // namespace ridepitch
