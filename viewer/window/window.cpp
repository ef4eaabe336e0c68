#include "window/window.hpp"

#include <GLFW/glfw3.h>
#include <backends/imgui_impl_glfw.h>
#include <backends/imgui_impl_opengl3.h>
#include <imgui.h>
#include <imgui_internal.h>  // closing a menu by key

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <vector>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/text_file.hpp"
#include "state/by_hand.hpp"
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

/// Of all threads of this program.
double cpu_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

std::string glfw_error;

/// @returns the exit status of a failure
int fail(const std::string& why) {
  std::fprintf(stderr, "ridepitch-view: %s\n", why.c_str());
  return 2;
}

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

struct Size {
  int width = 0, height = 0;
};

/// Of the window, in the units of the pointer.
Size size_of(const Window& window) {
  Size out;
  glfwGetWindowSize(window.handle, &out.width, &out.height);
  return out;
}

/// Of the window, in pixels.
Size pixels_of(const Window& window) {
  Size out;
  glfwGetFramebufferSize(window.handle, &out.width, &out.height);
  return out;
}

/// Pixels per unit of the pointer.
float density(const Window& window) {
  const int width = size_of(window).width;
  return width > 0 ? static_cast<float>(pixels_of(window).width) / static_cast<float>(width) : 1;
}

void make_font(Window& window) {
  float x = 1, y = 1;
  glfwGetWindowContentScale(window.handle, &x, &y);
  // Where the system's coordinates are points, not pixels, they scale by themselves.
  const float own = std::max(density(window), 0.1f);
  const float scale = std::max(0.5f, x / own) * static_cast<float>(window.app.settings.zoom);
  window.app.scale = scale;
  load_font(font_px * scale);
  ImGui_ImplOpenGL3_DestroyFontsTexture();
  ImGui_ImplOpenGL3_CreateFontsTexture();
  set_style(window.app.settings.dark, scale);
  window.app.font_stale = false;
}

/// @returns why it can't be opened; empty: it is open
std::string open_window(Window& window, const RunOptions& options) {
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
  return "";
}

bool any_popup() { return ImGui::IsPopupOpen(nullptr, ImGuiPopupFlags_AnyPopupId | ImGuiPopupFlags_AnyPopupLevel); }

void take_keys(Window& window, const std::vector<Event>& events) {
  for (const Event& event : events) {
    if (event.kind == Event::Kind::dropped) want_open(window.app, event.path);
    if (event.kind != Event::Kind::key || !event.down) continue;
    const bool asking = window.popup_open;  // before this picture: Escape may have closed it by now
    if (asking && event.code == GLFW_KEY_ESCAPE && any_popup() && !ImGui::GetTopMostPopupModal())
      ImGui::ClosePopupToLevel(ImGui::GetCurrentContext()->OpenPopupStack.Size - 1, true);
    // A field that is written in takes plain letters. Keys with a modifier, and F1, are commands even then.
    const bool plain = (event.modifiers & (GLFW_MOD_CONTROL | GLFW_MOD_ALT)) == 0 && event.code != GLFW_KEY_F1;
    if (asking || (ImGui::GetIO().WantTextInput && plain)) continue;
    // Nothing else changes while something is dragged; only Escape ends that.
    if (window.app.drag.what != Drag::What::none && event.code != GLFW_KEY_ESCAPE) continue;
    run_key(window.app, event.code, event.modifiers);
  }
}

/// A part of the window's picture, upper row first, RGBA.
Pixels read_pixels(const Window& window, ImVec2 low, ImVec2 high) {
  const Size all = pixels_of(window);
  const float own = density(window);
  const auto px = [&](float v, int most) { return std::clamp(static_cast<int>(std::lround(v * own)), 0, most); };
  const int x0 = px(low.x, all.width), x1 = px(high.x, all.width);
  const int y0 = px(low.y, all.height), y1 = px(high.y, all.height);
  Pixels out{x1 - x0, y1 - y0, {}};
  if (out.width <= 0 || out.height <= 0) return out;
  const std::size_t row = static_cast<std::size_t>(out.width) * 4;
  out.rgba.resize(row * static_cast<std::size_t>(out.height));
  glPixelStorei(GL_PACK_ALIGNMENT, 1);
  for (int y = 0; y < out.height; ++y)  // OpenGL's rows count from below
    glReadPixels(x0, all.height - 1 - y0 - y, out.width, 1, GL_RGBA, GL_UNSIGNED_BYTE,
                 out.rgba.data() + row * static_cast<std::size_t>(y));
  for (std::size_t i = 3; i < out.rgba.size(); i += 4) out.rgba[i] = 255;
  return out;
}

std::optional<Problem> write_whole(const Window& window, const std::string& path) {
  const Size size = size_of(window);
  const ImVec2 high(static_cast<float>(size.width), static_cast<float>(size.height));
  return write_png(path, read_pixels(window, ImVec2(0, 0), high));
}

/// One frame, not swapped yet.
void draw_frame(Window& window) {
  App& app = window.app;
  if (app.font_stale || window.input.rescaled) make_font(window);
  window.input.rescaled = false;
  ImGui_ImplOpenGL3_NewFrame();
  ImGui_ImplGlfw_NewFrame();
  // The backend polls the mouse. What the callbacks said replaces that, so that nothing is lost and a script is heard.
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
  const Size size = pixels_of(window);
  glViewport(0, 0, size.width, size.height);
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

void set_title(Window& window) {
  const App& app = window.app;
  std::string title = "ridepitch";
  if (app.document)
    title =
        fmt::format("{}{} - ridepitch", unsaved(*app.document) ? "*" : "", printable(app.document->base().model.name));
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

/// Waits for something to do. @param wait  false: only looks for it. @returns whether a frame is due
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

void settle(Window& window, int frames) {
  window.frames_left = std::max(window.frames_left, frames);
  while (window.frames_left > 0 || !window.input.events.empty()) loop_once(window, false);
}

/// What a line of a script asks of the loop. @returns what is wrong
std::string do_wish(Window& window, const ScriptWish& wish) {
  settle(window, wish.frames);
  const Clock::time_point start = Clock::now();
  while (seconds_since(start) < wish.wait_s) loop_once(window, true);
  if (wish.until_search) {
    while (window.app.search && !report_of(*window.app.search).done) loop_once(window, true);
    settle(window, frames_after_news);
  }
  if (wish.idle_s > 0) idle(window, wish.idle_s);
  if (wish.shot.empty()) return "";
  draw_frame(window);
  const auto problem = write_whole(window, wish.shot);
  return problem ? problem->text : "";
}

int play(Window& window, const std::string& path) {
  const FileText file = read_file_text(path, false);
  if (!file.why_not.empty()) return fail(fmt::format("the script '{}': {}", path, file.why_not));
  Script script;
  const TextLines lines(file.text);
  for (int i = 1; i <= lines.count(); ++i) script.lines.emplace_back(lines.line(i));
  settle(window, frames_after_news);
  while (script.next < script.lines.size() && !window.app.want_close) {
    const ScriptWish wish = run_line(script, window.app, window.handle, callbacks);
    if (script.failed)
      return fail(fmt::format("script line {} does not work: {}", script.next, script.lines[script.next - 1]));
    if (const std::string wrong = do_wish(window, wish); !wrong.empty()) return fail(wrong);
  }
  return 0;
}

/// What the command line asks to look at. @returns what is wrong with that
std::string look_at(App& app, const RunOptions& options) {
  if (!app.document) return "";
  const Model model = tried_model(*app.document);
  if (!options.corner.empty()) {
    const int found = index_of(model.corners, options.corner);
    std::vector<std::string> known;
    for (const Corner& each : model.corners) known.push_back(each.name);
    if (found < 0)
      return fmt::format("the model has no corner '{}'; its corners are {}", options.corner, fmt::join(known, ", "));
    select(app, {.corner = found});
  }
  constexpr std::pair<const char*, Tab> drawings[] = {
      {"side", Tab::side}, {"front", Tab::front}, {"steering", Tab::steering}};
  for (const auto& [name, tab] : drawings)
    if (options.drawing == name) open_tab(app, tab);
  if (options.travel_mm && app.document->shown) {
    const Curve* curve = curve_of(app.document->shown->solution, app.selection.corner, app.wheel);
    if (!curve)
      return fmt::format("the corner '{}' has no wheel that can be raised alone",
                         at(model.corners, app.selection.corner).name);
    app.by_hand = curve->points[nearest_point(*curve, *options.travel_mm)].travel_mm;
  }
  return "";
}

int take_shot(Window& window, const std::string& path) {
  const App& app = window.app;
  if (!app.document || !app.document->why_not.empty()) {
    for (const Problem& each : app.document ? app.document->why_not : app.failed_problems)
      std::fprintf(stderr, "%s:%d:%d: error: %s\n", each.file_name.c_str(), each.place.line, each.place.column,
                   each.text.c_str());
    return 2;
  }
  // A hidden window owns no pixels: the picture is drawn into memory of its own.
  const OffScreen off_screen(window.handle);
  if (!off_screen.ready) return fail("the display has no memory for pictures off the screen");
  for (int i = 0; i < frames_after_news; ++i) draw_frame(window);
  const auto problem = write_whole(window, path);
  return problem ? fail(problem->text) : 0;
}

}  // namespace

int run_window(const RunOptions& options) {
  Window window;
  App& app = window.app;
  const bool for_docs = !options.shot.empty();
  if (!for_docs) app.settings = load_settings();
  if (options.dark) app.settings.dark = true;
  if (const std::string why_not = open_window(window, options); !why_not.empty()) return fail(why_not);
  app.wake = [] { glfwPostEmptyEvent(); };
  if (options.model.empty())
    open_demo(app);
  else
    open_file(app, options.model);
  if (const std::string wrong = look_at(app, options); !wrong.empty()) return fail(wrong);
  if (for_docs) return take_shot(window, options.shot);
  const int status = options.script.empty() ? 0 : play(window, options.script);
  while (options.script.empty() && !app.want_close) {
    loop_once(window, true);
    close_asked(window);
  }
  glfwGetWindowSize(window.handle, &app.settings.width, &app.settings.height);
  store_settings(app.settings);
  return status;
}

}  // namespace ridepitch::view
