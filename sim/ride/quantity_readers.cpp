#include "ride/quantity_readers.hpp"

#include <array>

#include "model/index.hpp"

namespace ridepitch {
namespace {

using Value = std::optional<double>;

const CornerResult& corner_of(const Solution& solution, const Figure& f) { return at(solution.corners, f.corner); }
const WheelResult& wheel_of(const Solution& s, const Figure& f) { return at(corner_of(s, f).wheels, f.wheel); }
const SpringResult& spring_of(const Solution& s, const Figure& f) { return at(corner_of(s, f).springs, f.spring); }

const WheelPath* path_of(const Solution& s, const Figure& f) {
  const std::optional<WheelPath>& path = wheel_of(s, f).path;
  return path ? &*path : nullptr;
}

/// The part that a member belongs to; null: there is none.
const VehicleResult* part_of(const Solution& s, const Figure&, const VehicleResult*) {
  return s.vehicle ? &*s.vehicle : nullptr;
}
const CornerResult* part_of(const Solution& s, const Figure& f, const CornerResult*) { return &corner_of(s, f); }
const WheelResult* part_of(const Solution& s, const Figure& f, const WheelResult*) { return &wheel_of(s, f); }
const SpringResult* part_of(const Solution& s, const Figure& f, const SpringResult*) { return &spring_of(s, f); }
const WheelPath* part_of(const Solution& s, const Figure& f, const WheelPath*) { return path_of(s, f); }
const PathPoint* part_of(const Solution& s, const Figure& f, const PathPoint*) {
  const WheelPath* path = path_of(s, f);
  return path ? &path->rest : nullptr;
}

template <class Part, class Number>
Part part_with(Number Part::*);

template <auto member>
Value of(const Model&, const Solution& s, const Figure& f) {
  using Part = decltype(part_with(member));
  const Part* part = part_of(s, f, static_cast<const Part*>(nullptr));
  return part ? Value(part->*member) : Value();
}

template <int axis>
Value centre_of_gravity(const Model& model, const Solution& s, const Figure&) {
  return s.vehicle ? Value(s.vehicle->cg_mm[axis] / model.module_mm) : Value();
}

Value mode_frequency(const Solution& solution, std::string_view name) {
  const Mode* mode = solution.vehicle ? named(solution.vehicle->modes, name) : nullptr;
  return mode ? Value(mode->frequency_hz) : Value();
}
Value bounce(const Model&, const Solution& s, const Figure&) { return mode_frequency(s, "bounce"); }
Value pitching(const Model&, const Solution& s, const Figure&) { return mode_frequency(s, "pitch"); }
Value rolling(const Model&, const Solution& s, const Figure&) { return mode_frequency(s, "roll"); }

/// A spring's own ratio where one is named, else the wheel's.
Value motion_ratio(const Model&, const Solution& s, const Figure& f) {
  return f.spring < 0 ? wheel_of(s, f).motion_ratio : at(spring_of(s, f).motion_ratio, f.wheel).second;
}

Value clearance(const Model&, const Solution& s, const Figure& f) { return at(s.clearances, f.point).height_mm; }

}  // namespace

const std::vector<RideReader>& ride_readers() {
  static const std::vector<RideReader> readers = {
      {name::mass, of<&VehicleResult::mass_kg>},
      {name::total_mass, of<&VehicleResult::total_mass_kg>},
      {"cg_x_modules", centre_of_gravity<0>},
      {"cg_y_modules", centre_of_gravity<1>},
      {"cg_z_modules", centre_of_gravity<2>},
      {"height_mm", of<&VehicleResult::height_mm>},
      {name::pitch, of<&VehicleResult::pitch_deg>},
      {name::roll, of<&VehicleResult::roll_deg>},
      {name::bounce_frequency, bounce},
      {name::pitch_frequency, pitching},
      {name::roll_frequency, rolling},
      {name::roll_share, of<&VehicleResult::roll_stiffness_share_front>},
      {name::lean, of<&VehicleResult::lean_deg_per_0_1_g>},
      {name::load_transfer, of<&VehicleResult::load_transfer_n>},
      {name::ride_height, of<&CornerResult::ride_height_mm>},
      {name::as_built, of<&CornerResult::as_built_height_mm>},
      {name::pressed, of<&CornerResult::pressed_height_mm>},
      {name::lifted, of<&CornerResult::lifted_height_mm>},
      {name::toggle_margin, of<&CornerResult::toggle_margin_deg>},
      {name::coil_margin, of<&CornerResult::coil_margin_deg>},
      {name::load, of<&WheelResult::load_n>},
      {name::ground_load, of<&WheelResult::ground_load_n>},
      {name::travel, of<&WheelResult::travel_mm>},
      {name::sag, of<&WheelResult::sag_mm>},
      {name::bump_travel, of<&WheelResult::bump_travel_mm>},
      {name::droop_travel, of<&WheelResult::droop_travel_mm>},
      {name::bump_total, of<&WheelResult::bump_total_mm>},
      {name::bump_load, of<&WheelResult::bump_load_n>},
      {name::reserve, of<&WheelResult::reserve>},
      {name::motion_ratio, motion_ratio},
      {name::wheel_rate, of<&WheelResult::wheel_rate_n_per_mm>},
      {name::frequency, of<&WheelResult::frequency_hz>},
      {name::weight_to_bump, of<&WheelResult::weight_to_bump_g>},
      {name::sink_100g, of<&WheelResult::sink_100g_mm>},
      {name::friction, of<&WheelResult::friction_n>},
      {name::break_out, of<&WheelResult::break_out_g>},
      {name::set_down_height, of<&WheelResult::set_down_height_mm>},
      {"camber_deg", of<&PathPoint::camber_deg>},
      {"roll_centre_mm", of<&PathPoint::roll_centre_mm>},
      {"camber_deg_per_mm", of<&WheelPath::camber_deg_per_mm>},
      {"track_change_mm_per_mm", of<&WheelPath::track_change_mm_per_mm>},
      {"wheelbase_change_mm_per_mm", of<&WheelPath::wheelbase_change_mm_per_mm>},
      {name::spring_length, of<&SpringResult::length_mm>},
      {name::spring_force, of<&SpringResult::force_n>},
      {name::total_force, of<&SpringResult::total_force_n>},
      {"spring_angle_deg", of<&SpringResult::angle_deg>},
      {"spring_torque_n_mm", of<&SpringResult::torque_n_mm>},
      {name::clearance, clearance},
  };
  return readers;
}

std::optional<double> value_of(const Model& model, const Solution& solution, const Figure& figure) {
  static const auto by_row = [] {
    std::vector<const RideReader*> all(quantities().size());
    for (const RideReader& each : ride_readers()) all[table_index(quantity(each.name))] = &each;
    return all;
  }();
  const RideReader* reader = by_row[table_index(*figure.what)];
  return reader ? reader->value(model, solution, figure) : std::nullopt;
}

const std::vector<CurveReader>& curve_readers() {
  static const std::vector<CurveReader> readers = {
      {name::travel, [](const CurvePoint& p) -> Value { return p.travel_mm; }},
      {name::load, [](const CurvePoint& p) -> Value { return p.load_n; }},
      {name::motion_ratio, [](const CurvePoint& p) { return p.motion_ratio; }},
      {name::wheel_rate, [](const CurvePoint& p) -> Value { return p.wheel_rate_n_per_mm; }}};
  return readers;
}

std::string_view state_name(WheelState state) {
  static constexpr std::array names = {"lifted", "topped", "riding", "bottomed", "fixed"};  // as WheelState has them
  return names[static_cast<std::size_t>(state)];
}

}  // namespace ridepitch
