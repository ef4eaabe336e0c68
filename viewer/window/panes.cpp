#include "window/panes.hpp"

#include <imgui.h>
#include <imgui_stdlib.h>

#include <algorithm>
#include <cassert>
#include <cmath>
#include <ctime>
#include <filesystem>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/tune.hpp"
#include "state/save_sheet.hpp"
#include "state/steering_place.hpp"
#include "swap/rework.hpp"
#include "window/canvas.hpp"
#include "window/commands.hpp"
#include "window/theme.hpp"
#include "words/number.hpp"
#include "words/words.hpp"

namespace ridepitch::view {
namespace {

void tooltip_of(std::string_view word) {
  if (!ImGui::IsItemHovered() || !find_word(word)) return;
  ImGui::BeginTooltip();
  ImGui::PushTextWrapPos(ImGui::GetFontSize() * 28);
  ImGui::TextUnformatted(std::string(meaning_of(word)).c_str());
  ImGui::PopTextWrapPos();
  ImGui::EndTooltip();
}

void wrapped_text(const std::string& text) {
  ImGui::PushTextWrapPos(0);
  ImGui::TextUnformatted(text.c_str());
  ImGui::PopTextWrapPos();
}

/// The text in lines that fit.
std::string folded(const std::string& text, float width) {
  std::string out;
  const char* here = text.data();
  const char* end = here + text.size();
  while (here < end) {
    const char* next =
        ImGui::GetFont()->CalcWordWrapPositionA(ImGui::GetFontSize() / ImGui::GetFont()->FontSize, here, end, width);
    if (next == here) ++next;
    if (!out.empty()) out += "\n";
    out.append(here, next);
    here = next;
    while (here < end && *here == ' ') ++here;
  }
  return out;
}

void heading(const char* text) {
  ImGui::Spacing();
  ImGui::TextDisabled("%s", text);
  ImGui::Separator();
}

// ------------------------------------------------------------------------------------ menus

/// A menu entry of a command of the table, found by its words.
void entry(App& app, const char* label, std::string_view words, bool enabled = true) {
  const auto& table = commands();
  const auto found = std::find_if(table.begin(), table.end(), [&](const Command& each) { return each.words == words; });
  assert(found != table.end());
  if (ImGui::MenuItem(label, key_text(*found).c_str(), false, enabled)) found->run(app);
}

void draw_menu(App& app) {
  if (!ImGui::BeginMenuBar()) return;
  const bool open = app.document.has_value();
  if (ImGui::BeginMenu("File")) {
    entry(app, "Open...", "open a model");
    if (ImGui::BeginMenu("Recent", !app.settings.recent.empty())) {
      const std::vector<std::string> recent = app.settings.recent;
      for (const std::string& path : recent)
        if (ImGui::MenuItem(path.c_str())) want_open(app, path);
      ImGui::EndMenu();
    }
    ImGui::Separator();
    entry(app, "Save", "save in the file, comments kept", open);
    entry(app, "Save a copy...", "save a copy", open);
    entry(app, "Read again from disk", "read the file again", open && !app.document->base().path.empty());
    entry(app, "Write the drawing as PNG...", "write the drawing as a PNG", open);
    entry(app, "Save the sheet as PDF...", "save the sheet for the builder as a PDF", open);
    ImGui::Separator();
    entry(app, "Close", "close");
    ImGui::EndMenu();
  }
  if (ImGui::BeginMenu("Edit")) {
    const std::string undo_label =
        open && can_undo(*app.document) && !app.document->trying ? "Undo: " + app.document->step().words : "Undo";
    const std::string redo_label =
        open && can_redo(*app.document) ? "Redo: " + app.document->steps[app.document->at + 1].words : "Redo";
    entry(app, undo_label.c_str(), "undo", open && can_undo(*app.document));
    entry(app, redo_label.c_str(), "redo", open && can_redo(*app.document));
    ImGui::Separator();
    entry(app, "Pin as before", "pin what is shown as the state before", open);
    ImGui::EndMenu();
  }
  if (ImGui::BeginMenu("View")) {
    entry(app, "Fit", "fit the drawing into its pane");
    ImGui::MenuItem("Ghost of before", "G", &app.ghost);
    ImGui::MenuItem("Names at the ends of travel", nullptr, &app.show_words);
    entry(app, app.settings.dark ? "Light" : "Dark", "light or dark");
    entry(app, "Greater text", "greater text");
    entry(app, "Smaller text", "smaller text");
    ImGui::EndMenu();
  }
  if (ImGui::BeginMenu("Search")) {
    entry(app, "Rework and tune...", "search: rework and tune", open);
    ImGui::EndMenu();
  }
  if (ImGui::BeginMenu("Help")) {
    entry(app, "Keys", "this list");
    entry(app, "About", "about: cautions and limits");
    ImGui::EndMenu();
  }
  ImGui::EndMenuBar();
}

// --------------------------------------------------------------------------- the line on top

std::string title_of(const App& app) {
  if (!app.document) return app.failed_path.empty() ? "no model" : app.failed_path;
  const Document& document = *app.document;
  return fmt::format("{}{}", document.base().model.name, unsaved(document) ? "  (unsaved)" : "");
}

/// The verdict or what is wrong, in one line, with a sign that needs no colour.
void draw_verdict(App& app) {
  const bool dark = app.settings.dark;
  const ImVec4 good = ImGui::ColorConvertU32ToFloat4(ink_for(Role::place_fits, dark).fill);
  const ImVec4 bad = ImGui::ColorConvertU32ToFloat4(ink_for(Role::solid, dark).fill);
  ImGui::TextUnformatted(title_of(app).c_str());
  if (!app.document) return;
  ImGui::SameLine(0, 24 * app.scale);
  const Document& document = *app.document;
  if (!document.why_not.empty()) {
    const Problem& why = document.why_not.front();
    ImGui::TextColored(bad, "\u2717 does not go: %s%s", why.text.c_str(), document.trying ? "  (Esc gives it up)" : "");
  } else if (app.derived.comparison) {
    const Comparison& c = *app.derived.comparison;
    ImGui::TextColored(c.holds ? good : bad, "%s %s", c.holds ? "\u25CF" : "\u25B2", c.verdict.c_str());
  } else {
    ImGui::TextDisabled("as it was opened; drag a hole");
  }
}

// ------------------------------------------------------------------------------ what can be changed

void draw_corners(App& app, const Model& model) {
  for (int c = 0; c < count(model.corners); ++c) {
    const Corner& corner = at(model.corners, c);
    const std::string label = fmt::format("{}  ({})", corner.name, at(model.linkages, corner.linkage).name);
    if (ImGui::Selectable(label.c_str(), app.selection.corner == c)) select(app, {.corner = c});
  }
}

void draw_rods(App& app, const Model& model) {
  const Linkage& linkage = linkage_of(model, app.selection);
  for (int r = 0; r < count(linkage.rods); ++r) {
    const Rod& rod = at(linkage.rods, r);
    ImGui::PushID(1000 + r);
    const Selection thing{app.selection.corner, Thing::rod, 0, r};
    if (ImGui::Selectable(rod.name.c_str(), app.selection == thing, 0,
                          ImVec2(ImGui::GetContentRegionAvail().x * 0.4f, 0)))
      select(app, thing);
    ImGui::SameLine();
    double length = rod.length_mm / model.module_mm;
    ImGui::SetNextItemWidth(-1);
    if (ImGui::InputDouble("##length", &length, 1, 0.5, "%g", ImGuiInputTextFlags_EnterReturnsTrue) && length > 0)
      change(app, rod_lengthened(model, thing, length - rod.length_mm / model.module_mm));
    ImGui::PopID();
  }
}

void draw_springs(App& app, const Model& model) {
  const Linkage& linkage = linkage_of(model, app.selection);
  const int index = linkage_index(model, app.selection);
  for (int s = 0; s < count(linkage.springs); ++s) {
    const Spring& spring = at(linkage.springs, s);
    ImGui::PushID(2000 + s);
    const Selection thing{app.selection.corner, Thing::spring, 0, s};
    const bool has_part = !turns(spring);
    if (ImGui::Selectable(spring.name.c_str(), app.selection == thing, 0,
                          ImVec2(!has_part ? 0 : ImGui::GetContentRegionAvail().x * 0.4f, 0)))
      select(app, thing);
    if (has_part) {
      int n = spring.count;
      ImGui::SameLine();
      ImGui::SetNextItemWidth(-1);
      if (ImGui::InputInt("##count", &n, 1, 1, ImGuiInputTextFlags_EnterReturnsTrue) && n >= 1 && n <= 99)
        change(app, {SetSpring{index, s, spring.part, n}});
      ImGui::SetNextItemWidth(-1);
      if (ImGui::BeginCombo("##part", spring.part.empty() ? "of its own" : spring.part.c_str())) {
        for (const std::string& part : parts_for(model, index, s))
          if (ImGui::Selectable(part.c_str(), part == spring.part))
            change(app, {SetSpring{index, s, part, spring.count}});
        ImGui::EndCombo();
      }
    }
    ImGui::PopID();
  }
}

void draw_holes(App& app, const Model& model) {
  const Linkage& linkage = linkage_of(model, app.selection);
  const int index = linkage_index(model, app.selection);
  for (int b = 0; b < count(linkage.bodies); ++b) {
    const Body& body = at(linkage.bodies, b);
    ImGui::TextDisabled("%s", body.name.c_str());
    for (int h = 0; h < count(body.holes); ++h) {
      const Hole& hole = at(body.holes, h);
      ImGui::PushID(3000 + 100 * b + h);
      const Selection thing{app.selection.corner, Thing::hole, b, h};
      if (ImGui::Selectable(("  " + hole.name).c_str(), app.selection == thing, 0,
                            ImVec2(ImGui::GetContentRegionAvail().x * 0.4f, 0)))
        select(app, thing);
      ImGui::SameLine();
      double place[2] = {hole.p_B.x() / model.module_mm, hole.p_B.y() / model.module_mm};
      ImGui::SetNextItemWidth(-1);
      if (ImGui::InputScalarN("##place", ImGuiDataType_Double, place, 2, nullptr, nullptr, "%g",
                              ImGuiInputTextFlags_EnterReturnsTrue))
        change(app, {MoveHole{index, b, h, model.module_mm * Vec2(place[0], place[1])}});
      ImGui::PopID();
    }
  }
}

void draw_left(App& app) {
  if (!app.document) return;
  const Model model = tried_model(*app.document);
  app.selection = still_valid(model, app.selection);
  heading("Corner");
  draw_corners(app, model);
  const Linkage& linkage = linkage_of(model, app.selection);
  if (!linkage.rods.empty()) {
    heading("Rods: length [modules]");
    draw_rods(app, model);
  }
  if (!linkage.springs.empty()) {
    heading("Springs: count, part");
    draw_springs(app, model);
  }
  heading("Holes on their grids [modules]");
  draw_holes(app, model);
}

// ---------------------------------------------------------------------------------- numbers

void draw_rows(const App& app) {
  const bool dark = app.settings.dark;
  if (!ImGui::BeginTable("numbers", 4, ImGuiTableFlags_RowBg | ImGuiTableFlags_SizingStretchProp)) return;
  const float left = ImGui::GetCursorScreenPos().x, across = ImGui::GetContentRegionAvail().x;
  ImGui::TableSetupColumn("", 0, 3.3f);
  ImGui::TableSetupColumn("before", 0, 1);
  ImGui::TableSetupColumn("now", 0, 1);
  ImGui::TableSetupColumn("differs", 0, 1.1f);
  const auto heading_row = [&](const std::string& text) {
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    // Over all columns: a cell would cut it off.
    const ImVec2 at = ImGui::GetCursorScreenPos();
    const float height = ImGui::GetTextLineHeight();
    ImGui::Dummy(ImVec2(1, height));
    if (!ImGui::IsItemVisible()) return;
    ImDrawList& list = *ImGui::GetWindowDrawList();
    const ImVec2 low = ImGui::GetWindowPos(), size = ImGui::GetWindowSize();
    list.PushClipRect(ImVec2(left, std::max(at.y, low.y)),
                      ImVec2(left + across, std::min(at.y + height, low.y + size.y)));
    list.AddText(at, ImGui::GetColorU32(ImGuiCol_TextDisabled), text.c_str());
    list.PopClipRect();
  };
  const auto right = [](const std::string& text) {
    const float room = ImGui::GetContentRegionAvail().x - ImGui::CalcTextSize(text.c_str()).x;
    if (room > 0) ImGui::SetCursorPosX(ImGui::GetCursorPosX() + room);
    ImGui::TextUnformatted(text.c_str());
  };
  ImGui::TableNextRow(ImGuiTableRowFlags_Headers);
  for (const char* title : {"", "before", "now", "differs"}) {
    ImGui::TableNextColumn();
    right(title);
  }
  const bool compared = app.derived.before && app.derived.before != app.derived.now;
  std::string where = "?";
  for (const NumberRow& row : app.derived.rows) {
    if (row.where != where) {
      where = row.where;
      heading_row(where.empty() ? "vehicle" : where);
    }
    ImGui::TableNextRow();
    ImGui::TableNextColumn();
    const std::string words = fmt::format("  {}{}{}", row.words, row.unit.empty() ? "" : "  ", row.unit);
    ImGui::TextUnformatted(words.c_str());
    tooltip_of(row.words);
    ImGui::TableNextColumn();
    right(compared ? number(row.before, row.decimals) : "");
    ImGui::TableNextColumn();
    right(row.later ? "..." : number(row.now, row.decimals));
    if (row.later && ImGui::IsItemHovered()) ImGui::SetTooltip("worked out when the hand lets go");
    ImGui::TableNextColumn();
    const std::string difference = difference_text(row);
    if (!row.within) {
      ImGui::PushStyleColor(ImGuiCol_Text, ink_for(Role::solid, dark).fill);
      right(difference + " \u25B2");
      ImGui::PopStyleColor();
      if (ImGui::IsItemHovered()) ImGui::SetTooltip("more than its tolerance");
    } else {
      right(difference);
    }
  }
  ImGui::EndTable();
}

void draw_problems(const std::vector<Problem>& problems) {
  for (const Problem& problem : problems) {
    std::string place = problem.file_name;
    if (problem.place.line > 0) place += fmt::format(":{}", problem.place.line);
    if (problem.place.column > 0) place += fmt::format(":{}", problem.place.column);
    if (!place.empty()) wrapped_text(place);
    wrapped_text("\u2717 " + problem.text);
    if (!problem.line_text.empty()) ImGui::TextDisabled("  %s", problem.line_text.c_str());
    if (!problem.hint.empty()) wrapped_text("   fix: " + problem.hint);
    ImGui::Spacing();
  }
}

void draw_finding(const Finding& finding) {
  const char* sign = finding.level == Level::problem ? "\u2717" : finding.level == Level::warning ? "!" : "\u2022";
  wrapped_text(fmt::format("{} {}{}{}", sign, finding.where, finding.where.empty() ? "" : ": ", finding.text));
  if (ImGui::IsItemHovered() && !finding.remedy.empty()) ImGui::SetTooltip("%s", finding.remedy.c_str());
}

void draw_findings(const Solved& solved) {
  const bool of_steering = solved.steered && !solved.steered->findings.empty();
  if (solved.solution.findings.empty() && !of_steering) ImGui::TextUnformatted("Nothing was found against it.");
  for (const Finding& finding : solved.solution.findings) draw_finding(finding);
  if (of_steering)
    for (const Finding& finding : solved.steered->findings) draw_finding(finding);
}

void draw_travel_row(App& app) {
  if (!app.travel_mm || !app.document->shown) return;
  const Curve* curve = nullptr;
  for (const Curve& each : app.document->shown->solution.curves)
    if (each.corner == app.selection.corner && each.wheel == app.wheel) curve = &each;
  if (!curve) return;
  for (const CurvePoint& point : curve->points)
    if (point.travel_mm == *app.travel_mm)
      wrapped_text(
          fmt::format("raised by hand to {:.1f} mm (Home: back to rest)\nload {:.2f} N, wheel rate {:.3f} N/mm{}",
                      point.travel_mm, point.load_n, point.wheel_rate_n_per_mm,
                      point.motion_ratio ? fmt::format(", motion ratio {:.3f}", *point.motion_ratio) : ""));
}

void draw_right(App& app) {
  if (!app.document) {
    heading("What is wrong");
    draw_problems(app.failed_problems);
    return;
  }
  Document& document = *app.document;
  if (!app.failed_problems.empty()) {
    heading("The file that was to be opened");
    draw_problems(app.failed_problems);
    if (ImGui::SmallButton("dismiss")) app.failed_problems.clear();
  }
  if (!app.save_problems.empty()) {
    heading("Not saved");
    draw_problems(app.save_problems);
    if (ImGui::SmallButton("save a copy")) app.ask_copy = true;
    if (document.changed_on_disk || !document.file_problems.empty()) {
      ImGui::SameLine();
      if (ImGui::SmallButton("save over it")) save_now(app, true);
    }
    ImGui::SameLine();
    if (ImGui::SmallButton("dismiss")) app.save_problems.clear();
  }
  if (!document.file_problems.empty()) {
    heading("The file on disk can't be read; the last good state is shown");
    draw_problems(document.file_problems);
  }
  if (document.changed_on_disk) {
    heading("The file was changed on disk");
    wrapped_text("Something is unsaved here, so it was not read again.");
    if (ImGui::SmallButton("read it again (undo goes back)")) reload(document);
  }
  if (!document.why_not.empty()) {
    heading(document.trying ? "What is tried does not go" : "It does not go");
    draw_problems(document.why_not);
  }
  if (document.shown && document.shown_of != document.step().base)
    wrapped_text("The drawing and the numbers are of the last state that stood, before the file was changed.");
  if (document.shown) {
    draw_travel_row(app);
    draw_rows(app);
    heading("Findings");
    draw_findings(*document.shown);
  }
}

// ------------------------------------------------------------------------------------ search

/// Shows a row as if it was made, -1: none. The pointer goes before the keys.
void preview(App& app, int row) {
  if (row == app.previewed || app.drag.what != Drag::What::none) return;
  app.previewed = row;
  if (row < 0)
    give_up(*app.document);
  else
    try_changes(*app.document, at(app.report.rows, row).changes, Detail::full);
}

void draw_search(App& app) {
  if (!app.document) return;
  Document& document = *app.document;
  const std::vector<std::string> parts = used_spring_parts(document.base().model);
  if (app.gone.empty() && !parts.empty()) app.gone = parts.front();
  ImGui::AlignTextToFramePadding();
  ImGui::TextUnformatted("Can no longer be had:");
  ImGui::SameLine();
  ImGui::SetNextItemWidth(ImGui::GetFontSize() * 12);
  if (ImGui::BeginCombo("##gone", app.gone.c_str())) {
    for (const std::string& part : parts)
      if (ImGui::Selectable(part.c_str(), part == app.gone)) app.gone = part;
    ImGui::EndCombo();
  }
  const bool running = app.search && !report_of(*app.search).done;
  ImGui::SameLine();
  ImGui::BeginDisabled(running || app.gone.empty());
  if (ImGui::Button("rework")) start_rework(app);
  ImGui::EndDisabled();
  ImGui::SameLine();
  const bool has_tune = document.base().model.tune && !document.base().model.tune->vary.empty();
  ImGui::BeginDisabled(running || !has_tune);
  if (ImGui::Button("tune")) start_tune(app);
  ImGui::EndDisabled();
  if (ImGui::IsItemHovered(ImGuiHoveredFlags_AllowWhenDisabled))
    ImGui::SetTooltip("%s", has_tune ? "searches what the model's [tune] asks" : "the model has no [tune]");
  ImGui::SameLine();
  if (ImGui::Button("curves")) app.show_search = false;
  if (running) {
    ImGui::SameLine();
    if (ImGui::Button("stop")) app.search->stop = true;
    const std::uint64_t done = app.search->looked_at, of = app.search->of;
    ImGui::TextDisabled("looking... %llu%s", static_cast<unsigned long long>(done),
                        of > 0 ? fmt::format(" of {}", of).c_str() : "");
  }
  if (app.search && !running && !app.report.done) app.report = report_of(*app.search);
  if (!app.report.headline.empty()) wrapped_text(app.report.headline);
  int hovered = -1;
  ImGui::BeginChild("rows");
  for (int i = 0; i < count(app.report.rows); ++i) {
    const SearchRow& row = at(app.report.rows, i);
    ImGui::PushID(i);
    const bool take = ImGui::Button("take");
    if (ImGui::IsItemHovered()) hovered = i;
    ImGui::SameLine();
    const float room = ImGui::GetContentRegionAvail().x;
    const std::string text = folded(fmt::format("{} {}", row.holds ? "\u25CF" : "\u25B2", row.words), room) + "\n" +
                             folded("    " + row.verdict, room);
    if (ImGui::Selectable(text.c_str(), app.row_shown == i)) app.row_shown = app.row_shown == i ? -1 : i;
    if (ImGui::IsItemHovered()) hovered = i;
    ImGui::PopID();
    if (take) {
      take_row(app, i);
      hovered = -1;
      break;
    }
  }
  ImGui::EndChild();
  preview(app, hovered >= 0 ? hovered : app.row_shown);
}

// ---------------------------------------------------------------------------------- questions

void draw_keys(App& app) {
  if (!app.show_keys) return;
  ImGui::SetNextWindowSize(ImVec2(ImGui::GetFontSize() * 36, ImGui::GetFontSize() * 40), ImGuiCond_Appearing);
  const ImGuiViewport* port = ImGui::GetMainViewport();
  ImGui::SetNextWindowPos(ImVec2(port->WorkPos.x + port->WorkSize.x / 2, port->WorkPos.y + port->WorkSize.y / 2),
                          ImGuiCond_Appearing, ImVec2(0.5f, 0.5f));
  if (ImGui::Begin("Keys", &app.show_keys, ImGuiWindowFlags_NoCollapse)) {
    if (ImGui::BeginTable("keys", 2, ImGuiTableFlags_RowBg | ImGuiTableFlags_SizingFixedFit)) {
      for (const Command& command : commands()) {
        ImGui::TableNextColumn();
        ImGui::TextUnformatted(key_text(command).c_str());
        ImGui::TableNextColumn();
        ImGui::TextUnformatted(command.words.c_str());
      }
      ImGui::EndTable();
    }
    heading("With the mouse");
    wrapped_text(
        "Drag a hole: it snaps to the holes of its body's grid, with Shift to half ones; rings are places where the "
        "linkage goes together, crosses where it does not. "
        "Ctrl and a press takes the next of several holes in one place. Drag a wheel through its travel. "
        "Turn the wheel of the mouse over the selected rod for its length (Shift: halves), over the selected spring "
        "for "
        "its part (Ctrl: how many), elsewhere for the scale. "
        "The right button opens a menu. Drag in a diagram to raise the wheel; a double press puts it to rest.");
  }
  ImGui::End();
}

void draw_about(App& app) {
  if (!app.show_about) return;
  ImGui::SetNextWindowSize(ImVec2(ImGui::GetFontSize() * 34, 0), ImGuiCond_Appearing);
  const ImGuiViewport* port = ImGui::GetMainViewport();
  ImGui::SetNextWindowPos(ImVec2(port->WorkPos.x + port->WorkSize.x / 2, port->WorkPos.y + port->WorkSize.y / 2),
                          ImGuiCond_Appearing, ImVec2(0.5f, 0.5f));
  if (ImGui::Begin("About", &app.show_about, ImGuiWindowFlags_NoCollapse)) {
    wrapped_text(
        "ridepitch-view shows and changes how a model of plastic bricks stands on its linkages and springs. MIT "
        "licence.");
    for (const char* word : {"cautions", "limits"}) {
      if (const Word* entry_of = find_word(word)) {
        heading(word);
        wrapped_text(std::string(entry_of->text));
      }
    }
    heading("Made with");
    wrapped_text("Dear ImGui (MIT licence), GLFW (zlib licence), the font DejaVu Sans (Bitstream Vera licence).");
  }
  ImGui::End();
}

/// One line for a path, with the models of its folder below.
/// @returns whether it was answered
bool ask_path(const char* title, bool& ask, std::string& path, const char* button, bool list = false,
              const std::vector<std::string>& recent = {}) {
  if (ask) {
    ImGui::OpenPopup(title);
    ask = false;
  }
  bool answered = false;
  ImGui::SetNextWindowSize(ImVec2(ImGui::GetFontSize() * 40, 0));
  if (!ImGui::BeginPopupModal(title, nullptr, ImGuiWindowFlags_NoResize)) return false;
  if (ImGui::IsWindowAppearing()) ImGui::SetKeyboardFocusHere();
  ImGui::SetNextItemWidth(-1);
  if (ImGui::InputText("##path", &path, ImGuiInputTextFlags_EnterReturnsTrue)) answered = true;
  if (list) {
    namespace fs = std::filesystem;
    std::error_code error;
    fs::path folder = fs::is_directory(path, error) ? fs::path(path) : fs::path(path).parent_path();
    if (folder.empty()) folder = ".";
    std::vector<fs::path> there;
    for (fs::directory_iterator it(folder, error), end; !error && it != end && there.size() < 500; it.increment(error))
      if (it->is_directory(error) || it->path().extension() == ".toml") there.push_back(it->path());
    std::sort(there.begin(), there.end());
    ImGui::BeginChild("files", ImVec2(0, ImGui::GetFontSize() * 16), true);
    for (const std::string& each : recent)
      if (ImGui::Selectable(fmt::format("recent: {}", each).c_str(), false, ImGuiSelectableFlags_DontClosePopups)) {
        path = each;
        answered = true;
      }
    if (ImGui::Selectable("..", false, ImGuiSelectableFlags_DontClosePopups))
      path = fs::absolute(folder, error).lexically_normal().parent_path().string() + "/";
    for (const fs::path& each : there) {
      const bool is_folder = fs::is_directory(each, error);
      const std::string label = each.filename().string() + (is_folder ? "/" : "");
      if (label.front() == '.') continue;
      if (ImGui::Selectable(label.c_str(), false, ImGuiSelectableFlags_DontClosePopups)) {
        path = each.string() + (is_folder ? "/" : "");
        if (!is_folder) answered = true;
      }
    }
    ImGui::EndChild();
  }
  if (ImGui::Button(button)) answered = true;
  ImGui::SameLine();
  if (ImGui::Button("cancel") || ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape))) {
    ImGui::CloseCurrentPopup();
  }
  if (answered) ImGui::CloseCurrentPopup();
  ImGui::EndPopup();
  return answered && !path.empty();
}

/// ISO 8601, of this place's clock.
std::string today() {
  const std::time_t now = std::time(nullptr);
  std::tm day{};
  localtime_r(&now, &day);
  return fmt::format("{:04}-{:02}-{:02}", day.tm_year + 1900, day.tm_mon + 1, day.tm_mday);
}

std::string beside(const App& app, const char* ending) {
  std::filesystem::path path = app.document ? app.document->base().path : "";
  const std::string stem = path.stem().empty() ? "my-model" : path.stem().string();
  return (path.parent_path() / (stem + ending)).string();
}

void draw_questions(App& app) {
  if (app.ask_open) {
    app.path_text = app.document && !app.document->base().path.empty()
                        ? (std::filesystem::path(app.document->base().path).parent_path() / "").string()
                        : "";
  }
  if (app.ask_copy) app.path_text = beside(app, "-copy.toml");
  if (app.ask_picture) app.path_text = beside(app, ".png");
  if (app.ask_sheet) app.path_text = beside(app, ".pdf");
  if (ask_path("Open a model", app.ask_open, app.path_text, "open", true, app.settings.recent))
    want_open(app, app.path_text);
  if (ask_path("Save a copy", app.ask_copy, app.path_text, "save") && app.document) {
    app.save_problems = save_copy(*app.document, app.path_text);
    app.message = app.save_problems.empty() ? "A copy was saved as " + app.path_text + "."
                                            : "Not saved: " + app.save_problems.front().text;
  }
  if (ask_path("Write the drawing as PNG", app.ask_picture, app.path_text, "write")) app.picture_wanted = app.path_text;
  if (ask_path("Save the sheet as PDF", app.ask_sheet, app.path_text, "save") && app.document) {
    const std::vector<Problem> problems = save_sheet(*app.document, app.path_text, today());
    app.message =
        problems.empty() ? "The sheet was saved as " + app.path_text + "." : "Not saved: " + problems.front().text;
  }

  if (app.pending.what != Pending::What::none) ImGui::OpenPopup("Unsaved");
  if (ImGui::BeginPopupModal("Unsaved", nullptr, ImGuiWindowFlags_AlwaysAutoResize)) {
    ImGui::TextUnformatted("What you changed is not saved.");
    const Pending pending = app.pending;
    const auto go_on = [&] {
      app.pending = {};
      if (pending.what == Pending::What::open) open_file(app, pending.path);
      if (pending.what == Pending::What::close) app.want_close = true;
    };
    if (ImGui::Button("save")) {
      save_now(app, false);
      if (app.document && !unsaved(*app.document))
        go_on();
      else
        app.pending = {};
      ImGui::CloseCurrentPopup();
    }
    ImGui::SameLine();
    if (ImGui::Button("don't save")) {
      go_on();
      ImGui::CloseCurrentPopup();
    }
    ImGui::SameLine();
    if (ImGui::Button("cancel") || ImGui::IsKeyPressed(ImGui::GetKeyIndex(ImGuiKey_Escape))) {
      app.pending = {};
      ImGui::CloseCurrentPopup();
    }
    ImGui::EndPopup();
  }
}

/// A bar between two panes that can be dragged. @returns how far it was [px]
float splitter(const char* id, bool upright, float length) {
  const float thick = 5;
  ImGui::InvisibleButton(id, upright ? ImVec2(thick, length) : ImVec2(length, thick));
  if (ImGui::IsItemHovered() || ImGui::IsItemActive())
    ImGui::SetMouseCursor(upright ? ImGuiMouseCursor_ResizeEW : ImGuiMouseCursor_ResizeNS);
  if (!ImGui::IsItemActive()) return 0;
  return upright ? ImGui::GetIO().MouseDelta.x : ImGui::GetIO().MouseDelta.y;
}

/// The hand wheel, as a slider, where what is looked at is steered.
void draw_hand_wheel(App& app) {
  if (app.tab != Tab::steering || !app.document || !app.document->shown) return;
  const Solved& shown = *app.document->shown;
  const Steering* steering = steering_of(shown, app.selection.corner);
  if (!steering) {
    if (!shown.steering_problems.empty()) wrapped_text("It can't be steered: " + shown.steering_problems.front().text);
    return;
  }
  const SteerPoint& point = steering->sweep[nearest_drive(*steering, app.drive.value_or(0))];
  std::string words = fmt::format("{} {:.1f} {}", steering->crank ? "crank" : "rack", app.drive.value_or(0),
                                  steering->crank ? "deg" : "mm");
  if (point.hand_turns) words += fmt::format(", hand wheel {:.2f} turns", app.drive ? *point.hand_turns : 0.0);
  float drive = static_cast<float>(app.drive.value_or(0));
  ImGui::SameLine(0, 20 * app.scale);
  ImGui::SetNextItemWidth(-1);
  if (ImGui::SliderFloat("##drive", &drive, static_cast<float>(steering->range[0]),
                         static_cast<float>(steering->range[1]), words.c_str()))
    app.drive = steering->sweep[nearest_drive(*steering, static_cast<double>(drive))].drive;
}

void draw_middle(App& app) {
  for (int t = 0; t < count(tab_names); ++t) {
    if (t > 0) ImGui::SameLine();
    const bool here = static_cast<int>(app.tab) == t;
    if (here) ImGui::PushStyleColor(ImGuiCol_Button, ImGui::GetStyleColorVec4(ImGuiCol_ButtonActive));
    if (ImGui::Button(at(tab_names, t))) open_tab(app, static_cast<Tab>(t));
    if (here) ImGui::PopStyleColor();
  }
  draw_hand_wheel(app);
  draw_canvas(app);
}

void draw_panes(App& app) {
  const ImVec2 room = ImGui::GetContentRegionAvail();
  const float foot = ImGui::GetTextLineHeightWithSpacing();
  const float left = room.x * static_cast<float>(app.settings.left),
              right = room.x * static_cast<float>(app.settings.right);
  const float bottom = room.y * static_cast<float>(app.settings.bottom),
              top = std::max(80.f, room.y - bottom - foot - 16);
  const auto share = [](double& value, float px, float whole, double most) {
    if (px != 0 && whole > 0) value = std::clamp(value + static_cast<double>(px / whole), 0.08, most);
  };
  const float body = top + bottom;
  ImGui::BeginChild("left", ImVec2(left, body), false, ImGuiWindowFlags_NoNav);
  draw_left(app);
  ImGui::EndChild();
  ImGui::SameLine(0, 0);
  share(app.settings.left, splitter("left split", true, body), room.x, 0.45);
  ImGui::SameLine(0, 0);
  const float middle = std::max(100.f, room.x - left - right - 10);
  ImGui::BeginGroup();
  ImGui::BeginChild("middle", ImVec2(middle, top), false,
                    ImGuiWindowFlags_NoScrollWithMouse | ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoNav);
  draw_middle(app);
  ImGui::EndChild();
  refresh(app);  // what was just dragged shows in numbers and curves in the same picture
  share(app.settings.bottom, -splitter("bottom split", false, middle), room.y, 0.7);
  ImGui::BeginChild("curves", ImVec2(middle, std::max(20.f, bottom - 12)), false,
                    ImGuiWindowFlags_NoScrollWithMouse | ImGuiWindowFlags_NoScrollbar | ImGuiWindowFlags_NoNav);
  if (app.show_search) {
    draw_search(app);
  } else {
    if (app.document) preview(app, -1);
    draw_curves(app);
  }
  ImGui::EndChild();
  ImGui::EndGroup();
  ImGui::SameLine(0, 0);
  share(app.settings.right, -splitter("right split", true, body), room.x, 0.5);
  ImGui::SameLine(0, 0);
  ImGui::BeginChild("right", ImVec2(0, body), false, ImGuiWindowFlags_NoNav);
  draw_right(app);
  ImGui::EndChild();
  ImGui::TextDisabled("%s", app.message.empty() ? "F1: keys" : app.message.c_str());
}

}  // namespace

void draw_window(App& app) {
  refresh(app);
  const ImGuiViewport* port = ImGui::GetMainViewport();
  ImGui::SetNextWindowPos(port->WorkPos);
  ImGui::SetNextWindowSize(port->WorkSize);
  ImGui::Begin("ridepitch", nullptr,
               ImGuiWindowFlags_NoDecoration | ImGuiWindowFlags_NoMove | ImGuiWindowFlags_MenuBar |
                   ImGuiWindowFlags_NoBringToFrontOnFocus | ImGuiWindowFlags_NoSavedSettings | ImGuiWindowFlags_NoNav);
  draw_menu(app);
  draw_verdict(app);
  ImGui::Separator();
  draw_panes(app);
  ImGui::End();
  draw_keys(app);
  draw_about(app);
  draw_questions(app);
}

}  // namespace ridepitch::view
