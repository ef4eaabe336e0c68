#include "swap/spring_words.hpp"

#include <fmt/format.h>

#include "model/units.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
std::string spring_words(const Spring& spring) {
  if (!spring.part.empty()) return fmt::format("{} {}", spring.count, spring.part);
  const char* plural = spring.count == 1 ? "" : "s";
  return std::visit(Overloaded{[&](const Torsion& torsion) {
                                 return fmt::format("{} torsion spring{} of {:g} N mm/deg", spring.count, plural,
                                                    torsion.rate_n_mm_per_rad * rad_per_deg);
                               },
                               [&](const auto& line) {
                                 return line.law ? fmt::format("{} {}{} with a table", spring.count, line.kind, plural)
                                                 : fmt::format("{} {}{} of {} N/mm", spring.count, line.kind, plural,
                                                               line.rate_n_per_mm);
                               }},
                    spring.data);
}

bool same_springs(const Spring& a, const Spring& b) {
  if (a.count != b.count || a.data.index() != b.data.index()) return false;
  const SpringTraits x = traits_of(a.data), y = traits_of(b.data);
  return x.law == y.law && x.stops == y.stops;
}

}  // namespace ridepitch
