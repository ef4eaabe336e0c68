#include "window/png.hpp"

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
  if (!made) return Problem{.code = "no-picture", .text = "there is nothing to make a picture of"};
  return write_file(path, bytes);
}

OffScreen::OffScreen(GLFWwindow* window) {
  int width = 0, height = 0;
  glfwGetFramebufferSize(window, &width, &height);
  glGenFramebuffers(1, &framebuffer);
  glGenRenderbuffers(1, &colours);
  glBindFramebuffer(GL_FRAMEBUFFER, framebuffer);
  glBindRenderbuffer(GL_RENDERBUFFER, colours);
  glRenderbufferStorage(GL_RENDERBUFFER, GL_RGBA8, width, height);
  glFramebufferRenderbuffer(GL_FRAMEBUFFER, GL_COLOR_ATTACHMENT0, GL_RENDERBUFFER, colours);
  ready = glCheckFramebufferStatus(GL_FRAMEBUFFER) == GL_FRAMEBUFFER_COMPLETE;
}

OffScreen::~OffScreen() {
  glBindFramebuffer(GL_FRAMEBUFFER, 0);
  glDeleteFramebuffers(1, &framebuffer);
  glDeleteRenderbuffers(1, &colours);
}

}  // namespace ridepitch::view
