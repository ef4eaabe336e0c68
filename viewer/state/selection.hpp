#pragma once
// What is selected: a corner, and a thing of its linkage.

#include <string>
#include <vector>

#include "model/change.hpp"
#include "model/model.hpp"

namespace ridepitch::view {

enum class Thing { none, hole, rod, spring, wheel };

struct Selection {
  int corner = 0;
  Thing thing = Thing::none;
  int body = 0;   ///< of a hole
  int index = 0;  ///< of the hole, rod, spring or wheel

  friend bool operator==(const Selection&, const Selection&) = default;
};

/// The linkage of the corner that is looked at.
const Linkage& linkage_of(const Model& model, const Selection& selection);
int linkage_index(const Model& model, const Selection& selection);

/// "chassis.rocker", "pushrod"; empty where nothing is selected.
std::string selected_name(const Model& model, const Selection& selection);

/// Everything of the corner's linkage that can be selected, bodies' holes first, in file order.
std::vector<Selection> selectable(const Model& model, int corner);

/// The next (step 1) or the previous one (-1); the first follows the last.
Selection next_thing(const Model& model, const Selection& selection, int step);
Selection next_corner(const Model& model, const Selection& selection, int step);

/// What is left of a selection in a model that may have changed.
Selection still_valid(const Model& model, const Selection& selection);

/// The selected hole moved by modules of its body's grid; none where no hole is selected.
Changes hole_moved(const Model& model, const Selection& selection, const Vec2& by_modules);

/// The selected rod longer by some modules; none where it would vanish or no rod is selected.
Changes rod_lengthened(const Model& model, const Selection& selection, double by_modules);

/// Catalogue springs that can stand for a spring, of its kind, by name.
std::vector<std::string> parts_for(const Model& model, int linkage, int spring);

/// The selected spring with the next part of its kind (step 1) or the previous one (-1).
Changes spring_exchanged(const Model& model, const Selection& selection, int step);
/// More (or fewer) of the selected spring side by side; at least 1.
Changes spring_count(const Model& model, const Selection& selection, int more);

}  // namespace ridepitch::view
