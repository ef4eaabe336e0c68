#include "fit/part_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <filesystem>
#include <string_view>

#include "model/fields.hpp"
#include "model/read_parts.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

constexpr std::string_view first_lines = "# Springs measured with a ruler and a kitchen scale.\n";

// ------------------------------------------------------------------------------------ words and numbers

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

std::string key_line(const PartKey& key) { return key.key + " = " + key.value; }

// ------------------------------------------------------------------------------------ a text's lines

/// A line with its end.
using RawLines = std::vector<std::string>;

RawLines raw_lines(std::string_view text) {
  RawLines lines;
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size() - 1) + 1;
    lines.emplace_back(text.substr(0, end));
    text.remove_prefix(end);
  }
  return lines;
}

std::string joined(const RawLines& lines) {
  std::string text;
  for (const std::string& line : lines) text += line;
  return text;
}

/// The line end that a text uses.
std::string line_end_of(std::string_view text) {
  const std::size_t newline = text.find('\n');
  return newline != std::string_view::npos && newline > 0 && text[newline - 1] == '\r' ? "\r\n" : "\n";
}

std::string with_line_ends(std::string text, const std::string& end) {
  if (end == "\n") return text;
  std::string out;
  for (const char c : text) out += c == '\n' ? end : std::string(1, c);
  return out;
}

/// A line's text before its comment; nothing of a string matters here but that a '#' in it is no comment.
std::string_view before_comment(std::string_view line) {
  char quote = 0;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const char c = line[i];
    if (quote != 0) {
      if (c == '\\' && quote == '"')
        ++i;
      else if (c == quote)
        quote = 0;
    } else if (c == '"' || c == '\'') {
      quote = c;
    } else if (c == '#') {
      return line.substr(0, i);
    }
  }
  return line;
}

bool says_nothing(std::string_view line) {
  return before_comment(line).find_first_not_of(" \t\r\n") == std::string_view::npos;
}

/// Line after the last one of the value that begins in a line: a list may run over several.
std::size_t end_of_value(const RawLines& lines, std::size_t first) {
  int open = 0;
  for (std::size_t i = first; i < lines.size(); ++i) {
    for (const char c : before_comment(lines[i])) open += c == '[' ? 1 : c == ']' ? -1 : 0;
    if (open <= 0) return i + 1;
  }
  return lines.size();
}

// ------------------------------------------------------------------------------------ a catalogue's parts

/// What a catalogue's text holds.
struct Parts {
  Reading reading;
  Catalogue catalogue;
};

Parts parts_of(const std::string& text, const std::string& path) {
  Parts parts;
  parts.reading.sources.push_back({path, text});
  if (const auto problem = text_problem(parts.reading.sources, 0)) {
    parts.reading.problem(*problem);
  } else {
    read_catalogue(parts.reading, 0, parts.catalogue);
  }
  return parts;
}

bool same_spring(const Part& a, const Part& b, bool friction_told) {
  const auto one = line_spring(a), other = line_spring(b);
  if (!one || !other || one->index() != other->index()) return false;
  const SpringTraits x = traits_of(*one), y = traits_of(*other);
  return x.law == y.law && x.stops == y.stops && (!friction_told || x.friction_n == y.friction_n);
}

const PartKey* find(const std::vector<PartKey>& keys, std::string_view key) {
  const auto found = std::find_if(keys.begin(), keys.end(), [&](const PartKey& each) { return each.key == key; });
  return found == keys.end() ? nullptr : &*found;
}

/// Where a part's table lies in the text: lines [begin, end) under its header, what belongs to the next part left out.
struct Extent {
  std::size_t header = 0, begin = 0, end = 0;
};

std::optional<Extent> extent_of(const RawLines& lines, const Catalogue& catalogue, const Part& part) {
  Extent extent;
  extent.header = static_cast<std::size_t>(part.place.line - 1);
  if (extent.header >= lines.size()) return std::nullopt;
  const std::string_view header = lines[extent.header];
  const std::size_t first = header.find_first_not_of(" \t\xEF\xBB\xBF");
  if (first == std::string_view::npos || header[first] != '[') return std::nullopt;  // an inline or dotted table
  extent.begin = extent.header + 1;
  extent.end = lines.size();
  for (const auto& each : catalogue) {
    const auto other = static_cast<std::size_t>(each.second.place.line - 1);
    if (other > extent.header) extent.end = std::min(extent.end, other);
  }
  while (extent.end > extent.begin && says_nothing(lines[extent.end - 1])) --extent.end;
  return extent;
}

/// The name of the key that a line begins with; empty if it begins with none.
std::string key_of(std::string_view line) {
  const std::string_view text = before_comment(line);
  const std::size_t equals = text.find('=');
  if (equals == std::string_view::npos) return "";
  std::string key(text.substr(0, equals));
  std::erase_if(key, [](char c) { return c == ' ' || c == '\t' || c == '"' || c == '\''; });
  return key;
}

/// The comment that stands behind a value, with the blanks before it.
std::string comment_behind(std::string_view line) {
  const std::string_view before = before_comment(line);
  const std::size_t blanks = before.find_last_not_of(" \t\r\n");
  std::string_view comment = line.substr(blanks == std::string_view::npos ? 0 : blanks + 1);
  comment = comment.substr(0, comment.find_last_not_of(" \t\r\n") + 1);
  return std::string(comment);
}

/// The lines of the old table with the new values in them.
RawLines with_values(const RawLines& lines, const Extent& extent, const std::vector<PartKey>& keys,
                     const std::string& end) {
  // Rate and preload stand in place of a law, and the other way round.
  const bool law = find(keys, "law") != nullptr;
  const auto goes = [&](const std::string& key) {
    return law ? key == "rate_n_per_mm" || key == "preload_n" : key == "law";
  };
  RawLines out;
  std::vector<std::string> written;
  std::size_t after_keys = 0;  // of `out`, where keys that are not there yet go
  for (std::size_t i = extent.begin; i < extent.end;) {
    const std::string key = key_of(lines[i]);
    const std::size_t next = key.empty() ? i + 1 : end_of_value(lines, i);
    if (const PartKey* replaced = find(keys, key)) {
      const std::string comment = next == i + 1 ? comment_behind(lines[i]) : "";
      out.push_back(with_line_ends(key_line(*replaced) + comment + "\n", end));
      written.push_back(key);
      after_keys = out.size();
    } else if (!goes(key)) {
      out.insert(out.end(), lines.begin() + static_cast<std::ptrdiff_t>(i),
                 lines.begin() + static_cast<std::ptrdiff_t>(next));
      if (!key.empty() && out.back().back() != '\n') out.back() += end;
    }
    i = next;
  }
  for (const PartKey& key : keys) {
    if (std::find(written.begin(), written.end(), key.key) != written.end()) continue;
    out.insert(out.begin() + static_cast<std::ptrdiff_t>(after_keys++), with_line_ends(key_line(key) + "\n", end));
  }
  return out;
}

Problem refusal(const Reading& reading, Place place, const char* code, std::string text, std::string hint) {
  return in_line_order({Problem{place, code, std::move(text), std::move(hint), "", "", Fault::text}}, reading.sources)
      .front();
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
  for (const PartKey& key : keys) text += key_line(key) + "\n";
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
  Parts before = parts_of(text, path);
  check_name(before.reading, {-1, 0, 0, 0}, name, "a part");
  if (!before.reading.problems.empty()) {
    return {std::nullopt, false, in_line_order(before.reading.problems, before.reading.sources)};
  }
  const std::string end = line_end_of(text), table = with_line_ends(part_text(name, keys), end);
  const auto old = before.catalogue.find(name);
  EditedCatalogue edited;
  if (old == before.catalogue.end()) {
    edited.text = text.empty() ? std::string(first_lines) : text;
    if (edited.text->back() != '\n') *edited.text += end;
    *edited.text += end + table;
  } else {
    const auto refuse = [&](const char* code, std::string what, std::string hint) {
      return EditedCatalogue{
          std::nullopt, true, {refusal(before.reading, old->second.place, code, std::move(what), std::move(hint))}};
    };
    if (!replace) {
      return refuse("name-taken", fmt::format("the catalogue already has a part {}", in_quotes(name)),
                    "give another name with --part, or say --replace to put the new values in its place");
    }
    const std::string kind = "\"" + std::string(kind_of(old->second)) + "\"";
    if (find(keys, "kind")->value != kind) {
      return refuse("wrong-kind",
                    fmt::format("part {} is a {}, and what was measured is a {}", in_quotes(name), kind_of(old->second),
                                find(keys, "kind")->value),
                    "give another name with --part");
    }
    RawLines lines = raw_lines(text);
    const auto extent = extent_of(lines, before.catalogue, old->second);
    if (!extent) {
      return refuse("not-a-table",
                    fmt::format("part {} is not written as a table of its own, [part.{}]", in_quotes(name), name),
                    "replace it by hand: the part is printed when --add is left out");
    }
    if (lines[extent->header].back() != '\n') lines[extent->header] += end;
    RawLines body = with_values(lines, *extent, keys, end);
    RawLines all(lines.begin(), lines.begin() + static_cast<std::ptrdiff_t>(extent->begin));
    all.insert(all.end(), body.begin(), body.end());
    all.insert(all.end(), lines.begin() + static_cast<std::ptrdiff_t>(extent->end), lines.end());
    edited.text = joined(all);
    edited.replaced = true;
  }

  // What will be written is read once more: nothing is written that would not be read back as it was meant.
  const Parts after = parts_of(*edited.text, path);
  const Parts alone = parts_of(part_text(name, keys), path);
  const auto now = after.catalogue.find(name), meant = alone.catalogue.find(name);
  if (!after.reading.problems.empty() || now == after.catalogue.end() || meant == alone.catalogue.end() ||
      after.catalogue.size() != before.catalogue.size() + (edited.replaced ? 0 : 1) ||
      !same_spring(meant->second, now->second, find(keys, "friction_n") != nullptr)) {
    const Place place = edited.replaced ? old->second.place : Place{0, 0, 0, 0};
    return {std::nullopt,
            edited.replaced,
            {refusal(before.reading, place, "not-editable",
                     "the catalogue is written in a way that this part can't be put into",
                     "add it by hand: the part is printed when --add is left out")}};
  }
  return edited;
}

}  // namespace ridepitch
