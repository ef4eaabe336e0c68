#pragma once
// TOML text changed in place: what is not asked to change stays as it is, byte for byte.

#include <optional>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "model/toml_text.hpp"

namespace ridepitch {

/// The path to a value: names in tables, numbers from 0 in lists.
using TomlPath = std::vector<std::variant<std::string, std::size_t>>;

/// A text and what it says. The two belong together: make it by open_toml, change it by edit.
struct TomlDocument {
  std::string text;
  TomlValue root;  ///< a table
};

/// None where the text is no TOML.
std::optional<TomlDocument> open_toml(std::string text);

/// The value at a path; null if there is none.
const TomlValue* value_at(const TomlDocument& document, const TomlPath& path);

/// What the text writes for the value at a path; empty if there is none.
std::string_view token_at(const TomlDocument& document, const TomlPath& path);

/// Writes a value. A key that is not there yet comes right behind another one of its table, written like that one.
struct WriteToken {
  TomlPath path;
  std::string token;        ///< as it stands in the text, quotes included
  std::string behind = {};  ///< which key; empty: the last one
};

struct RenameKey {
  TomlPath path;
  std::string key;  ///< a bare key
};

/// Takes out a key with its value, an element of a list, or a table with all that is in it but tables with headers of
/// their own. With a line goes the comment behind the value, with a table those right above it and in it too.
struct TakeOut {
  TomlPath path;
};

using TomlEdit = std::variant<WriteToken, RenameKey, TakeOut>;

/// Makes one edit. The new text is parsed, and must say what the old one said but for the edit
/// (the order of keys is not looked at).
///
/// @returns false, and leaves the document alone, where that can't be done
bool edit(TomlDocument& document, const TomlEdit& what);

}  // namespace ridepitch
