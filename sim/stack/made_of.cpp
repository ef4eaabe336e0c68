#include "stack/made_of.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <tuple>

#include "model/change.hpp"
#include "model/index.hpp"
#include "model/units.hpp"
#include "model/visit.hpp"

namespace ridepitch {
namespace {

// Of a quarter turn exactly: holes that lie on the grid stay on it.
Vec2 direction(double turn_rad) {
  const double quarters = turn_rad / (90 * rad_per_deg), whole = std::round(quarters);
  if (std::abs(quarters - whole) > 1e-12) return {std::cos(turn_rad), std::sin(turn_rad)};
  constexpr std::array<std::array<double, 2>, 4> axes = {{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}};
  const auto& axis = axes[static_cast<std::size_t>(std::fmod(std::fmod(whole, 4) + 4, 4))];
  return {axis[0], axis[1]};
}

Vec2 turned(const Vec2& place, const Vec2& direction, bool over) {
  const double u = over ? -place.x() : place.x(), v = place.y();
  return {direction.x() * u - direction.y() * v, direction.y() * u + direction.x() * v};
}

LaidPart lay(const PlacedPart& placed, const Piece& piece, double module_mm) {
  LaidPart out{placed, &piece, {}};
  const Vec2 along = direction(placed.turn_rad);
  for (const Vec2& hole : piece.holes)
    out.holes_mm.emplace_back(placed.at_mm + module_mm * turned(hole, along, placed.over));
  return out;
}

/// Where a part could lie: a shift in half modules, quarter turns, turned over or not.
struct Laying {
  int quarters = 0;
  bool over = false;
  std::array<int, 2> half_modules{};

  /// Of two that meet as many holes, the one that comes first is taken.
  auto rank() const {
    const auto [u, v] = half_modules;
    return std::tuple(u * u + v * v, quarters, over, u, v);
  }
};

PlacedPart best_place(const Piece& piece, double module_mm, const Body& body) {
  Laying best;
  std::size_t most = 0;
  for (int quarters = 0; quarters < 4; ++quarters)
    for (const bool over : {false, true}) {
      std::map<std::array<int, 2>, std::set<std::size_t>> met;  // holes of the body, by shift
      const Vec2 along = direction(quarters * 90 * rad_per_deg);
      for (const Vec2& hole : piece.holes)
        for (std::size_t b = 0; b < body.holes.size(); ++b) {
          const Vec2 shift = 2 * (body.holes[b].p_B / module_mm - turned(hole, along, over));
          const Vec2 whole = shift.array().round();
          if ((shift - whole).norm() <= 2 * hole_fit_modules)
            met[{static_cast<int>(whole.x()), static_cast<int>(whole.y())}].insert(b);
        }
      for (const auto& [shift, holes] : met) {
        const Laying laying{quarters, over, shift};
        if (holes.size() < most || (holes.size() == most && laying.rank() >= best.rank())) continue;
        most = holes.size();
        best = laying;
      }
    }
  return {.part = body.part,
          .at_mm = 0.5 * module_mm * Vec2(best.half_modules[0], best.half_modules[1]),
          .turn_rad = best.quarters * 90 * rad_per_deg,
          .over = best.over,
          .place = body.place};
}

}  // namespace

MadeOf made_of(const Catalogue& catalogue, double module_mm, const Body& body) {
  MadeOf out;
  if (!body.part.empty()) {
    if (const Piece* piece = part_with_holes(catalogue, body.part))
      out.parts.push_back(lay(best_place(*piece, module_mm, body), *piece, module_mm));
    return out;
  }
  for (const PlacedPart& placed : body.built) {
    const Piece* piece = part_with_holes(catalogue, placed.part);
    if (!piece) return {};
    out.parts.push_back(lay(placed, *piece, module_mm));
  }
  return out;
}

std::optional<FoundHole> nearest_hole(const MadeOf& made, double module_mm, const Vec2& at_mm) {
  std::optional<FoundHole> nearest;
  for (const LaidPart& part : made.parts)
    for (std::size_t h = 0; h < part.holes_mm.size(); ++h) {
      const double off_mm = (part.holes_mm[h] - at_mm).norm();
      const auto& cross = part.piece->cross;
      const bool is_cross = std::any_of(cross.begin(), cross.end(),
                                        [&](int c) { return at(part.piece->holes, c) == part.piece->holes[h]; });
      // Where parts lie on one another a round hole lets the joint turn.
      if (nearest && std::abs(off_mm - nearest->off_mm) < hole_fit_modules * module_mm &&
          (part.holes_mm[h] - nearest->at_mm).norm() < hole_fit_modules * module_mm)
        nearest->cross = nearest->cross && is_cross;
      else if (!nearest || off_mm < nearest->off_mm)
        nearest = FoundHole{part.holes_mm[h], &part, off_mm, is_cross};
    }
  return nearest;
}

bool meets(const FoundHole& hole, double module_mm) { return hole.off_mm <= hole_fit_modules * module_mm; }

std::vector<Vec2> hole_places(const MadeOf& made, double module_mm) {
  std::vector<Vec2> places;
  for (const LaidPart& part : made.parts)
    for (const Vec2& hole : part.holes_mm) {
      const bool known = std::any_of(places.begin(), places.end(), [&](const Vec2& place) {
        return (place - hole).norm() <= hole_fit_modules * module_mm;
      });
      if (!known) places.push_back(hole);
    }
  return places;
}

std::optional<std::vector<Vec2>> places_to_try(const Model& model, int linkage, int body) {
  const Body& of = at(at(model.linkages, linkage).bodies, body);
  const MadeOf made = made_of(model.catalogue, model.module_mm, of);
  if (made.free()) return std::nullopt;
  std::vector<Vec2> places = hole_places(made, model.module_mm);
  // Where one of the body's own holes is, its own number counts: a place that differs by rounding would be a change.
  for (Vec2& place : places)
    for (const Hole& hole : of.holes)
      if ((hole.p_B - place).norm() <= hole_fit_modules * model.module_mm) place = hole.p_B;
  return places;
}

std::vector<Vec2> straightened(const std::vector<Vec2>& line) {
  constexpr double straight = 1e-9;
  std::vector<Vec2> out;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (i > 0 && i + 1 < line.size()) {
      const Vec2 in = line[i] - out.back(), on = line[i + 1] - line[i];
      const double across = in.x() * on.y() - in.y() * on.x();
      if (std::abs(across) <= straight * in.norm() * on.norm() && in.dot(on) > 0) continue;
    }
    out.push_back(line[i]);
  }
  return out;
}

std::vector<std::vector<Vec2>> outlines(const Catalogue& catalogue, double module_mm, const Linkage& linkage,
                                        int index) {
  const Body& body = at(linkage.bodies, index);
  std::vector<std::vector<Vec2>> lines;
  for (const std::vector<int>& chain : body.shape) {
    lines.emplace_back();
    for (const int hole : chain) lines.back().push_back(at(body.holes, hole).p_B);
  }
  if (lines.empty())
    for (const LaidPart& part : made_of(catalogue, module_mm, body).parts) lines.push_back(part.holes_mm);
  if (lines.empty() && index != chassis) {
    lines.emplace_back();
    for (const Hole& hole : body.holes) lines.back().push_back(hole.p_B);
  }
  for (std::vector<Vec2>& line : lines) line = straightened(line);
  return lines;
}

}  // namespace ridepitch
