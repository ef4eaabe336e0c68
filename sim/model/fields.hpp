#pragma once
// One table of a model file, key by key: every key is looked at by name, and what no one knows is refused.

#include <array>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "model/geometry.hpp"
#include "model/reading.hpp"
#include "model/toml_text.hpp"

namespace ridepitch {

/// No number of a model is larger, in whatever unit: what is beyond it is a slip of the keyboard.
inline constexpr double most_believable = 1e6;

/// What a number must be, in the unit of the file.
struct NumberRule {
  const char* unit = "";  ///< as messages show it after the number: "mm"
  double least = -most_believable;
  bool above = false;  ///< `least` itself is refused
  double most = most_believable;
  double scale = 1;  ///< one of the file's units in those of the program: 8 mm for a module
};

constexpr NumberRule any_number(const char* unit) { return {unit}; }
constexpr NumberRule not_negative(const char* unit) { return {unit, 0}; }
constexpr NumberRule above_zero(const char* unit) { return {unit, 0, true}; }
constexpr NumberRule within(double least, double most, const char* unit = "") { return {unit, least, false, most}; }
constexpr NumberRule operator*(NumberRule rule, double scale) {
  rule.scale = scale;
  return rule;
}

inline constexpr NumberRule up_to_1000 = within(1, 1000);  ///< of teeth, or of equal springs side by side

inline constexpr NumberRule swing_angle = {"degrees", 0, true, 90};  ///< that a joint can swing

using LeastAndMost = std::array<double, 2>;  ///< least and most

/// Where the value of a key goes. Left alone where the key is absent or wrong.
using KeyTarget = std::variant<std::monostate, double*, std::optional<double>*, int*, std::optional<int>*, bool*,
                               std::string*, Vec2*, Vec3*, std::optional<Vec3>*, std::optional<LeastAndMost>*>;

/// A key of a table: all that reading and refusing need to know of it.
struct KnownKey {
  std::string_view name;
  KeyTarget into = {};  ///< none: it is read by itself
  NumberRule rule = {};
  const char* example = nullptr;  ///< a line that would do, for a key that must be there: "length = 6"
};

/// "7.5 mm"; without a unit just the number.
std::string with_unit(double value, const char* unit);

/// KnownKey lists one after the other.
std::vector<KnownKey> all_keys(std::initializer_list<std::vector<KnownKey>> lists);

/// The same keys, to be known but not read.
std::vector<KnownKey> unread(std::vector<KnownKey> keys);

bool has_key(const std::vector<KnownKey>& keys, std::string_view name);

/// Says whose key an unknown one is, "a coil"; empty: nobody's.
using KeyOwner = std::string_view (*)(std::string_view key);

/// A table and the words to speak of it.
///
/// Reading a value reports what is wrong with it and gives nothing back then; a null entry gives nothing
/// back in silence, so that an optional key reads as `number(find("across"), ...)`. Numbers come back scaled.
struct Fields {
  Reading& reading;
  const TomlTable& table;
  Place name_place;       ///< where errors about the whole table stand
  std::string what;       ///< "rod 'pushrod'"
  std::string name = {};  ///< "pushrod" of [...rod.pushrod], "tune" of [tune]

  /// Reads every key into its target and refuses all others.
  ///
  /// @returns whether all keys that must be there were read
  bool read(const std::vector<KnownKey>& keys, KeyOwner owner = nullptr) const;

  /// Refuses every key that is not among the known ones.
  void refuse_unknown(const std::vector<std::string_view>& known, KeyOwner owner = nullptr) const;

  const TomlEntry* find(std::string_view key) const { return table.find(key); }

  /// The same, but a missing key is an error.
  const TomlEntry* need(std::string_view key, std::string_view example) const;

  std::optional<double> number(const TomlEntry* entry, const NumberRule& rule) const;
  std::optional<int> whole(const TomlEntry* entry, const NumberRule& rule) const;
  std::optional<bool> yes_or_no(const TomlEntry* entry) const;
  std::optional<std::string> text(const TomlEntry* entry) const;

  /// A list of numbers of a set length; `axes` says what they are: "[u, v]".
  std::optional<std::vector<double>> numbers(const TomlEntry* entry, std::size_t count, std::string_view axes,
                                             const NumberRule& rule) const;
  std::optional<Vec2> vec2(const TomlEntry* entry, const NumberRule& rule) const;
  std::optional<Vec3> vec3(const TomlEntry* entry, const NumberRule& rule) const;

  /// A direction in the plane, of length 1.
  std::optional<Vec2> direction(const TomlEntry* entry) const;

  /// Two numbers, the first not above the second.
  std::optional<LeastAndMost> range(const TomlEntry* entry, const NumberRule& rule) const;

  /// Two keys, the first not above the second, each of which may be missing; not scaled.
  ///
  /// @param unit  after the numbers, where they are crossed
  /// @param hint  what to do then
  std::array<std::optional<double>, 2> least_and_most(std::string_view least_key, std::string_view most_key,
                                                      const NumberRule& rule, const char* unit = "",
                                                      const char* hint = "exchange them") const;

  /// A list of texts, each with its own place.
  struct Word {
    std::string text;
    Place place;
  };
  std::optional<std::vector<Word>> words(const TomlEntry* entry, std::string_view example) const;

  /// A list; the error says what it should look like.
  const TomlArray* list(const TomlEntry* entry, std::string_view example) const;

  /// The table of `[key]`; none if there is none or it is something else (reported).
  std::optional<Fields> section(std::string_view key) const;

  /// The tables of `[[key]]`; reports what is not a list of tables, and more of them than `most`.
  std::vector<Fields> listed(std::string_view key, std::size_t most) const;

  /// The tables of `[key.NAME]`, likewise; reports names that are not sound (check_name).
  std::vector<Fields> named(std::string_view key, std::string_view example, std::size_t most, char forbidden = 0) const;

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

/// Reports that SUBJECT must be WANTED, but is what it is.
void wrong_type(Reading& reading, Place place, std::string_view subject, std::string_view wanted,
                const TomlValue& value, std::string hint = "");

/// Whether a key is one of those.
bool holds(const std::vector<std::string_view>& keys, std::string_view key);

}  // namespace ridepitch
