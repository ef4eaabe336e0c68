#include "window/png.hpp"

#define GLFW_INCLUDE_GLEXT
#include <GLFW/glfw3.h>
#include <stb_image_write.h>

#include "model/write_file.hpp"

namespace ridepitch::view {

std::optional<Problem> write_png(const std::string& path, const Pixels& pixels) {
  std::string bytes;
  const auto append = [](void* to, void* data, int size) {
    static_cast<std::string*>(to)->append(static_cast<const char*>(data), static_cast<std::size_t>(size));
  };
  stbi_write_png_compression_level = 9;
  const bool made =
      pixels.width > 0 && pixels.height > 0 &&
      stbi_write_png_to_func(append, &bytes, pixels.width, pixels.height, 4, pixels.rgba.data(), 4 * pixels.width);
  if (!made) {
    Problem problem;
    problem.code = "no-picture";
    problem.text = "there is nothing to make a picture of";
    return problem;
  }
  return write_file(path, bytes);
}

namespace {

template <class Function>
Function gl(const char* name) {
  return reinterpret_cast<Function>(glfwGetProcAddress(name));
}

}  // namespace

OffScreen::OffScreen(GLFWwindow* window) {
  int width = 0, height = 0;
  glfwGetFramebufferSize(window, &width, &height);
  const auto make_framebuffers = gl<PFNGLGENFRAMEBUFFERSPROC>("glGenFramebuffers");
  const auto bind_framebuffer = gl<PFNGLBINDFRAMEBUFFERPROC>("glBindFramebuffer");
  const auto make_buffers = gl<PFNGLGENRENDERBUFFERSPROC>("glGenRenderbuffers");
  const auto bind_buffer = gl<PFNGLBINDRENDERBUFFERPROC>("glBindRenderbuffer");
  const auto store = gl<PFNGLRENDERBUFFERSTORAGEPROC>("glRenderbufferStorage");
  const auto attach = gl<PFNGLFRAMEBUFFERRENDERBUFFERPROC>("glFramebufferRenderbuffer");
  const auto status = gl<PFNGLCHECKFRAMEBUFFERSTATUSPROC>("glCheckFramebufferStatus");
  if (!make_framebuffers || !bind_framebuffer || !make_buffers || !bind_buffer || !store || !attach || !status) return;
  make_framebuffers(1, &framebuffer);
  make_buffers(1, &colours);
  bind_framebuffer(GL_FRAMEBUFFER, framebuffer);
  bind_buffer(GL_RENDERBUFFER, colours);
  store(GL_RENDERBUFFER, GL_RGBA8, width, height);
  attach(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, colours);
  ready = status(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;
}

OffScreen::~OffScreen() {
  if (const auto bind = gl<PFNGLBINDFRAMEBUFFERPROC>("glBindFramebuffer")) bind(GL_FRAMEBUFFER, 0);
  if (const auto remove = gl<PFNGLDELETEFRAMEBUFFERSPROC>("glDeleteFramebuffers")) remove(1, &framebuffer);
  if (const auto remove = gl<PFNGLDELETERENDERBUFFERSPROC>("glDeleteRenderbuffers")) remove(1, &colours);
}

}  // namespace ridepitch::view
