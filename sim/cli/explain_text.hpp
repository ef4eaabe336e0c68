#pragma once
// Words of the glossary as a page.

#include <string>

#include "cli/page.hpp"
#include "words/words.hpp"

namespace ridepitch {

/// A word, its meaning, its explanation, other names for it, and what to read next.
std::string word_text(const Word& word, const Ink& ink);

/// All words with their meanings, topic by topic.
std::string glossary_text(const Ink& ink);

}  // namespace ridepitch
