#include "fit/measure_columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "model/units.hpp"

namespace ridepitch {
namespace {

/// All names of one unit, between blanks.
struct Unit {
  std::string_view names;
  Measure measure;
  double factor;
};

// The international inch, and the avoirdupois pound and ounce, are exact (international yard and pound agreement, 1959).
constexpr double mm_per_in = 25.4;
constexpr double g_per_lb = 453.59237;
constexpr double g_per_oz = g_per_lb / 16;

constexpr Unit units[] = {{" mm millimetres millimeters ", Measure::length, 1},
                          {" cm ", Measure::length, 10},
                          {" m ", Measure::length, 1000},
                          {" in inch inches ", Measure::length, mm_per_in},
                          {" module modules holes ", Measure::modules, 1},
                          {" g gf gr gram grams gramm ", Measure::weight, n_per_g},
                          {" mg ", Measure::weight, n_per_g / 1000},
                          {" kg kgf kilograms ", Measure::weight, n_per_g * 1000},
                          {" oz ozf ounce ounces ", Measure::weight, n_per_g* g_per_oz},
                          {" lb lbs lbf pounds ", Measure::weight, n_per_g* g_per_lb},
                          {" n newton newtons ", Measure::weight, 1},
                          {" mn ", Measure::weight, 1e-3},
                          {" cn ", Measure::weight, 1e-2},
                          {" kn ", Measure::weight, 1e3}};

}  // namespace

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

std::vector<MeasureColumn> measure_columns(const CsvRow& header) {
  std::vector<MeasureColumn> columns;
  for (const CsvCell& cell : header) {
    MeasureColumn column;
    column.index = columns.size();
    column.place = cell.place;
    column.heading = cell.text;
    std::vector<std::string> words = words_of(column.heading);
    const std::string last = words.empty() ? "" : " " + words.back() + " ";
    const auto unit = std::find_if(std::begin(units), std::end(units),
                                   [&](const Unit& u) { return !last.empty() && u.names.find(last) != u.names.npos; });
    if (unit != std::end(units)) {
      column.measure = unit->measure;
      column.factor = unit->factor;
      words.pop_back();
    }
    column.name = fmt::format("{}", fmt::join(words, " "));
    columns.push_back(std::move(column));
  }
  return columns;
}

bool names_any(const MeasureColumn& column, const std::vector<std::string_view>& words) {
  const std::vector<std::string> own = words_of(column.name);
  return std::find_first_of(own.begin(), own.end(), words.begin(), words.end()) != own.end();
}

CsvCell cell_of(const CsvRow& row, const MeasureColumn& column) {
  return column.index < row.size() ? row[column.index] : CsvCell{"", row.front().place};
}

}  // namespace ridepitch
