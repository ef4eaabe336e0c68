#pragma once
// A linkage while it is read: what its sections need of each other.

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/fields.hpp"
#include "model/index.hpp"
#include "model/model.hpp"

namespace ridepitch {

/// What a linkage is read against.
struct PartsAndUnits {
  const Catalogue& catalogue;
  const std::map<std::string, Price, std::less<>>& prices;
  double module_mm;
};

// No model is larger; the limits keep what is solved later within any machine.
inline constexpr std::size_t most_linkages = 100;
inline constexpr std::size_t most_bodies = 100;
inline constexpr std::size_t most_holes = 1000;  ///< of a body
inline constexpr std::size_t most_parts_of_a_body = 100;
inline constexpr std::size_t most_hands = 20;
inline constexpr std::size_t most_joints = 500;  ///< of each kind, in a linkage

/// A linkage and which of its names are known in full; nothing is said of a name where they are not.
struct LinkageDraft {
  const PartsAndUnits& parts;
  Linkage linkage = {};
  bool bodies_known = true;
  std::vector<bool> holes_known = {};  ///< by body
};

/// The names of a list, for hints.
template <typename Named>
std::vector<std::string> names_of(const std::vector<Named>& list) {
  std::vector<std::string> names;
  names.reserve(list.size());
  for (const Named& element : list) names.push_back(element.name);
  return names;
}

/// The index of a name in a list; where it is not there, `text` is reported (nothing if it is empty) with the nearest
/// name.
template <typename Named>
std::optional<int> find_named(Reading& reading, const std::vector<Named>& list, std::string_view name, Place place,
                              std::string text, std::string_view plural) {
  const int index = index_of(list, name);
  if (index >= 0) return index;
  if (!text.empty())
    reading.problem(place, "unknown-name", std::move(text), reading.suggest(name, names_of(list), plural));
  return std::nullopt;
}

/// The hole of "arm.push"; an unknown one is reported with the nearest name.
std::optional<HoleRef> find_hole(Reading& reading, const LinkageDraft& draft, std::string_view name, Place place,
                                 std::string_view subject);

/// The hole that a key names.
std::optional<HoleRef> find_hole(const Fields& fields, const LinkageDraft& draft, const TomlEntry* entry);

/// `from` and `to`, holes of two different bodies. `verb` says what is done to them: "ties".
std::optional<std::array<HoleRef, 2>> read_ends(const Fields& fields, const LinkageDraft& draft, std::string_view verb);

/// `across` [mm], 0 if absent; less than a true length [mm] where one is given.
double read_across(const Fields& fields, double module_mm, std::optional<double> less_than_mm);

/// A list of two bodies, each with its place.
std::optional<std::array<Fields::Word, 2>> read_two_bodies(const Fields& fields, const TomlEntry* entry,
                                                           std::string_view example);

/// The `part` of a body or rod, for the parts list: known, and neither spring nor tyre.
std::string read_piece_name(const Fields& fields, const PartsAndUnits& parts);

/// A part of the catalogue, of a kind that fits. Reports one of another kind, and one that neither the catalogue nor
/// the price list knows.
///
/// @param fits  what is said of another kind: "a wheel's part is a tyre"
/// @param says  in place of "'part' of wheel 'hub' is"
const Part* find_part(const Fields& fields, const PartsAndUnits& parts, const Fields::Word& name,
                      const std::vector<std::string_view>& kinds, const char* fits, std::string says = "");

/// The rule of `layer`.
inline constexpr NumberRule layers = within(-1000, 1000);

/// Reads the tables of `[linkage.NAME.key.NAME]` into a list. `read` is told the fields and the thing to fill in.
template <typename Named, typename Read>
void read_named(const Fields& linkage, std::string_view key, std::string_view example, std::vector<Named>& list,
                const Read& read, char forbidden = 0) {
  for (const Fields& fields : linkage.named(key, example, most_joints, forbidden)) {
    Named thing;
    thing.name = fields.name;
    thing.place = fields.name_place;
    read(fields, thing);
    list.push_back(std::move(thing));
  }
}

// The sections of a linkage, in the order in which they need each other. `linkage` holds them.

void read_bodies(const Fields& linkage, LinkageDraft& draft);
void read_pins(const Fields& linkage, LinkageDraft& draft);
void read_wheels(const Fields& linkage, LinkageDraft& draft);
void read_rods(const Fields& linkage, LinkageDraft& draft);
void read_springs(const Fields& linkage, LinkageDraft& draft);
void read_limits(const Fields& linkage, LinkageDraft& draft);
void read_slides(const Fields& linkage, LinkageDraft& draft);
void read_drive(const Fields& linkage, LinkageDraft& draft);
void read_hands(const Fields& linkage, LinkageDraft& draft);

/// Reads `[linkage.NAME]` tables. What they say of corners (`same_as`) is not looked at: see read_corners.hpp.
std::vector<Linkage> read_linkages(const Fields& root, const PartsAndUnits& parts);

/// Refuses drives that follow nothing, or themselves.
void check_followers(const Fields& root, const std::vector<Linkage>& linkages);

}  // namespace ridepitch
