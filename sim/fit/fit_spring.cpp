#include "fit/fit_spring.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "fit/fit_law.hpp"
#include "fit/judge_readings.hpp"
#include "model/units.hpp"
#include "spring/force_law.hpp"

namespace ridepitch {
namespace {

// Common practice, no source.
constexpr double ruler_mm = 0.5;      // lengths nearer than this may be the same one, read twice
constexpr double noisy_share = 0.05;  // a scatter of this share of the force range is much

Problem no_fit(const std::string& path, const char* code, std::string text, std::string hint, Place place = {}) {
  Problem problem;
  problem.place = place;
  problem.code = code;
  problem.text = std::move(text);
  problem.hint = std::move(hint);
  problem.file_name = path;
  return problem;
}

Estimate mean_of(const std::vector<double>& values) {
  double mean = 0, square = 0;
  for (const double value : values) mean += value / static_cast<double>(values.size());
  for (const double value : values) square += (value - mean) * (value - mean);
  if (values.size() < 2) return {mean, std::nullopt};
  const auto n = static_cast<double>(values.size());
  return {mean, std::sqrt(square / (n - 1) / n)};
}

/// Everything that is at hand while the data of one spring are put together.
struct Fitting {
  const SpringReadings& given;
  const SpringFitOptions& options;
  const std::string& path;
  ReadingRows rows{given.readings};
  std::vector<int> unloaded = {}, loaded = {}, used = {};  ///< indices of readings
  RowShape line = {};
  LeastSquares straight = {};
  SpringFit fit = {};
  std::optional<Problem> problem = {};
  std::optional<double> measured_free_mm = {};  ///< where the line pushes only from less on

  void note(std::string code, std::string text, std::string remedy = "") {
    fit.notes.push_back({std::move(code), std::move(text), std::move(remedy)});
  }

  std::string line_of(int i) const { return fmt::format("line {}", rows.at(i).place.line); }

  bool fail(const char* code, std::string text, std::string hint) {
    problem = no_fit(path, code, std::move(text), std::move(hint));
    return false;
  }

  void mark(const std::vector<int>& which, ReadingUse use) {
    for (const int i : which) fit.use[static_cast<std::size_t>(i)] = use;
    std::erase_if(used, [&](int i) { return std::find(which.begin(), which.end(), i) != which.end(); });
  }

  bool sort_out() {
    fit.use.assign(given.readings.size(), ReadingUse::fitted);
    for (std::size_t i = 0; i < given.readings.size(); ++i) {
      (given.readings[i].force_n > 0 ? loaded : unloaded).push_back(static_cast<int>(i));
    }
    for (const int i : unloaded) fit.use[static_cast<std::size_t>(i)] = ReadingUse::unloaded;
    used = loaded;
    const int lengths = rows.distinct_lengths(loaded);
    if (lengths < 2) {
      return fail("too-few",
                  loaded.empty() ? "the file holds no reading under load"
                                 : fmt::format("{} at one length: a rate takes two lengths",
                                               loaded.size() == 1 ? "there is one reading" : "all readings are"),
                  "press the spring to several lengths over its whole way and read the scale at each; eight or more, "
                  "there and back, is good");
    }
    const double slope = median_slope(rows, loaded);
    if (slope == 0) {
      return fail("no-trend", "the force does not change with the length",
                  "is the scale's reading in the column of weights, and the spring between the two?");
    }
    fit.kind = slope < 0 ? SpringKind::coil : SpringKind::band;
    rows.towards_more = slope < 0 ? -1 : 1;
    for (const int i : loaded) rows.middle_mm += rows.at(i).length_mm / static_cast<double>(loaded.size());
    return true;
  }

  void leave_out() {
    if (fit.kind == SpringKind::coil) {
      mark(find_stopped(rows, used, CoilEnd::solid), ReadingUse::solid);
      const std::vector<int> not_yet_moved = find_stopped(rows, used, CoilEnd::free);
      mark(not_yet_moved, ReadingUse::unloaded);
      unloaded.insert(unloaded.end(), not_yet_moved.begin(), not_yet_moved.end());
    }
    const std::vector<int> strays = find_strays(rows, used);
    const std::vector<int> with_strays = used;
    mark(strays, ReadingUse::stray);
    if (!strays.empty()) {
      const auto all = rows.fit(with_strays, RowShape{true, rows.both_ways(with_strays), false});
      if (all) fit.rate_with_strays_n_per_mm = all->parameters[1];
    }
  }

  bool fit_line() {
    line = {true, rows.both_ways(used), false};
    if (line.friction && used.size() < 4) line.friction = false;
    if (fit.kind == SpringKind::band && options.free_mm) {
      line.constant = false;
      rows.middle_mm = *options.free_mm;
    }
    const auto found = rows.fit(used, line);
    if (!found) {
      return fail("too-few", fmt::format("{} readings do not tell the rate", used.size()),
                  "read the scale at more lengths, pressing and releasing");
    }
    straight = *found;
    const int rate = line.constant ? 1 : 0;
    fit.rate_n_per_mm = {straight.parameters[rate], straight.standard_error(rate)};
    const double twice = 2 * fit.rate_n_per_mm.standard_error.value_or(0);
    if (fit.rate_n_per_mm.value <= twice) {
      return fail("no-trend",
                  fmt::format("the readings scatter so much that no rate can be told: {:.3g} N/mm, give or take {:.3g}",
                              fit.rate_n_per_mm.value, twice),
                  "check that lengths and weights stand in the columns that the header names, and read again over a "
                  "longer way");
    }
    if (line.friction) {
      const Estimate friction{straight.parameters[rate + 1], straight.standard_error(rate + 1)};
      if (friction.value < -2 * friction.standard_error.value_or(0)) {
        note("passes-swapped",
             fmt::format("the scale read {:.0f} g less on the way to more force than on the way back: friction does "
                         "the opposite",
                         grams_of(-2 * friction.value)),
             "look whether the two ways are swapped; friction is taken as 0");
      }
      fit.friction_n = Estimate{std::max(0.0, friction.value), friction.standard_error};
    }
    fit.deviation_n = straight.deviation();
    fit.freedoms = straight.freedoms;
    return true;
  }

  /// Force without friction at a length, on the line, with its standard error.
  Estimate on_line(double length_mm) const {
    SpringReading there;
    there.length_mm = length_mm;
    const Eigen::VectorXd x = rows.row(there, line);
    return {x.dot(straight.parameters), straight.standard_error_along(x)};
  }

  /// Where the line meets no force: d = -c0 / c1, its gradient (-1, c0 / c1) / c1.
  Estimate zero_of_line() const {
    const double c0 = straight.parameters[0], c1 = straight.parameters[1];
    Eigen::VectorXd gradient = Eigen::VectorXd::Zero(straight.parameters.size());
    gradient[0] = -1 / c1;
    gradient[1] = c0 / (c1 * c1);
    return {rows.middle_mm - rows.towards_more * c0 / c1, straight.standard_error_along(gradient)};
  }

  void find_free_length() {
    if (options.free_mm) {
      fit.free_mm = {*options.free_mm, std::nullopt};
      fit.free_from = LengthFrom::told;
    } else if (!unloaded.empty() && fit.kind == SpringKind::coil) {
      std::vector<double> lengths;
      for (const int i : unloaded) lengths.push_back(rows.at(i).length_mm);
      fit.free_mm = mean_of(lengths);
      fit.free_from = LengthFrom::unloaded;
    } else {
      fit.free_mm = zero_of_line();
      fit.free_from = LengthFrom::line;
    }
    if (fit.kind == SpringKind::band) return;
    if (fit.free_from == LengthFrom::line) {
      fit.preload_n = Estimate{0, std::nullopt};
      note("free-length-guessed",
           fmt::format("the free length was not measured: taken that the spring has no preload, so that it is {:.1f} "
                       "mm where the line meets 0 g",
                       fit.free_mm.value),
           "add a line with its unloaded length and 0 g, or --free-mm MM: a captive coil is mostly held shorter than "
           "that, under a preload");
      return;
    }
    Estimate preload = on_line(fit.free_mm.value);
    if (preload.standard_error && fit.free_mm.standard_error)
      preload.standard_error =
          std::hypot(*preload.standard_error, fit.rate_n_per_mm.value * *fit.free_mm.standard_error);
    if (preload.value >= 0) {
      fit.preload_n = preload;
      return;
    }
    const Estimate zero = zero_of_line();
    note("slack-start",
         fmt::format("unloaded it is {:.1f} mm long, but by the line it pushes only from {:.1f} mm on",
                     fit.free_mm.value, zero.value),
         "check that the lengths run between the same two points; if so, it has play there, or it bends: --law follows "
         "that");
    measured_free_mm = fit.free_mm.value;
    fit.free_mm = zero;
    fit.free_from = LengthFrom::push;
    fit.preload_n = Estimate{0, std::nullopt};
  }

  bool find_solid_length() {
    if (fit.kind == SpringKind::band) return true;
    std::vector<double> solid;
    double shortest = rows.at(loaded.front()).length_mm;
    for (const int i : loaded) {
      if (fit.use[static_cast<std::size_t>(i)] == ReadingUse::solid) solid.push_back(rows.at(i).length_mm);
      shortest = std::min(shortest, rows.at(i).length_mm);
    }
    if (options.solid_mm) {
      fit.solid_mm = *options.solid_mm;
      fit.solid_from = LengthFrom::told;
    } else if (!solid.empty()) {
      fit.solid_mm = mean_of(solid).value;
      fit.solid_from = LengthFrom::solid;
    } else {
      fit.solid_mm = shortest;
      fit.solid_from = LengthFrom::shortest;
      note("solid-length-guessed",
           fmt::format("no reading shows the coils touching: taken as solid at the shortest reading, {:.1f} mm",
                       shortest),
           "press it until its coils touch, measure, and add --solid-mm MM or that reading");
    }
    if (*fit.solid_mm >= fit.free_mm.value) {
      return fail("out-of-range",
                  fmt::format("the spring would be solid at {:.1f} mm, but is only {:.1f} mm long when free",
                              *fit.solid_mm, fit.free_mm.value),
                  "measure both lengths between the hole centres; give them by --free-mm and --solid-mm");
    }
    if (options.solid_mm && shortest < *options.solid_mm - ruler_mm) {
      note("shorter-than-solid",
           fmt::format("there is a reading at {:.1f} mm, shorter than the solid length of {:.1f} mm", shortest,
                       *options.solid_mm),
           "a coil can't be pressed past solid: measure one of the two again");
    }
    return true;
  }

  bool make_law() {
    const bool band = fit.kind == SpringKind::band;
    if (fit.free_from == LengthFrom::line) {
      return fail("free-length", "a table of forces begins at the free length, which was not measured",
                  "measure the unloaded spring between its hole centres and add --free-mm MM");
    }
    if (measured_free_mm) {
      fit.free_mm = {*measured_free_mm, std::nullopt};
      fit.free_from = options.free_mm ? LengthFrom::told : LengthFrom::unloaded;
      std::erase_if(fit.notes, [](const FitNote& each) { return each.code == "slack-start"; });
    }
    fit.free_mm.value = hundredths(fit.free_mm.value);
    double way_mm = 0;
    if (band) {
      for (const int i : used) way_mm = std::max(way_mm, hundredths(rows.at(i).length_mm - fit.free_mm.value));
    } else {
      fit.solid_mm = hundredths(*fit.solid_mm);
      way_mm = hundredths(fit.free_mm.value - *fit.solid_mm);
    }
    const auto law = way_mm > 0 ? fit_law(rows, used, fit.free_mm.value, way_mm, band) : std::nullopt;
    if (!law) {
      return fail("law", "no table that rises from point to point fits the readings",
                  "read the scale at more lengths, in equal steps over the whole way, or do without --law");
    }
    fit.law = law->table;
    fit.preload_n.reset();
    if (law->friction) fit.friction_n = law->friction;
    fit.freedoms = std::max(0, static_cast<int>(used.size()) - law->parameters);
    return true;
  }

  /// What the data found say at every reading, friction with its sign.
  void compare() {
    ForceLaw law;
    if (fit.law) {
      law = fit.kind == SpringKind::band
                ? force_law(Band{.free_mm = fit.free_mm.value, .law = fit.law})
                : force_law(Coil{.free_mm = fit.free_mm.value, .solid_mm = *fit.solid_mm, .law = fit.law});
    }
    double square = 0;
    for (std::size_t i = 0; i < given.readings.size(); ++i) {
      const SpringReading& reading = given.readings[i];
      const double plain_n =
          fit.law ? std::abs(spring_force(law, reading.length_mm).push_n) : on_line(reading.length_mm).value;
      const double friction_n = fit.friction_n ? fit.friction_n->value * way_of(reading.pass) : 0;
      fit.fitted_n.push_back(fit.use[i] == ReadingUse::unloaded ? 0 : plain_n + friction_n);
      if (fit.use[i] == ReadingUse::fitted) square += std::pow(reading.force_n - fit.fitted_n.back(), 2);
    }
    if (fit.law && fit.freedoms > 0) fit.deviation_n = std::sqrt(square / fit.freedoms);
  }

  void remark() {
    for (std::size_t i = 0; i < fit.use.size(); ++i) {
      if (fit.use[i] != ReadingUse::stray) continue;
      const SpringReading& reading = given.readings[i];
      note("stray-reading",
           fmt::format("{}: {:.1f} mm read {:.0f} g, but the others say {:.0f} g there; it is left out (with it the "
                       "rate would be {:.3g} N/mm)",
                       line_of(static_cast<int>(i)), reading.length_mm, grams_of(reading.force_n),
                       grams_of(fit.fitted_n[i]), *fit.rate_with_strays_n_per_mm),
           "compare with what you wrote down; measure that length again");
    }
    const Bend bend = fit.law ? Bend{} : find_bend(rows, used, line);
    fit.curved = bend.there;
    fit.curve_miss_n = bend.miss_n;
    if (bend.there) {
      note("curved", fmt::format("the readings bend: the straight line is up to {:.0f} g off", grams_of(bend.miss_n)),
           "--law writes a table of forces that follows them, in place of rate and preload");
    }
    if (!fit.friction_n && fit.kind == SpringKind::coil) {
      const bool ways_known =
          std::any_of(used.begin(), used.end(), [&](int i) { return rows.at(i).pass != Pass::unknown; });
      note("one-way",
           ways_known ? "the readings go one way only: friction can't be told, and what it is counts as preload"
                      : "nothing says which readings were taken pressing and which releasing: friction can't be told",
           "press the spring step by step and let it back the same way, in order, or add a column 'pass' with pressing "
           "or releasing");
    }
    double least_n = rows.at(used[0]).force_n, most_n = least_n;
    for (const int i : used) {
      least_n = std::min(least_n, rows.at(i).force_n);
      most_n = std::max(most_n, rows.at(i).force_n);
    }
    if (!bend.there && fit.deviation_n > noisy_share * (most_n - least_n)) {
      note("scatter",
           fmt::format("the readings lie {:.0f} g off the fit, typically: much, over a range of {:.0f} g",
                       grams_of(fit.deviation_n), grams_of(most_n - least_n)),
           "guide the spring so that it stays straight, and measure its length at the same two points each time");
    }
    if (fit.freedoms == 0) {
      note("too-few-to-judge",
           fmt::format("{} readings are just enough to fit: nothing tells how sure the values are", used.size()),
           "take eight readings or more, there and back");
    }
    if (!given.ignored.empty()) {
      std::string names;
      for (const std::string& name : given.ignored) names += (names.empty() ? "'" : ", '") + name + "'";
      note("ignored", fmt::format("not used: column{} {}", given.ignored.size() == 1 ? "" : "s", names));
    }
  }

  bool run() {
    if (!sort_out()) return false;
    leave_out();
    if (!fit_line()) return false;
    find_free_length();
    if (!find_solid_length()) return false;
    if (options.law && !make_law()) return false;
    compare();
    remark();
    return true;
  }
};

}  // namespace

FitSpringResult fit_spring(const SpringReadings& readings, const std::string& path, const SpringFitOptions& options) {
  Fitting fitting{readings, options, path};
  if (!fitting.run()) return {std::nullopt, {*fitting.problem}};
  return {std::move(fitting.fit), {}};
}

}  // namespace ridepitch
