#include "fit/reading_rows.hpp"

#include <algorithm>
#include <cmath>

#include "model/units.hpp"

namespace ridepitch {
namespace {

// Limits below: common practice, no source.
constexpr double bend_chance = 0.01;    // a bend that chance makes less often than this is no chance
constexpr double stray_chance = 0.001;  // the same of a stray, among all readings
constexpr double stray_deviations = 4;  // a reading this many deviations off may be a stray
constexpr double stray_least_mm = 0.5;  // so much of length, and of weight, is never called a stray
constexpr double stray_least_n = 2 * n_per_g;
constexpr double most_stray_share = 0.25;  // more than this are not strays: then the readings scatter
constexpr double stop_steepness = 2;  // a step to the last length steeper than the line by this many times: stopped
constexpr double stop_least_share = 0.15;   // of the force that the line foretells
constexpr double curve_least_share = 0.02;  // a bend smaller than this share of the force range matters to nobody

/// Parameters that strays do not move, where there are enough readings for that; else the plain ones.
std::optional<RobustLine> steady_fit(const ReadingRows& readings, const std::vector<int>& used, const RowShape& shape) {
  if (auto robust = fit_robust(readings.rows(used, shape), readings.forces(used))) return robust;
  const auto plain = readings.fit(used, shape);
  return plain ? std::optional(RobustLine{plain->parameters, plain->deviation()}) : std::nullopt;
}

}  // namespace

double sign_of(Pass pass) { return pass == Pass::more ? 1 : pass == Pass::less ? -1 : 0; }

bool ReadingRows::both_ways(const std::vector<int>& used) const {
  const auto goes = [&](Pass pass) {
    return std::any_of(used.begin(), used.end(), [&](int i) { return at(i).pass == pass; });
  };
  return goes(Pass::more) && goes(Pass::less);
}

int ReadingRows::distinct_lengths(const std::vector<int>& used) const {
  std::vector<double> lengths;
  for (const int i : used) lengths.push_back(at(i).length_mm);
  std::sort(lengths.begin(), lengths.end());
  const auto end =
      std::unique(lengths.begin(), lengths.end(), [](double a, double b) { return std::abs(a - b) < same_length_mm; });
  return static_cast<int>(end - lengths.begin());
}

Eigen::VectorXd ReadingRows::row(const SpringReading& reading, const RowShape& shape) const {
  Eigen::VectorXd row(shape.columns());
  int next = 0;
  const double d = towards_more * (reading.length_mm - middle_mm);
  if (shape.constant) row[next++] = 1;
  row[next++] = d;
  if (shape.friction) row[next++] = sign_of(reading.pass);
  if (shape.bent) row[next++] = d * d;
  return row;
}

Eigen::MatrixXd ReadingRows::rows(const std::vector<int>& used, const RowShape& shape) const {
  Eigen::MatrixXd X(static_cast<Eigen::Index>(used.size()), shape.columns());
  for (std::size_t i = 0; i < used.size(); ++i) X.row(static_cast<Eigen::Index>(i)) = row(at(used[i]), shape);
  return X;
}

Eigen::VectorXd ReadingRows::forces(const std::vector<int>& used) const {
  Eigen::VectorXd y(static_cast<Eigen::Index>(used.size()));
  for (std::size_t i = 0; i < used.size(); ++i) y[static_cast<Eigen::Index>(i)] = at(used[i]).force_n;
  return y;
}

std::optional<LeastSquares> ReadingRows::fit(const std::vector<int>& used, const RowShape& shape) const {
  return fit_linear(rows(used, shape), forces(used));
}

double median_slope(const ReadingRows& readings, const std::vector<int>& used) {
  std::vector<double> slopes;
  for (std::size_t i = 0; i < used.size(); ++i) {
    for (std::size_t j = i + 1; j < used.size(); ++j) {
      const double step = readings.at(used[j]).length_mm - readings.at(used[i]).length_mm;
      if (std::abs(step) < same_length_mm) continue;
      slopes.push_back((readings.at(used[j]).force_n - readings.at(used[i]).force_n) / step);
    }
  }
  if (slopes.empty()) return 0;
  const auto middle = slopes.begin() + static_cast<std::ptrdiff_t>(slopes.size() / 2);
  std::nth_element(slopes.begin(), middle, slopes.end());
  return *middle;
}

double force_range_n(const ReadingRows& readings, const std::vector<int>& used) {
  const auto [least, most] = std::minmax_element(
      used.begin(), used.end(), [&](int a, int b) { return readings.at(a).force_n < readings.at(b).force_n; });
  return readings.at(*most).force_n - readings.at(*least).force_n;
}

std::vector<int> find_stopped(const ReadingRows& readings, const std::vector<int>& used, CoilEnd end) {
  const double outwards = end == CoilEnd::free ? 1 : -1;  // along the length, and so against the force
  const auto out = [&](int i) { return outwards * readings.at(i).length_mm; };
  const auto outermost_of = [&](const std::vector<int>& some) {
    double outermost = out(some.front());
    for (const int i : some) outermost = std::max(outermost, out(i));
    return outermost;
  };
  if (used.empty()) return {};
  const double outermost = outermost_of(used);
  std::vector<int> at_the_end, others;
  for (const int i : used) (out(i) >= outermost - ruler_mm ? at_the_end : others).push_back(i);
  if (readings.distinct_lengths(others) < 3) return {};
  const double next = outermost_of(others);
  const RowShape line{true, readings.both_ways(others), false};
  const auto fit = steady_fit(readings, others, line);
  if (!fit || fit->parameters[1] <= 0) return {};
  std::vector<int> stopped;
  for (const int i : at_the_end) {
    const double foretold_n = readings.row(readings.at(i), line).dot(fit->parameters);
    const double beyond_n = outwards * (foretold_n - readings.at(i).force_n);
    const double step_n = fit->parameters[1] * (out(i) - next);
    if (beyond_n > stop_steepness * step_n && beyond_n > stray_deviations * fit->deviation &&
        beyond_n > stop_least_share * foretold_n) {
      stopped.push_back(i);
    }
  }
  return stopped;
}

std::vector<int> find_strays(const ReadingRows& readings, const std::vector<int>& used) {
  const int lengths = readings.distinct_lengths(used), count = static_cast<int>(used.size());
  RowShape shape{true, readings.both_ways(used) && count >= 6, false};
  shape.bent = lengths >= 6 && count >= shape.columns() + 5;  // a curved spring's ends are no strays
  if (count < shape.columns() + 2) return {};
  const auto steady = fit_robust(readings.rows(used, shape), readings.forces(used));
  if (!steady) return {};
  const double least_n = stray_least_n + stray_least_mm * std::abs(steady->parameters[1]);
  std::vector<int> suspects, sound;
  for (const int i : used) {
    const double off_n = std::abs(readings.at(i).force_n - readings.row(readings.at(i), shape).dot(steady->parameters));
    (off_n > std::max(stray_deviations * steady->deviation, least_n) ? suspects : sound).push_back(i);
  }
  if (suspects.empty() || static_cast<double>(suspects.size()) > most_stray_share * count) return {};
  const auto fit = readings.fit(sound, shape);
  if (!fit || fit->freedoms < 1) return {};
  // A new reading strays from a prediction by s sqrt(1 + x' (X'X)^-1 x): Draper and Smith, ch. 1 (from memory).
  const double limit = student_t(stray_chance / count, fit->freedoms);
  std::vector<int> strays;
  for (const int i : suspects) {
    const Eigen::VectorXd x = readings.row(readings.at(i), shape);
    const double own_n = fit->deviation(), line_n = fit->standard_error_along(x).value_or(0);
    const double off_n = std::abs(readings.at(i).force_n - x.dot(fit->parameters));
    if (off_n > std::max(limit * std::hypot(own_n, line_n), least_n)) strays.push_back(i);
  }
  return strays;
}

Bend find_bend(const ReadingRows& readings, const std::vector<int>& used, const RowShape& line) {
  RowShape bent = line;
  bent.bent = true;
  if (readings.distinct_lengths(used) < 4 || static_cast<int>(used.size()) < bent.columns() + 2) return {};
  const auto straight = readings.fit(used, line), curved = readings.fit(used, bent);
  if (!straight || !curved) return {};
  Bend bend;
  for (const int i : used) {
    const SpringReading& reading = readings.at(i);
    bend.miss_n = std::max(bend.miss_n, std::abs(readings.row(reading, bent).dot(curved->parameters) -
                                                 readings.row(reading, line).dot(straight->parameters)));
  }
  const int last = bent.columns() - 1;
  const double error = curved->standard_error(last).value_or(0);
  const bool more_than_chance = std::abs(curved->parameters[last]) > student_t(bend_chance, curved->freedoms) * error;
  bend.there = more_than_chance && bend.miss_n > curve_least_share * force_range_n(readings, used);
  return bend;
}

}  // namespace ridepitch
