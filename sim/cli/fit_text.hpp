#pragma once
// What `fit` prints, as text and as JSON.

#include <string>

#include "cli/page.hpp"
#include "fit/fit_heights.hpp"
#include "fit/fit_spring.hpp"
#include "fit/height_readings.hpp"
#include "fit/spring_readings.hpp"
#include "model/model.hpp"

namespace ridepitch {

/// A spring fitted to readings of its own.
struct FittedSpring {
  std::string file;  ///< the table
  SpringReadings readings;
  SpringFit fit;
};

/// A spring fitted to a vehicle's heights.
struct FittedHeights {
  std::string file;
  Model model;
  HeightReadings readings;
  HeightFit fit;
};

/// The part that came out, and what became of it.
struct FittedPart {
  std::string name, toml;
  std::string added_to;   ///< catalogue; empty: only printed
  bool replaced = false;  ///< it took the place of a part of the same name
};

/// What is said of how something is known: in JSON, and in words.
struct Said {
  const char* key;
  const char* words;
};
Said said_of(LengthFrom from);
Said said_of(ReadingUse use);

/// What is said of a value that was fitted.
struct UnknownWords {
  const char *key, *name, *unit;
  int decimals;  ///< at least
};
UnknownWords words_of(Unknown unknown, bool law);

std::string fit_text(const FittedSpring& fitted, const FittedPart& part, const TextStyle& style);
std::string fit_text(const FittedHeights& fitted, const FittedPart& part, const TextStyle& style);

/// { "format": 1, "fit": { "file", "kind", "values": { ... }, "readings": [ ... ], "notes": [ ... ], "part": { ... } } }
std::string fit_json(const FittedSpring& fitted, const FittedPart& part);
std::string fit_json(const FittedHeights& fitted, const FittedPart& part);

}  // namespace ridepitch
