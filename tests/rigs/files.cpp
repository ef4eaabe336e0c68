#include "rigs/files.hpp"

#include <stdlib.h>

#include <algorithm>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace ridepitch {

std::string source_path(std::string_view name) { return RIDEPITCH_SOURCE_DIR "/" + std::string(name); }

std::string text_of(const std::filesystem::path& path) {
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  return text.str();
}

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  if (at == std::string::npos) throw std::invalid_argument("not in the text: " + from);
  return text.replace(at, from.size(), to);
}

Folder::Folder() {
  std::string pattern = (std::filesystem::temp_directory_path() / "ridepitch-test-XXXXXX").string();
  if (mkdtemp(pattern.data()) == nullptr) throw std::runtime_error("no folder can be made: " + pattern);
  path = std::filesystem::canonical(pattern);
}

Folder::~Folder() {
  std::error_code error;
  std::filesystem::remove_all(path, error);
}

std::string Folder::write(const std::string& name, const std::string& text) const {
  std::filesystem::create_directories((path / name).parent_path());
  std::ofstream(path / name, std::ios::binary) << text;
  return file(name);
}

std::vector<std::string> Folder::names() const {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(path)) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

}  // namespace ridepitch
