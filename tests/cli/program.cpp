#include "cli/program.hpp"

#include <fcntl.h>
#include <gtest/gtest.h>
#include <poll.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace ridepitch {
namespace {

struct Ends {
  int read = -1, write = -1;
};

Ends make_pipe() {
  std::array<int, 2> ends{};
  if (pipe2(ends.data(), O_CLOEXEC) != 0) ADD_FAILURE() << "no pipe";
  return {ends[0], ends[1]};
}

Ends make_terminal() {
  const int master = posix_openpt(O_RDWR | O_NOCTTY | O_CLOEXEC);
  if (master < 0 || grantpt(master) != 0 || unlockpt(master) != 0) ADD_FAILURE() << "no pseudo-terminal";
  return {master, open(ptsname(master), O_RDWR | O_NOCTTY | O_CLOEXEC)};
}

Ends ends_for(StandardOutput output) {
  switch (output) {
    case StandardOutput::terminal:
      return make_terminal();
    case StandardOutput::closed:
      return {};
    case StandardOutput::full:
      return {-1, open("/dev/full", O_WRONLY | O_CLOEXEC)};
    case StandardOutput::broken_pipe: {
      Ends ends = make_pipe();
      close(ends.read);
      ends.read = -1;
      return ends;
    }
    case StandardOutput::pipe:
      break;
  }
  return make_pipe();
}

/// Reads two descriptors to their ends at once, so that neither fills up and blocks the writer.
void read_both(int a, std::string& into_a, int b, std::string& into_b) {
  std::array<pollfd, 2> open_ends{{{a, POLLIN, 0}, {b, POLLIN, 0}}};
  while (open_ends[0].fd >= 0 || open_ends[1].fd >= 0) {
    poll(open_ends.data(), open_ends.size(), -1);
    for (std::size_t i = 0; i < open_ends.size(); ++i) {
      if (open_ends[i].fd < 0 || open_ends[i].revents == 0) continue;
      std::array<char, 4096> buffer{};
      const ssize_t got = read(open_ends[i].fd, buffer.data(), buffer.size());
      if (got > 0) {
        (i == 0 ? into_a : into_b).append(buffer.data(), static_cast<std::size_t>(got));
      } else {  // a terminal ends with an error
        close(open_ends[i].fd);
        open_ends[i].fd = -1;
      }
    }
  }
}

[[noreturn]] void become_the_program(const std::vector<std::string>& words, const RunOptions& options, int out,
                                     int err) {
  if (out >= 0) {
    dup2(out, STDOUT_FILENO);
  } else {
    close(STDOUT_FILENO);
  }
  dup2(err, STDERR_FILENO);
  if (options.closed_input) close(STDIN_FILENO);
  unsetenv("NO_COLOR");
  setenv("TERM", "xterm", 1);
  for (const auto& [name, value] : options.environment) setenv(name.c_str(), value.c_str(), 1);
  if (!options.folder.empty() && chdir(options.folder.c_str()) != 0) _exit(126);
  std::vector<char*> arguments = {const_cast<char*>(RIDEPITCH_PROGRAM)};
  for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
  arguments.push_back(nullptr);
  execv(RIDEPITCH_PROGRAM, arguments.data());
  _exit(127);
}

}  // namespace

std::string model(const std::string& name) { return RIDEPITCH_SOURCE_DIR "/tests/models/" + name; }

ProgramRun run_program(const std::vector<std::string>& words, const RunOptions& options) {
  const Ends out = ends_for(options.output), err = make_pipe();
  const pid_t child = fork();
  if (child == 0) become_the_program(words, options, out.write, err.write);
  if (out.write >= 0) close(out.write);
  close(err.write);

  ProgramRun run;
  read_both(out.read, run.out, err.read, run.err);
  int status = 0;
  waitpid(child, &status, 0);
  run.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  return run;
}

}  // namespace ridepitch
