#include "tune/linkage_layouts.hpp"

#include <algorithm>
#include <cmath>

#include "model/index.hpp"
#include "tune/batch.hpp"
#include "tune/rise_windows.hpp"

namespace ridepitch {
namespace {

constexpr double out_of_reach = 1e30;
constexpr std::size_t whole_register = 16;  // numbers that the load test reads at once, at most

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

void pack(VariedSpring& spring) {
  const std::size_t n = spring.traits.size(),
                    all = (n + whole_register - 1) / whole_register * whole_register + whole_register;
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

/// How many wheels a body's place depends on.
int moved_by(const LaidBody& body) {
  int wheels = 0;
  for (std::size_t v = 0; v < body.at_by_rise.size(); ++v)
    wheels += body.at_by_rise[v].norm() + std::abs(body.turn_by_rise[v]) > 1e-9;
  return wheels;
}

}  // namespace

/// Bounds of a coil's length; a spring without any has none that matter.
double bound(const SpringTraits& traits, int side) {
  double out = side > 0 ? -out_of_reach : out_of_reach;
  for (const SpringStop& stop : traits.stops)
    if (stop.side == side) out = side > 0 ? std::max(out, stop.bound) : std::min(out, stop.bound);
  return out;
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

bool alike(const WheelInStance& a, const WheelInStance& b) {
  const auto near = [](double x, double y) { return std::abs(x - y) <= 1e-9 * std::max(1.0, std::abs(x)); };
  return a.wheel == b.wheel && near(a.rise_mm, b.rise_mm) && near(a.rise_by_mm.x(), b.rise_by_mm.x()) &&
         near(a.rise_by_mm.y(), b.rise_by_mm.y()) && near(a.within_mm, b.within_mm) && near(a.load_n[0], b.load_n[0]) &&
         near(a.load_n[1], b.load_n[1]) && near(a.rate_n_per_mm[0], b.rate_n_per_mm[0]) &&
         near(a.rate_n_per_mm[1], b.rate_n_per_mm[1]) && near(a.bump_mm, b.bump_mm);
}

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
            add_contact(wheels[k], point_of(at(laid.bodies, hole.body),
                                            at(at(skeleton.linkage.bodies, hole.body).holes, hole.hole).p_B, 0)
                                       .at);
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

}  // namespace ridepitch
