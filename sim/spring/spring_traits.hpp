#pragma once
// What a spring is to whoever need not know its kind: its law, stops, width, friction. Lengths of a spring that turns are
// angles [rad], its forces moments [N mm], its rates [N mm/rad].

#include <string_view>
#include <vector>

#include "spring/force_law.hpp"

namespace ridepitch {

/// A bound on a spring's length: side * (length - bound) >= 0.
struct SpringStop {
  double bound = 0;
  int side = 1;           ///< +1: not shorter; -1: not longer
  std::string_view name;  ///< "solid", "free", "min" or "max"
  bool ends_bump = true;  ///< false: a captive coil at its free length

  friend bool operator==(const SpringStop&, const SpringStop&) = default;
};

struct SpringTraits {
  ForceLaw law;
  std::vector<SpringStop> stops;
  bool captive = false;   ///< pushes in the line of its guide, as a coil does
  double width_mm = 0;    ///< across its line; 0: not given
  double friction_n = 0;  ///< held back by its sliding parts
};

SpringTraits traits_of(const SpringData& spring);
inline SpringTraits traits_of(const LineSpring& spring) { return traits_of(*narrowed<SpringData>(spring)); }

/// Its rate times a factor; its force at the free length stays.
void scale_rate(SpringData& spring, double factor);

/// Its free length longer by so much. A law is measured from there, so the solid length goes along with it.
void lengthen_free(SpringData& spring, double by_mm);

/// All its lengths longer by so much, as if its ends were farther out.
void lengthen(SpringData& spring, double by_mm);

}  // namespace ridepitch
