#include "fit/part_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <filesystem>
#include <string_view>

#include "model/fields.hpp"
#include "model/read_parts.hpp"
#include "model/toml_edit.hpp"

namespace ridepitch {
namespace {

constexpr std::string_view first_lines = "# Springs measured with a ruler and a kitchen scale.\n";

bool is_bare(std::string_view name) {
  return !name.empty() && std::all_of(name.begin(), name.end(), [](unsigned char c) {
    return (c < 0x80 && std::isalnum(c) != 0) || c == '-' || c == '_';
  });
}

/// A name as it stands in a TOML header.
std::string toml_name(std::string_view name) {
  if (is_bare(name)) return std::string(name);
  std::string quoted = "\"";
  for (const char c : name) {
    if (c == '"' || c == '\\') quoted += '\\';
    quoted += c;
  }
  return quoted + "\"";
}

std::string plain(double value) { return fmt::format("{:.6g}", value); }

std::string law_text(const ForceTable& law) {
  const std::size_t points_a_line = 5;
  std::string text = "[";
  for (std::size_t i = 0; i < law.size(); ++i) {
    if (i > 0) text += i % points_a_line == 0 ? ",\n       " : ", ";
    text += fmt::format("[{}, {}]", plain(law[i].x()), plain(law[i].y()));
  }
  return text + "]";
}

/// Line ends as another text has them.
std::string with_line_ends_of(std::string_view other, const std::string& text) {
  const std::size_t newline = other.find('\n');
  if (newline == std::string_view::npos || newline == 0 || other[newline - 1] != '\r') return text;
  std::string out;
  for (const char c : text) out += c == '\n' ? "\r\n" : std::string(1, c);
  return out;
}

/// Reads a catalogue's text; problems stay in `reading`.
Catalogue parts_of(Reading& reading, const std::string& text, const std::string& path) {
  Catalogue catalogue;
  reading.sources.push_back({path, text});
  if (const auto problem = text_problem(reading.sources, 0)) {
    reading.problem(*problem);
  } else {
    read_catalogue(reading, 0, catalogue);
  }
  return catalogue;
}

const PartKey* find(const std::vector<PartKey>& keys, std::string_view key) {
  const auto found = std::find_if(keys.begin(), keys.end(), [&](const PartKey& each) { return each.key == key; });
  return found == keys.end() ? nullptr : &*found;
}

/// The text with a part's values in place of the old ones; none where that can't be done in its table.
std::optional<std::string> with_values(const std::string& text, const std::string& name,
                                       const std::vector<PartKey>& keys) {
  auto document = open_toml(text);
  if (!document) return std::nullopt;
  const auto there = [&](const std::string& key) { return value_at(*document, {"part", name, key}) != nullptr; };
  std::string before;
  for (const PartKey& key : keys) {
    if (!edit(*document, WriteToken{{"part", name, key.key}, with_line_ends_of(text, key.value), before}))
      return std::nullopt;
    before = key.key;
  }
  // Rate and preload stand in place of a law, and the other way round.
  const std::vector<std::string> others =
      find(keys, "law") ? std::vector<std::string>{"rate_n_per_mm", "preload_n"} : std::vector<std::string>{"law"};
  for (const std::string& other : others)
    if (there(other) && !edit(*document, TakeOut{{"part", name, other}})) return std::nullopt;
  return document->text;
}

/// Whether a part has a header of its own, [part.NAME].
bool has_a_header(const std::string& text, const std::string& name) {
  const auto document = open_toml(text);
  const TomlValue* part = document ? value_at(*document, {"part", name}) : nullptr;
  const auto* table = part ? std::get_if<TomlTable>(&part->data) : nullptr;
  return table && table->form == TableForm::header;
}

/// Why a part can't take the place of an old one.
std::optional<Problem> against_replacing(const std::string& text, const Part& old, const std::string& kind,
                                         bool replace) {
  const std::string name = in_quotes(old.name);
  if (!replace)
    return Problem{.code = "name-taken",
                   .text = fmt::format("the catalogue already has a part {}", name),
                   .hint = "give another name with --part, or say --replace to put the new values in its place"};
  if ("\"" + std::string(kind_of(old)) + "\"" != kind)
    return Problem{.code = "wrong-kind",
                   .text = fmt::format("part {} is a {}, and what was measured is a {}", name, kind_of(old), kind),
                   .hint = "give another name with --part"};
  if (!has_a_header(text, old.name))
    return Problem{.code = "not-a-table",
                   .text = fmt::format("part {} is not written as a table of its own, [part.{}]", name, old.name),
                   .hint = "replace it by hand: the part is printed when --add is left out"};
  return std::nullopt;
}

}  // namespace

std::string with_its_digits(const Estimate& estimate) {
  if (!estimate.standard_error) return plain(estimate.value);
  const int least = 2, most = 6;
  const double error = *estimate.standard_error;
  const int decimals =
      error > 0 ? static_cast<int>(std::clamp(1 - std::floor(std::log10(error)), 0.0 + least, 0.0 + most)) : most;
  return fmt::format("{:.{}f}", estimate.value, decimals);
}

std::vector<PartKey> part_keys(const SpringFit& fit) {
  const bool coil = fit.kind == SpringKind::coil;
  std::vector<PartKey> keys = {{"kind", coil ? "\"coil\"" : "\"band\""}, {"free_mm", with_its_digits(fit.free_mm)}};
  if (coil) keys.push_back({"solid_mm", plain(*fit.solid_mm)});
  if (fit.law) {
    keys.push_back({"law", law_text(*fit.law)});
  } else {
    keys.push_back({"rate_n_per_mm", with_its_digits(fit.rate_n_per_mm)});
    if (coil) keys.push_back({"preload_n", with_its_digits(*fit.preload_n)});
  }
  if (coil && fit.friction_n) keys.push_back({"friction_n", with_its_digits(*fit.friction_n)});
  return keys;
}

std::vector<PartKey> part_keys(const LineSpring& old) {
  std::vector<PartKey> keys;
  const auto add = [&](const char* key, double value, bool always = false) {
    if (always || value != 0) keys.push_back({key, plain(value)});
  };
  std::visit(
      [&](const auto& spring) {
        keys.push_back({"kind", fmt::format("\"{}\"", spring.kind)});
        add("free_mm", spring.free_mm, true);
        if constexpr (requires { spring.solid_mm; }) add("solid_mm", spring.solid_mm, true);
        if (spring.law) {
          keys.push_back({"law", law_text(*spring.law)});
        } else {
          add("rate_n_per_mm", spring.rate_n_per_mm, true);
          if constexpr (requires { spring.preload_n; }) add("preload_n", spring.preload_n);
        }
        if constexpr (requires { spring.friction_n; }) add("friction_n", spring.friction_n);
        add("damping_n_s_per_mm", spring.damping_n_s_per_mm);
        if constexpr (requires { spring.diameter_mm; }) add("diameter_mm", spring.diameter_mm);
        add("mass_g", spring.mass_g);
      },
      old);
  return keys;
}

std::string part_text(const std::string& name, const std::vector<PartKey>& keys) {
  std::string text = "[part." + toml_name(name) + "]\n";
  for (const PartKey& key : keys) text += key.key + " = " + key.value + "\n";
  return text;
}

std::string part_name_from(const std::string& path) {
  std::string name = std::filesystem::path(path).stem().string();
  for (char& c : name) {
    if (!is_bare(std::string_view(&c, 1))) c = '-';
  }
  return name.empty() || name == "-" ? "my-spring" : name;
}

EditedCatalogue add_part(const std::string& text, const std::string& path, const std::string& name,
                         const std::vector<PartKey>& keys, bool replace) {
  Reading before;
  const Catalogue catalogue = parts_of(before, text, path);
  check_name(before, {-1, 0, 0, 0}, name, "a part");
  const auto old = catalogue.find(name);
  const bool is_new = old == catalogue.end();
  const auto refuse = [&](std::vector<Problem> problems) {
    return EditedCatalogue{std::nullopt, !is_new, in_line_order(std::move(problems), before.sources)};
  };
  if (!before.problems.empty()) return refuse(before.problems);
  std::optional<std::string> edited;
  const Place place = is_new ? Place{0, 0, 0, 0} : old->second.place;
  if (is_new) {
    edited = text.empty() ? std::string(first_lines) : text;
    const std::string gap = edited->back() == '\n' ? "\n" : "\n\n";
    *edited += with_line_ends_of(text, gap + part_text(name, keys));
  } else {
    if (auto problem = against_replacing(text, old->second, find(keys, "kind")->value, replace)) {
      problem->place = place;
      return refuse({*problem});
    }
    edited = with_values(text, name, keys);
  }
  // What will be written is read once more: nothing is written that would not be read back as it was meant.
  Reading after;
  const std::size_t count = edited ? parts_of(after, *edited, path).size() : 0;
  if (!after.problems.empty() || count != catalogue.size() + (is_new ? 1 : 0))
    return refuse({{.place = place,
                    .code = "not-editable",
                    .text = "the catalogue is written in a way that this part can't be put into",
                    .hint = "add it by hand: the part is printed when --add is left out"}});
  return {std::move(edited), !is_new, {}};
}

}  // namespace ridepitch
