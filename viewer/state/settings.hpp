#pragma once
// What the window remembers between two runs: a small text file of "name = value" lines.

#include <string>
#include <string_view>
#include <vector>

namespace ridepitch::view {

struct Settings {
  int width = 1280, height = 820;
  double left = 0.19, right = 0.29, bottom = 0.3;  ///< shares of the window that the side panes and the curves take
  bool dark = false;
  double zoom = 1;                  ///< of text and everything with it
  std::vector<std::string> recent;  ///< files, the latest first
};

inline constexpr std::size_t most_recent = 8;

/// What is not understood, or makes no sense, is passed over.
Settings read_settings(std::string_view text);
std::string settings_text(const Settings& settings);

/// Puts a file in front of the recent ones.
void remember(Settings& settings, const std::string& path);

/// $XDG_CONFIG_HOME/ridepitch/view.conf, or below ~/.config (XDG Base Directory Specification); empty: nowhere.
std::string settings_path();

Settings load_settings();
/// Quietly does nothing where it can't be written: no work is lost by it.
void store_settings(const Settings& settings);

}  // namespace ridepitch::view
