#pragma once
// The [tune] section: what may vary, what is wanted, what is needed. Read by the search.

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "model/geometry.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// A hole may move to any of these places of its body's grid.
struct VaryHole {
  int body = 0, hole = 0;
  std::vector<Vec2> at_mm;                           ///< every place allowed, u fastest; a range is written out
  std::optional<std::array<Vec2, 2>> range_mm = {};  ///< its least and greatest u, v; none: the places were listed
};

struct VaryRod {
  int rod = 0;
  std::vector<double> length_mm;
};

struct VarySpring {
  int spring = 0;
  std::vector<std::string> parts;  ///< empty: the part it has
  std::vector<int> counts;         ///< empty: the count it has
};

struct Vary {
  int linkage = 0;
  std::variant<VaryHole, VaryRod, VarySpring> what;
  Place place;
};

struct Want {
  std::string quantity, of;     ///< of: empty = the worst over all corners that change
  std::optional<double> value;  ///< in the quantity's own unit; none: as the model stands
  double tolerance = 1;
  double weight = 1;
  Place place;
};

struct Need {
  std::string quantity, of;
  std::optional<double> least, most;
  Place place;
};

struct Tune {
  std::optional<int> corner;
  bool keep_parts = false;
  std::vector<Vary> vary;
  std::vector<Want> wants;
  std::vector<Need> needs;
  Place place;
};

}  // namespace ridepitch
