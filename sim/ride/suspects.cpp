#include "ride/suspects.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/weighing.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

// What [spread] does not say. Common practice, no source: the centre of a part is guessed to a module, a tyre's
// diameter read by a ruler; where it has no rate, its squash counts too.
constexpr double place_modules = 1;
constexpr double tyre_mm = 1, squashed_tyre_mm = 2;

// What is off by more than all of it is no model.
constexpr double least_factor = 1e-3, least_kg = 1e-3, least_diameter_mm = 1;

std::string more_or_less(double amount) { return amount > 0 ? "more" : "less"; }

/// Springs that are one thing to measure: of one part, or one by itself; or those of one corner alone.
struct SpringKind {
  std::string what;
  std::vector<std::pair<std::size_t, std::size_t>> springs;  ///< linkage, spring
  double rate_percent = 0, length_mm = 0;                    ///< how far they are off (one standard deviation)
  std::optional<int> corner = {};                            ///< only there
};

std::vector<SpringKind> spring_kinds(const Model& model) {
  std::vector<SpringKind> kinds;
  const double rate_percent = std::hypot(model.spread.coil_rate_percent.value, model.spread.batch_percent.value);
  for (std::size_t l = 0; l < model.linkages.size(); ++l) {
    for (std::size_t s = 0; s < model.linkages[l].springs.size(); ++s) {
      const Spring& spring = model.linkages[l].springs[s];
      if (turns(spring)) continue;
      const std::string what = spring.part.empty() ? fmt::format("spring {}/{}", model.linkages[l].name, spring.name)
                                                   : "spring " + spring.part;
      auto same = std::find_if(kinds.begin(), kinds.end(), [&](const SpringKind& kind) { return kind.what == what; });
      if (same == kinds.end())
        same = kinds.insert(same, {what, {}, rate_percent, model.spread.coil_length_mm.value, {}});
      same->springs.emplace_back(l, s);
    }
  }
  return kinds;
}

/// Those that differ from the others of their part at one corner: the mean of all that stand side by side there.
void add_kinds_at(const Model& model, int corner, std::vector<SpringKind>& kinds) {
  const int l = at(model.corners, corner).linkage;
  const Linkage& linkage = at(model.linkages, l);
  for (std::size_t s = 0; s < linkage.springs.size(); ++s) {
    if (turns(linkage.springs[s])) continue;
    const double of_mean = 1 / std::sqrt(linkage.springs[s].count);
    kinds.push_back({fmt::format("spring {} at {} alone", linkage.springs[s].name, at(model.corners, corner).name),
                     {{static_cast<std::size_t>(l), s}},
                     model.spread.coil_rate_percent.value * of_mean,
                     model.spread.coil_length_mm.value * of_mean,
                     corner});
  }
}

/// A suspect that is some change of the model.
void add(std::vector<Suspect>& suspects, const Model& model, const char* code, std::string what, const char* unit,
         double deviation, std::function<void(Model&, double)> change, std::function<std::string(double)> needs) {
  suspects.push_back({code, std::move(what), unit, deviation,
                      [&model, change = std::move(change)](double amount) {
                        Model out = model;
                        change(out, amount);
                        return out;
                      },
                      std::move(needs)});
}

void change_springs(Model& model, const SpringKind& kind, const std::function<void(SpringData&)>& change) {
  for (const auto& [l, s] : kind.springs) {
    if (!kind.corner) {
      change(model.linkages[l].springs[s].data);
      continue;
    }
    Linkage own = model.linkages[l];
    change(own.springs[s].data);
    at(model.corners, *kind.corner).linkage = count(model.linkages);
    model.linkages.push_back(std::move(own));
  }
}

void add_springs(std::vector<Suspect>& suspects, const Model& model, const std::vector<int>& corners_alone) {
  std::vector<SpringKind> kinds = spring_kinds(model);
  for (const int corner : corners_alone) add_kinds_at(model, corner, kinds);
  for (const SpringKind& kind : kinds) {
    const auto& [l, s] = kind.springs.front();
    const ForceLaw law = force_law(model.linkages[l].springs[s].data);
    add(
        suspects, model, "rate", kind.what, "%", kind.rate_percent,
        [kind](Model& out, double percent) {
          const double factor = std::max(least_factor, 1 + percent / 100);
          change_springs(out, kind, [&](SpringData& spring) { scale_rate(spring, factor); });
        },
        [rate = law.rate_n_per_mm, table = has_table(law)](double percent) {
          std::string text = fmt::format("{:.1f} % {} rate", std::abs(percent), more_or_less(percent));
          return table ? text : text + fmt::format(": {:.3f} N/mm", rate * (1 + percent / 100));
        });
    add(
        suspects, model, "free-length", kind.what, "mm", kind.length_mm,
        [kind](Model& out, double mm) {
          change_springs(out, kind, [&](SpringData& spring) { lengthen_free(spring, mm); });
        },
        [free_mm = law.free_mm](double mm) {
          return fmt::format("{:.1f} mm {} when free: {:.1f} mm; or its seat as far off", std::abs(mm),
                             mm > 0 ? "longer" : "shorter", free_mm + mm);
        });
  }
}

/// How far mass and centre of what the springs carry may be off (one standard deviation).
struct MassDeviation {
  double g = 0;
  Vec2 centre_mm = Vec2::Zero();  ///< along and across
};

MassDeviation of_readings(const Model& model, const Weighing& weighing) {
  double square = 0;
  for (const Weighed& reading : model.weighed) square += reading.within_kg * reading.within_kg;
  return {std::sqrt(square) / kg_per_g,
          {weighing.cg_x_within_mm, weighing.cg_y_within_mm.value_or(place_modules * model.module_mm)}};
}

MassDeviation of_budget(const Model& model, const VehicleResult& vehicle) {
  double square_kg = 0;
  Vec2 square_mm = Vec2::Zero();
  for (const Mass& mass : model.masses) {
    const double off_kg = mass.kg * model.spread.mass_percent.value / 100;
    const Vec2 lever_mm = (mass.at_mm - vehicle.cg_mm).head<2>();
    square_kg += off_kg * off_kg;
    square_mm += (lever_mm * off_kg / vehicle.mass_kg).cwiseAbs2();
    square_mm += Vec2::Constant(place_modules * model.module_mm * mass.kg / vehicle.mass_kg).cwiseAbs2();
  }
  return {std::sqrt(square_kg) / kg_per_g, square_mm.cwiseSqrt()};
}

void add_masses(std::vector<Suspect>& suspects, const Model& model, const Solution& solution) {
  const VehicleResult& vehicle = *solution.vehicle;
  const double kg = vehicle.mass_kg;
  const Vec3 cg_mm = vehicle.cg_mm;
  const MassDeviation deviation =
      solution.weighing ? of_readings(model, *solution.weighing) : of_budget(model, vehicle);
  add(
      suspects, model, "mass", "mass on the springs", "g", deviation.g,
      [kg, cg_mm](Model& out, double g) { out = with_mass_at(out, std::max(least_kg, kg + g * kg_per_g), cg_mm); },
      [kg](double g) { return fmt::format("{:.0f} g {}: {:.0f} g", std::abs(g), more_or_less(g), kg / kg_per_g + g); });
  struct Direction {
    Vec3 axis;
    double deviation_mm;
    const char *more, *less;
  };
  for (const Direction& to : {Direction{Vec3::UnitX(), deviation.centre_mm.x(), "forward", "back"},
                              Direction{Vec3::UnitY(), deviation.centre_mm.y(), "left", "right"}})
    add(
        suspects, model, "centre", "centre of gravity", "mm", to.deviation_mm,
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
      suspects, model, "load", "load on each wheel", "g",
      model.spread.mass_percent.value / 100 * sum_n / loaded / n_per_g,
      [](Model& out, double g) {
        for (Corner& corner : out.corners)
          if (corner.load_n) *corner.load_n = std::max(0.0, *corner.load_n + g * n_per_g);
      },
      [](double g) { return fmt::format("{:.0f} g {}", std::abs(g), more_or_less(g)); });
}

/// Tyres that are one thing to measure: of one part, or one by itself.
struct TyreKind {
  std::string what;
  std::vector<std::pair<std::size_t, std::size_t>> tyres;  ///< linkage, wheel
};

std::vector<TyreKind> tyre_kinds(const Model& model) {
  std::vector<TyreKind> kinds;
  for (std::size_t l = 0; l < model.linkages.size(); ++l) {
    for (std::size_t w = 0; w < model.linkages[l].wheels.size(); ++w) {
      const Wheel& wheel = model.linkages[l].wheels[w];
      const std::string what =
          wheel.part.empty() ? fmt::format("tyre of {}/{}", model.linkages[l].name, wheel.name) : "tyre " + wheel.part;
      auto same = std::find_if(kinds.begin(), kinds.end(), [&](const TyreKind& kind) { return kind.what == what; });
      if (same == kinds.end()) same = kinds.insert(same, {what, {}});
      same->tyres.emplace_back(l, w);
    }
  }
  return kinds;
}

void change_tyres(Model& model, const TyreKind& kind, const std::function<void(Tyre&)>& change) {
  for (const auto& [l, w] : kind.tyres) change(model.linkages[l].wheels[w].tyre);
}

void add_tyres(std::vector<Suspect>& suspects, const Model& model) {
  for (const TyreKind& kind : tyre_kinds(model)) {
    const auto& [l, w] = kind.tyres.front();
    const std::optional<double> rate = model.linkages[l].wheels[w].tyre.rate_n_per_mm;
    add(
        suspects, model, "tyre", kind.what, "mm", rate ? tyre_mm : squashed_tyre_mm,
        [kind](Model& out, double mm) {
          change_tyres(out, kind,
                       [&](Tyre& tyre) { tyre.diameter_mm = std::max(least_diameter_mm, tyre.diameter_mm + mm); });
        },
        [squashes = !rate](double mm) {
          return fmt::format("{:.1f} mm {} across{}", std::abs(mm), more_or_less(mm),
                             mm < 0 && squashes ? ", or pressed flat by half of that" : "");
        });
    if (!rate) continue;
    add(
        suspects, model, "tyre-rate", kind.what, "%", model.spread.tyre_rate_percent.value,
        [kind](Model& out, double percent) {
          change_tyres(out, kind,
                       [&](Tyre& tyre) { *tyre.rate_n_per_mm *= std::max(least_factor, 1 + percent / 100); });
        },
        [rate = *rate](double percent) {
          return fmt::format("{:.1f} % {} rate: {:.2f} N/mm", std::abs(percent), more_or_less(percent),
                             rate * (1 + percent / 100));
        });
  }
}

}  // namespace

std::vector<Suspect> suspects_of(const Model& model, const Solution& solution, const std::vector<int>& corners_alone) {
  std::vector<Suspect> suspects;
  add_springs(suspects, model, corners_alone);
  if (solution.vehicle) {
    add_masses(suspects, model, solution);
  } else {
    add_loads(suspects, model);
  }
  add_tyres(suspects, model);
  // What can't be off explains nothing.
  std::erase_if(suspects, [](const Suspect& suspect) { return suspect.deviation <= 0; });
  return suspects;
}

}  // namespace ridepitch
