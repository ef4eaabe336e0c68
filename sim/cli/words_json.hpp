#pragma once
// What `explain` and `parts` print with `--json`.

#include <string>

#include "cli/catalogue_text.hpp"
#include "words/words.hpp"

namespace ridepitch {

/// { "format": 1, "word", "unit", "meaning", "text", "synonyms", "see_also", "topic" }
std::string word_json(const Word& word);

/// { "format": 1, "words": [ ... ] }
std::string glossary_json();

/// { "format": 1, "model", "parts": [ { "name", "kind", ... } ] }: of each part what a catalogue says of it, and for
/// springs "solid_force_n" or "double_length_force_n"; null where it is not known.
std::string parts_list_json(const PartsList& list);

}  // namespace ridepitch
