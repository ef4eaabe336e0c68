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
inline constexpr std::size_t most_joints = 500;  ///< of each kind, in a linkage

/// A linkage and which of its names are known in full; nothing is said of a name where they are not.
struct LinkageDraft {
  Linkage linkage;
  bool bodies_known = true;
  std::vector<bool> holes_known;  ///< by body
};

/// The hole of "arm.push"; an unknown one is reported with the nearest name.
std::optional<HoleRef> find_hole(Reading& reading, const LinkageDraft& draft, std::string_view name, Place place,
                                 std::string_view subject);

/// The hole that a key names.
std::optional<HoleRef> find_hole(const Fields& fields, const LinkageDraft& draft, const TomlEntry* entry);

/// The body of a name; an unknown one is reported.
std::optional<int> find_body(Reading& reading, const LinkageDraft& draft, std::string_view name, Place place,
                             std::string_view subject);

/// `from` and `to`, holes of two different bodies. `verb` says what is done to them: "ties".
std::optional<std::array<HoleRef, 2>> read_ends(const Fields& fields, const LinkageDraft& draft, std::string_view verb);

/// `across` [mm], 0 if absent; less than a true length [mm] where one is given.
double read_across(const Fields& fields, double module_mm, std::optional<double> less_than_mm);

/// The `part` of a body or rod, for the parts list: known, and neither spring nor tyre.
std::string read_piece_name(const Fields& fields, const PartsAndUnits& parts);

/// Reports a part that neither the catalogue nor the price list knows.
///
/// @param kinds  those that fit, for the hint; empty: all
/// @returns the part if the catalogue has it
const Part* find_part(const Fields& fields, const PartsAndUnits& parts, const TomlEntry& entry, const std::string& name,
                      const std::vector<std::string_view>& kinds);

/// `layer`, if there is one.
std::optional<int> read_layer(const Fields& fields);

/// The names of a list, for hints.
template <typename Named>
std::vector<std::string> names_of(const std::vector<Named>& list) {
  std::vector<std::string> names;
  names.reserve(list.size());
  for (const Named& element : list) names.push_back(element.name);
  return names;
}

// The sections of a linkage, in the order in which they need each other. A null entry is an absent section.

void read_bodies(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry, LinkageDraft& draft);
void read_pins(Reading& reading, const TomlEntry* entry, LinkageDraft& draft);
void read_wheels(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry, LinkageDraft& draft);
void read_rods(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry, LinkageDraft& draft);
void read_springs(Reading& reading, const PartsAndUnits& parts, const TomlEntry* entry, LinkageDraft& draft);
void read_limits(Reading& reading, double module_mm, const TomlEntry* entry, LinkageDraft& draft);
void read_slides(Reading& reading, double module_mm, const TomlEntry* entry, LinkageDraft& draft);

/// @param slides  the section of slides, for the place of a stroke that is at fault
void read_drive(Reading& reading, double module_mm, const TomlEntry* entry, const TomlEntry* slides,
                LinkageDraft& draft);

}  // namespace ridepitch
