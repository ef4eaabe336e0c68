#include "swap/play.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>

#include "ride/quantity_readers.hpp"
#include "ride/solve.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

// Central differences over this: small beside any part, large beside what Newton's method leaves (1e-10).
constexpr double hair_mm = 0.01;

/// Moves a joint of the linkage of one corner off by so much.
using Shift = std::function<void(Linkage&, double off_mm)>;

/// A place with play: one direction to be off in, or two perpendicular to each other.
struct Joint {
  std::string name;
  std::size_t corner = 0;
  std::vector<Shift> directions = {};
  int ends = 1;  ///< how many joints there are of it: two ends of a rod
};

/// The hole of a pin alone, whatever else is joined there.
///
/// @param along_B  on its body's own grid, of length 1
Shift pin_shift(std::size_t pin, std::size_t which, const Vec2& along_B) {
  return [=](Linkage& linkage, double off_mm) {
    HoleRef& ref = linkage.pins[pin].holes[which];
    std::vector<Hole>& holes = linkage.bodies[static_cast<std::size_t>(ref.body)].holes;
    Hole moved = holes[static_cast<std::size_t>(ref.hole)];
    moved.name += " off";
    moved.p_B += off_mm * along_B;
    ref.hole = static_cast<int>(holes.size());
    holes.push_back(std::move(moved));
  };
}

/// In the plane a part with `across` is as long as sqrt(true^2 - across^2); it is that length that the play adds to.
double lengthened(double true_mm, double across_mm, double off_mm) {
  const double planar_mm = std::sqrt(std::max(true_mm * true_mm - across_mm * across_mm, 0.0)) + off_mm;
  return std::hypot(planar_mm, across_mm);
}

Shift rod_shift(std::size_t rod) {
  return [=](Linkage& linkage, double off_mm) {
    Rod& part = linkage.rods[rod];
    part.length_mm = lengthened(part.length_mm, part.across_mm, off_mm);
  };
}

/// A spring that lies off in its holes is as one whose lengths are all that much greater.
Shift spring_shift(std::size_t spring, double rest_length_mm) {
  return [=](Linkage& linkage, double off_mm) {
    Spring& part = linkage.springs[spring];
    const double more_mm = lengthened(rest_length_mm, part.across_mm, off_mm) - rest_length_mm;
    lengthen(part.data, more_mm);
  };
}

/// The directions in which a hole of a pin can be off: along the force on its body there, or any where there is none.
std::vector<Shift> pin_shifts(const Linkage& linkage, const CornerResult& rest, std::size_t pin, std::size_t which) {
  const auto body = static_cast<std::size_t>(linkage.pins[pin].holes[which].body);
  const double nothing_n = 1e-9;
  for (const PinForce& each : rest.pins[pin].forces) {
    if (each.body != linkage.bodies[body].name || each.force_C_n.norm() < nothing_n) continue;
    const double c = std::cos(rest.poses[body].theta_rad), s = std::sin(rest.poses[body].theta_rad);
    const Vec2 along_C = each.force_C_n.normalized();
    return {pin_shift(pin, which, Vec2(c * along_C.x() + s * along_C.y(), c * along_C.y() - s * along_C.x()))};
  }
  return {pin_shift(pin, which, Vec2::UnitX()), pin_shift(pin, which, Vec2::UnitY())};
}

std::vector<Joint> joints_of(const Model& model, const Solution& solved) {
  std::vector<Joint> joints;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(model.corners[c].linkage)];
    if (linkage.plane == Plane::top) continue;
    const std::string lead = model.corners[c].name + "/";
    for (std::size_t i = 0; i < linkage.pins.size(); ++i) {
      for (std::size_t which = 1; which < linkage.pins[i].holes.size(); ++which) {
        joints.push_back({lead + linkage.pins[i].name, c, pin_shifts(linkage, solved.corners[c], i, which)});
      }
    }
    for (std::size_t i = 0; i < linkage.rods.size(); ++i) {
      joints.push_back({lead + linkage.rods[i].name, c, {rod_shift(i)}, 2});
    }
    for (std::size_t i = 0; i < linkage.springs.size(); ++i) {
      const auto length_mm = solved.corners[c].springs[i].length_mm;
      if (length_mm) joints.push_back({lead + linkage.springs[i].name, c, {spring_shift(i, *length_mm)}, 2});
    }
  }
  return joints;
}

/// The model with one corner's joint off: that corner gets a linkage of its own.
Model with_joint_off(const Model& model, const Joint& joint, const Shift& shift, double off_mm) {
  Model off = model;
  const auto linkage = static_cast<std::size_t>(model.corners[joint.corner].linkage);
  off.corners[joint.corner].linkage = static_cast<int>(off.linkages.size());
  off.linkages.push_back(model.linkages[linkage]);
  shift(off.linkages.back(), off_mm);
  return off;
}

/// One joint a hair off in one direction, and what the spreads' numbers then are.
struct Task {
  const Joint* joint = nullptr;
  const Shift* shift = nullptr;
  std::array<std::vector<std::optional<double>>, 2> values = {};  ///< a hair less, a hair more; [spreads]
};

std::vector<Task> tasks_of(const std::vector<Joint>& joints) {
  std::vector<Task> tasks;
  for (const Joint& joint : joints)
    for (const Shift& shift : joint.directions) tasks.push_back({&joint, &shift});
  return tasks;
}

/// @param side  0: a hair less, 1: a hair more
void run_task(Task& task, std::size_t side, const Model& model, const std::vector<Spread>& spreads) {
  const Model off = with_joint_off(model, *task.joint, *task.shift, side == 0 ? -hair_mm : hair_mm);
  const SolveResult there = solve(off, {.curve_points = 2, .other_stances = false, .trials = false, .readings = false});
  if (!there.solution) return;
  for (const Spread& each : spreads) task.values[side].push_back(value_of(off, *there.solution, each.figure));
}

/// What a number changes by for each mm; none where one of the two does not stand.
std::optional<double> slope_of(const Task& task, std::size_t spread) {
  const auto& [less, more] = task.values;
  if (less.size() <= spread || more.size() <= spread || !less[spread] || !more[spread]) return std::nullopt;
  return (*more[spread] - *less[spread]) / (2 * hair_mm);
}

}  // namespace

PlayResult pin_play(const Model& model, const Solution& solved, double play_mm, const OnDone& on_done,
                    const ShallEnd& shall_end) {
  PlayResult result;
  for (const std::string_view name : {name::ride_height, name::motion_ratio}) {
    for (const Figure& figure : figures_of(model, quantity(name)))
      if (const auto now = value_of(model, solved, figure))
        result.spreads.push_back({figure, figure_place(model, figure), *now, 0, 0});
  }
  const std::vector<Joint> joints = joints_of(model, solved);
  std::vector<Task> tasks = tasks_of(joints);
  const auto run_half = [&](std::size_t i) { run_task(tasks[i / 2], i % 2, model, result.spreads); };
  result.complete = in_parallel(2 * tasks.size(), run_half, on_done, shall_end);
  if (!result.complete) return result;

  const std::size_t n = result.spreads.size();
  std::vector<double> squares(n, 0);
  for (const Joint& joint : joints) {
    std::vector<double> steepness_squared(n, 0);
    bool known = true;
    for (const Task& task : tasks) {
      if (task.joint != &joint) continue;
      for (std::size_t s = 0; s < n; ++s) {
        const auto g = slope_of(task, s);
        known = known && g;
        if (g) steepness_squared[s] += *g * *g;
      }
    }
    result.joints += joint.ends;
    if (!known) result.not_known.push_back(joint.name);
    for (std::size_t s = 0; s < n && known; ++s) {
      squares[s] += joint.ends * steepness_squared[s];
      result.spreads[s].worst += play_mm * joint.ends * std::sqrt(steepness_squared[s]);
    }
  }
  for (std::size_t s = 0; s < n; ++s) result.spreads[s].likely = play_mm * std::sqrt(squares[s]);
  return result;
}

}  // namespace ridepitch
