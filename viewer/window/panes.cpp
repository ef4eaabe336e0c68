#include "window/panes.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/text_file.hpp"
#include "model/tune.hpp"
#include "state/by_hand.hpp"
#include "swap/rework.hpp"
#include "window/canvas.hpp"
#include "window/commands.hpp"
#include "window/questions.hpp"
#include "window/theme.hpp"
#include "window/widgets.hpp"
#include "words/number.hpp"

namespace ridepitch::view {
namespace {

constexpr const char *fits_sign = "\u25CF", *fails_sign = "\u25B2", *problem_sign = "\u2717", *note_sign = "\u2022";

// ------------------------------------------------------------------------------------ menus

/// A menu entry of a command of the table, found by its words.
void entry(App& app, const char* label, std::string_view words, bool enabled = true) {
  const auto& table = commands();
  const auto found = std::find_if(table.begin(), table.end(), [&](const Command& each) { return each.words == words; });
  assert(found != table.end());
  if (ImGui::MenuItem(label, key_text(*found).c_str(), false, enabled)) found->run(app);
}

template <class Entries>
void menu(const char* title, const Entries& entries, bool enabled = true) {
  if (!ImGui::BeginMenu(title, enabled)) return;
  entries();
  ImGui::EndMenu();
}

void draw_menu(App& app) {
  if (!ImGui::BeginMenuBar()) return;
  const Document* document = app.document ? &*app.document : nullptr;
  const bool open = document;
  menu("File", [&] {
    entry(app, "Open...", "open a model");
    const std::vector<std::string> recent = app.settings.recent;
    const auto recent_files = [&] {
      for (const std::string& path : recent)
        if (ImGui::MenuItem(printable(path).c_str())) want_open(app, path);
    };
    menu("Recent", recent_files, !recent.empty());
    ImGui::Separator();
    entry(app, "Save", "save the file, comments kept", open);
    entry(app, "Save a copy...", "save a copy", open);
    entry(app, "Reload", "reload the file", open && !document->base().path.empty());
    entry(app, "Write the drawing as PNG...", "write the drawing as a PNG", open);
    entry(app, "Save the sheet as PDF...", "save the sheet for the builder as a PDF", open);
    ImGui::Separator();
    entry(app, "Close", "close");
  });
  menu("Edit", [&] {
    const bool undoes = open && can_undo(*document), redoes = open && can_redo(*document);
    const std::string undone = undoes && !document->trying ? ": " + document->step().words : "";
    const std::string redone = redoes ? ": " + document->steps[document->at + 1].words : "";
    entry(app, ("Undo" + undone).c_str(), "undo", undoes);
    entry(app, ("Redo" + redone).c_str(), "redo", redoes);
    ImGui::Separator();
    entry(app, "Pin as before", "pin what is shown as the state to compare with", open);
  });
  menu("View", [&] {
    entry(app, "Fit", "fit the drawing into its pane");
    ImGui::MenuItem("Ghost of before", "G", &app.ghost);
    ImGui::MenuItem("Names at the ends of travel", nullptr, &app.show_words);
    entry(app, app.settings.dark ? "Light" : "Dark", "light or dark");
    entry(app, "Larger text", "larger text");
    entry(app, "Smaller text", "smaller text");
  });
  menu("Search", [&] { entry(app, "Rework and tune...", "search: rework and tune", open); });
  menu("Help", [&] {
    entry(app, "Keys", "this list");
    entry(app, "About", "about: cautions and limits");
  });
  ImGui::EndMenuBar();
}

// --------------------------------------------------------------------------- the line on top

/// The model, and the verdict or what is wrong, in one line, with a sign that needs no colour.
void draw_verdict(const App& app) {
  const auto colour = [&](bool good) {
    return ImGui::ColorConvertU32ToFloat4(ink_for(good ? Role::place_fits : Role::solid, app.settings.dark).fill);
  };
  if (!app.document)
    return ImGui::TextUnformatted(app.failed_path.empty() ? "no model" : printable(app.failed_path).c_str());
  const Document& document = *app.document;
  ImGui::TextUnformatted((printable(document.base().model.name) + (unsaved(document) ? "  (unsaved)" : "")).c_str());
  ImGui::SameLine(0, 24 * app.scale);
  if (!document.why_not.empty()) {
    ImGui::TextColored(colour(false), "%s no solution: %s%s", problem_sign,
                       printable(document.why_not.front().text).c_str(), document.trying ? "  (Esc discards it)" : "");
  } else if (app.derived.comparison) {
    const Comparison& c = *app.derived.comparison;
    ImGui::TextColored(colour(c.holds), "%s %s", c.holds ? fits_sign : fails_sign, printable(c.verdict).c_str());
    if (document.shown && document.shown->detail == Detail::dragging) {
      ImGui::SameLine(0, 12 * app.scale);
      ImGui::TextDisabled("slices are looked at when you let go");
    }
  } else {
    ImGui::TextDisabled("as it was opened; drag a hole");
  }
}

// ------------------------------------------------------------------------- what can be changed

/// What was asked for in a pane.
struct Wish {
  std::optional<Selection> select;
  Changes change;
};

/// A thing's name, which selects it, and what is drawn beside it.
template <class Field>
void thing_row(const Selection& thing, const Selection& now, const std::string& name, Wish& wish, const Field& field) {
  constexpr float name_share = 0.4f;
  ImGui::PushID(static_cast<int>(thing.thing));
  ImGui::PushID(thing.body);
  ImGui::PushID(thing.index);
  const ImVec2 size(name_share * ImGui::GetContentRegionAvail().x, 0);
  if (ImGui::Selectable(printable(name).c_str(), thing == now, 0, size)) wish.select = thing;
  ImGui::SameLine();
  ImGui::SetNextItemWidth(-1);
  field();
  for (int i = 0; i < 3; ++i) ImGui::PopID();
}

void rod_row(const Model& model, const Selection& now, const Selection& thing, Wish& wish) {
  const Rod& rod = at(linkage_of(model, thing).rods, thing.index);
  thing_row(thing, now, rod.name, wish, [&] {
    const double was = rod.length_mm / model.module_mm;
    double length = was;
    if (ImGui::InputDouble("##length", &length, 1, 0.5, "%g", ImGuiInputTextFlags_EnterReturnsTrue) && length > 0)
      wish.change = rod_lengthened(model, thing, length - was);
  });
}

void spring_row(const Model& model, const Selection& now, const Selection& thing, Wish& wish) {
  constexpr int most_springs = 99;
  const int linkage = linkage_index(model, thing);
  const Spring& spring = at(at(model.linkages, linkage).springs, thing.index);
  thing_row(thing, now, spring.name, wish, [&] {
    if (turns(spring)) return ImGui::NewLine();
    int n = spring.count;
    if (ImGui::InputInt("##count", &n, 1, 1, ImGuiInputTextFlags_EnterReturnsTrue) && n >= 1 && n <= most_springs)
      wish.change = {SetSpring{linkage, thing.index, spring.part, n}};
    ImGui::SetNextItemWidth(-1);
    const std::vector<std::string> parts = parts_for(model, linkage, thing.index);
    const int chosen = choice("##part", spring.part.empty() ? "no catalogue part" : spring.part, parts);
    if (chosen >= 0) wish.change = {SetSpring{linkage, thing.index, at(parts, chosen), spring.count}};
  });
}

void hole_row(const Model& model, const Selection& now, const Selection& thing, Wish& wish) {
  const Hole& hole = at(at(linkage_of(model, thing).bodies, thing.body).holes, thing.index);
  thing_row(thing, now, "  " + hole.name, wish, [&] {
    Vec2 place = hole.p_B / model.module_mm;
    if (ImGui::InputScalarN("##place", ImGuiDataType_Double, place.data(), 2, nullptr, nullptr, "%g",
                            ImGuiInputTextFlags_EnterReturnsTrue))
      wish.change = {MoveHole{linkage_index(model, thing), thing.body, thing.index, model.module_mm * place}};
  });
}

Wish things_pane(const Model& model, const Selection& now) {
  Wish wish;
  heading("Corner");
  for (int c = 0; c < count(model.corners); ++c) {
    const std::string& name = at(model.corners, c).name;
    const std::string label = printable(fmt::format("{}  ({})", name, linkage_of(model, {.corner = c}).name));
    if (ImGui::Selectable(label.c_str(), now.corner == c)) wish.select = {.corner = c};
  }
  const Linkage& linkage = linkage_of(model, now);
  if (!linkage.rods.empty()) heading("Rods: length [modules]");
  for (int r = 0; r < count(linkage.rods); ++r) rod_row(model, now, {now.corner, Thing::rod, 0, r}, wish);
  if (!linkage.springs.empty()) heading("Springs: count, part");
  for (int s = 0; s < count(linkage.springs); ++s) spring_row(model, now, {now.corner, Thing::spring, 0, s}, wish);
  heading("Holes on their grids [modules]");
  for (int b = 0; b < count(linkage.bodies); ++b) {
    ImGui::TextDisabled("%s", printable(at(linkage.bodies, b).name).c_str());
    for (int h = 0; h < count(at(linkage.bodies, b).holes); ++h)
      hole_row(model, now, {now.corner, Thing::hole, b, h}, wish);
  }
  return wish;
}

void draw_left(App& app) {
  if (!app.document) return;
  const Model model = tried_model(*app.document);
  app.selection = still_valid(model, app.selection);
  const Wish wish = things_pane(model, app.selection);
  if (wish.select) select(app, *wish.select);
  change(app, wish.change);
}

// ---------------------------------------------------------------------------------- numbers

/// A heading over all columns of a table: a cell would cut it off.
void table_heading(const std::string& text, float left, float right) {
  ImGui::TableNextRow();
  ImGui::TableNextColumn();
  const ImVec2 at = ImGui::GetCursorScreenPos();
  const float height = ImGui::GetTextLineHeight();
  ImGui::Dummy(ImVec2(1, height));
  if (!ImGui::IsItemVisible()) return;
  ImDrawList& list = *ImGui::GetWindowDrawList();
  const ImVec2 low = ImGui::GetWindowPos(), size = ImGui::GetWindowSize();
  list.PushClipRect(ImVec2(left, std::max(at.y, low.y)), ImVec2(right, std::min(at.y + height, low.y + size.y)));
  list.AddText(at, ImGui::GetColorU32(ImGuiCol_TextDisabled), text.c_str());
  list.PopClipRect();
}

void number_row(const NumberRow& row, bool compared, bool dark) {
  ImGui::TableNextRow();
  ImGui::TableNextColumn();
  ImGui::TextUnformatted(fmt::format("  {}{}{}", row.words, row.unit.empty() ? "" : "  ", row.unit).c_str());
  tooltip_of(row.words);
  ImGui::TableNextColumn();
  right_text(compared ? number(row.before, row.decimals) : "");
  ImGui::TableNextColumn();
  right_text(row.later ? "..." : number(row.now, row.decimals));
  if (row.later) tooltip("computed when the drag ends");
  ImGui::TableNextColumn();
  if (row.within) return right_text(difference_text(row));
  ImGui::PushStyleColor(ImGuiCol_Text, ink_for(Role::solid, dark).fill);
  right_text(difference_text(row) + " " + fails_sign);
  ImGui::PopStyleColor();
  tooltip("outside its tolerance");
}

void numbers_table(const std::vector<NumberRow>& rows, bool compared, bool dark) {
  if (!ImGui::BeginTable("numbers", 4, ImGuiTableFlags_RowBg | ImGuiTableFlags_SizingStretchProp)) return;
  const float left = ImGui::GetCursorScreenPos().x, right = left + ImGui::GetContentRegionAvail().x;
  constexpr std::pair<const char*, float> columns[] = {{"", 3.3f}, {"before", 1}, {"now", 1}, {"differs", 1.1f}};
  for (const auto& [title, share] : columns) ImGui::TableSetupColumn(title, 0, share);
  ImGui::TableNextRow(ImGuiTableRowFlags_Headers);
  for (const auto& [title, share] : columns) {
    ImGui::TableNextColumn();
    right_text(title);
  }
  const std::string* where = nullptr;
  for (const NumberRow& row : rows) {
    if (!where || *where != row.where) table_heading(row.where.empty() ? "vehicle" : row.where, left, right);
    where = &row.where;
    number_row(row, compared, dark);
  }
  ImGui::EndTable();
}

void draw_findings(const Solved& solved) {
  heading("Findings");
  std::vector<Finding> all = solved.solution.findings;
  if (solved.steered) all.insert(all.end(), solved.steered->findings.begin(), solved.steered->findings.end());
  const bool dragging = solved.detail == Detail::dragging;
  if (dragging) ImGui::TextDisabled("Holes, slices and tyres are looked at when you let go.");
  if (all.empty() && !dragging) ImGui::TextUnformatted("Nothing was found against it.");
  for (const Finding& each : all) {
    const char* sign = each.level == Level::problem ? problem_sign : each.level == Level::warning ? "!" : note_sign;
    wrapped_text(fmt::format("{} {}{}{}", sign, each.where, each.where.empty() ? "" : ": ", each.text));
    tooltip(each.remedy);
  }
}

void draw_travel(const Curve* curve, std::optional<double> travel_mm) {
  if (!curve || !travel_mm) return;
  for (const CurvePoint& point : curve->points)
    if (point.travel_mm == *travel_mm && !std::isfinite(point.wheel_rate_n_per_mm))
      wrapped_text(
          fmt::format("raised by hand to {:.1f} mm (Home: back to rest)\nat a dead point: it has no wheel rate there",
                      point.travel_mm));
    else if (point.travel_mm == *travel_mm)
      wrapped_text(
          fmt::format("raised by hand to {:.1f} mm (Home: back to rest)\nload {:.2f} N, wheel rate {:.3f} N/mm{}",
                      point.travel_mm, point.load_n, point.wheel_rate_n_per_mm,
                      point.motion_ratio ? fmt::format(", motion ratio {:.3f}", *point.motion_ratio) : ""));
}

/// What is wrong with the document's file, and with what is tried.
void draw_problems(App& app) {
  Document& document = *app.document;
  if (!app.failed_problems.empty() && !told("The file that was to be opened", app.failed_problems, {"dismiss"}).empty())
    app.failed_problems.clear();
  if (!app.save_problems.empty()) {
    std::vector<const char*> buttons = {"save a copy", "dismiss"};
    if (document.disk == DiskState::changed || !document.file_problems.empty())
      buttons.insert(buttons.begin() + 1, "save over it");
    const std::string_view pressed = told("Not saved", app.save_problems, buttons);
    if (pressed == "save a copy") app.question = Question::copy;
    if (pressed == "save over it") save_now(app, true);
    if (pressed == "dismiss") app.save_problems.clear();
  }
  if (!document.file_problems.empty())
    told("The file on disk can't be read; the last good state is shown", document.file_problems);
  if (document.disk == DiskState::changed) {
    heading("The file changed on disk");
    wrapped_text("There are unsaved changes here, so it was not reloaded.");
    if (ImGui::SmallButton("reload it (undo goes back)")) reload(document);
  }
  if (!document.why_not.empty())
    told(document.trying ? "What is tried has no solution" : "The model has no solution", document.why_not);
}

void draw_right(App& app) {
  if (!app.document) {
    told("What is wrong", app.failed_problems);
    return;
  }
  draw_problems(app);
  const Document& document = *app.document;
  if (!document.shown) return;
  if (document.shown_of != document.step().base)
    wrapped_text("Drawing and numbers show the last state with a solution, before the file changed.");
  const Solution& solution = document.shown->solution;
  draw_travel(curve_of(solution, app.selection.corner, app.wheel), app.by_hand);
  const bool compared = app.derived.before && app.derived.before != app.derived.now;
  numbers_table(app.derived.rows, compared, app.settings.dark);
  draw_findings(*document.shown);
}

// ------------------------------------------------------------------------------------ search

/// Shows a row as if it was taken; -1: none.
void preview(App& app, int row) {
  if (row == app.previewed || app.drag.what != Drag::What::none) return;
  app.previewed = row;
  if (row < 0)
    give_up(*app.document);
  else
    try_changes(*app.document, at(app.report.rows, row).changes, Detail::full);
}

bool button(const char* label, bool enabled) {
  ImGui::SameLine();
  ImGui::BeginDisabled(!enabled);
  const bool pressed = ImGui::Button(label);
  ImGui::EndDisabled();
  return pressed;
}

void search_bar(App& app, bool running) {
  const Model& model = app.document->base().model;
  const std::vector<std::string> parts = used_spring_parts(model);
  if (app.gone.empty() && !parts.empty()) app.gone = parts.front();
  ImGui::AlignTextToFramePadding();
  ImGui::TextUnformatted("No longer available:");
  ImGui::SameLine();
  ImGui::SetNextItemWidth(ImGui::GetFontSize() * 12);
  if (const int chosen = choice("##gone", app.gone, parts); chosen >= 0) app.gone = at(parts, chosen);
  const bool has_tune = model.tune && !model.tune->vary.empty();
  if (button("rework", !running && !app.gone.empty())) start_rework(app);
  if (button("tune", !running && has_tune)) start_tune(app);
  tooltip(has_tune ? "searches for what the model's [tune] asks" : "the model has no [tune]");
  if (button("curves", true)) app.show_search = false;
  if (!running) return;
  if (button("stop", true)) app.search->stop = true;
  const std::uint64_t done = app.search->looked_at, of = app.search->of;
  ImGui::TextDisabled("%s", fmt::format("searching... {}{}", done, of > 0 ? fmt::format(" of {}", of) : "").c_str());
}

struct RowWish {
  int hovered = -1, taken = -1, pressed = -1;
};

RowWish search_rows(const std::vector<SearchRow>& rows, int shown) {
  RowWish wish;
  ImGui::BeginChild("rows");
  for (int i = 0; i < count(rows); ++i) {
    const SearchRow& row = at(rows, i);
    ImGui::PushID(i);
    if (ImGui::Button("take")) wish.taken = i;
    if (ImGui::IsItemHovered()) wish.hovered = i;
    ImGui::SameLine();
    const float width = ImGui::GetContentRegionAvail().x;
    const std::string text = folded(fmt::format("{} {}", row.holds ? fits_sign : fails_sign, row.words), width) + "\n" +
                             folded("    " + row.verdict, width);
    if (ImGui::Selectable(text.c_str(), shown == i)) wish.pressed = i;
    if (ImGui::IsItemHovered()) wish.hovered = i;
    ImGui::PopID();
  }
  ImGui::EndChild();
  return wish;
}

void draw_search(App& app) {
  if (!app.document) return;
  const bool running = app.search && !report_of(*app.search).done;
  search_bar(app, running);
  if (app.search && !running && !app.report.done) app.report = report_of(*app.search);
  if (!app.report.headline.empty()) wrapped_text(app.report.headline);
  const RowWish wish = search_rows(app.report.rows, app.row_shown);
  if (wish.pressed >= 0) app.row_shown = app.row_shown == wish.pressed ? -1 : wish.pressed;
  if (wish.taken >= 0)
    take_row(app, wish.taken);
  else
    preview(app, wish.hovered >= 0 ? wish.hovered : app.row_shown);
}

// ------------------------------------------------------------------------------------ layout

/// The drive, as a slider, where what is looked at is steered.
void draw_drive(App& app) {
  if (app.tab != Tab::steering || !app.document || !app.document->shown) return;
  const Solved& shown = *app.document->shown;
  const Steering* steering = steering_of(shown, app.selection.corner);
  if (!steering) {
    if (!shown.steering_problems.empty()) wrapped_text("It can't be steered: " + shown.steering_problems.front().text);
    return;
  }
  double drive = app.by_hand.value_or(0);
  const SteerPoint& point = steering->sweep[nearest_drive(*steering, drive)];
  std::string words = steering->crank ? fmt::format("crank {:.1f} deg", drive) : fmt::format("rack {:.1f} mm", drive);
  if (point.hand_turns) words += fmt::format(", hand wheel {:.2f} turns", app.by_hand ? *point.hand_turns : 0.0);
  ImGui::SameLine(0, 20 * app.scale);
  ImGui::SetNextItemWidth(-1);
  if (ImGui::SliderScalar("##drive", ImGuiDataType_Double, &drive, &steering->range[0], &steering->range[1],
                          words.c_str()))
    app.by_hand = steering->sweep[nearest_drive(*steering, drive)].drive;
}

void draw_middle(App& app) {
  for (int t = 0; t < count(tab_names); ++t) {
    if (t > 0) ImGui::SameLine();
    const ImGuiCol colour = static_cast<int>(app.tab) == t ? ImGuiCol_ButtonActive : ImGuiCol_Button;
    ImGui::PushStyleColor(ImGuiCol_Button, ImGui::GetStyleColorVec4(colour));
    if (ImGui::Button(at(tab_names, t))) open_tab(app, static_cast<Tab>(t));
    ImGui::PopStyleColor();
  }
  draw_drive(app);
  draw_canvas(app);
  refresh(app);  // what was just dragged shows in numbers and curves in the same frame
}

void draw_bottom(App& app) {
  if (app.show_search) return draw_search(app);
  if (app.document) preview(app, -1);
  draw_curves(app);
}

void pane(App& app, const char* id, float width, float height, ImGuiWindowFlags flags, void (*draw)(App&)) {
  ImGui::BeginChild(id, ImVec2(width, height), false, flags | ImGuiWindowFlags_NoNav);
  draw(app);
  ImGui::EndChild();
}

/// Left, middle over bottom, right, with bars between them that a hand can drag.
void draw_panes(App& app) {
  Settings& s = app.settings;
  const ImVec2 all = ImGui::GetContentRegionAvail();
  const auto part = [](float whole, double share) { return whole * static_cast<float>(share); };
  const auto drag = [](double& share, float px, float whole, double most) {
    if (px != 0 && whole > 0) share = std::clamp(share + static_cast<double>(px / whole), 0.08, most);
  };
  constexpr ImGuiWindowFlags fixed = ImGuiWindowFlags_NoScrollWithMouse | ImGuiWindowFlags_NoScrollbar;
  const float left = part(all.x, s.left), right = part(all.x, s.right), bottom = part(all.y, s.bottom);
  const float top = std::max(80.f, all.y - bottom - ImGui::GetTextLineHeightWithSpacing() - 16);
  const float middle = std::max(100.f, all.x - left - right - 10), body = top + bottom;
  pane(app, "left", left, body, 0, draw_left);
  ImGui::SameLine(0, 0);
  drag(s.left, splitter("left split", true, body), all.x, 0.45);
  ImGui::SameLine(0, 0);
  ImGui::BeginGroup();
  pane(app, "middle", middle, top, fixed, draw_middle);
  drag(s.bottom, -splitter("bottom split", false, middle), all.y, 0.7);
  pane(app, "curves", middle, std::max(20.f, bottom - 12), fixed, draw_bottom);
  ImGui::EndGroup();
  ImGui::SameLine(0, 0);
  drag(s.right, -splitter("right split", true, body), all.x, 0.5);
  ImGui::SameLine(0, 0);
  pane(app, "right", 0, body, 0, draw_right);
  ImGui::TextDisabled("%s", app.message.empty() ? "F1: keys" : printable(app.message).c_str());
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
