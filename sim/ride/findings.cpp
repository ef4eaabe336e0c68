#include "ride/findings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

#include "model/index.hpp"
#include "model/mirrored_name.hpp"
#include "model/on_vehicle.hpp"

namespace ridepitch {
namespace {

using Findings = std::vector<Finding>;

// A value on its limit is no finding, and what a solver puts there may miss it by rounding.
constexpr double rounding = 1e-9;

bool under(double limit, double value) { return value < limit - rounding * std::max(1.0, std::abs(limit)); }
bool over(double limit, double value) { return under(-limit, -value); }

/// A number with as many decimals as it takes to tell it from the limit that it breaks ("24.98", not "25.0").
std::string beside(double limit, double value, int decimals = 1) {
  const int most = 6;
  std::string text = fmt::format("{:.{}f}", value, decimals);
  while (decimals < most && text == fmt::format("{:.{}f}", limit, decimals))
    text = fmt::format("{:.{}f}", value, ++decimals);
  return text;
}

std::string percent_beside(double limit, double share) { return beside(100 * limit, 100 * share); }

std::string wheel_of(const CornerResult& corner, const WheelResult& wheel) { return corner.name + "/" + wheel.name; }

// --------------------------------------------------------------------------------------- one wheel

void judge_travel(Findings& found, const std::string& where, const WheelResult& wheel, const FindingLimits& limits) {
  // A walking beam's wheels have no ends of their own, a fixed wheel no travel.
  if (!wheel.bump_total_mm || !wheel.bump_travel_mm || !wheel.droop_travel_mm) return;
  const double total = *wheel.bump_total_mm;
  if (total <= 0) {
    found.push_back({Level::problem, "no-travel", where, "it has no travel at all: 0.0 mm from full droop to full bump",
                     "find the stop or the solid spring that holds it at both ends, and move it or take a longer "
                     "spring"});
    return;
  }
  const auto judge = [&](Level level, const char* code, const char* end, double travel_mm, double least_share,
                         const char* effect, const char* remedy) {
    if (!under(least_share, travel_mm / total)) return;
    found.push_back({level, code, where,
                     fmt::format("{:.1f} mm of {} is {} % of its {:.1f} mm of travel, under {:g} %: {}", travel_mm, end,
                                 percent_beside(least_share, travel_mm / total), total, 100 * least_share, effect),
                     remedy});
  };
  if (wheel.state == WheelState::riding)
    judge(Level::warning, "low-droop", "droop", *wheel.droop_travel_mm, limits.droop_share,
          "it soon hangs in the air over a dip",
          "let it sink further: a softer spring, one spring less, or a spring end moved so that it starts less "
          "squeezed");
  if (wheel.state != WheelState::bottomed)
    judge(Level::warning, "low-bump", "bump", *wheel.bump_travel_mm, limits.bump_share, "it soon hits its stop",
          "hold it higher: a stiffer spring, one more beside it, or a spring end moved so that it starts more "
          "squeezed");
}

void judge_reserve(Findings& found, const std::string& where, const WheelResult& wheel, const FindingLimits& limits) {
  if (!wheel.reserve || wheel.state == WheelState::bottomed || !under(limits.reserve, *wheel.reserve)) return;
  const double works_from = 1.0;
  found.push_back({under(works_from, *wheel.reserve) ? Level::problem : Level::warning, "low-reserve", where,
                   fmt::format("its springs can carry {} times what they carry at rest before it meets its stop, under "
                               "{:g}",
                               beside(limits.reserve, *wheel.reserve, 2), limits.reserve),
                   "a stiffer spring, one more beside it, or a lever that squeezes it more for the same wheel "
                   "movement"});
}

void judge_state(Findings& found, const std::string& where, const WheelResult& wheel) {
  const auto on_stop = [&](const char* which, const std::string& stop, const char* effect) {
    return fmt::format("it rests on its {} stop{}: {:.2f} N on it {}", which, stop.empty() ? "" : " (" + stop + ")",
                       wheel.load_n.value_or(0), effect);
  };
  if (wheel.state == WheelState::lifted)
    found.push_back({Level::warning, "lifted", where, "it hangs in the air at rest: 0 g on the ground",
                     "move weight towards it, or soften the wheels that hold it up"});
  if (wheel.state == WheelState::topped)
    found.push_back({Level::warning, "topped", where, on_stop("droop", wheel.droop_end, "do not move its spring"),
                     "a softer spring, one spring less, or a spring end moved so that it starts less squeezed"});
  if (wheel.state == WheelState::bottomed)
    found.push_back({Level::problem, "bottomed", where,
                     on_stop("bump", wheel.bump_end, "are more than its springs carry"),
                     "a stiffer spring, one more beside it, or a lever that squeezes it more for the same wheel "
                     "movement"});
}

void judge_tyre(Findings& found, const std::string& where, const WheelResult& wheel, const Tyre& tyre) {
  const double radius_mm = tyre.diameter_mm / 2, load_n = wheel.ground_load_n.value_or(0);
  if (!tyre.rate_n_per_mm || !over(radius_mm, load_n / *tyre.rate_n_per_mm)) return;
  const double sunk_mm = load_n / *tyre.rate_n_per_mm;
  found.push_back({Level::problem, "tyre-crushed", where,
                   fmt::format("its tyre gives {} mm under {:.2f} N, more than its radius of {:.1f} mm: the wheel's "
                               "centre would be under the ground",
                               beside(radius_mm, sunk_mm), load_n, radius_mm),
                   "a stiffer tyre (its rate_n_per_mm), a larger one, or less load on it"});
}

void judge_rate(Findings& found, const std::string& where, const WheelResult& wheel) {
  if (!wheel.wheel_rate_n_per_mm || *wheel.wheel_rate_n_per_mm > 0) return;
  found.push_back({Level::problem, "wheel-rate-not-positive", where,
                   fmt::format("its wheel rate is {} N/mm, not over 0: pressed a little, it does not push back",
                               beside(0, *wheel.wheel_rate_n_per_mm, 3)),
                   "move the lever's holes so that the spring is squeezed faster as the wheel rises, not slower"});
}

/// Friction that holds it anywhere in more than its sag: it does not find its height by itself.
void judge_friction(Findings& found, const CornerResult& corner) {
  if (!corner.pressed_height_mm || !corner.lifted_height_mm) return;
  std::optional<double> least_sag_mm;
  for (const WheelResult& wheel : corner.wheels)
    if (wheel.state == WheelState::riding && wheel.sag_mm && wheel.friction_n)
      least_sag_mm = std::min(*wheel.sag_mm, least_sag_mm.value_or(*wheel.sag_mm));
  const double band_mm = *corner.lifted_height_mm - *corner.pressed_height_mm;
  if (!least_sag_mm || !over(*least_sag_mm, band_mm)) return;
  found.push_back(
      {Level::warning, "sticks", corner.name,
       fmt::format("friction can hold it anywhere in {} mm, more than the {:.1f} mm that it sags: where it "
                   "stands says little",
                   beside(*least_sag_mm, band_mm), *least_sag_mm),
       "fewer joints between wheel and spring, holes in which pins turn freely, or a softer spring that sags "
       "more; [friction] says what was assumed"});
}

/// The greatest load between rest and full bump, where the curve falls after it.
struct Peak {
  double travel_mm = 0;
  double load_n = 0;
};

/// Where the wheel rate first goes from above 0 to below 0 after rest.
std::optional<Peak> load_peak(const Curve& curve, const WheelResult& wheel) {
  double steepest = 0;
  for (const CurvePoint& point : curve.points) steepest = std::max(steepest, std::abs(point.wheel_rate_n_per_mm));
  const double nothing = 1e-9 * steepest;  // rounding of a rate that is 0: a level law is not a falling one

  const CurvePoint* before = nullptr;
  CurvePoint rest;
  if (wheel.travel_mm && wheel.wheel_rate_n_per_mm && *wheel.wheel_rate_n_per_mm > nothing) {
    rest.travel_mm = *wheel.travel_mm;
    rest.wheel_rate_n_per_mm = *wheel.wheel_rate_n_per_mm;
    before = &rest;
  }
  for (const CurvePoint& point : curve.points) {
    if (point.travel_mm <= wheel.travel_mm.value_or(0)) continue;
    if (before && point.wheel_rate_n_per_mm < -nothing) {
      // Between the two the load is a parabola with these slopes at its ends; it peaks where its slope is 0.
      const double share = point.wheel_rate_n_per_mm / (point.wheel_rate_n_per_mm - before->wheel_rate_n_per_mm);
      const double back_mm = share * (point.travel_mm - before->travel_mm);
      return Peak{point.travel_mm - back_mm, point.load_n - point.wheel_rate_n_per_mm * back_mm / 2};
    }
    if (point.wheel_rate_n_per_mm > nothing) before = &point;
  }
  return std::nullopt;
}

void judge_snap(Findings& found, const std::string& where, const WheelResult& wheel, const Curve& curve) {
  const std::optional<Peak> peak = load_peak(curve, wheel);
  if (!peak) return;
  found.push_back({Level::problem, "snap-through", where,
                   fmt::format("it gives way {:.1f} mm above rest: its load peaks at {:.2f} N there and falls {:.1f} "
                               "mm before full bump",
                               peak->travel_mm - wheel.travel_mm.value_or(0), peak->load_n,
                               curve.points.back().travel_mm - peak->travel_mm),
                   "move the lever's holes so that the spring is squeezed faster as the wheel rises, or stop the wheel "
                   "before the peak"});
}

// -------------------------------------------------------------------------------------- one corner

void judge_margin(Findings& found, Level level, const char* code, const std::string& where, const char* part,
                  std::optional<double> margin_deg, double limit_deg, const char* effect, const char* remedy) {
  if (!margin_deg || !under(limit_deg, *margin_deg)) return;
  found.push_back({level, code, where,
                   fmt::format("somewhere in its travel a {} is only {} degrees from standing perpendicular to the "
                               "path of its end, under {:g}: there it {}",
                               part, beside(limit_deg, *margin_deg), limit_deg, effect),
                   remedy});
}

void judge_pins(Findings& found, const CornerResult& corner, const FindingLimits& limits) {
  for (const PinResult& pin : corner.pins) {
    if (!over(limits.pin_force_n, pin.force_n)) continue;
    found.push_back({Level::warning, "pin-load", corner.name + "/" + pin.name,
                     fmt::format("{} N on one side of this pin, over {:g} N: it binds, wears and walks out",
                                 beside(limits.pin_force_n, pin.force_n), limits.pin_force_n),
                     "hold the pin in two walls, or use a longer lever so that the same wheel load needs less force"});
  }
}

void judge_corner(Findings& found, const Model& model, const Solution& solution, std::size_t index,
                  const FindingLimits& limits) {
  const CornerResult& corner = solution.corners[index];
  const std::vector<Wheel>& wheels = at(model.linkages, model.corners[index].linkage).wheels;
  for (std::size_t w = 0; w < corner.wheels.size(); ++w) {
    const WheelResult& wheel = corner.wheels[w];
    const std::string where = wheel_of(corner, wheel);
    judge_state(found, where, wheel);
    if (w < wheels.size()) judge_tyre(found, where, wheel, wheels[w].tyre);
    judge_rate(found, where, wheel);
    for (const Curve& curve : solution.curves)
      if (curve.corner == static_cast<int>(index) && curve.wheel == static_cast<int>(w) && !curve.points.empty())
        judge_snap(found, where, wheel, curve);
    judge_travel(found, where, wheel, limits);
    judge_reserve(found, where, wheel, limits);
  }
  judge_margin(found, Level::warning, "low-toggle-margin", corner.name, "rod", corner.toggle_margin_deg,
               limits.margin_deg, "jams or snaps over",
               "change the rod's length or move its holes so that it points along the path of its ends");
  judge_margin(found, Level::warning, "low-coil-margin", corner.name, "coil", corner.coil_margin_deg, limits.margin_deg,
               "hardly gets squeezed", "move the coil's seat so that it points along the path of its moving end");
  judge_pins(found, corner, limits);
  judge_friction(found, corner);
  if (!corner.mobility_note.empty())
    found.push_back({Level::note, "redundant", corner.name, corner.mobility_note,
                     "it moves only as long as those parts fit each other exactly: use equal holes and equal rods "
                     "there"});
}

// ------------------------------------------------------------------------------------- the vehicle

void judge_left_right(Findings& found, const Solution& solution, const FindingLimits& limits) {
  std::vector<std::pair<std::string, double>> loads;  // [N] of every wheel that has one
  for (const CornerResult& corner : solution.corners)
    for (const WheelResult& wheel : corner.wheels)
      if (wheel.load_n) loads.emplace_back(wheel_of(corner, wheel), *wheel.load_n);
  for (auto a = loads.begin(); a != loads.end(); ++a) {
    const std::string across = mirrored_name(a->first);
    for (auto b = a + 1; b != loads.end(); ++b) {
      const double greater = std::max(a->second, b->second);
      const double apart = greater > 0 ? std::abs(a->second - b->second) / greater : 0;
      if (across != b->first || !over(limits.left_right_share, apart)) continue;
      found.push_back({Level::warning, "left-right-load", a->first + ", " + b->first,
                       fmt::format("they carry {:.2f} N and {:.2f} N: {} % apart, over {:g} %", a->second, b->second,
                                   percent_beside(limits.left_right_share, apart), 100 * limits.left_right_share),
                       "move weight to the lighter side, or check that both sides have the same springs and holes"});
    }
  }
}

/// x of a wheel's centre at rest, vehicle axes [mm].
double wheel_x_mm(const Model& model, std::size_t corner_index, const WheelResult& wheel) {
  const Corner& corner = model.corners[corner_index];
  const Plane plane = model.linkages[static_cast<std::size_t>(corner.linkage)].plane;
  return on_vehicle(corner, plane, wheel.centre_C_mm).x();
}

/// Ride frequencies of the wheels ahead of the sprung centre of gravity against those behind it.
void judge_frequencies(Findings& found, const Model& model, const Solution& solution, const FindingLimits& limits) {
  struct Mean {
    double sum = 0;
    int count = 0;
  } front, rear;
  for (std::size_t c = 0; c < solution.corners.size() && c < model.corners.size(); ++c) {
    for (const WheelResult& wheel : solution.corners[c].wheels) {
      const double ahead_mm = wheel_x_mm(model, c, wheel) - solution.vehicle->cg_mm.x();
      if (!wheel.frequency_hz || ahead_mm == 0) continue;
      Mean& end = ahead_mm > 0 ? front : rear;
      end.sum += *wheel.frequency_hz;
      ++end.count;
    }
  }
  if (front.count == 0 || rear.count == 0) return;
  const double front_hz = front.sum / front.count, rear_hz = rear.sum / rear.count;
  const double ratio = front_hz / rear_hz;
  const bool low = under(limits.frequency_ratio_low, ratio);
  if (!low && !over(limits.frequency_ratio_high, ratio)) return;
  const double limit = low ? limits.frequency_ratio_low : limits.frequency_ratio_high;
  found.push_back({Level::warning, "frequency-ratio", "",
                   fmt::format("the front bobs at {:.2f} Hz and the rear at {:.2f} Hz: front over rear is {}, {} {:g}",
                               front_hz, rear_hz, beside(limit, ratio, 2), low ? "under" : "over", limit),
                   low ? "stiffer springs in front or softer ones behind, so that both ends bob alike"
                       : "softer springs in front or stiffer ones behind, so that both ends bob alike"});
}

void judge_inertia(Findings& found, const Model& model, const VehicleResult& vehicle, const FindingLimits& limits) {
  const double limit = limits.point_mass_share;
  for (const Mass& mass : model.masses) {
    const double share = mass.kg / vehicle.mass_kg;
    if (mass.size_mm || !over(limit, share)) continue;
    found.push_back({Level::note, "inertia-guess", mass.name,
                     fmt::format("it is {} % of the sprung mass, over {:g} %, and has no size: pitch and roll "
                                 "frequencies leave out its own inertia",
                                 percent_beside(limit, share), 100 * limit),
                     "give it a size, length, width and height in modules"});
  }
  if (!model.weighed.empty() && !(model.sprung && model.sprung->size_mm))
    found.push_back({Level::note, "inertia-guess", "",
                     fmt::format("all of the sprung mass was weighed, over {:g} %, and has no size: there are no modes",
                                 100 * limit),
                     "give [sprung] a size, length, width and height in modules"});
}

void judge_stance(Findings& found, const VehicleResult& vehicle) {
  if (vehicle.snapped)
    found.push_back({Level::problem, "snap-through", "",
                     fmt::format("as its weight comes on, it gives way and falls to where it stands now (pitch {:.1f}, "
                                 "roll {:.1f} degrees)",
                                 vehicle.pitch_deg, vehicle.roll_deg),
                     "move the levers' holes so that the springs are squeezed faster as the wheels rise, or take "
                     "stiffer springs"});
  for (const OtherStance& other : vehicle.other_stances)
    found.push_back({Level::warning, "other-stance", "",
                     fmt::format("let go from {}, it also stays at pitch {:.1f}, roll {:.1f} degrees, not only at "
                                 "pitch {:.1f}, roll {:.1f}",
                                 other.from, other.pitch_deg, other.roll_deg, vehicle.pitch_deg, vehicle.roll_deg),
                     "stiffer springs, or a stop that keeps it from getting there"});
  if (vehicle.indeterminate)
    found.push_back({Level::note, "indeterminate", "",
                     "it stands on more stops or fixed wheels than statics can tell apart: the loads shown are the "
                     "most even that balance",
                     "take a scale for the real ones, or let all but three of those wheels spring"});
}

void judge_clearances(Findings& found, const Solution& solution) {
  for (const ClearanceResult& point : solution.clearances) {
    if (!under(0, point.height_mm)) continue;
    found.push_back({Level::problem, "grounded", point.name,
                     fmt::format("it would be {} mm under the ground, at a height under 0: the model would lie on it",
                                 beside(0, -point.height_mm)),
                     "stiffer springs, larger wheels, or corners placed lower on the vehicle"});
  }
}

}  // namespace

std::vector<Finding> judge(const Model& model, const Solution& solution, const FindingLimits& limits) {
  Findings found;
  for (std::size_t corner = 0; corner < solution.corners.size(); ++corner)
    judge_corner(found, model, solution, corner, limits);
  if (!solution.vehicle) return found;
  // On blocks or a slope it is the ground that makes sides and ends unlike, not the vehicle.
  const bool level = !solution.floor || (solution.floor->blocks.empty() && solution.floor->slope_deg == 0);
  if (level) judge_left_right(found, solution, limits);
  if (level) judge_frequencies(found, model, solution, limits);
  judge_inertia(found, model, *solution.vehicle, limits);
  judge_clearances(found, solution);
  judge_stance(found, *solution.vehicle);
  return found;
}

}  // namespace ridepitch
