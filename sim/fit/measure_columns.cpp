#include "fit/measure_columns.hpp"

#include <algorithm>
#include <array>
#include <cctype>

#include "model/units.hpp"

namespace ridepitch {
namespace {

struct Unit {
  std::string_view name;
  Measure measure;
  double factor;
};

// The international inch, and the avoirdupois pound and ounce, are exact (international yard and pound agreement, 1959).
constexpr double mm_per_in = 25.4;
constexpr double g_per_lb = 453.59237;
constexpr double g_per_oz = g_per_lb / 16;

constexpr std::array<Unit, 35> units = {{
    {"mm", Measure::length, 1},
    {"millimetres", Measure::length, 1},
    {"millimeters", Measure::length, 1},
    {"cm", Measure::length, 10},
    {"m", Measure::length, 1000},
    {"in", Measure::length, mm_per_in},
    {"inch", Measure::length, mm_per_in},
    {"inches", Measure::length, mm_per_in},
    {"module", Measure::modules, 1},
    {"modules", Measure::modules, 1},
    {"holes", Measure::modules, 1},
    {"g", Measure::weight, n_per_g},
    {"gf", Measure::weight, n_per_g},
    {"gr", Measure::weight, n_per_g},
    {"gram", Measure::weight, n_per_g},
    {"grams", Measure::weight, n_per_g},
    {"gramm", Measure::weight, n_per_g},
    {"mg", Measure::weight, n_per_g / 1000},
    {"kg", Measure::weight, n_per_g * 1000},
    {"kgf", Measure::weight, n_per_g * 1000},
    {"kilograms", Measure::weight, n_per_g * 1000},
    {"oz", Measure::weight, n_per_g* g_per_oz},
    {"ozf", Measure::weight, n_per_g* g_per_oz},
    {"ounce", Measure::weight, n_per_g* g_per_oz},
    {"ounces", Measure::weight, n_per_g* g_per_oz},
    {"lb", Measure::weight, n_per_g* g_per_lb},
    {"lbs", Measure::weight, n_per_g* g_per_lb},
    {"lbf", Measure::weight, n_per_g* g_per_lb},
    {"pounds", Measure::weight, n_per_g* g_per_lb},
    {"n", Measure::weight, 1},
    {"newton", Measure::weight, 1},
    {"newtons", Measure::weight, 1},
    {"mn", Measure::weight, 1e-3},
    {"cn", Measure::weight, 1e-2},
    {"kn", Measure::weight, 1e3},
}};

/// The words of a heading in small letters; whatever is neither letter nor digit parts them, bytes beyond ASCII are letters.
std::vector<std::string> words_of(std::string_view heading) {
  std::vector<std::string> words(1);
  for (const char c : heading) {
    const auto byte = static_cast<unsigned char>(c);
    if (byte >= 0x80 || std::isalnum(byte) != 0) {
      words.back() += static_cast<char>(std::tolower(byte));
    } else if (!words.back().empty()) {
      words.emplace_back();
    }
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

}  // namespace

std::vector<MeasureColumn> measure_columns(const CsvRow& header) {
  std::vector<MeasureColumn> columns;
  for (std::size_t i = 0; i < header.cells.size(); ++i) {
    MeasureColumn column;
    column.index = static_cast<int>(i);
    column.place = header.cells[i].place;
    column.heading = header.cells[i].text;
    std::vector<std::string> words = words_of(column.heading);
    if (!words.empty()) {
      const auto unit = std::find_if(units.begin(), units.end(), [&](const Unit& u) { return u.name == words.back(); });
      if (unit != units.end()) {
        column.measure = unit->measure;
        column.factor = unit->factor;
        words.pop_back();
      }
    }
    for (const std::string& word : words) column.name += (column.name.empty() ? "" : " ") + word;
    columns.push_back(std::move(column));
  }
  return columns;
}

bool names_any(const MeasureColumn& column, const std::vector<std::string_view>& words) {
  const std::vector<std::string> own = words_of(column.name);
  return std::any_of(own.begin(), own.end(), [&](const std::string& word) {
    return std::find(words.begin(), words.end(), word) != words.end();
  });
}

}  // namespace ridepitch
