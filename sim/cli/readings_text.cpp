#include "cli/readings_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "model/units.hpp"
#include "ride/measured.hpp"

namespace ridepitch {
namespace {

double grams_of_mass(double kg) { return kg / kg_per_g; }

std::string plus_minus(double value, double within, int decimals) {
  return fmt::format("{} +- {}", number(value, decimals), number(within, decimals));
}

std::string centre_text(const Solved& solved, const Weighing& weighing) {
  const Vec3 cg_mm = solved.solution.vehicle->cg_mm;
  const double module_mm = solved.model.module_mm;
  std::string text = fmt::format("x {}", plus_minus(cg_mm.x() / module_mm, weighing.cg_x_within_mm / module_mm, 2));
  text += weighing.cg_y_within_mm
              ? fmt::format(", y {}", plus_minus(cg_mm.y() / module_mm, *weighing.cg_y_within_mm / module_mm, 2))
              : std::string(", y 0 (left and right were not weighed apart)");
  text += fmt::format(" modules; z {} is {}", number(cg_mm.z() / module_mm, 2),
                      weighing.height_known ? "what [sprung] says" : "not known: say cg_height in [sprung]");
  return text;
}

std::string stance_text(const Weighing& weighing) {
  double most_mm = 0;
  for (const auto& within : weighing.ride_height_within_mm) most_mm = std::max(most_mm, within.value_or(0));
  return fmt::format("pitch +- {} deg, roll +- {} deg, ride heights +- {} mm at most",
                     number(weighing.pitch_within_deg, 2), number(weighing.roll_within_deg, 2), number(most_mm, 1));
}

}  // namespace

std::string weighing_text(const Solved& solved, const TextStyle& style) {
  if (!solved.solution.weighing || !solved.solution.vehicle) return "";
  const Weighing& weighing = *solved.solution.weighing;
  Table table;
  table.columns = {{"Weighing", "", "", Align::left},
                   word_column("scale read", "g"),
                   word_column("computed", "g"),
                   word_column("off", "g"),
                   word_column("errors", "g")};
  for (const WeighedReading& reading : weighing.readings) {
    std::string names;
    for (const std::string& wheel : reading.wheels) names += (names.empty() ? "" : ", ") + shown(wheel);
    table.rows.push_back({names, number(grams_of_mass(reading.read_kg), 0),
                          number(grams_of_mass(reading.computed_kg), 0),
                          number(grams_of_mass(reading.read_kg - reading.computed_kg), 0),
                          number(grams_of_mass(std::max(reading.may_differ_kg, reading.within_kg)), 0)});
  }
  const double within_g = grams_of_mass(weighing.mass_within_kg);
  const VehicleResult& vehicle = *solved.solution.vehicle;
  std::string text = table_text(std::move(table), style);
  text += terms_text({{"mass", fmt::format("{} g in all, {} g on the springs, +- {} g",
                                           number(grams_of_mass(vehicle.total_mass_kg), 0),
                                           number(grams_of_mass(vehicle.mass_kg), 0), number(within_g, 0))},
                      {"its centre", centre_text(solved, weighing)},
                      {"so", stance_text(weighing)}},
                     Ink{});
  if (!style.terse) {
    text +=
        style.ink.faint(
            "  +-: " +
            wrapped(
                "what follows where each reading may be off by its within_g and each place and block by 1 mm, each by "
                "itself",
                6)) +
        "\n";
  }
  return text;
}

std::string causes_text(const Solved& solved, const TextStyle& style) {
  const Solution& solution = solved.solution;
  if (std::none_of(solution.measured.begin(), solution.measured.end(), differs)) return "";
  if (solution.causes.empty()) {
    return style.ink.heading("Why your ruler differs") + "\n" + "  " +
           wrapped(
               "No single thing explains it: not a spring's rate or length, nor the mass, nor one hole that is off.",
               2) +
           "\n";
  }
  Table table;
  table.columns = {
      {"Why your ruler differs", "", "the likeliest first: what needs least, measured by what is usual", Align::left},
      word_column("it would take", "", "it would take", Align::left),
      word_column("leaves", "mm")};
  for (const LikelyCause& cause : solution.causes) {
    table.rows.push_back({shown(cause.what), shown(cause.needs), number(cause.leaves_mm, 1)});
  }
  return table_text(std::move(table), style);
}

}  // namespace ridepitch
