#include "window/script.hpp"

#include <GLFW/glfw3.h>

#include <cstdio>
#include <sstream>

#include <fmt/format.h>

#include "model/index.hpp"
#include "picture/linkage_picture.hpp"
#include "state/travel_place.hpp"

namespace ridepitch::view {
namespace {

void tell(const std::string& text) {
  std::fputs((text + "\n").c_str(), stdout);
  std::fflush(stdout);
}

std::vector<Pose> drawn_poses(const App& app) {
  LinkageLook look;
  look.selection = app.selection;
  look.wheel = app.wheel;
  look.travel_mm = app.travel_mm;
  look.drive = app.drive;
  return poses_shown(*app.document->shown, look);
}

std::optional<HoleRef> find_hole(const Linkage& linkage, const std::string& name) {
  for (int b = 0; b < static_cast<int>(linkage.bodies.size()); ++b)
    for (int h = 0; h < static_cast<int>(at(linkage.bodies, b).holes.size()); ++h)
      if (hole_name(linkage, {b, h}) == name) return HoleRef{b, h};
  return std::nullopt;
}

std::optional<HoleRef> find_wheel(const Linkage& linkage, const std::string& name) {
  for (const Wheel& wheel : linkage.wheels)
    if (wheel.name == name) return wheel.at;
  return std::nullopt;
}

struct KeyName {
  const char* name;
  int key;
};
constexpr KeyName key_names[] = {{"tab", GLFW_KEY_TAB},
                                 {"left", GLFW_KEY_LEFT},
                                 {"right", GLFW_KEY_RIGHT},
                                 {"up", GLFW_KEY_UP},
                                 {"down", GLFW_KEY_DOWN},
                                 {"escape", GLFW_KEY_ESCAPE},
                                 {"enter", GLFW_KEY_ENTER},
                                 {"home", GLFW_KEY_HOME},
                                 {"pagedown", GLFW_KEY_PAGE_DOWN},
                                 {"pageup", GLFW_KEY_PAGE_UP},
                                 {"f1", GLFW_KEY_F1},
                                 {"equal", GLFW_KEY_EQUAL},
                                 {"minus", GLFW_KEY_MINUS},
                                 {"period", GLFW_KEY_PERIOD},
                                 {"comma", GLFW_KEY_COMMA},
                                 {"]", GLFW_KEY_RIGHT_BRACKET},
                                 {"[", GLFW_KEY_LEFT_BRACKET},
                                 {"end", GLFW_KEY_END},
                                 {"delete", GLFW_KEY_DELETE},
                                 {"backspace", GLFW_KEY_BACKSPACE}};

struct Hand {
  GLFWwindow* window;
  const Callbacks& calls;

  void key(std::string words) const {
    int modifiers = 0;
    std::vector<int> held;
    const auto hold = [&](const std::string& prefix, int modifier, int code) {
      if (words.rfind(prefix, 0) != 0) return;
      words.erase(0, prefix.size());
      modifiers |= modifier;
      held.push_back(code);
    };
    hold("ctrl+", GLFW_MOD_CONTROL, GLFW_KEY_LEFT_CONTROL);
    hold("alt+", GLFW_MOD_ALT, GLFW_KEY_LEFT_ALT);
    hold("shift+", GLFW_MOD_SHIFT, GLFW_KEY_LEFT_SHIFT);
    int code = words.size() == 1 ? std::toupper(static_cast<unsigned char>(words[0])) : 0;
    for (const KeyName& each : key_names)
      if (words == each.name) code = each.key;
    for (const int each : held) calls.key(window, each, 0, GLFW_PRESS, modifiers);
    calls.key(window, code, 0, GLFW_PRESS, modifiers);
    calls.key(window, code, 0, GLFW_RELEASE, modifiers);
    for (const int each : held) calls.key(window, each, 0, GLFW_RELEASE, 0);
  }

  void hold_shift(bool down) const {
    calls.key(window, GLFW_KEY_LEFT_SHIFT, 0, down ? GLFW_PRESS : GLFW_RELEASE, GLFW_MOD_SHIFT);
  }
};

std::string problems_text(const std::vector<Problem>& problems) {
  std::string text;
  for (const Problem& each : problems)
    text += fmt::format("{}{}:{}:{}: {}", text.empty() ? "" : " | ", each.file_name, each.place.line, each.place.column,
                        each.text);
  return text;
}

void say(std::istringstream& words, App& app, GLFWwindow* window, Script& script) {
  std::string what;
  words >> what;
  refresh(app);
  if (what == "message") return tell("message: " + app.message);
  if (what == "panes") {
    int width = 0, height = 0;
    glfwGetWindowSize(window, &width, &height);
    return tell(fmt::format("panes: {} {} {:.0f} {:.0f} {:.0f} {:.0f}", width, height, app.picture_low.x,
                            app.picture_low.y, app.picture_high.x, app.picture_high.y));
  }
  if (!app.document) {
    if (what == "problems") return tell("problems: " + problems_text(app.failed_problems));
    return tell(what + ": no model");
  }
  const Document& document = *app.document;
  if (what == "verdict") {
    tell("verdict: " + (app.derived.comparison ? app.derived.comparison->verdict : std::string("none")));
  } else if (what == "unsaved") {
    tell(fmt::format("unsaved: {}", unsaved(document) ? "yes" : "no"));
  } else if (what == "selected") {
    tell("selected: " + selected_name(tried_model(document), app.selection));
  } else if (what == "problems") {
    std::vector<Problem> all = document.why_not;
    const auto add = [&](const std::vector<Problem>& more) { all.insert(all.end(), more.begin(), more.end()); };
    add(document.file_problems);
    add(app.save_problems);
    add(app.failed_problems);
    tell("problems: " + problems_text(all));
  } else if (what == "travel") {
    tell(app.travel_mm ? fmt::format("travel: {:.17g}", *app.travel_mm) : "travel: at rest");
  } else if (what == "drive") {
    tell(app.drive ? fmt::format("drive: {:.17g}", *app.drive) : "drive: at 0");
  } else if (what == "rows") {
    tell(fmt::format("rows: {} {}", app.report.rows.size(), app.report.headline));
  } else if (what == "tried") {
    tell(fmt::format("tried: {}", document.trying ? "yes" : "no"));
  } else if (what == "number") {
    std::string rest;
    std::getline(words >> std::ws, rest);
    const auto bar = rest.find('|');
    const std::string where = rest.substr(0, rest.find_last_not_of(" |", bar) + 1),
                      word = bar == std::string::npos ? "" : rest.substr(bar + 2);
    for (const NumberRow& row : app.derived.rows)
      if (row.where == where && row.words == word && row.now)
        return tell(fmt::format("number {} | {}: {:.17g}", where, word, *row.now));
    tell(fmt::format("number {} | {}: none", where, word));
  } else if (what == "where") {
    std::string name;
    words >> name;
    const auto ref = find_hole(linkage_of(document.shown->model, app.selection), name);
    if (!ref) return tell("where: nowhere");
    const Linkage& linkage = linkage_of(document.shown->model, app.selection);
    const std::vector<Pose> poses = drawn_poses(app);
    const Vec2 p = in_chassis(at(poses, ref->body), at(at(linkage.bodies, ref->body).holes, ref->hole).p_B);
    const View& view = at(app.views, static_cast<int>(app.tab));
    const Vec2 px = to_px(view, p);
    tell(fmt::format("where {}: {:.0f} {:.0f} {:.3f}", name, px.x(), px.y(), view.px_per_mm));
  } else if (what == "hole") {
    std::string name;
    words >> name;
    const Model model = tried_model(document);
    const Linkage& linkage = linkage_of(model, app.selection);
    const auto ref = find_hole(linkage, name);
    if (!ref) return tell("hole: none");
    const Vec2 p = at(at(linkage.bodies, ref->body).holes, ref->hole).p_B / model.module_mm;
    tell(fmt::format("hole {}: {:g} {:g}", name, p.x(), p.y()));
  } else {
    script.failed = true;
  }
}

}  // namespace

ScriptWish run_line(Script& script, App& app, GLFWwindow* window, const Callbacks& calls) {
  ScriptWish wish;
  std::istringstream words(script.lines[script.next++]);
  std::string what;
  if (!(words >> what) || what[0] == '#') {
    wish.frames = 0;
    return wish;
  }
  const Hand hand{window, calls};
  const auto point_at = [&](auto find) {
    std::string name;
    double du = 0, dv = 0;
    words >> name >> du >> dv;
    if (!app.document || !app.document->shown) {
      script.failed = true;
      return;
    }
    const Model& model = app.document->shown->model;
    const auto ref = find(linkage_of(model, app.selection), name);
    // The grid that a hand works on is that of the moment when it took hold.
    const std::vector<Pose> poses = app.drag.poses.empty() ? drawn_poses(app) : app.drag.poses;
    if (!ref || poses.empty()) {
      script.failed = true;
      return;
    }
    const Model& start = app.drag.from ? app.drag.from->model : model;
    const Vec2 p_B = at(at(linkage_of(start, app.selection).bodies, ref->body).holes, ref->hole).p_B;
    const Vec2 p = in_chassis(at(poses, ref->body), p_B) + model.module_mm * Vec2(du, dv);
    const Vec2 px = to_px(at(app.views, static_cast<int>(app.tab)), p);
    calls.cursor(window, px.x(), px.y());
  };
  if (what == "move") {
    double x = 0, y = 0;
    words >> x >> y;
    calls.cursor(window, x, y);
  } else if (what == "at") {
    double x = 0, y = 0;
    words >> x >> y;
    const View& view = at(app.views, static_cast<int>(app.tab));
    calls.cursor(window, view.corner_px.x() + x * view.size_px.x(), view.corner_px.y() + y * view.size_px.y());
  } else if (what == "hole") {
    point_at(find_hole);
  } else if (what == "wheel") {
    point_at(find_wheel);
  } else if (what == "press" || what == "release") {
    std::string which;
    words >> which;
    calls.button(window, which == "right" ? 1 : 0, what == "press" ? GLFW_PRESS : GLFW_RELEASE, 0);
  } else if (what == "hold" || what == "let") {
    hand.hold_shift(what == "hold");
  } else if (what == "scroll") {
    double steps = 0;
    words >> steps;
    calls.scroll(window, 0, steps);
  } else if (what == "key") {
    std::string name;
    words >> name;
    hand.key(name);
  } else if (what == "type") {
    std::string text;
    std::getline(words >> std::ws, text);
    for (const char letter : text) calls.letter(window, static_cast<unsigned char>(letter));
  } else if (what == "open") {
    std::string path;
    std::getline(words >> std::ws, path);
    want_open(app, path);
  } else if (what == "frames") {
    words >> wish.frames;
  } else if (what == "wait") {
    double ms = 0;
    words >> ms;
    wish.wait_s = ms / 1000;
  } else if (what == "until") {
    wish.until_search = true;
  } else if (what == "idle") {
    words >> wish.idle_s;
  } else if (what == "shot") {
    words >> wish.shot;
  } else if (what == "say") {
    say(words, app, window, script);
    wish.frames = 0;
  } else {
    std::fprintf(stderr, "ridepitch-view: the script has an unknown line: %s\n", script.lines[script.next - 1].c_str());
    script.failed = true;
  }
  return wish;
}

}  // namespace ridepitch::view
