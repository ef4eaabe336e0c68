#include "swap/nudge.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "model/read_parts.hpp"
#include "spring/force_law.hpp"
#include "tune/space.hpp"

namespace ridepitch {
namespace {

constexpr double same_mm = 1e-6;

/// What tells springs of one kind apart.
struct Measures {
  bool pulls = false;
  double length_mm = 0;
  double strength_n = 0;
};

std::optional<Measures> measures_of(const Part& part) {
  const auto spring = line_spring(part);
  if (!spring) return std::nullopt;
  const ForceLaw law = force_law(*spring);
  const double worked_mm = law.pulls ? 2 * law.free_mm : law.solid_mm;
  return Measures{law.pulls, law.free_mm, std::abs(spring_force(law, worked_mm).push_n)};
}

struct Candidate {
  std::string name;
  Measures is;
};

/// Of the candidates that count the one with the least difference; none where none counts.
void add_nearest(const std::vector<Candidate>& all, const auto& counts, const auto& difference,
                 std::vector<std::string>& names) {
  const Candidate* nearest = nullptr;
  for (const Candidate& each : all)
    if (counts(each.is) && (!nearest || difference(each.is) < difference(nearest->is))) nearest = &each;
  if (nearest) names.push_back(nearest->name);
}

}  // namespace

std::vector<std::string> neighbouring_springs(const Model& model, const Spring& spring) {
  const auto own = model.catalogue.find(spring.part);
  const auto is = own == model.catalogue.end() ? std::nullopt : measures_of(own->second);
  if (!is) return {};
  std::vector<Candidate> all;
  for (const auto& [name, part] : model.catalogue) {
    const auto measures = measures_of(part);
    if (measures && measures->pulls == is->pulls && name != spring.part && !is_gone(model, name))
      all.push_back({name, *measures});
  }
  const auto unlike = [&](const Measures& other) {
    return std::abs(std::log(std::max(other.strength_n, same_mm) / std::max(is->strength_n, same_mm)));
  };
  std::vector<std::string> names;
  for (const bool stronger : {false, true}) {
    const auto counts = [&](const Measures& other) {
      return (stronger ? other.strength_n > is->strength_n : other.strength_n < is->strength_n) &&
             std::abs(other.length_mm - is->length_mm) <= same_mm;
    };
    add_nearest(all, counts, unlike, names);
  }
  for (const int sign : {-1, 1}) {  // shorter, longer
    const auto more_mm = [&](const Measures& other) { return sign * (other.length_mm - is->length_mm); };
    double next_mm = std::numeric_limits<double>::infinity();
    for (const Candidate& each : all)
      if (more_mm(each.is) > same_mm) next_mm = std::min(next_mm, more_mm(each.is));
    add_nearest(
        all, [&](const Measures& other) { return std::abs(more_mm(other) - next_mm) <= same_mm; }, unlike, names);
  }
  return names;
}

std::vector<double> neighbouring_lengths_mm(const Model& model, const Rod& rod, double step_mm) {
  const auto mm_of = [&](const Part& part) -> std::optional<double> {
    const auto length = length_of(part);
    return length ? std::optional(*length * model.module_mm) : std::nullopt;
  };
  double shorter_mm = rod.length_mm - step_mm, longer_mm = rod.length_mm + step_mm;
  const auto own = model.catalogue.find(rod.part);
  const auto own_mm = own == model.catalogue.end() ? std::nullopt : mm_of(own->second);
  if (own_mm && std::abs(*own_mm - rod.length_mm) < same_mm) {
    shorter_mm = 0;
    longer_mm = std::numeric_limits<double>::infinity();
    for (const auto& [name, part] : model.catalogue) {
      const auto length_mm = mm_of(part);
      if (!length_mm || kind_of(part) != kind_of(own->second) || is_gone(model, name)) continue;
      if (*length_mm < rod.length_mm - same_mm) shorter_mm = std::max(shorter_mm, *length_mm);
      if (*length_mm > rod.length_mm + same_mm) longer_mm = std::min(longer_mm, *length_mm);
    }
  }
  std::vector<double> lengths;
  if (shorter_mm > rod.across_mm) lengths.push_back(shorter_mm);
  if (std::isfinite(longer_mm)) lengths.push_back(longer_mm);
  return lengths;
}

}  // namespace ridepitch
