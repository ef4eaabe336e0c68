#include "cli/readings_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "ride/measured.hpp"
#include "words/quantity.hpp"

namespace ridepitch {
namespace {

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
  const Quantity& mass = quantity(name::mass);
  Table table;
  table.columns = {{"Weighing", "", "", Align::left},
                   word_column("scale read", "g"),
                   word_column("computed", "g"),
                   word_column("off", "g"),
                   word_column("errors", "g")};
  for (const WeighedReading& reading : weighing.readings) {
    const auto grams = [&](double kg) { return number(mass, kg); };
    table.rows.push_back({names_shown(reading.wheels), grams(reading.read_kg), grams(reading.computed_kg),
                          grams(reading.read_kg - reading.computed_kg),
                          grams(std::max(reading.may_differ_kg, reading.within_kg))});
  }
  const VehicleResult& vehicle = *solved.solution.vehicle;
  const std::string masses =
      fmt::format("{} g in all, {} g on the springs, +- {} g", number(mass, vehicle.total_mass_kg),
                  number(mass, vehicle.mass_kg), number(mass, weighing.mass_within_kg));
  std::string text = table_text(std::move(table), style);
  text += terms_text({{"mass", masses}, {"its centre", centre_text(solved, weighing)}, {"so", stance_text(weighing)}},
                     Ink{});
  if (style.terse) return text;
  const char* const within =
      "what follows where each reading may be off by its within_g and each place and block by 1 mm, each by itself";
  return text + style.ink.faint("  +-: " + wrapped(within, 6)) + "\n";
}

std::string causes_text(const Solved& solved, const TextStyle& style) {
  const Solution& solution = solved.solution;
  if (solution.floor && (!solved.model.measured.empty() || !solved.model.weighed.empty()))
    return wrapped("What ruler and scale read was on level ground: it is not compared here.", 0) + "\n";
  if (std::none_of(solution.measured.begin(), solution.measured.end(), differs)) return "";
  const char* const heading = "Why your ruler differs";
  if (has_doubtful_reading(solution))
    return style.ink.heading(heading) + "\n  " + wrapped("A scale reading is doubtful: set it right first.", 2) + "\n";
  if (solution.causes.empty()) {
    const char* const none =
        "Nothing here explains it: measure again, then check holes. Springs, masses, tyres, play, friction and single "
        "holes were looked at: none that is off by a believable amount comes near.";
    return style.ink.heading(heading) + "\n  " + wrapped(none, 2) + "\n";
  }
  Table table;
  table.columns = {{heading, "", "the likeliest first, each by itself", Align::left},
                   word_column("it would take", "", "it would take", Align::left),
                   word_column("leaves", "mm"),
                   word_column("likelihood", "%")};
  double none_of_them = 1;
  for (const LikelyCause& cause : solution.causes) {
    table.rows.push_back(
        {shown(cause.what), shown(cause.needs), number(cause.leaves_mm, 1), number(100 * cause.likelihood, 0)});
    none_of_them -= cause.likelihood;
  }
  table.rows.push_back({"none of these", "the ruler is off, or something else", "", number(100 * none_of_them, 0)});
  return table_text(std::move(table), style);
}

}  // namespace ridepitch
