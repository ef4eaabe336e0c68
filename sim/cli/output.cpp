#include "cli/output.hpp"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstdlib>
#include <cstring>

namespace ridepitch {

void prepare_standard_streams() {
  std::signal(SIGPIPE, SIG_IGN);
  for (int descriptor = 0; descriptor <= 2; ++descriptor) {
    if (fcntl(descriptor, F_GETFD) < 0 && errno == EBADF) {
      // The lowest free number is taken: this one. It can't be written to, so a write to it fails as it should, and no
      // file that is opened later gets its number.
      (void)open("/dev/null", O_RDONLY);
    }
  }
}

Ink ink_for(int descriptor) {
  const char* no_color = std::getenv("NO_COLOR");
  const char* terminal = std::getenv("TERM");
  const bool plain = (no_color && *no_color) || !terminal || std::strcmp(terminal, "dumb") == 0;
  return {!plain && isatty(descriptor) == 1};
}

}  // namespace ridepitch
