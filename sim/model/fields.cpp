#include "model/fields.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include <fmt/core.h>

#include "model/text_file.hpp"

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

// The value of a key by the type of its target.
std::optional<double> value(const Fields& f, const TomlEntry* e, const NumberRule& r, double*) {
  return f.number(e, r);
}
std::optional<int> value(const Fields& f, const TomlEntry* e, const NumberRule& r, int*) { return f.whole(e, r); }
std::optional<bool> value(const Fields& f, const TomlEntry* e, const NumberRule&, bool*) { return f.yes_or_no(e); }
std::optional<std::string> value(const Fields& f, const TomlEntry* e, const NumberRule&, std::string*) {
  return f.text(e);
}
std::optional<Vec2> value(const Fields& f, const TomlEntry* e, const NumberRule& r, Vec2*) { return f.vec2(e, r); }
std::optional<Vec3> value(const Fields& f, const TomlEntry* e, const NumberRule& r, Vec3*) { return f.vec3(e, r); }
std::optional<LeastAndMost> value(const Fields& f, const TomlEntry* e, const NumberRule& r, LeastAndMost*) {
  return f.range(e, r);
}

template <class T>
void read_into(const Fields& fields, const TomlEntry* entry, const NumberRule& rule, T* into) {
  if (auto read = value(fields, entry, rule, into)) *into = std::move(*read);
}

template <class T>
void read_into(const Fields& fields, const TomlEntry* entry, const NumberRule& rule, std::optional<T>* into) {
  *into = value(fields, entry, rule, static_cast<T*>(nullptr));
}

void read_into(const Fields&, const TomlEntry*, const NumberRule&, std::monostate) {}

}  // namespace

std::vector<KnownKey> all_keys(std::initializer_list<std::vector<KnownKey>> lists) {
  std::vector<KnownKey> keys;
  for (const std::vector<KnownKey>& list : lists) keys.insert(keys.end(), list.begin(), list.end());
  return keys;
}

std::vector<KnownKey> unread(std::vector<KnownKey> keys) {
  for (KnownKey& key : keys) key = {key.name};
  return keys;
}

bool has_key(const std::vector<KnownKey>& keys, std::string_view name) {
  return std::any_of(keys.begin(), keys.end(), [&](const KnownKey& key) { return key.name == name; });
}

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

void wrong_type(Reading& reading, Place place, std::string_view subject, std::string_view wanted,
                const TomlValue& value, std::string hint) {
  reading.problem(place, "wrong-type", fmt::format("{} must be {}, but is {}", subject, wanted, described(value)),
                  std::move(hint));
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
    wrong_type(reading, place, subject, "a number", value,
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
  return number * rule.scale;
}

std::optional<std::vector<double>> numbers_value(Reading& reading, const TomlValue& value, Place place,
                                                 std::string_view subject, std::size_t count, std::string_view axes,
                                                 const NumberRule& rule) {
  const auto* array = std::get_if<TomlArray>(&value.data);
  if (!array || array->size() != count) {
    wrong_type(reading, place, subject, fmt::format("{} numbers {}", count, axes), value);
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

void Fields::refuse_unknown(const std::vector<std::string_view>& known, KeyOwner owner) const {
  for (const TomlEntry& entry : table.entries) {
    if (std::find(known.begin(), known.end(), entry.key) != known.end()) continue;
    const std::string_view whose = owner ? owner(entry.key) : std::string_view();
    if (!whose.empty()) {
      problem(entry.place, "foreign-key",
              fmt::format("{} is a key of {}, not of {}", in_quotes(entry.key), whose, what),
              "its keys: " + list_in_quotes({known.begin(), known.end()}));
    } else {
      problem(entry.place, "unknown-key", fmt::format("{} is not a key of {}", in_quotes(entry.key), what),
              reading.suggest(entry.key, {known.begin(), known.end()}, "keys"));
    }
  }
}

bool Fields::read(const std::vector<KnownKey>& keys, KeyOwner owner) const {
  std::vector<std::string_view> known;
  known.reserve(keys.size());
  for (const KnownKey& key : keys) known.push_back(key.name);
  refuse_unknown(known, owner);
  bool all_read = true;
  for (const KnownKey& key : keys) {
    const TomlEntry* entry = key.example ? need(key.name, key.example) : find(key.name);
    const int found_before = reading.found;
    std::visit([&](auto into) { read_into(*this, entry, key.rule, into); }, key.into);
    if (key.example) all_read = all_read && entry && reading.found == found_before;
  }
  return all_read;
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
  wrong_type(reading, entry->place, subject(*entry), "true or false", entry->value);
  return std::nullopt;
}

std::optional<std::string> Fields::text(const TomlEntry* entry) const {
  if (!entry) return std::nullopt;
  if (const auto* value = std::get_if<std::string>(&entry->value.data)) return *value;
  wrong_type(reading, entry->place, subject(*entry), "a text", entry->value, "texts stand in double quotes");
  return std::nullopt;
}

std::optional<std::vector<double>> Fields::numbers(const TomlEntry* entry, std::size_t count, std::string_view axes,
                                                   const NumberRule& rule) const {
  if (!entry) return std::nullopt;
  return numbers_value(reading, entry->value, entry->place, subject(*entry), count, axes, rule);
}

std::optional<Vec2> Fields::vec2(const TomlEntry* entry, const NumberRule& rule) const {
  const auto values = numbers(entry, 2, "[u, v]", rule);
  return values ? std::optional(Vec2(values->data())) : std::nullopt;
}

std::optional<Vec3> Fields::vec3(const TomlEntry* entry, const NumberRule& rule) const {
  const auto values = numbers(entry, 3, "[x, y, z]", rule);
  return values ? std::optional(Vec3(values->data())) : std::nullopt;
}

std::optional<Vec2> Fields::direction(const TomlEntry* entry) const {
  const auto along = vec2(entry, any_number(""));
  if (!along || along->norm() > 0) return along ? std::optional<Vec2>(along->stableNormalized()) : std::nullopt;
  problem(entry->place, "out-of-range", fmt::format("{} is [0, 0], which is no direction", subject(*entry)),
          "[1, 0] is along u, [0, 1] along v");
  return std::nullopt;
}

std::optional<LeastAndMost> Fields::range(const TomlEntry* entry, const NumberRule& rule) const {
  NumberRule unscaled = rule;
  unscaled.scale = 1;
  const auto ends = numbers(entry, 2, "[least, most]", unscaled);
  if (!ends) return std::nullopt;
  const double least = (*ends)[0], most = (*ends)[1];
  if (least <= most) return LeastAndMost{least * rule.scale, most * rule.scale};
  problem(entry->place, "range",
          fmt::format("{} runs from {} down to {}", subject(*entry), with_unit(least, rule.unit),
                      with_unit(most, rule.unit)),
          "the lesser number comes first");
  return std::nullopt;
}

std::array<std::optional<double>, 2> Fields::least_and_most(std::string_view least_key, std::string_view most_key,
                                                            const NumberRule& rule, const char* unit,
                                                            const char* hint) const {
  const TomlEntry* most_entry = find(most_key);
  const auto least = number(find(least_key), rule), most = number(most_entry, rule);
  if (least && most && *least > *most) {
    problem(most_entry->place, "range",
            fmt::format("{} has {} {} above {} {}", what, least_key, with_unit(*least, unit), most_key,
                        with_unit(*most, unit)),
            hint);
  }
  return {least, most};
}

const TomlArray* Fields::list(const TomlEntry* entry, std::string_view example) const {
  if (!entry) return nullptr;
  const auto* array = std::get_if<TomlArray>(&entry->value.data);
  if (array && !array->empty()) return array;
  wrong_type(reading, entry->place, subject(*entry), "a list", entry->value, fmt::format("write it as: {}", example));
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
  if (has_control_character(name)) {
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

std::optional<Fields> Fields::section(std::string_view key) const {
  const TomlEntry* entry = find(key);
  if (!entry) return std::nullopt;
  if (const auto* inner = std::get_if<TomlTable>(&entry->value.data)) {
    return Fields{reading, *inner, entry->value.place, fmt::format("[{}]", key), std::string(key)};
  }
  wrong_type(reading, entry->place, fmt::format("'{}'", key), "a table", entry->value,
             fmt::format("write the header in single brackets, once: [...{}]", key));
  return std::nullopt;
}

std::vector<Fields> Fields::listed(std::string_view key, std::size_t most) const {
  std::vector<Fields> result;
  const TomlEntry* entry = find(key);
  if (!entry) return result;
  const auto* array = std::get_if<TomlArray>(&entry->value.data);
  if (!array) {
    wrong_type(reading, entry->place, fmt::format("'{}'", key), "a list of tables", entry->value,
               fmt::format("write the header in double brackets, one for each: [[...{}]]", key));
    return result;
  }
  for (const TomlValue& value : *array) {
    if (result.size() == most) {
      problem(value.place, "too-many", fmt::format("there are over {} tables '{}'", most, key));
      break;
    }
    if (const auto* inner = std::get_if<TomlTable>(&value.data)) {
      result.push_back(
          {reading, *inner, value.place, fmt::format("this [[{}{}{}]]", name, name.empty() ? "" : ".", key)});
    } else {
      problem(value.place, "wrong-type",
              fmt::format("'{}' must be a list of tables, but holds {}", key, described(value)));
    }
  }
  return result;
}

std::vector<Fields> Fields::named(std::string_view key, std::string_view example, std::size_t most,
                                  char forbidden) const {
  std::vector<Fields> result;
  const TomlEntry* entry = find(key);
  if (!entry) return result;
  const std::string hint = fmt::format("write it as: {}", example);
  const auto* tables = std::get_if<TomlTable>(&entry->value.data);
  if (!tables) {
    problem(entry->place, "wrong-type",
            fmt::format("'{}' must hold named tables, but is {}", key, described(entry->value)), hint);
    return result;
  }
  for (const auto& [name_of_table, place, value, region] : tables->entries) {
    if (result.size() == most) {
      problem(place, "too-many", fmt::format("there are over {} tables '{}.NAME'", most, key));
      break;
    }
    if (const auto* inner = std::get_if<TomlTable>(&value.data)) {
      check_name(reading, value.place, name_of_table, fmt::format("a {}", key), forbidden);
      result.push_back(
          {reading, *inner, value.place, fmt::format("{} {}", key, in_quotes(name_of_table)), name_of_table});
    } else {
      wrong_type(reading, place, fmt::format("{} of '{}'", in_quotes(name_of_table), key), "a table", value, hint);
    }
  }
  return result;
}

bool holds(const std::vector<std::string_view>& keys, std::string_view key) {
  return std::find(keys.begin(), keys.end(), key) != keys.end();
}

}  // namespace ridepitch
