#include "model/toml_text.hpp"

#include <algorithm>
#include <string>
#include <tuple>
#include <utility>

#include <toml++/toml.h>

#include "model/reading.hpp"
#include "model/text_file.hpp"
#include "model/toml_guard.hpp"
#include "model/toml_syntax.hpp"

namespace ridepitch {
namespace {

// The deepest thing in format 1 is a number in a list in a list in a table seven names down.
constexpr int deepest_nesting = 32;

TextRegion text_region(const toml::source_region& region) {
  return {static_cast<int>(region.begin.line), static_cast<int>(region.begin.column), static_cast<int>(region.end.line),
          static_cast<int>(region.end.column)};
}

TableForm form_of(const toml::table& table, const toml::source_region* key) {
  // What a dotted key makes has no region but that of its name.
  if (key && text_region(table.source()) == text_region(*key)) return TableForm::dotted;
  return table.is_inline() ? TableForm::braces : TableForm::header;
}

/// Turns the parser's tree into ours.
struct Conversion {
  const TextLines& lines;
  int file;
  std::optional<Place> too_deep = {}, hidden = {};  ///< nested too deeply; a name or text with a control character

  Place place(const toml::source_region& region) const {
    const int width =
        region.begin.line == region.end.line ? static_cast<int>(region.end.column - region.begin.column) : 1;
    return {file, static_cast<int>(region.begin.line), static_cast<int>(region.begin.column), width};
  }

  /// Where a table's name stands in the header that made it. The parser keeps the region of the first
  /// mention of a key and of the header, but not of the name in a later header.
  Place table_name(const toml::node& node, const toml::source_region* key) const {
    const toml::source_region& region = node.source();
    if (key && std::tie(key->begin.line, key->begin.column) >= std::tie(region.begin.line, region.begin.column) &&
        std::tie(key->end.line, key->end.column) <= std::tie(region.end.line, region.end.column)) {
      return place(*key);
    }
    const Place whole = place(region);
    const NameInHeader name = name_in_header(lines.line(whole.line), whole.column);
    if (name.width > 0) return {file, whole.line, name.column, name.width};
    return key ? place(*key) : whole;
  }

  TomlValue value(const toml::node& node, const toml::source_region* key, int depth) {
    TomlValue result;
    result.place = place(node.source());
    result.region = text_region(node.source());
    if (depth > deepest_nesting) {
      if (!too_deep) too_deep = result.place;
    } else if (const auto* table = node.as_table()) {
      // A table in braces has its own region; its name is its key.
      result.place = key && table->is_inline() ? place(*key) : table_name(node, key);
      TomlTable converted = this->table(*table, depth);
      converted.form = form_of(*table, key);
      result.data = std::move(converted);
    } else if (const auto* array = node.as_array()) {
      TomlArray elements;
      elements.reserve(array->size());
      for (const toml::node& element : *array) elements.push_back(value(element, nullptr, depth + 1));
      result.data = std::move(elements);
    } else if (const auto* text = node.as_string()) {
      if (!hidden && first_control_character(text->get())) hidden = result.place;
      result.data = text->get();
    } else if (const auto* integer = node.as_integer()) {
      result.data = integer->get();
    } else if (const auto* number = node.as_floating_point()) {
      result.data = number->get();
    } else if (const auto* boolean = node.as_boolean()) {
      result.data = boolean->get();
    } else {
      result.data = TomlDate{};
    }
    return result;
  }

  TomlTable table(const toml::table& from, int depth) {
    TomlTable result;
    result.entries.reserve(from.size());
    for (auto&& [key, node] : from) {
      if (!hidden && first_control_character(key.str())) hidden = place(key.source());
      result.entries.push_back({std::string(key.str()), place(key.source()), value(node, &key.source(), depth + 1),
                                text_region(key.source())});
    }
    std::sort(result.entries.begin(), result.entries.end(), [](const TomlEntry& a, const TomlEntry& b) {
      return std::tie(a.place.line, a.place.column) < std::tie(b.place.line, b.place.column);
    });
    return result;
  }
};

}  // namespace

const TomlEntry* TomlTable::find(std::string_view key) const {
  const auto found = std::find_if(entries.begin(), entries.end(), [&](const TomlEntry& e) { return e.key == key; });
  return found == entries.end() ? nullptr : &*found;
}

const TomlEntry* entry_at(const TomlTable& table, std::initializer_list<std::string_view> path) {
  const TomlTable* inner = &table;
  const TomlEntry* entry = nullptr;
  for (const std::string_view key : path) {
    entry = inner ? inner->find(key) : nullptr;
    inner = entry ? std::get_if<TomlTable>(&entry->value.data) : nullptr;
  }
  return entry;
}

ParsedToml parse_toml(std::string_view text, int file) {
  const TextLines lines(text);
  const auto refused = [](Place place, const char* words) { return ParsedToml{{}, Problem{place, "nesting", words}}; };
  if (const auto byte = too_many_dots(text)) {
    const auto [line, column] = lines.line_and_column(*byte);
    return refused({file, line, column, 1}, "there are more dotted names here than any model has");
  }
  try {
    const toml::table root = toml::parse(text, std::string_view());
    Conversion conversion{lines, file};
    ParsedToml result{conversion.table(root, 0), std::nullopt};
    if (conversion.too_deep) return refused(*conversion.too_deep, "this is nested more deeply than any model is");
    if (conversion.hidden) return {{}, control_character(*conversion.hidden)};
    return result;
  } catch (const toml::parse_error& error) {
    const toml::source_position& stopped = error.source().begin;
    const Place place{file, static_cast<int>(stopped.line), static_cast<int>(stopped.column), 1};
    return {{}, syntax_problem(error.description(), place, lines)};
  }
}

}  // namespace ridepitch
