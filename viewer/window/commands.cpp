#include "window/commands.hpp"

#include <GLFW/glfw3.h>

#include <algorithm>

#include "model/index.hpp"
#include "state/by_hand.hpp"

namespace ridepitch::view {
namespace {

constexpr int ctrl = GLFW_MOD_CONTROL, shift = GLFW_MOD_SHIFT, alt = GLFW_MOD_ALT;
constexpr int travel_step = 5;  // points of a curve
constexpr double text_step = 1.1, least_zoom = 0.5, most_zoom = 3;

/// Something done to the document, after which the selection may be gone.
template <auto act>
void on_document(App& app) {
  if (!app.document) return;
  act(*app.document);
  app.selection = still_valid(tried_model(*app.document), app.selection);
}

/// In half modules.
template <int u, int v>
void move_hole(App& app) {
  if (app.document) change(app, hole_moved(tried_model(*app.document), app.selection, 0.5 * Vec2(u, v)));
}

/// A longer or shorter rod, in half modules; one spring more or less.
template <int half_modules>
void resize(App& app) {
  if (!app.document) return;
  const Model model = tried_model(*app.document);
  change(app, app.selection.thing == Thing::spring ? spring_count(model, app.selection, half_modules > 0 ? 1 : -1)
                                                   : rod_lengthened(model, app.selection, 0.5 * half_modules));
}

template <int step>
void exchange(App& app) {
  if (app.document) change(app, spring_exchanged(tried_model(*app.document), app.selection, step));
}

/// @param next  next_thing or next_corner
template <auto next, int step>
void select_next(App& app) {
  if (app.document) select(app, next(tried_model(*app.document), app.selection, step));
}

void set_zoom(App& app, double zoom) {
  app.settings.zoom = std::clamp(zoom, least_zoom, most_zoom);
  app.font_stale = true;
}

void zoom_drawing(App& app, double factor) {
  View& view = view_of(app);
  zoom_at(view, view.corner_px + view.size_px / 2, factor);
}

void back_to_rest(App& app) { app.by_hand.reset(); }

void escape(App& app) {
  if (app.show_keys || app.show_about) {
    app.show_keys = app.show_about = false;
  } else if (app.search && !report_of(*app.search).done) {
    app.search->stop = true;
  } else if (app.row_shown >= 0) {
    app.row_shown = -1;
  } else if (app.document && app.document->trying) {
    app.drag = {};
    give_up(*app.document);
  } else if (app.by_hand) {
    back_to_rest(app);
  } else {
    app.selection.thing = Thing::none;
  }
}

}  // namespace

void change(App& app, const Changes& changes) {
  if (!app.document || changes.empty()) return;
  make_changes(*app.document, changes);
  app.message = app.document->trying ? "" : app.document->step().words;
}

void move_by_hand(App& app, int points) {
  if (!app.document || !app.document->shown) return;
  const Solved& shown = *app.document->shown;
  const std::vector<double> values = hand_values(shown, app.selection.corner, app.wheel);
  if (values.empty()) return;
  double now = app.by_hand.value_or(0);
  if (!app.by_hand && !steering_of(shown, app.selection.corner))
    now = at(at(shown.solution.corners, app.selection.corner).wheels, app.wheel).travel_mm.value_or(0);
  app.by_hand = at(values, std::clamp(static_cast<int>(nearest_value(values, now)) + points, 0, count(values) - 1));
}

const std::vector<Command>& commands() {
  static const std::vector<Command> table = {
      {GLFW_KEY_O, ctrl, "open a model", [](App& a) { a.question = Question::open; }},
      {GLFW_KEY_S, ctrl, "save the file, comments kept", [](App& a) { save_now(a, false); }},
      {GLFW_KEY_S, ctrl | shift, "save a copy", [](App& a) { a.question = Question::copy; }},
      {GLFW_KEY_E, ctrl, "write the drawing as a PNG", [](App& a) { a.question = Question::picture; }},
      {GLFW_KEY_P, ctrl, "save the sheet for the builder as a PDF", [](App& a) { a.question = Question::sheet; }},
      {GLFW_KEY_R, ctrl, "reload the file", on_document<reload>},
      {GLFW_KEY_Q, ctrl, "close", want_close},
      {GLFW_KEY_Z, ctrl, "undo", on_document<undo>},
      {GLFW_KEY_Z, ctrl | shift, "redo", on_document<redo>},
      {GLFW_KEY_Y, ctrl, "redo", on_document<redo>},
      {GLFW_KEY_B, ctrl, "pin what is shown as the state to compare with", on_document<pin_before>},
      {GLFW_KEY_TAB, 0, "select the next hole, rod, spring or wheel", select_next<next_thing, 1>},
      {GLFW_KEY_TAB, shift, "select the previous one", select_next<next_thing, -1>},
      {GLFW_KEY_PAGE_DOWN, 0, "next corner", select_next<next_corner, 1>},
      {GLFW_KEY_PAGE_UP, 0, "previous corner", select_next<next_corner, -1>},
      {GLFW_KEY_LEFT, 0, "move the selected hole one hole on its body's grid: left", move_hole<-2, 0>},
      {GLFW_KEY_RIGHT, 0, "right", move_hole<2, 0>},
      {GLFW_KEY_UP, 0, "up", move_hole<0, 2>},
      {GLFW_KEY_DOWN, 0, "down", move_hole<0, -2>},
      {GLFW_KEY_LEFT, shift, "move it half a hole: left", move_hole<-1, 0>},
      {GLFW_KEY_RIGHT, shift, "right", move_hole<1, 0>},
      {GLFW_KEY_UP, shift, "up", move_hole<0, 1>},
      {GLFW_KEY_DOWN, shift, "down", move_hole<0, -1>},
      {GLFW_KEY_EQUAL, 0, "selected rod one module longer, selected spring: one more", resize<2>},
      {GLFW_KEY_MINUS, 0, "one module shorter, one spring less", resize<-2>},
      {GLFW_KEY_EQUAL, shift, "rod half a module longer", resize<1>},
      {GLFW_KEY_MINUS, shift, "half a module shorter", resize<-1>},
      {GLFW_KEY_PERIOD, 0, "next spring of the catalogue in place of the selected one", exchange<1>},
      {GLFW_KEY_COMMA, 0, "previous spring of the catalogue", exchange<-1>},
      {GLFW_KEY_RIGHT_BRACKET, 0, "raise the wheel; steer to the left", [](App& a) { move_by_hand(a, travel_step); }},
      {GLFW_KEY_LEFT_BRACKET, 0, "lower it; steer to the right", [](App& a) { move_by_hand(a, -travel_step); }},
      {GLFW_KEY_HOME, 0, "back to rest; straight ahead", back_to_rest},
      {GLFW_KEY_1, ctrl, "drawing of the linkage", [](App& a) { open_tab(a, Tab::linkage); }},
      {GLFW_KEY_2, ctrl, "vehicle from the side", [](App& a) { open_tab(a, Tab::side); }},
      {GLFW_KEY_3, ctrl, "vehicle from the front", [](App& a) { open_tab(a, Tab::front); }},
      {GLFW_KEY_4, ctrl, "steering plan", [](App& a) { open_tab(a, Tab::steering); }},
      {GLFW_KEY_F, 0, "fit the drawing into its pane", [](App& a) { a.fit_wanted.fill(true); }},
      {GLFW_KEY_I, 0, "zoom in", [](App& a) { zoom_drawing(a, 1.25); }},
      {GLFW_KEY_O, 0, "zoom out", [](App& a) { zoom_drawing(a, 0.8); }},
      {GLFW_KEY_G, 0, "ghost of the state before: on or off", [](App& a) { a.ghost = !a.ghost; }},
      {GLFW_KEY_D, ctrl, "light or dark", [](App& a) { a.settings.dark = !a.settings.dark, a.font_stale = true; }},
      {GLFW_KEY_EQUAL, ctrl, "larger text", [](App& a) { set_zoom(a, a.settings.zoom * text_step); }},
      {GLFW_KEY_MINUS, ctrl, "smaller text", [](App& a) { set_zoom(a, a.settings.zoom / text_step); }},
      {GLFW_KEY_0, ctrl, "text at its usual size", [](App& a) { set_zoom(a, 1); }},
      {GLFW_KEY_F, ctrl, "search: rework and tune", [](App& a) { a.show_search = !a.show_search; }},
      {GLFW_KEY_R, ctrl | shift, "rework: do without the part that is chosen", start_rework},
      {GLFW_KEY_T, ctrl, "tune: what the model's [tune] asks", start_tune},
      {GLFW_KEY_N, 0, "show the next result of the search", [](App& a) { show_row(a, 1); }},
      {GLFW_KEY_N, shift, "show the previous one", [](App& a) { show_row(a, -1); }},
      {GLFW_KEY_ENTER, 0, "take the result that is shown", [](App& a) { take_row(a, a.row_shown); }},
      {GLFW_KEY_ESCAPE, 0, "stop a search, discard what is tried, back to rest, select nothing", escape},
      {GLFW_KEY_F1, shift, "about: cautions and limits", [](App& a) { a.show_about = !a.show_about; }},
      {GLFW_KEY_F1, 0, "this list", [](App& a) { a.show_keys = !a.show_keys; }},
  };
  return table;
}

std::span<const NamedKey> named_keys() {
  static constexpr NamedKey keys[] = {
      {GLFW_KEY_TAB, "Tab"},         {GLFW_KEY_PAGE_DOWN, "Page down"},
      {GLFW_KEY_PAGE_UP, "Page up"}, {GLFW_KEY_LEFT, "Left"},
      {GLFW_KEY_RIGHT, "Right"},     {GLFW_KEY_UP, "Up"},
      {GLFW_KEY_DOWN, "Down"},       {GLFW_KEY_ENTER, "Enter"},
      {GLFW_KEY_HOME, "Home"},       {GLFW_KEY_ESCAPE, "Escape"},
      {GLFW_KEY_F1, "F1"},
  };
  return keys;
}

std::string key_text(const Command& command) {
  std::string text;
  if (command.modifiers & ctrl) text += "Ctrl+";
  if (command.modifiers & alt) text += "Alt+";
  if (command.modifiers & shift) text += "Shift+";
  for (const NamedKey& each : named_keys())
    if (each.key == command.key) return text + each.name;
  return text + static_cast<char>(command.key);
}

void run_key(App& app, int key, int modifiers) {
  // The number pad's plus and minus, and a plus that needs shift, mean the same.
  if (key == GLFW_KEY_KP_ADD) key = GLFW_KEY_EQUAL;
  if (key == GLFW_KEY_KP_SUBTRACT) key = GLFW_KEY_MINUS;
  for (const Command& command : commands())
    if (command.key == key && command.modifiers == (modifiers & (ctrl | shift | alt))) return command.run(app);
}

}  // namespace ridepitch::view
