#include "swap/compare.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/roots.hpp"
#include "model/index.hpp"
#include "spring/force_law.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

constexpr double no_lever = 1e-9;  // a spring with less of a motion ratio is not moved by the wheel

const Linkage& linkage_of(const Model& model, const Corner& corner) {
  return model.linkages[static_cast<std::size_t>(corner.linkage)];
}

std::optional<double> ratio_of(const CornerResult& corner, const std::string& spring, const std::string& wheel) {
  const SpringResult* result = named(corner.springs, spring);
  if (!result) return std::nullopt;
  for (const auto& [name, ratio] : result->motion_ratio) {
    if (name == wheel) return ratio;
  }
  return std::nullopt;
}

/// Lengths between which the law is one: a coil's stops; a band as far as it must be drawn for a force.
struct Stretch {
  double loose_mm = 0, tight_mm = 0;
};

Stretch stretch_of(const ForceLaw& law, double force_n) {
  if (!law.pulls) return {law.free_mm, law.solid_mm};
  double longer_mm = std::max(law.free_mm, 1.0);
  const int most_doublings = 30;
  for (int i = 0; i < most_doublings; ++i, longer_mm *= 2) {
    if (std::abs(spring_force(law, law.free_mm + longer_mm).push_n) > force_n) break;
  }
  return {law.free_mm, law.free_mm + longer_mm};
}

/// A lever that gives the right rate, and the spring on it where it bears the load.
struct Lever {
  double ratio = 0, force_n = 0;
  std::optional<double> length_mm;
};

/// @param rate_n_per_mm  k of all the old ones side by side
/// @param load           F m of them [N]: what they give the wheel
Lever lever_of(const ForceLaw& law, int count, double ratio, double rate_n_per_mm, double load_n) {
  const auto lever_at = [&](double length_mm) {
    const double stiffness = count * spring_force(law, length_mm).stiffness_n_per_mm;
    return std::abs(ratio) * std::sqrt(rate_n_per_mm / stiffness);
  };
  const auto surplus = [&](double length_mm) {
    return count * std::abs(spring_force(law, length_mm).push_n) * lever_at(length_mm) - load_n;
  };
  const auto made_for = [&](double length_mm) {
    const double needed = lever_at(length_mm);
    return Lever{std::copysign(needed, ratio), load_n / needed / count, std::nullopt};
  };
  const double largest_force_n = load_n / std::max(std::abs(ratio), no_lever);
  const Stretch stretch = stretch_of(law, largest_force_n);
  const double loose = law.pulls ? stretch.loose_mm + 1e-9 : stretch.loose_mm;  // slack, it has no rate
  const Bracket ends{loose, stretch.tight_mm, surplus(loose), surplus(stretch.tight_mm)};
  if (ends.at_low > 0) return made_for(loose);
  if (ends.at_high < 0) return made_for(stretch.tight_mm);
  const double length_mm = find_zero(surplus, ends, {.width = 0, .value = 0}).value_or(loose);
  Lever need = made_for(length_mm);
  need.length_mm = length_mm;
  return need;
}

std::optional<SpringNeed> need_at_wheel(const Spring& old_spring, const Spring& spring, const CornerResult& corner,
                                        const std::string& wheel) {
  if (turns(old_spring) || turns(spring)) return std::nullopt;
  const ForceLaw old_law = force_law(old_spring.data), law = force_law(spring.data);
  const auto ratio = ratio_of(corner, spring.name, wheel);
  const SpringResult* rest = named(corner.springs, spring.name);
  if (!ratio || std::abs(*ratio) < no_lever || !rest->length_mm) return std::nullopt;
  if (same_springs(old_spring, spring)) return std::nullopt;
  if (old_law.pulls != law.pulls) return std::nullopt;  // the one can't do the other's work on any such lever

  const SpringForce old_force = spring_force(old_law, *rest->length_mm);
  const double rate_n_per_mm = old_spring.count * old_force.stiffness_n_per_mm;
  const double load_n = *rest->total_force_n * std::abs(*ratio);
  const double middle_mm = law.pulls ? law.free_mm + 1 : 0.5 * (law.free_mm + law.solid_mm);
  if (rate_n_per_mm <= 0 || load_n <= 0 || spring_force(law, middle_mm).stiffness_n_per_mm <= 0) return std::nullopt;

  SpringNeed need;
  need.wheel = corner.name + "/" + wheel;
  need.spring = spring.name;
  need.count = spring.count;
  need.part = spring.part;
  need.motion_ratio_before = *ratio;
  const Lever found = lever_of(law, spring.count, *ratio, rate_n_per_mm, load_n);
  need.motion_ratio_needed = found.ratio;
  need.force_n = found.force_n;
  need.length_mm = found.length_mm;
  if (law.pulls) {
    need.most_n = std::numeric_limits<double>::infinity();
  } else {
    need.least_n = spring_force(law, law.free_mm).push_n;
    need.most_n = spring_force(law, law.solid_mm).push_n;
    if (found.length_mm) need.bump_travel_mm = (*found.length_mm - law.solid_mm) / std::abs(found.ratio);
  }
  return need;
}

}  // namespace

std::vector<SpringNeed> spring_needs(const Model& before, const Solution& solved_before, const Model& after,
                                     const Solution* solved_after) {
  std::vector<SpringNeed> needs;
  for (std::size_t c = 0; c < before.corners.size(); ++c) {
    const Corner* other = named(after.corners, before.corners[c].name);
    if (!other) continue;
    const Linkage& linkage = linkage_of(before, before.corners[c]);
    if (linkage.plane == Plane::top) continue;
    for (const Wheel& wheel : linkage.wheels) {
      for (const Spring& old_spring : linkage.springs) {
        const Spring* spring = named(linkage_of(after, *other).springs, old_spring.name);
        auto need = spring ? need_at_wheel(old_spring, *spring, solved_before.corners[c], wheel.name) : std::nullopt;
        if (!need) continue;
        if (solved_after) {
          const auto index = static_cast<std::size_t>(other - after.corners.data());
          need->motion_ratio_after = ratio_of(solved_after->corners[index], spring->name, wheel.name);
        }
        needs.push_back(std::move(*need));
      }
    }
  }
  return needs;
}

}  // namespace ridepitch
