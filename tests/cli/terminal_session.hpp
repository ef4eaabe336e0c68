#pragma once
// The built program at a pseudo-terminal, and someone who types.

#include <sys/types.h>
#include <string>
#include <vector>

namespace ridepitch {

/// A run of `ridepitch` whose standard input, output and error are one terminal, which it controls: Ctrl-C works.
class TerminalSession {
 public:
  TerminalSession(const std::vector<std::string>& words, const std::string& folder);
  ~TerminalSession();
  TerminalSession(const TerminalSession&) = delete;
  TerminalSession& operator=(const TerminalSession&) = delete;

  /// Waits for a prompt (text that ends with a colon and a blank) and types a line at it.
  void answer(const std::string& line);
  /// The same with a key that is no line: Ctrl-C is "\x03", Ctrl-D "\x04".
  void press(const std::string& key);
  /// Types Enter at every prompt until a text comes up, or to the end where it does not.
  void enter_until(const std::string& text);
  /// Reads on to the end. @returns the exit status; 128 + signal if it was killed, -1 if it would not end
  int finish();

  /// All that the terminal showed, what was typed too, with plain newlines.
  std::string shown() const;

 private:
  bool read_some(int timeout_ms);  ///< whether there is more to come
  bool wait_for_prompt();          ///< whether one came

  pid_t child_ = -1;
  int terminal_ = -1;
  std::string shown_;
  std::size_t typed_at_ = 0;  ///< length of what was shown when something was typed last
};

}  // namespace ridepitch
