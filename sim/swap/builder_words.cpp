// A change as one builder tells it to another; springs and places in words.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "model/index.hpp"
#include "model/units.hpp"
#include "spring/spring_traits.hpp"
#include "swap/change_words.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

/// "one hole", "2 holes", "half a hole".
std::string holes(double modules) {
  const double n = std::abs(modules);
  if (n == 0.5) return "half a hole";
  return n == 1 ? "one hole" : fmt::format("{:g} holes", n);
}

/// Which way the plane's first axis points at a corner.
std::string first_direction(const Model& model, const Corner& corner, bool positive) {
  const bool ahead = positive != corner.flip;
  if (at(model.linkages, corner.linkage).plane != Plane::front) return ahead ? "forward" : "back";
  const bool to_the_left = ahead;
  if (corner.at_mm.y() == 0) return to_the_left ? "to the left" : "to the right";
  return to_the_left == (corner.at_mm.y() > 0) ? "outward" : "inward";
}

/// "forward", or "forward at front left and front right, back at the others".
std::string first_direction_everywhere(const Model& model, int linkage, bool positive) {
  std::vector<std::string> directions;
  std::vector<std::vector<std::string>> corners;
  for (const Corner& corner : model.corners) {
    if (corner.linkage != linkage) continue;
    const std::string direction = first_direction(model, corner, positive);
    const auto found = std::find(directions.begin(), directions.end(), direction);
    const auto k = static_cast<std::size_t>(found - directions.begin());
    if (found == directions.end()) {
      directions.push_back(direction);
      corners.emplace_back();
    }
    corners[k].push_back(corner.name);
  }
  if (directions.empty()) return positive ? "forward" : "back";
  if (directions.size() == 1) return directions[0];
  return fmt::format("{} at {}, {} at the others", directions[0], fmt::join(corners[0], " and "), directions[1]);
}

std::string move_words(const Model& model, const MoveHole& move) {
  const Linkage& linkage = at(model.linkages, move.linkage);
  const Body& body = at(linkage.bodies, move.body);
  const Hole& hole = at(body.holes, move.hole);
  const Vec2 by = (move.to_B_mm - hole.p_B) / model.module_mm;
  if (move.body != chassis) {
    return fmt::format("on '{}' take the hole at [{:g}, {:g}] for '{}' instead of [{:g}, {:g}]", body.name,
                       move.to_B_mm.x() / model.module_mm, move.to_B_mm.y() / model.module_mm, hole.name,
                       hole.p_B.x() / model.module_mm, hole.p_B.y() / model.module_mm);
  }
  std::string text = fmt::format("move the chassis hole '{}'", hole.name);
  if (by.x() != 0)
    text += fmt::format(" {} {}", holes(by.x()), first_direction_everywhere(model, move.linkage, by.x() > 0));
  if (by.x() != 0 && by.y() != 0) text += " and";
  if (by.y() != 0) text += fmt::format(" {} {}", holes(by.y()), by.y() > 0 ? "up" : "down");
  return text;
}

/// "'rocker'", "the chassis".
std::string body_words(const Body& body, int index) {
  return index == chassis ? "the chassis" : fmt::format("'{}'", body.name);
}

std::string height_change_words(const Model& model, const SetRodHeight& set) {
  const Linkage& linkage = at(model.linkages, set.linkage);
  const Rod& rod = at(linkage.rods, set.rod);
  const std::array ends{hole_name(linkage, rod.from), hole_name(linkage, rod.to)};
  if (!rod.height_mm)
    return fmt::format("fit rod '{}' at a height of {:g} modules at {} and {:g} at {}", rod.name,
                       set.height_mm[0] / model.module_mm, ends[0], set.height_mm[1] / model.module_mm, ends[1]);
  std::array<std::string, 2> moves;
  for (const std::size_t end : {0u, 1u}) {
    const double by = (set.height_mm[end] - (*rod.height_mm)[end]) / model.module_mm;
    if (by != 0) moves[end] = fmt::format("{} rod '{}' {}", by > 0 ? "raise" : "lower", rod.name, holes(by));
  }
  if (moves[0] == moves[1]) return moves[0] + " at both ends";
  std::string text;
  for (const std::size_t end : {0u, 1u})
    if (!moves[end].empty()) text += fmt::format("{}{} at {}", text.empty() ? "" : " and ", moves[end], ends[end]);
  return text;
}

}  // namespace

std::string builder_words(const Model& model, const Change& change) {
  if (const auto* move = std::get_if<MoveHole>(&change)) return move_words(model, *move);
  if (const auto* rod = std::get_if<SetLength>(&change)) {
    const Rod& before = at(at(model.linkages, rod->linkage).rods, rod->rod);
    return fmt::format("rod '{}' of {:g} modules instead of {:g}", before.name, rod->length_mm / model.module_mm,
                       before.length_mm / model.module_mm);
  }
  if (const auto* set = std::get_if<SetSpring>(&change)) {
    const Spring& before = at(at(model.linkages, set->linkage).springs, set->spring);
    return fmt::format("{} of {} in place of {}", set->count, set->part.empty() ? before.part : set->part,
                       spring_words(before));
  }
  if (const auto* part = std::get_if<SetPart>(&change)) {
    const Body& body = at(at(model.linkages, part->linkage).bodies, part->body);
    return fmt::format("take {} for {} instead of {}", part->part, body_words(body, part->body), made_words(body));
  }
  if (const auto* tyre = std::get_if<SetTyre>(&change)) {
    const Wheel& wheel = at(at(model.linkages, tyre->linkage).wheels, tyre->wheel);
    return fmt::format("put {} on wheel '{}' instead of {}", tyre->part, wheel.name, tyre_words(wheel));
  }
  if (const auto* height = std::get_if<SetRodHeight>(&change)) return height_change_words(model, *height);
  return "take out '" + changed_thing(model, change) + "'";
}

std::string tyre_words(const Wheel& wheel) {
  return wheel.part.empty() ? fmt::format("{:g} mm", wheel.tyre.diameter_mm) : wheel.part;
}

std::string made_words(const Body& body) {
  if (body.built.empty()) return body.part.empty() ? "no part" : body.part;
  std::vector<std::string> names;
  for (const PlacedPart& placed : body.built) names.push_back(placed.part);
  return listed(names);
}

std::string height_words(const Rod& rod, double module_mm) {
  return rod.height_mm ? place_words({(*rod.height_mm)[0], (*rod.height_mm)[1]}, module_mm) : "none";
}

std::string place_words(const Vec2& p_mm, double module_mm) {
  return fmt::format("[{:g}, {:g}]", p_mm.x() / module_mm + 0.0, p_mm.y() / module_mm + 0.0);
}

std::string spring_words(const Spring& spring) {
  if (!spring.part.empty()) return fmt::format("{} {}", spring.count, spring.part);
  const char* plural = spring.count == 1 ? "" : "s";
  return std::visit(Overloaded{[&](const Torsion& torsion) {
                                 return fmt::format("{} torsion spring{} of {:g} N mm/deg", spring.count, plural,
                                                    torsion.rate_n_mm_per_rad * rad_per_deg);
                               },
                               [&](const auto& line) {
                                 return line.law ? fmt::format("{} {}{} with a table", spring.count, line.kind, plural)
                                                 : fmt::format("{} {}{} of {} N/mm", spring.count, line.kind, plural,
                                                               line.rate_n_per_mm);
                               }},
                    spring.data);
}

bool same_springs(const Spring& a, const Spring& b) {
  if (a.count != b.count || a.data.index() != b.data.index()) return false;
  const SpringTraits x = traits_of(a.data), y = traits_of(b.data);
  return x.law == y.law && x.stops == y.stops;
}

}  // namespace ridepitch
