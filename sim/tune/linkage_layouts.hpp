#pragma once
// Layouts of one linkage that may carry its wheels where they are wanted. Pivots, rods and levers (the skeleton) are laid down
// there once; every spring between every two places then follows in a few operations. What is discarded is proved not to hold;
// what is left is for the kernels, or the general solver, to judge.

#include <cstdint>
#include <string>
#include <vector>

#include "spring/spring_traits.hpp"
#include "tune/batch.hpp"
#include "tune/skeleton.hpp"
#include "tune/space.hpp"
#include "tune/stance.hpp"

namespace ridepitch {

/// A variable of the space, as the layouts count it.
struct VariedThing {
  int variable = 0;
  int options = 1;
  int own = 0;               ///< the option that changes nothing; -1: none
  std::uint64_t stride = 0;  ///< what one option more adds to the candidate's number
};

/// One end of a spring and where else it may be.
struct VariedEnd {
  HoleRef hole;
  std::optional<VariedThing> thing;  ///< none: it stays where the skeleton has it
  std::vector<Vec2> places;          ///< [options of the thing]
};

/// A spring, where its ends may be, and which springs may be in its place.
struct VariedSpring {
  VariedEnd first, second;  ///< the second one has the more places
  std::optional<VariedThing> thing;
  std::vector<SpringTraits> traits;  ///< [options]
  std::vector<int> counts;
  double across_mm = 0;
  std::vector<float> at_no_length = {}, rate = {}, solid = {},
                     free = {};  ///< for the load test; of the last spring only
};

/// One corner of the linkage: rises of its wheels at which it is laid down.
struct LaidCorner {
  std::vector<WheelRise> rises;       ///< [wheels]
  std::vector<WheelInStance> wheels;  ///< likewise
  std::vector<std::vector<double>>
      at_mm;  ///< [places] as wanted; least and greatest of each wheel; as high as each one's bump
  std::vector<std::vector<double>> inputs;  ///< [places] of the linkage as it stands: where Newton's method begins
};

struct LinkageLayouts {
  const Space* space = nullptr;
  int linkage = 0;
  Skeleton skeleton;
  std::vector<VariedThing> things = {};    ///< of the skeleton
  std::vector<VariedSpring> springs = {};  ///< the last one goes to the load test
  std::vector<LaidCorner> corners = {};    ///< that differ
  Laid laid = {};                          ///< as it stands, somewhere among those places
  bool wheels_apart = true;                ///< no body is moved by more than one wheel
  LoadTest test = nullptr;
};

/// @param stance  its rises, loads and rates; loads may still be open
/// @returns none where the linkage is not covered
std::optional<LinkageLayouts> make_linkage_layouts(const Space& space, int linkage, const Solution& as_it_stands,
                                                   std::string& why_not);

/// Sets what is wanted of the linkage's wheels.
void set_stance(LinkageLayouts& layouts, const WantedStance& stance);

/// Where the contact of each wheel of a stance can be, over all candidates.
/// @returns none where there are too many arms to try
std::optional<std::vector<ContactRange>> contact_ranges(const Space& space,
                                                        const std::vector<const LinkageLayouts*>& of_linkage,
                                                        const WantedStance& stance, const Solution& as_it_stands);

/// Bound of a spring's length: the greatest that it may not be under (side +1), the least that it may not be over (-1).
double bound(const SpringTraits& traits, int side);

/// Sets a hole or rod of the skeleton. Its plan's numbers are for the caller to renew.
void choose(Skeleton& skeleton, const Change& change);

/// Where an end of a spring is on its body's grid.
Vec2 place_of(const Skeleton& skeleton, const VariedEnd& end, int option);

/// Whether two wheels are wanted the same, and of linkages at the same place.
bool alike(const WheelInStance& a, const WheelInStance& b);

}  // namespace ridepitch
