#pragma once
// A set of changes against one model, kept tidy: one change a thing, none that changes nothing.

#include "model/change.hpp"

namespace ridepitch::view {

/// Whether two changes are of one thing: the same hole, rod, spring or bar.
bool same_thing(const Change& a, const Change& b);

/// `old` with `more` made on top. What is then as the base has it is left out; order is that in which things were first
/// touched.
Changes merged(const Model& base, const Changes& old, const Changes& more);

}  // namespace ridepitch::view
