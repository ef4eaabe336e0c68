#include "model/fields.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/core.h>

namespace ridepitch {
namespace {

/// Which numbers a rule lets pass, in words: "0 g or more".
std::string allowed(const NumberRule& rule) {
  const bool has_least = rule.least > -most_believable, has_most = rule.most < most_believable;
  const std::string least = with_unit(rule.least, rule.unit), most = with_unit(rule.most, rule.unit);
  if (has_least && has_most) return fmt::format("{} to {}", rule.above ? "more than " + least : least, most);
  if (has_least) return rule.above ? "more than " + least : least + " or more";
  return most + " or less";
}

std::string as_list(std::vector<std::string_view> names) {
  std::vector<std::string> copies(names.begin(), names.end());
  return list_in_quotes(copies);
}

}  // namespace

std::string with_unit(double value, const char* unit) {
  return *unit ? fmt::format("{} {}", value, unit) : fmt::format("{}", value);
}

std::string described(const TomlValue& value) {
  if (const auto* text = std::get_if<std::string>(&value.data)) return "the text " + in_quotes(*text);
  if (const auto* whole = std::get_if<std::int64_t>(&value.data)) return fmt::format("the number {}", *whole);
  if (const auto* number = std::get_if<double>(&value.data)) return fmt::format("the number {}", *number);
  if (const auto* boolean = std::get_if<bool>(&value.data)) return *boolean ? "true" : "false";
  if (const auto* array = std::get_if<TomlArray>(&value.data)) {
    return array->empty() ? "an empty list" : fmt::format("a list of {}", array->size());
  }
  return std::holds_alternative<TomlTable>(value.data) ? "a table" : "a date or time";
}

std::optional<double> number_value(Reading& reading, const TomlValue& value, Place place, std::string_view subject,
                                   const NumberRule& rule) {
  double number = 0;
  if (const auto* whole = std::get_if<std::int64_t>(&value.data)) {
    number = static_cast<double>(*whole);
  } else if (const auto* real = std::get_if<double>(&value.data)) {
    number = *real;
  } else {
    const bool is_text = std::holds_alternative<std::string>(value.data);
    reading.problem(place, "wrong-type", fmt::format("{} must be a number, but is {}", subject, described(value)),
                    is_text ? "numbers stand without quotes and without a unit" : "");
    return std::nullopt;
  }
  if (!std::isfinite(number)) {
    reading.problem(place, "not-finite", fmt::format("{} must be a finite number, but is {}", subject, number));
    return std::nullopt;
  }
  if (std::abs(number) > most_believable) {
    reading.problem(place, "not-believable",
                    fmt::format("{} is {}, which is not a believable number", subject, with_unit(number, rule.unit)),
                    fmt::format("nothing in a model is beyond {:.0f}", most_believable));
    return std::nullopt;
  }
  if (number < rule.least || (rule.above && number == rule.least) || number > rule.most) {
    reading.problem(place, number < 0 && rule.least == 0 ? "negative" : "out-of-range",
                    fmt::format("{} is {}, but must be {}", subject, with_unit(number, rule.unit), allowed(rule)));
    return std::nullopt;
  }
  return number;
}

std::optional<std::vector<double>> numbers_value(Reading& reading, const TomlValue& value, Place place,
                                                 std::string_view subject, std::size_t count, std::string_view axes,
                                                 const NumberRule& rule) {
  const auto* array = std::get_if<TomlArray>(&value.data);
  if (!array || array->size() != count) {
    reading.problem(place, "wrong-type",
                    fmt::format("{} must be {} numbers {}, but is {}", subject, count, axes, described(value)));
    return std::nullopt;
  }
  std::vector<double> numbers;
  bool sound = true;
  for (const TomlValue& element : *array) {
    const auto number = number_value(reading, element, element.place, subject, rule);
    sound = sound && number;
    numbers.push_back(number.value_or(0));
  }
  if (!sound) return std::nullopt;
  return numbers;
}

std::string Fields::subject(const TomlEntry& entry) const {
  return fmt::format("{} of {}", in_quotes(entry.key), what);
}

void Fields::refuse_unknown(const std::vector<std::string_view>& known,
                            const std::function<std::string_view(std::string_view)>& owner) const {
  for (const TomlEntry& entry : table.entries) {
    if (std::find(known.begin(), known.end(), entry.key) != known.end()) continue;
    const std::string_view whose = owner ? owner(entry.key) : std::string_view();
    if (!whose.empty()) {
      problem(entry.place, "foreign-key",
              fmt::format("{} is a key of {}, not of {}", in_quotes(entry.key), whose, what),
              "its keys: " + as_list(known));
    } else {
      problem(entry.place, "unknown-key", fmt::format("{} is not a key of {}", in_quotes(entry.key), what),
              reading.suggest(entry.key, std::vector<std::string>(known.begin(), known.end()), "keys"));
    }
  }
}

const TomlEntry* Fields::need(std::string_view key, std::string_view example) const {
  const TomlEntry* entry = table.find(key);
  if (!entry)
    problem(name_place, "missing-key", fmt::format("{} has no '{}'", what, key), fmt::format("add: {}", example));
  return entry;
}

std::optional<double> Fields::number(const TomlEntry* entry, const NumberRule& rule) const {
  if (!entry) return std::nullopt;
  return number_value(reading, entry->value, entry->place, subject(*entry), rule);
}

std::optional<int> Fields::whole(const TomlEntry* entry, const NumberRule& rule) const {
  const auto value = number(entry, rule);
  if (!value) return std::nullopt;
  if (*value != std::floor(*value)) {
    problem(entry->place, "wrong-type", fmt::format("{} must be a whole number, but is {}", subject(*entry), *value));
    return std::nullopt;
  }
  return static_cast<int>(*value);
}

std::optional<bool> Fields::yes_or_no(const TomlEntry* entry) const {
  if (!entry) return std::nullopt;
  if (const auto* value = std::get_if<bool>(&entry->value.data)) return *value;
  problem(entry->place, "wrong-type",
          fmt::format("{} must be true or false, but is {}", subject(*entry), described(entry->value)));
  return std::nullopt;
}

std::optional<std::string> Fields::text(const TomlEntry* entry) const {
  if (!entry) return std::nullopt;
  if (const auto* value = std::get_if<std::string>(&entry->value.data)) return *value;
  problem(entry->place, "wrong-type",
          fmt::format("{} must be a text, but is {}", subject(*entry), described(entry->value)),
          "texts stand in double quotes");
  return std::nullopt;
}

std::optional<std::vector<double>> Fields::numbers(const TomlEntry* entry, std::size_t count, std::string_view axes,
                                                   const NumberRule& rule) const {
  if (!entry) return std::nullopt;
  return numbers_value(reading, entry->value, entry->place, subject(*entry), count, axes, rule);
}

std::optional<Vec2> Fields::vec2(const TomlEntry* entry, const char* unit) const {
  const auto values = numbers(entry, 2, "[u, v]", any_number(unit));
  if (!values) return std::nullopt;
  return Vec2((*values)[0], (*values)[1]);
}

std::optional<Vec3> Fields::vec3(const TomlEntry* entry, const NumberRule& rule) const {
  const auto values = numbers(entry, 3, "[x, y, z]", rule);
  if (!values) return std::nullopt;
  return Vec3((*values)[0], (*values)[1], (*values)[2]);
}

std::optional<std::array<double, 2>> Fields::range(const TomlEntry* entry, const NumberRule& rule) const {
  const auto ends = numbers(entry, 2, "[least, most]", rule);
  if (!ends) return std::nullopt;
  if ((*ends)[0] > (*ends)[1]) {
    problem(entry->place, "range",
            fmt::format("{} runs from {} down to {}", subject(*entry), with_unit((*ends)[0], rule.unit),
                        with_unit((*ends)[1], rule.unit)),
            "the lesser number comes first");
    return std::nullopt;
  }
  return std::array<double, 2>{(*ends)[0], (*ends)[1]};
}

const TomlArray* Fields::list(const TomlEntry* entry, std::string_view example) const {
  if (!entry) return nullptr;
  const auto* array = std::get_if<TomlArray>(&entry->value.data);
  if (array && !array->empty()) return array;
  problem(entry->place, "wrong-type",
          fmt::format("{} must be a list, but is {}", subject(*entry), described(entry->value)),
          fmt::format("write it as: {}", example));
  return nullptr;
}

std::optional<std::vector<Fields::Word>> Fields::words(const TomlEntry* entry, std::string_view example) const {
  const TomlArray* array = list(entry, example);
  if (!array) return std::nullopt;
  std::vector<Word> result;
  bool sound = true;
  for (const TomlValue& value : *array) {
    if (const auto* word = std::get_if<std::string>(&value.data)) {
      result.push_back({*word, value.place});
    } else {
      problem(value.place, "wrong-type",
              fmt::format("{} must be a list of texts, but holds {}", subject(*entry), described(value)),
              fmt::format("write it as: {}", example));
      sound = false;
    }
  }
  if (!sound) return std::nullopt;
  return result;
}

bool check_name(Reading& reading, Place place, std::string_view name, std::string_view what, char forbidden) {
  if (name.empty()) {
    reading.problem(place, "bad-name", fmt::format("the name of {} is empty", what));
    return false;
  }
  if (std::any_of(name.begin(), name.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7F; })) {
    reading.problem(place, "bad-name",
                    fmt::format("the name {} of {} holds a control character", in_quotes(name), what));
    return false;
  }
  if (forbidden && name.find(forbidden) != std::string_view::npos) {
    reading.problem(place, "bad-name", fmt::format("the name {} of {} holds a '{}'", in_quotes(name), what, forbidden),
                    forbidden == '.' ? "a dot stands between body and hole: 'arm.root'"
                                     : "a slash stands between corner and wheel: 'rear left/hub'");
    return false;
  }
  return true;
}

std::vector<ListedTable> listed_tables(Reading& reading, const TomlEntry* entry, std::size_t most) {
  std::vector<ListedTable> result;
  if (!entry) return result;
  const auto* array = std::get_if<TomlArray>(&entry->value.data);
  if (!array) {
    reading.problem(entry->place, "wrong-type",
                    fmt::format("'{}' must be a list of tables, but is {}", entry->key, described(entry->value)),
                    fmt::format("write the header in double brackets, one for each: [[...{}]]", entry->key));
    return result;
  }
  for (const TomlValue& value : *array) {
    if (result.size() == most) {
      reading.problem(value.place, "too-many", fmt::format("there are over {} tables '{}'", most, entry->key));
      break;
    }
    if (const auto* table = std::get_if<TomlTable>(&value.data)) {
      result.push_back({table, value.place});
    } else {
      reading.problem(value.place, "wrong-type",
                      fmt::format("'{}' must be a list of tables, but holds {}", entry->key, described(value)));
    }
  }
  return result;
}

std::vector<NamedTable> named_tables(Reading& reading, const TomlEntry* entry, std::string_view example,
                                     std::size_t most) {
  std::vector<NamedTable> result;
  if (!entry) return result;
  const auto* tables = std::get_if<TomlTable>(&entry->value.data);
  if (!tables) {
    reading.problem(entry->place, "wrong-type",
                    fmt::format("'{}' must hold named tables, but is {}", entry->key, described(entry->value)),
                    fmt::format("write it as: {}", example));
    return result;
  }
  for (const TomlEntry& named : tables->entries) {
    if (result.size() == most) {
      reading.problem(named.place, "too-many", fmt::format("there are over {} tables '{}.NAME'", most, entry->key));
      break;
    }
    if (const auto* table = std::get_if<TomlTable>(&named.value.data)) {
      result.push_back({named.key, table, named.value.place});
    } else {
      reading.problem(named.place, "wrong-type",
                      fmt::format("{} of '{}' must be a table, but is {}", in_quotes(named.key), entry->key,
                                  described(named.value)),
                      fmt::format("write it as: {}", example));
    }
  }
  return result;
}

const TomlTable* single_table(Reading& reading, const TomlEntry* entry) {
  if (!entry) return nullptr;
  if (const auto* table = std::get_if<TomlTable>(&entry->value.data)) return table;
  reading.problem(entry->place, "wrong-type",
                  fmt::format("'{}' must be a table, but is {}", entry->key, described(entry->value)),
                  fmt::format("write the header in single brackets, once: [...{}]", entry->key));
  return nullptr;
}

bool holds(const std::vector<std::string_view>& keys, std::string_view key) {
  return std::find(keys.begin(), keys.end(), key) != keys.end();
}

}  // namespace ridepitch
