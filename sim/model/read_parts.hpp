#pragma once
// The parts of a catalogue, and the springs and tyres written in place of one: the same keys.

#include <string>
#include <string_view>
#include <vector>

#include "model/fields.hpp"
#include "model/parts.hpp"

namespace ridepitch {

/// The keys of a coil, a band or a tyre, besides `kind`. A spring or a wheel written in place has them too.
std::vector<KnownKey> keys_of(Coil& coil);
std::vector<KnownKey> keys_of(Band& band);
std::vector<KnownKey> keys_of(Tyre& tyre);

/// Whose key it is, "a coil"; empty if it is of no kind of part.
std::string_view part_key_owner(std::string_view key);

/// Reads a coil, band or tyre from its keys; problems are reported, and what was read of it is kept.
///
/// @param others  what else its table holds
void read_part(const Fields& fields, Coil& coil, const std::vector<KnownKey>& others, KeyOwner owner = nullptr);
void read_part(const Fields& fields, Band& band, const std::vector<KnownKey>& others, KeyOwner owner = nullptr);
void read_part(const Fields& fields, Tyre& tyre, const std::vector<KnownKey>& others, KeyOwner owner = nullptr);

/// All kinds of parts; those of springs; those that carry no law.
const std::vector<std::string_view>& part_kinds();
const std::vector<std::string_view>& spring_kinds();
const std::vector<std::string_view>& piece_kinds();

/// The kind of a part in words: "coil", "band", "tyre", "beam" ...; empty where its own table is at fault.
std::string_view kind_of(const Part& part);

/// Names of the parts of a catalogue that are of some kinds, for hints.
std::vector<std::string> part_names(const Catalogue& catalogue, const std::vector<std::string_view>& kinds);

/// Reads the text of a catalogue that is reading.sources[file] into a catalogue; a part of the same name is replaced.
///
/// A text that is no TOML at all gives one problem and sets reading.parts_missing.
void read_catalogue(Reading& reading, int file, Catalogue& catalogue);

}  // namespace ridepitch
