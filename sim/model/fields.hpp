#pragma once
// One table of a model file, key by key: every key is looked at by name, and what no one knows is refused.

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "model/geometry.hpp"
#include "model/reading.hpp"
#include "model/toml_text.hpp"

namespace ridepitch {

/// No number of a model is larger, in whatever unit: what is beyond it is a slip of the keyboard.
inline constexpr double most_believable = 1e6;

/// What a number must be.
struct NumberRule {
  const char* unit = "";  ///< as messages show it after the number: "mm"
  double least = -most_believable;
  bool above = false;  ///< `least` itself is refused
  double most = most_believable;
};

constexpr NumberRule any_number(const char* unit) { return {unit, -most_believable, false, most_believable}; }
constexpr NumberRule not_negative(const char* unit) { return {unit, 0, false, most_believable}; }
constexpr NumberRule above_zero(const char* unit) { return {unit, 0, true, most_believable}; }

/// "7.5 mm"; without a unit just the number.
std::string with_unit(double value, const char* unit);

/// A table and the words to speak of it.
///
/// Reading a value reports what is wrong with it and gives nothing back then; a null entry gives nothing
/// back in silence, so that an optional key reads as `number(find("across"), ...)`.
struct Fields {
  Reading& reading;
  const TomlTable& table;
  Place name_place;  ///< where errors about the whole table stand
  std::string what;  ///< "rod 'pushrod'"

  /// Refuses every key that is not among the known ones.
  ///
  /// @param owner  says whose key an unknown one is, "a coil"; empty: nobody's
  void refuse_unknown(const std::vector<std::string_view>& known,
                      const std::function<std::string_view(std::string_view)>& owner = {}) const;

  const TomlEntry* find(std::string_view key) const { return table.find(key); }

  /// The same, but a missing key is an error.
  ///
  /// @param example  a line that would do: "length = 6"
  const TomlEntry* need(std::string_view key, std::string_view example) const;

  std::optional<double> number(const TomlEntry* entry, const NumberRule& rule) const;
  std::optional<int> whole(const TomlEntry* entry, const NumberRule& rule) const;
  std::optional<bool> yes_or_no(const TomlEntry* entry) const;
  std::optional<std::string> text(const TomlEntry* entry) const;

  /// A list of numbers of a set length; `axes` says what they are: "[u, v]".
  std::optional<std::vector<double>> numbers(const TomlEntry* entry, std::size_t count, std::string_view axes,
                                             const NumberRule& rule) const;
  std::optional<Vec2> vec2(const TomlEntry* entry, const char* unit) const;
  std::optional<Vec3> vec3(const TomlEntry* entry, const NumberRule& rule) const;

  /// Two numbers, the first not above the second.
  std::optional<std::array<double, 2>> range(const TomlEntry* entry, const NumberRule& rule) const;

  /// A list of texts, each with its own place.
  struct Word {
    std::string text;
    Place place;
  };
  std::optional<std::vector<Word>> words(const TomlEntry* entry, std::string_view example) const;

  /// A list; the error says what it should look like.
  const TomlArray* list(const TomlEntry* entry, std::string_view example) const;

  void problem(Place place, std::string code, std::string text, std::string hint = "") const {
    reading.problem(place, std::move(code), std::move(text), std::move(hint));
  }

  /// "'length' of rod 'pushrod'"
  std::string subject(const TomlEntry& entry) const;
};

/// One number of a list, or of a key. `subject` says which: "'length' of rod 'pushrod'".
std::optional<double> number_value(Reading& reading, const TomlValue& value, Place place, std::string_view subject,
                                   const NumberRule& rule);

/// A list of so many numbers.
std::optional<std::vector<double>> numbers_value(Reading& reading, const TomlValue& value, Place place,
                                                 std::string_view subject, std::size_t count, std::string_view axes,
                                                 const NumberRule& rule);

/// What a value is, for messages: "the text 'six'", "a list of 3".
std::string described(const TomlValue& value);

/// Refuses an empty name, control characters, and a letter that the name may not hold.
///
/// @param forbidden  '.' or '/'; 0: none
/// @returns whether the name is sound
bool check_name(Reading& reading, Place place, std::string_view name, std::string_view what, char forbidden = 0);

/// The tables of `[[key]]`, each with its name's place; reports what is not a list of tables, and more of
/// them than `most`. A null entry is an empty list.
struct ListedTable {
  const TomlTable* table = nullptr;
  Place place;
};
std::vector<ListedTable> listed_tables(Reading& reading, const TomlEntry* entry, std::size_t most);

/// The tables of `[prefix.NAME]`, likewise.
struct NamedTable {
  std::string name;
  const TomlTable* table = nullptr;
  Place place;
};
std::vector<NamedTable> named_tables(Reading& reading, const TomlEntry* entry, std::string_view example,
                                     std::size_t most);

/// The table of `[key]`; null if there is none or it is something else (reported).
const TomlTable* single_table(Reading& reading, const TomlEntry* entry);

/// Whether a key is one of those.
bool holds(const std::vector<std::string_view>& keys, std::string_view key);

}  // namespace ridepitch
