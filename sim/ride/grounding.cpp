#include "ride/grounding.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include <fmt/format.h>
#include <Eigen/LU>

#include "linkage/roots.hpp"
#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/curve_place.hpp"
#include "ride/system.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

constexpr int shares = 33;            // of t: heights hardly bend over a travel
constexpr double carries_n = 1e-9;    // a wheel with less is lifted
constexpr double rounding_mm = 1e-9;  // a height that is 0 but for what a solver leaves
constexpr double settled_mm = 1e-12;  // of a step of the least squares
constexpr CloseEnough close_enough{.width = 1e-12, .value = 1e-11};

/// A wheel that carries at rest.
struct Footing {
  WheelRef ref;
  const Corner* corner = nullptr;
  const Wheel* wheel = nullptr;
  Plane plane = Plane::side;
  const Curve* curve = nullptr;  ///< none: it stays where it rests
  double rest_travel_mm = 0;
  double left_mm = 0;  ///< bump travel at rest; 0: it stays
  Vec3 rest_mm = Vec3::Zero();
  double height_mm = 0;  ///< of its centre above the floor at rest
};

using Footings = std::vector<Footing>;
using Which = std::vector<std::size_t>;  // of the footings

State stance_at_rest(const VehicleResult& vehicle) {
  return {vehicle.height_mm, vehicle.pitch_deg * rad_per_deg, vehicle.roll_deg * rad_per_deg, {}};
}

Footings find_footings(const Model& model, const Solution& solution) {
  const State rest = stance_at_rest(*solution.vehicle);
  Footings out;
  for (int c = 0; c < count(model.corners); ++c) {
    const Corner& corner = at(model.corners, c);
    const Linkage& linkage = at(model.linkages, corner.linkage);
    if (linkage.plane == Plane::top) continue;
    for (int w = 0; w < count(linkage.wheels); ++w) {
      const WheelResult& wheel = at(at(solution.corners, c).wheels, w);
      if (!(wheel.ground_load_n.value_or(0) > carries_n)) continue;
      Footing& footing = out.emplace_back();
      footing.ref = {c, w};
      footing.corner = &corner;
      footing.plane = linkage.plane;
      footing.wheel = &at(linkage.wheels, w);
      footing.rest_mm = wheel_on_vehicle(corner, linkage.plane, *footing.wheel, wheel.centre_C_mm);
      footing.height_mm = height_of(rest, footing.rest_mm);
      footing.curve = curve_of(solution, c, w);
      if (!footing.curve) continue;
      footing.rest_travel_mm = travel_at_rest_mm(*footing.curve, wheel.centre_C_mm);
      footing.left_mm = std::max(wheel.bump_travel_mm.value_or(0), 0.0);
    }
  }
  return out;
}

/// Where its centre is, raised by a share of what it has left.
Vec3 raised_centre(const Footing& footing, double share) {
  if (share == 0) return footing.rest_mm;
  const CarrierPlace place = place_on_curve(*footing.curve, footing.rest_travel_mm + share * footing.left_mm);
  return wheel_on_vehicle(*footing.corner, footing.plane, *footing.wheel, place.centre_C_mm);
}

/// Chains of wheels along x, from front to rear.
std::vector<Which> axles_along(const Footings& footings, double module_mm) {
  Which order;
  for (std::size_t i = 0; i < footings.size(); ++i) order.push_back(i);
  const auto x = [&](std::size_t i) { return footings[i].rest_mm.x(); };
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return x(a) > x(b); });
  std::vector<Which> axles;
  for (const std::size_t i : order) {
    if (axles.empty() || x(axles.back().back()) - x(i) > module_mm + rounding_mm) axles.emplace_back();
    axles.back().push_back(i);
  }
  return axles;
}

/// Those of them that can rise, in file order.
Which that_rise(const Footings& footings, Which which) {
  std::erase_if(which, [&](std::size_t i) { return !(footings[i].left_mm > 0); });
  std::sort(which.begin(), which.end());
  return which;
}

/// Puts the body onto wheel centres, from a stance near by, by Gauss and Newton's method.
/// @returns false where they do not hold it
bool lie_on(const std::vector<Vec3>& centres, const Footings& footings, State& stance) {
  constexpr int most_steps = 100;
  for (int k = 0; k < most_steps; ++k) {
    const double sp = std::sin(stance.pitch_rad), cp = std::cos(stance.pitch_rad);
    const double sr = std::sin(stance.roll_rad), cr = std::cos(stance.roll_rad);
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Vec3 right = Vec3::Zero();
    double reach_mm = 1;
    for (std::size_t i = 0; i < centres.size(); ++i) {
      const Vec3& c = centres[i];
      const Vec3 row(1, -cp * c.x() - sp * (sr * c.y() + cr * c.z()), cp * (cr * c.y() - sr * c.z()));
      normal += row * row.transpose();
      right -= (height_of(stance, c) - footings[i].height_mm) * row;
      reach_mm = std::max(reach_mm, c.norm());
    }
    const Vec3 step = normal.inverse() * right;
    if (!step.allFinite()) return false;
    stance.height_mm += step.x();
    stance.pitch_rad += step.y();
    stance.roll_rad += step.z();
    if (std::abs(step.x()) + reach_mm * (std::abs(step.y()) + std::abs(step.z())) < settled_mm) break;
  }
  return true;
}

/// The body on its wheels while some of them rise.
struct Rising {
  const Footings& footings;
  Which which;
  State stance;  ///< the last one found
};

/// @returns false where the wheels do not hold it
bool raise_to(Rising& rising, double share) {
  std::vector<Vec3> centres;
  for (const Footing& footing : rising.footings) centres.push_back(footing.rest_mm);
  for (const std::size_t i : rising.which) centres[i] = raised_centre(rising.footings[i], share);
  return lie_on(centres, rising.footings, rising.stance);
}

double nth_share(int k) { return static_cast<double>(k) / (shares - 1); }

/// Where a point first comes to the ground, by its heights at evenly spaced shares; none: nowhere.
std::optional<double> first_on_ground(Rising& rising, const Vec3& point_mm, const std::vector<double>& heights) {
  const auto height_at = [&](double share) {
    return raise_to(rising, share) ? height_of(rising.stance, point_mm) : std::numeric_limits<double>::quiet_NaN();
  };
  const auto crossing = [&](double above, double at_above, double below, double at_below) {
    return find_zero(height_at, {above, below, std::max(at_above, 0.0), at_below}, close_enough);
  };
  for (int k = 1; k < shares; ++k) {
    if (at(heights, k) < -rounding_mm)
      return crossing(nth_share(k - 1), at(heights, k - 1), nth_share(k), at(heights, k));
    const bool dips = k + 1 < shares && at(heights, k) < at(heights, k - 1) && at(heights, k) <= at(heights, k + 1);
    if (!dips) continue;
    const double lowest = find_least(height_at, nth_share(k - 1), nth_share(k + 1), 1e-9), least = height_at(lowest);
    if (least < -rounding_mm) return crossing(nth_share(k - 1), at(heights, k - 1), lowest, least);
  }
  return std::nullopt;
}

/// Of each point, [points x shares]; empty where the wheels do not hold the body.
std::vector<std::vector<double>> heights_of(const Model& model, Rising& rising) {
  std::vector<std::vector<double>> heights(model.clearances.size());
  for (int k = 0; k < shares; ++k) {
    if (!raise_to(rising, nth_share(k))) return {};
    for (std::size_t p = 0; p < heights.size(); ++p)
      heights[p].push_back(height_of(rising.stance, model.clearances[p].at_mm));
  }
  return heights;
}

Grounding grounding_at(const Rising& rising, int point, double share, const std::vector<double>& heights) {
  Grounding out;
  out.point = point;
  out.share = share;
  out.of_mm = std::numeric_limits<double>::infinity();
  for (const std::size_t i : rising.which) {
    out.wheels.push_back(rising.footings[i].ref);
    out.of_mm = std::min(out.of_mm, rising.footings[i].left_mm);
  }
  out.travel_left_mm = (1 - share) * out.of_mm;
  out.short_mm = -*std::min_element(heights.begin(), heights.end());
  return out;
}

/// Of the points that are asked for, by point; what these wheels ground.
std::vector<Grounding> grounded_by(const Model& model, const State& rest, const Footings& footings, const Which& which,
                                   const std::vector<bool>& asked) {
  Rising rising{footings, that_rise(footings, which), rest};
  std::vector<Grounding> out;
  if (rising.which.empty()) return out;
  const auto heights = heights_of(model, rising);
  if (heights.empty()) return out;
  for (int p = 0; p < count(model.clearances); ++p) {
    if (!asked[static_cast<std::size_t>(p)]) continue;
    const auto share = first_on_ground(rising, at(model.clearances, p).at_mm, at(heights, p));
    if (share) out.push_back(grounding_at(rising, p, *share, at(heights, p)));
  }
  return out;
}

/// What ends their travel: "main solid and strap max"; empty: nothing that has a name.
std::string ends_of(const Solution& solution, const std::vector<WheelRef>& wheels) {
  std::vector<std::string> ends;
  for (const WheelRef ref : wheels) {
    const std::string& end = at(at(solution.corners, ref.corner).wheels, ref.wheel).bump_end;
    if (!end.empty() && std::find(ends.begin(), ends.end(), end) == ends.end()) ends.push_back(end);
  }
  return listed(ends);
}

}  // namespace

std::vector<Grounding> find_groundings(const Model& model, const Solution& solution) {
  if (!solution.vehicle || model.clearances.empty()) return {};
  const State rest = stance_at_rest(*solution.vehicle);
  const Footings footings = find_footings(model, solution);
  std::vector<bool> asked;
  for (const Clearance& point : model.clearances) asked.push_back(height_of(rest, point.at_mm) >= -rounding_mm);
  std::vector<Grounding> out;
  std::vector<bool> not_alone = asked;
  Which all;
  for (const Which& axle : axles_along(footings, model.module_mm)) {
    all.insert(all.end(), axle.begin(), axle.end());
    for (Grounding& one : grounded_by(model, rest, footings, axle, asked)) {
      not_alone[static_cast<std::size_t>(one.point)] = false;
      out.push_back(std::move(one));
    }
  }
  for (Grounding& together : grounded_by(model, rest, footings, all, not_alone)) {
    together.all_axles = true;
    out.push_back(std::move(together));
  }
  std::stable_sort(out.begin(), out.end(), [](const Grounding& a, const Grounding& b) { return a.point < b.point; });
  return out;
}

std::vector<Finding> judge_groundings(const Model& model, const Solution& solution,
                                      const std::vector<Grounding>& groundings) {
  std::vector<Finding> found;
  for (const Grounding& one : groundings) {
    std::vector<std::string> names;
    for (const WheelRef ref : one.wheels) names.push_back(wheel_name(model, ref));
    const bool single = names.size() == 1;
    const std::string ends = ends_of(solution, one.wheels);
    const std::string where = one.all_axles ? "where all axles are pressed up at once" : "at " + listed(names);
    found.push_back(
        {.level = one.all_axles ? Level::note : Level::warning,
         .code = "grounds-before-bump",
         .where = at(model.clearances, one.point).name,
         .text = fmt::format("it reaches the ground with {:.1f} of {:.1f} mm of bump left {}: {} to full bump{}",
                             one.travel_left_mm, one.of_mm, where, single ? "it never gets" : "they never get",
                             ends.empty() ? "" : " (" + ends + ")"),
         .remedy = fmt::format("{:.1f} mm more room under it (built higher, larger tyres, corners placed lower), or a "
                               "limit that stops {} {:.1f} mm earlier",
                               one.short_mm, single ? "that wheel" : "those wheels", one.travel_left_mm)});
  }
  return found;
}

}  // namespace ridepitch
