#include "cli/character_plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace ridepitch {
namespace {

constexpr int plot_columns = 72;
constexpr int plot_rows = 17;
constexpr int most_y_marks = 6;
constexpr int most_x_marks = 8;
constexpr int plot_indent = 2;

/// One axis: what it runs over, widened so that the outermost points do not sit in a corner.
struct Axis {
  double from = 0, to = 1, step = 1;

  Axis(double least, double most, int most_marks) {
    const double range = most > least ? most - least : std::max(1.0, std::abs(most));
    const double rim = 0.04 * range;  // so much is empty at either end
    from = least - rim;
    to = most + rim;
    step = round_step(to - from, most_marks);
  }

  int cell(double value, int cells) const {
    return std::clamp(static_cast<int>(std::floor((value - from) / (to - from) * cells)), 0, cells - 1);
  }
  double centre_of(int cell, int cells) const { return from + (to - from) * (cell + 0.5) / cells; }

  std::vector<double> marks() const {
    std::vector<double> all;
    for (double mark = std::ceil(from / step) * step; mark <= to; mark += step) all.push_back(mark);
    return all;
  }
  int decimals() const { return std::max(0, static_cast<int>(std::ceil(-std::log10(step) - 1e-9))); }
};

struct Range {
  double least = std::numeric_limits<double>::infinity(), most = -least;

  void take(double value) {
    least = std::min(least, value);
    most = std::max(most, value);
  }
};

/// Value of the line at an x; none beyond its ends.
std::optional<double> line_at(const std::vector<Vec2>& line, double x) {
  for (std::size_t i = 1; i < line.size(); ++i) {
    const Vec2 &a = line[i - 1], &b = line[i];
    if (x >= a.x() && x <= b.x() && b.x() > a.x()) return a.y() + (b.y() - a.y()) * (x - a.x()) / (b.x() - a.x());
  }
  return std::nullopt;
}

}  // namespace

double round_step(double range, int most_parts) {
  const double power = std::pow(10, std::floor(std::log10(range / most_parts)));
  for (const double times : {1.0, 2.0, 5.0}) {
    if (range / (times * power) <= most_parts) return times * power;
  }
  return 10 * power;
}

std::string plot_text(const Plot& plot, const Ink& ink) {
  Range over_x, over_y;
  for (const PlotSeries& series : plot.series) {
    for (const Vec2& point : series.points) {
      over_x.take(point.x());
      if (!series.at_the_edge) over_y.take(point.y());
    }
  }
  if (!(over_x.least <= over_x.most)) return "";
  over_y.take(0);
  const Axis x(over_x.least, over_x.most, most_x_marks), y(over_y.least, over_y.most, most_y_marks);

  std::vector<std::string> cells(plot_rows, std::string(plot_columns, ' '));
  const auto put = [&](const Vec2& point, char mark) {
    const int row = plot_rows - 1 - y.cell(point.y(), plot_rows);
    cells[static_cast<std::size_t>(row)][static_cast<std::size_t>(x.cell(point.x(), plot_columns))] = mark;
  };
  for (int column = 0; column < plot_columns; ++column) {
    const double at = x.centre_of(column, plot_columns);
    const auto value = line_at(plot.line, at);
    if (value && *value >= y.from && *value <= y.to) put({at, *value}, '.');
  }
  for (const PlotSeries& series : plot.series) {
    for (const Vec2& point : series.points) put(point, series.mark);
  }

  std::vector<std::string> labels(plot_rows);
  std::size_t widest = 0;
  for (const double mark : y.marks()) {
    std::string& label = labels[static_cast<std::size_t>(plot_rows - 1 - y.cell(mark, plot_rows))];
    label = number(mark, y.decimals());
    widest = std::max(widest, label.size());
  }
  const std::string margin(plot_indent, ' ');
  std::string text = ink.heading(plot.title) + "\n" + margin + plot.y_name + "\n";
  for (std::size_t row = 0; row < cells.size(); ++row) {
    std::string line =
        fmt::format("{}{:>{}} {} {}", margin, labels[row], widest, labels[row].empty() ? '|' : '+', cells[row]);
    line.erase(line.find_last_not_of(' ') + 1);
    text += line + "\n";
  }
  const std::string lead(plot_indent + widest + 1, ' ');
  std::string ticks(plot_columns, '-'), numbers(plot_columns + 8, ' ');
  for (const double mark : x.marks()) {
    const int column = x.cell(mark, plot_columns);
    ticks[static_cast<std::size_t>(column)] = '+';
    const std::string label = number(mark, x.decimals());
    const int first = std::max(0, column - static_cast<int>(label.size()) / 2);
    numbers.replace(static_cast<std::size_t>(first), label.size(), label);
  }
  numbers.erase(numbers.find_last_not_of(' ') + 1);
  text += lead + "+-" + ticks + "-- " + plot.x_name + "\n" + lead + "  " + numbers + "\n";

  std::string legend;
  const auto add = [&](char mark, const std::string& meaning) {
    if (!meaning.empty()) legend += fmt::format("{}{} {}", legend.empty() ? "" : "   ", mark, meaning);
  };
  for (const PlotSeries& series : plot.series) {
    if (!series.points.empty()) add(series.mark, series.meaning);
  }
  if (!plot.line.empty()) add('.', plot.line_meaning);
  return text + ink.faint(margin + wrapped(legend, plot_indent)) + "\n";
}

}  // namespace ridepitch
