#include "cli/solve_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/findings_text.hpp"
#include "cli/floor_text.hpp"
#include "cli/page.hpp"
#include "cli/quantity_text.hpp"
#include "cli/readings_text.hpp"
#include "cli/slices_text.hpp"
#include "cli/wheel_path_text.hpp"
#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/findings.hpp"
#include "ride/quantity_readers.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

const WheelResult& wheel_at(const Solved& solved, const Figure& wheel) {
  return at(at(solved.solution.corners, wheel.corner).wheels, wheel.wheel);
}

/// "rear left/hub"
std::string name_of(const Solved& solved, const Figure& wheel) { return shown(figure_place(solved.model, wheel)); }

// -------------------------------------------------------------------------------------- the answer

std::string lean_text(const VehicleResult& vehicle) {
  const double too_little_to_see_deg = 0.05;  // it would print as 0.0
  std::vector<std::string> parts;
  const auto add = [&](double angle_deg, std::string_view positive, std::string_view negative) {
    if (std::abs(angle_deg) >= too_little_to_see_deg) {
      parts.push_back(fmt::format("{} {:.1f} degrees down", angle_deg > 0 ? positive : negative, std::abs(angle_deg)));
    }
  };
  add(vehicle.pitch_deg, "nose", "tail");
  add(vehicle.roll_deg, "right side", "left side");
  return parts.empty() ? "level" : joined(parts, ", ");
}

std::string stance_text(const Solved& solved, const std::vector<Figure>& wheels) {
  if (!solved.solution.vehicle) return "on the bench, each linkage alone under its load";
  const auto on_ground = std::count_if(wheels.begin(), wheels.end(), [&](const Figure& wheel) {
    return wheel_at(solved, wheel).state != WheelState::lifted;
  });
  const std::string which = on_ground == static_cast<long>(wheels.size())
                                ? fmt::format("all {} wheels", wheels.size())
                                : fmt::format("{} of its {} wheels", on_ground, wheels.size());
  const std::string ground = ground_words(solved.solution);
  const bool sloping = solved.solution.floor && solved.solution.floor->slope_deg > 0;
  return fmt::format("{}it stands on {}, {}{}", ground.empty() ? "" : ground + ": ", which,
                     lean_text(*solved.solution.vehicle), sloping ? ", as seen from the floor" : "");
}

std::string answer_text(const Solved& solved, const std::vector<Figure>& wheels,
                        const std::vector<MergedFinding>& findings, const Ink& ink) {
  const std::string count = findings_count(findings, solved.notes.size());
  const bool works = findings.empty() || findings[0].finding.level != Level::problem;
  const std::string judgement = count.empty() ? "Nothing was found against it."
                                : works       ? fmt::format("It works; {} at the end.", count)
                                              : fmt::format("It does not work as it is: {} at the end.", count);
  const std::string name = shown(solved.solution.model);
  const std::string text = wrapped(fmt::format("{}: {}. {}", name, stance_text(solved, wheels), judgement), 0);
  const bool name_is_whole = text.compare(0, name.size(), name) == 0;
  return (name_is_whole ? ink.heading(name) + text.substr(name.size()) : text) + "\n";
}

// ------------------------------------------------------------------------------------ by hand

const MeasuredHeight* measured_at(const Solution& solution, int corner) {
  for (const MeasuredHeight& measured : solution.measured) {
    if (measured.corner == corner) return &measured;
  }
  return nullptr;
}

std::string from_to(double from, double to, int decimals) {
  return fmt::format("{} to {}", number(from, decimals), number(to, decimals));
}

/// Where friction can hold a corner: by what is drawn, if that was asked for.
std::string band_text(const CornerResult& corner) {
  if (corner.ruler_band_mm) return from_to((*corner.ruler_band_mm)[0], (*corner.ruler_band_mm)[1], 1);
  if (!corner.pressed_height_mm || !corner.lifted_height_mm) return "-";
  return from_to(*corner.pressed_height_mm, *corner.lifted_height_mm, 1);
}

std::string by_hand_text(const Solved& solved, const std::vector<Figure>& wheels, const TextStyle& style) {
  const bool bench = !solved.solution.vehicle.has_value();
  const Quantity &height = quantity(name::ride_height), &scale = quantity(name::ground_load);
  Table table;
  table.columns = {{"Check by hand", "", "", Align::left},
                   quantity_column(name::ride_height),
                   quantity_column(name::as_built),
                   word_column("likely", "mm"),
                   word_column("sticks between", "mm"),
                   word_column("your ruler", "mm"),
                   word_column("off", "mm"),
                   bench ? word_column("load given", "g") : quantity_column(name::ground_load)};
  double all_n = 0;
  for (const Figure& at_wheel : wheels) {
    const WheelResult& wheel = wheel_at(solved, at_wheel);
    const CornerResult& corner = at(solved.solution.corners, at_wheel.corner);
    all_n += wheel.ground_load_n.value_or(0);
    const bool first = at_wheel.wheel == 0;
    const MeasuredHeight* measured = first ? measured_at(solved.solution, at_wheel.corner) : nullptr;
    Row row = {name_of(solved, at_wheel)};
    add_cells(row, solved, at_wheel, {name::ride_height, name::as_built});
    row.push_back(first && corner.expected_height_mm
                      ? from_to((*corner.expected_height_mm)[0], (*corner.expected_height_mm)[2], 1)
                      : "");
    row.push_back(first ? band_text(corner) : "");
    for (const double value_mm :
         {measured ? measured->measured_mm : 0, measured ? measured->measured_mm - measured->computed_mm : 0})
      row.push_back(measured ? number(height, value_mm) : "");
    row.push_back(number(scale, bench ? wheel.load_n : wheel.ground_load_n));
    table.rows.push_back(std::move(row));
  }
  if (!bench) table.rows.push_back({"all wheels", "", "", "", "", "", "", number(scale, all_n)});
  return sides_text(std::move(table), style);
}

/// What built ones come to, beyond their heights.
std::string built_text(const Solved& solved, const std::vector<Figure>& wheels, const TextStyle& style) {
  if (!solved.solution.drawn) return "";
  Table table;
  table.columns = {{"Built ones, likely", "", "", Align::left},
                   quantity_column(name::bump_travel),
                   quantity_column(name::wheel_rate)};
  const auto cell = [](const std::optional<Likely>& likely, std::string_view of) {
    return likely ? from_to((*likely)[0], (*likely)[2], quantity(of).decimals) : "-";
  };
  for (const Figure& at_wheel : wheels) {
    const WheelResult& wheel = wheel_at(solved, at_wheel);
    table.rows.push_back({name_of(solved, at_wheel), cell(wheel.expected_bump_mm, name::bump_travel),
                          cell(wheel.expected_rate_n_per_mm, name::wheel_rate)});
  }
  std::string text = sides_text(std::move(table), {style.ink, true, style.all});
  if (solved.solution.vehicle && solved.solution.vehicle->expected_pitch_deg)
    text += terms_text({{"pitch", cell(solved.solution.vehicle->expected_pitch_deg, name::pitch) + " deg"}}, Ink{});
  return text;
}

/// What has to be put over a wheel until it bottoms, or what comes first.
std::string weight_text(const WheelResult& wheel) {
  constexpr std::string_view grounds = "grounds: ";
  if (wheel.weight_to_bump_g) return number(quantity(name::weight_to_bump), wheel.weight_to_bump_g);
  if (wheel.weight_to_bump_why.starts_with(grounds))
    return shown(wheel.weight_to_bump_why.substr(grounds.size())) + " grounds";
  return wheel.weight_to_bump_why.empty() ? "-" : wheel.weight_to_bump_why;
}

std::string pressed_text(const Solved& solved, const std::vector<Figure>& wheels, const TextStyle& style) {
  Table table;
  table.columns = {{"Press it down", "", "", Align::left}, word_column("can be pressed", "mm"),
                   word_column("by a weight of", "g"),     quantity_column(name::sink_100g),
                   quantity_column(name::break_out),       quantity_column(name::set_down_height)};
  for (const Figure& at_wheel : wheels) {
    const WheelResult& wheel = wheel_at(solved, at_wheel);
    Row row = {name_of(solved, at_wheel)};
    add_cells(row, solved, at_wheel, {name::bump_travel});
    row.push_back(weight_text(wheel));
    add_cells(row, solved, at_wheel, {name::sink_100g, name::break_out, name::set_down_height});
    table.rows.push_back(std::move(row));
  }
  return sides_text(std::move(table), style);
}

/// "pin_play_mm 0.05, pin_mu 0.2": what the file does not give.
std::string assumed_text(const Model& model, bool with_ranges) {
  std::vector<std::string> assumed;
  const auto add = [&](const char* key, const Assumable& number) {
    if (!number.given) assumed.push_back(fmt::format("{} {:g}", key, number.value));
  };
  add("pin_play_mm", model.spread.pin_play_mm);
  add("pin_mu", model.friction.pin_mu);
  add("pin_radius_mm", model.friction.pin_radius_mm);
  if (with_ranges) {
    add("coil_rate_percent", model.spread.coil_rate_percent);
    add("coil_length_mm", model.spread.coil_length_mm);
    add("batch_percent", model.spread.batch_percent);
    add("mass_percent", model.spread.mass_percent);
    add("tyre_rate_percent", model.spread.tyre_rate_percent);
  }
  if (assumed.empty()) return "";
  return wrapped("Assumed, until [friction] and [spread] say otherwise: " + joined(assumed, ", ") +
                     ". docs/as-built.md tells how to measure them.",
                 0) +
         "\n";
}

/// What stands behind the ranges.
std::string drawn_text(const Solution& solution) {
  if (!solution.drawn) return "";
  std::string text = fmt::format("Likely: 8 of 10 built models, by {} drawn ones", solution.drawn->vehicles);
  if (!solution.drawn->why_general.empty())
    text += fmt::format(", each by the general solver since {}", solution.drawn->why_general);
  return wrapped(text + ".", 0) + "\n";
}

// ------------------------------------------------------------------------------------ wheels

std::string bump_end_text(const WheelResult& wheel) {
  if (wheel.bump_end.empty()) return "-";
  if (wheel.bump_end_links.empty()) return shown(wheel.bump_end);
  return shown(fmt::format("{} ({})", wheel.bump_end, joined(wheel.bump_end_links, ", ")));
}

std::string travel_text(const Solved& solved, const std::vector<Figure>& wheels, const TextStyle& style) {
  const std::vector<std::string_view> numbers = {name::sag, name::bump_travel, name::bump_total, name::toggle_margin,
                                                 name::coil_margin};
  Table table;
  table.columns = {{"Travel", "", "", Align::left}, word_column("state", "", "state", Align::left)};
  add_columns(table, numbers);
  table.columns.push_back(word_column("droop ends at", "", "droop ends at", Align::left));
  table.columns.push_back(word_column("bump ends at", "", "bump ends at", Align::left));
  for (const Figure& at_wheel : wheels) {
    const WheelResult& wheel = wheel_at(solved, at_wheel);
    Row row = {name_of(solved, at_wheel), std::string(state_name(wheel.state))};
    add_cells(row, solved, at_wheel, numbers);
    row.push_back(wheel.droop_end.empty() ? "-" : shown(wheel.droop_end));
    row.push_back(bump_end_text(wheel));
    table.rows.push_back(std::move(row));
  }
  return sides_text(std::move(table), style);
}

std::string stiffness_text(const Solved& solved, const std::vector<Figure>& wheels, const TextStyle& style) {
  const std::vector<std::string_view> numbers = {name::load, name::bump_load, name::reserve, name::motion_ratio,
                                                 name::wheel_rate};
  Table table;
  table.columns = {{"Stiffness", "", "", Align::left}};
  add_columns(table, numbers);
  table.columns.push_back({"", "g/mm"});
  add_columns(table, {name::frequency});
  for (const Figure& at_wheel : wheels) {
    Row row = {name_of(solved, at_wheel)};
    add_cells(row, solved, at_wheel, numbers);
    row.push_back(number(grams_of(wheel_at(solved, at_wheel).wheel_rate_n_per_mm), 1));
    add_cells(row, solved, at_wheel, {name::frequency});
    table.rows.push_back(std::move(row));
  }
  return sides_text(std::move(table), style);
}

/// Forces at the wheels of a corner as each of them rises, its wheels in the first row; corners that show the same digits
/// share a table.
std::vector<Grouped<std::vector<Row>>> rate_tables(const Solution& solution) {
  std::vector<Grouped<std::vector<Row>>> tables;
  for (const CornerResult& corner : solution.corners) {
    const std::size_t n = corner.wheels.size();
    if (n < 2 || corner.wheel_rate_matrix_n_per_mm.size() != n * n) continue;
    std::vector<Row> rows(1);
    for (std::size_t i = 0; i < n; ++i) {
      rows[0].push_back(shown(corner.wheels[i].name));
      Row row = {"at " + rows[0].back()};
      for (std::size_t j = 0; j < n; ++j) row.push_back(number(corner.wheel_rate_matrix_n_per_mm[i * n + j], 3));
      rows.push_back(std::move(row));
    }
    add_to(tables, rows, shown(corner.name));
  }
  return tables;
}

std::string rate_tables_text(const Solution& solution, const TextStyle& style) {
  std::string text;
  for (const auto& [rows, corners] : rate_tables(solution)) {
    Table table;
    table.columns = {{"Rates of " + joined(corners, ", "), "N/mm", "", Align::left}};
    for (const std::string& wheel : rows[0]) table.columns.push_back({wheel, "rises"});
    table.rows.assign(rows.begin() + 1, rows.end());
    text += (text.empty() ? "" : "\n") + table_text(std::move(table), style);
    if (!style.terse) text += terms_text({{"rises", std::string(meaning_of("rises"))}}, style.ink);
  }
  return text;
}

// ------------------------------------------------------------------------------------ vehicle

std::string mode_text(const Mode& mode, bool with_centre) {
  std::string text = number(quantity(name::bounce_frequency), mode.frequency_hz) + " Hz";
  if (mode.centre_modules && with_centre)
    text += fmt::format(", about a point at x = {} modules", number(mode.centre_modules, 1));
  return text;
}

std::string vehicle_text(const Solved& solved, const TextStyle& style) {
  if (!solved.solution.vehicle) return "";
  const VehicleResult& vehicle = *solved.solution.vehicle;
  const Vec3 cg = vehicle.cg_mm / solved.model.module_mm;
  const auto text_of = [&](std::string_view name) {
    const Quantity& what = quantity(name);
    return number(what, value_of(solved.model, solved.solution, {&what}));
  };
  std::vector<Term> lines = {
      {"mass",
       fmt::format("{} g on the springs, {} g with the wheels", text_of(name::mass), text_of(name::total_mass))},
      {"its centre", fmt::format("x {}, y {}, z {} modules, of what the springs carry", number(cg.x(), 2),
                                 number(cg.y(), 2), number(cg.z(), 2))},
      {"attitude", fmt::format("pitch {} deg (nose down positive), roll {} deg (right side down positive)",
                               text_of(name::pitch), text_of(name::roll))}};
  for (const Mode& mode : vehicle.modes) lines.push_back({mode.name, mode_text(mode, style.all)});
  if (vehicle.modes.empty()) {
    lines.push_back({"modes", "none: the masses have no size, or stops leave the body less than three freedoms"});
  }
  if (vehicle.lean_deg_per_0_1_g)
    lines.push_back({"in a bend of 0.1 g",
                     fmt::format("leans {} deg outward, {} N go over to the outer wheels; {} of the "
                                 "roll stiffness is in front",
                                 text_of(name::lean), text_of(name::load_transfer), text_of(name::roll_share))});
  std::string text = style.ink.heading("Vehicle") + "\n" + terms_text(lines, Ink{});
  if (!style.terse && !vehicle.modes.empty()) {
    text += terms_text({{"bounce, pitch, roll", std::string(meaning_of("modes"))}}, style.ink);
  }
  return text;
}

std::string full_size_text(const Solution& solution, const TextStyle& style) {
  if (!solution.full_size) return "";
  const FullSize& full_size = *solution.full_size;
  std::vector<Term> lines = {{"scale", fmt::format("1 : {}, by the tyres", number(full_size.scale, 2))}};
  for (const FullSizeLength& length : full_size.lengths)
    lines.push_back(
        {shown(length.name),
         fmt::format("{} mm of the model are {} mm; the original has {} mm: off by {} %", number(length.model_mm, 1),
                     number(length.scaled_mm, 0), number(length.original_mm, 0), number(length.off_percent, 1))});
  for (const Mode& mode : full_size.modes)
    lines.push_back({mode.name, number(quantity(name::bounce_frequency), mode.frequency_hz) + " Hz"});
  return style.ink.heading("Full size") + "\n" + terms_text(lines, Ink{});
}

std::string clearance_text(const Solution& solution, const TextStyle& style) {
  Table table;
  table.columns = {{"Clearance", "", "", Align::left}, quantity_column(name::clearance)};
  for (const ClearanceResult& point : solution.clearances) {
    table.rows.push_back({shown(point.name), number(quantity(name::clearance), point.height_mm)});
  }
  return table.rows.empty() ? "" : table_text(table, style);
}

// ------------------------------------------------------------------------------------ parts

std::string motion_ratio_text(const SpringResult& spring) {
  std::vector<std::string> parts;
  for (const auto& [wheel, ratio] : spring.motion_ratio) {
    if (ratio)
      parts.push_back(spring.motion_ratio.size() == 1 ? number(ratio, 3) : shown(wheel) + " " + number(ratio, 3));
  }
  return parts.empty() ? "" : "motion ratio " + joined(parts, ", ");
}

std::string rod_text(double force_n) {
  const double nothing_n = 0.005;  // it would print as 0.00
  if (std::abs(force_n) < nothing_n) return "unloaded";
  return force_n > 0 ? "squeezed" : "stretched";
}

/// Of the pins that carry no more than that.
double greatest_pin_n(const CornerResult& corner, double most_n) {
  double greatest = 0;
  for (const PinResult& pin : corner.pins)
    if (pin.force_n <= most_n) greatest = std::max(greatest, pin.force_n);
  return greatest;
}

/// The rows of everything that carries a force in one corner.
std::vector<Row> part_rows(const CornerResult& corner, bool all_pins) {
  std::vector<Row> rows;
  for (const SpringResult& spring : corner.springs) {
    const std::string name = "spring " + shown(spring.name);
    if (spring.torque_n_mm) {
      rows.push_back({name, "-", "-", "-",
                      fmt::format("turned to {} deg, torque {} N mm", number(spring.angle_deg, 1),
                                  number(spring.torque_n_mm, 1))});
    } else {
      rows.push_back({name, number(spring.length_mm, 1), number(spring.force_n, 2), number(spring.total_force_n, 2),
                      motion_ratio_text(spring)});
    }
  }
  for (const RodResult& rod : corner.rods) {
    rows.push_back({"rod " + shown(rod.name), "", number(std::abs(rod.force_n), 2), "", rod_text(rod.force_n)});
  }
  const double most_n = FindingLimits{}.pin_force_n;
  const bool more =
      std::any_of(corner.pins.begin(), corner.pins.end(), [&](const PinResult& pin) { return pin.force_n <= most_n; });
  for (const PinResult& pin : corner.pins)
    if (all_pins || pin.force_n > most_n)
      rows.push_back({"pin " + shown(pin.name), "", number(pin.force_n, 2), "", ""});
  if (!all_pins && more && !rows.empty())
    rows.push_back({"other pins", "", number(greatest_pin_n(corner, most_n), 2), "", "the greatest; --all lists them"});
  return rows;
}

std::string parts_text(const Solved& solved, const TextStyle& style) {
  std::vector<Grouped<std::vector<Row>>> groups;  // corners whose parts carry the same, to the last digit shown
  for (std::size_t c = 0; c < solved.solution.corners.size(); ++c) {
    const CornerResult& corner = solved.solution.corners[c];
    const Linkage& linkage = at(solved.model.linkages, solved.model.corners[c].linkage);
    if (linkage.plane == Plane::top && linkage.springs.empty()) continue;  // it steers, and carries nothing
    const std::vector<Row> rows = part_rows(corner, style.all);
    if (!rows.empty()) add_to(groups, rows, shown(corner.name));
  }
  Table table;
  table.columns = {{"Forces in the parts", "", "", Align::left}};
  add_columns(table, {name::spring_length, name::spring_force, name::total_force});
  table.columns.push_back({"", "", "", Align::left});
  for (const auto& [rows, corners] : groups) {
    table.rows.push_back({joined(corners, ", ")});
    for (Row row : rows) {
      row[0] = "  " + row[0];
      table.rows.push_back(std::move(row));
    }
  }
  return table.rows.empty() ? "" : table_text(table, style);
}

}  // namespace

std::string solve_text(const Solved& solved, const TextStyle& style) {
  const std::vector<Figure> wheels = wheels_of(solved.model);
  const std::vector<MergedFinding> findings = merged_findings(solved.solution.findings);
  std::string text = answer_text(solved, wheels, findings, style.ink);
  for (const std::string& part :
       {by_hand_text(solved, wheels, style), pressed_text(solved, wheels, style), built_text(solved, wheels, style),
        causes_text(solved, style), weighing_text(solved, style), floor_text(solved, style),
        travel_text(solved, wheels, style), stiffness_text(solved, wheels, style),
        rate_tables_text(solved.solution, style), wheel_paths_text(solved, style), vehicle_text(solved, style),
        full_size_text(solved.solution, style), clearance_text(solved.solution, style), parts_text(solved, style),
        slices_text(solved, style), findings_text(findings, solved.notes, style.ink)}) {
    if (!part.empty()) text += "\n" + part;
  }
  text += "\n" + drawn_text(solved.solution) + assumed_text(solved.model, solved.solution.drawn.has_value());
  text +=
      wrapped("Twist and bending of the beams are not counted: usually another 1 to 2 mm lower (common practice).", 0) +
      "\n";
  return text;
}

}  // namespace ridepitch
