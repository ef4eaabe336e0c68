#include "ride/suspects.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "model/units.hpp"
#include "ride/one_mass.hpp"

namespace ridepitch {
namespace {

// What is usual. Common practice, no source: springs out of one bag, a kitchen scale and a budget of masses, a ruler.
constexpr double usual_rate_percent = 10;
constexpr double usual_free_mm = 1;
constexpr double usual_mass_share = 0.03;
constexpr double usual_centre_mm = 5;
constexpr double usual_tyre_mm = 2;

std::string more_or_less(double amount) { return amount > 0 ? "more" : "less"; }

/// Springs that are one thing to measure: of one part, or one by itself.
struct SpringKind {
  std::string what;
  std::vector<std::pair<std::size_t, std::size_t>> springs;  ///< linkage, spring
};

std::vector<SpringKind> spring_kinds(const Model& model) {
  std::vector<SpringKind> kinds;
  for (std::size_t l = 0; l < model.linkages.size(); ++l) {
    for (std::size_t s = 0; s < model.linkages[l].springs.size(); ++s) {
      const Spring& spring = model.linkages[l].springs[s];
      if (std::holds_alternative<Torsion>(spring.data)) continue;
      const std::string what = spring.part.empty() ? fmt::format("spring {}/{}", model.linkages[l].name, spring.name)
                                                   : "spring " + spring.part;
      const auto same =
          std::find_if(kinds.begin(), kinds.end(), [&](const SpringKind& kind) { return kind.what == what; });
      if (same == kinds.end()) {
        kinds.push_back({what, {{l, s}}});
      } else {
        same->springs.emplace_back(l, s);
      }
    }
  }
  return kinds;
}

Model with_springs(const Model& model, const SpringKind& kind, const std::function<void(Coil&)>& coil,
                   const std::function<void(Band&)>& band) {
  Model out = model;
  for (const auto& [l, s] : kind.springs) {
    Spring& spring = out.linkages[l].springs[s];
    if (auto* as_coil = std::get_if<Coil>(&spring.data)) coil(*as_coil);
    if (auto* as_band = std::get_if<Band>(&spring.data)) band(*as_band);
  }
  return out;
}

template <class Law>
void scale_rate(Law& law, double factor) {
  law.rate_n_per_mm *= factor;
  if (!law.law) return;
  // The force at its free length, a coil's preload, stays.
  const double first_n = law.law->front().y();
  for (Vec2& point : *law.law) point.y() = first_n + factor * (point.y() - first_n);
}

void add_springs(std::vector<Suspect>& suspects, const Model& model) {
  for (const SpringKind& kind : spring_kinds(model)) {
    const auto& [l, s] = kind.springs.front();
    const Spring& spring = model.linkages[l].springs[s];
    const auto* coil = std::get_if<Coil>(&spring.data);
    const bool law = coil ? coil->law.has_value() : std::get<Band>(spring.data).law.has_value();
    const double rate = coil ? coil->rate_n_per_mm : std::get<Band>(spring.data).rate_n_per_mm;
    const double free_mm = coil ? coil->free_mm : std::get<Band>(spring.data).free_mm;
    suspects.push_back({"rate", kind.what, "%", usual_rate_percent,
                        [&model, kind](double percent) {
                          const double factor = std::max(1e-3, 1 + percent / 100);
                          return with_springs(
                              model, kind, [&](Coil& c) { scale_rate(c, factor); },
                              [&](Band& b) { scale_rate(b, factor); });
                        },
                        [rate, law](double percent) {
                          std::string text = fmt::format("{:.1f} % {} rate", std::abs(percent), more_or_less(percent));
                          return law ? text : text + fmt::format(": {:.3f} N/mm", rate * (1 + percent / 100));
                        }});
    suspects.push_back({"free-length", kind.what, "mm", usual_free_mm,
                        [&model, kind](double mm) {
                          return with_springs(
                              model, kind,
                              [&](Coil& c) {
                                c.free_mm += mm;
                                c.solid_mm += c.law ? mm : 0;
                              },
                              [&](Band& b) { b.free_mm += mm; });
                        },
                        [free_mm](double mm) {
                          return fmt::format("{:.1f} mm {} when free: {:.1f} mm; or its seat as far off", std::abs(mm),
                                             mm > 0 ? "longer" : "shorter", free_mm + mm);
                        }});
  }
}

/// By how much the mass of a weighed vehicle may be off.
double weighed_within_g(const Model& model) {
  double square = 0;
  for (const Weighed& reading : model.weighed) square += reading.within_kg * reading.within_kg;
  return std::max(1.0, std::sqrt(square) / kg_per_g);
}

void add_masses(std::vector<Suspect>& suspects, const Model& model, const VehicleResult& vehicle) {
  const double kg = vehicle.mass_kg;
  const Vec3 cg_mm = vehicle.cg_mm;
  const double usual_g = model.weighed.empty() ? usual_mass_share * kg / kg_per_g : weighed_within_g(model);
  suspects.push_back(
      {"mass", "mass on the springs", "g", usual_g,
       [&model, kg, cg_mm](double g) { return with_mass_at(model, std::max(1e-3, kg + g * kg_per_g), cg_mm); },
       [kg](double g) {
         return fmt::format("{:.0f} g {}: {:.0f} g", std::abs(g), more_or_less(g), kg / kg_per_g + g);
       }});
  for (const bool along : {true, false}) {
    suspects.push_back({"centre", "centre of gravity", "mm", usual_centre_mm,
                        [&model, kg, cg_mm, along](double mm) {
                          return with_mass_at(model, kg, cg_mm + (along ? Vec3(mm, 0, 0) : Vec3(0, mm, 0)));
                        },
                        [along](double mm) {
                          return fmt::format("{:.1f} mm farther {}", std::abs(mm),
                                             along ? (mm > 0 ? "forward" : "back") : (mm > 0 ? "left" : "right"));
                        }});
  }
}

void add_loads(std::vector<Suspect>& suspects, const Model& model) {
  double mean_n = 0;
  int count = 0;
  for (const Corner& corner : model.corners) {
    mean_n += corner.load_n.value_or(0);
    count += corner.load_n ? 1 : 0;
  }
  if (count == 0 || mean_n <= 0) return;
  mean_n /= count;
  suspects.push_back({"load", "load on each wheel", "g", usual_mass_share * mean_n / n_per_g,
                      [&model](double g) {
                        Model out = model;
                        for (Corner& corner : out.corners) {
                          if (corner.load_n) *corner.load_n = std::max(0.0, *corner.load_n + g * n_per_g);
                        }
                        return out;
                      },
                      [](double g) { return fmt::format("{:.0f} g {}", std::abs(g), more_or_less(g)); }});
}

void add_tyres(std::vector<Suspect>& suspects, const Model& model) {
  std::vector<std::string> parts;
  for (const Linkage& linkage : model.linkages) {
    for (const Wheel& wheel : linkage.wheels) {
      if (std::find(parts.begin(), parts.end(), wheel.part) == parts.end()) parts.push_back(wheel.part);
    }
  }
  for (const std::string& part : parts) {
    suspects.push_back({"tyre", "tyre " + part, "mm", usual_tyre_mm,
                        [&model, part](double mm) {
                          Model out = model;
                          for (Linkage& linkage : out.linkages) {
                            for (Wheel& wheel : linkage.wheels) {
                              if (wheel.part == part)
                                wheel.tyre.diameter_mm = std::max(1.0, wheel.tyre.diameter_mm + mm);
                            }
                          }
                          return out;
                        },
                        [](double mm) {
                          return fmt::format("{:.1f} mm {} across{}", std::abs(mm), mm > 0 ? "more" : "less",
                                             mm < 0 ? ", or pressed flat by half of that" : "");
                        }});
  }
}

}  // namespace

std::vector<Suspect> suspects_of(const Model& model, const Solution& solution) {
  std::vector<Suspect> suspects;
  add_springs(suspects, model);
  if (solution.vehicle) {
    add_masses(suspects, model, *solution.vehicle);
  } else {
    add_loads(suspects, model);
  }
  add_tyres(suspects, model);
  return suspects;
}

}  // namespace ridepitch
