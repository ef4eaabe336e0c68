// The program itself on a virtual screen with software OpenGL: recorded sessions that go through GLFW's callbacks as a
// person's input does, and one with real X events. Screenshots stay in RIDEPITCH_SHOTS, to be looked at.

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <sstream>
#include <thread>

#include "model/edit.hpp"
#include "model/read.hpp"
#include "model/units.hpp"
#include "ride/solve.hpp"
#include "rigs/files.hpp"
#include "rigs/texts.hpp"
#include "swap/compare.hpp"
#include "viewer/display.hpp"

namespace ridepitch::view {
namespace {

using ::testing::HasSubstr;

std::string shot(const std::string& name) {
  std::filesystem::create_directories(RIDEPITCH_SHOTS);
  return std::string(RIDEPITCH_SHOTS "/") + name + ".png";
}

/// A picture that is there and not empty: an even one of this size packs into far less.
void expect_picture(const std::string& path) {
  std::error_code error;
  const auto size = std::filesystem::file_size(path, error);
  ASSERT_FALSE(error) << path;
  EXPECT_GT(size, 15000u) << path;
  EXPECT_EQ(text_of(path).substr(1, 3), "PNG");
}

struct WindowTest : ::testing::Test {
  Folder folder;
  Display display;

  void SetUp() override { ASSERT_FALSE(display.name.empty()) << "Xvfb (package xvfb) can't be started"; }

  /// Copies a demo with its parts, so that it can be written to.
  std::string copy_of(const std::string& name) {
    folder.write("parts.toml", text_of(RIDEPITCH_SOURCE_DIR "/tests/models/parts.toml"));
    return folder.write(name + ".toml", text_of(RIDEPITCH_SOURCE_DIR "/tests/models/" + name + ".toml"));
  }

  Ended play(const std::string& script, const std::vector<std::string>& more) {
    std::vector<std::string> words = {
        RIDEPITCH_VIEW, "--width", "1280", "--height", "820", "--script", folder.write("script", script)};
    words.insert(words.end(), more.begin(), more.end());
    return run(words, display.name, folder.path.string());
  }
};

/// What follows "NAME: " on each line that begins so.
std::vector<std::string> said(const Ended& ended, const std::string& name) {
  std::vector<std::string> out;
  std::istringstream lines(ended.out);
  for (std::string line; std::getline(lines, line);)
    if (line.rfind(name + ": ", 0) == 0) out.push_back(line.substr(name.size() + 2));
  return out;
}

TEST_F(WindowTest, dragging_a_hole_gives_the_librarys_numbers_and_undo_redo_save_and_reopen_keep_them) {
  const std::string path = copy_of("quarry-hauler");
  const std::string before_text = text_of(path);
  const Ended ended = play(fmt::format(R"(
hole chassis.seat
press
hole chassis.seat 0.3 0.1
frames 4
shot {}
hole chassis.seat 1.1 -0.1
say verdict
frames 30
shot {}
release
say hole chassis.seat
say verdict
say unsaved
say number front left/hub | sag
say number front left | ride height
say number | pitch
shot {}
key ctrl+z
say hole chassis.seat
key ctrl+shift+z
say hole chassis.seat
key ctrl+s
say unsaved
say message
key ctrl+z
say unsaved
say hole chassis.seat
key ctrl+y
say unsaved
)",
                                       shot("drag-begins"), shot("dragging"), shot("dragged")),
                           {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_EQ(said(ended, "hole chassis.seat"), (std::vector<std::string>{"-3 9", "-4 9", "-3 9", "-4 9"}));
  EXPECT_EQ(said(ended, "unsaved"), (std::vector<std::string>{"yes", "no", "yes", "no"}));

  // The same edit by the library.
  const Folder other;
  other.write("parts.toml", text_of(RIDEPITCH_SOURCE_DIR "/tests/models/parts.toml"));
  const std::string original = other.write("quarry-hauler.toml", before_text);
  const Model model = *read_model(original).model;
  const Changes changes = {MoveHole{0, chassis, 2, 8.0 * Vec2(-3, 9)}};
  const Model made = changed(model, changes);
  const SolveResult before = solve(model), after = solve(made);
  const CornerResult& corner = after.solution->corners[0];
  EXPECT_EQ(said(ended, "number front left/hub | sag").at(0), fmt::format("{:.17g}", *corner.wheels[0].sag_mm));
  EXPECT_EQ(said(ended, "number front left | ride height").at(0), fmt::format("{:.17g}", *corner.ride_height_mm));
  EXPECT_EQ(said(ended, "number  | pitch").at(0), fmt::format("{:.17g}", after.solution->vehicle->pitch_deg));
  const Comparison comparison = compare({model, *before.solution}, {made, *after.solution});
  EXPECT_EQ(said(ended, "verdict"), (std::vector<std::string>{comparison.verdict, comparison.verdict}));
  EXPECT_EQ(text_of(path), edit_text(before_text, model, changes).text);

  for (const char* name : {"drag-begins", "dragging", "dragged"}) expect_picture(shot(name));

  const Ended again = play("say hole chassis.seat\nsay number front left/hub | sag\n", {path});
  EXPECT_EQ(said(again, "hole chassis.seat"), std::vector<std::string>{"-3 9"});
  EXPECT_EQ(said(again, "number front left/hub | sag").at(0), fmt::format("{:.17g}", *corner.wheels[0].sag_mm));
}

TEST_F(WindowTest, keys_move_holes_by_whole_and_half_modules_and_go_through_corners_and_things) {
  const std::string path = copy_of("quarry-hauler");
  const Ended ended = play(R"(
key tab
key tab
say selected
key right
say hole chassis.rocker
key shift+up
say hole chassis.rocker
key ctrl+z
key ctrl+z
hole chassis.rocker
press
hold
hole chassis.rocker 0.6 0
say hole chassis.rocker
let
hole chassis.rocker 0.7 0
say hole chassis.rocker
hole chassis.rocker 0 0
release
say unsaved
key pagedown
say number front right/hub | sag
key ]
say travel
key home
say travel
key escape
say selected
)",
                           {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_EQ(said(ended, "selected"), (std::vector<std::string>{"chassis.rocker", ""}));
  EXPECT_EQ(said(ended, "hole chassis.rocker"), (std::vector<std::string>{"3 6", "3 6.5", "2.5 6", "3 6"}));
  EXPECT_EQ(said(ended, "unsaved"), std::vector<std::string>{"no"});
  EXPECT_EQ(said(ended, "travel").size(), 2u);
  EXPECT_NE(said(ended, "travel").front(), "at rest");
  EXPECT_EQ(said(ended, "travel").back(), "at rest");
  EXPECT_NE(said(ended, "number front right/hub | sag").at(0), "none");
}

TEST_F(WindowTest, rods_and_springs_change_by_key_and_by_the_wheel_of_the_mouse_and_a_wheel_goes_through_its_travel) {
  const std::string path = copy_of("quarry-hauler");
  const Ended ended = play(fmt::format(R"(
key tab
key tab
key tab
key tab
key tab
key tab
key tab
key tab
key tab
key tab
say selected
key equal
say message
key ctrl+z
hole arm.push 0 2
scroll 1
say message
key ctrl+z
scroll -1
say message
key ctrl+z
key tab
say selected
key period
say message
key ctrl+z
say unsaved
wheel hub 2.5 -2.5
press
wheel hub 2.5 -2
wheel hub 2.5 -1.5
say travel
release
shot {}
)",
                                       shot("raised")),
                           {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_EQ(said(ended, "selected"), (std::vector<std::string>{"pushrod", "main"}));
  EXPECT_EQ(said(ended, "message").at(0), "rod pushrod: 6 -> 7 modules");
  EXPECT_EQ(said(ended, "message").at(1), "rod pushrod: 6 -> 7 modules");
  EXPECT_EQ(said(ended, "message").at(2), "rod pushrod: 6 -> 5 modules");
  EXPECT_THAT(said(ended, "message").at(3), HasSubstr("spring main: 2 coil-7-firm -> 2 "));
  EXPECT_EQ(said(ended, "unsaved"), std::vector<std::string>{"no"});
  // At rest the wheel is 11.0 mm above droop (sag); raised by a module and 25.6 mm of travel in all: quarry-hauler in README.md.
  const double travel = std::stod(said(ended, "travel").at(0));
  EXPECT_GT(travel, 15);
  EXPECT_LT(travel, 25.7);
  expect_picture(shot("raised"));
}

TEST_F(WindowTest, every_view_is_drawn_in_light_and_dark) {
  const std::string path = copy_of("scout-car");
  const Ended ended = play(fmt::format(R"(
shot {}
key ctrl+2
shot {}
key ctrl+3
shot {}
key ctrl+4
shot {}
key ctrl+1
key f1
shot {}
key f1
key shift+f1
shot {}
key escape
key ctrl+d
shot {}
key ctrl+equal
key ctrl+equal
key ctrl+equal
shot {}
)",
                                       shot("linkage-front-plane"), shot("side"), shot("front"), shot("steering-none"),
                                       shot("keys"), shot("about"), shot("dark"), shot("greater-text")),
                           {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  for (const char* name :
       {"linkage-front-plane", "side", "front", "steering-none", "keys", "about", "dark", "greater-text"})
    expect_picture(shot(name));
}

TEST_F(WindowTest, the_sheet_is_saved_as_a_pdf_of_what_was_changed_since_opening) {
  const std::string path = copy_of("quarry-hauler");
  const Ended ended = play(fmt::format(R"(
hole chassis.seat
press
hole chassis.seat 1 0
release
key ctrl+p
frames 5
shot {}
key enter
frames 5
say message
)",
                                       shot("ask-sheet")),
                           {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_THAT(said(ended, "message").at(0), HasSubstr("The sheet was saved as"));
  const std::string pdf = folder.file("quarry-hauler.pdf");
  EXPECT_EQ(text_of(pdf).substr(0, 5), "%PDF-");
  // What another program reads in it: poppler.
  const Ended read = run({"pdftotext", "-layout", pdf, "-"}, "", folder.path.string());
  EXPECT_THAT(read.out, HasSubstr("Quarry hauler: what to change"));
  EXPECT_THAT(read.out, HasSubstr("Move the chassis hole 'seat' one hole forward"));
  EXPECT_THAT(read.out, HasSubstr("quarry-hauler.toml, with changes that are not saved"));
}

TEST_F(WindowTest, a_sheet_that_can_not_be_written_is_told_in_the_window) {
  const std::string path = copy_of("quarry-hauler");
  std::filesystem::create_symlink("/dev/full", folder.file("quarry-hauler.pdf"));  // Linux' device that is always full
  const Ended ended = play("key ctrl+p\nframes 5\nkey enter\nframes 5\nsay message\n", {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_THAT(said(ended, "message").at(0), HasSubstr("No space left on device"));
}

TEST_F(WindowTest, a_file_that_is_there_is_replaced_only_after_a_question) {
  const std::string path = copy_of("quarry-hauler");
  const std::string copy = folder.write("quarry-hauler-copy.toml", "theirs"),
                    sheet = folder.write("quarry-hauler.pdf", "theirs");
  const std::string refused = "key ctrl+shift+s\nframes 5\nkey enter\nframes 8\nkey escape\nframes 5\n";
  const Ended kept = play(refused + fmt::format("key ctrl+p\nframes 5\nkey enter\nframes 8\nshot {}\nkey escape\n"
                                                "frames 5\nsay message\n",
                                                shot("replace")),
                          {path});
  ASSERT_EQ(kept.status, 0) << kept.err;
  EXPECT_EQ(text_of(copy), "theirs");
  EXPECT_EQ(text_of(sheet), "theirs");
  EXPECT_THAT(said(kept, "message").at(0), ::testing::Not(HasSubstr("saved as")));
  expect_picture(shot("replace"));
}

TEST_F(WindowTest, a_steering_plan_is_drawn_with_its_drive_at_0) {
  const Ended ended =
      play(fmt::format("key ctrl+4\nshot {}\n", shot("steering")), {folder.write("steered.toml", steered_trial_arm())});
  ASSERT_EQ(ended.status, 0) << ended.err;
  expect_picture(shot("steering"));
}

TEST_F(WindowTest, a_wheel_taken_by_hand_steers_and_the_hand_wheel_too) {
  const std::string path = copy_of("bark-dumper");
  const Ended ended = play(fmt::format(R"(
key ctrl+4
frames 3
say drive
wheel left 3 0
press
wheel left 3 1
wheel left 3 1
say drive
release
shot {}
key home
say drive
key ]
say drive
say unsaved
say number steering | turns lock to lock
)",
                                       shot("steered")),
                           {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  const std::vector<std::string> drives = said(ended, "drive");
  ASSERT_EQ(drives.size(), 4u);
  EXPECT_EQ(drives[0], "at 0");
  // The front of a wheel to the left: a positive angle of steer (ISO 8855), and this machine's drive turns the same way.
  EXPECT_GT(std::stod(drives[1]), 5);
  EXPECT_EQ(drives[2], "at 0");
  EXPECT_GT(std::stod(drives[3]), 0);
  EXPECT_EQ(said(ended, "unsaved"), std::vector<std::string>{"no"});
  EXPECT_NE(said(ended, "number steering | turns lock to lock").at(0), "none");
  expect_picture(shot("steered"));
}

TEST_F(WindowTest, nothing_is_drawn_while_nothing_changes) {
  const Ended ended = play("move 600 300\nwait 300\nidle 5\n", {copy_of("timber-forwarder")});
  ASSERT_EQ(ended.status, 0) << ended.err;
  ASSERT_EQ(said(ended, "idle").size(), 1u) << ended.out;
  std::istringstream words(said(ended, "idle").front());
  long swaps = -1;
  std::string word;
  double share = 100;
  words >> swaps >> word >> share;
  EXPECT_EQ(swaps, 0);
  EXPECT_LT(share, 2.0) << "percent of a core";  // the limit that was set for it
}

TEST_F(WindowTest, a_bad_file_opens_with_its_errors_and_is_shown_once_it_is_mended) {
  const std::string path =
      folder.write("model.toml", text_of(RIDEPITCH_SOURCE_DIR "/tests/model/bad/names-twice.toml"));
  const std::string script =
      fmt::format("say problems\nshot {}\nwait 2500\nsay problems\nsay number rear left/hub | sag\n", shot("bad-file"));
  const pid_t viewer =
      start({RIDEPITCH_VIEW, "--script", folder.write("script", script), path}, display.name, folder.path.string());
  Ended ended;
  for (int i = 0; i < 500 && said(ended, "problems").empty(); ++i) {
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    ended.out = text_of(folder.file("out"));
  }
  folder.write("model.toml", trial_arm());
  ASSERT_EQ(wait_for(viewer, 60), 0) << text_of(folder.file("err"));
  ended.out = text_of(folder.file("out"));
  const std::vector<std::string> problems = said(ended, "problems");
  EXPECT_THAT(problems.at(0), HasSubstr("model.toml:45:3: there are two clearance points named 'belly'"));
  EXPECT_EQ(problems.at(1), "");
  EXPECT_NE(said(ended, "number rear left/hub | sag").at(0), "none");
  expect_picture(shot("bad-file"));
}

TEST_F(WindowTest, a_file_that_becomes_another_machine_without_a_solution_leaves_the_last_good_one_on_screen) {
  const std::string path = copy_of("quarry-hauler");
  const std::string script = fmt::format(R"(
key tab
key tab
say selected
wait 2500
say problems
hole chassis.arm
press
hole chassis.arm 1 1
release
key tab
key right
say unsaved
key pagedown
key ctrl+4
key ctrl+2
key ctrl+1
shot {}
key ctrl+z
key ctrl+z
say problems
say number front right/hub | sag
)",
                                         shot("no-solution"));
  const pid_t viewer =
      start({RIDEPITCH_VIEW, "--script", folder.write("script", script), path}, display.name, folder.path.string());
  Ended ended;
  for (int i = 0; i < 500 && said(ended, "selected").empty(); ++i) {
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    ended.out = text_of(folder.file("out"));
  }
  // The seat far away: the coil never fits.
  std::string other = steered_trial_arm();
  other.replace(other.find("seat = [5, 6.5]"), 15, "seat = [5, 66.5]");
  folder.write("quarry-hauler.toml", other);
  ASSERT_EQ(wait_for(viewer, 60), 0) << text_of(folder.file("err"));
  ended.out = text_of(folder.file("out"));
  EXPECT_FALSE(said(ended, "problems").at(0).empty());
  EXPECT_EQ(said(ended, "problems").at(1), "");
  EXPECT_NE(said(ended, "number front right/hub | sag").at(0), "none") << "undo goes back across the reload";
}

/// What "say panes" tells, px.
struct Panes {
  int width = 0, height = 0, left = 0, top = 0, right = 0, bottom = 0;  ///< of the window; of the drawing in it
};

Panes panes_of(const Ended& ended, std::size_t which) {
  Panes out;
  std::istringstream words(said(ended, "panes").at(which));
  words >> out.width >> out.height >> out.left >> out.top >> out.right >> out.bottom;
  return out;
}

TEST_F(WindowTest, starts_again_with_its_size_and_its_panes_where_a_hand_left_them) {
  const std::string path = copy_of("quarry-hauler");
  const Ended first = play("say panes\n", {path});
  ASSERT_EQ(first.status, 0) << first.err;
  const Panes as_built = panes_of(first, 0);
  ASSERT_GT(as_built.left, 0);

  // The bars beside and below the drawing are 5 px thick.
  const int beside = as_built.left - 3, below = as_built.bottom + 6, middle = (as_built.left + as_built.right) / 2;
  const auto pull = [](int x, int y, int to_x, int to_y) {
    return fmt::format("move {} {}\npress\nmove {} {}\nrelease\n", x, y, to_x, to_y);
  };
  const Ended pulled = play(pull(beside, 300, beside + 90, 300) + pull(middle + 60, below, middle + 60, below - 70) +
                                "key ctrl+equal\nkey ctrl+d\nsay panes\n",
                            {path});
  ASSERT_EQ(pulled.status, 0) << pulled.err;
  const Panes left_so = panes_of(pulled, 0);
  EXPECT_NEAR(left_so.left, as_built.left + 90, 2);
  EXPECT_LT(left_so.bottom, as_built.bottom - 60);
  EXPECT_EQ(left_so.width, 1280);

  // Without --width and --height, as a person starts it.
  const Ended again =
      run({RIDEPITCH_VIEW, "--script", folder.write("script", "say panes\nshot " + shot("again") + "\n"), path},
          display.name, folder.path.string());
  ASSERT_EQ(again.status, 0) << again.err;
  const Panes found = panes_of(again, 0);
  EXPECT_EQ(found.width, 1280);
  EXPECT_EQ(found.height, 820);
  EXPECT_NEAR(found.left, left_so.left, 1);
  EXPECT_NEAR(found.right, left_so.right, 1);
  EXPECT_NEAR(found.bottom, left_so.bottom, 1);
  expect_picture(shot("again"));
  EXPECT_THAT(text_of(folder.file("ridepitch/view.conf")), HasSubstr("dark = yes"));
}

TEST_F(WindowTest, a_broken_file_of_settings_is_no_harm) {
  std::filesystem::create_directories(folder.path / "ridepitch");
  folder.write("ridepitch/view.conf", "width = 700\nheight = -1\nleft = 0.99\nbottom\n\xff\xfe\nzoom = nan\n");
  const Ended ended = run({RIDEPITCH_VIEW, "--script", folder.write("script", "say panes\n"), copy_of("trial-arm")},
                          display.name, folder.path.string());
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_EQ(panes_of(ended, 0).width, 700);
  EXPECT_EQ(panes_of(ended, 0).height, 820);  // what it has without settings: settings.hpp
}

TEST_F(WindowTest, recent_files_are_remembered_and_listed_first_at_a_later_start) {
  const std::string one = copy_of("quarry-hauler"), other = copy_of("trial-arm");
  ASSERT_EQ(play("", {one}).status, 0);
  ASSERT_EQ(play("", {other}).status, 0);
  const std::string remembered = text_of(folder.file("ridepitch/view.conf"));
  const auto latest = remembered.find("recent = " + other), before = remembered.find("recent = " + one);
  ASSERT_NE(latest, std::string::npos) << remembered;
  ASSERT_NE(before, std::string::npos) << remembered;
  EXPECT_LT(latest, before);
  // The question for a file lists them first; the second line of the list is the hauler.
  const Ended ended = play(fmt::format(R"(
say number front left/hub | sag
key ctrl+o
frames 5
shot {}
move 530 336
press
release
frames 5
say number front left/hub | sag
)",
                                       shot("recent")),
                           {other});
  ASSERT_EQ(ended.status, 0) << ended.err;
  expect_picture(shot("recent"));
  EXPECT_EQ(said(ended, "number front left/hub | sag").at(0), "none") << "the trial arm has no such wheel";
  EXPECT_NE(said(ended, "number front left/hub | sag").at(1), "none");
}

TEST_F(WindowTest, an_edit_that_does_not_go_leaves_the_last_good_state_and_says_why) {
  const std::string path = copy_of("quarry-hauler");
  const Ended ended = play(fmt::format(R"(
hole chassis.rocker
press
hole chassis.rocker 6 6
hole chassis.rocker 14 14
frames 60
shot {}
say problems
release
say hole chassis.rocker
say message
say unsaved
)",
                                       shot("does-not-go")),
                           {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_FALSE(said(ended, "problems").at(0).empty());
  EXPECT_EQ(said(ended, "hole chassis.rocker"), std::vector<std::string>{"2 6"});
  EXPECT_THAT(said(ended, "message").at(0), HasSubstr("It stays where it was"));
  EXPECT_EQ(said(ended, "unsaved"), std::vector<std::string>{"no"});
}

TEST_F(WindowTest, a_read_only_file_is_told_and_the_work_stays) {
  const std::string path = copy_of("quarry-hauler");
  ASSERT_EQ(chmod(path.c_str(), 0444), 0);
  const Ended ended = play(
      fmt::format("key tab\nkey right\nkey ctrl+s\nsay message\nsay unsaved\nshot {}\n", shot("read-only")), {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_THAT(said(ended, "message").at(0), HasSubstr("read-only"));
  EXPECT_EQ(said(ended, "unsaved"), std::vector<std::string>{"yes"});
}

TEST_F(WindowTest, unsaved_work_is_asked_about_before_the_window_closes) {
  const std::string path = copy_of("quarry-hauler");
  const Ended ended =
      play(fmt::format("key tab\nkey right\nkey ctrl+q\nframes 5\nshot {}\nkey escape\nsay unsaved\n", shot("unsaved")),
           {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_EQ(said(ended, "unsaved"), std::vector<std::string>{"yes"}) << "the question was answered with no: still open";
}

TEST_F(WindowTest, a_search_runs_beside_shows_its_results_and_one_is_taken_over) {
  const std::string path = folder.write("arm.toml", trial_arm() + R"(
[tune]
corner = "rear left"

[[tune.vary]]
hole = "chassis.seat"
u = [4, 6]
v = [6, 7]
step = 0.5

[[tune.want]]
quantity = "sag_mm"
value = 6
tolerance = 1
)");
  const Ended ended = play(fmt::format(R"(
key ctrl+t
frames 3
until search
say rows
key n
say tried
shot {}
key enter
say unsaved
say tried
key ctrl+z
say unsaved
key n
say tried
key escape
say tried
)",
                                       shot("search")),
                           {path});
  ASSERT_EQ(ended.status, 0) << ended.err;
  EXPECT_NE(said(ended, "rows").at(0).front(), '0');
  EXPECT_EQ(said(ended, "tried"), (std::vector<std::string>{"yes", "no", "yes", "no"}));
  EXPECT_EQ(said(ended, "unsaved"), (std::vector<std::string>{"yes", "no"}));
  expect_picture(shot("search"));
}

TEST_F(WindowTest, a_shot_is_written_without_a_visible_window) {
  const std::string picture = shot("shot");
  const Ended ended = run({RIDEPITCH_VIEW, "--shot", picture, RIDEPITCH_SOURCE_DIR "/tests/models/scout-car.toml",
                           "--corner", "rear left", "--travel", "10"},
                          display.name, folder.path.string());
  ASSERT_EQ(ended.status, 0) << ended.err;
  expect_picture(picture);
  const Ended unknown = run(
      {RIDEPITCH_VIEW, "--shot", picture, RIDEPITCH_SOURCE_DIR "/tests/models/scout-car.toml", "--corner", "middle"},
      display.name, folder.path.string());
  EXPECT_EQ(unknown.status, 2);
  EXPECT_THAT(unknown.err, HasSubstr("its corners are front left"));
}

TEST_F(WindowTest, real_X_events_drag_a_hole_and_save_it) {
  const std::string path = copy_of("quarry-hauler");
  const std::string text = text_of(path);
  // Where the hole is drawn in a window of that size.
  const Ended asked = play("say where chassis.seat\n", {path});
  std::istringstream words(said(asked, "where chassis.seat").at(0));
  int x = 0, y = 0;
  double px_per_mm = 0;
  words >> x >> y >> px_per_mm;
  ASSERT_GT(px_per_mm, 0);

  const Folder own;
  const pid_t viewer =
      start({RIDEPITCH_VIEW, "--width", "1280", "--height", "820", path}, display.name, own.path.string());
  const auto hand = [&](const std::vector<std::string>& rest) {
    std::vector<std::string> all = {"xdotool"};
    all.insert(all.end(), rest.begin(), rest.end());
    const Ended ended = run(all, display.name, folder.path.string());
    std::this_thread::sleep_for(std::chrono::milliseconds(150));
    return ended;
  };
  const Ended found = hand({"search", "--sync", "--onlyvisible", "--name", "Quarry hauler"});
  ASSERT_EQ(found.status, 0) << "is xdotool installed? " << found.err;
  const std::string window = found.out.substr(0, found.out.find('\n'));
  hand({"windowmove", "--sync", window, "0", "0"});
  hand({"windowfocus", window});
  const auto at = [&](double u) { return std::to_string(static_cast<int>(std::lround(x + u * 8 * px_per_mm))); };
  hand({"mousemove", at(0), std::to_string(y)});
  hand({"mousedown", "1"});
  hand({"mousemove", at(0.5), std::to_string(y)});
  hand({"mousemove", at(1.05), std::to_string(y)});
  hand({"mouseup", "1"});
  hand({"key", "ctrl+s"});
  hand({"key", "ctrl+q"});
  EXPECT_EQ(wait_for(viewer, 20), 0) << text_of(own.file("err"));
  std::string expected = text;
  const std::string old_place = "seat = [-4, 9]";
  expected.replace(expected.find(old_place), old_place.size(), "seat = [-3, 9]");
  EXPECT_EQ(text_of(path), expected);
}

TEST(WithoutADisplay, one_clear_line_and_status_2) {
  const Folder folder;
  const Ended ended =
      run({RIDEPITCH_VIEW, RIDEPITCH_SOURCE_DIR "/tests/models/scout-car.toml"}, "", folder.path.string());
  EXPECT_EQ(ended.status, 2);
  EXPECT_EQ(std::count(ended.err.begin(), ended.err.end(), '\n'), 1) << ended.err;
  EXPECT_THAT(ended.err, HasSubstr("no display"));
}

}  // namespace
}  // namespace ridepitch::view
