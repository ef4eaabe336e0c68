#include "swap/quantities.hpp"

#include <algorithm>
#include <cassert>

#include "model/units.hpp"

namespace ridepitch {
namespace {

using Value = std::optional<double>;

const CornerResult& corner_at(const Results& results, std::size_t corner) { return results.solution.corners[corner]; }

const WheelResult& wheel_at(const Results& results, std::size_t corner, std::size_t wheel) {
  return results.solution.corners[corner].wheels[wheel];
}

Value pitch(const Results& r, std::size_t, std::size_t) {
  return r.solution.vehicle ? Value(r.solution.vehicle->pitch_deg) : Value();
}
Value roll(const Results& r, std::size_t, std::size_t) {
  return r.solution.vehicle ? Value(r.solution.vehicle->roll_deg) : Value();
}
Value mass(const Results& r, std::size_t, std::size_t) {
  return r.solution.vehicle ? Value(r.solution.vehicle->total_mass_kg) : Value();
}

Value mode_frequency(const Results& r, std::string_view name) {
  if (!r.solution.vehicle) return std::nullopt;
  for (const Mode& mode : r.solution.vehicle->modes) {
    if (mode.name == name) return mode.frequency_hz;
  }
  return std::nullopt;
}
Value bounce(const Results& r, std::size_t, std::size_t) { return mode_frequency(r, "bounce"); }
Value pitching(const Results& r, std::size_t, std::size_t) { return mode_frequency(r, "pitch"); }
Value rolling(const Results& r, std::size_t, std::size_t) { return mode_frequency(r, "roll"); }

Value ride(const Results& r, std::size_t c, std::size_t) { return corner_at(r, c).ride_height_mm; }
Value toggle(const Results& r, std::size_t c, std::size_t) { return corner_at(r, c).toggle_margin_deg; }
Value coil(const Results& r, std::size_t c, std::size_t) { return corner_at(r, c).coil_margin_deg; }
Value load(const Results& r, std::size_t c, std::size_t w) { return wheel_at(r, c, w).load_n; }
Value ground(const Results& r, std::size_t c, std::size_t w) { return wheel_at(r, c, w).ground_load_n; }
Value sag(const Results& r, std::size_t c, std::size_t w) { return wheel_at(r, c, w).sag_mm; }
Value bump(const Results& r, std::size_t c, std::size_t w) { return wheel_at(r, c, w).bump_travel_mm; }
Value reserve(const Results& r, std::size_t c, std::size_t w) { return wheel_at(r, c, w).reserve; }
Value ratio(const Results& r, std::size_t c, std::size_t w) { return wheel_at(r, c, w).motion_ratio; }
Value rate(const Results& r, std::size_t c, std::size_t w) { return wheel_at(r, c, w).wheel_rate_n_per_mm; }
Value frequency(const Results& r, std::size_t c, std::size_t w) { return wheel_at(r, c, w).frequency_hz; }

}  // namespace

const std::vector<Quantity>& quantities() {
  static const std::vector<Quantity> table = {
      {"ride_height_mm", "ride height", "mm", 1, 1, Scope::corner, ride},
      {"pitch_deg", "pitch", "deg", 1, 2, Scope::vehicle, pitch},
      {"roll_deg", "roll", "deg", 1, 2, Scope::vehicle, roll},
      {"total_mass_kg", "mass with the wheels", "g", 1 / kg_per_g, 0, Scope::vehicle, mass},
      {"ground_load_n", "scale reads", "g", 1 / n_per_g, 0, Scope::wheel, ground},
      {"load_n", "load", "N", 1, 2, Scope::wheel, load},
      {"sag_mm", "sag", "mm", 1, 1, Scope::wheel, sag},
      {"bump_travel_mm", "bump travel", "mm", 1, 1, Scope::wheel, bump},
      {"reserve", "reserve", "", 1, 2, Scope::wheel, reserve},
      {"motion_ratio", "motion ratio", "", 1, 3, Scope::wheel, ratio},
      {"wheel_rate_n_per_mm", "wheel rate", "N/mm", 1, 3, Scope::wheel, rate},
      {"frequency_hz", "frequency", "Hz", 1, 2, Scope::wheel, frequency},
      {"bounce_frequency_hz", "bounce", "Hz", 1, 2, Scope::vehicle, bounce},
      {"pitch_frequency_hz", "pitching", "Hz", 1, 2, Scope::vehicle, pitching},
      {"roll_frequency_hz", "rolling", "Hz", 1, 2, Scope::vehicle, rolling},
      {"toggle_margin_deg", "toggle margin", "deg", 1, 1, Scope::corner, toggle},
      {"coil_margin_deg", "coil margin", "deg", 1, 1, Scope::corner, coil},
  };
  return table;
}

const Quantity& quantity(std::string_view name) {
  const auto& table = quantities();
  const auto found = std::find_if(table.begin(), table.end(), [&](const Quantity& each) { return each.name == name; });
  assert(found != table.end());
  return *found;
}

std::vector<Spot> spots_of(const Model& model) {
  std::vector<Spot> spots;
  if (!model.bench) spots.push_back({});
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Corner& corner = model.corners[c];
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(corner.linkage)];
    if (linkage.plane == Plane::top) continue;
    spots.push_back({Scope::corner, c, 0, corner.name});
    for (std::size_t w = 0; w < linkage.wheels.size(); ++w) {
      spots.push_back({Scope::wheel, c, w, corner.name + "/" + linkage.wheels[w].name});
    }
  }
  return spots;
}

}  // namespace ridepitch
