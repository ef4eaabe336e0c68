#include "fit/fit_heights.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "fit/reading_rows.hpp"
#include "model/fields.hpp"
#include "ride/solve.hpp"
#include "ride/weighing.hpp"

namespace ridepitch {
namespace {

constexpr SolveOptions only_the_stance{.curve_points = 2, .other_stances = false, .trials = false, .readings = false};

// Common practice, no source.
constexpr double much_mm = 1.0;      // beyond this, something else than the spring is off
constexpr double weak_share = 0.25;  // a rate whose standard error is this share of it is weakly told

FitHeightsResult refuse(const std::string& path, const char* code, std::string text, std::string hint,
                        Fault fault = Fault::text) {
  return {std::nullopt,
          {{.code = code, .text = std::move(text), .hint = std::move(hint), .file_name = path, .fault = fault}}};
}

const Spring& at(const Model& model, SpringRef ref) {
  return model.linkages[static_cast<std::size_t>(ref.linkage)].springs[static_cast<std::size_t>(ref.spring)];
}

std::string name_of(const Model& model, SpringRef ref) {
  return model.linkages[static_cast<std::size_t>(ref.linkage)].name + "/" + at(model, ref).name;
}

// ------------------------------------------------------------------------------------ which spring

bool is_used(const Model& model, int linkage) {
  return std::any_of(model.corners.begin(), model.corners.end(),
                     [&](const Corner& corner) { return corner.linkage == linkage; });
}

/// Coils and bands of the linkages that carry the vehicle.
std::vector<SpringRef> candidates(const Model& model) {
  std::vector<SpringRef> all;
  for (std::size_t l = 0; l < model.linkages.size(); ++l) {
    const Linkage& linkage = model.linkages[l];
    if (linkage.plane == Plane::top || !is_used(model, static_cast<int>(l))) continue;
    for (std::size_t s = 0; s < linkage.springs.size(); ++s) {
      if (!turns(linkage.springs[s])) all.push_back({static_cast<int>(l), static_cast<int>(s)});
    }
  }
  return all;
}

/// Two springs are one thing to measure if they are of one part.
bool same_thing(const Model& model, SpringRef a, SpringRef b) {
  return a == b || (!at(model, a).part.empty() && at(model, a).part == at(model, b).part);
}

bool is_called(const Model& model, SpringRef ref, const std::string& name) {
  const Spring& spring = at(model, ref);
  if (name.empty() || name == spring.name || name == name_of(model, ref) || name == spring.part) return true;
  return std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    return corner.linkage == ref.linkage && name == corner.name + "/" + spring.name;
  });
}

/// The spring that is meant, with all springs of the same part; or why it can't be told.
struct FoundSpring {
  std::vector<SpringRef> springs = {};
  std::vector<Problem> problems = {};
};

FoundSpring find_spring(const Model& model, const std::string& name) {
  const std::vector<SpringRef> all = candidates(model);
  std::vector<SpringRef> called;
  std::vector<std::string> names;
  for (const SpringRef ref : all) {
    names.push_back(name_of(model, ref));
    if (is_called(model, ref, name)) called.push_back(ref);
  }
  const auto refused = [&](const char* code, std::string text, std::string hint) {
    const std::string file = model.files.empty() ? "" : model.files.front();
    return FoundSpring{{}, refuse(file, code, std::move(text), std::move(hint)).problems};
  };
  if (all.empty())
    return refused("no-spring", "the model has no coil or band to fit",
                   "torsion springs are not fitted: set their rate by hand");
  if (called.empty())
    return refused("unknown-name", fmt::format("the model has no coil or band called {}", in_quotes(name)),
                   fmt::format("its springs: {}", list_in_quotes(names)));
  const auto same = [&](SpringRef ref) { return same_thing(model, ref, called.front()); };
  if (!std::all_of(called.begin(), called.end(), same))
    return refused("which-spring", "the model has several kinds of springs: it does not say which one to fit",
                   fmt::format("add --spring with one of: {}", list_in_quotes(names)));
  FoundSpring found;
  std::copy_if(all.begin(), all.end(), std::back_inserter(found.springs), same);
  return found;
}

// ------------------------------------------------------------------------------------ heights of a candidate

/// The spring with its unknowns set. A law's forces are taken times the rate's factor, and move with the free length.
LineSpring with_values(LineSpring spring, const std::vector<Unknown>& unknowns, const Eigen::VectorXd& values) {
  std::visit(
      [&](auto& data) {
        for (std::size_t i = 0; i < unknowns.size(); ++i) {
          const double value = values[static_cast<Eigen::Index>(i)];
          if (unknowns[i] == Unknown::free_length) {
            // A captive coil's guide goes along with it: its stroke to solid stays.
            if constexpr (requires { data.solid_mm; }) data.solid_mm += data.law ? value - data.free_mm : 0;
            data.free_mm = value;
          } else if (unknowns[i] == Unknown::rate) {
            if (data.law) {
              for (Vec2& point : *data.law) point.y() *= value;
            } else {
              data.rate_n_per_mm = value;
            }
          } else if constexpr (requires { data.preload_n; }) {
            data.preload_n = value;
          }
        }
      },
      spring);
  return spring;
}

/// Whether there can be such a spring.
bool can_be(const LineSpring& spring) {
  return std::visit(
      [](const auto& data) {
        if constexpr (requires { data.solid_mm; })
          if (data.free_mm <= data.solid_mm || data.solid_mm <= 0) return false;
        return data.free_mm > 0 && (data.law ? data.law->back().y() : data.rate_n_per_mm) > 0;
      },
      spring);
}

Model with_spring(const Model& model, const std::vector<SpringRef>& springs, const LineSpring& data) {
  Model out = model;
  for (const SpringRef ref : springs) {
    Spring& spring = out.linkages[static_cast<std::size_t>(ref.linkage)].springs[static_cast<std::size_t>(ref.spring)];
    spring.data = *narrowed<SpringData>(data);
  }
  return out;
}

/// The model with an extra weight on it; on the bench it is put on every wheel.
Model with_extra(const Model& model, const VehicleResult* vehicle, const HeightRow& row) {
  Model out = model;
  if (out.bench) {
    for (Corner& corner : out.corners) {
      if (corner.load_n) *corner.load_n += row.extra_kg * gravity_m_per_s2;
    }
    return out;
  }
  const Vec3 cg_mm = vehicle->cg_mm;
  // A weighed vehicle keeps the mass and the centre of gravity that its readings gave, however much is put on it.
  if (!out.weighed.empty()) out = with_mass_at(out, vehicle->mass_kg, cg_mm);
  if (row.extra_kg > 0)
    out.masses.push_back({"extra weight", row.extra_kg, row.at_mm.value_or(cg_mm), std::nullopt, {}});
  return out;
}

/// The computed height at every measured place, in their order; none where the vehicle does not stand.
std::optional<std::vector<double>> heights(const Model& model, const HeightReadings& readings) {
  std::optional<Solution> base;
  if (!model.bench) {
    SolveResult result = solve(model, only_the_stance);
    if (!result.solution) return std::nullopt;
    base = std::move(result.solution);
  }
  std::vector<double> out;
  for (const HeightRow& row : readings.rows) {
    const VehicleResult* vehicle = base ? &*base->vehicle : nullptr;
    const bool as_it_stands = base && row.extra_kg == 0;
    SolveResult result;
    if (!as_it_stands) result = solve(with_extra(model, vehicle, row), only_the_stance);
    const Solution* solution = as_it_stands ? &*base : result.solution ? &*result.solution : nullptr;
    if (!solution) return std::nullopt;
    for (const auto& each : row.height_mm) {
      const auto height = solution->corners[static_cast<std::size_t>(each.first)].ride_height_mm;
      if (!height) return std::nullopt;
      out.push_back(*height);
    }
  }
  return out;
}

// ------------------------------------------------------------------------------------ the whole

bool has_preload(const LineSpring& spring) {
  return std::visit(
      [](const auto& data) {
        return requires { data.preload_n; };
      },
      spring);
}

std::vector<Unknown> default_unknowns(const LineSpring& spring) {
  if (!has_preload(spring)) return {Unknown::rate, Unknown::free_length};
  return has_law(spring) ? std::vector{Unknown::rate} : std::vector{Unknown::rate, Unknown::preload};
}

std::vector<double> measured_heights(const HeightReadings& readings) {
  std::vector<double> measured;
  for (const HeightRow& row : readings.rows)
    for (const auto& each : row.height_mm) measured.push_back(each.second);
  return measured;
}

/// The values of the unknowns whose heights lie nearest to the measured ones.
std::optional<LeastSquares> search(const Model& model, const HeightReadings& readings,
                                   const std::vector<SpringRef>& springs, const LineSpring& from,
                                   const std::vector<Unknown>& unknowns) {
  const std::vector<double> measured = measured_heights(readings);
  Eigen::VectorXd start(static_cast<Eigen::Index>(unknowns.size()));
  for (std::size_t i = 0; i < unknowns.size(); ++i) start[static_cast<Eigen::Index>(i)] = value_of(from, unknowns[i]);
  const Residuals residuals = [&](const Eigen::VectorXd& values, Eigen::VectorXd& out) {
    const auto spring = with_values(from, unknowns, values);
    if (!can_be(spring)) return false;
    const auto computed = heights(with_spring(model, springs, spring), readings);
    if (!computed) return false;
    for (std::size_t i = 0; i < measured.size(); ++i) out[static_cast<Eigen::Index>(i)] = (*computed)[i] - measured[i];
    return true;
  };
  return fit_nonlinear(residuals, start, static_cast<int>(measured.size()));
}

std::optional<FitHeightsResult> wrong_unknowns(const std::string& path, const LineSpring& spring,
                                               const std::vector<Unknown>& unknowns) {
  const auto asked = [&](Unknown each) { return std::find(unknowns.begin(), unknowns.end(), each) != unknowns.end(); };
  if (!asked(Unknown::preload)) return std::nullopt;
  if (asked(Unknown::free_length))
    return refuse(path, "unknowns",
                  "preload and free length can't both be unknown: heights tell only the force at one length",
                  "measure the free length and fit rate,preload; or give the preload and fit rate,free");
  if (!has_preload(spring)) return refuse(path, "unknowns", "a band has no preload", "--unknown rate,free");
  if (has_law(spring))
    return refuse(path, "unknowns", "the spring has a law, which holds its preload",
                  "--unknown rate, to take its forces times a factor");
  return std::nullopt;
}

/// What was found explains no more of the heights than their mean does, each with its freedoms, and not because they are
/// all alike: the adjusted coefficient of determination, Draper and Smith, ch. 5 (from memory).
bool explains_nothing(const LeastSquares& found, const std::vector<double>& measured) {
  const Eigen::Map<const Eigen::ArrayXd> heights(measured.data(), static_cast<Eigen::Index>(measured.size()));
  return found.freedoms > 0 && found.deviation() > ruler_mm &&
         found.sum_of_squares / found.freedoms >=
             (heights - heights.mean()).square().sum() / static_cast<double>(measured.size() - 1);
}

/// What was found leaves no less than the values in the file, each with its freedoms.
bool is_no_better(const LeastSquares& found, const std::vector<double>& before, const std::vector<double>& measured) {
  double square = 0;
  for (std::size_t i = 0; i < measured.size(); ++i) square += (before[i] - measured[i]) * (before[i] - measured[i]);
  return found.freedoms > 0 && found.sum_of_squares / found.freedoms >= square / static_cast<double>(measured.size());
}

/// The rate may as well be 0: its t test, as in fit_spring.cpp.
bool rate_is_chance(const LeastSquares& found, const std::vector<Unknown>& unknowns) {
  const auto rate = std::find(unknowns.begin(), unknowns.end(), Unknown::rate) - unknowns.begin();
  if (found.freedoms == 0 || rate == std::ssize(unknowns)) return false;
  return found.parameters[rate] <=
         student_t(trend_chance, found.freedoms) * *found.standard_error(static_cast<int>(rate));
}

FitHeightsResult not_told(const std::string& path, std::size_t unknowns) {
  if (unknowns > 1)
    return refuse(path, "not-told", "these heights do not tell the spring's values apart",
                  "measure under two or more different weights at which the wheels ride on their springs, or fit one "
                  "value: --unknown rate",
                  Fault::verdict);
  return refuse(path, "not-told", "these heights do not depend on the spring's value",
                "measure at a corner that this spring carries, with its wheel riding, not on a stop", Fault::verdict);
}

void remark_on_weights(HeightFit& fit, const Model& model, const HeightReadings& readings) {
  const auto any = [&](auto rule) { return std::any_of(readings.rows.begin(), readings.rows.end(), rule); };
  if (!any([](const HeightRow& row) { return row.extra_kg > 0; })) return;
  if (model.bench) {
    fit.notes.push_back({"on-the-bench", "taken that the extra weight is put on each wheel that the model loads", ""});
  } else if (!any([](const HeightRow& row) { return row.at_mm.has_value(); })) {
    fit.notes.push_back({"at-the-centre",
                         "taken that the extra weight is put at the centre of gravity of what the springs carry",
                         "columns x_mm and y_mm (or x_modules, y_modules) say where it really was, in vehicle axes"});
  }
}

void remark_on_fit(HeightFit& fit) {
  if (fit.freedoms == 0) {
    fit.notes.push_back(
        {"too-few-to-judge",
         fmt::format("{} heights are just enough to fit: nothing tells how sure the values are", fit.matches.size()),
         "measure more corners, under more weights"});
  } else if (fit.deviation_mm > much_mm) {
    fit.notes.push_back(
        {"scatter",
         fmt::format("the heights still differ by {:.1f} mm, typically: this spring alone does not explain them",
                     fit.deviation_mm),
         "check masses, holes and tyres of the model; and rock the model before each reading, so that friction does "
         "not hold it"});
  }
  for (std::size_t i = 0; i < fit.unknowns.size(); ++i) {
    const Estimate& found = fit.found[i];
    if (fit.unknowns[i] == Unknown::rate && found.standard_error && *found.standard_error >= weak_share * found.value)
      fit.notes.push_back({"weakly-told",
                           "the heights tell rate and preload apart only weakly: see their standard errors",
                           "measure under a wider range of weights, up to where a wheel nearly meets its stop"});
  }
}

}  // namespace

bool has_law(const LineSpring& spring) {
  return std::visit([](const auto& data) { return data.law.has_value(); }, spring);
}

double value_of(const LineSpring& spring, Unknown unknown) {
  return std::visit(
      [&](const auto& data) {
        if (unknown == Unknown::free_length) return data.free_mm;
        if (unknown == Unknown::rate) return data.law ? 1.0 : data.rate_n_per_mm;
        if constexpr (requires { data.preload_n; }) return data.preload_n;
        return 0.0;
      },
      spring);
}

FitHeightsResult fit_heights(const Model& model, const HeightReadings& readings, const std::string& path,
                             const HeightFitOptions& options) {
  FoundSpring spring = find_spring(model, options.spring);
  if (!spring.problems.empty()) return {std::nullopt, std::move(spring.problems)};
  HeightFit fit;
  fit.springs = spring.springs;
  fit.part = at(model, spring.springs.front()).part;
  fit.name = name_of(model, spring.springs.front());
  fit.before = *narrowed<LineSpring>(at(model, spring.springs.front()).data);
  fit.unknowns = options.unknowns.empty() ? default_unknowns(fit.before) : options.unknowns;
  if (auto wrong = wrong_unknowns(path, fit.before, fit.unknowns)) return std::move(*wrong);

  const std::vector<double> measured = measured_heights(readings);
  if (measured.size() < fit.unknowns.size())
    return refuse(path, "too-few",
                  fmt::format("{} measured height{} can't tell {} values", measured.size(),
                              measured.size() == 1 ? "" : "s", fit.unknowns.size()),
                  "measure more corners, under more weights; or fit one value: --unknown rate");
  const auto before = heights(with_spring(model, fit.springs, fit.before), readings);
  if (!before)
    return refuse(path, "no-stance",
                  "the model does not stand under one of these weights with the spring as the file has it",
                  "check it with 'ridepitch solve', and the weights and their places in the table", Fault::no_solution);
  auto found = search(model, readings, fit.springs, fit.before, fit.unknowns);
  if (!found) return not_told(path, fit.unknowns.size());

  if (value_of(with_values(fit.before, fit.unknowns, found->parameters), Unknown::preload) < 0) {
    // It begins to push only when it is shorter than the free length says: that length is what is off, not a preload
    // below nothing.
    const LineSpring from = with_values(fit.before, {Unknown::preload}, Eigen::VectorXd::Zero(1));
    fit.notes.push_back({"slack-start",
                         fmt::format("with a free length of {:.1f} mm the heights ask for a preload under 0: the free "
                                     "length is fitted in its place, without a preload",
                                     value_of(from, Unknown::free_length)),
                         "measure the unloaded spring between its hole centres"});
    std::replace(fit.unknowns.begin(), fit.unknowns.end(), Unknown::preload, Unknown::free_length);
    found = search(model, readings, fit.springs, from, fit.unknowns);
    if (!found) return not_told(path, fit.unknowns.size());
    fit.after = with_values(from, fit.unknowns, found->parameters);
  } else {
    fit.after = with_values(fit.before, fit.unknowns, found->parameters);
  }
  if (explains_nothing(*found, measured) || rate_is_chance(*found, fit.unknowns))
    return refuse(
        path, "explains-nothing",
        fmt::format("no values of this spring explain the heights better than their mean does: they are still off by "
                    "{:.1f} mm, typically",
                    found->deviation()),
        "check masses, holes and tyres of the model, and that each column holds the corner that it names; "
        "measure under a wider range of weights",
        Fault::verdict);
  for (std::size_t i = 0; i < fit.unknowns.size(); ++i)
    fit.found.push_back({found->parameters[static_cast<Eigen::Index>(i)], found->standard_error(static_cast<int>(i))});
  fit.deviation_mm = found->deviation();
  fit.freedoms = found->freedoms;
  fit.explains = !is_no_better(*found, *before, measured);

  for (std::size_t r = 0; r < readings.rows.size(); ++r) {
    for (const auto& [corner, measured_mm] : readings.rows[r].height_mm) {
      const std::size_t i = fit.matches.size();
      // Residuals are observed less fitted, of differences that should be 0: minus them is computed less measured.
      const double off_mm = -found->residuals[static_cast<Eigen::Index>(i)];
      fit.matches.push_back({static_cast<int>(r), corner, measured_mm, (*before)[i], measured_mm + off_mm});
    }
  }
  remark_on_weights(fit, model, readings);
  remark_on_fit(fit);
  note_ignored(fit.notes, readings.ignored);
  return {std::move(fit), {}};
}

}  // namespace ridepitch
