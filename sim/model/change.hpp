#pragma once
// What is made different from the file: the one vocabulary of swap, search, sensitivity, viewer and the edit of the text.
// Indices are those of the model before any change.

#include <string>
#include <variant>
#include <vector>

#include "model/model.hpp"

namespace ridepitch {

struct MoveHole {
  int linkage = 0, body = 0, hole = 0;
  Vec2 to_B_mm = Vec2::Zero();  ///< on its body's own grid

  friend bool operator==(const MoveHole&, const MoveHole&) = default;
};

struct SetLength {
  int linkage = 0, rod = 0;
  double length_mm = 0;

  friend bool operator==(const SetLength&, const SetLength&) = default;
};

/// Another catalogue spring, or another number of them. An empty part keeps the spring's own.
struct SetSpring {
  int linkage = 0, spring = 0;
  std::string part;
  int count = 1;

  friend bool operator==(const SetSpring&, const SetSpring&) = default;
};

struct RemoveSpring {
  int linkage = 0, spring = 0;

  friend bool operator==(const RemoveSpring&, const RemoveSpring&) = default;
};

struct RemoveBar {
  int bar = 0;

  friend bool operator==(const RemoveBar&, const RemoveBar&) = default;
};

using Change = std::variant<MoveHole, SetLength, SetSpring, RemoveSpring, RemoveBar>;
using Changes = std::vector<Change>;

/// The model with the changes made; of two changes of one thing the later counts. The `near` hints of a moved hole stay.
/// Names in a change are taken as checked: a spring's part is in the catalogue and is a spring.
Model changed(const Model& model, const Changes& changes);

/// What a change is about, as the file writes it: "chassis.rocker", "pushrod", "main", "rear bar".
std::string changed_thing(const Model& model, const Change& change);

/// Whether the model is already so.
bool is_already_so(const Model& model, const Change& change);

}  // namespace ridepitch
