#include "ride/suspects.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "model/units.hpp"
#include "ride/weighing.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

// What is usual. Common practice, no source: springs out of one bag, a kitchen scale and a budget of masses, a ruler.
constexpr double usual_rate_percent = 10;
constexpr double usual_free_mm = 1;
constexpr double usual_mass_share = 0.03;
constexpr double usual_centre_mm = 5;
constexpr double usual_tyre_mm = 2;

// What is off by more than all of it is no model.
constexpr double least_factor = 1e-3, least_kg = 1e-3, least_diameter_mm = 1;

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
      if (turns(spring)) continue;
      const std::string what = spring.part.empty() ? fmt::format("spring {}/{}", model.linkages[l].name, spring.name)
                                                   : "spring " + spring.part;
      auto same = std::find_if(kinds.begin(), kinds.end(), [&](const SpringKind& kind) { return kind.what == what; });
      if (same == kinds.end()) same = kinds.insert(same, {what, {}});
      same->springs.emplace_back(l, s);
    }
  }
  return kinds;
}

/// A suspect that is some change of the model.
void add(std::vector<Suspect>& suspects, const Model& model, const char* code, std::string what, const char* unit,
         double usual, std::function<void(Model&, double)> change, std::function<std::string(double)> needs) {
  suspects.push_back({code, std::move(what), unit, usual,
                      [&model, change = std::move(change)](double amount) {
                        Model out = model;
                        change(out, amount);
                        return out;
                      },
                      std::move(needs)});
}

void change_springs(Model& model, const SpringKind& kind, const std::function<void(SpringData&)>& change) {
  for (const auto& [l, s] : kind.springs) change(model.linkages[l].springs[s].data);
}

void add_springs(std::vector<Suspect>& suspects, const Model& model) {
  for (const SpringKind& kind : spring_kinds(model)) {
    const auto& [l, s] = kind.springs.front();
    const ForceLaw law = force_law(model.linkages[l].springs[s].data);
    add(
        suspects, model, "rate", kind.what, "%", usual_rate_percent,
        [kind](Model& out, double percent) {
          const double factor = std::max(least_factor, 1 + percent / 100);
          change_springs(out, kind, [&](SpringData& spring) { scale_rate(spring, factor); });
        },
        [rate = law.rate_n_per_mm, table = has_table(law)](double percent) {
          std::string text = fmt::format("{:.1f} % {} rate", std::abs(percent), more_or_less(percent));
          return table ? text : text + fmt::format(": {:.3f} N/mm", rate * (1 + percent / 100));
        });
    add(
        suspects, model, "free-length", kind.what, "mm", usual_free_mm,
        [kind](Model& out, double mm) {
          change_springs(out, kind, [&](SpringData& spring) { lengthen_free(spring, mm); });
        },
        [free_mm = law.free_mm](double mm) {
          return fmt::format("{:.1f} mm {} when free: {:.1f} mm; or its seat as far off", std::abs(mm),
                             mm > 0 ? "longer" : "shorter", free_mm + mm);
        });
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
  add(
      suspects, model, "mass", "mass on the springs", "g", usual_g,
      [kg, cg_mm](Model& out, double g) { out = with_mass_at(out, std::max(least_kg, kg + g * kg_per_g), cg_mm); },
      [kg](double g) { return fmt::format("{:.0f} g {}: {:.0f} g", std::abs(g), more_or_less(g), kg / kg_per_g + g); });
  struct Direction {
    Vec3 axis;
    const char *more, *less;
  };
  for (const Direction& to : {Direction{Vec3::UnitX(), "forward", "back"}, Direction{Vec3::UnitY(), "left", "right"}})
    add(
        suspects, model, "centre", "centre of gravity", "mm", usual_centre_mm,
        [kg, cg_mm, to](Model& out, double mm) { out = with_mass_at(out, kg, cg_mm + mm * to.axis); },
        [to](double mm) { return fmt::format("{:.1f} mm farther {}", std::abs(mm), mm > 0 ? to.more : to.less); });
}

void add_loads(std::vector<Suspect>& suspects, const Model& model) {
  double sum_n = 0;
  int loaded = 0;
  for (const Corner& corner : model.corners) {
    sum_n += corner.load_n.value_or(0);
    loaded += corner.load_n ? 1 : 0;
  }
  if (loaded == 0 || sum_n <= 0) return;
  add(
      suspects, model, "load", "load on each wheel", "g", usual_mass_share * sum_n / loaded / n_per_g,
      [](Model& out, double g) {
        for (Corner& corner : out.corners)
          if (corner.load_n) *corner.load_n = std::max(0.0, *corner.load_n + g * n_per_g);
      },
      [](double g) { return fmt::format("{:.0f} g {}", std::abs(g), more_or_less(g)); });
}

void add_tyres(std::vector<Suspect>& suspects, const Model& model) {
  std::vector<std::string> parts;
  for (const Linkage& linkage : model.linkages)
    for (const Wheel& wheel : linkage.wheels)
      if (std::find(parts.begin(), parts.end(), wheel.part) == parts.end()) parts.push_back(wheel.part);
  for (const std::string& part : parts)
    add(
        suspects, model, "tyre", "tyre " + part, "mm", usual_tyre_mm,
        [part](Model& out, double mm) {
          for (Linkage& linkage : out.linkages)
            for (Wheel& wheel : linkage.wheels)
              if (wheel.part == part) wheel.tyre.diameter_mm = std::max(least_diameter_mm, wheel.tyre.diameter_mm + mm);
        },
        [](double mm) {
          return fmt::format("{:.1f} mm {} across{}", std::abs(mm), more_or_less(mm),
                             mm < 0 ? ", or pressed flat by half of that" : "");
        });
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
