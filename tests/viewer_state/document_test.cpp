// The open model: edits, undo across saves, the file on disk. What the numbers must be is what the library says of the same
// edited model (the viewer has no physics of its own), and statics where a closed form is at hand.

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <fstream>
#include <functional>

#include "model/read.hpp"
#include "ride/solve.hpp"
#include "rigs/files.hpp"
#include "rigs/models.hpp"
#include "rigs/texts.hpp"
#include "rigs/units.hpp"
#include "state/document.hpp"

namespace ridepitch::view {
namespace {

constexpr int pivot_hole = 0, seat_hole = 1;

Change seat_at(double u, double v) { return MoveHole{0, chassis, seat_hole, module_mm * Vec2(u, v)}; }

Document opened(const std::string& path) {
  OpenedDocument out = open_document(path);
  EXPECT_TRUE(out.document) << (out.problems.empty() ? "" : out.problems.front().text);
  return out.document ? std::move(*out.document) : Document{};
}

double sag(const Document& document) { return document.shown->solution.corners[0].wheels[0].sag_mm.value_or(-1); }

TEST(OpenDocument, shows_what_the_library_says_of_the_file) {
  const Folder folder;
  const Document document = opened(folder.write("arm.toml", trial_arm()));
  EXPECT_FALSE(unsaved(document));
  EXPECT_FALSE(can_undo(document));
  // Moments about the pivot of a level arm: source and derivation in rigs/texts.hpp. The arm is level where the coil has 6.5
  // modules = 52 mm; with 1.6 N/mm from 60 mm it pushes 1.6 * 8 = 12.8 N there, which is trial_arm_force_n.
  EXPECT_NEAR(*document.shown->solution.corners[0].springs[0].force_n, trial_arm_force_n, 1e-9);
  EXPECT_NEAR(*document.shown->solution.corners[0].springs[0].length_mm, 52, 1e-9);
}

TEST(MakeChanges, give_the_numbers_of_the_library_on_the_same_edited_model) {
  const Folder folder;
  const std::string path = folder.write("arm.toml", trial_arm());
  Document document = opened(path);
  ASSERT_TRUE(make_changes(document, {seat_at(6, 6.5)}));
  const Model model = changed(*read_model(path).model, {seat_at(6, 6.5)});
  const SolveResult direct = solve(model);
  ASSERT_TRUE(direct.solution);
  EXPECT_EQ(sag(document), *direct.solution->corners[0].wheels[0].sag_mm);
  EXPECT_TRUE(unsaved(document));
}

TEST(TryChanges, are_no_step_until_they_are_kept) {
  const Folder folder;
  Document document = opened(folder.write("arm.toml", trial_arm()));
  const double before = sag(document);
  EXPECT_TRUE(try_changes(document, {seat_at(6, 7)}, Detail::dragging));
  EXPECT_NE(sag(document), before);
  EXPECT_TRUE(try_changes(document, {seat_at(6, 6.5)}, Detail::dragging));
  EXPECT_EQ(document.steps.size(), 1u);
  give_up(document);
  EXPECT_EQ(sag(document), before);
  EXPECT_FALSE(unsaved(document));

  try_changes(document, {seat_at(6, 6.5)}, Detail::dragging);
  EXPECT_TRUE(keep_tried(document));
  EXPECT_EQ(document.steps.size(), 2u) << "one step for a whole drag";
}

TEST(TryChanges, back_at_the_start_leave_no_step) {
  const Folder folder;
  Document document = opened(folder.write("arm.toml", trial_arm()));
  try_changes(document, {seat_at(6, 7)}, Detail::dragging);
  try_changes(document, {seat_at(5, 6.5)}, Detail::dragging);
  EXPECT_FALSE(keep_tried(document));
  EXPECT_FALSE(can_undo(document));
}

TEST(MakeChanges, that_have_no_solution_keep_the_last_good_state_on_screen_and_say_why) {
  const Folder folder;
  Document document = opened(folder.write("arm.toml", trial_arm()));
  const double before = sag(document);
  EXPECT_FALSE(make_changes(document, {seat_at(60, 60)}));
  ASSERT_FALSE(document.why_not.empty());
  EXPECT_GT(document.why_not.front().place.line, 0);
  EXPECT_FALSE(document.why_not.front().file_name.empty());
  EXPECT_EQ(sag(document), before);
  EXPECT_EQ(document.steps.size(), 1u);
  undo(document);
  EXPECT_TRUE(document.why_not.empty());
}

TEST(Undo, goes_back_step_by_step_and_redo_forth_again) {
  const Folder folder;
  Document document = opened(folder.write("arm.toml", trial_arm()));
  const double first = sag(document);
  make_changes(document, {seat_at(6, 6.5)});
  const double second = sag(document);
  make_changes(document, {seat_at(6, 6)});
  undo(document);
  EXPECT_EQ(sag(document), second);
  undo(document);
  EXPECT_EQ(sag(document), first);
  EXPECT_FALSE(can_undo(document));
  redo(document);
  EXPECT_EQ(sag(document), second);
  make_changes(document, {seat_at(5, 6)});
  EXPECT_FALSE(can_redo(document)) << "a new step ends what was undone";
}

TEST(Undo, goes_on_across_a_save) {
  const Folder folder;
  const std::string path = folder.write("arm.toml", trial_arm());
  Document document = opened(path);
  const double first = sag(document);
  make_changes(document, {seat_at(6, 6.5)});
  ASSERT_TRUE(save(document).empty());
  EXPECT_FALSE(unsaved(document));
  undo(document);
  EXPECT_EQ(sag(document), first);
  EXPECT_TRUE(unsaved(document));
  ASSERT_TRUE(save(document).empty());
  EXPECT_EQ(text_of(path), trial_arm()) << "all bytes are as they were";
}

TEST(Save, changes_the_changed_value_only) {
  const Folder folder;
  const std::string path = folder.write("arm.toml", trial_arm());
  Document document = opened(path);
  make_changes(document, {seat_at(6, 6.5)});
  ASSERT_TRUE(save(document).empty());
  std::string expected = trial_arm();
  const std::string old_place = "seat = [5, 6.5]", new_place = "seat = [6, 6.5]";
  expected.replace(expected.find(old_place), old_place.size(), new_place);
  EXPECT_EQ(text_of(path), expected);
}

TEST(Save, leaves_a_read_only_file_alone_and_says_so) {
  const Folder folder;
  const std::string path = folder.write("arm.toml", trial_arm());
  Document document = opened(path);
  make_changes(document, {seat_at(6, 6.5)});
  ASSERT_EQ(chmod(path.c_str(), 0444), 0);
  const std::vector<Problem> problems = save(document);
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(problems.front().code, "read-only");
  EXPECT_EQ(text_of(path), trial_arm());
  EXPECT_TRUE(unsaved(document));
}

TEST(SaveCopy, on_a_full_disk_tells_and_loses_nothing) {
  // /dev/full answers every write with "no space left on device": full(4) of the Linux manual pages.
  if (!std::filesystem::exists("/dev/full")) GTEST_SKIP() << "no /dev/full here";
  const Folder folder;
  Document document = opened(folder.write("arm.toml", trial_arm()));
  make_changes(document, {seat_at(6, 6.5)});
  const std::vector<Problem> problems = save_copy(document, "/dev/full");
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(problems.front().code, "cannot-write");
  EXPECT_TRUE(unsaved(document));
  EXPECT_EQ(document.steps.size(), 2u);
}

TEST(SaveCopy, of_a_text_without_a_file_is_the_only_way_to_save_it) {
  const Folder folder;
  OpenedDocument demo = open_text(trial_arm(), "demo");
  ASSERT_TRUE(demo.document);
  ASSERT_EQ(save(*demo.document).size(), 1u);
  EXPECT_TRUE(save_copy(*demo.document, folder.file("mine.toml")).empty());
  EXPECT_EQ(text_of(folder.file("mine.toml")), trial_arm());
}

TEST(Disk, a_changed_file_is_read_again_where_nothing_would_be_lost) {
  const Folder folder;
  const std::string path = folder.write("arm.toml", trial_arm());
  Document document = opened(path);
  const double before = sag(document);
  EXPECT_EQ(look_at_disk(document), DiskState::same);
  std::string other = trial_arm();
  other.replace(other.find("load_n = 8"), 10, "load_n = 9");
  folder.write("arm.toml", other);
  EXPECT_EQ(look_at_disk(document), DiskState::reloaded);
  EXPECT_GT(sag(document), before);
  EXPECT_FALSE(unsaved(document));
  undo(document);
  EXPECT_EQ(sag(document), before) << "what was read before is a step back";
  EXPECT_TRUE(unsaved(document));
}

TEST(Disk, a_changed_file_is_told_but_not_read_over_unsaved_work) {
  const Folder folder;
  const std::string path = folder.write("arm.toml", trial_arm());
  Document document = opened(path);
  make_changes(document, {seat_at(6, 6.5)});
  const double mine = sag(document);
  const std::string theirs = trial_arm() + "\n# somebody else's line\n";
  folder.write("arm.toml", theirs);
  EXPECT_EQ(look_at_disk(document), DiskState::changed);
  EXPECT_EQ(sag(document), mine);
  const std::vector<Problem> problems = save(document);
  ASSERT_EQ(problems.size(), 1u);
  EXPECT_EQ(problems.front().code, "changed-on-disk");
  EXPECT_EQ(text_of(path), theirs);
  EXPECT_TRUE(save(document, true).empty());
  EXPECT_FALSE(unsaved(document));
}

TEST(Disk, a_broken_file_is_told_with_its_line_while_the_last_good_state_stays) {
  const Folder folder;
  const std::string path = folder.write("arm.toml", trial_arm());
  Document document = opened(path);
  const double before = sag(document);
  folder.write("arm.toml", "format = 1\nname = trial\n");
  EXPECT_EQ(look_at_disk(document), DiskState::broken);
  ASSERT_FALSE(document.file_problems.empty());
  EXPECT_EQ(document.file_problems.front().place.line, 2);
  EXPECT_EQ(sag(document), before);
  EXPECT_EQ(save(document).size(), 1u) << "the text that somebody is writing is not overwritten by the way";
  folder.write("arm.toml", trial_arm());
  EXPECT_EQ(look_at_disk(document), DiskState::reloaded);
  EXPECT_TRUE(document.file_problems.empty());
}

TEST(Save, refuses_whatever_took_the_files_place_since_it_was_read_until_told_to_replace_it) {
  const auto refused = [](const std::function<void(const std::string&)>& meanwhile, const std::string& still_there) {
    const Folder folder;
    const std::string path = folder.write("arm.toml", trial_arm());
    Document document = opened(path);
    make_changes(document, {seat_at(6, 6.5)});
    meanwhile(path);
    const std::vector<Problem> problems = save(document);
    ASSERT_EQ(problems.size(), 1u);
    EXPECT_EQ(problems.front().code, "changed-on-disk");
    EXPECT_NE(problems.front().hint, "");
    EXPECT_TRUE(unsaved(document));
    if (!still_there.empty()) {
      EXPECT_EQ(text_of(path), still_there);
    }
  };
  const auto written = [](const std::string& text) {
    return [text](const std::string& path) { std::ofstream(path) << text; };
  };
  refused(written("# mine\n" + trial_arm()), "# mine\n" + trial_arm());
  refused(written(""), "");
  refused(written("no model at all"), "no model at all");
  refused(
      [](const std::string& path) {  // an editor that renames a new file into place
        std::ofstream(path + "~") << "theirs";
        std::filesystem::rename(path + "~", path);
      },
      "theirs");
  refused(
      [](const std::string& path) {
        std::filesystem::remove(path);
        std::filesystem::create_directory(path);
      },
      "");
  refused(
      [](const std::string& path) {
        std::filesystem::remove(path);
        std::filesystem::create_symlink("/dev/full", path);
      },
      "");
}

TEST(SaveCopy, replaces_a_file_only_when_told) {
  const Folder folder;
  Document document = opened(folder.write("arm.toml", trial_arm()));
  const std::string theirs = folder.write("theirs.toml", "theirs"), link = folder.file("link.toml");
  std::filesystem::create_symlink(theirs, link);
  for (const std::string& path : {theirs, link}) {
    for (const std::vector<Problem>& problems : {save_copy(document, path), save_sheet(document, path, "2026-11-28")}) {
      ASSERT_EQ(problems.size(), 1u) << path;
      EXPECT_EQ(problems.front().code, "exists");
    }
    EXPECT_EQ(text_of(theirs), "theirs");
  }
  EXPECT_TRUE(save_copy(document, theirs, true).empty());
  EXPECT_EQ(text_of(theirs), trial_arm());
  EXPECT_TRUE(save_sheet(document, theirs, "2026-11-28", true).empty());
  EXPECT_EQ(text_of(theirs).substr(0, 5), "%PDF-");
}

TEST(Disk, a_file_that_is_gone_is_told_and_written_anew_by_a_save) {
  const Folder folder;
  const std::string path = folder.write("arm.toml", trial_arm());
  Document document = opened(path);
  std::filesystem::remove(path);
  EXPECT_EQ(look_at_disk(document), DiskState::gone);
  EXPECT_TRUE(save(document).empty());
  EXPECT_EQ(text_of(path), trial_arm());
}

TEST(OpenDocument, of_a_bad_file_gives_its_errors_with_line_and_column) {
  const Folder folder;
  const OpenedDocument out = open_document(folder.write("bad.toml", "format = 1\nnmae = \"x\"\n"));
  EXPECT_FALSE(out.document);
  const bool told = std::any_of(out.problems.begin(), out.problems.end(),
                                [](const Problem& each) { return each.place.line == 2 && each.place.column == 1; });
  EXPECT_TRUE(told) << "the misspelt key";
  EXPECT_EQ(open_document(folder.file("missing.toml")).problems.size(), 1u);
}

TEST(PinBefore, is_what_is_compared_with_from_then_on_and_a_step_that_can_be_undone) {
  const Folder folder;
  Document document = opened(folder.write("arm.toml", trial_arm()));
  const SolvedPtr opening = document.step().before;
  make_changes(document, {seat_at(6, 6.5)});
  EXPECT_EQ(document.step().before, opening);
  pin_before(document);
  EXPECT_EQ(document.step().before->solution.corners[0].wheels[0].sag_mm,
            document.shown->solution.corners[0].wheels[0].sag_mm);
  undo(document);
  EXPECT_EQ(document.step().before, opening);
}

TEST(Merged, changes_of_one_thing_are_one_and_what_changes_nothing_is_none) {
  const Model model = read_rig(trial_arm());
  const Changes once = merged(model, {}, {seat_at(6, 6.5)});
  EXPECT_EQ(merged(model, once, {seat_at(7, 6.5)}), Changes{seat_at(7, 6.5)});
  EXPECT_TRUE(merged(model, once, {seat_at(5, 6.5)}).empty());
  const Change pivot = MoveHole{0, chassis, pivot_hole, Vec2(8, 0)};
  EXPECT_EQ(merged(model, once, {pivot}), (Changes{seat_at(6, 6.5), pivot}));
  // A spring's count keeps the part that was chosen before.
  EXPECT_EQ(merged(model, {SetSpring{0, 0, "coil-7-firm", 1}}, {SetSpring{0, 0, "", 2}}),
            (Changes{SetSpring{0, 0, "coil-7-firm", 2}}));
}

}  // namespace
}  // namespace ridepitch::view
