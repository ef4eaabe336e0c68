#include "window/commands.hpp"

#include <GLFW/glfw3.h>

#include <algorithm>

#include "state/steering_place.hpp"
#include "state/travel_place.hpp"

namespace ridepitch::view {
namespace {

template <class Do>
void with_document(App& app, const Do& what) {
  if (app.document) what(*app.document);
}

void move_hole(App& app, const Vec2& by_modules) {
  with_document(app, [&](Document& d) { change(app, hole_moved(tried_model(d), app.selection, by_modules)); });
}

/// A bigger or smaller thing: rod length in modules, springs side by side.
void resize(App& app, double modules, int springs) {
  with_document(app, [&](Document& d) {
    const Model model = tried_model(d);
    change(app, app.selection.thing == Thing::spring ? spring_count(model, app.selection, springs)
                                                     : rod_lengthened(model, app.selection, modules));
  });
}

void exchange(App& app, int step) {
  with_document(app, [&](Document& d) { change(app, spring_exchanged(tried_model(d), app.selection, step)); });
}

void step_thing(App& app, int step) {
  with_document(app, [&](Document& d) { select(app, next_thing(tried_model(d), app.selection, step)); });
}

void step_corner(App& app, int step) {
  with_document(app, [&](Document& d) { select(app, next_corner(tried_model(d), app.selection, step)); });
}

void zoom_text(App& app, double factor) {
  app.settings.zoom = factor == 0 ? 1 : std::clamp(app.settings.zoom * factor, 0.5, 3.0);
  app.font_stale = true;
}

void zoom_drawing(App& app, double factor) {
  View& view = app.views[static_cast<std::size_t>(app.tab)];
  zoom_at(view, view.corner_px + view.size_px / 2, factor);
}

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
  } else if (app.travel_mm || app.drive) {
    app.travel_mm.reset();
    app.drive.reset();
  } else if (app.selection.thing != Thing::none) {
    app.selection.thing = Thing::none;
  }
}

void after_history(App& app) {
  with_document(app, [&](Document& d) { app.selection = still_valid(tried_model(d), app.selection); });
}

constexpr int ctrl = GLFW_MOD_CONTROL, shift = GLFW_MOD_SHIFT, alt = GLFW_MOD_ALT;

}  // namespace

void change(App& app, const Changes& changes) {
  if (!app.document || changes.empty()) return;
  make_changes(*app.document, changes);
  app.message = app.document->trying ? "" : app.document->step().words;
}

void move_by_hand(App& app, int points) {
  if (!app.document || !app.document->shown) return;
  const Solution& solution = app.document->shown->solution;
  if (const Steering* steering = steering_of(*app.document->shown, app.selection.corner)) {
    const int now = static_cast<int>(nearest_drive(*steering, app.drive.value_or(0)));
    const int next = std::clamp(now + points, 0, static_cast<int>(steering->sweep.size()) - 1);
    app.drive = steering->sweep[static_cast<std::size_t>(next)].drive;
    return;
  }
  const Curve* curve = curve_of(solution, app.selection.corner, app.wheel);
  if (!curve) return;
  // A curve's corner and wheel are there.
  const auto rest = solution.corners[static_cast<std::size_t>(app.selection.corner)]
                        .wheels[static_cast<std::size_t>(app.wheel)]
                        .travel_mm;
  const int now = static_cast<int>(nearest_point(*curve, app.travel_mm.value_or(rest.value_or(0))));
  const int next = std::clamp(now + points, 0, static_cast<int>(curve->points.size()) - 1);
  app.travel_mm = curve->points[static_cast<std::size_t>(next)].travel_mm;
}

const std::vector<Command>& commands() {
  static const std::vector<Command> table = {
      {GLFW_KEY_O, ctrl, "open a model", [](App& a) { a.ask_open = true; }},
      {GLFW_KEY_S, ctrl, "save in the file, comments kept", [](App& a) { save_now(a, false); }},
      {GLFW_KEY_S, ctrl | shift, "save a copy", [](App& a) { a.ask_copy = true; }},
      {GLFW_KEY_E, ctrl, "write the drawing as a PNG", [](App& a) { a.ask_picture = true; }},
      {GLFW_KEY_P, ctrl, "save the sheet for the builder as a PDF", [](App& a) { a.ask_sheet = true; }},
      {GLFW_KEY_R, ctrl, "read the file again",
       [](App& a) {
         with_document(a, [](Document& d) { reload(d); });
         after_history(a);
       }},
      {GLFW_KEY_Q, ctrl, "close", [](App& a) { want_close(a); }},
      {GLFW_KEY_Z, ctrl, "undo",
       [](App& a) {
         with_document(a, [](Document& d) { undo(d); });
         after_history(a);
       }},
      {GLFW_KEY_Z, ctrl | shift, "redo",
       [](App& a) {
         with_document(a, [](Document& d) { redo(d); });
         after_history(a);
       }},
      {GLFW_KEY_Y, ctrl, "redo",
       [](App& a) {
         with_document(a, [](Document& d) { redo(d); });
         after_history(a);
       }},
      {GLFW_KEY_B, ctrl, "pin what is shown as the state before",
       [](App& a) { with_document(a, [](Document& d) { pin_before(d); }); }},
      {GLFW_KEY_TAB, 0, "select the next hole, rod, spring or wheel", [](App& a) { step_thing(a, 1); }},
      {GLFW_KEY_TAB, shift, "select the one before", [](App& a) { step_thing(a, -1); }},
      {GLFW_KEY_PAGE_DOWN, 0, "next corner", [](App& a) { step_corner(a, 1); }},
      {GLFW_KEY_PAGE_UP, 0, "corner before", [](App& a) { step_corner(a, -1); }},
      {GLFW_KEY_LEFT, 0, "move the selected hole one hole on its body's grid",
       [](App& a) {
         move_hole(a, {-1, 0});
       }},
      {GLFW_KEY_RIGHT, 0, "likewise",
       [](App& a) {
         move_hole(a, {1, 0});
       }},
      {GLFW_KEY_UP, 0, "likewise",
       [](App& a) {
         move_hole(a, {0, 1});
       }},
      {GLFW_KEY_DOWN, 0, "likewise",
       [](App& a) {
         move_hole(a, {0, -1});
       }},
      {GLFW_KEY_LEFT, shift, "move it half a hole",
       [](App& a) {
         move_hole(a, {-0.5, 0});
       }},
      {GLFW_KEY_RIGHT, shift, "likewise",
       [](App& a) {
         move_hole(a, {0.5, 0});
       }},
      {GLFW_KEY_UP, shift, "likewise",
       [](App& a) {
         move_hole(a, {0, 0.5});
       }},
      {GLFW_KEY_DOWN, shift, "likewise",
       [](App& a) {
         move_hole(a, {0, -0.5});
       }},
      {GLFW_KEY_EQUAL, 0, "selected rod one module longer, one more of the selected spring",
       [](App& a) { resize(a, 1, 1); }},
      {GLFW_KEY_MINUS, 0, "shorter, one less", [](App& a) { resize(a, -1, -1); }},
      {GLFW_KEY_EQUAL, shift, "rod half a module longer", [](App& a) { resize(a, 0.5, 1); }},
      {GLFW_KEY_MINUS, shift, "half a module shorter", [](App& a) { resize(a, -0.5, -1); }},
      {GLFW_KEY_PERIOD, 0, "next spring of the catalogue in place of the selected one", [](App& a) { exchange(a, 1); }},
      {GLFW_KEY_COMMA, 0, "the one before", [](App& a) { exchange(a, -1); }},
      {GLFW_KEY_RIGHT_BRACKET, 0, "raise the wheel through its travel; steer to the left",
       [](App& a) { move_by_hand(a, 5); }},
      {GLFW_KEY_LEFT_BRACKET, 0, "lower it; steer to the right", [](App& a) { move_by_hand(a, -5); }},
      {GLFW_KEY_HOME, 0, "back to rest; straight ahead",
       [](App& a) {
         a.travel_mm.reset();
         a.drive.reset();
       }},
      {GLFW_KEY_1, ctrl, "drawing of the linkage", [](App& a) { open_tab(a, Tab::linkage); }},
      {GLFW_KEY_2, ctrl, "vehicle from the side", [](App& a) { open_tab(a, Tab::side); }},
      {GLFW_KEY_3, ctrl, "vehicle from the front", [](App& a) { open_tab(a, Tab::front); }},
      {GLFW_KEY_4, ctrl, "steering plan", [](App& a) { open_tab(a, Tab::steering); }},
      {GLFW_KEY_F, 0, "fit the drawing into its pane", [](App& a) { a.fit_wanted.fill(true); }},
      {GLFW_KEY_I, 0, "drawing nearer", [](App& a) { zoom_drawing(a, 1.25); }},
      {GLFW_KEY_O, 0, "drawing farther", [](App& a) { zoom_drawing(a, 0.8); }},
      {GLFW_KEY_G, 0, "ghost of the state before: on or off", [](App& a) { a.ghost = !a.ghost; }},
      {GLFW_KEY_D, ctrl, "light or dark",
       [](App& a) {
         a.settings.dark = !a.settings.dark;
         a.font_stale = true;
       }},
      {GLFW_KEY_EQUAL, ctrl, "greater text", [](App& a) { zoom_text(a, 1.1); }},
      {GLFW_KEY_MINUS, ctrl, "smaller text", [](App& a) { zoom_text(a, 1 / 1.1); }},
      {GLFW_KEY_0, ctrl, "text as it was", [](App& a) { zoom_text(a, 0); }},
      {GLFW_KEY_F, ctrl, "search: rework and tune", [](App& a) { a.show_search = !a.show_search; }},
      {GLFW_KEY_R, ctrl | shift, "rework: the part that is chosen can no longer be had", start_rework},
      {GLFW_KEY_T, ctrl, "tune: what the model's [tune] asks", start_tune},
      {GLFW_KEY_N, 0, "show the next result of the search", [](App& a) { show_row(a, 1); }},
      {GLFW_KEY_N, shift, "show the one before", [](App& a) { show_row(a, -1); }},
      {GLFW_KEY_ENTER, 0, "take the result that is shown", [](App& a) { take_row(a, a.row_shown); }},
      {GLFW_KEY_ESCAPE, 0, "end a search, give up what is tried, back to rest, select nothing", escape},
      {GLFW_KEY_F1, shift, "about: cautions and limits", [](App& a) { a.show_about = !a.show_about; }},
      {GLFW_KEY_F1, 0, "this list", [](App& a) { a.show_keys = !a.show_keys; }},
  };
  return table;
}

std::string key_text(const Command& command) {
  std::string text;
  if (command.modifiers & ctrl) text += "Ctrl+";
  if (command.modifiers & alt) text += "Alt+";
  if (command.modifiers & shift) text += "Shift+";
  switch (command.key) {
    case GLFW_KEY_TAB:
      return text + "Tab";
    case GLFW_KEY_PAGE_DOWN:
      return text + "Page down";
    case GLFW_KEY_PAGE_UP:
      return text + "Page up";
    case GLFW_KEY_LEFT:
      return text + "Left";
    case GLFW_KEY_RIGHT:
      return text + "Right";
    case GLFW_KEY_UP:
      return text + "Up";
    case GLFW_KEY_DOWN:
      return text + "Down";
    case GLFW_KEY_ENTER:
      return text + "Enter";
    case GLFW_KEY_HOME:
      return text + "Home";
    case GLFW_KEY_ESCAPE:
      return text + "Escape";
    case GLFW_KEY_F1:
      return text + "F1";
    default:
      return text + static_cast<char>(command.key);
  }
}

bool run_key(App& app, int key, int modifiers) {
  const int held = modifiers & (ctrl | shift | alt);
  // The number pad's plus and minus, and a plus that needs shift, mean the same.
  if (key == GLFW_KEY_KP_ADD) key = GLFW_KEY_EQUAL;
  if (key == GLFW_KEY_KP_SUBTRACT) key = GLFW_KEY_MINUS;
  for (const Command& command : commands()) {
    if (command.key != key || command.modifiers != held) continue;
    command.run(app);
    return true;
  }
  return false;
}

}  // namespace ridepitch::view
