#include "cli/terminal.hpp"

#include <fmt/format.h>
#include <signal.h>  // NOLINT(modernize-deprecated-headers): sigaction is POSIX
#include <unistd.h>

#include <array>
#include <cerrno>

#include "cli/output.hpp"

namespace ridepitch {
namespace {

volatile sig_atomic_t interrupt_seen = 0;
struct sigaction action_before;

extern "C" void note_interrupt(int) { interrupt_seen = 1; }

/// The next line of standard input, without its newline; nothing at its end, on an error, or after Ctrl-C.
///
/// A terminal hands over line by line; what a read brings beyond the line is kept for the next call.
std::optional<std::string> read_line(std::string& pending) {
  while (true) {
    if (const std::size_t end = pending.find('\n'); end != std::string::npos) {
      std::string line = pending.substr(0, end);
      pending.erase(0, end + 1);
      return line;
    }
    if (Interruptible::interrupted()) return std::nullopt;
    const std::size_t longest_line = 100'000;
    std::array<char, 1024> buffer{};
    const ssize_t got = ::read(STDIN_FILENO, buffer.data(), buffer.size());
    if (got < 0 && errno == EINTR) continue;
    if (got <= 0 || pending.size() > longest_line) return std::nullopt;
    pending.append(buffer.data(), static_cast<std::size_t>(got));
  }
}

/// Each line set in, for pictures and lists.
std::string set_in(const std::string& text, int by) {
  std::string out;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    out += fmt::format("{:{}}{}\n", "", by, text.substr(at, end - at));
    at = end + 1;
  }
  return out;
}

std::string said(Saying how, const std::string& text, const Ink& ink) {
  switch (how) {
    case Saying::heading:
      return "\n" + ink.heading(text) + "\n\n";
    case Saying::text:
      return "  " + wrapped(shown(text), 2) + "\n";
    case Saying::list:
      return set_in(text, 4);
    case Saying::picture:
      return "\n" + set_in(text, 4) + "\n";
    case Saying::complaint:
      return "  " + ink.error("Not so:") + " " + wrapped(shown(text), 10) + "\n";
    case Saying::prompt:
      break;
  }
  return "  " + text;
}

}  // namespace

Interruptible::Interruptible() {
  interrupt_seen = 0;
  struct sigaction action {};
  action.sa_handler = note_interrupt;  // without SA_RESTART, so that a read in progress ends
  action.sa_flags = static_cast<int>(SA_RESETHAND);
  sigaction(SIGINT, &action, &action_before);
}

Interruptible::~Interruptible() { sigaction(SIGINT, &action_before, nullptr); }

bool Interruptible::interrupted() { return interrupt_seen != 0; }

int terminal_for_questions(bool keep_output) {
  if (isatty(STDIN_FILENO) != 1) return -1;
  if (!keep_output && isatty(STDOUT_FILENO) == 1) return STDOUT_FILENO;
  return isatty(STDERR_FILENO) == 1 ? STDERR_FILENO : -1;
}

Dialogue terminal_dialogue(int descriptor, const Ink& ink) {
  return {[pending = std::string()]() mutable { return read_line(pending); },
          [descriptor, ink](Saying how, const std::string& text) { write_all(descriptor, said(how, text, ink)); }};
}

}  // namespace ridepitch
