#include "window/script.hpp"

#include <GLFW/glfw3.h>

#include <cctype>
#include <cstdio>
#include <cstring>
#include <sstream>

#include <fmt/format.h>

#include "model/index.hpp"
#include "picture/linkage_shapes.hpp"
#include "window/canvas.hpp"
#include "window/commands.hpp"

namespace ridepitch::view {
namespace {

std::string next_word(std::istringstream& words) {
  std::string word;
  words >> word;
  return word;
}

double next_number(std::istringstream& words) {
  double value = 0;
  words >> value;
  return value;
}

Vec2 next_pair(std::istringstream& words) {
  const double x = next_number(words);
  return {x, next_number(words)};
}

std::string rest_of(std::istringstream& words) {
  std::string text;
  std::getline(words >> std::ws, text);
  return text;
}

std::optional<HoleRef> find_hole(const Linkage& linkage, const std::string& name) {
  for (int b = 0; b < count(linkage.bodies); ++b)
    for (int h = 0; h < count(at(linkage.bodies, b).holes); ++h)
      if (hole_name(linkage, {b, h}) == name) return HoleRef{b, h};
  return std::nullopt;
}

std::optional<HoleRef> find_wheel(const Linkage& linkage, const std::string& name) {
  const Wheel* wheel = named(linkage.wheels, name);
  return wheel ? std::optional(wheel->at) : std::nullopt;
}

// ------------------------------------------------------------------------------------ a hand

struct Hand {
  GLFWwindow* window;
  const Callbacks& calls;
};

/// GLFW's code of "z", "]", "pagedown", "equal"; 0: none.
int key_named(const std::string& name) {
  if (name.size() == 1) return std::toupper(static_cast<unsigned char>(name[0]));
  for (const auto& [key, words] : named_keys()) {
    std::string plain;
    for (const char* c = words; *c; ++c)
      if (*c != ' ') plain += static_cast<char>(std::tolower(static_cast<unsigned char>(*c)));
    if (plain == name) return key;
  }
  return name == "equal" ? GLFW_KEY_EQUAL : name == "period" ? GLFW_KEY_PERIOD : 0;
}

/// "ctrl+shift+z".
void press_key(const Hand& hand, std::string words) {
  struct Modifier {
    const char* prefix;
    int bit, key;
  };
  int modifiers = 0;
  std::vector<int> held;
  for (const auto& [prefix, bit, key] :
       {Modifier{"ctrl+", GLFW_MOD_CONTROL, GLFW_KEY_LEFT_CONTROL}, Modifier{"alt+", GLFW_MOD_ALT, GLFW_KEY_LEFT_ALT},
        Modifier{"shift+", GLFW_MOD_SHIFT, GLFW_KEY_LEFT_SHIFT}}) {
    if (words.rfind(prefix, 0) != 0) continue;
    words.erase(0, std::strlen(prefix));
    modifiers |= bit;
    held.push_back(key);
  }
  const int key = key_named(words);
  for (const int each : held) hand.calls.key(hand.window, each, 0, GLFW_PRESS, modifiers);
  for (const int action : {GLFW_PRESS, GLFW_RELEASE}) hand.calls.key(hand.window, key, 0, action, modifiers);
  for (const int each : held) hand.calls.key(hand.window, each, 0, GLFW_RELEASE, 0);
}

/// Where a hole of the drawing is, some modules beside it, in px; none where nothing is drawn.
std::optional<Vec2> drawn_at(const App& app, std::optional<HoleRef> ref, const Vec2& beside_modules) {
  if (!ref || !app.document || !app.document->shown) return std::nullopt;
  // The grid that a hand works on is that of the moment when its drag began.
  const Model& model = app.drag.from ? app.drag.from->model : app.document->shown->model;
  const std::vector<Pose> poses =
      app.drag.poses.empty() ? poses_shown(*app.document->shown, hand_look(app)) : app.drag.poses;
  if (poses.empty()) return std::nullopt;
  const Vec2 p = hole_point(linkage_of(model, app.selection), poses, *ref);
  return to_px(view_of(app), p + model.module_mm * beside_modules);
}

// --------------------------------------------------------------------------------- what is told

std::string problems_text(const App& app) {
  std::string text;
  const auto add = [&](const std::vector<Problem>& problems) {
    for (const Problem& each : problems)
      text += fmt::format("{}{}:{}:{}: {}", text.empty() ? "" : " | ", each.file_name, each.place.line,
                          each.place.column, each.text);
  };
  if (app.document) add(app.document->why_not);
  if (app.document) add(app.document->file_problems);
  add(app.save_problems);
  add(app.failed_problems);
  return text;
}

std::string number_text(const std::vector<NumberRow>& rows, const std::string& asked) {
  const auto bar = asked.find('|');
  const std::string where = asked.substr(0, asked.find_last_not_of(" |", bar) + 1),
                    word = bar == std::string::npos ? "" : asked.substr(bar + 2);
  for (const NumberRow& row : rows)
    if (row.where == where && row.words == word && row.now)
      return fmt::format("number {} | {}: {:.17g}", where, word, *row.now);
  return fmt::format("number {} | {}: none", where, word);
}

/// What `say` tells; none where it is not known.
std::optional<std::string> fact(App& app, GLFWwindow* window, std::istringstream& words) {
  const std::string what = next_word(words);
  if (what == "message") return "message: " + app.message;
  if (what == "problems") return "problems: " + problems_text(app);
  if (what == "panes") {
    int width = 0, height = 0;
    glfwGetWindowSize(window, &width, &height);
    return fmt::format("panes: {} {} {:.0f} {:.0f} {:.0f} {:.0f}", width, height, app.picture_low.x, app.picture_low.y,
                       app.picture_high.x, app.picture_high.y);
  }
  if (!app.document) return what + ": no model";
  const Document& document = *app.document;
  const auto yes = [&](bool is) { return what + (is ? ": yes" : ": no"); };
  if (what == "unsaved") return yes(unsaved(document));
  if (what == "tried") return yes(document.trying);
  if (what == "verdict") return "verdict: " + (app.derived.comparison ? app.derived.comparison->verdict : "none");
  if (what == "travel" || what == "drive")
    return what + (app.by_hand ? fmt::format(": {:.17g}", *app.by_hand) : what == "drive" ? ": at 0" : ": at rest");
  if (what == "rows") return fmt::format("rows: {} {}", app.report.rows.size(), app.report.headline);
  if (what == "number") return number_text(app.derived.rows, rest_of(words));
  const Model model = tried_model(document);
  if (what == "selected") return "selected: " + selected_name(model, app.selection);
  if (what != "where" && what != "hole") return std::nullopt;
  const Linkage& linkage = linkage_of(model, app.selection);
  const std::string name = next_word(words);
  const std::optional<HoleRef> ref = find_hole(linkage, name);
  if (what == "where") {
    const auto px = drawn_at(app, ref, Vec2::Zero());
    if (!px) return "where: nowhere";
    return fmt::format("where {}: {:.0f} {:.0f} {:.3f}", name, px->x(), px->y(), view_of(app).px_per_mm);
  }
  if (!ref) return "hole: none";
  const Vec2 p = at(at(linkage.bodies, ref->body).holes, ref->hole).p_B / model.module_mm;
  return fmt::format("hole {}: {:g} {:g}", name, p.x(), p.y());
}

// ------------------------------------------------------------------------------------- a line

/// @returns whether the line was understood, and what it names exists
bool run(const std::string& what, std::istringstream& words, App& app, const Hand& hand, ScriptWish& wish) {
  const Callbacks& calls = hand.calls;
  std::optional<Vec2> pointer;
  if (what == "move") {
    pointer = next_pair(words);
  } else if (what == "at") {
    pointer = view_of(app).corner_px + next_pair(words).cwiseProduct(view_of(app).size_px);
  } else if (what == "hole" || what == "wheel") {
    const std::string name = next_word(words);
    if (!app.document || !app.document->shown) return false;
    const Linkage& linkage = linkage_of(app.document->shown->model, app.selection);
    pointer = drawn_at(app, (what == "hole" ? find_hole : find_wheel)(linkage, name), next_pair(words));
    if (!pointer) return false;
  } else if (what == "press" || what == "release") {
    calls.button(hand.window, next_word(words) == "right" ? 1 : 0, what == "press" ? GLFW_PRESS : GLFW_RELEASE, 0);
  } else if (what == "hold" || what == "let") {
    calls.key(hand.window, GLFW_KEY_LEFT_SHIFT, 0, what == "hold" ? GLFW_PRESS : GLFW_RELEASE, GLFW_MOD_SHIFT);
  } else if (what == "scroll") {
    calls.scroll(hand.window, 0, next_number(words));
  } else if (what == "key") {
    press_key(hand, next_word(words));
  } else if (what == "type") {
    for (const char letter : rest_of(words)) calls.letter(hand.window, static_cast<unsigned char>(letter));
  } else if (what == "open") {
    want_open(app, rest_of(words));
  } else if (what == "frames") {
    words >> wish.frames;
  } else if (what == "wait") {
    wish.wait_s = next_number(words) / 1000;
  } else if (what == "until") {
    wish.until_search = true;
  } else if (what == "idle") {
    words >> wish.idle_s;
  } else if (what == "shot") {
    words >> wish.shot;
  } else if (what == "say") {
    refresh(app);
    wish.frames = 0;
    const std::optional<std::string> text = fact(app, hand.window, words);
    if (text) std::puts(text->c_str());
    std::fflush(stdout);
    return text.has_value();
  } else {
    return false;
  }
  if (pointer) calls.cursor(hand.window, pointer->x(), pointer->y());
  return true;
}

}  // namespace

ScriptWish run_line(Script& script, App& app, GLFWwindow* window, const Callbacks& calls) {
  ScriptWish wish;
  std::istringstream words(script.lines[script.next++]);
  const std::string what = next_word(words);
  if (what.empty() || what[0] == '#') {
    wish.frames = 0;
    return wish;
  }
  script.failed = !run(what, words, app, {window, calls}, wish);
  return wish;
}

}  // namespace ridepitch::view
