#pragma once
// What is made different from the file: the one vocabulary of swap, search, sensitivity, viewer and the edit of the text.
// Indices are those of the model before any change.

#include <compare>
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

/// The rod's part for the parts list follows: see rod_part().
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

/// What [tune] says of the spring goes with it.
struct RemoveSpring {
  int linkage = 0, spring = 0;

  friend auto operator<=>(const RemoveSpring&, const RemoveSpring&) = default;
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

/// What stands for a rod in the parts list at another length: where its part is a catalogue part of the length that it
/// has, that of the same kind and the other length ("rod-7-ball" for "rod-6-ball"); empty if there is none. Another
/// part stays as it is.
std::string rod_part(const Model& model, const Rod& rod, double length_mm);

/// What changes take out of a model: indices of the model before any change, each once, the last first.
struct Removals {
  std::vector<RemoveSpring> springs;
  std::vector<int> bars;
  std::vector<int> vary, wants, needs;  ///< what [tune] says of those springs
};

Removals removals(const Model& model, const Changes& changes);

/// Whose linkage it is about; -1: no linkage's.
int changed_linkage(const Change& change);

/// What a change is about, as the file writes it: "chassis.rocker", "pushrod", "main", "rear bar".
std::string changed_thing(const Model& model, const Change& change);

/// Whether the model is already so.
bool is_already_so(const Model& model, const Change& change);

}  // namespace ridepitch
