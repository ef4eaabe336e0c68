#include "window/questions.hpp"

#include <imgui_stdlib.h>

#include <algorithm>
#include <ctime>
#include <filesystem>
#include <utility>

#include <fmt/format.h>

#include "model/text_file.hpp"
#include "model/write_file.hpp"
#include "state/document.hpp"
#include "window/commands.hpp"
#include "window/widgets.hpp"
#include "words/words.hpp"

namespace ridepitch::view {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_files = 500;  // more are not listed

bool escaped() { return ImGui::Button("cancel") || ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape)); }

bool file_entry(const std::string& label) {
  return ImGui::Selectable(printable(label).c_str(), false, ImGuiSelectableFlags_DontClosePopups);
}

/// Recent files, then the models and folders beside a path. @returns whether a file was chosen, which is then the path
bool file_list(std::string& path, const std::vector<std::string>& recent) {
  std::error_code error;
  fs::path folder = fs::is_directory(path, error) ? fs::path(path) : fs::path(path).parent_path();
  if (folder.empty()) folder = ".";
  std::vector<fs::path> there;
  for (fs::directory_iterator it(folder, error), end; !error && it != end && there.size() < most_files;
       it.increment(error))
    if (it->is_directory(error) || it->path().extension() == ".toml") there.push_back(it->path());
  std::sort(there.begin(), there.end());
  bool chosen = false;
  ImGui::BeginChild("files", ImVec2(0, ImGui::GetFontSize() * 16), true);
  for (const std::string& each : recent)
    if (file_entry("recent: " + each)) {
      path = each;
      chosen = true;
    }
  if (file_entry("..")) path = fs::absolute(folder, error).lexically_normal().parent_path().string() + "/";
  for (const fs::path& each : there) {
    const std::string slash = fs::is_directory(each, error) ? "/" : "", name = each.filename().string();
    if (name.front() == '.' || !file_entry(name + slash)) continue;
    path = each.string() + slash;
    chosen = chosen || slash.empty();
  }
  ImGui::EndChild();
  return chosen;
}

/// A question for a file.
struct PathQuestion {
  Question what;
  const char *title, *button;
  const char*
      ending;  ///< of the file beside the model's that is offered; null: its folder, with a list of what is there
};
constexpr PathQuestion path_questions[] = {
    {Question::open, "Open a model", "open", nullptr},
    {Question::copy, "Save a copy", "save", "-copy.toml"},
    {Question::picture, "Write the drawing as PNG", "write", ".png"},
    {Question::sheet, "Save the sheet as PDF", "save", ".pdf"},
};

/// @returns whether it was answered
bool asked_path(const PathQuestion& question, std::string& path, const std::vector<std::string>& recent) {
  ImGui::SetNextWindowSize(ImVec2(ImGui::GetFontSize() * 40, 0));
  if (!ImGui::BeginPopupModal(question.title, nullptr, ImGuiWindowFlags_NoResize)) return false;
  if (ImGui::IsWindowAppearing()) ImGui::SetKeyboardFocusHere();
  ImGui::SetNextItemWidth(-1);
  bool answered = ImGui::InputText("##path", &path, ImGuiInputTextFlags_EnterReturnsTrue);
  if (!question.ending && file_list(path, recent)) answered = true;
  if (ImGui::Button(question.button)) answered = true;
  ImGui::SameLine();
  if (escaped() || answered) ImGui::CloseCurrentPopup();
  ImGui::EndPopup();
  return answered && !path.empty();
}

/// What a question for a file offers.
std::string offered(const App& app, const PathQuestion& question) {
  const fs::path path = app.document ? app.document->base().path : "";
  if (!question.ending) return path.empty() ? "" : (path.parent_path() / "").string();
  const std::string stem = path.stem().empty() ? "my-model" : path.stem().string();
  return (path.parent_path() / (stem + question.ending)).string();
}

/// ISO 8601, of this place's clock.
std::string today() {
  const std::time_t now = std::time(nullptr);
  std::tm day{};
  localtime_r(&now, &day);
  return fmt::format("{:04}-{:02}-{:02}", day.tm_year + 1900, day.tm_mon + 1, day.tm_mday);
}

std::string saved_words(const char* what, const std::string& path, const std::vector<Problem>& problems) {
  return problems.empty() ? fmt::format("{} was saved as {}.", what, path) : "Not saved: " + problems.front().text;
}

/// @param replace  the builder was asked about the file that is there
void answer(App& app, Question question, bool replace = false) {
  const std::string& path = app.path_text;
  if (question == Question::open) return want_open(app, path);
  if (!app.document) return;
  // A copy under the model's own name is no copy: it looks first whether the file has changed.
  if (question == Question::copy && same_file(path, app.document->base().path)) return save_now(app, false);
  if (!replace && would_replace(path)) {
    app.replacing = question;
    app.question = Question::replace;
    return;
  }
  if (question == Question::picture) app.picture_wanted = path;
  if (question == Question::copy) {
    app.save_problems = save_copy(*app.document, path, replace);
    app.message = saved_words("A copy", path, app.save_problems);
  }
  if (question == Question::sheet)
    app.message = saved_words("The sheet", path, save_sheet(*app.document, path, today(), replace));
}

/// Asks by some buttons beside "cancel". @returns which was pressed; -1: none, or cancel
int asked_by_buttons(const char* title, const std::string& text, std::initializer_list<const char*> buttons) {
  if (!ImGui::BeginPopupModal(title, nullptr, ImGuiWindowFlags_AlwaysAutoResize)) return -1;
  ImGui::TextUnformatted(text.c_str());
  int pressed = -1, index = 0;
  for (const char* each : buttons) {
    if (ImGui::Button(each)) pressed = index;
    ImGui::SameLine();
    ++index;
  }
  if (escaped() || pressed >= 0) ImGui::CloseCurrentPopup();
  ImGui::EndPopup();
  return pressed;
}

void ask_about_replacing(App& app) {
  const std::string name = printable(fs::path(app.path_text).filename().string());
  const int pressed = asked_by_buttons("Replace a file", fmt::format("There is a file {} already.", name),
                                       {"replace it", "another name"});
  if (pressed == 0) answer(app, app.replacing, true);
  if (pressed == 1) app.question = app.replacing;
}

void ask_about_unsaved(App& app) {
  const int pressed = asked_by_buttons("Unsaved", "Your changes are not saved.", {"save", "don't save"});
  const bool save = pressed == 0, drop = pressed == 1;
  if (save) save_now(app, false);
  if (drop || (save && app.document && !unsaved(*app.document))) go_on(app);
}

}  // namespace

void draw_keys(App& app) {
  if (!app.show_keys) return;
  if (begin_sheet("Keys", app.show_keys, ImVec2(36, 40))) {
    if (ImGui::BeginTable("keys", 2, ImGuiTableFlags_RowBg | ImGuiTableFlags_SizingFixedFit)) {
      for (const Command& command : commands())
        for (const std::string& text : {key_text(command), command.words}) {
          ImGui::TableNextColumn();
          ImGui::TextUnformatted(text.c_str());
        }
      ImGui::EndTable();
    }
    heading("With the mouse");
    wrapped_text(
        "Drag a hole: it snaps to the holes of its body's grid, with Shift to half holes. Rings mark places where the "
        "linkage assembles, crosses where it does not. Ctrl-click takes the next of several holes in one place. "
        "Drag a wheel through its travel. Scroll over the selected rod for its length (Shift: half modules), over the "
        "selected spring for its part (Ctrl: how many), elsewhere to zoom. "
        "The right button opens a menu. Drag in a diagram to raise the wheel; double-click to put it back to rest.");
  }
  ImGui::End();
}

void draw_about(App& app) {
  if (!app.show_about) return;
  if (begin_sheet("About", app.show_about, ImVec2(34, 0))) {
    wrapped_text(
        "ridepitch-view shows how a model of plastic bricks stands on its linkages and springs, and lets you change "
        "it. MIT licence.");
    for (const char* title : {"cautions", "limits"})
      if (const Word* word = find_word(title)) {
        heading(title);
        wrapped_text(std::string(word->text));
      }
    heading("Made with");
    wrapped_text("Dear ImGui (MIT licence), GLFW (zlib licence), the font DejaVu Sans (Bitstream Vera licence).");
  }
  ImGui::End();
}

void draw_questions(App& app) {
  const Question asked = std::exchange(app.question, Question::none);
  for (const PathQuestion& each : path_questions) {
    if (each.what == asked) {
      app.path_text = offered(app, each);
      ImGui::OpenPopup(each.title);
    }
    if (asked_path(each, app.path_text, app.settings.recent)) answer(app, each.what);
  }
  if (asked == Question::replace) ImGui::OpenPopup("Replace a file");
  ask_about_replacing(app);
  if (asked == Question::unsaved) ImGui::OpenPopup("Unsaved");
  ask_about_unsaved(app);
}

}  // namespace ridepitch::view
