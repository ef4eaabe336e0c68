#include "tune/layout_test.hpp"

#include <algorithm>
#include <bit>
#include <cmath>

#include "model/index.hpp"
#include "tune/rise_windows.hpp"

namespace ridepitch {
namespace {

constexpr std::uint64_t run_length = 32;
constexpr int numbers_at_once = 16;  // that the load test reads, at most

int places(const VariedEnd& end) { return end.thing ? end.thing->options : 1; }

int own_of(const std::optional<VariedThing>& thing) { return thing ? thing->own : 0; }

int cost(const std::optional<VariedThing>& thing, int option) { return thing && option != thing->own ? 1 : 0; }

std::uint64_t number(const std::optional<VariedThing>& thing, int option) {
  return thing ? thing->stride * static_cast<std::uint64_t>(option) : 0;
}

int most_cost(const VariedSpring& spring) {
  return (spring.first.thing ? 1 : 0) + (spring.second.thing ? 1 : 0) + (spring.thing ? 1 : 0);
}

/// Whether a body's place depends on another wheel than one.
bool goes_with_others(const LaidBody& body, std::size_t wheel) {
  for (std::size_t v = 0; v < body.at_by_rise.size(); ++v)
    if (v != wheel && body.at_by_rise[v].norm() + std::abs(body.turn_by_rise[v]) > 1e-9) return true;
  return false;
}

}  // namespace

LayoutWork::LayoutWork(const LinkageLayouts& from) : layouts(from), skeleton(from.skeleton) {
  const VariedSpring& last = from.springs.back();
  end_stride = (places(last.second) + numbers_at_once - 1) / numbers_at_once * numbers_at_once + numbers_at_once;
  passing.resize(static_cast<std::size_t>(places(last.second) * load_words(count(last.traits))));
}

namespace {

/// What hangs on how far the skeleton at hand has been filled with springs.
struct Looking {
  LayoutWork& work;
  int least_changes, most_changes;
  LayoutsLeft& left;
};

void record(Looking& looking, int changes, std::uint64_t number) {
  if (changes < looking.least_changes || changes > looking.most_changes) return;
  if (count(looking.left.by_changes) <= changes) looking.left.by_changes.resize(static_cast<std::size_t>(changes) + 1);
  at(looking.left.by_changes, changes).push_back(number);
}

/// Calls with every row: its index, places that it is laid down at, its wheel and how many the corner has.
void each_row(const LayoutWork& work, const auto& call) {
  std::size_t row = 0;
  for (const std::vector<Laid>& laid : work.laid) {
    const std::size_t wheels = (laid.size() - 1) / 3;
    for (std::size_t w = 0; w < wheels; ++w, ++row) call(row, laid, w, wheels);
  }
}

void each_sample(const LoadRow& row, const auto& call) {
  for (int s = 0; s < row.samples; ++s) call(s);
  if (row.has_bump) call(static_cast<int>(bump_sample));
}

void put_first(LayoutWork& work, const VariedEnd& end, int option) {
  const Vec2 p_B = place_of(work.skeleton, end, option);
  each_row(work, [&](std::size_t row, const std::vector<Laid>& laid, std::size_t w, std::size_t wheels) {
    each_sample(work.rows[row], [&](int s) {
      const LaidPoint p = point_of(at(laid[place_at(s, w, wheels)].bodies, end.hole.body), p_B, w);
      float* const to = work.first.data() + 4 * (row * most_samples + static_cast<std::size_t>(s));
      to[0] = static_cast<float>(p.at.x());
      to[1] = static_cast<float>(p.at.y());
      to[2] = static_cast<float>(p.by_rise.x());
      to[3] = static_cast<float>(p.by_rise.y());
    });
  });
}

void put_second(LayoutWork& work, const VariedEnd& end) {
  const auto stride = static_cast<std::size_t>(work.end_stride);
  each_row(work, [&](std::size_t row, const std::vector<Laid>& laid, std::size_t w, std::size_t wheels) {
    each_sample(work.rows[row], [&](int s) {
      const LaidBody& on = at(laid[place_at(s, w, wheels)].bodies, end.hole.body);
      float* const to = work.second.data() + 4 * (row * most_samples + static_cast<std::size_t>(s)) * stride;
      for (int i = 0; i < places(end); ++i) {
        const LaidPoint p = point_of(on, place_of(work.skeleton, end, i), w);
        to[i] = static_cast<float>(p.at.x());
        to[stride + static_cast<std::size_t>(i)] = static_cast<float>(p.at.y());
        to[2 * stride + static_cast<std::size_t>(i)] = static_cast<float>(p.by_rise.x());
        to[3 * stride + static_cast<std::size_t>(i)] = static_cast<float>(p.by_rise.y());
      }
    });
  });
}

/// Tests the last spring's choices from..to of its second end and of its kinds; records what passes.
void test(Looking& looking, int first_option, int changes, std::uint64_t number_so_far, int end_from, int ends,
          int spring_from, int springs) {
  LayoutWork& work = looking.work;
  const VariedSpring& last = work.layouts.springs.back();
  LoadTask task;
  task.rows = count(work.rows);
  task.ends = ends;
  task.springs = springs;
  task.end_stride = work.end_stride;
  task.row = work.rows.data();
  task.first = work.first.data();
  task.second = work.second.data() + end_from;
  task.across2 = static_cast<float>(last.across_mm * last.across_mm);
  task.at_no_length = last.at_no_length.data() + spring_from;
  task.rate = last.rate.data() + spring_from;
  task.solid = last.solid.data() + spring_from;
  task.free = last.free.data() + spring_from;
  task.scratch = work.scratch.data();
  looking.left.tested += work.layouts.test(task, work.passing.data());
  const int words = load_words(springs);
  const int so_far = changes + cost(last.first.thing, first_option);
  const std::uint64_t number_here = number_so_far + number(last.first.thing, first_option);
  for (int e = 0; e < ends; ++e)
    for (int w = 0; w < words; ++w)
      for (std::uint64_t bits = at(work.passing, e * words + w); bits != 0; bits &= bits - 1) {
        const int spring = 64 * w + std::countr_zero(bits);
        if (spring >= springs) break;
        record(looking, so_far + cost(last.second.thing, end_from + e) + cost(last.thing, spring_from + spring),
               number_here + number(last.second.thing, end_from + e) + number(last.thing, spring_from + spring));
      }
}

void look_at_last(Looking& looking, int changes, std::uint64_t number_so_far) {
  const VariedSpring& last = looking.work.layouts.springs.back();
  const int ends = places(last.second), springs = count(last.traits), own_end = own_of(last.second.thing),
            own_spring = own_of(last.thing);
  for (int f = 0; f < places(last.first); ++f) {
    const int changes_left = looking.most_changes - changes - cost(last.first.thing, f);
    if (changes_left < 0) continue;
    put_first(looking.work, last.first, f);
    if (changes_left >= 2) {
      test(looking, f, changes, number_so_far, 0, ends, 0, springs);
      continue;
    }
    if (changes_left == 1 && own_end >= 0) test(looking, f, changes, number_so_far, own_end, 1, 0, springs);
    if (changes_left == 1 && own_spring >= 0 && ends > 1)
      test(looking, f, changes, number_so_far, 0, ends, own_spring, 1);
    if (changes_left == 0 && own_end >= 0 && own_spring >= 0)
      test(looking, f, changes, number_so_far, own_end, 1, own_spring, 1);
  }
}

/// What one spring that is not the last carries of each row, added to the others. @returns false where its length rules it out
bool add_loads(LayoutWork& work, const VariedSpring& spring, int first, int second, int kind) {
  constexpr double rounding_mm = 1e-3;
  const SpringTraits& traits = at(spring.traits, kind);
  const double solid = bound(traits, +1), free = bound(traits, -1);
  const Vec2 p_B = place_of(work.skeleton, spring.first, first), q_B = place_of(work.skeleton, spring.second, second);
  bool every_corner = true, some_case = false, one_case = true;
  each_row(work, [&](std::size_t row, const std::vector<Laid>& laid, std::size_t w, std::size_t wheels) {
    LoadRow& out = work.rows[row];
    double shortest = 1e300, longest = -1e300;
    const auto add_sample = [&](int s) {
      const Laid& there = laid[place_at(s, w, wheels)];
      const LaidPoint p = point_of(at(there.bodies, spring.first.hole.body), p_B, w),
                      q = point_of(at(there.bodies, spring.second.hole.body), q_B, w);
      const Vec2 d = q.at - p.at;
      const double length = std::hypot(d.norm(), spring.across_mm);
      if (s == bump_sample) {
        const bool alone = !goes_with_others(at(there.bodies, spring.first.hole.body), w) &&
                           !goes_with_others(at(there.bodies, spring.second.hole.body), w);
        one_case &= !alone || length >= solid - rounding_mm;
        return;
      }
      const double slope = length > 0 ? d.dot(q.by_rise - p.by_rise) / length : 0;
      out.other_load[s] -=
          static_cast<float>(at(spring.counts, kind) * spring_force(traits.law, length).push_n * slope);
      shortest = std::min(shortest, length);
      longest = std::max(longest, length);
    };
    if (!out.open) {
      each_sample(out, add_sample);
      one_case &= longest >= solid - rounding_mm && shortest <= free + rounding_mm;
    }
    if (!out.ends_case) return;
    some_case |= one_case;
    one_case = true;
    if (!out.ends_corner) return;
    every_corner &= some_case;
    some_case = false;
  });
  return every_corner;
}

/// Fills in the springs from one on, every choice of each.
void look_at_springs(Looking& looking, std::size_t from, int changes, std::uint64_t number_so_far) {
  const std::vector<VariedSpring>& springs = looking.work.layouts.springs;
  int most = changes;
  for (std::size_t i = from; i < springs.size(); ++i) most += most_cost(springs[i]);
  if (changes > looking.most_changes || most < looking.least_changes) return;
  if (from + 1 == springs.size()) return look_at_last(looking, changes, number_so_far);
  const VariedSpring& spring = springs[from];
  const std::vector<LoadRow> before = looking.work.rows;
  for (int f = 0; f < places(spring.first); ++f)
    for (int s = 0; s < places(spring.second); ++s)
      for (int k = 0; k < count(spring.traits); ++k) {
        const int more = cost(spring.first.thing, f) + cost(spring.second.thing, s) + cost(spring.thing, k);
        if (changes + more > looking.most_changes) continue;
        looking.work.rows = before;
        if (add_loads(looking.work, spring, f, s, k))
          look_at_springs(
              looking, from + 1, changes + more,
              number_so_far + number(spring.first.thing, f) + number(spring.second.thing, s) + number(spring.thing, k));
      }
  looking.work.rows = before;
}

LoadRow make_row(const WheelInStance& wheel, const RiseWindow& window) {
  constexpr double rounding = 0.005;  // what pitch, and the centre's path beside the contact's, make of a rate
  const auto growth = [&](double rate, double more) {
    return static_cast<float>(std::abs(rate) > 1e20 ? rate
                                                    : (window.to_mm - window.from_mm) * (rate + more * std::abs(rate)));
  };
  LoadRow row;
  row.beside = window.beside;
  row.turn = static_cast<float>(turn_of(window));
  if (window.beside == 0) {
    row.load_low = static_cast<float>(wheel.load_n[0]);
    row.load_high = static_cast<float>(wheel.load_n[1]);
  }
  row.growth_low = growth(wheel.rate_n_per_mm[0], -rounding);
  row.growth_high = growth(wheel.rate_n_per_mm[1], +rounding);
  return row;
}

/// Lays the skeleton at hand down over windows of a corner's wheels, and adds its rows.
void lay_windows(LayoutWork& work, unsigned sides, const LaidCorner& corner, const std::vector<RiseWindow>& windows) {
  const VariedSpring& last = work.layouts.springs.back();
  const std::size_t n = corner.wheels.size();
  std::vector<Laid>& laid = work.laid.emplace_back(corner.at_mm.size(), work.layouts.laid);
  const auto lay = [&](std::size_t i) {
    return lay_at(work.skeleton, sides, corner.inputs[i], corner.rises, place_in(windows, corner, i), laid[i]);
  };
  bool all_there = true;
  for (std::size_t i = 0; i < 1 + 2 * n; ++i) all_there &= lay(i);
  for (std::size_t w = 0; w < n; ++w) {
    LoadRow& out = work.rows.emplace_back(make_row(corner.wheels[w], windows[w]));
    out.samples = 3 + 2 * static_cast<int>(n - 1);
    out.ends_case = out.ends_corner = false;
    // Where wheels move one another nothing is proved of what only a part of them reaches: whatever hangs there is looked at.
    out.open = !all_there;
    if (!all_there) continue;
    const bool alone = !goes_with_others(at(laid[0].bodies, last.first.hole.body), w) &&
                       !goes_with_others(at(laid[0].bodies, last.second.hole.body), w);
    out.has_bump = needs_travel(corner.wheels[w]) && alone && lay(bump_of(w, n));
  }
}

/// Lays the skeleton at hand down everywhere and makes the rows ready: for each corner one case, or several where it reaches only
/// a part. @returns false where it is proved that no spring can hold its wheels
bool lay_everywhere(LayoutWork& work, unsigned sides) {
  const std::vector<LaidCorner>& corners = work.layouts.corners;
  work.rows.clear();
  work.laid.clear();
  for (const LaidCorner& corner : corners) {
    const auto cases = cases_reached(work.layouts, work.skeleton, sides, corner);
    if (cases.empty()) return false;
    for (const std::vector<RiseWindow>& one_case : cases) {
      lay_windows(work, sides, corner, one_case);
      work.rows.back().ends_case = true;
      work.rows.back().ends_corner = &one_case == &cases.back();
    }
  }
  const VariedSpring& last = work.layouts.springs.back();
  const std::size_t samples = work.rows.size() * most_samples;
  work.first.resize(std::max(work.first.size(), 4 * samples));
  work.second.resize(
      std::max(work.second.size(), 4 * samples * static_cast<std::size_t>(work.end_stride) + numbers_at_once));
  work.scratch.resize(
      std::max(work.scratch.size(),
               static_cast<std::size_t>(load_scratch(count(work.rows), work.end_stride)) + numbers_at_once));
  put_second(work, last.second);
  return true;
}

std::uint64_t others(const VariedThing& thing) {
  return static_cast<std::uint64_t>(thing.options - (thing.own >= 0 ? 1 : 0));
}

std::uint64_t skeletons(const LinkageLayouts& layouts, std::uint64_t changed) {
  std::uint64_t n = 1;
  for (std::size_t i = 0; i < layouts.things.size(); ++i) {
    if (((changed >> i) & 1u) != 0)
      n *= others(layouts.things[i]);
    else if (layouts.things[i].own < 0)
      return 0;
  }
  return n;
}

}  // namespace

std::vector<SkeletonRun> skeleton_runs(const LinkageLayouts& layouts, int least_changes, int most_changes) {
  int of_springs = 0;
  for (const VariedSpring& spring : layouts.springs) of_springs += most_cost(spring);
  std::vector<SkeletonRun> runs;
  for (std::uint64_t changed = 0; changed < std::uint64_t{1} << layouts.things.size(); ++changed) {
    const int changes = std::popcount(changed);
    if (changes > most_changes || changes + of_springs < least_changes) continue;
    const std::uint64_t all = skeletons(layouts, changed);
    for (std::uint64_t from = 0; from < all; from += run_length)
      runs.push_back({changed, from, std::min(all, from + run_length)});
  }
  return runs;
}

void look_at(LayoutWork& work, const SkeletonRun& run, int least_changes, int most_changes, LayoutsLeft& left) {
  const LinkageLayouts& layouts = work.layouts;
  Looking looking{work, least_changes, most_changes, left};
  for (std::uint64_t i = run.from; i < run.to; ++i) {
    std::uint64_t rest = i, number_here = 0;
    for (std::size_t k = 0; k < layouts.things.size(); ++k) {
      const VariedThing& thing = layouts.things[k];
      int option = thing.own;
      if (((run.changed >> k) & 1u) != 0) {
        option = static_cast<int>(rest % others(thing));
        rest /= others(thing);
        if (thing.own >= 0 && option >= thing.own) ++option;
      }
      choose(work.skeleton, at(at(layouts.space->variables, thing.variable).options, option));
      number_here += thing.stride * static_cast<std::uint64_t>(option);
    }
    renumber(work.skeleton.plan, work.skeleton.linkage);
    for (unsigned sides = 0; sides < 1u << work.skeleton.plan.steps.size(); ++sides)
      if (lay_everywhere(work, sides)) look_at_springs(looking, 0, std::popcount(run.changed), number_here);
  }
}

}  // namespace ridepitch
