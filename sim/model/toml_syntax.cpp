#include "model/toml_syntax.hpp"

#include <algorithm>
#include <string>

#include <fmt/core.h>

#include "model/reading.hpp"

namespace ridepitch {
namespace {

struct Words {
  std::string text, hint;
};

std::string with_small_start(std::string_view text) {
  std::string result(text);
  if (!result.empty() && result[0] >= 'A' && result[0] <= 'Z') result[0] = static_cast<char>(result[0] - 'A' + 'a');
  return result;
}

/// What the parser saw in place of what it wanted: ", but here is ','".
std::string seen(std::string_view description) {
  constexpr std::string_view words = "saw ";
  const std::size_t at = description.find(words);
  if (at == std::string_view::npos) return "";
  const std::string_view what = description.substr(at + words.size());
  if (what == "'\\n'" || what == "'\\r'") return ", but here the line ends";
  return fmt::format(", but here is {}", what);
}

/// The name in "cannot redefine existing table 'arm.body'".
std::string_view name_in_quotes(std::string_view description) {
  const std::size_t begin = description.find('\''), end = description.rfind('\'');
  return begin == end ? std::string_view() : description.substr(begin + 1, end - begin - 1);
}

Words in_plain_words(std::string_view description) {
  const auto says = [&](std::string_view words) { return description.find(words) != std::string_view::npos; };
  const std::string list_hint = "values of a list are separated by commas, and it ends with ]";
  const std::string braces_hint = "a table in braces stands on one line, its keys separated by commas";
  const std::string quote_hint = "a text in quotes ends on the line on which it begins";
  if (says("redefine")) {
    return {fmt::format("{} is given twice", in_quotes(name_in_quotes(description))),
            "rename or remove one of the two"};
  }
  if (says("maximum nested")) return {"this is nested more deeply than any model is", ""};
  if (says("could not determine value type")) {
    return {"this is neither a number, nor true or false, nor a text in quotes",
            "texts stand in double quotes: name = \"Quarry hauler\""};
  }
  if (says("not representable") || says("could not be interpreted as a value")) {
    return {"this number can't be represented", "nothing in a model is beyond 1000000"};
  }
  if (says("expected a comment or whitespace")) {
    return {"a line holds one value" + seen(description),
            says("saw ','") ? "decimals take a point: 1.5"
                            : "a number is written without its unit; each key has a line of its own"};
  }
  if (says("expected value")) return {"a value must stand here" + seen(description), "a line is KEY = VALUE"};
  if (says("expected '='"))
    return {"'=' must follow the key" + seen(description), "a line is KEY = VALUE, or a [header]"};
  if (says("array") && says("end-of-file")) return {"the file ends within a list", list_hint};
  if (says("array")) return {"a comma or ']' must stand here" + seen(description), list_hint};
  if (says("inline table") && says("end-of-file")) return {"the file ends within a table in braces", braces_hint};
  if (says("inline table")) return {"a key, a comma or '}' must stand here" + seen(description), braces_hint};
  if (says("table header") && says("expected ']'"))
    return {"']' must end the header" + seen(description), "a header is [name] or [[name]]"};
  if (says("string") && (says("control characters") || says("end-of-file"))) {
    return {"a text in quotes does not end here, or holds a control character", quote_hint};
  }
  return {"this is not TOML: " + with_small_start(description), ""};
}

/// A name given twice is shown where it stands; the parser stops somewhere behind it.
Place place_of_name(const Place& stopped, std::string_view line) {
  const std::size_t begin = line.find_first_not_of(" \t");
  if (begin == std::string_view::npos) return stopped;
  if (line[begin] == '[') {
    const NameInHeader name = name_in_header(line, column_of_byte(line, begin));
    return name.width > 0 ? Place{stopped.file, stopped.line, name.column, name.width} : stopped;
  }
  // Within braces the name can't be told from what stands before it.
  const std::string_view before = line.substr(0, byte_of_column(line, stopped.column));
  const std::size_t equals = before.find('=');
  if (equals == std::string_view::npos || equals == begin || before.find('=', equals + 1) != std::string_view::npos)
    return stopped;
  const std::size_t end = line.find_last_not_of(" \t", equals - 1) + 1;
  return {stopped.file, stopped.line, column_of_byte(line, begin), code_points(line.substr(begin, end - begin))};
}

}  // namespace

NameInHeader name_in_header(std::string_view line, int column) {
  std::size_t i = byte_of_column(line, column);
  if (i >= line.size() || line[i] != '[') return {};
  while (i < line.size() && line[i] == '[') ++i;
  std::size_t begin = i, end = i;
  while (i < line.size() && line[i] != ']') {
    if (line[i] == ' ' || line[i] == '\t' || line[i] == '.') {
      ++i;
      continue;
    }
    begin = i;
    if (line[i] == '"' || line[i] == '\'') {
      const char quote = line[i++];
      while (i < line.size() && line[i] != quote) i += quote == '"' && line[i] == '\\' ? 2 : 1;
      i = std::min(i + 1, line.size());
    } else {
      while (i < line.size() && std::string_view(" \t.]").find(line[i]) == std::string_view::npos) ++i;
    }
    end = i;
  }
  return {column_of_byte(line, begin), code_points(line.substr(begin, end - begin))};
}

Problem syntax_problem(std::string_view description, Place stopped, const TextLines& lines) {
  Place place = stopped;
  // Where the text ends too early, the end of its last line that holds something is shown.
  if (description.find("end-of-file") != std::string_view::npos || place.line > lines.count()) {
    place.line = lines.count();
    while (place.line > 1 && lines.line(place.line).find_first_not_of(" \t") == std::string_view::npos) --place.line;
    place.column = code_points(lines.line(place.line)) + 1;
  }
  place.column = std::min(place.column, code_points(lines.line(place.line)) + 1);  // behind a CR, say
  if (description.find("redefine") != std::string_view::npos) place = place_of_name(place, lines.line(place.line));
  // The parser quotes what it saw, line breaks and all.
  const Words words = in_plain_words(printable(description));
  return {place, "syntax", words.text, words.hint};
}

}  // namespace ridepitch
