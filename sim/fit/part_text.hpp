#pragma once
// A spring as a table of a catalogue, and a catalogue's text with it in.

#include <optional>
#include <string>
#include <vector>

#include "fit/fit_spring.hpp"
#include "model/parts.hpp"
#include "model/problem.hpp"

namespace ridepitch {

/// One line of a part's table: "rate_n_per_mm" and "0.62".
struct PartKey {
  std::string key, value;
};

/// The keys of a fitted spring, rounded to a tenth of their standard errors.
std::vector<PartKey> part_keys(const SpringFit& fit);

/// A part from those of an old one, keys of the same name replaced and the others kept, in the format's order.
std::vector<PartKey> part_keys(const LineSpring& old);

/// "[part.NAME]" and its lines.
std::string part_text(const std::string& name, const std::vector<PartKey>& keys);

/// A number with two digits of its standard error, or six digits where there is none; always reads back as a number.
std::string with_its_digits(const Estimate& estimate);

/// A part's name made of a file's: what a bare TOML name can't hold becomes '-'.
std::string part_name_from(const std::string& path);

struct EditedCatalogue {
  std::optional<std::string> text;
  bool replaced = false;  ///< a part of that name was there
  std::vector<Problem> problems;
};

/// The catalogue with the part at its end, everything else as it was; or, where `replace` is set and the part is there, in
/// its place, its comments and the keys that the fit does not tell (diameter, mass, damping) kept.
///
/// Refused with its place: a text that is no sound catalogue, a name that is taken, a part that is written in a way that
/// can't be replaced line by line. What comes out is read again and holds the part as it was given.
///
/// @param text  empty: a new catalogue
/// @param path  names it in messages
EditedCatalogue add_part(const std::string& text, const std::string& path, const std::string& name,
                         const std::vector<PartKey>& keys, bool replace);

}  // namespace ridepitch
