#include "cli/output.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>

namespace ridepitch {

void prepare_standard_streams() {
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
  for (int descriptor = 0; descriptor <= 2; ++descriptor) {
    if (fcntl(descriptor, F_GETFD) < 0 && errno == EBADF) {
      // The lowest free number is taken: this one. It can't be read, or written to, so that fails as it should, and no file
      // that is opened later gets its number.
      (void)open("/dev/null", descriptor == STDIN_FILENO ? O_WRONLY : O_RDONLY);
    }
  }
}

Ink ink_for(int descriptor) {
  const char* no_color = std::getenv("NO_COLOR");
  const char* terminal = std::getenv("TERM");
  const bool plain = (no_color && *no_color) || !terminal || std::strcmp(terminal, "dumb") == 0;
  return {!plain && isatty(descriptor) == 1};
}

std::optional<Problem> refused_output(const std::string& path, const std::vector<std::string>& inputs, bool overwrite) {
  for (const std::string& input : inputs)
    if (same_file(path, input))
      return Problem{.code = "output-is-input",
                     .text = fmt::format("'{}' would be replaced, but is read too{}", shown(path),
                                         path == input ? "" : fmt::format(", as '{}'", shown(input))),
                     .hint = "write to a file of another name"};
  if (overwrite || !would_replace(path)) return std::nullopt;
  return Problem{.code = "exists",
                 .text = fmt::format("there is a file '{}' already", shown(path)),
                 .hint = "another name, or --overwrite to replace it"};
}

std::optional<Problem> write_output(const std::string& path, const std::string& text,
                                    const std::vector<std::string>& inputs, bool overwrite) {
  if (auto refused = refused_output(path, inputs, overwrite)) return refused;
  return overwrite ? write_file(path, text) : create_file(path, text);
}

std::optional<Problem> refused_edit(const std::string& path, const Model& model, std::vector<std::string> inputs,
                                    bool overwrite) {
  if (same_file(path, model.files.front())) return std::nullopt;
  inputs.insert(inputs.end(), model.files.begin(), model.files.end());
  return refused_output(path, inputs, overwrite);
}

}  // namespace ridepitch
