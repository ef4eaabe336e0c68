// What may happen to a file that a command is asked to write: everything on the way from a wrong name to a kill between
// two system calls. Every command that writes stands in one table; a new one belongs there.

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <functional>
#include <thread>

#include "cli/commands.hpp"
#include "cli/program.hpp"
#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

namespace fs = std::filesystem;
using testing::AnyOf;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;
using testing::Not;

/// A command that writes, run in a folder of its own with a model, its catalogue, a price list and readings.
struct Writer {
  const char* name;
  std::vector<std::string> words;  ///< OUT stands for the file that is written
  std::vector<std::string> reads;  ///< files of the folder that it reads
  std::string in_place;            ///< the file of those that it may change; empty: none
};

void PrintTo(const Writer& writer, std::ostream* to) { *to << writer.name; }

const Writer solve_curves{"solve_curves", {"solve", "m.toml", "--curves", "OUT"}, {"m.toml", "mine.toml", "p.csv"}, ""};
const Writer swap_write{"swap_write",
                        {"swap", "m.toml", "--rod", "rear left/pushrod=6.5", "--write", "OUT"},
                        {"m.toml", "mine.toml", "p.csv"},
                        "m.toml"};
const Writer fit_add{"fit_add", {"fit", "readings.csv", "--add", "OUT"}, {"readings.csv"}, ""};
Writer rod_change(const std::string& length) {
  return {"", {"swap", "m.toml", "--rod", "rear left/pushrod=" + length, "--write", "OUT"}, {}, ""};
}
const Writer hole_change{"", {"swap", "m.toml", "--spring", "rear left/main=*3", "--write", "OUT"}, {}, ""};

const std::vector<Writer> writers = {
    solve_curves,
    {"steer_curve", {"steer", "s.toml", "--curve", "OUT"}, {"s.toml"}, ""},
    swap_write,
    {"rework_write",
     {"rework", "m.toml", "--gone", "coil-7-firm", "--prices", "p.csv", "--write", "OUT"},
     {"m.toml", "mine.toml", "p.csv"},
     "m.toml"},
    {"tune_write",
     {"tune", "t.toml", "--like", "like.toml", "--pick", "2", "--write", "OUT"},
     {"t.toml", "like.toml"},
     "t.toml"},
    {"sheet",
     {"sheet", "m.toml", "--before", "before.toml", "--out", "OUT"},
     {"m.toml", "mine.toml", "p.csv", "before.toml"},
     ""},
    {"new", {"new", "OUT", "--answers", "answers.txt"}, {"answers.txt"}, ""},
    fit_add,
};

struct Scene {
  Folder folder;

  Scene() {
    std::string hauler_text = text_of(hauler);
    hauler_text = replaced(hauler_text, "parts = [\"parts.toml\"]",
                           "parts = [\"parts.toml\", \"mine.toml\"]\nprices = \"p.csv\"");
    folder.write("m.toml", hauler_text);
    folder.write("mine.toml", "[part.beam-4242]\nkind = \"beam\"\nlength = 42\n");
    folder.write("p.csv", "part,price,stock\ncoil-7-firm,1.00,plenty\n");
    folder.write("before.toml", hauler_text);
    folder.write("s.toml", text_of(model("peat-crab.toml")));
    folder.write("t.toml", text_of(model("sand-loader.toml")));
    folder.write("like.toml", text_of(model("sand-loader.toml")));
    folder.write("answers.txt", text_of(source_path("models/quarry-hauler.answers")));
    folder.write("readings.csv", text_of(source_path("models/readings/winch-coil.csv")));
    for (const char* each : {"parts.toml", "prices.csv"})
      if (fs::exists(source_path("models") + "/" + each))
        folder.write(each, text_of(source_path("models") + "/" + each));
  }

  ProgramRun run(const Writer& writer, const std::string& out, std::vector<std::string> more = {},
                 std::map<std::string, std::string> environment = {},
                 StandardOutput output = StandardOutput::pipe) const {
    std::vector<std::string> words = writer.words;
    std::replace(words.begin(), words.end(), std::string("OUT"), out);
    words.insert(words.end(), more.begin(), more.end());
    if (!environment.empty()) environment["LD_PRELOAD"] = RIDEPITCH_FILE_CALLS;
    return run_program(words,
                       {.output = output, .environment = std::move(environment), .folder = folder.path.string()});
  }

  std::string text(const std::string& name) const { return text_of(folder.path / name); }
};

/// Done, whatever the verdict.
constexpr auto done = [] { return AnyOf(0, 1); };

class OutputFile : public testing::TestWithParam<Writer> {
 protected:
  Scene scene;

  /// Refused with exit status 2 and a way out; every file as it was.
  void expect_refused(const std::string& out, const std::string& words, const std::vector<std::string>& more = {},
                      const std::map<std::string, std::string>& environment = {}) {
    const std::vector<std::string> names = scene.folder.names();
    std::map<std::string, std::string> before;
    for (const std::string& name : names) before[name] = scene.text(name);
    const ProgramRun run = scene.run(GetParam(), out, more, environment);
    EXPECT_EQ(run.status, 2) << run.out << run.err;
    EXPECT_THAT(run.err, HasSubstr(words));
    EXPECT_THAT(run.err, HasSubstr("   fix: "));
    EXPECT_EQ(scene.folder.names(), names);
    for (const auto& [name, text] : before) EXPECT_EQ(scene.text(name), text) << name;
  }
};

INSTANTIATE_TEST_SUITE_P(Commands, OutputFile, testing::ValuesIn(writers),
                         [](const auto& writer) { return std::string(writer.param.name); });

TEST_P(OutputFile, IsMadeWhereThereIsNone) {
  const ProgramRun run = scene.run(GetParam(), "out");
  EXPECT_THAT(run.status, done()) << run.err;
  EXPECT_EQ(run.err, "");
  EXPECT_NE(scene.text("out"), "");
}

TEST_P(OutputFile, IsNotReplacedUnasked) {
  if (GetParam().name == std::string("fit_add")) return;  // it adds to what is there
  scene.folder.write("out", "precious\n");
  expect_refused("out", "there is a file 'out' already");
  EXPECT_THAT(scene.run(GetParam(), "out", {"--overwrite"}).status, done());
  EXPECT_NE(scene.text("out"), "precious\n");
}

TEST_P(OutputFile, IsNoneOfTheInputsUnderWhateverName) {
  for (const std::string& input : GetParam().reads) {
    if (input == GetParam().in_place) continue;
    const std::vector<std::string> overwrite = GetParam().name == std::string("fit_add")
                                                   ? std::vector<std::string>{}
                                                   : std::vector<std::string>{"--overwrite"};
    fs::create_symlink(input, scene.folder.path / "link");
    fs::create_hard_link(scene.folder.path / input, scene.folder.path / "twin");
    for (const std::string& name : {input, "./" + input, std::string("link"), std::string("twin")})
      expect_refused(name, "is read too", overwrite);
    fs::remove(scene.folder.path / "link");
    fs::remove(scene.folder.path / "twin");
  }
}

TEST_P(OutputFile, InPlaceIsWrittenThroughALinkThatStays) {
  if (GetParam().in_place.empty()) return;
  const std::string before = scene.text(GetParam().in_place);
  fs::create_symlink(GetParam().in_place, scene.folder.path / "link");
  EXPECT_THAT(scene.run(GetParam(), "link").status, done());
  EXPECT_TRUE(fs::is_symlink(scene.folder.path / "link"));
  EXPECT_NE(scene.text(GetParam().in_place), before);
}

TEST_P(OutputFile, InPlaceIsRefusedWithSeveralHardLinks) {
  if (GetParam().in_place.empty()) return;
  fs::create_hard_link(scene.folder.path / GetParam().in_place, scene.folder.path / "twin");
  expect_refused(GetParam().in_place, "one file under 2 names");
}

TEST_P(OutputFile, ThatIsReadOnlyStays) {
  const std::string in_place = GetParam().in_place;
  const std::string name = in_place.empty() ? "out" : in_place;
  if (in_place.empty()) scene.folder.write("out", "[part.beam-1]\nkind = \"beam\"\nlength = 1\n");
  fs::permissions(scene.folder.path / name, fs::perms::owner_read);
  const bool adds = GetParam().name == std::string("fit_add");
  expect_refused(name, "read-only",
                 in_place.empty() && !adds ? std::vector<std::string>{"--overwrite"} : std::vector<std::string>{});
}

TEST_P(OutputFile, ThroughALinkToNothingIsRefused) {
  fs::create_symlink("nowhere.toml", scene.folder.path / "link");
  const ProgramRun run = scene.run(GetParam(), "link");
  EXPECT_EQ(run.status, 2);
  EXPECT_FALSE(fs::exists(scene.folder.path / "nowhere.toml"));
}

TEST_P(OutputFile, OnAFullDiskIsNotLeftHalfWritten) {
  expect_refused("out", "No space left", {}, {{"FILE_CALLS_FULL", "1"}});
}

TEST_P(OutputFile, ThatWasWrittenBeforeStandardOutputFailedIsTold) {
  const ProgramRun run = scene.run(GetParam(), "out", {}, {}, StandardOutput::full);
  EXPECT_EQ(run.status, 2);
  EXPECT_THAT(run.err, HasSubstr("'out' was written all the same"));
  EXPECT_NE(scene.text("out"), "");
}

TEST_P(OutputFile, HasANameAsLongAsTheSystemAllows) {
  const std::string longest(255, 'n');
  EXPECT_THAT(scene.run(GetParam(), longest).status, done());
  EXPECT_NE(scene.text(longest), "");
}

TEST_P(OutputFile, KilledAtAnySystemCallIsWholeAndWhatIsLeftIsNamed) {
  if (GetParam().name == std::string("rework_write") || GetParam().name == std::string("tune_write"))
    return;  // as swap's
  const std::string name = GetParam().in_place.empty() ? "out" : GetParam().in_place;
  const std::string before = scene.text(name);
  std::string after;
  for (int call = 1;; ++call) {
    ASSERT_LT(call, 100);
    const ProgramRun run = scene.run(GetParam(), name, {}, {{"FILE_CALLS_KILL_AT", std::to_string(call)}});
    after = scene.text(name);
    if (run.status != 128 + SIGKILL) {
      EXPECT_THAT(run.status, done()) << run.err;
      EXPECT_GT(call, 5);  // the calls were counted at all
      break;
    }
    if (after != before) {  // the next one begins anew
      if (before.empty())
        fs::remove(scene.folder.path / name);
      else
        scene.folder.write(name, before);
      EXPECT_GT(after.size(), before.size() / 2);
    }
  }
  std::vector<std::string> left;
  for (const std::string& each : scene.folder.names())
    if (each.starts_with(".ridepitch-unfinished-")) left.push_back(each);
  EXPECT_THAT(left, Not(IsEmpty()));
  const ProgramRun next = scene.run(solve_curves, "curves.csv");
  EXPECT_EQ(next.status, 0);
  for (const std::string& each : left) EXPECT_THAT(next.err, HasSubstr(each));
}

// ------------------------------------------------------------------------------------ what concerns one file

TEST(OutputFiles, BeyondTheSizeThatTheShellAllowsAreToldAndLeaveNothing) {
  const Scene scene;
  const std::string log = scene.folder.file("log");
  const std::string script =
      "cd '" + scene.folder.path.string() +
      "' && (ulimit -f 1; '" RIDEPITCH_PROGRAM "' solve m.toml --curves out.csv 2>&1 >/dev/null | cat) > '" + log + "'";
  ASSERT_EQ(std::system(script.c_str()), 0);
  EXPECT_THAT(text_of(log), HasSubstr("can't be written: File too large"));
  for (const std::string& name : scene.folder.names()) EXPECT_THAT(name, Not(HasSubstr("unfinished")));
  EXPECT_FALSE(fs::exists(scene.folder.path / "out.csv"));
}

TEST(OutputFiles, KeepOwnerAndRights) {
  if (geteuid() != 0) GTEST_SKIP() << "only root can give a file away";
  const Scene scene;
  const std::string file = scene.folder.file("m.toml");
  ASSERT_EQ(chown(file.c_str(), 12345, 12345), 0);
  ASSERT_EQ(chmod(file.c_str(), 0640), 0);
  EXPECT_THAT(scene.run(swap_write, "m.toml").status, done());
  struct stat now {};
  ASSERT_EQ(stat(file.c_str(), &now), 0);
  EXPECT_EQ(now.st_uid, 12345u);
  EXPECT_EQ(now.st_gid, 12345u);
  EXPECT_EQ(now.st_mode & 07777, 0640u);
  const std::string before = text_of(file);
  const ProgramRun refused = scene.run(rod_change("7"), "m.toml", {}, {{"FILE_CALLS_NO_OWNER", "1"}});
  EXPECT_EQ(refused.status, 2);
  EXPECT_THAT(refused.err, HasSubstr("belongs to another user"));
  EXPECT_EQ(text_of(file), before);
}

// ------------------------------------------------------------------------------------ two at once

TEST(TwoWriters, TheSecondIsToldThatTheFileChangedWhileTheFirstStoodBeforeItsRename) {
  const Scene scene;
  const std::string hold = scene.folder.file("hold");
  ProgramRun first, second;
  std::thread one([&] { first = scene.run(rod_change("6.5"), "m.toml", {}, {{"FILE_CALLS_HOLD", hold}}); });
  for (int i = 0; i < 10'000 && !fs::exists(hold + ".here"); ++i) usleep(1000);
  EXPECT_TRUE(fs::exists(hold + ".here"));
  std::thread two([&] { second = scene.run(hole_change, "m.toml"); });
  usleep(500'000);  // it has read the old text, and waits
  scene.folder.write("hold.go", "");
  one.join();
  two.join();
  EXPECT_THAT(first.status, done()) << first.err;
  EXPECT_EQ(second.status, 2);
  EXPECT_THAT(second.err, HasSubstr("changed since it was read"));
  EXPECT_THAT(scene.text("m.toml"), HasSubstr("length = 6.5"));
}

TEST(TwoWriters, AnEditorThatTakesNoLockIsNoticed) {
  const Scene scene;
  const std::string hold = scene.folder.file("hold");
  // A search holds nothing while it works; the editor saves meanwhile.
  ProgramRun run;
  const Writer tune{"", {"tune", "t.toml", "--limit", "2", "--write", "OUT"}, {}, ""};
  std::thread one([&] { run = scene.run(tune, "t.toml", {}, {{"FILE_CALLS_HOLD", hold}}); });
  usleep(150'000);
  const std::string edited = "# saved by an editor\n" + scene.text("t.toml");
  scene.folder.write("t.toml", edited);
  scene.folder.write("hold.go", "");
  one.join();
  EXPECT_EQ(run.status, 2) << run.out;
  EXPECT_THAT(run.err, HasSubstr("changed since it was read"));
  EXPECT_EQ(scene.text("t.toml"), edited);
}

TEST(TwoWriters, LoseNoChangeInSilence) {
  const Scene scene;
  const std::string before = scene.text("m.toml");
  const int pairs = scaled(200);
  int both = 0;
  for (int pair = 0; pair < pairs; ++pair) {
    scene.folder.write("m.toml", before);
    ProgramRun first, second;
    std::thread one([&] { first = scene.run(rod_change("6.5"), "m.toml"); });
    std::thread two([&] { second = scene.run(hole_change, "m.toml"); });
    one.join();
    two.join();
    const std::string after = scene.text("m.toml");
    const bool has_rod = after.find("length = 6.5") != std::string::npos,
               has_three = after.find("count = 3") != std::string::npos;
    EXPECT_EQ(has_rod, first.status != 2) << first.err;
    EXPECT_EQ(has_three, second.status != 2) << second.err;
    for (const ProgramRun& run : {first, second})
      if (run.status == 2) {
        EXPECT_THAT(run.err, HasSubstr("changed since it was read"));
      }
    EXPECT_TRUE(has_rod || has_three);
    both += has_rod && has_three;
  }
  EXPECT_LT(both, pairs);  // they did meet
}

}  // namespace
}  // namespace ridepitch
