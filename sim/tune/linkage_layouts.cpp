#include "tune/linkage_layouts.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <set>

#include "model/index.hpp"
#include "model/on_vehicle.hpp"

namespace ridepitch {
namespace {

constexpr std::uint64_t run_length = 32;
constexpr int whole_register = 16;  // numbers that the load test may read at once
constexpr double out_of_reach = 1e30;

VariedThing thing_of(const Space& space, int variable) {
  VariedThing out{.variable = variable,
                  .options = count(at(space.variables, variable).options),
                  .own = at(space.variables, variable).as_it_stands,
                  .stride = 1};
  for (int i = variable + 1; i < count(space.variables); ++i) out.stride *= at(space.variables, i).options.size();
  return out;
}

/// Holes that settle how the bodies lie: of pins, rods, slides; and those that limits hang on.
bool of_the_skeleton(const Linkage& linkage, HoleRef hole) {
  const auto is = [&](HoleRef other) { return other == hole; };
  for (const Pin& pin : linkage.pins)
    if (std::any_of(pin.holes.begin(), pin.holes.end(), is)) return true;
  for (const Rod& rod : linkage.rods)
    if (is(rod.from) || is(rod.to)) return true;
  for (const Slide& slide : linkage.slides)
    if (is(slide.hole) || is(slide.through)) return true;
  return std::any_of(linkage.wheels.begin(), linkage.wheels.end(), [&](const Wheel& w) { return is(w.at); });
}

int springs_at(const Linkage& linkage, HoleRef hole) {
  int springs = 0;
  for (const Spring& spring : linkage.springs) springs += (spring.from == hole) + (spring.to == hole);
  return springs;
}

bool is_straight(const SpringTraits& traits) { return !traits.law.pulls && !has_table(traits.law); }

/// Bounds of a coil's length; a spring without any has none that matter.
double bound(const SpringTraits& traits, int side) {
  double out = side > 0 ? -out_of_reach : out_of_reach;
  for (const SpringStop& stop : traits.stops)
    if (stop.side == side) out = side > 0 ? std::max(out, stop.bound) : std::min(out, stop.bound);
  return out;
}

void pack(VariedSpring& spring) {
  constexpr std::size_t whole = 16;
  const std::size_t n = spring.traits.size(), all = (n + whole - 1) / whole * whole + whole;
  spring.at_no_length.assign(all, 0);
  spring.rate.assign(all, 0);
  spring.solid.assign(all, static_cast<float>(out_of_reach));
  spring.free.assign(all, 0);
  for (std::size_t i = 0; i < n; ++i) {
    const ForceLaw& law = spring.traits[i].law;
    const double springs = spring.counts[i];
    spring.at_no_length[i] = static_cast<float>(springs * (law.preload_n + law.rate_n_per_mm * law.free_mm));
    spring.rate[i] = static_cast<float>(springs * law.rate_n_per_mm);
    spring.solid[i] = static_cast<float>(bound(spring.traits[i], +1));
    spring.free[i] = static_cast<float>(bound(spring.traits[i], -1));
  }
}

/// Nothing where a spring would be: for a linkage none of whose springs is a straight coil.
VariedSpring no_spring() {
  VariedSpring none;
  none.traits.resize(1);
  none.counts = {0};
  return none;
}

int places(const VariedEnd& end) { return end.thing ? end.thing->options : 1; }
int own_of(const std::optional<VariedThing>& thing) { return thing ? thing->own : 0; }
int cost(const std::optional<VariedThing>& thing, int option) { return thing && option != thing->own ? 1 : 0; }
std::uint64_t number(const std::optional<VariedThing>& thing, int option) {
  return thing ? thing->stride * static_cast<std::uint64_t>(option) : 0;
}
int most_cost(const VariedSpring& spring) {
  return (spring.first.thing ? 1 : 0) + (spring.second.thing ? 1 : 0) + (spring.thing ? 1 : 0);
}

void choose(Skeleton& skeleton, const Change& change) {
  if (const auto* move = std::get_if<MoveHole>(&change))
    at(at(skeleton.linkage.bodies, move->body).holes, move->hole).p_B = move->to_B_mm;
  else if (const auto* rod = std::get_if<SetLength>(&change))
    at(skeleton.linkage.rods, rod->rod).length_mm = rod->length_mm;
}

Vec2 place_of(const Skeleton& skeleton, const VariedEnd& end, int option) {
  return end.thing ? at(end.places, option) : at(at(skeleton.linkage.bodies, end.hole.body).holes, end.hole.hole).p_B;
}

std::size_t least_of(std::size_t wheel) { return 1 + 2 * wheel; }
std::size_t bump_of(std::size_t wheel, std::size_t wheels) { return 1 + 2 * wheels + wheel; }

/// The place that a sample of a wheel's row is at.
std::size_t place_at(int sample, std::size_t wheel, std::size_t wheels) {
  if (sample == as_wanted) return 0;
  if (sample == at_least) return least_of(wheel);
  if (sample == at_greatest) return least_of(wheel) + 1;
  if (sample == bump_sample) return bump_of(wheel, wheels);
  const std::size_t other = static_cast<std::size_t>(sample - of_others) / 2, end = (sample - of_others) % 2;
  return least_of(other < wheel ? other : other + 1) + end;
}

bool alike(const WheelInStance& a, const WheelInStance& b) {
  const auto near = [](double x, double y) { return std::abs(x - y) <= 1e-9 * std::max(1.0, std::abs(x)); };
  return a.wheel == b.wheel && near(a.rise_mm, b.rise_mm) && near(a.rise_by_mm.x(), b.rise_by_mm.x()) &&
         near(a.rise_by_mm.y(), b.rise_by_mm.y()) && near(a.within_mm, b.within_mm) && near(a.load_n[0], b.load_n[0]) &&
         near(a.load_n[1], b.load_n[1]) && near(a.rate_n_per_mm[0], b.rate_n_per_mm[0]) &&
         near(a.rate_n_per_mm[1], b.rate_n_per_mm[1]) && near(a.bump_mm, b.bump_mm);
}

/// How many wheels a body's place depends on.
int moved_by(const LaidBody& body) {
  int wheels = 0;
  for (std::size_t v = 0; v < body.at_by_rise.size(); ++v)
    wheels += body.at_by_rise[v].norm() + std::abs(body.turn_by_rise[v]) > 1e-9;
  return wheels;
}

/// Whether a body's place depends on another wheel than one.
bool goes_with_others(const LaidBody& body, std::size_t wheel) {
  for (std::size_t v = 0; v < body.at_by_rise.size(); ++v)
    if (v != wheel && body.at_by_rise[v].norm() + std::abs(body.turn_by_rise[v]) > 1e-9) return true;
  return false;
}

}  // namespace

std::optional<LinkageLayouts> make_linkage_layouts(const Space& space, int linkage, const Solution& as_it_stands,
                                                   std::string& why_not) {
  const Model& model = *space.model;
  const Linkage& own = at(model.linkages, linkage);
  const auto corner = std::find_if(model.corners.begin(), model.corners.end(),
                                   [&](const Corner& each) { return each.linkage == linkage; });
  if (corner == model.corners.end()) return std::nullopt;
  const auto poses = at(as_it_stands.corners, corner - model.corners.begin()).poses;
  constexpr std::size_t most_wheels = (bump_sample - of_others) / 2 + 1;
  if (own.wheels.empty() || own.wheels.size() > most_wheels ||
      std::any_of(own.wheels.begin(), own.wheels.end(), [](const Wheel& w) { return w.at.body == chassis; })) {
    why_not = "linkage '" + own.name + "' does not have one to three wheels that all move";
    return std::nullopt;
  }
  auto skeleton = make_skeleton(own, poses, why_not);
  if (!skeleton) return std::nullopt;
  LinkageLayouts out{
      .space = &space, .linkage = linkage, .skeleton = std::move(*skeleton), .test = load_testers().back().run};

  std::vector<VariedSpring> springs;
  for (const Spring& spring : own.springs) {
    if (turns(spring)) {
      why_not = "spring '" + spring.name + "' of linkage '" + own.name + "' turns";
      return std::nullopt;
    }
    springs.push_back({.first = {spring.from, {}, {}},
                       .second = {spring.to, {}, {}},
                       .thing = {},
                       .traits = {traits_of(spring.data)},
                       .counts = {spring.count},
                       .across_mm = spring.across_mm});
  }
  for (int v = 0; v < count(space.variables); ++v) {
    const Variable& variable = at(space.variables, v);
    if (changed_linkage(variable.options.front()) != linkage) continue;
    const VariedThing thing = thing_of(space, v);
    if (const auto* set = std::get_if<SetSpring>(&variable.options.front())) {
      VariedSpring& spring = at(springs, set->spring);
      spring.thing = thing;
      spring.traits.clear();
      spring.counts.clear();
      for (const Change& option : variable.options) {
        const Model with = changed(model, {option});
        const Spring& chosen = at(at(with.linkages, linkage).springs, set->spring);
        spring.traits.push_back(traits_of(chosen.data));
        spring.counts.push_back(chosen.count);
      }
      continue;
    }
    if (const auto* move = std::get_if<MoveHole>(&variable.options.front())) {
      const HoleRef hole{move->body, move->hole};
      if (!of_the_skeleton(own, hole) && springs_at(own, hole) == 1) {
        for (VariedSpring& spring : springs)
          for (VariedEnd* end : {&spring.first, &spring.second}) {
            if (!(end->hole == hole)) continue;
            end->thing = thing;
            for (const Change& option : variable.options) end->places.push_back(std::get<MoveHole>(option).to_B_mm);
          }
        continue;
      }
    } else if (!std::holds_alternative<SetLength>(variable.options.front())) {
      why_not = "'" + variable.thing + "' is neither a hole, a rod nor a spring";
      return std::nullopt;
    }
    out.things.push_back(thing);
  }
  for (VariedSpring& spring : springs)
    if (places(spring.first) > places(spring.second)) std::swap(spring.first, spring.second);
  // The one with the most choices that is a straight coil comes last.
  const auto choices = [](const VariedSpring& spring) {
    return static_cast<double>(spring.traits.size()) * places(spring.first) * places(spring.second);
  };
  auto last = springs.end();
  for (auto it = springs.begin(); it != springs.end(); ++it)
    if (std::all_of(it->traits.begin(), it->traits.end(), is_straight) &&
        (last == springs.end() || choices(*it) > choices(*last)))
      last = it;
  if (last == springs.end())
    springs.push_back(no_spring());
  else
    std::rotate(last, last + 1, springs.end());
  pack(springs.back());
  out.springs = std::move(springs);
  return out;
}

void set_stance(LinkageLayouts& layouts, const WantedStance& stance) {
  const Model& model = *layouts.space->model;
  layouts.corners.clear();
  for (int c = 0; c < count(model.corners); ++c) {
    if (at(model.corners, c).linkage != layouts.linkage) continue;
    LaidCorner corner;
    for (const WheelInStance& w : stance.wheels)
      if (w.corner == c) {
        corner.wheels.push_back(w);
        corner.rises.push_back({w.wheel, w.rise_mm, w.rise_by_mm});
      }
    const bool same = std::any_of(layouts.corners.begin(), layouts.corners.end(), [&](const LaidCorner& other) {
      return std::equal(other.wheels.begin(), other.wheels.end(), corner.wheels.begin(), corner.wheels.end(), alike);
    });
    if (same) continue;
    const std::size_t n = corner.wheels.size();
    corner.at_mm.assign(1 + 3 * n, std::vector<double>(n, 0));
    for (std::size_t w = 0; w < n; ++w) {
      const double within = corner.wheels[w].within_mm;
      corner.at_mm[least_of(w)][w] = -within;
      corner.at_mm[least_of(w) + 1][w] = within;
      corner.at_mm[bump_of(w, n)][w] = std::max(within, corner.wheels[w].bump_mm - within);
    }
    Laid laid;
    for (const std::vector<double>& place : corner.at_mm) {
      const bool there =
          lay_at(layouts.skeleton, layouts.skeleton.sides, layouts.skeleton.inputs, corner.rises, place, laid);
      corner.inputs.push_back(there ? laid.inputs : layouts.skeleton.inputs);
      if (!there) continue;
      layouts.laid = laid;
      for (const LaidBody& body : laid.bodies) layouts.wheels_apart &= moved_by(body) <= 1;
    }
    layouts.corners.push_back(std::move(corner));
  }
}

namespace {

/// Whether a variable of the skeleton changes where a wheel goes.
bool moves_a_wheel(const LinkageLayouts& layouts, const VariedThing& thing) {
  const Linkage& linkage = layouts.skeleton.linkage;
  const Change& option = at(layouts.space->variables, thing.variable).options.front();
  for (const Wheel& wheel : linkage.wheels) {
    const auto input = std::find_if(layouts.skeleton.plan.inputs.begin(), layouts.skeleton.plan.inputs.end(),
                                    [&](const TwoBarInput& each) { return each.body == wheel.at.body - 1; });
    if (input == layouts.skeleton.plan.inputs.end() || input->slides || input->known.body != chassis) return true;
    const auto* move = std::get_if<MoveHole>(&option);
    if (!move) continue;
    const HoleRef hole{move->body, move->hole};
    if (hole == wheel.at || hole == input->pinned || hole == input->known) return true;
  }
  return false;
}

void add(std::array<double, 2>& range, double value) { range = {std::min(range[0], value), std::max(range[1], value)}; }

}  // namespace

std::optional<std::vector<ContactRange>> contact_ranges(const Space& space,
                                                        const std::vector<const LinkageLayouts*>& of_linkage,
                                                        const WantedStance& stance, const Solution& as_it_stands) {
  constexpr double most_tried = 2e5, nothing = 1e300;
  const Model& model = *space.model;
  const ContactRange none{{nothing, -nothing}, {nothing, -nothing}};
  std::vector<ContactRange> out(stance.wheels.size(), none);
  const auto add_contact = [&](std::size_t wheel, const Vec2& centre_C) {
    const Vec2 contact = contact_in(stance, model, stance.wheels[wheel], centre_C);
    add(out[wheel].ahead_mm, contact.x());
    add(out[wheel].left_mm, contact.y());
  };
  for (std::size_t w = 0; w < stance.wheels.size(); ++w) {
    const WheelInStance& wheel = stance.wheels[w];
    const Vec2 centre = at(at(as_it_stands.corners, wheel.corner).wheels, wheel.wheel).centre_C_mm;
    if (at(of_linkage, at(model.corners, wheel.corner).linkage)) continue;
    for (const double off : {-wheel.within_mm, wheel.within_mm}) add_contact(w, centre + Vec2(off, 0));
  }
  for (const LinkageLayouts* layouts : of_linkage) {
    if (!layouts) continue;
    std::vector<VariedThing> arms;
    double tries = 1;
    for (const VariedThing& thing : layouts->things)
      if (moves_a_wheel(*layouts, thing)) {
        arms.push_back(thing);
        tries *= thing.options;
      }
    if (tries > most_tried) return std::nullopt;
    Skeleton skeleton = layouts->skeleton;
    Laid laid;
    for (std::uint64_t i = 0; i < static_cast<std::uint64_t>(tries); ++i) {
      std::uint64_t rest = i;
      for (const VariedThing& thing : arms) {
        const auto options = static_cast<std::uint64_t>(thing.options);
        choose(skeleton, at(at(space.variables, thing.variable).options, static_cast<std::ptrdiff_t>(rest % options)));
        rest /= options;
      }
      renumber(skeleton.plan, skeleton.linkage);
      for (int c = 0; c < count(model.corners); ++c) {
        if (at(model.corners, c).linkage != layouts->linkage) continue;
        std::vector<WheelRise> rises;
        std::vector<double> within;
        std::vector<std::size_t> wheels;
        for (std::size_t w = 0; w < stance.wheels.size(); ++w)
          if (stance.wheels[w].corner == c) {
            const WheelInStance& wheel = stance.wheels[w];
            rises.push_back({wheel.wheel, wheel.rise_mm, wheel.rise_by_mm});
            within.push_back(wheel.within_mm);
            wheels.push_back(w);
          }
        for (const double end : {-1.0, 1.0}) {
          std::vector<double> at_mm;
          for (const double each : within) at_mm.push_back(end * each);
          if (!lay_at(skeleton, skeleton.sides, skeleton.inputs, rises, at_mm, laid)) continue;
          for (std::size_t k = 0; k < wheels.size(); ++k) {
            const HoleRef hole = at(skeleton.linkage.wheels, rises[k].wheel).at;
            add_contact(
                wheels[k],
                point_of(laid, hole.body, at(at(skeleton.linkage.bodies, hole.body).holes, hole.hole).p_B, 0).at);
          }
        }
      }
    }
  }
  for (std::size_t w = 0; w < stance.wheels.size(); ++w)
    if (out[w].ahead_mm[0] > out[w].ahead_mm[1])
      add_contact(w, at(at(as_it_stands.corners, stance.wheels[w].corner).wheels, stance.wheels[w].wheel).centre_C_mm);
  return out;
}

// ------------------------------------------------------------------------------------ looking

LayoutWork::LayoutWork(const LinkageLayouts& from) : layouts(from), skeleton(from.skeleton) {
  const VariedSpring& last = from.springs.back();
  end_stride = (places(last.second) + whole_register - 1) / whole_register * whole_register + whole_register;
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
      const LaidPoint p = point_of(laid[place_at(s, w, wheels)], end.hole.body, p_B, static_cast<int>(w));
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
      const Laid& there = laid[place_at(s, w, wheels)];
      float* const to = work.second.data() + 4 * (row * most_samples + static_cast<std::size_t>(s)) * stride;
      for (int i = 0; i < places(end); ++i) {
        const LaidPoint p = point_of(there, end.hole.body, place_of(work.skeleton, end, i), static_cast<int>(w));
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
      const LaidPoint p = point_of(there, spring.first.hole.body, p_B, static_cast<int>(w)),
                      q = point_of(there, spring.second.hole.body, q_B, static_cast<int>(w));
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

/// Rises of one wheel that are looked at in one go.
struct RiseWindow {
  double from_mm = 0, to_mm = 0;
  int beside = 0;  ///< -1, +1: stands for what is left below, above, up to where the skeleton becomes collinear

  double middle_mm() const { return (from_mm + to_mm) / 2; }
};

RiseWindow whole_window(const WheelInStance& wheel) { return {-wheel.within_mm, wheel.within_mm}; }

/// All its rises, in pieces over which loads bend little.
std::vector<RiseWindow> in_pieces(const WheelInStance& wheel) {
  constexpr double longest_mm = 6;
  const int pieces = std::max(1, static_cast<int>(std::ceil(2 * wheel.within_mm / longest_mm)));
  std::vector<RiseWindow> out;
  for (int i = 0; i < pieces; ++i)
    out.push_back({wheel.within_mm * (2.0 * i / pieces - 1), wheel.within_mm * (2.0 * (i + 1) / pieces - 1)});
  return out;
}

bool needs_travel(const WheelInStance& wheel) { return wheel.bump_mm > 2 * wheel.within_mm; }

/// Rises of a corner's wheels that the skeleton at hand reaches all at once; empty: it reaches none of those that are tried, and
/// where no wheel moves another's bodies there are none then.
std::vector<double> reached_together(const LayoutWork& work, unsigned sides, const LaidCorner& corner, Laid& laid) {
  std::vector<double> at_mm(corner.wheels.size());
  const auto choose_from = [&](const auto& self, std::size_t w) -> bool {
    if (w == at_mm.size()) return lay_at(work.skeleton, sides, corner.inputs[0], corner.rises, at_mm, laid);
    for (const double share : {1.0, -1.0, 0.0}) {
      at_mm[w] = share * corner.wheels[w].within_mm;
      if (self(self, w + 1)) return true;
    }
    return false;
  };
  if (!choose_from(choose_from, 0)) return {};
  return at_mm;
}

/// The rises that a wheel reaches, of those that are looked for: all, none, or a part, which is cut ever smaller towards where the
/// skeleton becomes collinear: there loads bend too much for one look. Where the travel from rest to bump is needed, it leads past the
/// greatest rise: who does not reach that, or the bump, is not there at all.
/// @param together  rises that are reached
std::vector<RiseWindow> windows_reached(const LayoutWork& work, unsigned sides, const LaidCorner& corner,
                                        std::size_t wheel, const std::vector<double>& together, Laid& laid) {
  constexpr int rounds = 14, cuts = 12;
  constexpr double cut =
      0.7;  // what is left of the travel to the dead point: loads that grow as its root bend by a third there
  const WheelInStance& w = corner.wheels[wheel];
  std::vector<double> at_mm = together;
  const auto reaches = [&](double rise_mm) {
    at_mm[wheel] = rise_mm;
    return lay_at(work.skeleton, sides, corner.inputs[0], corner.rises, at_mm, laid);
  };
  const bool high = reaches(w.within_mm);
  if (needs_travel(w) && !(high && reaches(w.bump_mm - w.within_mm))) return {};
  const bool low = reaches(-w.within_mm);
  if (low && high) return in_pieces(w);
  // What is reached between two ends that are not is looked at without a bound.
  if (!low && !high) {
    const bool some = reaches(-w.within_mm / 2) || reaches(0) || reaches(w.within_mm / 2);
    return some ? std::vector{whole_window(w)} : std::vector<RiseWindow>{};
  }
  double in = low ? -w.within_mm : w.within_mm, out = -in;
  const double end = in;
  for (int round = 0; round < rounds; ++round) {
    const double middle = (out + in) / 2;
    (reaches(middle) ? in : out) = middle;
  }
  std::vector<RiseWindow> windows;
  for (double from = end; count(windows) < cuts;) {
    const double to = in + cut * (from - in);
    windows.push_back({std::min(from, to), std::max(from, to)});
    from = to;
  }
  windows.push_back(windows.back());
  windows.back().beside = low ? +1 : -1;
  return windows;
}

LoadRow make_row(const WheelInStance& wheel, const RiseWindow& window) {
  constexpr double rounding = 0.005;  // what pitch, and the centre's path beside the contact's, make of a rate
  const auto growth = [&](double rate, double more) {
    return static_cast<float>(std::abs(rate) > 1e20 ? rate
                                                    : (window.to_mm - window.from_mm) * (rate + more * std::abs(rate)));
  };
  LoadRow row;
  row.beside = window.beside;
  if (window.beside == 0) {
    row.load_low = static_cast<float>(wheel.load_n[0]);
    row.load_high = static_cast<float>(wheel.load_n[1]);
  }
  row.growth_low = growth(wheel.rate_n_per_mm[0], -rounding);
  row.growth_high = growth(wheel.rate_n_per_mm[1], +rounding);
  return row;
}

/// Rises of the wheels of a corner at one of its places, each wheel in its window.
std::vector<double> place_in(const std::vector<RiseWindow>& windows, const LaidCorner& corner, std::size_t place) {
  const std::size_t n = windows.size();
  std::vector<double> at_mm;
  for (const RiseWindow& window : windows) at_mm.push_back(window.middle_mm());
  if (place >= 1 + 2 * n)
    at_mm[place - 1 - 2 * n] = corner.at_mm[place][place - 1 - 2 * n];
  else if (place > 0)
    at_mm[(place - 1) / 2] = place % 2 == 1 ? windows[(place - 1) / 2].from_mm : windows[(place - 1) / 2].to_mm;
  return at_mm;
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

/// Windows of the wheels of a corner: each choice of those that the skeleton at hand reaches.
std::vector<std::vector<RiseWindow>> cases_reached(const LayoutWork& work, unsigned sides, const LaidCorner& corner) {
  std::vector<std::vector<RiseWindow>> cases = {{}};
  Laid laid;
  const std::vector<double> together = reached_together(work, sides, corner, laid);
  if (together.empty() && work.layouts.wheels_apart) return {};
  for (std::size_t w = 0; w < corner.wheels.size(); ++w) {
    const std::vector<RiseWindow> reached = work.layouts.wheels_apart
                                                ? windows_reached(work, sides, corner, w, together, laid)
                                                : std::vector{whole_window(corner.wheels[w])};
    std::vector<std::vector<RiseWindow>> more;
    for (const std::vector<RiseWindow>& one_case : cases)
      for (const RiseWindow& window : reached) {
        more.push_back(one_case);
        more.back().push_back(window);
      }
    cases = std::move(more);
  }
  return cases;
}

/// Lays the skeleton at hand down everywhere and makes the rows ready: for each corner one case, or several where it reaches only
/// a part. @returns false where it is proved that no spring can hold its wheels
bool lay_everywhere(LayoutWork& work, unsigned sides) {
  const std::vector<LaidCorner>& corners = work.layouts.corners;
  work.rows.clear();
  work.laid.clear();
  for (const LaidCorner& corner : corners) {
    const auto cases = cases_reached(work, sides, corner);
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
      std::max(work.second.size(), 4 * samples * static_cast<std::size_t>(work.end_stride) + whole_register));
  work.scratch.resize(std::max(
      work.scratch.size(), static_cast<std::size_t>(load_scratch(count(work.rows), work.end_stride)) + whole_register));
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

// ------------------------------------------------------------------------------------ one candidate, closely

namespace {

/// What all springs of a candidate carry of each wheel of a corner, at every sample of its row.
struct CornerLoads {
  std::vector<std::array<double, most_samples>> of;  // [wheels]
};

/// @param options  [variables] of the space
CornerLoads loads_of(const LayoutWork& work, const LaidCorner& corner, const std::vector<Laid>& laid,
                     const std::vector<int>& options) {
  const std::size_t n = corner.wheels.size();
  CornerLoads out{std::vector<std::array<double, most_samples>>(n, std::array<double, most_samples>{})};
  const auto chosen = [&](const std::optional<VariedThing>& thing) { return thing ? at(options, thing->variable) : 0; };
  for (const VariedSpring& spring : work.layouts.springs) {
    const int kind = chosen(spring.thing);
    if (at(spring.counts, kind) == 0) continue;
    const Vec2 p_B = place_of(work.skeleton, spring.first, chosen(spring.first.thing)),
               q_B = place_of(work.skeleton, spring.second, chosen(spring.second.thing));
    for (std::size_t w = 0; w < n; ++w)
      for (int s = 0; s < 3 + 2 * static_cast<int>(n - 1); ++s) {
        const Laid& there = laid[place_at(s, w, n)];
        const LaidPoint p = point_of(there, spring.first.hole.body, p_B, static_cast<int>(w)),
                        q = point_of(there, spring.second.hole.body, q_B, static_cast<int>(w));
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
double bend_of(const std::array<double, most_samples>& load, int samples) {
  constexpr double rounding_n = 1e-4;
  double bend = std::abs(load[at_least] - 2 * load[as_wanted] + load[at_greatest]) + rounding_n;
  for (int s = of_others; s < samples; s += 2)
    bend += std::max(std::abs(at(load, s) - load[as_wanted]), std::abs(at(load, s + 1) - load[as_wanted]));
  return bend;
}

/// Narrows windows of a corner's wheels to the rises at which they carry what they can. @returns false where none is left
bool narrow_windows(LayoutWork& work, unsigned sides, const LaidCorner& corner, const std::vector<int>& options,
                    std::vector<RiseWindow>& windows) {
  constexpr int rounds = 4;
  constexpr double narrowest_mm = 0.02, rounding = 0.005;
  const std::size_t n = corner.wheels.size();
  std::vector<Laid> laid(1 + 2 * n);
  for (int round = 0; round < rounds; ++round) {
    for (std::size_t i = 0; i < laid.size(); ++i)
      if (!lay_at(work.skeleton, sides, corner.inputs[i], corner.rises, place_in(windows, corner, i), laid[i]))
        return true;
    const CornerLoads loads = loads_of(work, corner, laid, options);
    std::vector<RiseWindow> narrower = windows;
    for (std::size_t w = 0; w < n; ++w) {
      const WheelInStance& wheel = corner.wheels[w];
      const RiseWindow& window = windows[w];
      const double low = loads.of[w][at_least], high = loads.of[w][at_greatest],
                   bend = bend_of(loads.of[w], 3 + 2 * static_cast<int>(n - 1));
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
      if (too_soft || too_stiff) return false;
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

void set_candidate(LayoutWork& work, const std::vector<int>& options) {
  for (const VariedThing& thing : work.layouts.things)
    choose(work.skeleton, at(at(work.layouts.space->variables, thing.variable).options, at(options, thing.variable)));
  renumber(work.skeleton.plan, work.skeleton.linkage);
}

}  // namespace

std::vector<std::vector<std::array<double, 2>>> rises_of(LayoutWork& work, const std::vector<int>& options) {
  std::vector<std::vector<std::array<double, 2>>> out;
  set_candidate(work, options);
  for (unsigned sides = 0; sides < 1u << work.skeleton.plan.steps.size(); ++sides) {
    std::vector<std::array<double, 2>> all;
    bool every_corner = true;
    for (const LaidCorner& corner : work.layouts.corners) {
      const std::size_t from = all.size(), wheels = corner.wheels.size();
      for (std::vector<RiseWindow> one_case : cases_reached(work, sides, corner)) {
        if (!narrow_windows(work, sides, corner, options, one_case)) continue;
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
  LayoutWork work(layouts);
  std::vector<int> options;
  for (const Variable& variable : layouts.space->variables) options.push_back(std::max(0, variable.as_it_stands));
  for (const LaidCorner& corner : layouts.corners) {
    const std::size_t n = corner.wheels.size();
    std::vector<Laid> laid(1 + 2 * n);
    bool there = true;
    for (std::size_t i = 0; i < laid.size(); ++i)
      there =
          there && lay_at(work.skeleton, work.skeleton.sides, corner.inputs[i], corner.rises, corner.at_mm[i], laid[i]);
    if (!there) continue;
    const CornerLoads loads = loads_of(work, corner, laid, options);
    for (std::size_t w = 0; w < n; ++w) {
      const double low = loads.of[w][at_least], high = loads.of[w][at_greatest],
                   bend = bend_of(loads.of[w], 3 + 2 * static_cast<int>(n - 1));
      for (WheelInStance& wheel : stance.wheels)
        if (alike(wheel, corner.wheels[w]) &&
            at(layouts.space->model->corners, wheel.corner).linkage == layouts.linkage)
          wheel.load_n = {std::max(0.0, std::min(low, high) - bend), std::max(low, high) + bend};
    }
  }
}

std::vector<double> layouts_by_changes(const Space& space) {
  std::vector<double> out = {1};
  for (const Variable& variable : space.variables) {
    const bool has_own = variable.as_it_stands >= 0;
    const double other = static_cast<double>(variable.options.size()) - (has_own ? 1 : 0);
    std::vector<double> next(out.size() + 1, 0);
    for (std::size_t i = 0; i < out.size(); ++i) {
      if (has_own) next[i] += out[i];
      next[i + 1] += other * out[i];
    }
    out = std::move(next);
  }
  return out;
}

}  // namespace ridepitch
