#include "rigs/mutants.hpp"

#include <algorithm>
#include <filesystem>
#include <vector>

#include "rigs/files.hpp"

namespace ridepitch {
namespace {

namespace fs = std::filesystem;
using Random = std::mt19937_64;

int below(Random& random, std::size_t count) {
  return count == 0 ? 0 : std::uniform_int_distribution<int>(0, static_cast<int>(count) - 1)(random);
}

/// The lines of every demo.
const std::vector<std::vector<std::string>>& demos() {
  static const std::vector<std::vector<std::string>> all = [] {
    std::vector<fs::path> paths;
    for (const fs::directory_entry& entry : fs::directory_iterator(source_path("models")))
      if (entry.path().extension() == ".toml" && entry.path().stem() != "parts") paths.push_back(entry.path());
    std::sort(paths.begin(), paths.end());
    std::vector<std::vector<std::string>> lines;
    for (const fs::path& path : paths) lines.push_back(lines_of(text_of(path)));
    return lines;
  }();
  return all;
}

bool belongs_to_a_number(char c) { return (c >= '0' && c <= '9') || c == '.' || c == '-'; }

/// Another number in the place of one of a line's numbers, near it or far out.
void change_a_number(std::string& line, Random& random) {
  std::vector<std::pair<std::size_t, std::size_t>> numbers;
  const std::size_t from = line.find('=');
  for (std::size_t i = from == std::string::npos ? line.size() : from; i < line.size(); ++i) {
    if (line[i] < '0' || line[i] > '9') continue;
    std::size_t begin = i, end = i;
    while (begin > 0 && belongs_to_a_number(line[begin - 1])) --begin;
    while (end < line.size() && belongs_to_a_number(line[end])) ++end;
    numbers.emplace_back(begin, end - begin);
    i = end;
  }
  if (numbers.empty()) return;
  const auto [at, length] = numbers[static_cast<std::size_t>(below(random, numbers.size()))];
  const double old = std::strtod(line.substr(at, length).c_str(), nullptr);
  const std::vector<std::string> others = {std::to_string(old + 1),
                                           std::to_string(old - 1),
                                           std::to_string(old + 0.5),
                                           std::to_string(-old),
                                           std::to_string(old * 1.0001),
                                           std::to_string(old * 3),
                                           "0",
                                           "1e-12",
                                           "99999",
                                           "1e300",
                                           "nan",
                                           std::to_string(old * 0.1)};
  // Small changes mostly: what is refused at once tests nothing but the reader.
  const std::size_t which = static_cast<std::size_t>(below(random, below(random, 4) == 0 ? others.size() : 6));
  line.replace(at, length, others[which]);
}

}  // namespace

std::string mutant_of_a_demo(Random& random) {
  std::vector<std::string> lines = demos()[static_cast<std::size_t>(below(random, demos().size()))];
  const int changes = 1 + below(random, 4);
  for (int i = 0; i < changes; ++i) {
    const auto at = static_cast<std::size_t>(below(random, lines.size()));
    const auto other = static_cast<std::size_t>(below(random, lines.size()));
    switch (below(random, 12)) {
      case 0:
        lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(at));
        break;
      case 1:
        lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(at), lines[other]);
        break;
      case 2:
        std::swap(lines[at], lines[other]);
        break;
      default:
        change_a_number(lines[at], random);
    }
  }
  std::string text;
  for (const std::string& line : lines) text += line + "\n";
  return text;
}

}  // namespace ridepitch
