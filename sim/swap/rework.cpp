#include "swap/rework.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <set>

#include "model/index.hpp"
#include "model/read_parts.hpp"
#include "ride/solve.hpp"
#include "stack/made_of.hpp"
#include "steer/further_findings.hpp"

namespace ridepitch {
namespace {

constexpr int most_side_by_side = 3;
constexpr int reach_modules = 2;

bool is_among(const std::vector<std::string>& names, const std::string& name) {
  return std::find(names.begin(), names.end(), name) != names.end();
}

bool can_be_had(const Model& model, const std::vector<std::string>& gone, const std::string& part) {
  return std::find(gone.begin(), gone.end(), part) == gone.end() && !is_gone(model, part);
}

/// Of all corners; not a number where the list does not have one of them.
double price_of_springs(const Model& model) {
  double sum = 0;
  for (const Corner& corner : model.corners)
    for (const Spring& spring : at(model.linkages, corner.linkage).springs)
      sum += price_of_part(model, spring.part, spring.count);
  return sum;
}

/// A model with all that is found against it, and what it steers.
struct Judged {
  const Model& model;
  Solution solution;
  SteerResult steering;
};

Judged judged_in_full(const Model& model, Solution solution) {
  Further more = look_further(model, solution);
  std::move(more.findings.begin(), more.findings.end(), std::back_inserter(solution.findings));
  return {model, std::move(solution), std::move(more.steering)};
}

Results results_of(const Judged& judged) { return results_of(judged.model, judged.solution, judged.steering); }

/// The changed model compared with the model. What it steers, and what is found against it beyond how it stands, are looked
/// for only where the verdict hangs on it: that takes longer than all the rest.
/// @param why_not  why it does not stand; empty: it does
Comparison compare_changed(const Judged& before, const Changes& changes, const Keep& keep, std::string& why_not) {
  const Model& model = before.model;
  const Model after = changed(model, changes);
  SolveResult result = solve(after, {.other_stances = false, .readings = false});
  if (!result.solution) {
    why_not = result.problems.front().text;
    return compare_unsolved(model, before.solution, after, result.problems);
  }
  const Comparison comparison = compare({model, before.solution}, {after, *result.solution}, keep);
  if (!comparison.holds) return comparison;
  const Judged is = judged_in_full(after, std::move(*result.solution));
  return compare(results_of(before), results_of(is), keep, why_not_steered(is.steering));
}

void try_out(const Judged& before, const Keep& keep, StandIn& made) {
  const Model& model = before.model;
  made.comparison = compare_changed(before, made.changes, keep, made.why_not);
  made.tried = true;
  made.stands = made.why_not.empty();
  made.price_more = std::nan("");
  if (model.has_prices && std::holds_alternative<SetSpring>(made.changes.front()))
    made.price_more = price_of_springs(changed(model, made.changes)) - price_of_springs(model);
}

bool better(const StandIn& a, const StandIn& b) {
  if (a.tried != b.tried) return a.tried;
  if (a.comparison.holds != b.comparison.holds) return a.comparison.holds;
  if (a.stands != b.stands) return a.stands;
  if (a.comparison.worst != b.comparison.worst) return a.comparison.worst < b.comparison.worst;
  if (a.count != b.count) return a.count < b.count;
  return a.part < b.part;
}

/// Places within reach of a hole, its own first: the holes of its body's parts, or of a free body whole modules away.
/// Those of other holes of its body are taken.
std::vector<Vec2> places_around(const Model& model, int linkage, HoleRef ref) {
  const Body& body = at(at(model.linkages, linkage).bodies, ref.body);
  const Vec2& own = at(body.holes, ref.hole).p_B;
  auto around = places_to_try(model, linkage, ref.body);
  if (!around) {
    around.emplace();
    for (int v = -reach_modules; v <= reach_modules; ++v)
      for (int u = -reach_modules; u <= reach_modules; ++u) around->push_back(own + model.module_mm * Vec2(u, v));
  }
  const double reach_mm = (reach_modules + 1e-6) * model.module_mm, same_mm = hole_fit_modules * model.module_mm;
  std::vector<Vec2> places = {own};
  for (const Vec2& p : *around) {
    const bool taken = std::any_of(body.holes.begin(), body.holes.end(),
                                   [&](const Hole& other) { return (other.p_B - p).norm() < same_mm; });
    if (!taken && (p - own).lpNorm<Eigen::Infinity>() <= reach_mm) places.push_back(p);
  }
  return places;
}

void vary_hole(const Model& model, int linkage, HoleRef ref, Tune& tune) {
  const auto same = [&](const Vary& vary) {
    const auto* hole = std::get_if<VaryHole>(&vary.what);
    return hole && vary.linkage == linkage && hole->body == ref.body && hole->hole == ref.hole;
  };
  if (std::any_of(tune.vary.begin(), tune.vary.end(), same)) return;
  VaryHole vary;
  vary.body = ref.body;
  vary.hole = ref.hole;
  vary.at_mm = places_around(model, linkage, ref);
  tune.vary.push_back({linkage, std::move(vary), {}});
}

/// The rod's own length, unless it is gone, and those of all rods of the catalogue near it.
void vary_rod(const Model& model, int linkage, int index, const std::vector<std::string>& gone, Tune& tune) {
  const auto same = [&](const Vary& vary) {
    const auto* rod = std::get_if<VaryRod>(&vary.what);
    return rod && vary.linkage == linkage && rod->rod == index;
  };
  if (std::any_of(tune.vary.begin(), tune.vary.end(), same)) return;
  const Rod& rod = at(at(model.linkages, linkage).rods, index);
  const bool is_gone_itself = is_among(gone, rod.part);
  std::set<double> lengths;
  if (!is_gone_itself) lengths.insert(rod.length_mm);
  for (const auto& [name, part] : model.catalogue) {
    if (kind_of(part) != "rod" || !length_of(part) || !can_be_had(model, gone, name)) continue;
    const double length = *length_of(part) * model.module_mm;
    if (is_gone_itself && std::abs(length - rod.length_mm) < 1e-6) continue;
    if (std::abs(length - rod.length_mm) <= reach_modules * model.module_mm + 1e-6 && length > rod.across_mm)
      lengths.insert(length);
  }
  VaryRod vary;
  vary.rod = index;
  vary.length_mm.assign(lengths.begin(), lengths.end());
  if (!vary.length_mm.empty()) tune.vary.push_back({linkage, std::move(vary), {}});
}

bool carries_a_wheel(const Linkage& linkage, int body) {
  return std::any_of(linkage.wheels.begin(), linkage.wheels.end(), [&](const Wheel& w) { return w.at.body == body; });
}

/// A body on the chassis that carries no wheel.
bool is_lever(const Linkage& linkage, int body) { return body != chassis && !carries_a_wheel(linkage, body); }

/// Pivot of a lever, its rods and the holes that those are on.
void vary_lever(const Model& model, int index, int lever, const std::vector<std::string>& gone, Tune& tune) {
  const Linkage& linkage = at(model.linkages, index);
  for (const Pin& pin : linkage.pins) {
    const bool of_lever = std::any_of(pin.holes.begin(), pin.holes.end(), [&](HoleRef h) { return h.body == lever; });
    for (const HoleRef& hole : pin.holes)
      if (of_lever && hole.body == chassis) vary_hole(model, index, hole, tune);
  }
  for (int i = 0; i < count(linkage.rods); ++i) {
    const Rod& rod = at(linkage.rods, i);
    if (rod.from.body != lever && rod.to.body != lever) continue;
    vary_hole(model, index, rod.from.body == lever ? rod.from : rod.to, tune);
    vary_rod(model, index, i, gone, tune);
  }
}

/// The spring's ends, and the levers that it works.
void vary_around(const Model& model, int index, const Spring& spring, const std::vector<std::string>& gone,
                 Tune& tune) {
  const Linkage& linkage = at(model.linkages, index);
  for (const HoleRef& end : {spring.from, spring.to})
    if (!carries_a_wheel(linkage, end.body)) vary_hole(model, index, end, tune);
  for (const HoleRef& end : {spring.from, spring.to})
    if (is_lever(linkage, end.body)) vary_lever(model, index, end.body, gone, tune);
}

void need_least(Tune& tune, std::string_view quantity, const std::string& of, double least) {
  Need made;
  made.quantity = quantity;
  made.of = of;
  made.least = least;
  tune.needs.push_back(std::move(made));
}

/// Bump travel and reserve of every wheel.
void need_what_is_kept(const Solution& solution, const Keep& keep, Tune& tune, int index) {
  const CornerResult& corner = at(solution.corners, index);
  for (const WheelResult& wheel : corner.wheels) {
    const auto share = [&](std::string_view quantity, std::optional<double> now, double kept) {
      if (now && *now > 0) need_least(tune, quantity, corner.name + "/" + wheel.name, kept * *now);
    };
    share(name::bump_travel, wheel.bump_travel_mm, keep.bump_share);
    share(name::reserve, wheel.reserve, keep.reserve_share);
  }
}

}  // namespace

std::vector<GoneSpring> springs_of_part(const Model& model, const std::vector<std::string>& parts) {
  std::vector<GoneSpring> out;
  for (std::size_t l = 0; l < model.linkages.size(); ++l)
    for (std::size_t s = 0; s < model.linkages[l].springs.size(); ++s) {
      const std::string& part = model.linkages[l].springs[s].part;
      if (!part.empty() && std::find(parts.begin(), parts.end(), part) != parts.end())
        out.push_back({static_cast<int>(l), static_cast<int>(s)});
    }
  return out;
}

namespace {

/// One stand-in for each catalogue part that `fits`, with a change for each place that it goes to.
void add_stand_ins(const Model& model, const std::vector<std::string>& gone, int most_count, const auto& fits,
                   const auto& changes, std::vector<StandIn>& out) {
  for (const auto& [name, part] : model.catalogue) {
    if (!fits(part) || !can_be_had(model, gone, name)) continue;
    for (int count = 1; count <= most_count; ++count) {
      StandIn made;
      made.part = name;
      made.count = count;
      made.changes = changes(name, count);
      out.push_back(std::move(made));
    }
  }
}

/// Wheels that roll on a gone tyre; a steered wheel that is the same as a sprung one follows that.
Changes tyres_changed(const Model& model, const std::vector<std::string>& gone, const std::string& part) {
  Changes changes;
  for (int l = 0; l < count(model.linkages); ++l)
    for (int w = 0; w < count(at(model.linkages, l).wheels); ++w) {
      const Wheel& wheel = at(at(model.linkages, l).wheels, w);
      if (wheel.same_as.empty() && is_among(gone, wheel.part)) changes.emplace_back(SetTyre{l, w, part});
    }
  return changes;
}

Changes parts_changed(const Model& model, const std::vector<std::string>& gone, const std::string& part) {
  Changes changes;
  for (int l = 0; l < count(model.linkages); ++l)
    for (int b = 0; b < count(at(model.linkages, l).bodies); ++b)
      if (is_among(gone, at(at(model.linkages, l).bodies, b).part)) changes.emplace_back(SetPart{l, b, part});
  return changes;
}

}  // namespace

std::vector<StandIn> stand_ins(const Model& model, const Solution& solution, const std::vector<std::string>& gone,
                               const Keep& keep, const OnDone& on_done, const ShallEnd& shall_end) {
  std::vector<StandIn> out;
  if (const std::vector<GoneSpring> springs = springs_of_part(model, gone); !springs.empty()) {
    const auto& first = at(at(model.linkages, springs[0].linkage).springs, springs[0].spring);
    add_stand_ins(
        model, gone, most_side_by_side, [&](const Part& part) { return same_kind(first, part); },
        [&](const std::string& part, int count) {
          Changes changes;
          for (const GoneSpring& spring : springs)
            changes.emplace_back(SetSpring{spring.linkage, spring.spring, part, count});
          return changes;
        },
        out);
  }
  if (!tyres_changed(model, gone, "").empty())
    add_stand_ins(
        model, gone, 1, [](const Part& part) { return kind_of(part) == "tyre"; },
        [&](const std::string& part, int) { return tyres_changed(model, gone, part); }, out);
  if (!parts_changed(model, gone, "").empty())
    add_stand_ins(
        model, gone, 1,
        [](const Part& part) {
          const auto* piece = std::get_if<Piece>(&part.data);
          return piece && !piece->holes.empty();
        },
        [&](const std::string& part, int) { return parts_changed(model, gone, part); }, out);
  if (out.empty()) return out;
  const Judged before = judged_in_full(model, solution);
  const auto try_numbered = [&](std::size_t i) { try_out(before, keep, out[i]); };
  in_parallel(out.size(), try_numbered, on_done, shall_end);
  std::stable_sort(out.begin(), out.end(), better);
  return out;
}

Tune rework_tune(const Model& model, const Solution& solution, const std::vector<std::string>& gone, const Keep& keep) {
  Tune tune;
  for (const GoneSpring& each : springs_of_part(model, gone)) {
    const Spring& spring = at(at(model.linkages, each.linkage).springs, each.spring);
    VarySpring vary;
    vary.spring = each.spring;
    for (const auto& [name, part] : model.catalogue)
      if (same_kind(spring, part) && can_be_had(model, gone, name) && reaches_across(part, spring))
        vary.parts.push_back(name);
    for (int count = 1; count <= most_side_by_side; ++count) vary.counts.push_back(count);
    if (vary.parts.empty()) return {};
    tune.vary.push_back({each.linkage, std::move(vary), {}});
    vary_around(model, each.linkage, spring, gone, tune);
  }
  for (int l = 0; l < count(model.linkages); ++l) {
    const Linkage& linkage = at(model.linkages, l);
    for (int i = 0; i < count(linkage.rods) && linkage.plane != Plane::top; ++i) {
      const Rod& rod = at(linkage.rods, i);
      if (rod.part.empty() || !is_among(gone, rod.part)) continue;
      vary_rod(model, l, i, gone, tune);
      for (const int body : {rod.from.body, rod.to.body})
        if (is_lever(linkage, body)) {
          vary_lever(model, l, body, gone, tune);
          for (const Spring& spring : linkage.springs)
            if (!turns(spring) && (spring.from.body == body || spring.to.body == body))
              vary_around(model, l, spring, gone, tune);
        }
    }
  }
  tune.wants = stance_wants(model, solution, {keep.ride_mm, keep.pitch_deg, keep.rate_share});
  for (const Figure& part : corners_and_wheels(model))
    if (part.wheel < 0) need_what_is_kept(solution, keep, tune, part.corner);
  return tune;
}

HoleSearch search_holes(const Model& model, const Solution& solution, const std::vector<std::string>& gone,
                        const Keep& keep, const RunSearch& run, bool with_chance) {
  HoleSearch out;
  out.tune = rework_tune(model, solution, gone, keep);
  if (out.tune.vary.empty()) return out;
  out.space = make_space(model, out.tune);
  AimsOrProblem aims = make_aims(model, out.tune, out.space.corners, model, solution);
  if (!aims.aims || out.space.size == 0) return out;
  out.aims = std::move(*aims.aims);
  const Evaluator evaluator = make_evaluator(out.space, out.aims, solution);
  out.by_kernel = evaluator.tape.has_value();
  out.by = evaluator.tape ? evaluator.kernel.name : evaluator.why_no_tape;
  const Judged before = judged_in_full(model, solution);
  const auto compared = [&](const SolvedCandidate& candidate) {
    return compare(results_of(before), results_of(candidate.model, candidate.solution, candidate.steering), keep,
                   why_not_steered(candidate.steering));
  };
  out.result = run(evaluator, [&](const SolvedCandidate& candidate) { return compared(candidate).holds; });
  out.searched = true;
  std::optional<Scattered> was;
  if (with_chance) was.emplace(Scattered{model, solution, sample_vehicles(model, solution)});
  for (const Found& found : out.result.found) {
    const auto candidate = solve_in_full(evaluator, found.candidate);
    if (candidate) out.layouts.push_back({found, compared(*candidate)});
    if (candidate && with_chance && out.layouts.back().comparison.holds)
      out.layouts.back().chance = chance_of_keeping(
          *was, {candidate->model, candidate->solution, sample_vehicles(candidate->model, candidate->solution)}, keep);
  }
  return out;
}

void sort_by_chance(std::vector<Layout>& layouts) {
  const auto percent = [](const Layout& layout) {
    return layout.chance ? std::lround(100 * layout.chance->share) : -1;
  };
  std::stable_sort(layouts.begin(), layouts.end(),
                   [&](const Layout& a, const Layout& b) { return percent(a) > percent(b); });
}

std::vector<std::string> used_spring_parts(const Model& model) {
  std::vector<std::string> used;
  for (const Linkage& linkage : model.linkages)
    for (const Spring& spring : linkage.springs)
      if (!spring.part.empty() && !is_among(used, spring.part)) used.push_back(spring.part);
  return used;
}

std::vector<std::string> searched_parts(const Model& model) {
  std::vector<std::string> used = used_spring_parts(model);
  for (const Linkage& linkage : model.linkages)
    for (const Rod& rod : linkage.rods)
      if (linkage.plane != Plane::top && !rod.part.empty() && !is_among(used, rod.part)) used.push_back(rod.part);
  return used;
}

std::vector<std::string> replaceable_parts(const Model& model) {
  std::vector<std::string> used = searched_parts(model);
  const auto add = [&](const std::string& part) {
    if (!part.empty() && model.catalogue.contains(part) && !is_among(used, part)) used.push_back(part);
  };
  for (const Linkage& linkage : model.linkages) {
    for (const Wheel& wheel : linkage.wheels) add(wheel.part);
    for (const Body& body : linkage.bodies) add(body.part);
  }
  return used;
}

std::vector<std::string> gone_by_list(const Model& model) {
  for (const std::vector<std::string>& used : {searched_parts(model), replaceable_parts(model)}) {
    std::vector<std::string> gone = used;
    std::erase_if(gone, [&](const std::string& part) { return !is_gone(model, part); });
    if (!gone.empty()) return gone;
  }
  return {};
}

}  // namespace ridepitch
