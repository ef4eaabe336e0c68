#include "sheet/changes.hpp"

#include <fmt/format.h>

#include <cmath>
#include <map>

#include "model/index.hpp"
#include "model/units.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

constexpr double same_mm = 1e-9;

std::string grams_words(double kg) { return fmt::format("{:.0f} g", kg / kg_per_g); }

std::string point_words(const Vec3& p_mm, double module_mm) {
  return fmt::format("[{:g}, {:g}, {:g}]", p_mm.x() / module_mm, p_mm.y() / module_mm, p_mm.z() / module_mm);
}

std::string modules_words(double mm, double module_mm) { return fmt::format("{:g} modules", mm / module_mm); }

/// "chassis.seat to arm.axle"
std::string ends_words(const Linkage& linkage, HoleRef from, HoleRef to) {
  return hole_name(linkage, from) + " to " + hole_name(linkage, to);
}

std::string limit_words(const Limit& limit, double module_mm) {
  std::string text;
  if (limit.min_mm) text = fmt::format("at least {:g}", *limit.min_mm / module_mm);
  if (limit.max_mm) text += fmt::format("{}at most {:g}", text.empty() ? "" : ", ", *limit.max_mm / module_mm);
  return text + " modules";
}

std::string slide_words(const Slide& slide, double module_mm) {
  if (!slide.stroke_mm) return "no stops";
  return fmt::format("{:g} to {:g} modules", (*slide.stroke_mm)[0] / module_mm, (*slide.stroke_mm)[1] / module_mm);
}

std::string pin_words(const Linkage& linkage, const Pin& pin) {
  std::string text;
  for (const HoleRef& ref : pin.holes) text += (text.empty() ? "" : ", ") + hole_name(linkage, ref);
  return text;
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

constexpr auto no_ends = [](const auto&) { return std::string(); };

/// Two models, and what they differ in.
struct Finder {
  const Model& before;
  const Model& after;
  SheetChanges out = {};
};

void pair_linkages(Finder& f) {
  std::map<std::pair<int, int>, std::size_t> known;
  for (int c = 0; c < count(f.before.corners); ++c) {
    const int other = index_of(f.after.corners, at(f.before.corners, c).name);
    if (other < 0) continue;
    const std::pair<int, int> both(at(f.before.corners, c).linkage, at(f.after.corners, other).linkage);
    const auto [place, is_new] = known.emplace(both, f.out.pairs.size());
    if (is_new) f.out.pairs.push_back({both.first, both.second, {}, {}});
    f.out.pairs[place->second].corners_before.push_back(c);
    f.out.pairs[place->second].corners_after.push_back(other);
  }
}

SheetChange& add(Finder& f, int pair, ChangedThing kind, std::string thing, std::string from, std::string to,
                 std::string what_to_do) {
  SheetChange change;
  change.number = count(f.out.list) + 1;
  change.what_to_do = capital(std::move(what_to_do)) + ".";
  change.thing = std::move(thing);
  change.from = std::move(from);
  change.to = std::move(to);
  change.kind = kind;
  change.pair = pair;
  change.before = change.after = {-1, -1};
  if (pair >= 0)
    for (const int corner : at(f.out.pairs, pair).corners_before)
      change.at.push_back(at(f.before.corners, corner).name);
  f.out.list.push_back(std::move(change));
  return f.out.list.back();
}

/// Things that a list has by name: what is gone, what is new, and, by `compare`, what is different.
/// @param words  of a thing, for the table; @param ends  where it goes, for the sentence
template <class Named, class Tell, class Ends, class Compare>
void by_name(Finder& f, int pair, ChangedThing kind, const std::string& what, const std::vector<Named>& was,
             const std::vector<Named>& is, const Tell& words, const Ends& ends, const Compare& compare) {
  for (int i = 0; i < count(was); ++i) {
    const int other = index_of(is, at(was, i).name);
    if (other >= 0) {
      compare(i, other);
      continue;
    }
    SheetChange& change = add(f, pair, kind, what + " " + at(was, i).name, words(at(was, i), true), "",
                              fmt::format("take out {} '{}'", what, at(was, i).name));
    change.before = {0, i};
  }
  for (int i = 0; i < count(is); ++i) {
    if (index_of(was, at(is, i).name) >= 0) continue;
    const std::string told = words(at(is, i), false), where = ends(at(is, i));
    SheetChange& change = add(f, pair, kind, what + " " + at(is, i).name, "", told,
                              fmt::format("put in {} '{}'{}{}", what, at(is, i).name, told.empty() ? "" : ", " + told,
                                          where.empty() ? "" : ", from " + where));
    change.after = {0, i};
  }
}

void find_bodies(Finder& f, int p, const Linkage& was, const Linkage& is) {
  const auto no_words = [](const Body&, bool) { return std::string(); };
  by_name(f, p, ChangedThing::body, "part", was.bodies, is.bodies, no_words, no_ends, [&](int b, int other) {
    const Body &old_body = at(was.bodies, b), &new_body = at(is.bodies, other);
    const std::string made_of = made_words(old_body), now_of = made_words(new_body);
    if (made_of != now_of)
      add(f, p, ChangedThing::body, "part of " + old_body.name, made_of, now_of,
          fmt::format("make '{}' of {} instead of {}", old_body.name, now_of, made_of))
          .after = {other, 0};
    for (int h = 0; h < count(old_body.holes); ++h) {
      const Hole& hole = at(old_body.holes, h);
      const int moved = index_of(new_body.holes, hole.name);
      const std::string thing = "hole " + hole_name(was, {b, h});
      if (moved < 0) continue;  // who needs it no longer says so: a rod, a spring or a pin
      const Vec2 to_modules = at(new_body.holes, moved).p_B / f.after.module_mm;
      const Vec2 to_mm = to_modules * f.before.module_mm;
      if ((to_mm - hole.p_B).norm() < same_mm) continue;
      SheetChange& change = add(f, p, ChangedThing::hole, thing, place_words(hole.p_B, f.before.module_mm),
                                place_words(at(new_body.holes, moved).p_B, f.after.module_mm),
                                builder_words(f.before, MoveHole{at(f.out.pairs, p).before, b, h, to_mm}));
      change.before = {b, h};
      change.after = {other, moved};
    }
    for (int h = 0; h < count(new_body.holes); ++h) {
      const Hole& hole = at(new_body.holes, h);
      if (index_of(old_body.holes, hole.name) >= 0) continue;
      const std::string place = place_words(hole.p_B, f.after.module_mm);
      add(f, p, ChangedThing::hole, "hole " + hole_name(is, {other, h}), "", place,
          fmt::format("on '{}' take the hole at {} for '{}'", new_body.name, place, hole.name))
          .after = {other, h};
    }
  });
}

void find_rods(Finder& f, int p, const Linkage& was, const Linkage& is) {
  const auto words = [&](const Rod& rod, bool old) {
    return modules_words(rod.length_mm, (old ? f.before : f.after).module_mm);
  };
  const auto new_ends = [&](const Rod& rod) { return ends_words(is, rod.from, rod.to); };
  by_name(f, p, ChangedThing::rod, "rod", was.rods, is.rods, words, new_ends, [&](int i, int other) {
    const Rod &a = at(was.rods, i), &b = at(is.rods, other);
    const std::string ends_a = ends_words(was, a.from, a.to), ends_b = ends_words(is, b.from, b.to);
    if (ends_a != ends_b)
      add(f, p, ChangedThing::rod, "rod " + a.name, ends_a, ends_b, fmt::format("put rod '{}' from {}", a.name, ends_b))
          .after = {0, other};
    const std::string height_a = height_words(a, f.before.module_mm), height_b = height_words(b, f.after.module_mm);
    if (height_a != height_b)
      add(f, p, ChangedThing::rod, "height of rod " + a.name, height_a, height_b,
          fmt::format("the ends of rod '{}' lie at heights {} instead of {}", a.name, height_b, height_a))
          .after = {0, other};
    if (std::abs(a.length_mm / f.before.module_mm - b.length_mm / f.after.module_mm) < same_mm) return;
    add(f, p, ChangedThing::rod, "rod " + a.name, modules_words(a.length_mm, f.before.module_mm),
        modules_words(b.length_mm, f.after.module_mm),
        builder_words(f.before,
                      SetLength{at(f.out.pairs, p).before, i, b.length_mm / f.after.module_mm * f.before.module_mm}))
        .after = {0, other};
  });
}

void find_springs(Finder& f, int p, const Linkage& was, const Linkage& is) {
  const auto ends = [](const Linkage& linkage, const Spring& spring) {
    if (const auto bodies = turned_bodies(spring.data))
      return at(linkage.bodies, (*bodies)[0]).name + " to " + at(linkage.bodies, (*bodies)[1]).name;
    return ends_words(linkage, spring.from, spring.to);
  };
  const auto words = [](const Spring& spring, bool) { return spring_words(spring); };
  const auto new_ends = [&](const Spring& spring) { return ends(is, spring); };
  by_name(f, p, ChangedThing::spring, "spring", was.springs, is.springs, words, new_ends, [&](int i, int other) {
    const Spring &a = at(was.springs, i), &b = at(is.springs, other);
    if (!same_springs(a, b) || a.part != b.part)
      add(f, p, ChangedThing::spring, "spring " + a.name, spring_words(a), spring_words(b),
          spring_words(a) == spring_words(b)
              ? fmt::format("spring '{}' has other figures than before, under the same name", a.name)
              : fmt::format("put {} in place of {}", spring_words(b), spring_words(a)))
          .after = {0, other};
    if (ends(was, a) != ends(is, b))
      add(f, p, ChangedThing::spring, "spring " + a.name, ends(was, a), ends(is, b),
          fmt::format("put spring '{}' from {}", a.name, ends(is, b)))
          .after = {0, other};
  });
}

/// What is compared by its words alone.
template <class Named, class Tell>
void by_words(Finder& f, int p, ChangedThing kind, const std::string& what, const std::vector<Named>& was,
              const std::vector<Named>& is, const Tell& words) {
  by_name(f, p, kind, what, was, is, words, no_ends, [&](int i, int other) {
    const std::string from = words(at(was, i), true), to = words(at(is, other), false);
    if (from == to) return;
    add(f, p, kind, what + " " + at(was, i).name, from, to,
        fmt::format("{} '{}' is now {} instead of {}", what, at(was, i).name, to, from))
        .after = {0, other};
  });
}

void find_in_linkages(Finder& f, int p) {
  const Linkage &was = at(f.before.linkages, at(f.out.pairs, p).before),
                &is = at(f.after.linkages, at(f.out.pairs, p).after);
  find_bodies(f, p, was, is);
  by_words(f, p, ChangedThing::pin, "pin", was.pins, is.pins,
           [&](const Pin& pin, bool old) { return pin_words(old ? was : is, pin); });
  find_rods(f, p, was, is);
  find_springs(f, p, was, is);
  by_words(f, p, ChangedThing::limit, "limit", was.limits, is.limits, [&](const Limit& limit, bool old) {
    return limit_words(limit, (old ? f.before : f.after).module_mm) + ", " +
           ends_words(old ? was : is, limit.from, limit.to);
  });
  by_words(f, p, ChangedThing::slide, "slide", was.slides, is.slides,
           [&](const Slide& slide, bool old) { return slide_words(slide, (old ? f.before : f.after).module_mm); });
  by_words(f, p, ChangedThing::wheel, "tyre of", was.wheels, is.wheels,
           [](const Wheel& wheel, bool) { return tyre_words(wheel); });
}

void find_on_vehicle(Finder& f) {
  const auto corner_words = [&](const Corner& corner, bool old) {
    return "at " + point_words(corner.at_mm, (old ? f.before : f.after).module_mm) + (corner.flip ? ", flipped" : "");
  };
  by_words(f, -1, ChangedThing::elsewhere, "linkage of", f.before.corners, f.after.corners, corner_words);
  by_words(f, -1, ChangedThing::elsewhere, "mass", f.before.masses, f.after.masses, [&](const Mass& mass, bool old) {
    return grams_words(mass.kg) + " at " + point_words(mass.at_mm, (old ? f.before : f.after).module_mm);
  });
  by_words(f, -1, ChangedThing::elsewhere, "anti-roll bar", f.before.bars, f.after.bars,
           [](const Bar& bar, bool) { return fmt::format("{:g} N mm/deg", bar.rate_n_mm_per_rad * rad_per_deg); });
}

}  // namespace

SheetChanges changes_between(const Model& before, const Model& after) {
  Finder finder{before, after};
  pair_linkages(finder);
  for (int p = 0; p < count(finder.out.pairs); ++p) find_in_linkages(finder, p);
  find_on_vehicle(finder);
  return std::move(finder.out);
}

}  // namespace ridepitch
