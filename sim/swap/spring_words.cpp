#include "swap/spring_words.hpp"

#include <fmt/format.h>

#include "model/units.hpp"
#include "spring/force_law.hpp"

namespace ridepitch {
namespace {

std::string kind_words(const char* kind, double rate_n_per_mm, bool by_table, int count) {
  const char* plural = count == 1 ? "" : "s";
  return by_table ? fmt::format("{} {}{} with a table", count, kind, plural)
                  : fmt::format("{} {}{} of {} N/mm", count, kind, plural, rate_n_per_mm);
}

bool same_law(const ForceLaw& a, const ForceLaw& b) {
  return a.pulls == b.pulls && a.free_mm == b.free_mm && a.solid_mm == b.solid_mm &&
         a.rate_n_per_mm == b.rate_n_per_mm && a.preload_n == b.preload_n && a.deflection_mm == b.deflection_mm &&
         a.force_n == b.force_n;
}

}  // namespace

std::string spring_words(const Spring& spring) {
  if (!spring.part.empty()) return fmt::format("{} {}", spring.count, spring.part);
  if (const auto* coil = std::get_if<Coil>(&spring.data)) {
    return kind_words("coil", coil->rate_n_per_mm, coil->law.has_value(), spring.count);
  }
  if (const auto* band = std::get_if<Band>(&spring.data)) {
    return kind_words("band", band->rate_n_per_mm, band->law.has_value(), spring.count);
  }
  const auto& torsion = std::get<Torsion>(spring.data);
  return fmt::format("{} torsion spring{} of {:g} N mm/deg", spring.count, spring.count == 1 ? "" : "s",
                     torsion.rate_n_mm_per_rad * rad_per_deg);
}

bool same_springs(const Spring& a, const Spring& b) {
  if (a.count != b.count || a.data.index() != b.data.index()) return false;
  if (const auto* coil = std::get_if<Coil>(&a.data))
    return same_law(force_law(*coil), force_law(std::get<Coil>(b.data)));
  if (const auto* band = std::get_if<Band>(&a.data))
    return same_law(force_law(*band), force_law(std::get<Band>(b.data)));
  const auto &x = std::get<Torsion>(a.data), &y = std::get<Torsion>(b.data);
  return x.rate_n_mm_per_rad == y.rate_n_mm_per_rad && x.free_rad == y.free_rad && x.min_rad == y.min_rad &&
         x.max_rad == y.max_rad;
}

}  // namespace ridepitch
