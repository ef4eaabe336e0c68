#include "window/input.hpp"

#include <GLFW/glfw3.h>
#include <imgui.h>

#include <cfloat>

namespace ridepitch::view {
namespace {

using Kind = Event::Kind;

Input& input_of(GLFWwindow* window) { return *static_cast<Input*>(glfwGetWindowUserPointer(window)); }

void put(GLFWwindow* window, Event event) { input_of(window).events.push_back(std::move(event)); }

void hand_over(const Event& event) {
  ImGuiIO& io = ImGui::GetIO();
  const auto held = [&](int left, int right) { return io.KeysDown[left] || io.KeysDown[right]; };
  switch (event.kind) {
    case Kind::pointer:
      io.MousePos = ImVec2(static_cast<float>(event.at_px.x()), static_cast<float>(event.at_px.y()));
      break;
    case Kind::button:
      if (event.code >= 0 && event.code < 3) io.MouseDown[event.code] = event.down;
      break;
    case Kind::scrolled:
      io.MouseWheel += static_cast<float>(event.steps);
      break;
    case Kind::letter:
      io.AddInputCharacter(static_cast<unsigned>(event.code));
      break;
    case Kind::key:
      if (event.code >= 0 && event.code < IM_ARRAYSIZE(io.KeysDown)) io.KeysDown[event.code] = event.down;
      io.KeyCtrl = held(GLFW_KEY_LEFT_CONTROL, GLFW_KEY_RIGHT_CONTROL);
      io.KeyShift = held(GLFW_KEY_LEFT_SHIFT, GLFW_KEY_RIGHT_SHIFT);
      io.KeyAlt = held(GLFW_KEY_LEFT_ALT, GLFW_KEY_RIGHT_ALT);
      io.KeySuper = held(GLFW_KEY_LEFT_SUPER, GLFW_KEY_RIGHT_SUPER);
      break;
    case Kind::dropped:
      break;
  }
}

}  // namespace

const Callbacks callbacks = {
    .cursor =
        [](GLFWwindow* w, double x, double y) {
          put(w, {.kind = Kind::pointer, .at_px = {x, y}});
        },
    .button =
        [](GLFWwindow* w, int button, int action, int mods) {
          put(w, {.kind = Kind::button, .code = button, .down = action == GLFW_PRESS, .modifiers = mods});
        },
    .scroll = [](GLFWwindow* w, double, double steps) { put(w, {.kind = Kind::scrolled, .steps = steps}); },
    .key =
        [](GLFWwindow* w, int key, int, int action, int mods) {
          put(w, {.kind = Kind::key, .code = key, .down = action != GLFW_RELEASE, .modifiers = mods});
        },
    .letter = [](GLFWwindow* w, unsigned letter) { put(w, {.kind = Kind::letter, .code = static_cast<int>(letter)}); },
};

void listen(GLFWwindow* window, Input& input) {
  glfwSetWindowUserPointer(window, &input);
  glfwSetCursorPosCallback(window, callbacks.cursor);
  glfwSetMouseButtonCallback(window, callbacks.button);
  glfwSetScrollCallback(window, callbacks.scroll);
  glfwSetKeyCallback(window, callbacks.key);
  glfwSetCharCallback(window, callbacks.letter);
  glfwSetCursorEnterCallback(window, [](GLFWwindow* w, int entered) {
    if (!entered) put(w, {.kind = Kind::pointer, .at_px = Vec2::Constant(-FLT_MAX)});
  });
  glfwSetDropCallback(window, [](GLFWwindow* w, int count, const char** paths) {
    if (count > 0) put(w, {.kind = Kind::dropped, .path = paths[0]});
  });
  glfwSetWindowRefreshCallback(window, [](GLFWwindow* w) { input_of(w).redraw = true; });
  glfwSetFramebufferSizeCallback(window, [](GLFWwindow* w, int, int) { input_of(w).redraw = true; });
  glfwSetWindowContentScaleCallback(
      window, [](GLFWwindow* w, float, float) { input_of(w).redraw = input_of(w).rescaled = true; });
  glfwSetWindowFocusCallback(window, [](GLFWwindow* w, int focused) {
    input_of(w).redraw = true;
    // Keys that were down when the window lost the keyboard never come up here.
    if (!focused)
      for (int key = GLFW_KEY_SPACE; key <= GLFW_KEY_LAST; ++key)
        if (glfwGetKey(w, key) == GLFW_PRESS) put(w, {.kind = Kind::key, .code = key});
  });
}

std::vector<Event> take_events(Input& input) {
  std::vector<Event> taken;
  while (!input.events.empty()) {
    const Event& event = taken.emplace_back(std::move(input.events.front()));
    input.events.pop_front();
    hand_over(event);
    // Moves and letters may share a frame; a press, a turn of the wheel or a key ends it.
    const bool key_next = !input.events.empty() && input.events.front().kind == Kind::key;
    const bool ends_frame =
        event.kind == Kind::button || event.kind == Kind::scrolled || (event.kind == Kind::key && key_next);
    if (ends_frame) break;
  }
  return taken;
}

}  // namespace ridepitch::view
