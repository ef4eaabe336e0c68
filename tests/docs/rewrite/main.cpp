// Puts the program's real output into the pages: README.md, DEVELOPERS.md and docs/*.md. For ./dev docs.

#include <algorithm>
#include <cstdio>
#include <fstream>

#include "docs/console_block.hpp"

using namespace ridepitch::docs;

namespace {

/// The real output, cut as the page cuts it: with one "...", as many lines before and after it as the page shows.
Lines cut_like(const Lines& shown, const Lines& real) {
  const auto dots = std::ranges::find(shown, "...");
  if (dots == shown.end()) return real;
  const auto head = dots - shown.begin();
  const auto tail = shown.end() - dots - 1;
  if (head + tail >= static_cast<long>(real.size())) return real;
  Lines cut(real.begin(), real.begin() + head);
  cut.push_back("...");
  cut.insert(cut.end(), real.end() - tail, real.end());
  return cut;
}

/// Rewrites one page; returns how many outputs changed.
int rewrite(const std::string& page) {
  const ScratchRoot scratch;
  Lines lines = ridepitch::lines_of(read_text(page));
  int changed = 0;
  long moved = 0;  // lines that earlier rewrites added
  for (const ShownCommand& example : shown_commands(read_text(page))) {
    const Lines real = scratch.run(example.command).lines;
    if (agrees(example.shown, real)) continue;
    if (std::ranges::count(example.shown, "...") > 1) {
      std::printf("%s:%d: has more than one '...': correct it by hand\n", page.c_str(), example.line);
      continue;
    }
    const Lines cut = cut_like(example.shown, real);
    const auto first = lines.begin() + example.line + moved;
    const auto place = lines.erase(first, first + static_cast<long>(example.shown.size()));
    lines.insert(place, cut.begin(), cut.end());
    moved += static_cast<long>(cut.size()) - static_cast<long>(example.shown.size());
    ++changed;
  }
  if (changed > 0) {
    std::ofstream out(std::string(RIDEPITCH_SOURCE_DIR) + "/" + page);
    for (const std::string& line : lines) out << line << "\n";
  }
  return changed;
}

}  // namespace

int main() {
  for (const std::string& page : pages()) std::printf("%s: %d outputs rewritten\n", page.c_str(), rewrite(page));
}
