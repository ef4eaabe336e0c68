#include "model/toml_edit.hpp"

#include <algorithm>
#include <map>
#include <utility>

#include "model/text_file.hpp"

namespace ridepitch {
namespace {

// ------------------------------------------------------------------------------------ the tree

const TomlValue* child(const TomlValue& value, const TomlPath::value_type& step) {
  if (const auto* key = std::get_if<std::string>(&step)) {
    const auto* table = as<TomlTable>(&value);
    const TomlEntry* entry = table ? table->find(*key) : nullptr;
    return entry ? &entry->value : nullptr;
  }
  const auto* list = as<TomlArray>(&value);
  const std::size_t index = std::get<std::size_t>(step);
  return list && index < list->size() ? &(*list)[index] : nullptr;
}

/// What a value stands in.
const TomlValue* parent_of(const TomlDocument& document, const TomlPath& path) {
  return value_at(document, {path.begin(), path.end() - 1});
}

bool is_form(const TomlValue& value, TableForm form) {
  const auto* table = as<TomlTable>(&value);
  return table && table->form == form;
}

/// Whether a value is written behind an equals sign, all in one place.
bool is_statement(const TomlValue& value) {
  const auto* list = as<TomlArray>(&value);
  if (list) return list->empty() || !is_form(list->front(), TableForm::header);
  return !is_form(value, TableForm::header) && !is_form(value, TableForm::dotted);
}

/// What is written as key = value: a key of a table, the table's dotted tables included.
using Statements = std::vector<const TomlEntry*>;

void add_statements(const TomlTable& table, Statements& statements) {
  for (const TomlEntry& entry : table.entries) {
    if (is_statement(entry.value)) statements.push_back(&entry);
    if (is_form(entry.value, TableForm::dotted)) add_statements(std::get<TomlTable>(entry.value.data), statements);
  }
}

bool ends_before(const TextRegion& a, const TextRegion& b) {
  return std::pair(a.end_line, a.end_column) < std::pair(b.end_line, b.end_column);
}

/// In the order of the text.
Statements statements_of(const TomlTable& table) {
  Statements statements;
  add_statements(table, statements);
  std::sort(statements.begin(), statements.end(),
            [](const TomlEntry* a, const TomlEntry* b) { return ends_before(a->value.region, b->value.region); });
  return statements;
}

/// Headers of all tables; a table made in passing has that of the table in it.
void add_headers(const TomlValue& value, std::vector<TextRegion>& headers) {
  if (const auto* list = as<TomlArray>(&value)) {
    for (const TomlValue& element : *list) add_headers(element, headers);
  }
  const auto* table = as<TomlTable>(&value);
  if (!table || table->form == TableForm::braces) return;
  if (table->form == TableForm::header && value.region.line > 0) headers.push_back(value.region);  // not the root
  for (const TomlEntry& entry : table->entries) add_headers(entry.value, headers);
}

// ------------------------------------------------------------------------------------ the text

struct Span {
  std::size_t begin = 0, end = 0;
};

/// Where things of a document lie in its bytes.
struct Layout {
  explicit Layout(const TomlDocument& of) : document(of), text(of.text), lines(of.text) {}

  const TomlDocument& document;
  std::string_view text;
  TextLines lines;

  Span span(const TextRegion& region) const {
    return {lines.byte_at(region.line, region.column), lines.byte_at(region.end_line, region.end_column)};
  }

  std::size_t line_begin(std::size_t byte) const {
    const std::size_t newline = byte == 0 ? std::string_view::npos : text.rfind('\n', byte - 1);
    // The first line begins behind a byte order mark.
    return newline == std::string_view::npos ? lines.byte_at(1, 1) : newline + 1;
  }

  /// Behind its newline.
  std::size_t line_end(std::size_t byte) const {
    const std::size_t newline = text.find('\n', byte);
    return newline == std::string_view::npos ? text.size() : newline + 1;
  }

  std::string_view newline() const {
    const std::size_t first = text.find('\n');
    return first != std::string_view::npos && first > 0 && text[first - 1] == '\r' ? "\r\n" : "\n";
  }

  std::size_t past_blanks(std::size_t byte) const {
    while (byte < text.size() && (text[byte] == ' ' || text[byte] == '\t')) ++byte;
    return byte;
  }

  /// Whether the line holds nothing from here on; a comment is something.
  bool ends_line(std::size_t byte) const {
    byte = past_blanks(byte);
    return byte >= text.size() || text[byte] == '\n' || text.substr(byte, 2) == "\r\n";
  }

  bool is_comment_line(std::size_t begin) const {
    const std::size_t first = past_blanks(begin);
    return first < text.size() && text[first] == '#';
  }

  /// Back over the lines above that hold nothing but a comment.
  std::size_t with_comments_above(std::size_t begin) const {
    while (begin > lines.byte_at(1, 1)) {
      const std::size_t above = line_begin(begin - 1);
      if (!is_comment_line(above)) break;
      begin = above;
    }
    return begin;
  }
};

std::string replaced(std::string_view text, Span span, std::string_view by) {
  std::string result(text.substr(0, span.begin));
  result += by;
  result += text.substr(span.end);
  return result;
}

/// The place of a statement among those of its braces.
struct InBraces {
  const TomlValue& braces;
  Statements all;
  std::size_t index;
};

InBraces in_braces(const TomlValue& braces, const TomlEntry* entry) {
  Statements all = statements_of(std::get<TomlTable>(braces.data));
  const auto index = static_cast<std::size_t>(std::find(all.begin(), all.end(), entry) - all.begin());
  return {braces, std::move(all), index};
}

/// Where statement i begins, its dotted names included: behind the comma, or the brace.
std::size_t begin_of(const Layout& layout, const InBraces& in, std::size_t i) {
  std::size_t byte = layout.span(in.braces.region).begin + 1;
  if (i > 0) byte = layout.text.find(',', layout.span(in.all[i - 1]->value.region).end) + 1;
  return layout.past_blanks(byte);
}

/// With the comma behind it, or before it if it is the last one.
Span span_of(const Layout& layout, const InBraces& in) {
  const std::size_t begin = begin_of(layout, in, in.index);
  if (in.index + 1 < in.all.size()) return {begin, begin_of(layout, in, in.index + 1)};
  const std::size_t end = layout.span(in.all[in.index]->value.region).end;
  return {in.index > 0 ? layout.span(in.all[in.index - 1]->value.region).end : begin, end};
}

/// The braces that a statement at a path stands in; null where it has lines of its own.
const TomlValue* braces_around(const TomlDocument& document, const TomlPath& path) {
  const TomlValue* innermost = nullptr;
  const TomlValue* value = &document.root;
  for (const auto& step : path) {
    if (!value) break;
    if (is_form(*value, TableForm::braces)) innermost = value;
    value = child(*value, step);
  }
  return innermost;
}

const TomlEntry* entry_at(const TomlDocument& document, const TomlPath& path) {
  const auto* table = as<TomlTable>(parent_of(document, path));
  const auto* key = std::get_if<std::string>(&path.back());
  return table && key ? table->find(*key) : nullptr;
}

// ------------------------------------------------------------------------------------ writing a value

/// What stands between a key and its value, with as many blanks as put the equals sign in the column of the line above,
/// where that line has it set apart.
std::string equals_like(std::string_view between, std::size_t old_key, std::size_t new_key) {
  const std::size_t blanks = std::min(between.find('='), between.size());
  std::string result(between);
  if (blanks < 2) return result;
  const std::size_t column = old_key + blanks;
  result.replace(0, blanks, std::string(std::max(column, new_key + 1) - new_key, ' '));
  return result;
}

/// A new statement behind another one of its table.
std::optional<std::string> with_statement_added(const TomlDocument& document, const WriteToken& what) {
  const Layout layout(document);
  const auto* table = as<TomlTable>(parent_of(document, what.path));
  const auto* key = std::get_if<std::string>(&what.path.back());
  if (!table || !key) return std::nullopt;
  const TomlEntry* last = nullptr;
  for (const TomlEntry& entry : table->entries) {
    if (!is_statement(entry.value) || (!what.behind.empty() && entry.key != what.behind)) continue;
    if (!last || ends_before(last->value.region, entry.value.region)) last = &entry;
  }
  if (!last) return std::nullopt;

  const Span old_key = layout.span(last->key_region), old_value = layout.span(last->value.region);
  const std::string between = equals_like(layout.text.substr(old_key.end, old_value.begin - old_key.end),
                                          old_key.end - old_key.begin, key->size());
  const auto statement = [&](std::size_t begin) {  // with the dotted names before the key
    return std::string(layout.text.substr(begin, old_key.begin - begin)) + *key + between + what.token;
  };
  if (const TomlValue* braces = braces_around(document, what.path)) {
    const InBraces in = in_braces(*braces, last);
    return replaced(layout.text, {old_value.end, old_value.end}, ", " + statement(begin_of(layout, in, in.index)));
  }
  const std::string line = statement(layout.line_begin(old_key.begin));
  const std::size_t end = layout.line_end(old_value.end);
  const bool has_newline = end > 0 && layout.text[end - 1] == '\n';
  const std::string newline(layout.newline());
  return replaced(layout.text, {end, end}, has_newline ? line + newline : newline + line);
}

std::optional<std::string> with_token(const TomlDocument& document, const WriteToken& what) {
  const TomlValue* old = value_at(document, what.path);
  if (!old) return with_statement_added(document, what);
  if (!is_statement(*old)) return std::nullopt;
  const Layout layout(document);
  return replaced(layout.text, layout.span(old->region), what.token);
}

// ------------------------------------------------------------------------------------ taking out

/// The comment at the end of a line that is taken out, as a line of its own; empty where there is none.
///
/// @param line    where the line begins
/// @param behind  what is taken out ends here
std::string kept_comment(const Layout& layout, std::size_t line, std::size_t behind) {
  const std::size_t comment = layout.past_blanks(behind);
  if (comment >= layout.text.size() || layout.text[comment] != '#') return "";
  const std::string indent(layout.text.substr(line, layout.past_blanks(line) - line));
  return indent + std::string(layout.text.substr(comment, layout.line_end(comment) - comment));
}

/// @param with_comments  those right above go too
std::optional<std::string> without_statement(const TomlDocument& document, const TomlPath& path, bool with_comments) {
  const Layout layout(document);
  const TomlEntry* entry = entry_at(document, path);
  if (!entry) return std::nullopt;
  if (const TomlValue* braces = braces_around(document, path)) {
    return replaced(layout.text, span_of(layout, in_braces(*braces, entry)), "");
  }
  const std::size_t begin = layout.line_begin(layout.span(entry->key_region).begin);
  const std::size_t end = layout.span(entry->value.region).end;
  return replaced(layout.text, {with_comments ? layout.with_comments_above(begin) : begin, layout.line_end(end)},
                  kept_comment(layout, begin, end));
}

/// An element of a list in brackets, with the comma behind it; with its lines, if it has them for itself.
std::string without_element(const TomlDocument& document, const TomlValue& list, std::size_t index) {
  const Layout layout(document);
  const auto& elements = std::get<TomlArray>(list.data);
  const auto comma_behind = [&](std::size_t byte) {  // where it would be, past comments and line ends
    while (byte < layout.text.size()) {
      const char c = layout.text[byte];
      if (c == '#') {
        byte = layout.line_end(byte);
      } else if (c == ' ' || c == '\t' || c == '\r' || c == '\n') {
        ++byte;
      } else {
        break;
      }
    }
    return byte;
  };
  Span span = layout.span(elements[index].region);
  const std::size_t comma = comma_behind(span.end);
  if (comma < layout.text.size() && layout.text[comma] == ',') {
    span.end = comma + 1;
  } else if (index > 0) {
    const std::size_t before = layout.span(elements[index - 1].region).end;
    // A comma on another line is left: it may have a comment behind it, and a list may end with one.
    if (layout.text.substr(before, span.begin - before).find('\n') == std::string_view::npos) span.begin = before;
  }
  const std::size_t begin = layout.line_begin(span.begin);
  const std::size_t behind = layout.past_blanks(span.end);
  const bool own_lines = layout.past_blanks(begin) == span.begin &&
                         (layout.ends_line(behind) || (behind < layout.text.size() && layout.text[behind] == '#'));
  if (own_lines)
    return replaced(layout.text, {layout.with_comments_above(begin), layout.line_end(span.end)},
                    kept_comment(layout, begin, span.end));
  if (index == 0 || !layout.ends_line(span.end)) span.end = layout.past_blanks(span.end);
  return replaced(layout.text, span, "");
}

/// A table with its header: its lines down to the next header, but for comments that are the next one's, or that stand
/// apart.
std::string without_headed_table(const TomlDocument& document, const TomlValue& value) {
  const Layout layout(document);
  std::vector<TextRegion> headers;
  add_headers(document.root, headers);
  const Span header = layout.span(value.region);
  std::size_t next = layout.text.size();
  for (const TextRegion& region : headers) {
    const std::size_t begin = layout.line_begin(layout.span(region).begin);
    if (begin > header.begin) next = std::min(next, begin);
  }
  const bool any_next = next < layout.text.size();
  const std::size_t kept = any_next ? layout.with_comments_above(next) : next;

  const Statements statements = statements_of(std::get<TomlTable>(value.data));
  std::size_t end = layout.line_end(statements.empty() ? header.end : layout.span(statements.back()->value.region).end);
  while (end < kept && layout.is_comment_line(end)) end = layout.line_end(end);
  while (end < kept && layout.ends_line(end)) end = layout.line_end(end);

  std::size_t begin = layout.with_comments_above(layout.line_begin(header.begin));
  if (end == layout.text.size()) {  // no blank lines are left at the end of the file
    while (begin > layout.lines.byte_at(1, 1) && layout.ends_line(layout.line_begin(begin - 1))) {
      begin = layout.line_begin(begin - 1);
    }
  }
  return replaced(layout.text, {begin, end}, "");
}

/// The path to any key of a dotted table that is written in one place.
std::optional<TomlPath> first_statement(const TomlTable& table, const TomlPath& path) {
  for (const TomlEntry& entry : table.entries) {
    TomlPath inner = path;
    inner.emplace_back(entry.key);
    if (is_statement(entry.value)) return inner;
    if (!is_form(entry.value, TableForm::dotted)) continue;
    if (auto found = first_statement(std::get<TomlTable>(entry.value.data), inner)) return found;
  }
  return std::nullopt;
}

std::optional<std::string> without(const TomlDocument& document, const TomlPath& path) {
  const TomlValue* value = value_at(document, path);
  if (!value) return std::nullopt;
  const auto* table = as<TomlTable>(value);
  if (table && table->form == TableForm::header) return without_headed_table(document, *value);
  if (const auto* index = std::get_if<std::size_t>(&path.back())) {
    return without_element(document, *parent_of(document, path), *index);
  }
  if (!table || table->form == TableForm::braces) return without_statement(document, path, table != nullptr);

  // The statements of a dotted table go one by one.
  TomlDocument rest = document;
  while (const auto* left = as<TomlTable>(value_at(rest, path))) {
    const auto statement = first_statement(*left, path);
    if (!statement) return std::nullopt;
    auto text = without_statement(rest, *statement, true);
    auto opened = text ? open_toml(std::move(*text)) : std::nullopt;
    if (!opened) return std::nullopt;
    rest = std::move(*opened);
  }
  return rest.text;
}

// ------------------------------------------------------------------------------------ what a text says

/// The numbers, texts, ... of a text by their paths, in whatever order it has them. Tables and lists with nothing in them
/// are as good as absent: with its last table goes the list of tables.
using Leaves = std::map<TomlPath, std::variant<std::monostate, bool, double, std::string>>;

void add_leaves(const TomlValue& value, const TomlPath& path, Leaves& leaves) {
  const auto inner = [&](TomlPath::value_type step) {
    TomlPath result = path;
    result.push_back(std::move(step));
    return result;
  };
  if (const auto* table = as<TomlTable>(&value)) {
    for (const TomlEntry& entry : table->entries) add_leaves(entry.value, inner(entry.key), leaves);
  } else if (const auto* list = as<TomlArray>(&value)) {
    for (std::size_t i = 0; i < list->size(); ++i) add_leaves((*list)[i], inner(i), leaves);
  } else if (const auto* whole = as<std::int64_t>(&value)) {
    leaves[path] = static_cast<double>(*whole);
  } else if (const auto* number = as<double>(&value)) {
    leaves[path] = *number;
  } else if (const auto* text = as<std::string>(&value)) {
    leaves[path] = *text;
  } else if (const auto* flag = as<bool>(&value)) {
    leaves[path] = *flag;
  } else {
    leaves[path] = {};  // a date, which no model has
  }
}

Leaves leaves_of(const TomlValue& value, const TomlPath& path = {}) {
  Leaves leaves;
  add_leaves(value, path, leaves);
  return leaves;
}

const TomlPath& path_of(const TomlEdit& what) {
  return std::visit([](const auto& edit) -> const TomlPath& { return edit.path; }, what);
}

/// What the text must say after an edit; none where what is to be written is no value.
std::optional<Leaves> wanted_leaves(const Leaves& before, const TomlEdit& what) {
  const TomlPath& path = path_of(what);
  const std::size_t last = path.size() - 1;
  const auto* rename = std::get_if<RenameKey>(&what);
  const auto* write = std::get_if<WriteToken>(&what);
  const auto* taken = std::holds_alternative<TakeOut>(what) ? std::get_if<std::size_t>(&path.back()) : nullptr;
  Leaves wanted;
  for (const auto& [old_path, value] : before) {
    TomlPath new_path = old_path;
    if (old_path.size() >= path.size() && std::equal(path.begin(), path.end(), old_path.begin())) {
      if (!rename) continue;
      new_path[last] = rename->key;
    } else if (taken && old_path.size() >= path.size() && std::equal(path.begin(), path.end() - 1, old_path.begin())) {
      auto& index = std::get<std::size_t>(new_path[last]);
      if (index > *taken) --index;  // the elements behind it move up
    }
    wanted[new_path] = value;
  }
  if (write) {
    const ParsedToml parsed = parse_toml("value = " + write->token + "\n", 0);
    if (parsed.problem || parsed.root.entries.size() != 1) return std::nullopt;
    wanted.merge(leaves_of(parsed.root.entries.front().value, path));
  }
  return wanted;
}

std::optional<std::string> edited_text(const TomlDocument& document, const TomlEdit& what) {
  if (const auto* write = std::get_if<WriteToken>(&what)) return with_token(document, *write);
  if (const auto* rename = std::get_if<RenameKey>(&what)) {
    const TomlEntry* entry = entry_at(document, rename->path);
    if (!entry) return std::nullopt;
    const Layout layout(document);
    return replaced(layout.text, layout.span(entry->key_region), rename->key);
  }
  return without(document, std::get<TakeOut>(what).path);
}

}  // namespace

std::optional<TomlDocument> open_toml(std::string text) {
  ParsedToml parsed = parse_toml(text, 0);
  if (parsed.problem) return std::nullopt;
  TomlDocument document{std::move(text), {}};
  document.root.data = std::move(parsed.root);
  return document;
}

const TomlValue* value_at(const TomlDocument& document, const TomlPath& path) {
  const TomlValue* value = &document.root;
  for (auto step = path.begin(); step != path.end() && value; ++step) value = child(*value, *step);
  return value;
}

std::string_view token_at(const TomlDocument& document, const TomlPath& path) {
  const TomlValue* value = value_at(document, path);
  if (!value) return {};
  const Layout layout(document);
  const Span span = layout.span(value->region);
  return std::string_view(document.text).substr(span.begin, span.end - span.begin);
}

bool edit(TomlDocument& document, const TomlEdit& what) {
  if (path_of(what).empty()) return false;
  std::optional<std::string> text = edited_text(document, what);
  std::optional<TomlDocument> result = text ? open_toml(std::move(*text)) : std::nullopt;
  if (!result || leaves_of(result->root) != wanted_leaves(leaves_of(document.root), what)) return false;
  document = std::move(*result);
  return true;
}

}  // namespace ridepitch
