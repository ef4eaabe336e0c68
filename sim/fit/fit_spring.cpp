#include "fit/fit_spring.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "fit/fit_law.hpp"
#include "fit/reading_rows.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

// Common practice, no source.
constexpr double noisy_share = 0.05;           // a scatter of this share of the force range is much
constexpr std::size_t least_for_friction = 4;  // readings that tell friction beside rate and preload, with one to spare

/// Mean length of some readings.
Estimate mean_length(const ReadingRows& rows, const std::vector<int>& which) {
  const auto n = static_cast<double>(which.size());
  double mean = 0, square = 0;
  for (const int i : which) mean += rows.at(i).length_mm / n;
  for (const int i : which) square += std::pow(rows.at(i).length_mm - mean, 2);
  if (which.size() < 2) return {mean, std::nullopt};
  return {mean, std::sqrt(square / (n - 1) / n)};
}

/// What is at hand while the data of one spring are put together.
struct Fitting {
  const SpringReadings& given;
  const SpringFitOptions& options;
  ReadingRows rows{given.readings};
  std::vector<int> unloaded = {}, loaded = {}, used = {};  ///< indices of readings
  RowShape line = {};
  LeastSquares straight = {};
  SpringFit fit = {};
  std::optional<double> measured_free_mm = {};  ///< where the line pushes only from less on
};

using Failed = std::optional<Problem>;

Problem fail(const char* code, std::string text, std::string hint) {
  return {.code = code, .text = std::move(text), .hint = std::move(hint)};
}

/// The table is read well, but says nothing of the spring: a verdict, not a mistake in its text.
Problem tells_nothing(const char* code, std::string text, std::string hint) {
  Problem problem = fail(code, std::move(text), std::move(hint));
  problem.fault = Fault::verdict;
  return problem;
}

void note(Fitting& f, std::string code, std::string text, std::string remedy) {
  f.fit.notes.push_back({std::move(code), std::move(text), std::move(remedy)});
}

/// Sorts readings out: they do not count.
void mark(Fitting& f, const std::vector<int>& which, ReadingUse use) {
  for (const int i : which) f.fit.use[static_cast<std::size_t>(i)] = use;
  std::erase_if(f.used, [&](int i) { return std::find(which.begin(), which.end(), i) != which.end(); });
}

// ------------------------------------------------------------------------------------ which readings count

/// What kind of spring it is, and which readings are under load.
Failed sort_out(Fitting& f) {
  const std::vector<SpringReading>& readings = f.given.readings;
  f.fit.use.assign(readings.size(), ReadingUse::fitted);
  for (std::size_t i = 0; i < readings.size(); ++i)
    (readings[i].force_n > 0 ? f.loaded : f.unloaded).push_back(static_cast<int>(i));
  f.used = f.loaded;
  mark(f, f.unloaded, ReadingUse::unloaded);
  if (f.loaded.empty() || f.rows.distinct_lengths(f.loaded) < 2)
    return fail("too-few",
                f.loaded.empty() ? "the file holds no reading under load"
                                 : fmt::format("{} at one length: a rate takes two lengths",
                                               f.loaded.size() == 1 ? "there is one reading" : "all readings are"),
                "press the spring to several lengths over its whole stroke and read the scale at each; eight or "
                "more, there and back, is good");
  const double slope = median_slope(f.rows, f.loaded);
  if (slope == 0)
    return tells_nothing("no-trend", "the force does not change with the length",
                         "is the scale's reading in the column of weights, and the spring between the two?");
  f.fit.kind = slope < 0 ? SpringKind::coil : SpringKind::band;
  f.rows.towards_more = slope < 0 ? -1 : 1;
  for (const int i : f.loaded) f.rows.middle_mm += f.rows.at(i).length_mm / static_cast<double>(f.loaded.size());
  return std::nullopt;
}

void leave_out(Fitting& f) {
  if (f.fit.kind == SpringKind::coil) {
    mark(f, find_stopped(f.rows, f.used, CoilEnd::solid), ReadingUse::solid);
    const std::vector<int> not_yet_moved = find_stopped(f.rows, f.used, CoilEnd::free);
    mark(f, not_yet_moved, ReadingUse::unloaded);
    f.unloaded.insert(f.unloaded.end(), not_yet_moved.begin(), not_yet_moved.end());
  }
  const std::vector<int> with_strays = f.used, strays = find_strays(f.rows, f.used);
  mark(f, strays, ReadingUse::stray);
  if (strays.empty()) return;
  const auto all = f.rows.fit(with_strays, RowShape{true, f.rows.both_ways(with_strays), false});
  if (all) f.fit.rate_with_strays_n_per_mm = all->parameters[1];
}

// ------------------------------------------------------------------------------------ the line and its ends

Failed fit_line(Fitting& f) {
  SpringFit& fit = f.fit;
  f.line = {true, f.rows.both_ways(f.used) && f.used.size() >= least_for_friction, false};
  if (fit.kind == SpringKind::band && f.options.free_mm) {
    f.line.constant = false;
    f.rows.middle_mm = *f.options.free_mm;
  }
  const auto found = f.rows.fit(f.used, f.line);
  if (!found)
    return fail("too-few", fmt::format("{} readings do not tell the rate", f.used.size()),
                "read the scale at more lengths, pressing and releasing");
  f.straight = *found;
  const auto parameter = [&](int i) { return Estimate{found->parameters[i], found->standard_error(i)}; };
  const int rate = f.line.constant ? 1 : 0;
  fit.rate_n_per_mm = parameter(rate);
  // The slope's t test: Draper and Smith, ch. 1 (from memory). Two readings leave no error to test it by.
  const double sure_within =
      found->freedoms > 0 ? student_t(trend_chance, found->freedoms) * *fit.rate_n_per_mm.standard_error : 0;
  if (fit.rate_n_per_mm.value <= sure_within)
    return tells_nothing(
        "no-trend",
        fmt::format("the readings scatter so much that no rate can be told: {:.3g} N/mm, give or take {:.3g}",
                    fit.rate_n_per_mm.value, sure_within),
        "check that lengths and weights stand in the columns that the header names, and read again over a "
        "longer stroke");
  if (f.line.friction) {
    const Estimate friction = parameter(rate + 1);
    if (friction.value < -2 * friction.standard_error.value_or(0))
      note(f, "passes-swapped",
           fmt::format("the scale read {:.0f} g less while the force rose than while it fell: friction does the "
                       "opposite",
                       grams_of(-2 * friction.value)),
           "check whether the two directions are swapped; friction is taken as 0");
    fit.friction_n = Estimate{std::max(0.0, friction.value), friction.standard_error};
  }
  fit.deviation_n = found->deviation();
  fit.freedoms = found->freedoms;
  return std::nullopt;
}

/// Force without friction at a length, on the line, with its standard error.
Estimate on_line(const Fitting& f, double length_mm) {
  SpringReading there;
  there.length_mm = length_mm;
  const Eigen::VectorXd x = f.rows.row(there, f.line);
  return {x.dot(f.straight.parameters), f.straight.standard_error_along(x)};
}

/// Where the line meets no force: d = -c0 / c1, its gradient (-1, c0 / c1) / c1.
Estimate zero_of_line(const Fitting& f) {
  const double c0 = f.straight.parameters[0], c1 = f.straight.parameters[1];
  Eigen::VectorXd gradient = Eigen::VectorXd::Zero(f.straight.parameters.size());
  gradient[0] = -1 / c1;
  gradient[1] = c0 / (c1 * c1);
  return {f.rows.middle_mm - f.rows.towards_more * c0 / c1, f.straight.standard_error_along(gradient)};
}

void find_free_length(Fitting& f) {
  if (f.options.free_mm) {
    f.fit.free_mm = {*f.options.free_mm, std::nullopt};
    f.fit.free_from = LengthFrom::told;
  } else if (!f.unloaded.empty() && f.fit.kind == SpringKind::coil) {
    f.fit.free_mm = mean_length(f.rows, f.unloaded);
    f.fit.free_from = LengthFrom::unloaded;
  } else {
    f.fit.free_mm = zero_of_line(f);
    f.fit.free_from = LengthFrom::line;
  }
}

/// A coil's force at its free length.
void find_preload(Fitting& f) {
  SpringFit& fit = f.fit;
  fit.preload_n = Estimate{0, std::nullopt};
  if (fit.free_from == LengthFrom::line) {
    note(f, "free-length-guessed",
         fmt::format("the free length was not measured: taken that the spring has no preload, so that it is {:.1f} mm "
                     "where the line meets 0 g",
                     fit.free_mm.value),
         "add a line with its unloaded length and 0 g, or --free-mm MM: a captive coil is mostly held shorter than "
         "that, under a preload");
    return;
  }
  Estimate preload = on_line(f, fit.free_mm.value);
  if (preload.standard_error && fit.free_mm.standard_error)
    preload.standard_error = std::hypot(*preload.standard_error, fit.rate_n_per_mm.value * *fit.free_mm.standard_error);
  if (preload.value >= 0) {
    fit.preload_n = preload;
    return;
  }
  const Estimate zero = zero_of_line(f);
  note(f, "slack-start",
       fmt::format("unloaded it is {:.1f} mm long, but by the line it pushes only from {:.1f} mm on", fit.free_mm.value,
                   zero.value),
       "check that the lengths run between the same two points; if so, it has play there, or it bends: --law follows "
       "that");
  f.measured_free_mm = fit.free_mm.value;
  fit.free_mm = zero;
  fit.free_from = LengthFrom::push;
}

/// A coil's.
Failed find_solid_length(Fitting& f) {
  SpringFit& fit = f.fit;
  std::vector<int> solid;
  double shortest = f.rows.at(f.loaded.front()).length_mm;
  for (const int i : f.loaded) {
    if (fit.use[static_cast<std::size_t>(i)] == ReadingUse::solid) solid.push_back(i);
    shortest = std::min(shortest, f.rows.at(i).length_mm);
  }
  if (f.options.solid_mm) {
    fit.solid_mm = *f.options.solid_mm;
    fit.solid_from = LengthFrom::told;
  } else if (!solid.empty()) {
    fit.solid_mm = mean_length(f.rows, solid).value;
    fit.solid_from = LengthFrom::solid;
  } else {
    fit.solid_mm = shortest;
    fit.solid_from = LengthFrom::shortest;
    note(
        f, "solid-length-guessed",
        fmt::format("no reading shows the coils touching: taken as solid at the shortest reading, {:.1f} mm", shortest),
        "press it until its coils touch, measure, and add --solid-mm MM or that reading");
  }
  if (*fit.solid_mm >= fit.free_mm.value)
    return fail("out-of-range",
                fmt::format("the spring would be solid at {:.1f} mm, but is only {:.1f} mm long when free",
                            *fit.solid_mm, fit.free_mm.value),
                "measure both lengths between the hole centres; give them by --free-mm and --solid-mm");
  if (f.options.solid_mm && shortest < *f.options.solid_mm - ruler_mm)
    note(f, "shorter-than-solid",
         fmt::format("there is a reading at {:.1f} mm, shorter than the solid length of {:.1f} mm", shortest,
                     *f.options.solid_mm),
         "a coil can't be pressed past solid: measure one of the two again");
  return std::nullopt;
}

/// A table of forces in place of the line.
Failed make_law(Fitting& f) {
  SpringFit& fit = f.fit;
  const bool band = fit.kind == SpringKind::band;
  if (fit.free_from == LengthFrom::line)
    return fail("free-length", "a table of forces begins at the free length, which was not measured",
                "measure the unloaded spring between its hole centres and add --free-mm MM");
  if (f.measured_free_mm) {
    fit.free_mm = {*f.measured_free_mm, std::nullopt};
    fit.free_from = f.options.free_mm ? LengthFrom::told : LengthFrom::unloaded;
    std::erase_if(fit.notes, [](const FitNote& each) { return each.code == "slack-start"; });
  }
  fit.free_mm.value = hundredths(fit.free_mm.value);
  double stroke_mm = 0;
  if (band) {
    for (const int i : f.used) stroke_mm = std::max(stroke_mm, hundredths(f.rows.at(i).length_mm - fit.free_mm.value));
  } else {
    fit.solid_mm = hundredths(*fit.solid_mm);
    stroke_mm = hundredths(fit.free_mm.value - *fit.solid_mm);
  }
  const auto law = stroke_mm > 0 ? fit_law(f.rows, f.used, fit.free_mm.value, stroke_mm, band) : std::nullopt;
  if (!law)
    return fail("law", "no table that rises from point to point fits the readings",
                "read the scale at more lengths, in equal steps over the whole stroke, or do without --law");
  fit.law = law->table;
  fit.preload_n.reset();
  if (law->friction) fit.friction_n = law->friction;
  fit.freedoms = std::max(0, static_cast<int>(f.used.size()) - law->parameters);
  return std::nullopt;
}

// ------------------------------------------------------------------------------------ how well it fits

/// What the data found say at every reading, friction with its sign. Refused where that explains no more of the forces
/// than their mean does: 1 - sum of squared residuals / sum of squares about the mean <= 0, Draper and Smith, ch. 1 (from
/// memory).
Failed compare(Fitting& f) {
  SpringFit& fit = f.fit;
  double square = 0, about_mean = 0;
  const double mean_n = f.rows.forces(f.used).mean();
  for (const int i : f.used) about_mean += std::pow(f.rows.at(i).force_n - mean_n, 2);
  for (std::size_t i = 0; i < f.given.readings.size(); ++i) {
    const SpringReading& reading = f.given.readings[i];
    const double plain_n = fit.law ? std::abs(spring_force(force_law(fit), reading.length_mm).push_n)
                                   : on_line(f, reading.length_mm).value;
    const double friction_n = fit.friction_n ? fit.friction_n->value * sign_of(reading.pass) : 0;
    fit.fitted_n.push_back(fit.use[i] == ReadingUse::unloaded ? 0 : plain_n + friction_n);
    if (fit.use[i] == ReadingUse::fitted) square += std::pow(reading.force_n - fit.fitted_n.back(), 2);
  }
  if (fit.law && fit.freedoms > 0) fit.deviation_n = std::sqrt(square / fit.freedoms);
  if (square < about_mean) return std::nullopt;
  return tells_nothing(
      "explains-nothing",
      fmt::format("a {} that is {:.1f} mm long when free explains no more of the readings than their mean does",
                  fit.kind == SpringKind::coil ? "coil" : "band", fit.free_mm.value),
      "check the free length, and that lengths and weights stand in the columns that the header names; read "
      "again over a longer stroke");
}

void remark_on_strays(Fitting& f) {
  for (std::size_t i = 0; i < f.fit.use.size(); ++i) {
    if (f.fit.use[i] != ReadingUse::stray) continue;
    const SpringReading& reading = f.given.readings[i];
    note(f, "stray-reading",
         fmt::format("line {}: {:.1f} mm read {:.0f} g, but the others say {:.0f} g there; it is left out (with it the "
                     "rate would be {:.3g} N/mm)",
                     reading.place.line, reading.length_mm, grams_of(reading.force_n), grams_of(f.fit.fitted_n[i]),
                     *f.fit.rate_with_strays_n_per_mm),
         "compare with what you wrote down; measure that length again");
  }
}

void remark(Fitting& f) {
  SpringFit& fit = f.fit;
  remark_on_strays(f);
  const Bend bend = fit.law ? Bend{} : find_bend(f.rows, f.used, f.line);
  fit.curved = bend.there;
  fit.curve_miss_n = bend.miss_n;
  if (bend.there)
    note(f, "curved", fmt::format("the readings bend: the straight line is up to {:.0f} g off", grams_of(bend.miss_n)),
         "--law writes a table of forces that follows them, in place of rate and preload");
  if (!fit.friction_n && fit.kind == SpringKind::coil) {
    const bool passes_known =
        std::any_of(f.used.begin(), f.used.end(), [&](int i) { return f.rows.at(i).pass != Pass::unknown; });
    note(f, "one-way",
         passes_known
             ? "the readings were taken in one direction only: friction can't be told, and what it is counts as preload"
             : "nothing says which readings were taken pressing and which releasing: friction can't be told",
         "press the spring step by step and release it the same, in order, or add a column 'pass' with pressing or "
         "releasing");
  }
  const double range_n = force_range_n(f.rows, f.used);
  if (!bend.there && fit.deviation_n > noisy_share * range_n)
    note(f, "scatter",
         fmt::format("the readings lie {:.0f} g off the fit, typically: much, over a range of {:.0f} g",
                     grams_of(fit.deviation_n), grams_of(range_n)),
         "guide the spring so that it stays straight, and measure its length at the same two points each time");
  if (fit.freedoms == 0)
    note(f, "too-few-to-judge",
         fmt::format("{} readings are just enough to fit: nothing tells how sure the values are", f.used.size()),
         "take eight readings or more, there and back");
  note_ignored(fit.notes, f.given.ignored);
}

Failed run(Fitting& f) {
  if (auto failed = sort_out(f)) return failed;
  leave_out(f);
  if (auto failed = fit_line(f)) return failed;
  find_free_length(f);
  if (f.fit.kind == SpringKind::coil) {
    find_preload(f);
    if (auto failed = find_solid_length(f)) return failed;
  }
  if (f.options.law)
    if (auto failed = make_law(f)) return failed;
  if (auto failed = compare(f)) return failed;
  remark(f);
  return std::nullopt;
}

}  // namespace

ForceLaw force_law(const SpringFit& fit) {
  if (fit.kind == SpringKind::band)
    return force_law(Band{.free_mm = fit.free_mm.value, .rate_n_per_mm = fit.rate_n_per_mm.value, .law = fit.law});
  return force_law(Coil{.free_mm = fit.free_mm.value,
                        .solid_mm = *fit.solid_mm,
                        .rate_n_per_mm = fit.rate_n_per_mm.value,
                        .preload_n = fit.preload_n ? fit.preload_n->value : 0,
                        .law = fit.law});
}

void note_ignored(std::vector<FitNote>& notes, const std::vector<std::string>& ignored) {
  if (ignored.empty()) return;
  notes.push_back({"ignored",
                   fmt::format("not used: column{} '{}'", ignored.size() == 1 ? "" : "s", fmt::join(ignored, "', '")),
                   ""});
}

FitSpringResult fit_spring(const SpringReadings& readings, const std::string& path, const SpringFitOptions& options) {
  Fitting fitting{readings, options};
  auto failed = run(fitting);
  if (!failed) return {std::move(fitting.fit), {}};
  failed->file_name = path;
  return {std::nullopt, {std::move(*failed)}};
}

}  // namespace ridepitch
