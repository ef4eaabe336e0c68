#include "state/settings.hpp"

#include <charconv>
#include <cstdlib>
#include <filesystem>

#include <fmt/format.h>

#include "model/text_file.hpp"
#include "model/write_file.hpp"

namespace ridepitch::view {
namespace {

std::string_view trimmed(std::string_view text) {
  const auto first = text.find_first_not_of(" \t");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

template <class Number>
void set_within(std::string_view text, Number least, Number most, Number& out) {
  Number value{};
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error == std::errc{} && end == text.data() + text.size() && value >= least && value <= most) out = value;
}

}  // namespace

Settings read_settings(std::string_view text) {
  Settings out;
  const TextLines lines(text);
  for (int i = 1; i <= lines.count(); ++i) {
    const std::string_view line = lines.line(i);
    const auto equals = line.find('=');
    if (equals == std::string_view::npos) continue;
    const std::string_view name = trimmed(line.substr(0, equals)), value = trimmed(line.substr(equals + 1));
    if (name == "width") set_within(value, 320, 16384, out.width);
    if (name == "height") set_within(value, 240, 16384, out.height);
    if (name == "left") set_within(value, 0.05, 0.6, out.left);
    if (name == "right") set_within(value, 0.05, 0.6, out.right);
    if (name == "bottom") set_within(value, 0.05, 0.8, out.bottom);
    if (name == "zoom") set_within(value, 0.5, 3.0, out.zoom);
    if (name == "dark") out.dark = value == "yes";
    if (name == "recent" && !value.empty() && out.recent.size() < most_recent) out.recent.emplace_back(value);
  }
  return out;
}

std::string settings_text(const Settings& s) {
  std::string text = fmt::format("width = {}\nheight = {}\nleft = {}\nright = {}\nbottom = {}\nzoom = {}\ndark = {}\n",
                                 s.width, s.height, s.left, s.right, s.bottom, s.zoom, s.dark ? "yes" : "no");
  for (const std::string& path : s.recent)
    if (path.find('\n') == std::string::npos) text += fmt::format("recent = {}\n", path);
  return text;
}

void remember(Settings& settings, const std::string& path) {
  std::error_code error;
  const std::string full = std::filesystem::absolute(path, error).lexically_normal().string();
  std::erase(settings.recent, full);
  settings.recent.insert(settings.recent.begin(), full);
  if (settings.recent.size() > most_recent) settings.recent.resize(most_recent);
}

std::string settings_path() {
  const char* config = std::getenv("XDG_CONFIG_HOME");
  if (config && *config == '/') return fmt::format("{}/ridepitch/view.conf", config);
  const char* home = std::getenv("HOME");
  return home && *home ? fmt::format("{}/.config/ridepitch/view.conf", home) : "";
}

Settings load_settings() {
  const std::string path = settings_path();
  return path.empty() ? Settings{} : read_settings(read_file_text(path, true).text);
}

void store_settings(const Settings& settings) {
  const std::string path = settings_path();
  if (path.empty()) return;
  std::error_code error;
  std::filesystem::create_directories(std::filesystem::path(path).parent_path(), error);
  (void)write_file(path, settings_text(settings));
}

}  // namespace ridepitch::view
