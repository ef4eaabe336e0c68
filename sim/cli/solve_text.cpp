#include "cli/solve_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/findings_text.hpp"
#include "cli/floor_text.hpp"
#include "cli/page.hpp"
#include "cli/readings_text.hpp"
#include "cli/wheel_path_text.hpp"
#include "model/model.hpp"
#include "model/units.hpp"
#include "ride/state_name.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

constexpr double grams_per_kg = 1000;

/// What a kitchen scale shows for a force.
/// A wheel that carries something; wheels of a top linkage are only steered by it.
struct WheelRow {
  const CornerResult* corner = nullptr;
  const WheelResult* wheel = nullptr;
  int corner_index = 0;
  bool first = false;  ///< of its corner: shows what belongs to the corner
  std::string name;    ///< "rear left/hub"
};

std::vector<WheelRow> wheel_rows(const Solved& solved) {
  std::vector<WheelRow> rows;
  for (std::size_t c = 0; c < solved.solution.corners.size(); ++c) {
    const auto linkage = static_cast<std::size_t>(solved.model.corners[c].linkage);
    if (solved.model.linkages[linkage].plane == Plane::top) continue;
    const CornerResult& corner = solved.solution.corners[c];
    for (const WheelResult& wheel : corner.wheels) {
      rows.push_back({&corner, &wheel, static_cast<int>(c), &wheel == &corner.wheels.front(),
                      shown(corner.name + "/" + wheel.name)});
    }
  }
  return rows;
}

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

std::string stance_text(const Solved& solved, const std::vector<WheelRow>& rows) {
  if (!solved.solution.vehicle) return "on the bench, each linkage alone under its load";
  const auto on_ground = std::count_if(rows.begin(), rows.end(),
                                       [](const WheelRow& row) { return row.wheel->state != WheelState::lifted; });
  const std::string wheels = on_ground == static_cast<long>(rows.size())
                                 ? fmt::format("all {} wheels", rows.size())
                                 : fmt::format("{} of its {} wheels", on_ground, rows.size());
  const std::string ground = ground_words(solved.solution);
  const bool sloping = solved.solution.floor && solved.solution.floor->slope_deg > 0;
  return fmt::format("{}it stands on {}, {}{}", ground.empty() ? "" : ground + ": ", wheels,
                     lean_text(*solved.solution.vehicle), sloping ? ", as seen from the floor" : "");
}

std::string answer_text(const Solved& solved, const std::vector<WheelRow>& rows,
                        const std::vector<MergedFinding>& findings, const Ink& ink) {
  const std::string count = findings_count(findings, solved.notes.size());
  const bool works = findings.empty() || findings[0].finding.level != Level::problem;
  const std::string judgement = count.empty() ? "Nothing was found against it."
                                : works       ? fmt::format("It works; {} at the end.", count)
                                              : fmt::format("It does not work as it is: {} at the end.", count);
  const std::string name = shown(solved.solution.model);
  const std::string text = wrapped(fmt::format("{}: {}. {}", name, stance_text(solved, rows), judgement), 0);
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

std::string by_hand_text(const Solved& solved, const std::vector<WheelRow>& rows, const TextStyle& style) {
  const bool bench = !solved.solution.vehicle.has_value();
  Table table;
  table.columns = {{"Check by hand", "", "", Align::left},
                   word_column("ride height", "mm"),
                   word_column("your ruler", "mm"),
                   word_column("off", "mm"),
                   word_column(bench ? "load given" : "scale reads", "g"),
                   word_column("can be pressed", "mm"),
                   word_column("by a weight of", "g")};
  double all_n = 0;
  for (const WheelRow& row : rows) {
    const WheelResult& wheel = *row.wheel;
    std::optional<double> more_n;  // on its stop already, no weight presses it farther
    if (wheel.bump_load_n && wheel.load_n && *wheel.bump_load_n >= *wheel.load_n)
      more_n = *wheel.bump_load_n - *wheel.load_n;
    all_n += wheel.ground_load_n.value_or(0);
    const MeasuredHeight* measured = row.first ? measured_at(solved.solution, row.corner_index) : nullptr;
    table.rows.push_back({row.name, row.first ? number(row.corner->ride_height_mm, 1) : "",
                          measured ? number(measured->measured_mm, 1) : "",
                          measured ? number(measured->measured_mm - measured->computed_mm, 1) : "",
                          number(grams_of(bench ? wheel.load_n : wheel.ground_load_n), 0),
                          number(wheel.bump_travel_mm, 1), number(grams_of(more_n), 0)});
  }
  if (!bench) table.rows.push_back({"all wheels", "", "", "", number(grams_of(all_n), 0), "", ""});
  return table_text(table, style);
}

// ------------------------------------------------------------------------------------ wheels

std::string bump_end_text(const WheelResult& wheel) {
  if (wheel.bump_end.empty()) return "-";
  if (wheel.bump_end_links.empty()) return shown(wheel.bump_end);
  return shown(fmt::format("{} ({})", wheel.bump_end, joined(wheel.bump_end_links, ", ")));
}

std::string travel_text(const std::vector<WheelRow>& rows, const TextStyle& style) {
  Table table;
  table.columns = {{"Travel", "", "", Align::left},
                   word_column("state", "", "state", Align::left),
                   word_column("sag", "mm"),
                   word_column("bump", "mm"),
                   word_column("travel", "mm"),
                   word_column("toggle", "deg", "toggle margin"),
                   word_column("coil", "deg", "coil margin"),
                   word_column("droop ends at", "", "droop ends at", Align::left),
                   word_column("bump ends at", "", "bump ends at", Align::left)};
  for (const WheelRow& row : rows) {
    const WheelResult& wheel = *row.wheel;
    table.rows.push_back({row.name, std::string(state_name(wheel.state)), number(wheel.sag_mm, 1),
                          number(wheel.bump_travel_mm, 1), number(wheel.bump_total_mm, 1),
                          row.first ? number(row.corner->toggle_margin_deg, 1) : "",
                          row.first ? number(row.corner->coil_margin_deg, 1) : "",
                          wheel.droop_end.empty() ? "-" : shown(wheel.droop_end), bump_end_text(wheel)});
  }
  return table_text(table, style);
}

std::string stiffness_text(const std::vector<WheelRow>& rows, const TextStyle& style) {
  Table table;
  table.columns = {{"Stiffness", "", "", Align::left},
                   word_column("load", "N"),
                   word_column("bump load", "N"),
                   word_column("reserve", ""),
                   word_column("motion ratio", ""),
                   word_column("wheel rate", "N/mm"),
                   {"", "g/mm"},
                   word_column("frequency", "Hz")};
  for (const WheelRow& row : rows) {
    const WheelResult& wheel = *row.wheel;
    table.rows.push_back({row.name, number(wheel.load_n, 2), number(wheel.bump_load_n, 2), number(wheel.reserve, 2),
                          number(wheel.motion_ratio, 3), number(wheel.wheel_rate_n_per_mm, 3),
                          number(grams_of(wheel.wheel_rate_n_per_mm), 1), number(wheel.frequency_hz, 2)});
  }
  return table_text(table, style);
}

/// Forces at the wheels of a corner as each of them rises; corners that show the same digits share a table.
struct RateTable {
  std::vector<std::string> corners;
  std::vector<std::string> wheels;
  std::vector<Row> rows;
};

std::vector<RateTable> rate_tables(const Solution& solution) {
  std::vector<RateTable> tables;
  for (const CornerResult& corner : solution.corners) {
    const std::size_t n = corner.wheels.size();
    if (n < 2 || corner.wheel_rate_matrix_n_per_mm.size() != n * n) continue;
    RateTable table{{shown(corner.name)}, {}, {}};
    for (std::size_t i = 0; i < n; ++i) {
      table.wheels.push_back(shown(corner.wheels[i].name));
      Row row = {"at " + table.wheels.back()};
      for (std::size_t j = 0; j < n; ++j) row.push_back(number(corner.wheel_rate_matrix_n_per_mm[i * n + j], 3));
      table.rows.push_back(std::move(row));
    }
    const auto same =
        std::find_if(tables.begin(), tables.end(), [&](const RateTable& other) { return other.rows == table.rows; });
    if (same != tables.end()) {
      same->corners.push_back(table.corners.front());
    } else {
      tables.push_back(std::move(table));
    }
  }
  return tables;
}

std::string rate_tables_text(const Solution& solution, const TextStyle& style) {
  std::string text;
  for (const RateTable& rates : rate_tables(solution)) {
    Table table;
    table.columns = {{"Rates of " + joined(rates.corners, ", "), "N/mm", "", Align::left}};
    for (const std::string& wheel : rates.wheels) table.columns.push_back({wheel, "rises"});
    table.rows = rates.rows;
    text += (text.empty() ? "" : "\n") + table_text(std::move(table), style);
    if (!style.terse) {
      text += terms_text({{"rises", std::string(meaning_of("rises"))}}, style.ink);
    }
  }
  return text;
}

// ------------------------------------------------------------------------------------ vehicle

std::string mode_text(const Mode& mode) {
  std::string text = fmt::format("{} Hz", number(mode.frequency_hz, 2));
  if (mode.centre_modules) text += fmt::format(", about a point at x = {} modules", number(mode.centre_modules, 1));
  return text;
}

std::string vehicle_text(const Solved& solved, const TextStyle& style) {
  if (!solved.solution.vehicle) return "";
  const VehicleResult& vehicle = *solved.solution.vehicle;
  const Vec3 cg = vehicle.cg_mm / solved.model.module_mm;
  std::vector<Term> lines = {
      {"mass", fmt::format("{} g on the springs, {} g with the wheels", number(vehicle.mass_kg * grams_per_kg, 0),
                           number(vehicle.total_mass_kg * grams_per_kg, 0))},
      {"its centre", fmt::format("x {}, y {}, z {} modules, of what the springs carry", number(cg.x(), 2),
                                 number(cg.y(), 2), number(cg.z(), 2))},
      {"attitude", fmt::format("pitch {} deg (nose down positive), roll {} deg (right side down positive)",
                               number(vehicle.pitch_deg, 2), number(vehicle.roll_deg, 2))}};
  for (const Mode& mode : vehicle.modes) lines.push_back({mode.name, mode_text(mode)});
  if (vehicle.modes.empty()) {
    lines.push_back({"modes", "none: the masses have no size, or stops leave the body less than three freedoms"});
  }
  std::string text = style.ink.heading("Vehicle") + "\n" + terms_text(lines, Ink{});
  if (!style.terse && !vehicle.modes.empty()) {
    text += terms_text({{"bounce, pitch, roll", std::string(meaning_of("modes"))}}, style.ink);
  }
  return text;
}

std::string clearance_text(const Solution& solution, const TextStyle& style) {
  Table table;
  table.columns = {{"Clearance", "", "", Align::left}, word_column("height", "mm", "clearance")};
  for (const ClearanceResult& point : solution.clearances) {
    table.rows.push_back({shown(point.name), number(point.height_mm, 1)});
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

/// The rows of everything that carries a force in one corner.
std::vector<Row> part_rows(const CornerResult& corner) {
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
  for (const PinResult& pin : corner.pins) {
    rows.push_back({"pin " + shown(pin.name), "", number(pin.force_n, 2), "", ""});
  }
  return rows;
}

/// Corners whose parts carry the same, to the last digit shown, are listed once.
struct PartGroup {
  std::vector<std::string> corners;
  std::vector<Row> rows;
};

std::vector<PartGroup> part_groups(const Solved& solved) {
  std::vector<PartGroup> groups;
  for (std::size_t c = 0; c < solved.solution.corners.size(); ++c) {
    const CornerResult& corner = solved.solution.corners[c];
    const Linkage& linkage = solved.model.linkages[static_cast<std::size_t>(solved.model.corners[c].linkage)];
    if (linkage.plane == Plane::top && linkage.springs.empty()) continue;  // it steers, and carries nothing
    std::vector<Row> rows = part_rows(corner);
    if (rows.empty()) continue;
    const auto same =
        std::find_if(groups.begin(), groups.end(), [&](const PartGroup& group) { return group.rows == rows; });
    if (same != groups.end()) {
      same->corners.push_back(shown(corner.name));
    } else {
      groups.push_back({{shown(corner.name)}, std::move(rows)});
    }
  }
  return groups;
}

std::string parts_text(const Solved& solved, const TextStyle& style) {
  Table table;
  table.columns = {{"Forces in the parts", "", "", Align::left},
                   word_column("length", "mm"),
                   word_column("force", "N"),
                   word_column("in all", "N"),
                   {"", "", "", Align::left}};
  for (const PartGroup& group : part_groups(solved)) {
    table.rows.push_back({joined(group.corners, ", ")});
    for (Row row : group.rows) {
      row[0] = "  " + row[0];
      table.rows.push_back(std::move(row));
    }
  }
  return table.rows.empty() ? "" : table_text(table, style);
}

}  // namespace

std::string solve_text(const Solved& solved, const TextStyle& style) {
  const std::vector<WheelRow> rows = wheel_rows(solved);
  const std::vector<MergedFinding> findings = merged_findings(solved.solution.findings);
  std::string text = answer_text(solved, rows, findings, style.ink);
  for (const std::string& part :
       {by_hand_text(solved, rows, style), causes_text(solved, style), weighing_text(solved, style),
        floor_text(solved, style), travel_text(rows, style), stiffness_text(rows, style),
        rate_tables_text(solved.solution, style), wheel_paths_text(solved, style), vehicle_text(solved, style),
        clearance_text(solved.solution, style), parts_text(solved, style),
        findings_text(findings, solved.notes, style.ink)}) {
    if (!part.empty()) text += "\n" + part;
  }
  text += "\nFriction and flex are not in these figures.\n";
  return text;
}

}  // namespace ridepitch
