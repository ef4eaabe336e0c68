#pragma once
// TOML text as a plain tree in which everything knows its place and stands in the order of the text.

#include <cstdint>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "model/problem.hpp"

namespace ridepitch {

struct TomlValue;
struct TomlEntry;

/// A stretch of text, as Place counts lines and columns; its end is the first code point behind it.
struct TextRegion {
  int line = 0, column = 0, end_line = 0, end_column = 0;

  friend bool operator==(const TextRegion&, const TextRegion&) = default;
};

/// How the text writes a table.
enum class TableForm {
  header,  ///< [name] or [[name]]; or made in passing by the header of a table in it
  dotted,  ///< name.key = value
  braces,  ///< name = { key = value }
};

/// The keys of a table, in the order in which the text first mentions them.
struct TomlTable {
  std::vector<TomlEntry> entries;
  TableForm form = TableForm::header;

  const TomlEntry* find(std::string_view key) const;  ///< null if there is none
};

using TomlArray = std::vector<TomlValue>;

/// A date or a time: format 1 has no use for one.
struct TomlDate {};

struct TomlValue {
  std::variant<bool, std::int64_t, double, std::string, TomlDate, TomlArray, TomlTable> data;
  Place place;  ///< of the value; of a table: its name in its header, or its key

  /// All of the value, brackets and quotes included. Of a table with a header: that header, brackets included; with
  /// dotted keys: its name where it is first mentioned.
  TextRegion region = {};
};

/// What a value is, if it is a T; null otherwise, and for null.
template <class T>
const T* as(const TomlValue* value) {
  return value ? std::get_if<T>(&value->data) : nullptr;
}

struct TomlEntry {
  std::string key;
  Place place;  ///< of the key
  TomlValue value;
  TextRegion key_region = {};  ///< quotes included
};

/// The entry at a path through tables; null if there is none.
const TomlEntry* entry_at(const TomlTable& table, std::initializer_list<std::string_view> path);

struct ParsedToml {
  TomlTable root;
  std::optional<Problem> problem;  ///< a syntax error; the tree is then empty
};

/// Parses TOML 1.0.
///
/// Places count code points and leave out a byte order mark. Text that is nested so deeply that no
/// model could mean it is refused, so that no input can exhaust the stack.
///
/// @param text  UTF-8 (text_file.hpp checks that)
/// @param file  index for Place::file
ParsedToml parse_toml(std::string_view text, int file);

}  // namespace ridepitch
