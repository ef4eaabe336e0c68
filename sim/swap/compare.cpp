#include "swap/compare.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>

#include <fmt/format.h>

#include "model/index.hpp"
#include "ride/state_name.hpp"
#include "swap/need.hpp"
#include "swap/place_words.hpp"
#include "swap/spots.hpp"
#include "swap/spring_words.hpp"
#include "swap/tolerance.hpp"
#include "swap/verdict.hpp"

namespace ridepitch {
namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

// What rounding may leave of a difference that is on its limit.
constexpr double rounding = 1e-9;

bool same_length(double a_mm, double b_mm) { return std::abs(a_mm - b_mm) < rounding; }

/// Towards a dead point the load grows without bound: there is no number, but no lack either.
bool holds_any_load(const Solution& solution, const Spot& spot) {
  const WheelResult& wheel = wheel_at(solution, spot);
  return wheel.load_n.value_or(0) > 0 && wheel.bump_total_mm && !wheel.bump_load_n;
}

/// How much of its tolerance a difference takes.
double share_of_tolerance(const Difference& difference) {
  if (difference.within && (!difference.tolerance || !difference.before || !difference.after)) return 0;
  if (!difference.tolerance || !difference.before || !difference.after) return infinite;
  const double change = *difference.after - *difference.before;
  const double off = difference.most ? std::abs(change) : std::max(-change, 0.0);
  if (difference.within && off <= rounding) return 0;
  return *difference.tolerance > 0 ? off / *difference.tolerance : infinite;
}

struct Comparing {
  const Model& model_before;
  const Solution& before;
  const Model& model_after;
  const Solution& after;
  const Keep& keep;
  Comparison result = {};

  void add(Difference difference) { result.differences.push_back(std::move(difference)); }

  /// Modes are not there where stops hold the body, and its wheels' states tell that; a load without bound is no lack.
  bool lack_is_no_fault(const Quantity& quantity, const Spot& spot) const {
    if (quantity.of == Scope::vehicle) return true;
    return quantity.name == "reserve" && holds_any_load(after, spot);
  }

  void compare_number(const Quantity& quantity, const Spot& here, const Spot& there) {
    Difference difference{here.where, std::string(quantity.name)};
    difference.corner = here.scope == Scope::vehicle ? -1 : static_cast<int>(here.corner);
    difference.before = value_at(quantity, {model_before, before}, here);
    difference.after = value_at(quantity, {model_after, after}, there);
    if (!difference.before && !difference.after) return;
    const auto may_be = difference.before ? allowed(quantity.name, *difference.before, keep) : std::nullopt;
    if (may_be) {
      difference.tolerance = may_be->tolerance;
      difference.least = may_be->least;
      difference.most = may_be->most;
      const double slack = rounding * std::max(1.0, std::abs(*difference.before));
      difference.within = difference.after ? *difference.after >= may_be->least - slack &&
                                                 (!may_be->most || *difference.after <= *may_be->most + slack)
                                           : lack_is_no_fault(quantity, there);
    }
    add(std::move(difference));
  }

  void compare_state(const Spot& here, const Spot& there) {
    const WheelState was = wheel_at(before, here).state, is = wheel_at(after, there).state;
    if (was == is) return;
    Difference difference{here.where, "state"};
    difference.before_words = state_name(was);
    difference.after_words = state_name(is);
    difference.within = is == WheelState::riding;  // one that was on a stop and now rides is no worse for it
    difference.corner = static_cast<int>(here.corner);
    add(std::move(difference));
  }

  /// A corner or wheel that only one model has.
  void tell_lack(const Spot& spot, bool lacks_after) {
    Difference difference{spot.where, spot.scope == Scope::corner ? "corner" : "wheel"};
    difference.before_words = lacks_after ? "there" : "missing";
    difference.after_words = lacks_after ? "missing" : "there";
    difference.within = !lacks_after;
    if (lacks_after) difference.corner = static_cast<int>(spot.corner);
    add(std::move(difference));
  }

  /// What the builder changed, told by names; of a linkage that is another one altogether, what it still shares.
  void compare_parts(const Spot& here, const Spot& there) {
    const auto linkage_at = [](const Model& model, std::size_t corner) -> const Linkage& {
      return model.linkages[static_cast<std::size_t>(model.corners[corner].linkage)];
    };
    const Linkage& was = linkage_at(model_before, here.corner);
    const Linkage& is = linkage_at(model_after, there.corner);
    const auto tell = [&](const char* kind, const std::string& name, std::string before_words,
                          std::string after_words) {
      Difference difference{here.where + "/" + name, kind};
      difference.before_words = std::move(before_words);
      difference.after_words = std::move(after_words);
      difference.corner = static_cast<int>(here.corner);
      add(std::move(difference));
    };
    for (const Body& body : was.bodies) {
      const Body* other = named(is.bodies, body.name);
      for (const Hole& hole : body.holes) {
        const Hole* moved = other ? named(other->holes, hole.name) : nullptr;
        if (!moved || same_length((moved->p_B - hole.p_B).norm(), 0)) continue;
        tell("hole", body.name + "." + hole.name, place_words(hole.p_B, model_before.module_mm),
             place_words(moved->p_B, model_after.module_mm));
      }
    }
    for (const Rod& rod : was.rods) {
      const Rod* other = named(is.rods, rod.name);
      if (!other || same_length(rod.length_mm, other->length_mm)) continue;
      tell("rod", rod.name, fmt::format("{:g}", rod.length_mm / model_before.module_mm),
           fmt::format("{:g}", other->length_mm / model_after.module_mm));
    }
    for (const Spring& spring : was.springs) {
      const Spring* other = named(is.springs, spring.name);
      if (other && same_springs(spring, *other) && spring.part == other->part) continue;
      tell("spring", spring.name, spring_words(spring), other ? spring_words(*other) : "none");
    }
    for (const Spring& spring : is.springs) {
      if (!named(was.springs, spring.name)) tell("spring", spring.name, "none", spring_words(spring));
    }
  }

  void compare_bars() {
    const auto tell = [&](const std::string& name, bool was) {
      Difference difference{name, "bar"};
      difference.before_words = was ? "there" : "none";
      difference.after_words = was ? "none" : "there";
      add(std::move(difference));
    };
    for (const Bar& bar : model_before.bars) {
      if (!named(model_after.bars, bar.name)) tell(bar.name, true);
    }
    for (const Bar& bar : model_after.bars) {
      if (!named(model_before.bars, bar.name)) tell(bar.name, false);
    }
  }

  void compare_findings() {
    for (const Finding& finding : after.findings) {
      if (finding.level != Level::problem || finding.code == "bottomed") continue;  // its state tells that
      const bool known = std::any_of(before.findings.begin(), before.findings.end(), [&](const Finding& other) {
        return other.level == finding.level && other.code == finding.code && other.where == finding.where;
      });
      if (known) continue;
      Difference difference{finding.where, "finding"};
      difference.after_words = finding.code;
      difference.within = false;
      result.new_findings.push_back(finding);
      add(std::move(difference));
    }
  }
};

const Spot* find_spot(const std::vector<Spot>& spots, const Spot& like) {
  const auto found = std::find_if(spots.begin(), spots.end(), [&](const Spot& each) {
    return each.scope == like.scope && each.where == like.where;
  });
  return found == spots.end() ? nullptr : &*found;
}

/// Whether a wheel's corner is missing as a whole, which is told once.
bool corner_lacks_too(const std::vector<Spot>& others, const Model& model, const Spot& wheel) {
  return wheel.scope == Scope::wheel && !find_spot(others, {Scope::corner, 0, 0, model.corners[wheel.corner].name});
}

}  // namespace

Comparison compare(const Model& before, const Solution& solved_before, const Model& after, const Solution& solved_after,
                   const Keep& keep) {
  Comparing comparing{before, solved_before, after, solved_after, keep};
  const std::vector<Spot> here = spots_of(before), there = spots_of(after);
  for (const Spot& spot : here) {
    const bool lacks = !find_spot(there, spot) && spot.scope != Scope::vehicle;
    if (lacks && !corner_lacks_too(there, before, spot)) comparing.tell_lack(spot, true);
  }
  for (const Spot& spot : there) {
    const bool lacks = !find_spot(here, spot) && spot.scope != Scope::vehicle;
    if (lacks && !corner_lacks_too(here, after, spot)) comparing.tell_lack(spot, false);
  }
  for (const Spot& spot : here) {
    const Spot* other = spot.scope == Scope::corner ? find_spot(there, spot) : nullptr;
    if (other) comparing.compare_parts(spot, *other);
  }
  comparing.compare_bars();
  for (const Quantity& quantity : quantities()) {
    if (!quantity.compared) continue;
    for (const Spot& spot : here) {
      const Spot* other = quantity.of == spot.scope ? find_spot(there, spot) : nullptr;
      if (other) comparing.compare_number(quantity, spot, *other);
    }
  }
  for (const Spot& spot : here) {
    const Spot* other = spot.scope == Scope::wheel ? find_spot(there, spot) : nullptr;
    if (other) comparing.compare_state(spot, *other);
  }
  comparing.compare_findings();

  Comparison result = std::move(comparing.result);
  result.needs = spring_needs(before, solved_before, after, &solved_after);
  result.holds = true;
  result.worst = 0;
  for (const Difference& each : result.differences) {
    result.holds = result.holds && each.within;
    result.worst = std::max(result.worst, share_of_tolerance(each));
  }
  result.verdict = verdict_words(before, result);
  return result;
}

Comparison compare_unsolved(const Model& before, const Solution& solved_before, const Model& after,
                            const std::vector<Problem>& why) {
  Comparison result;
  result.verdict = "does not stand: " + why.front().text;
  result.needs = spring_needs(before, solved_before, after, nullptr);
  return result;
}

}  // namespace ridepitch
