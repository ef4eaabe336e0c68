#pragma once
// The kinds of parts a catalogue holds. Lengths of springs run between hole centres, unloaded.

#include <map>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "model/geometry.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// A measured force table: points [compression or extension in mm, force in N], both strictly rising.
using ForceTable = std::vector<Vec2>;

/// A captive compression spring as sold, one piece: it pushes, and cannot grow past its free length.
struct Coil {
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
  double free_mm = 0;
  double rate_n_per_mm = 0;       ///< unused where there is a law
  std::optional<ForceTable> law;  ///< [extension_mm, force_n], starts at [0, 0]
  double damping_n_s_per_mm = 0;
  double mass_g = 0;
};

struct Tyre {
  double diameter_mm = 0;               ///< outer
  double width_mm = 0;                  ///< 0: not given
  double mass_g = 0;                    ///< unsprung
  std::optional<double> rate_n_per_mm;  ///< radial; absent: rigid
};

/// Everything that carries no law: beams, rods, pins, gears and the rest.
struct Piece {
  std::string kind;              ///< "beam", "rod", "pin", "gear" or "other"
  std::optional<double> length;  ///< modules
  double mass_g = 0;
  std::optional<int> teeth;
};

struct Part {
  std::string name;
  std::variant<Coil, Band, Tyre, Piece> data;
  Place place;  ///< its name in the catalogue's header
};

/// Parts by name. A later catalogue replaces a part of the same name.
using Catalogue = std::map<std::string, Part, std::less<>>;

enum class Stock { plenty, scarce, gone };

struct Price {
  double price = 0;
  Stock stock = Stock::plenty;
};

}  // namespace ridepitch
