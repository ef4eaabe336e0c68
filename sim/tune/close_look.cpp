#include "tune/close_look.hpp"

#include <algorithm>
#include <cmath>

#include "model/index.hpp"
#include "tune/load_test.hpp"
#include "tune/rise_windows.hpp"

namespace ridepitch {
namespace {

/// What all springs of a candidate carry of each wheel of a corner, at every sample of its row.
struct CornerLoads {
  std::vector<std::array<double, most_samples>> of;  // [wheels]
};

/// @param options  [variables] of the space
CornerLoads loads_of(const LinkageLayouts& layouts, const Skeleton& skeleton, const LaidCorner& corner,
                     const std::vector<Laid>& laid, const std::vector<int>& options) {
  const std::size_t n = corner.wheels.size();
  CornerLoads out{std::vector<std::array<double, most_samples>>(n, std::array<double, most_samples>{})};
  const auto chosen = [&](const std::optional<VariedThing>& thing) { return thing ? at(options, thing->variable) : 0; };
  for (const VariedSpring& spring : layouts.springs) {
    const int kind = chosen(spring.thing);
    if (at(spring.counts, kind) == 0) continue;
    const Vec2 p_B = place_of(skeleton, spring.first, chosen(spring.first.thing)),
               q_B = place_of(skeleton, spring.second, chosen(spring.second.thing));
    for (std::size_t w = 0; w < n; ++w)
      for (int s = 0; s < 3 + 2 * static_cast<int>(n - 1); ++s) {
        const Laid& there = laid[place_at(s, w, n)];
        const LaidPoint p = point_of(at(there.bodies, spring.first.hole.body), p_B, w),
                        q = point_of(at(there.bodies, spring.second.hole.body), q_B, w);
        const Vec2 d = q.at - p.at;
        const double length = std::hypot(d.norm(), spring.across_mm);
        if (length > 0)
          at(out.of[w], s) -= at(spring.counts, kind) * spring_force(at(spring.traits, kind).law, length).push_n *
                              d.dot(q.by_rise - p.by_rise) / length;
      }
  }
  return out;
}

/// How far a row's loads may be off the straight line between their ends.
double bend_of(const std::array<double, most_samples>& load, int samples, const RiseWindow& window) {
  constexpr double rounding_n = 1e-4;
  const double turn = turn_of(window);
  double bend = std::abs(load[at_least] - 2 * load[as_wanted] + load[at_greatest]) +
                turn * turn * (std::abs(load[at_greatest] - load[at_least]) + turn * std::abs(load[as_wanted])) +
                rounding_n;
  for (int s = of_others; s < samples; s += 2)
    bend += std::max(std::abs(at(load, s) - load[as_wanted]), std::abs(at(load, s + 1) - load[as_wanted]));
  return bend;
}

/// Narrows windows of a corner's wheels to the rises at which they carry what they can. @returns false where none is left
bool narrow_windows(const LinkageLayouts& layouts, const Skeleton& skeleton, unsigned sides, const LaidCorner& corner,
                    const std::vector<int>& options, std::vector<RiseWindow>& windows) {
  constexpr int rounds = 4;
  constexpr double narrowest_mm = 0.02, rounding = 0.005;
  const std::size_t n = corner.wheels.size();
  std::vector<Laid> laid(1 + 2 * n);
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t i = 0; i < laid.size(); ++i)
      if (!lay_at(skeleton, sides, corner.inputs[i], corner.rises, place_in(windows, corner, i), laid[i])) return true;
    const CornerLoads loads = loads_of(layouts, skeleton, corner, laid, options);
    std::vector<RiseWindow> narrower = windows;
    for (std::size_t w = 0; w < n; ++w) {
      const WheelInStance& wheel = corner.wheels[w];
      const RiseWindow& window = windows[w];
      const double low = loads.of[w][at_least], high = loads.of[w][at_greatest],
                   bend = bend_of(loads.of[w], 3 + 2 * static_cast<int>(n - 1), window);
      const bool over_centre = (low < 0) != (high < 0);  // there loads bend too much to tell a rate
      const double span = window.to_mm - window.from_mm, growth = high - low;
      const auto bound = [&](double rate, double more) { return span * (rate + more * std::abs(rate)); };
      const bool too_soft =
          growth + 4 * bend<bound(wheel.rate_n_per_mm[0], -rounding), too_stiff = growth - 4 * bend> bound(
                           wheel.rate_n_per_mm[1], +rounding);
      if (window.beside != 0) {
        const bool grows = (low - 2 * loads.of[w][as_wanted] + high) * window.beside > 0;
        if (grows ? too_stiff : too_soft) return false;
        continue;
      }
      if ((too_soft || too_stiff) && !over_centre) return false;
      if (std::min(low, high) - bend > wheel.load_n[1] || std::max(low, high) + bend < wheel.load_n[0]) return false;
      if (!(growth > 2 * bend)) continue;
      const double first = window.from_mm + span * std::clamp((wheel.load_n[0] - bend - low) / growth, 0.0, 1.0),
                   last = window.from_mm + span * std::clamp((wheel.load_n[1] + bend - low) / growth, 0.0, 1.0),
                   wider = std::max(0.0, narrowest_mm - (last - first)) / 2;
      narrower[w].from_mm = std::max(window.from_mm, first - wider);
      narrower[w].to_mm = std::min(window.to_mm, last + wider);
    }
    windows = std::move(narrower);
  }
  return true;
}

void set_candidate(const LinkageLayouts& layouts, Skeleton& skeleton, const std::vector<int>& options) {
  for (const VariedThing& thing : layouts.things)
    choose(skeleton, at(at(layouts.space->variables, thing.variable).options, at(options, thing.variable)));
  renumber(skeleton.plan, skeleton.linkage);
}

}  // namespace

std::vector<std::vector<std::array<double, 2>>> rises_of(const LinkageLayouts& layouts, Skeleton& skeleton,
                                                         const std::vector<int>& options) {
  std::vector<std::vector<std::array<double, 2>>> out;
  set_candidate(layouts, skeleton, options);
  for (unsigned sides = 0; sides < 1u << skeleton.plan.steps.size(); ++sides) {
    std::vector<std::array<double, 2>> all;
    bool every_corner = true;
    for (const LaidCorner& corner : layouts.corners) {
      const std::size_t from = all.size(), wheels = corner.wheels.size();
      for (std::vector<RiseWindow> one_case : cases_reached(layouts, skeleton, sides, corner)) {
        if (!narrow_windows(layouts, skeleton, sides, corner, options, one_case)) continue;
        if (all.size() == from) all.resize(from + wheels, {1e300, -1e300});
        for (std::size_t w = 0; w < wheels; ++w) {
          // Beside a dead point it may be anywhere beyond.
          const double beyond_mm = one_case[w].beside != 0 ? 3 * (one_case[w].to_mm - one_case[w].from_mm) : 0;
          auto& [low, high] = all[from + w];
          low = std::min(low, one_case[w].from_mm - beyond_mm);
          high = std::max(high, one_case[w].to_mm + beyond_mm);
        }
      }
      every_corner &= all.size() == from + wheels;
    }
    if (every_corner) out.push_back(std::move(all));
  }
  return out;
}

void narrow_loads(const LinkageLayouts& layouts, WantedStance& stance) {
  std::vector<int> options;
  for (const Variable& variable : layouts.space->variables) options.push_back(std::max(0, variable.as_it_stands));
  for (const LaidCorner& corner : layouts.corners) {
    const std::size_t n = corner.wheels.size();
    std::vector<Laid> laid(1 + 2 * n);
    bool there = true;
    for (std::size_t i = 0; i < laid.size(); ++i)
      there = there && lay_at(layouts.skeleton, layouts.skeleton.sides, corner.inputs[i], corner.rises, corner.at_mm[i],
                              laid[i]);
    if (!there) continue;
    const CornerLoads loads = loads_of(layouts, layouts.skeleton, corner, laid, options);
    for (std::size_t w = 0; w < n; ++w) {
      const double low = loads.of[w][at_least], high = loads.of[w][at_greatest],
                   bend = bend_of(loads.of[w], 3 + 2 * static_cast<int>(n - 1),
                                  {-corner.wheels[w].within_mm, corner.wheels[w].within_mm});
      for (WheelInStance& wheel : stance.wheels)
        if (alike(wheel, corner.wheels[w]) &&
            at(layouts.space->model->corners, wheel.corner).linkage == layouts.linkage)
          wheel.load_n = {std::max(0.0, std::min(low, high) - bend), std::max(low, high) + bend};
    }
  }
}

}  // namespace ridepitch
