#include "window/window.hpp"

#include <GLFW/glfw3.h>
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>
#include <imgui_internal.h>  // closing a menu by key
#include <sys/resource.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "model/text_file.hpp"
#include "state/travel_place.hpp"
#include "window/app.hpp"
#include "window/commands.hpp"
#include "window/panes.hpp"
#include "window/png.hpp"
#include "window/script.hpp"
#include "window/theme.hpp"

namespace ridepitch::view {
namespace {

using Clock = std::chrono::steady_clock;

constexpr float font_px = 15;
constexpr double disk_period_s = 0.7;
constexpr int frames_after_news = 3;  // ImGui settles hovering and sizes over a few pictures

double seconds_since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

double cpu_seconds() {
  rusage use{};
  getrusage(RUSAGE_SELF, &use);
  return static_cast<double>(use.ru_utime.tv_sec + use.ru_stime.tv_sec) +
         1e-6 * static_cast<double>(use.ru_utime.tv_usec + use.ru_stime.tv_usec);
}

std::string glfw_error;

struct Window {
  GLFWwindow* handle = nullptr;
  Input input;
  App app;
  int frames_left = frames_after_news;
  long swaps = 0;
  bool popup_open = false;
  ImVec2 pointer = ImVec2(-1e6f, -1e6f);  ///< as the callbacks last said
  bool buttons[3] = {};
  std::string title;
  std::uint64_t search_told = 0;  ///< of its news, what is on screen
  Clock::time_point last_look = Clock::now();

  ~Window() {
    app.search.reset();  // its thread wakes the window
    if (!handle) return;
    ImGui_ImplOpenGL3_Shutdown();
    ImGui_ImplGlfw_Shutdown();
    ImGui::DestroyContext();
    glfwDestroyWindow(handle);
    glfwTerminate();
  }
};

void make_font(Window& window) {
  float x = 1, y = 1;
  glfwGetWindowContentScale(window.handle, &x, &y);
  // Where the system's coordinates are points, not pixels, they scale by themselves.
  int width = 0, height = 0, px_width = 0, px_height = 0;
  glfwGetWindowSize(window.handle, &width, &height);
  glfwGetFramebufferSize(window.handle, &px_width, &px_height);
  const float own = width > 0 ? static_cast<float>(px_width) / static_cast<float>(width) : 1;
  const float scale = std::max(0.5f, x / std::max(own, 0.1f)) * static_cast<float>(window.app.settings.zoom);
  window.app.scale = scale;
  load_font(font_px * scale);
  ImGui_ImplOpenGL3_DestroyFontsTexture();
  ImGui_ImplOpenGL3_CreateFontsTexture();
  set_style(window.app.settings.dark, scale);
  window.app.font_stale = false;
}

std::optional<std::string> open_window(Window& window, const RunOptions& options) {
  glfwSetErrorCallback([](int code, const char* text) { glfw_error = fmt::format("{} (GLFW {})", text, code); });
  if (!glfwInit()) return "there is no display to open a window on: " + glfw_error;
  glfwWindowHint(GLFW_CONTEXT_VERSION_MAJOR, 3);
  glfwWindowHint(GLFW_CONTEXT_VERSION_MINOR, 3);
  glfwWindowHint(GLFW_OPENGL_PROFILE, GLFW_OPENGL_CORE_PROFILE);
  glfwWindowHint(GLFW_VISIBLE, options.shot.empty() ? GLFW_TRUE : GLFW_FALSE);
  const Settings& settings = window.app.settings;
  const int width = options.width > 0 ? options.width : settings.width;
  const int height = options.height > 0 ? options.height : settings.height;
  window.handle = glfwCreateWindow(width, height, "ridepitch", nullptr, nullptr);
  if (!window.handle) {
    glfwTerminate();
    return "the display has no OpenGL 3.3: " + glfw_error;
  }
  glfwMakeContextCurrent(window.handle);
  glfwSwapInterval(options.script.empty() ? 1 : 0);
  IMGUI_CHECKVERSION();
  ImGui::CreateContext();
  ImGuiIO& io = ImGui::GetIO();
  io.IniFilename = nullptr;
  io.ConfigFlags |= ImGuiConfigFlags_NavEnableKeyboard;  // of menus and questions; the panes have keys of their own
  io.ConfigInputTextCursorBlink = false;                 // nothing is drawn while nothing changes
  ImGui_ImplGlfw_InitForOpenGL(window.handle, false);
  ImGui_ImplOpenGL3_Init("#version 330 core");
  listen(window.handle, window.input);
  make_font(window);
  return std::nullopt;
}

bool any_popup() { return ImGui::IsPopupOpen(nullptr, ImGuiPopupFlags_AnyPopupId | ImGuiPopupFlags_AnyPopupLevel); }

void take_keys(Window& window, const std::vector<Event>& events) {
  for (const Event& event : events) {
    if (const auto* dropped = std::get_if<Dropped>(&event)) want_open(window.app, dropped->path);
    const auto* key = std::get_if<Key>(&event);
    if (!key || !key->down) continue;
    const bool asking = window.popup_open;  // before this picture: Escape may have closed it by now
    if (asking && key->key == GLFW_KEY_ESCAPE && any_popup() && !ImGui::GetTopMostPopupModal())
      ImGui::ClosePopupToLevel(ImGui::GetCurrentContext()->OpenPopupStack.Size - 1, true);
    // Letters belong to a field that is written in; what has a modifier, or is F1, goes through.
    const bool plain = (key->modifiers & (GLFW_MOD_CONTROL | GLFW_MOD_ALT)) == 0 && key->key != GLFW_KEY_F1;
    if (asking || (ImGui::GetIO().WantTextInput && plain)) continue;
    // What a hand holds stays what it is until it lets go, or Escape takes it away.
    if (window.app.drag.what != Drag::What::none && key->key != GLFW_KEY_ESCAPE) continue;
    run_key(window.app, key->key, key->modifiers);
  }
}

/// The window's picture, upper row first, RGBA.
Pixels read_pixels(const Window& window, ImVec2 low, ImVec2 high) {
  int width = 0, height = 0, points = 0, ignored = 0;
  glfwGetFramebufferSize(window.handle, &width, &height);
  glfwGetWindowSize(window.handle, &points, &ignored);
  const float own = points > 0 ? static_cast<float>(width) / static_cast<float>(points) : 1;
  const auto px = [&](float v, int most) { return std::clamp(static_cast<int>(std::lround(v * own)), 0, most); };
  const int x0 = px(low.x, width), x1 = px(high.x, width), y0 = px(low.y, height), y1 = px(high.y, height);
  Pixels out{x1 - x0, y1 - y0, {}};
  if (out.width <= 0 || out.height <= 0) return out;
  out.rgba.resize(static_cast<std::size_t>(out.width) * static_cast<std::size_t>(out.height) * 4);
  std::vector<unsigned char> rows(out.rgba.size());
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  glReadPixels(x0, height - y1, out.width, out.height, GL_RGBA, GL_UNSIGNED_BYTE, rows.data());
  const std::size_t row = static_cast<std::size_t>(out.width) * 4;
  for (int y = 0; y < out.height; ++y)
    std::copy_n(rows.begin() + static_cast<std::ptrdiff_t>(row) * (out.height - 1 - y), row,
                out.rgba.begin() + static_cast<std::ptrdiff_t>(row) * y);
  for (std::size_t i = 3; i < out.rgba.size(); i += 4) out.rgba[i] = 255;
  return out;
}

/// One picture, not swapped yet.
void draw_frame(Window& window) {
  App& app = window.app;
  if (app.font_stale || window.input.rescaled) make_font(window);
  window.input.rescaled = false;
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplGlfw_NewFrame();
  // The backend polls the mouse; what the callbacks said is put in its place, so that nothing is lost and a script is heard.
  ImGuiIO& io = ImGui::GetIO();
  io.MousePos = window.pointer;
  std::copy(window.buttons, window.buttons + 3, io.MouseDown);
  const std::vector<Event> events = take_events(window.input);
  window.pointer = io.MousePos;
  std::copy(io.MouseDown, io.MouseDown + 3, window.buttons);
  ImGui::NewFrame();
  take_keys(window, events);
  draw_window(app);
  window.popup_open = any_popup();
  ImGui::Render();
  int width = 0, height = 0;
  glfwGetFramebufferSize(window.handle, &width, &height);
  glViewport(0, 0, width, height);
  const ImVec4 back = ImGui::GetStyle().Colors[ImGuiCol_WindowBg];
  glClearColor(back.x, back.y, back.z, 1);
  glClear(GL_COLOR_BUFFER_BIT);
  ImGui_ImplOpenGL3_RenderDrawData(ImGui::GetDrawData());
}

void write_picture(Window& window) {
  App& app = window.app;
  const std::string path = std::move(app.picture_wanted);
  app.picture_wanted.clear();
  const auto problem = write_png(path, read_pixels(window, app.picture_low, app.picture_high));
  app.message = problem ? "Not written: " + problem->text : "The drawing was written as " + path + ".";
}

ImVec2 whole(const Window& window) {
  int width = 0, height = 0;
  glfwGetWindowSize(window.handle, &width, &height);
  return ImVec2(static_cast<float>(width), static_cast<float>(height));
}

void set_title(Window& window) {
  const App& app = window.app;
  std::string title = "ridepitch";
  if (app.document)
    title = fmt::format("{}{} - ridepitch", unsaved(*app.document) ? "*" : "", app.document->base().model.name);
  if (title == window.title) return;
  glfwSetWindowTitle(window.handle, title.c_str());
  window.title = title;
}

void one_picture(Window& window) {
  draw_frame(window);
  if (!window.app.picture_wanted.empty()) {
    write_picture(window);
    window.frames_left = frames_after_news;
  }
  glfwSwapBuffers(window.handle);
  ++window.swaps;
  set_title(window);
}

/// Looks for what there is to do, waits where there is nothing. @returns whether a picture is due
bool wait_for_news(Window& window, bool wait) {
  const bool going_on = window.frames_left > 0 || busy(window.app) || !window.input.events.empty();
  if (going_on || !wait) {
    glfwPollEvents();
  } else {
    glfwWaitEventsTimeout(disk_period_s);
  }
  if (seconds_since(window.last_look) > disk_period_s) {
    window.last_look = Clock::now();
    if (watch_file(window.app)) window.frames_left = frames_after_news;
  }
  if (window.input.redraw || !window.input.events.empty()) {
    window.input.redraw = false;
    window.frames_left = frames_after_news;
  }
  if (window.app.search) {
    const std::uint64_t now = window.app.search->looked_at + (report_of(*window.app.search).done ? 1u : 0u);
    if (now != window.search_told) window.frames_left = frames_after_news;
    window.search_told = now;
  }
  return window.frames_left > 0 || busy(window.app);
}

void loop_once(Window& window, bool wait) {
  if (!wait_for_news(window, wait)) return;
  if (window.frames_left > 0) --window.frames_left;
  one_picture(window);
}

void close_asked(Window& window) {
  if (!glfwWindowShouldClose(window.handle)) return;
  glfwSetWindowShouldClose(window.handle, GLFW_FALSE);
  want_close(window.app);
  window.frames_left = frames_after_news;
}

void idle(Window& window, double seconds) {
  const long swaps = window.swaps;
  const double cpu = cpu_seconds();
  const Clock::time_point start = Clock::now();
  while (seconds_since(start) < seconds) loop_once(window, true);
  const double share = 100 * (cpu_seconds() - cpu) / seconds_since(start);
  std::printf("idle: %ld swaps, %.2f %% of a core\n", window.swaps - swaps, share);
  std::fflush(stdout);
}

int play(Window& window, const std::string& path) {
  const FileText file = read_file_text(path, false);
  if (!file.why_not.empty()) {
    std::fprintf(stderr, "ridepitch-view: the script '%s': %s\n", path.c_str(), file.why_not.c_str());
    return 2;
  }
  Script script;
  const TextLines lines(file.text);
  for (int i = 1; i <= lines.count(); ++i) script.lines.emplace_back(lines.line(i));
  const Callbacks callbacks = callbacks_of(window.handle);
  const auto settle = [&](int frames) {
    window.frames_left = std::max(window.frames_left, frames);
    while (window.frames_left > 0 || !window.input.events.empty()) loop_once(window, false);
  };
  settle(frames_after_news);
  while (script.next < script.lines.size() && !window.app.want_close) {
    const ScriptWish wish = run_line(script, window.app, window.handle, callbacks);
    if (script.failed) {
      std::fprintf(stderr, "ridepitch-view: script line %zu does not work: %s\n", script.next,
                   script.lines[script.next - 1].c_str());
      return 2;
    }
    settle(wish.frames);
    if (wish.wait_s > 0) {
      const Clock::time_point start = Clock::now();
      while (seconds_since(start) < wish.wait_s) loop_once(window, true);
    }
    if (wish.until_search)
      while (window.app.search && !report_of(*window.app.search).done) loop_once(window, true);
    if (wish.until_search) settle(frames_after_news);
    if (wish.idle_s > 0) idle(window, wish.idle_s);
    if (!wish.shot.empty()) {
      draw_frame(window);
      if (auto problem = write_png(wish.shot, read_pixels(window, ImVec2(0, 0), whole(window)))) {
        std::fprintf(stderr, "ridepitch-view: %s\n", problem->text.c_str());
        return 2;
      }
    }
  }
  return 0;
}

/// What the command line asks to look at. @returns what is wrong with that
std::string look_at(App& app, const RunOptions& options) {
  if (!app.document) return "";
  const Model model = tried_model(*app.document);
  if (!options.corner.empty()) {
    std::string known;
    int found = -1;
    for (std::size_t c = 0; c < model.corners.size(); ++c) {
      known += (known.empty() ? "" : ", ") + model.corners[c].name;
      if (model.corners[c].name == options.corner) found = static_cast<int>(c);
    }
    if (found < 0) return fmt::format("the model has no corner '{}'; its corners are {}", options.corner, known);
    select(app, {.corner = found});
  }
  if (options.drawing == "side") open_tab(app, Tab::side);
  if (options.drawing == "front") open_tab(app, Tab::front);
  if (options.drawing == "steering") open_tab(app, Tab::steering);
  if (options.travel_mm && app.document->shown) {
    const Curve* curve = curve_of(app.document->shown->solution, app.selection.corner, app.wheel);
    if (!curve)
      return fmt::format("the corner '{}' has no wheel that can be raised alone",
                         model.corners[static_cast<std::size_t>(app.selection.corner)].name);
    app.travel_mm = curve->points[nearest_point(*curve, *options.travel_mm)].travel_mm;
  }
  return "";
}

void print_problems(const std::vector<Problem>& problems) {
  for (const Problem& each : problems)
    std::fprintf(stderr, "%s:%d:%d: error: %s\n", each.file_name.c_str(), each.place.line, each.place.column,
                 each.text.c_str());
}

int take_shot(Window& window, const std::string& path) {
  const App& app = window.app;
  if (!app.document || !app.document->why_not.empty()) {
    print_problems(app.document ? app.document->why_not : app.failed_problems);
    return 2;
  }
  // A window that is not on a screen owns no pixels: the picture goes into memory of its own.
  const OffScreen off_screen(window.handle);
  if (!off_screen.ready) {
    std::fprintf(stderr, "ridepitch-view: the display has no memory for pictures off the screen\n");
    return 2;
  }
  for (int i = 0; i < frames_after_news; ++i) draw_frame(window);
  if (auto problem = write_png(path, read_pixels(window, ImVec2(0, 0), whole(window)))) {
    std::fprintf(stderr, "ridepitch-view: %s\n", problem->text.c_str());
    return 2;
  }
  return 0;
}

}  // namespace

int run_window(const RunOptions& options) {
  Window window;
  App& app = window.app;
  const bool for_docs = !options.shot.empty();
  if (!for_docs) app.settings = load_settings();
  if (options.dark) app.settings.dark = true;
  if (const auto why_not = open_window(window, options)) {
    std::fprintf(stderr, "ridepitch-view: %s\n", why_not->c_str());
    return 2;
  }
  app.wake = [] { glfwPostEmptyEvent(); };
  if (options.model.empty()) {
    open_demo(app);
  } else {
    open_file(app, options.model);
  }
  if (const std::string wrong = look_at(app, options); !wrong.empty()) {
    std::fprintf(stderr, "ridepitch-view: %s\n", wrong.c_str());
    return 2;
  }
  if (for_docs) return take_shot(window, options.shot);
  int status = 0;
  if (!options.script.empty()) {
    status = play(window, options.script);
  } else {
    while (!app.want_close) {
      loop_once(window, true);
      close_asked(window);
    }
  }
  glfwGetWindowSize(window.handle, &app.settings.width, &app.settings.height);
  store_settings(app.settings);
  return status;
}

}  // namespace ridepitch::view
