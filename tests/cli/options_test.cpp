// Every option of every command, as the program lists them itself: with nothing, with nonsense, out of range, not a
// number, twice. Each is refused in our own words with exit status 2, or honoured. A new option needs nothing here; a new
// command needs a row.

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <map>

#include "cli/command_line.hpp"
#include "cli/commands.hpp"
#include "cli/program.hpp"

namespace ridepitch {
namespace {

using testing::HasSubstr;
using testing::Not;

/// Words with which a command does its work quickly.
const std::map<std::string, std::vector<std::string>> usual_words = {
    {"new", {"fresh.toml", "--answers", source_path("models/quarry-hauler.answers")}},
    {"check", {hauler}},
    {"solve", {hauler}},
    {"steer", {model("peat-crab.toml"), "--points", "3"}},
    {"rework", {hauler, "--gone", "coil-7-firm", "--limit", "0.1"}},
    {"swap", {hauler, "--spring", "rear left/main=*3"}},
    {"tune", {model("sand-loader.toml"), "--limit", "0.1", "--top", "1"}},
    {"nudge", {model("trial-arm.toml")}},
    {"parts", {"--list"}},
    {"sheet", {hauler}},
    {"explain", {"sag"}},
    {"fit", {source_path("models/readings/winch-coil.csv")}},
};

bool is_flag(const Option& option) { return std::holds_alternative<bool*>(option.to); }
bool is_number(const Option& option) {
  return std::holds_alternative<int*>(option.to) || std::holds_alternative<double*>(option.to) ||
         std::holds_alternative<std::optional<double>*>(option.to);
}

struct Given {
  std::string command, option;
  std::vector<std::string> words;
  bool must_be_refused;
};

std::vector<Given> everything_that_can_be_given() {
  std::vector<Given> all;
  for (const Command& command : all_commands()) {
    Options nowhere;
    std::vector<Option> options = command.options(nowhere);
    options.push_back({"--json", "", "", &nowhere.json});
    for (const Option& option : options) {
      const std::string name = option.name;
      const bool may_be_left_out = option.value[0] == '[';
      const auto add = [&](std::vector<std::string> words, bool refused) {
        all.push_back({command.name, name, std::move(words), refused});
      };
      if (is_flag(option)) {
        add({name + "=false"}, true);
        add({name + "="}, true);
        add({name, name}, false);
        continue;
      }
      add({name}, !may_be_left_out);
      add({name, ""}, !may_be_left_out);
      add({name + "="}, !may_be_left_out);
      for (const char* nonsense : {"@#%", "-", "nan", "inf", "1e99", "-1e99", "0x10", "1,5", "\u202Egnirps", "\x1b[2J"})
        add({name + "=" + nonsense}, is_number(option) || nonsense[0] == '\x1b' || nonsense[0] == '\xe2');
      add({name + "=@#%", name + "=@#%"}, is_number(option));
    }
  }
  return all;
}

TEST(EveryOption, IsRefusedInOurOwnWordsOrHonoured) {
  for (const Given& given : everything_that_can_be_given()) {
    const auto usual = usual_words.find(given.command);
    ASSERT_NE(usual, usual_words.end()) << "what are usual words of " << given.command << "?";
    const Folder scratch;
    std::vector<std::string> words = {given.command};
    words.insert(words.end(), usual->second.begin(), usual->second.end());
    words.insert(words.end(), given.words.begin(), given.words.end());
    const ProgramRun run = run_program(words, {.folder = scratch.path.string()});
    const std::string told = testing::PrintToString(words) + "\n" + run.out + run.err;
    EXPECT_GE(run.status, 0) << told;
    EXPECT_LE(run.status, given.must_be_refused ? 2 : 3) << told;
    if (given.must_be_refused) {
      EXPECT_EQ(run.status, 2) << told;
    }
    if (run.status == 2 && run.out.find("{") != 0) {
      EXPECT_THAT(run.err, HasSubstr("error: ")) << told;
      EXPECT_THAT(run.err, HasSubstr("   fix: ")) << told;
    }
    for (const char* foreign :
         {"CLI::", "std::", "terminate called", "exception", "ArgumentMismatch", "required", "\x1b", "\u202E"})
      EXPECT_THAT(run.out + run.err, Not(HasSubstr(foreign))) << told;
    if (given.must_be_refused) {
      EXPECT_THAT(scratch.names(), testing::IsEmpty()) << told;
    }
  }
}

TEST(EveryOption, OfWhatOnlyMakesSenseTogether) {
  const std::string tuned = model("sand-loader.toml");
  EXPECT_THAT(run_program({"tune", tuned, "--pick", "2"}).err, HasSubstr("--pick says which result is written"));
  EXPECT_THAT(run_program({"rework", hauler, "--gone", "coil-7-firm", "--pick", "1"}).err, HasSubstr("--pick says"));
  EXPECT_THAT(run_program({"tune", tuned, "--threads", "0"}).err, HasSubstr("from 1 to"));
  EXPECT_THAT(run_program({"nudge", hauler, "--play", "nan"}).err, HasSubstr("not 'nan'"));
  EXPECT_THAT(run_program({"solve", ""}).err, HasSubstr("an empty word is no model file"));
}

}  // namespace
}  // namespace ridepitch
