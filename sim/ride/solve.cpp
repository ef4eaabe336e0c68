#include "ride/solve.hpp"

#include <cmath>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/units.hpp"
#include "ride/as_built.hpp"
#include "ride/findings.hpp"
#include "ride/full_size.hpp"
#include "ride/grounding.hpp"
#include "ride/in_a_bend.hpp"
#include "ride/lower.hpp"
#include "ride/measured.hpp"
#include "ride/more_weight.hpp"
#include "ride/rested.hpp"
#include "ride/scatter.hpp"
#include "ride/slope.hpp"
#include "ride/travels.hpp"
#include "ride/vehicle.hpp"
#include "ride/weighing.hpp"
#include "ride/wheel_path.hpp"

namespace ridepitch {
namespace {

constexpr double rounding_of_load = 1e-9;  // share of the ground load

VehicleResult vehicle_result(const RestedVehicle& rested) {
  const Vehicle& vehicle = rested.vehicle;
  VehicleResult out;
  out.mass_kg = vehicle.sprung.kg;
  out.total_mass_kg = vehicle.sprung.kg;
  for (const Member& member : vehicle.system.members)
    for (const Tread& tread : member.treads) out.total_mass_kg += tread.weight_n / gravity_m_per_s2;
  out.cg_mm = vehicle.sprung.cg_mm;
  out.height_mm = rested.rest.state.height_mm;
  out.pitch_deg = without_rounding(rested.rest.state.pitch_rad * deg_per_rad);
  out.roll_deg = without_rounding(rested.rest.state.roll_rad * deg_per_rad);
  out.indeterminate = rested.rest.indeterminate;
  out.snapped = rested.rest.snapped;
  out.modes = find_modes(rested);
  return out;
}

Problem no_rest(const Model& model) {
  const Place place = model.bench || model.masses.empty() ? model.corners.front().place : model.masses.front().place;
  if (model.bench)
    return {.place = place,
            .code = "no-rest",
            .text = "a linkage does not hold the load that it is given",
            .hint = "a smaller load_n, or a spring or limit that holds it",
            .fault = Fault::no_solution};
  return {.place = place,
          .code = "no-rest",
          .text = "nothing supports the vehicle: it tips over or sinks without end",
          .hint = "the centre of gravity must lie between the wheels, and springs must hold the weight",
          .fault = Fault::no_solution};
}

constexpr const char* away_from_a_dead_point =
    "move the seat of its spring, or give its arm a limit that stops it before the dead point";

/// At a dead point of its travel no spring balances what a wheel carries: the pins do.
Problem rests_at_dead_point(const Corner& corner, const WheelResult& wheel) {
  return {
      .place = corner.place,
      .code = "no-rest",
      .text = fmt::format("wheel '{}/{}' comes to rest at a dead point of its travel, where it can't rise: pins carry "
                          "its load of {:.2f} N, and no spring balances it",
                          corner.name, wheel.name, *wheel.load_n),
      .hint = away_from_a_dead_point,
      .fault = Fault::no_solution};
}

/// What is not told of a wheel that hangs at a dead point without load.
Finding hangs_at_dead_point(const Corner& corner, const WheelResult& wheel) {
  return {.level = Level::warning,
          .code = "at-dead-point",
          .where = corner.name + "/" + wheel.name,
          .text =
              "it hangs at a dead point of its travel, where it can't rise: rate, ratio, frequency and slopes do not "
              "exist there",
          .remedy = away_from_a_dead_point};
}

void add(const std::vector<Finding>& found, Solution& solution) {
  solution.findings.insert(solution.findings.end(), found.begin(), found.end());
}

/// What scale and ruler read, beside what came out.
void judge_readings(const Model& model, Solution& solution) {
  if (!model.weighed.empty()) {
    solution.weighing = weighing_report(model, solution);
    add(judge_weighing(model, solution, *solution.weighing), solution);
  }
  solution.measured = compare_measured(model, solution);
  if (!has_doubtful_reading(solution)) solution.causes = likely_causes(model, solution, solution.measured);
  add(judge_measured(solution, solution.measured, solution.causes), solution);
}

/// What it does under a hand, more weight, and in a bend.
void try_out(const RestedVehicle& rested, Solution& solution) {
  add_pressed_and_lifted(rested, solution.corners);
  if (rested.model.bench) return;
  add_more_weight(rested, solution.corners);
  add_bend(rested, *solution.vehicle);
}

}  // namespace

SolveResult solve(const Model& model, const SolveOptions& options) {
  SolveResult out;
  if (options.floor) out.problems = check_floor(model, *options.floor);
  if (!out.problems.empty()) return out;
  VehicleOrProblems built = build_vehicle(model);
  if (!built.vehicle) {
    out.problems = std::move(built.problems);
    return out;
  }
  Vehicle vehicle = std::move(*built.vehicle);
  std::vector<LinkageTravel> travels = find_travels(model, vehicle, options.curve_points);
  const int steps = lowering_steps(vehicle, travels);
  std::optional<Rest> rest =
      model.weighed.empty() ? lower(vehicle.system, vehicle.hanging, steps) : lower_as_weighed(model, vehicle, steps);
  if (!rest) {
    out.problems.push_back(no_rest(model));
    return out;
  }
  if (options.floor) {
    RestOrProblem on_floor = stand_on_floor(model, *options.floor, *rest, steps, vehicle);
    if (on_floor.problem) {
      out.problems.push_back(*on_floor.problem);
      return out;
    }
    rest = std::move(on_floor.rest);
  }
  const RestedVehicle rested{model, std::move(vehicle), std::move(travels), std::move(*rest), options.curve_points};

  Solution solution;
  solution.model = model.name;
  if (!model.bench) {
    solution.vehicle = vehicle_result(rested);
    if (options.other_stances) solution.vehicle->other_stances = other_stances(rested);
    if (options.floor) solution.floor = explore_floor(rested, *options.floor);
    for (const Clearance& point : model.clearances)
      solution.clearances.push_back({point.name, height_of(rested.rest.state, point.at_mm)});
  }
  std::vector<TravelFromRest> followed;
  std::vector<WheelRef> dead;
  for (std::size_t c = 0; c < model.corners.size(); ++c)
    solution.corners.push_back(corner_result(rested, c, followed, solution.curves, dead));
  std::vector<Finding> hanging;
  for (const WheelRef ref : dead) {
    const Corner& corner = at(model.corners, ref.corner);
    const WheelResult& wheel = at(at(solution.corners, ref.corner).wheels, ref.wheel);
    if (wheel.state != WheelState::lifted && std::abs(*wheel.load_n) > rounding_of_load * *wheel.ground_load_n)
      out.problems.push_back(rests_at_dead_point(corner, wheel));
    else
      hanging.push_back(hangs_at_dead_point(corner, wheel));
  }
  if (!out.problems.empty()) return out;
  if (!model.bench) solution.axles = find_axles(rested, solution.corners);
  if (options.trials && rested.vehicle.system.slope.sin == 0) try_out(rested, solution);
  solution.findings = judge(model, solution);
  add(hanging, solution);
  if (model.bench && rested.rest.snapped)
    solution.findings.push_back(
        {.level = Level::problem,
         .code = "snap-through",
         .where = "",
         .text = "while its load grew a linkage fell through a range that holds less, and came to rest beyond it",
         .remedy = "another seat or lever, so that the load curve rises all the way"});
  if (options.trials && !options.floor && (options.ranges || model.spread.given))
    add_expected(sample_vehicles(model, solution), solution);
  solution.full_size = full_size(model, solution);
  const std::vector<Grounding> groundings = find_groundings(model, solution);
  add(judge_groundings(model, solution, groundings), solution);
  for (const Grounding& grounding : groundings)
    for (const WheelRef ref : grounding.wheels)
      at(at(solution.corners, ref.corner).wheels, ref.wheel).set_down_height_mm.reset();
  // Scale and ruler read what stands on level ground.
  if (options.readings && !options.floor) judge_readings(model, solution);
  out.solution = std::move(solution);
  return out;
}

}  // namespace ridepitch
