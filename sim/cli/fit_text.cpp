#include "cli/fit_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/character_plot.hpp"
#include "fit/part_text.hpp"
#include "model/units.hpp"
#include "spring/force_law.hpp"

namespace ridepitch {
namespace {

/// A value with so many decimals that its error shows two digits, but no fewer than it is measured to.
int decimals_of(const Estimate& estimate, int least, int most) {
  if (!estimate.standard_error || !(*estimate.standard_error > 0)) return least;
  return std::clamp(static_cast<int>(1 - std::floor(std::log10(*estimate.standard_error))), least, most);
}

Row value_row(const std::string& name, const Estimate& estimate, const char* unit, int least_decimals,
              const std::string& how) {
  const int decimals = decimals_of(estimate, least_decimals, least_decimals + 2);
  return {name, number(estimate.value, decimals), number(estimate.standard_error, decimals), unit, how};
}

std::string notes_text(const std::vector<FitNote>& notes, const Ink& ink) {
  if (notes.empty()) return "";
  std::string text = ink.heading("Worth knowing") + "\n";
  const int indent = 2;
  for (const FitNote& note : notes) {
    text += fmt::format("  {}\n", wrapped(fmt::format("{}: {}", note.code, shown(note.text)), indent));
    if (!note.remedy.empty()) text += fmt::format("    try: {}\n", wrapped(note.remedy, indent + 2 + 5));
  }
  return text;
}

std::string part_block(const FittedPart& part, const Ink& ink) {
  std::string heading = "To paste into a catalogue";
  if (!part.added_to.empty()) {
    heading = fmt::format("{} '{}' in {}", part.replaced ? "Put in place of the old" : "Added as", shown(part.name),
                          shown(part.added_to));
  }
  return ink.heading(heading) + "\n\n" + part.toml;
}

// ------------------------------------------------------------------------------------ a spring by itself

std::string from_text(LengthFrom from, bool coil) {
  return (coil && from == LengthFrom::line ? "a guess: " : "") + std::string(said_of(from).words);
}

std::string spring_answer(const FittedSpring& fitted) {
  const SpringFit& fit = fitted.fit;
  const bool coil = fit.kind == SpringKind::coil;
  std::string text = fmt::format("{}: a {}", shown(fitted.file), coil ? "coil" : "band");
  text += fit.law ? fmt::format(" that {} as a table of {} points says", coil ? "pushes" : "pulls", fit.law->size())
                  : fmt::format(" of {} N/mm ({} g/mm)", number(fit.rate_n_per_mm.value, 3),
                                number(grams_of(fit.rate_n_per_mm.value), 1));
  text += fmt::format(", {:.1f} mm long when free", fit.free_mm.value);
  if (coil) text += fmt::format(" and {:.1f} mm when solid", *fit.solid_mm);
  if (fit.preload_n) text += fmt::format(", preload {:.2f} N", fit.preload_n->value);
  if (fit.friction_n) text += fmt::format(", friction {:.2f} N", fit.friction_n->value);
  const auto left_out = std::count(fit.use.begin(), fit.use.end(), ReadingUse::stray);
  if (left_out > 0) text += fmt::format("; {} reading{} left out", left_out, left_out == 1 ? "" : "s");
  return wrapped(text + ".", 0) + "\n";
}

std::string spring_values(const FittedSpring& fitted, const TextStyle& style) {
  const SpringFit& fit = fitted.fit;
  const bool coil = fit.kind == SpringKind::coil;
  Table table;
  table.columns = {text_column("Spring data"),
                   {"value"},
                   word_column("give or take", ""),
                   text_column(),
                   text_column("how it is known")};
  const auto counted = std::count(fit.use.begin(), fit.use.end(), ReadingUse::fitted);
  const std::string fitted_to = fmt::format("fitted to {} readings", counted);
  table.rows.push_back(
      value_row("rate", fit.rate_n_per_mm, "N/mm", 3, fit.law ? "of the straight line nearest to them" : fitted_to));
  if (fit.preload_n)
    table.rows.push_back(value_row("preload", *fit.preload_n, "N", 2,
                                   fit.preload_n->value == 0 ? "none taken" : "the line at the free length"));
  if (fit.friction_n)
    table.rows.push_back(
        value_row("friction", *fit.friction_n, "N", 2, "half the difference between the two directions"));
  table.rows.push_back(value_row("free length", fit.free_mm, "mm", 1, from_text(fit.free_from, coil)));
  if (coil)
    table.rows.push_back(
        value_row("solid length", {*fit.solid_mm, std::nullopt}, "mm", 1, from_text(fit.solid_from, coil)));
  if (fit.freedoms > 0)
    table.rows.push_back(value_row("a reading", {grams_of(fit.deviation_n), std::nullopt}, "g", 1,
                                   "how far it lies off what is fitted, typically"));
  return table_text(std::move(table), style);
}

const char* pass_text(Pass pass, bool coil) {
  if (pass == Pass::more) return coil ? "pressing" : "stretching";
  if (pass == Pass::less) return coil ? "releasing" : "relaxing";
  return "";
}

std::string readings_text(const FittedSpring& fitted, const TextStyle& style) {
  const bool coil = fitted.fit.kind == SpringKind::coil;
  Table table;
  table.columns = {text_column("Readings"),
                   {"length", "mm"},
                   word_column("scale read", "g"),
                   word_column("fitted", "g"),
                   word_column("off", "g"),
                   text_column(),
                   text_column()};
  for (std::size_t i = 0; i < fitted.readings.readings.size(); ++i) {
    const SpringReading& reading = fitted.readings.readings[i];
    const ReadingUse use = fitted.fit.use[i];
    const bool compared = use == ReadingUse::fitted || use == ReadingUse::stray;
    const double fitted_g = grams_of(fitted.fit.fitted_n[i]), read_g = grams_of(reading.force_n);
    table.rows.push_back({fmt::format("line {}", reading.place.line), number(reading.length_mm, 1), number(read_g, 0),
                          compared ? number(fitted_g, 0) : "", compared ? number(read_g - fitted_g, 0) : "",
                          pass_text(reading.pass, coil), said_of(use).words});
  }
  return table_text(std::move(table), style);
}

/// Friction-free force over the length, from the shortest to the longest reading.
std::vector<Vec2> force_curve(const FittedSpring& fitted) {
  const SpringFit& fit = fitted.fit;
  const ForceLaw law = force_law(fit);
  const auto by_length = [](const SpringReading& a, const SpringReading& b) { return a.length_mm < b.length_mm; };
  const auto [shortest, longest] =
      std::minmax_element(fitted.readings.readings.begin(), fitted.readings.readings.end(), by_length);
  const int steps = 100;
  std::vector<Vec2> curve;
  for (int i = 0; i <= steps; ++i) {
    double length_mm = shortest->length_mm + (longest->length_mm - shortest->length_mm) * i / steps;
    if (fit.kind == SpringKind::coil && (length_mm < *fit.solid_mm - 1e-9 || length_mm > fit.free_mm.value + 1e-9))
      continue;
    curve.emplace_back(length_mm, grams_of(std::abs(spring_force(law, length_mm).push_n)));
  }
  return curve;
}

std::string spring_plot(const FittedSpring& fitted, const Ink& ink) {
  const bool coil = fitted.fit.kind == SpringKind::coil;
  Plot plot{"Force over length", "mm", "g", {}, force_curve(fitted), "fitted, without friction"};
  plot.series = {{'+', "read", {}},
                 {'o', pass_text(Pass::more, coil), {}},
                 {'x', pass_text(Pass::less, coil), {}},
                 {'u', "not moved yet", {}},
                 {'s', "coils touch: more than shown", {}, true},
                 {'!', "left out", {}}};
  for (std::size_t i = 0; i < fitted.readings.readings.size(); ++i) {
    const SpringReading& reading = fitted.readings.readings[i];
    std::size_t series = reading.pass == Pass::more ? 1 : reading.pass == Pass::less ? 2 : 0;
    if (fitted.fit.use[i] == ReadingUse::unloaded) series = 3;
    if (fitted.fit.use[i] == ReadingUse::solid) series = 4;
    if (fitted.fit.use[i] == ReadingUse::stray) series = 5;
    plot.series[series].points.emplace_back(reading.length_mm, grams_of(reading.force_n));
  }
  return plot_text(plot, ink);
}

// ------------------------------------------------------------------------------------ heights of a vehicle

std::string unknown_text(const HeightFit& fit, std::size_t i) {
  const double found = fit.found[i].value;
  if (fit.unknowns[i] == Unknown::free_length) return fmt::format("{:.1f} mm long when free", found);
  if (fit.unknowns[i] == Unknown::preload) return fmt::format("preload {:.2f} N", found);
  return has_law(fit.before) ? fmt::format("its forces times {:.3f}", found)
                             : fmt::format("{} N/mm ({} g/mm)", number(found, 3), number(grams_of(found), 1));
}

/// "spring arm/main (coil-7-firm)"
std::string spring_name(const HeightFit& fit) {
  return shown(fit.part.empty() ? fmt::format("spring {}", fit.name)
                                : fmt::format("spring {} ({})", fit.name, fit.part));
}

std::string heights_answer(const FittedHeights& fitted) {
  const HeightFit& fit = fitted.fit;
  std::vector<std::string> values;
  for (std::size_t i = 0; i < fit.unknowns.size(); ++i) values.push_back(unknown_text(fit, i));
  double before = 0, after = 0;
  for (const HeightMatch& match : fit.matches) {
    before = std::max(before, std::abs(match.before_mm - match.measured_mm));
    after = std::max(after, std::abs(match.after_mm - match.measured_mm));
  }
  const std::string what = fmt::format("{}: {}", shown(fitted.model.name), spring_name(fit));
  if (!fit.explains)
    return wrapped(
               fmt::format("{} explains nothing: with the file's values the heights are up to {:.1f} mm off, and {} "
                           "does no better, up to {:.1f} mm. Keep the file's.",
                           what, before, joined(values, ", "), after),
               0) +
           "\n";
  return wrapped(fmt::format("{} explains the heights best with {}. They were up to {:.1f} mm off, and are now up to "
                             "{:.1f} mm.",
                             what, joined(values, ", "), before, after),
                 0) +
         "\n";
}

std::string heights_values(const FittedHeights& fitted, const TextStyle& style) {
  const HeightFit& fit = fitted.fit;
  Table table;
  table.columns = {
      text_column("Spring data"), {"in the file"}, {"fitted"}, word_column("give or take", ""), text_column()};
  for (std::size_t i = 0; i < fit.unknowns.size(); ++i) {
    const UnknownWords words = words_of(fit.unknowns[i], has_law(fit.before));
    const int decimals = decimals_of(fit.found[i], words.decimals, words.decimals + 2);
    table.rows.push_back({words.name, number(value_of(fit.before, fit.unknowns[i]), decimals),
                          number(fit.found[i].value, decimals), number(fit.found[i].standard_error, decimals),
                          words.unit});
  }
  return table_text(std::move(table), style);
}

std::string matches_text(const FittedHeights& fitted, const TextStyle& style) {
  Table table;
  table.columns = {text_column("Ride heights"),         word_column("extra", "g"),   word_column("your ruler", "mm"),
                   word_column("as in the file", "mm"), word_column("fitted", "mm"), word_column("off", "mm")};
  for (const HeightMatch& match : fitted.fit.matches) {
    const HeightRow& row = fitted.readings.rows[static_cast<std::size_t>(match.row)];
    const std::string corner = shown(fitted.model.corners[static_cast<std::size_t>(match.corner)].name);
    table.rows.push_back({fmt::format("line {}, {}", row.place.line, corner), number(row.extra_kg / kg_per_g, 0),
                          number(match.measured_mm, 1), number(match.before_mm, 1), number(match.after_mm, 1),
                          number(match.measured_mm - match.after_mm, 1)});
  }
  return table_text(std::move(table), style);
}

}  // namespace

Said said_of(LengthFrom from) {
  constexpr Said all[] = {{"given", "given"},  // in the order of LengthFrom
                          {"unloaded", "read unloaded"},
                          {"solid", "read with its coils touching"},
                          {"line", "where the line meets 0 g"},
                          {"push", "from where on it pushes, by the line"},
                          {"shortest", "a guess: the shortest reading"}};
  return all[static_cast<std::size_t>(from)];
}

Said said_of(ReadingUse use) {
  constexpr Said all[] = {{"fitted", ""},  // in the order of ReadingUse
                          {"unloaded", "not moved yet"},
                          {"solid", "coils touch"},
                          {"stray", "left out: far off the others"}};
  return all[static_cast<std::size_t>(use)];
}

UnknownWords words_of(Unknown unknown, bool law) {
  if (unknown == Unknown::free_length) return {"free_mm", "free length", "mm", 1};
  if (unknown == Unknown::preload) return {"preload_n", "preload", "N", 2};
  return law ? UnknownWords{"law_factor", "forces, times", "", 3} : UnknownWords{"rate_n_per_mm", "rate", "N/mm", 3};
}

std::string fit_text(const FittedSpring& fitted, const FittedPart& part, const TextStyle& style) {
  return blocks({spring_answer(fitted), spring_values(fitted, style), spring_plot(fitted, style.ink),
                 readings_text(fitted, style), notes_text(fitted.fit.notes, style.ink), part_block(part, style.ink)});
}

std::string fit_text(const FittedHeights& fitted, const FittedPart& part, const TextStyle& style) {
  return blocks({heights_answer(fitted), heights_values(fitted, style), matches_text(fitted, style),
                 notes_text(fitted.fit.notes, style.ink), part_block(part, style.ink)});
}

}  // namespace ridepitch
