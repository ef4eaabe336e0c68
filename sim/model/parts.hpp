#pragma once
// The kinds of parts a catalogue holds, and the springs that have no part. Lengths of springs run between hole centres,
// unloaded. What a kind is made of is here, how it is read in read_parts.cpp, what springs do in spring/spring_traits.cpp.

#include <array>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "model/geometry.hpp"
#include "model/problem.hpp"
#include "model/visit.hpp"

namespace ridepitch {

/// A measured force table: points [compression or extension in mm, force in N], both strictly rising.
using ForceTable = std::vector<Vec2>;

/// A captive compression spring as sold, one piece: it pushes, and cannot grow past its free length.
struct Coil {
  static constexpr std::string_view kind = "coil";
  double free_mm = 0;             ///< no load; > solid_mm
  double solid_mm = 0;            ///< coil bound; > 0
  double rate_n_per_mm = 0;       ///< >= 0; unused where there is a law
  double preload_n = 0;           ///< push at its free length; unused where there is a law
  std::optional<ForceTable> law;  ///< [compression_mm, force_n] from 0 to at least free - solid
  double friction_n = 0;          ///< held back by its sliding parts; not in the friction-free stance
  double damping_n_s_per_mm = 0;
  double diameter_mm = 0;  ///< 0: not given
  double mass_g = 0;
};

/// A rubber band: it pulls when longer than free_mm and is slack otherwise.
struct Band {
  static constexpr std::string_view kind = "band";
  double free_mm = 0;
  double rate_n_per_mm = 0;       ///< unused where there is a law
  std::optional<ForceTable> law;  ///< [extension_mm, force_n], starts at [0, 0]
  double damping_n_s_per_mm = 0;
  double mass_g = 0;
};

/// A spring that turns: acts between two bodies, count times rate (free - angle).
struct Torsion {
  static constexpr std::string_view kind = "torsion";
  int from = 0, to = 0;  ///< body indices; the angle is that of `to`'s grid to `from`'s
  double rate_n_mm_per_rad = 0;
  double free_rad = 0;                     ///< angle at which it is unloaded
  std::optional<double> min_rad, max_rad;  ///< stops, "NAME min" and "NAME max"
};

struct Tyre {
  static constexpr std::string_view kind = "tyre";
  double diameter_mm = 0;               ///< outer
  double width_mm = 0;                  ///< 0: not given
  double mass_g = 0;                    ///< unsprung
  std::optional<double> rate_n_per_mm;  ///< radial; absent: rigid
};

/// Everything that carries no law: beams, rods, pins, gears and the rest.
struct Piece {
  std::string kind;                   ///< "beam", "rod", "pin", "gear" or "other"
  std::optional<double> length = {};  ///< modules
  double mass_g = 0;
  std::optional<int> teeth = {};
  /// Of a beam or other: its holes on its own grid [modules], in the order of the outline, which is the line through them.
  std::vector<Vec2> holes = {};          ///< empty: the part does not say where its holes are
  std::vector<int> cross = {};           ///< indices of those that are cross holes, which turn with their axle
  double thick = 1;                      ///< across [modules]; of each wall
  std::vector<double> walls = {0};       ///< where its walls are across [modules], each `thick` wide
  std::optional<double> swing_rad = {};  ///< of a rod: greatest angle of a ball end to the plane it stands in
};

/// A spring that a catalogue can hold: it acts along the line between two holes.
using LineSpring = std::variant<Coil, Band>;
/// A spring that a linkage can have.
using SpringData = std::variant<Coil, Band, Torsion>;

using PartData = std::variant<Coil, Band, Tyre, Piece>;

struct Part {
  std::string name;
  PartData data;
  Place place;  ///< its name in the catalogue's header
};

/// How long a beam, rod or pin is [modules]; none where that is not what a part is known by.
inline std::optional<double> length_of(const Part& part) {
  return std::visit(
      [](const auto& data) {
        if constexpr (requires { data.length; }) return data.length;
        return std::optional<double>();
      },
      part.data);
}

/// The part as a spring; none where it is no spring.
inline std::optional<LineSpring> line_spring(const Part& part) { return narrowed<LineSpring>(part.data); }

/// The bodies that a spring turns against each other; none where it acts between two holes.
inline std::optional<std::array<int, 2>> turned_bodies(const SpringData& spring) {
  using Bodies = std::optional<std::array<int, 2>>;
  return std::visit(Overloaded{[](const Coil&) { return Bodies(); }, [](const Band&) { return Bodies(); },
                               [](const Torsion& torsion) {
                                 return Bodies({torsion.from, torsion.to});
                               }},
                    spring);
}

/// How far apart its ends can be; none where nothing but force limits that.
inline std::optional<double> longest_mm(const SpringData& spring) {
  using Length = std::optional<double>;
  return std::visit(Overloaded{[](const Coil& coil) { return coil.free_mm > 0 ? Length(coil.free_mm) : Length(); },
                               [](const Band&) { return Length(); }, [](const Torsion&) { return Length(); }},
                    spring);
}

/// Parts by name. A later catalogue replaces a part of the same name.
using Catalogue = std::map<std::string, Part, std::less<>>;

/// A beam, rod, pin, gear or other part by name; null: the catalogue has none of that name.
inline const Piece* find_piece(const Catalogue& catalogue, std::string_view name) {
  const auto found = catalogue.find(name);
  return found == catalogue.end() ? nullptr : std::get_if<Piece>(&found->second.data);
}

enum class Stock { plenty, scarce, gone };

struct Price {
  double price = 0;
  Stock stock = Stock::plenty;
};

}  // namespace ridepitch
