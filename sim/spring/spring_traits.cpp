#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

SpringTraits traits(const Coil& coil) {
  return {.law = force_law(coil),
          .stops = {{coil.solid_mm, +1, "solid"}, {coil.free_mm, -1, "free", false}},
          .captive = true,
          .width_mm = coil.diameter_mm,
          .friction_n = coil.friction_n};
}

SpringTraits traits(const Band& band) { return {.law = force_law(band), .stops = {}}; }

SpringTraits traits(const Torsion& torsion) {
  SpringTraits out{.law = force_law(torsion), .stops = {}};
  if (torsion.min_rad) out.stops.push_back({*torsion.min_rad, +1, "min"});
  if (torsion.max_rad) out.stops.push_back({*torsion.max_rad, -1, "max"});
  return out;
}

template <class Line>
void scale_rate_of(Line& spring, double factor) {
  spring.rate_n_per_mm *= factor;
  if (!spring.law) return;
  const double first_n = spring.law->front().y();
  for (Vec2& point : *spring.law) point.y() = first_n + factor * (point.y() - first_n);
}

}  // namespace

SpringTraits traits_of(const SpringData& spring) {
  return std::visit([](const auto& kind) { return traits(kind); }, spring);
}

void scale_rate(SpringData& spring, double factor) {
  std::visit(
      Overloaded{[&](Coil& coil) { scale_rate_of(coil, factor); }, [&](Band& band) { scale_rate_of(band, factor); },
                 [&](Torsion& torsion) { torsion.rate_n_mm_per_rad *= factor; }},
      spring);
}

void lengthen_free(SpringData& spring, double by_mm) {
  std::visit(Overloaded{[&](Coil& coil) {
                          coil.free_mm += by_mm;
                          if (coil.law) coil.solid_mm += by_mm;
                        },
                        [&](Band& band) { band.free_mm += by_mm; }, [](Torsion&) {}},
             spring);
}

void lengthen(SpringData& spring, double by_mm) {
  std::visit(Overloaded{[&](Coil& coil) {
                          coil.free_mm += by_mm;
                          coil.solid_mm += by_mm;
                        },
                        [&](Band& band) { band.free_mm += by_mm; }, [](Torsion&) {}},
             spring);
}

}  // namespace ridepitch
