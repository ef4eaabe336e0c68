#pragma once
// What is made different from the file: the one vocabulary of swap, search, sensitivity, viewer and the edit of the text.
// Indices are those of the model before any change.

#include <array>
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

/// Another catalogue part for a body that has one. The body's holes keep their places.
struct SetPart {
  int linkage = 0, body = 0;
  std::string part;

  friend bool operator==(const SetPart&, const SetPart&) = default;
};

/// Another catalogue tyre. Steered wheels that are the same as the wheel (`same_as`) get it too.
struct SetTyre {
  int linkage = 0, wheel = 0;
  std::string part;

  friend bool operator==(const SetTyre&, const SetTyre&) = default;
};

/// How high the ends of a tie rod lie. @pre is_tie_rod
struct SetRodHeight {
  int linkage = 0, rod = 0;
  std::array<double, 2> height_mm{};  ///< vehicle z at rest, of its `from` and its `to`

  friend bool operator==(const SetRodHeight&, const SetRodHeight&) = default;
};

using Change = std::variant<MoveHole, SetLength, SetSpring, RemoveSpring, RemoveBar, SetPart, SetTyre, SetRodHeight>;
using Changes = std::vector<Change>;

/// The model with the changes made; of two changes of one thing the later counts. The `near` hints of a moved hole stay.
/// Names in a change are taken as checked: a spring's part is in the catalogue and is a spring, a tyre's a tyre.
Model changed(const Model& model, const Changes& changes);

/// Whether a rod may say how high its ends lie: one is on a body that carries a steered wheel, in a top linkage.
bool is_tie_rod(const Linkage& linkage, const Rod& rod);

/// A beam or other part that says where its holes are; null: the catalogue has none of that name.
const Piece* part_with_holes(const Catalogue& catalogue, const std::string& part);

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

/// What a change is about, by the file's names: "chassis.rocker", "pushrod", "main", "rear bar"; "rocker part", "hub tyre",
/// "tie height".
std::string changed_thing(const Model& model, const Change& change);

/// Whether the model is already so.
bool is_already_so(const Model& model, const Change& change);

}  // namespace ridepitch
