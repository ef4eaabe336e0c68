#include "cli/terminal_session.hpp"

#include <gtest/gtest.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdlib>

namespace ridepitch {
namespace {

constexpr int patience_ms = 20000;  // under sanitizers on a busy machine

}  // namespace

TerminalSession::TerminalSession(const std::vector<std::string>& words, const std::string& folder) {
  child_ = forkpty(&terminal_, nullptr, nullptr, nullptr);
  if (child_ < 0) ADD_FAILURE() << "no pseudo-terminal";
  if (child_ != 0) return;
  setenv("TERM", "xterm", 1);
  setenv("NO_COLOR", "1", 1);
  if (chdir(folder.c_str()) != 0) _exit(126);
  std::vector<char*> arguments = {const_cast<char*>(RIDEPITCH_PROGRAM)};
  for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));
  arguments.push_back(nullptr);
  execv(RIDEPITCH_PROGRAM, arguments.data());
  _exit(127);
}

TerminalSession::~TerminalSession() {
  if (terminal_ >= 0) ::close(terminal_);
  if (child_ > 0) {
    kill(child_, SIGKILL);
    waitpid(child_, nullptr, 0);
  }
}

bool TerminalSession::read_some(int timeout_ms) {
  pollfd waiting{terminal_, POLLIN, 0};
  if (poll(&waiting, 1, timeout_ms) <= 0) return false;
  std::array<char, 4096> buffer{};
  const ssize_t got = ::read(terminal_, buffer.data(), buffer.size());
  if (got <= 0) return false;  // a terminal whose other side is closed ends with an error
  shown_.append(buffer.data(), static_cast<std::size_t>(got));
  return true;
}

bool TerminalSession::wait_for_prompt() {
  // What is echoed of the last line may end like a prompt, so something new must have come.
  while (shown_.size() <= typed_at_ || !shown_.ends_with(": ")) {
    if (!read_some(patience_ms)) return false;
  }
  return true;
}

void TerminalSession::press(const std::string& key) {
  const std::size_t enough = 1000;
  if (!wait_for_prompt())
    ADD_FAILURE() << "no prompt after\n" << shown_.substr(shown_.size() - std::min(shown_.size(), enough));
  typed_at_ = shown_.size();
  EXPECT_EQ(write(terminal_, key.data(), key.size()), static_cast<ssize_t>(key.size()));
}

void TerminalSession::enter_until(const std::string& text) {
  while (wait_for_prompt()) {
    if (shown_.find(text, typed_at_) != std::string::npos) return;
    press("\n");
  }
}

void TerminalSession::answer(const std::string& line) { press(line + "\n"); }

int TerminalSession::finish() {
  while (read_some(patience_ms)) {
  }
  int status = 0;
  for (int waited_ms = 0; waited_ms < patience_ms; waited_ms += 10) {
    if (waitpid(child_, &status, WNOHANG) == child_) {
      child_ = -1;
      return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    }
    usleep(10000);
  }
  return -1;
}

std::string TerminalSession::shown() const {
  std::string plain = shown_;
  std::erase(plain, '\r');
  return plain;
}

}  // namespace ridepitch
