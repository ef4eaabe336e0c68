#include "docs/console_block.hpp"

#include <stdlib.h>
#include <sys/wait.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <stdexcept>

namespace ridepitch::docs {
namespace {

namespace fs = std::filesystem;

const std::string prompt = "$ ";
const std::string fence_mark = "```";

}  // namespace

std::vector<Fence> fences(const std::string& page) {
  std::vector<Fence> found;
  bool inside = false;
  int number = 0;
  for (const std::string& line : lines_of(page)) {
    ++number;
    if (line.starts_with(fence_mark)) {
      if (inside) {
        found.back().closed = true;
      } else {
        found.push_back({.kind = line.substr(fence_mark.size()), .line = number});
      }
      inside = !inside;
    } else if (inside) {
      found.back().text.push_back(line);
    }
  }
  return found;
}

std::vector<ShownCommand> shown_commands(const std::string& page) {
  std::vector<ShownCommand> commands;
  for (const Fence& fence : fences(page)) {
    if (fence.kind != "console") continue;
    bool collecting = false;
    int number = fence.line;
    for (const std::string& line : fence.text) {
      ++number;
      if (line.starts_with(prompt)) {
        collecting = line.starts_with(prompt + "ridepitch");
        if (collecting) commands.push_back({.command = line.substr(prompt.size()), .line = number});
      } else if (collecting) {
        commands.back().shown.push_back(line);
      }
    }
  }
  return commands;
}

bool agrees(const Lines& shown, const Lines& real) {
  // The usual walk for patterns with one kind of wildcard: on a mismatch, let the last "..." take one line more.
  std::size_t s = 0, r = 0;
  std::size_t dots = shown.size(), resume = 0;
  while (r < real.size()) {
    if (s < shown.size() && shown[s] == "...") {
      dots = s++;
      resume = r;
    } else if (s < shown.size() && shown[s] == real[r]) {
      ++s;
      ++r;
    } else if (dots < shown.size()) {
      s = dots + 1;
      r = ++resume;
    } else {
      return false;
    }
  }
  while (s < shown.size() && shown[s] == "...") ++s;
  return s == shown.size();
}

ScratchRoot::ScratchRoot() {
  for (const char* name : {"models", "shared", "docs"})
    fs::copy(fs::path(RIDEPITCH_SOURCE_DIR) / name, folder.path / name, fs::copy_options::recursive);
}

Output ScratchRoot::run(const std::string& command) const {
  const std::string script =
      "cd '" + path() + "' && ridepitch() { '" RIDEPITCH_PROGRAM "' \"$@\"; } && { " + command + "\n} 2>&1 </dev/null";
  FILE* pipe = popen(script.c_str(), "r");
  if (!pipe) throw std::runtime_error("the shell does not start");
  std::string text;
  std::array<char, 4096> chunk{};
  while (const std::size_t n = fread(chunk.data(), 1, chunk.size(), pipe)) text.append(chunk.data(), n);
  const int state = pclose(pipe);
  return {.lines = lines_of(text), .status = WIFEXITED(state) ? WEXITSTATUS(state) : 128 + WTERMSIG(state)};
}

std::vector<std::string> pages() {
  std::vector<std::string> found;
  for (const auto& entry : fs::directory_iterator(fs::path(RIDEPITCH_SOURCE_DIR) / "docs")) {
    if (entry.path().extension() == ".md") found.push_back("docs/" + entry.path().filename().string());
  }
  std::ranges::sort(found);
  found.insert(found.begin(), {"README.md", "DEVELOPERS.md"});
  return found;
}

std::string read_text(const std::string& page) {
  std::ifstream in(fs::path(RIDEPITCH_SOURCE_DIR) / page);
  if (!in) throw std::runtime_error(page + " cannot be read");
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

}  // namespace ridepitch::docs
