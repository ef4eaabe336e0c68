#include "viewer/display.hpp"

#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstdlib>
#include <thread>

#include "rigs/files.hpp"

namespace ridepitch::view {
namespace {

std::vector<char*> pointers(std::vector<std::string>& words) {
  std::vector<char*> out;
  for (std::string& word : words) out.push_back(word.data());
  out.push_back(nullptr);
  return out;
}

/// This process's surroundings with other values for two names.
std::vector<std::string> surroundings(const std::string& display, const std::string& config_folder) {
  std::vector<std::string> out;
  for (char** each = environ; *each; ++each) {
    const std::string text = *each;
    if (text.rfind("DISPLAY=", 0) != 0 && text.rfind("XDG_CONFIG_HOME=", 0) != 0 &&
        text.rfind("WAYLAND_DISPLAY=", 0) != 0)
      out.push_back(text);
  }
  if (!display.empty()) out.push_back("DISPLAY=" + display);
  out.push_back("XDG_CONFIG_HOME=" + config_folder);
  out.push_back("LIBGL_ALWAYS_SOFTWARE=1");
  return out;
}

pid_t spawn(std::vector<std::string> words, std::vector<std::string> around, const std::string& out,
            const std::string& err) {
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  pid_t pid = -1;
  const std::vector<char*> arguments = pointers(words), environment = pointers(around);
  if (posix_spawnp(&pid, arguments[0], &actions, nullptr, arguments.data(), environment.data()) != 0) pid = -1;
  posix_spawn_file_actions_destroy(&actions);
  return pid;
}

}  // namespace

Display::Display() {
  // Xvfb takes the first number that is free, and writes it here: two tests at a time do not meet.
  int ends[2];
  if (pipe(ends) != 0) return;
  fcntl(ends[0], F_SETFD, FD_CLOEXEC);
  std::vector<std::string> words = {"Xvfb",      "-displayfd", std::to_string(ends[1]), "-screen", "0", "1600x1000x24",
                                    "-nolisten", "tcp"};
  pid = spawn(std::move(words), surroundings("", "/tmp"), "/dev/null", "/dev/null");
  close(ends[1]);
  std::string number;
  char letter = 0;
  while (pid > 0 && read(ends[0], &letter, 1) == 1 && letter != '\n') number += letter;
  close(ends[0]);
  if (!number.empty()) name = ":" + number;
}

Display::~Display() {
  if (pid <= 0) return;
  kill(pid, SIGTERM);
  waitpid(pid, nullptr, 0);
}

pid_t start(const std::vector<std::string>& words, const std::string& display, const std::string& config_folder) {
  return spawn(words, surroundings(display, config_folder), config_folder + "/out", config_folder + "/err");
}

int wait_for(pid_t pid, double seconds) {
  const auto until = std::chrono::steady_clock::now() + std::chrono::duration<double>(seconds);
  int state = 0;
  while (std::chrono::steady_clock::now() < until) {
    if (waitpid(pid, &state, WNOHANG) == pid) return WIFEXITED(state) ? WEXITSTATUS(state) : 128 + WTERMSIG(state);
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
  }
  kill(pid, SIGKILL);
  waitpid(pid, &state, 0);
  return -1;
}

Ended run(const std::vector<std::string>& words, const std::string& display, const std::string& config_folder) {
  const pid_t pid = start(words, display, config_folder);
  Ended out;
  if (pid < 0) return out;
  out.status = wait_for(pid, 120);
  out.out = text_of(config_folder + "/out");
  out.err = text_of(config_folder + "/err");
  return out;
}

}  // namespace ridepitch::view
