#include "ride/measured.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/solve.hpp"
#include "ride/weighing.hpp"

namespace ridepitch {
namespace {

// Wheels of one reading that stand this far apart along the vehicle stand one behind the other.
constexpr double behind_mm = 5;

const WheelResult& result_of(const Solution& solution, WheelRef ref) {
  return at(at(solution.corners, ref.corner).wheels, ref.wheel);
}

double ground_kg(const Solution& solution, const Weighed& reading) {
  double load_n = 0;
  for (const WheelRef wheel : reading.wheels) load_n += result_of(solution, wheel).ground_load_n.value_or(0);
  return load_n / gravity_m_per_s2;
}

bool stands(const Model& model, const Corner& corner) { return at(model.linkages, corner.linkage).plane != Plane::top; }

/// Everything that an error of a reading, a place or a height moves, in one row:
/// mass, x and y of its centre, pitch, roll, the corners' heights, and how far each reading lies off.
struct Outcome {
  enum : Eigen::Index { mass, x, y, pitch, roll, heights };
};

Eigen::VectorXd outcome(const Model& model, const Solution& solution) {
  const VehicleResult& vehicle = *solution.vehicle;
  Eigen::VectorXd values(Outcome::heights + static_cast<Eigen::Index>(model.corners.size() + model.weighed.size()));
  values.head(Outcome::heights) << vehicle.mass_kg, vehicle.cg_mm.x(), vehicle.cg_mm.y(), vehicle.pitch_deg,
      vehicle.roll_deg;
  Eigen::Index next = Outcome::heights;
  for (const CornerResult& corner : solution.corners) values[next++] = corner.ride_height_mm.value_or(0);
  for (const Weighed& reading : model.weighed) values[next++] = ground_kg(solution, reading) - reading.kg;
  return values;
}

/// Sum of the squares of what each error alone does.
struct Errors {
  const Model& model;
  const Solution& solution;
  Eigen::VectorXd right = outcome(model, solution);
  Eigen::VectorXd squares = Eigen::VectorXd::Zero(right.size());
};

double within(const Errors& errors, Eigen::Index value) { return std::sqrt(errors.squares[value]); }

/// @param readings_only  the error was there while weighing, and is not when the vehicle stands on its wheels
void add_error(Errors& errors, const Model& wrong, const Model& weighed_as, bool readings_only) {
  const SolveResult result = solve(wrong, only_the_stance);
  if (!result.solution) return;  // so near to where it does not stand that nothing can be said
  Eigen::VectorXd off = outcome(weighed_as, *result.solution) - errors.right;
  if (readings_only) off.head(off.size() - static_cast<Eigen::Index>(errors.model.weighed.size())).setZero();
  errors.squares += off.cwiseAbs2();
}

void add_reading_errors(Errors& errors) {
  for (std::size_t i = 0; i < errors.model.weighed.size(); ++i) {
    Model wrong = errors.model;
    wrong.weighed[i].kg += wrong.weighed[i].within_kg;
    add_error(errors, wrong, wrong, false);
  }
}

void add_place_errors(Errors& errors, bool sideways) {
  for (std::size_t c = 0; c < errors.model.corners.size(); ++c) {
    if (!stands(errors.model, errors.model.corners[c])) continue;
    for (const Vec3& off : {Vec3(ruler_within_mm, 0, 0), Vec3(0, ruler_within_mm, 0)}) {
      if (off.y() > 0 && !sideways) continue;
      Model wrong = errors.model;
      wrong.corners[c].at_mm += off;
      add_error(errors, wrong, wrong, false);
    }
  }
}

/// A block or scale that is too high raises its wheel: the same as a greater tyre. The mass stays where it is.
void add_height_errors(Errors& errors) {
  const VehicleResult& vehicle = *errors.solution.vehicle;
  const Model standing = with_mass_at(errors.model, vehicle.mass_kg, vehicle.cg_mm);
  for (std::size_t c = 0; c < standing.corners.size(); ++c) {
    if (!stands(standing, standing.corners[c])) continue;
    const Linkage& linkage = at(standing.linkages, standing.corners[c].linkage);
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      Model wrong = standing;
      wrong.linkages.push_back(linkage);
      wrong.linkages.back().wheels[w].tyre.diameter_mm += 2 * ruler_within_mm;
      wrong.corners[c].linkage = static_cast<int>(wrong.linkages.size()) - 1;
      add_error(errors, wrong, errors.model, true);
    }
  }
}

double grams(double kg) { return kg / kg_per_g; }

/// How far a reading and the computed load may lie apart; a scale's own error at least.
double may_differ_kg(const WeighedReading& reading) { return std::max(reading.may_differ_kg, reading.within_kg); }

bool disagrees(const WeighedReading& reading) {
  const double rounding_kg = 1e-9;
  return std::abs(reading.computed_kg - reading.read_kg) > may_differ_kg(reading) + rounding_kg;
}

/// All readings that lie farther off than they may, said once: mostly one error has moved them all.
std::optional<Finding> disagreement(const Weighing& weighing) {
  std::vector<std::string> wheels, read, computed;
  const WeighedReading* worst = nullptr;
  const auto apart_kg = [](const WeighedReading& reading) { return std::abs(reading.computed_kg - reading.read_kg); };
  for (const WeighedReading& reading : weighing.readings) {
    if (!disagrees(reading)) continue;
    wheels.insert(wheels.end(), reading.wheels.begin(), reading.wheels.end());
    read.push_back(fmt::format("{:.0f}", grams(reading.read_kg)));
    computed.push_back(fmt::format("{:.0f}", grams(reading.computed_kg)));
    if (!worst || apart_kg(reading) > apart_kg(*worst)) worst = &reading;
  }
  if (!worst) return std::nullopt;
  return Finding{
      Level::warning, "readings-disagree", fmt::format("{}", fmt::join(wheels, ", ")),
      fmt::format(
          "the scale read {} g there, but on these springs, tyres and holes a body of that weight and centre makes "
          "it read {} g: up to {:.0f} g apart, over the {:.0f} g that errors of reading and measuring explain",
          fmt::join(read, ", "), fmt::join(computed, ", "), grams(apart_kg(*worst)), grams(may_differ_kg(*worst))),
      "one of the readings is wrong, or a block was not as high as the others: weigh again. If it stays so, the "
      "frame is twisted, a wheel jams, or two springs are not alike"};
}

/// Whether a reading spans corners that stand one behind the other; the wheels of one corner share by its linkage.
bool spans_corners(const Solution& solution, const Weighed& reading) {
  std::map<int, std::vector<double>> x_mm;  // of its wheels, by corner
  for (const WheelRef ref : reading.wheels) x_mm[ref.corner].push_back(result_of(solution, ref).contact_mm.x());
  std::vector<double> means;
  for (const auto& [corner, x] : x_mm)
    means.push_back(std::accumulate(x.begin(), x.end(), 0.0) / static_cast<double>(x.size()));
  const auto [least, most] = std::minmax_element(means.begin(), means.end());
  return !means.empty() && *most - *least > behind_mm;
}

}  // namespace

Weighing weighing_report(const Model& model, const Solution& solution) {
  const bool sideways = sides_apart(model, [&](WheelRef wheel) { return result_of(solution, wheel).contact_mm.y(); });
  Errors errors{model, solution};
  add_reading_errors(errors);
  add_place_errors(errors, sideways);
  Weighing out;
  out.mass_within_kg = within(errors, Outcome::mass);
  out.cg_x_within_mm = within(errors, Outcome::x);
  if (sideways) out.cg_y_within_mm = within(errors, Outcome::y);
  out.pitch_within_deg = within(errors, Outcome::pitch);
  out.roll_within_deg = within(errors, Outcome::roll);
  out.height_known = model.sprung && model.sprung->cg_height_mm;
  Eigen::Index next = Outcome::heights;
  for (const CornerResult& corner : solution.corners) {
    const double within_mm = within(errors, next++);
    out.ride_height_within_mm.push_back(corner.ride_height_mm ? std::optional(within_mm) : std::nullopt);
  }
  add_height_errors(errors);
  for (const Weighed& weighed : model.weighed) {
    WeighedReading reading{{}, weighed.kg, weighed.within_kg, ground_kg(solution, weighed), within(errors, next++)};
    for (const WheelRef ref : weighed.wheels)
      reading.wheels.push_back(at(solution.corners, ref.corner).name + "/" + result_of(solution, ref).name);
    out.readings.push_back(std::move(reading));
  }
  return out;
}

std::vector<Finding> judge_weighing(const Model& model, const Solution& solution, const Weighing& weighing) {
  std::vector<Finding> found = doubtful_readings(model);
  // Where statics can't tell the loads apart, the scale knows more of them than the computed ones.
  if (!solution.vehicle->indeterminate) {
    if (auto finding = disagreement(weighing)) found.push_back(std::move(*finding));
  }
  for (std::size_t i = 0; i < model.weighed.size(); ++i) {
    if (!spans_corners(solution, model.weighed[i])) continue;
    found.push_back(
        {Level::note, "weighed-together", fmt::format("{}", fmt::join(weighing.readings[i].wheels, ", ")),
         fmt::format("these wheels stand one behind the other and share one reading of {:.0f} g: taken that each "
                     "carries as much, so it says little of how far forward the weight lies",
                     grams(model.weighed[i].kg)),
         "weigh front and rear wheels apart"});
  }
  return found;
}

}  // namespace ridepitch
