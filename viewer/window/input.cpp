#include "window/input.hpp"

#include <GLFW/glfw3.h>
#include <imgui.h>

#include <cfloat>

namespace ridepitch::view {
namespace {

Input& input_of(GLFWwindow* window) { return *static_cast<Input*>(glfwGetWindowUserPointer(window)); }

void on_cursor(GLFWwindow* window, double x, double y) { input_of(window).events.emplace_back(PointerMoved{{x, y}}); }

void on_enter(GLFWwindow* window, int entered) {
  if (!entered) input_of(window).events.emplace_back(PointerLeft{});
}

void on_button(GLFWwindow* window, int button, int action, int modifiers) {
  input_of(window).events.emplace_back(Button{button, action == GLFW_PRESS, modifiers});
}

void on_scroll(GLFWwindow* window, double, double steps) { input_of(window).events.emplace_back(Scrolled{steps}); }

void on_key(GLFWwindow* window, int key, int, int action, int modifiers) {
  input_of(window).events.emplace_back(Key{key, action != GLFW_RELEASE, modifiers});
}

void on_letter(GLFWwindow* window, unsigned letter) { input_of(window).events.emplace_back(Typed{letter}); }

void on_drop(GLFWwindow* window, int count, const char** paths) {
  if (count > 0) input_of(window).events.emplace_back(Dropped{paths[0]});
}

void hand_over(const Event& event) {
  ImGuiIO& io = ImGui::GetIO();
  if (const auto* moved = std::get_if<PointerMoved>(&event))
    io.MousePos = ImVec2(static_cast<float>(moved->to_px.x()), static_cast<float>(moved->to_px.y()));
  if (std::holds_alternative<PointerLeft>(event)) io.MousePos = ImVec2(-FLT_MAX, -FLT_MAX);
  if (const auto* button = std::get_if<Button>(&event))
    if (button->button >= 0 && button->button < 3) io.MouseDown[button->button] = button->down;
  if (const auto* scrolled = std::get_if<Scrolled>(&event)) io.MouseWheel += static_cast<float>(scrolled->steps);
  if (const auto* typed = std::get_if<Typed>(&event)) io.AddInputCharacter(typed->letter);
  if (const auto* key = std::get_if<Key>(&event)) {
    if (key->key >= 0 && key->key < IM_ARRAYSIZE(io.KeysDown)) io.KeysDown[key->key] = key->down;
    const auto held = [&](int left, int right) { return io.KeysDown[left] || io.KeysDown[right]; };
    io.KeyCtrl = held(GLFW_KEY_LEFT_CONTROL, GLFW_KEY_RIGHT_CONTROL);
    io.KeyShift = held(GLFW_KEY_LEFT_SHIFT, GLFW_KEY_RIGHT_SHIFT);
    io.KeyAlt = held(GLFW_KEY_LEFT_ALT, GLFW_KEY_RIGHT_ALT);
    io.KeySuper = held(GLFW_KEY_LEFT_SUPER, GLFW_KEY_RIGHT_SUPER);
  }
}

}  // namespace

void listen(GLFWwindow* window, Input& input) {
  glfwSetWindowUserPointer(window, &input);
  glfwSetCursorPosCallback(window, on_cursor);
  glfwSetCursorEnterCallback(window, on_enter);
  glfwSetMouseButtonCallback(window, on_button);
  glfwSetScrollCallback(window, on_scroll);
  glfwSetKeyCallback(window, on_key);
  glfwSetCharCallback(window, on_letter);
  glfwSetDropCallback(window, on_drop);
  glfwSetWindowRefreshCallback(window, [](GLFWwindow* w) { input_of(w).redraw = true; });
  glfwSetFramebufferSizeCallback(window, [](GLFWwindow* w, int, int) { input_of(w).redraw = true; });
  glfwSetWindowContentScaleCallback(
      window, [](GLFWwindow* w, float, float) { input_of(w).redraw = input_of(w).rescaled = true; });
  glfwSetWindowFocusCallback(window, [](GLFWwindow* w, int focused) {
    input_of(w).redraw = true;
    // Keys that were down when the window lost the keyboard never come up here.
    if (!focused)
      for (int key = GLFW_KEY_SPACE; key <= GLFW_KEY_LAST; ++key)
        if (glfwGetKey(w, key) == GLFW_PRESS) input_of(w).events.emplace_back(Key{key, false, 0});
  });
}

Callbacks callbacks_of(GLFWwindow* window) {
  Callbacks out;
  out.cursor = glfwSetCursorPosCallback(window, nullptr);
  out.button = glfwSetMouseButtonCallback(window, nullptr);
  out.scroll = glfwSetScrollCallback(window, nullptr);
  out.key = glfwSetKeyCallback(window, nullptr);
  out.letter = glfwSetCharCallback(window, nullptr);
  glfwSetCursorPosCallback(window, out.cursor);
  glfwSetMouseButtonCallback(window, out.button);
  glfwSetScrollCallback(window, out.scroll);
  glfwSetKeyCallback(window, out.key);
  glfwSetCharCallback(window, out.letter);
  return out;
}

std::vector<Event> take_events(Input& input) {
  std::vector<Event> taken;
  while (!input.events.empty()) {
    const Event event = std::move(input.events.front());
    input.events.pop_front();
    hand_over(event);
    taken.push_back(event);
    // Moves and letters may share a frame; a press, a turn of the wheel or a key ends it.
    const bool ends_frame = std::holds_alternative<Button>(event) || std::holds_alternative<Scrolled>(event) ||
                            (std::holds_alternative<Key>(event) && !input.events.empty() &&
                             std::holds_alternative<Key>(input.events.front()));
    if (ends_frame) break;
  }
  return taken;
}

}  // namespace ridepitch::view
