#pragma once
// The glossary: every word of the program's output explained once, for headings, tooltips, `explain` and the report.

#include <string_view>
#include <vector>

namespace ridepitch {

/// What a word is about; `explain` lists the words in this order.
enum class Topic {
  stance,
  travel,
  stiffness,
  vehicle,
  parts,
  linkage,
  wheel_angles,
  floor,
  steering,
  measuring,
  change,
  findings,
  about,
};

/// "How it stands": the heading that a topic's words stand under.
std::string_view topic_title(Topic topic);

/// One word with its explanation.
struct Word {
  std::string_view word;     ///< as the output writes it: "motion ratio"
  std::string_view unit;     ///< of the number under that heading: "mm"; empty: none
  std::string_view meaning;  ///< one line for a heading or a tooltip: a small letter first, no full stop
  std::string_view text;     ///< a few plain sentences; a line that begins with "- " is an item of a list
  std::vector<std::string_view> synonyms = {};  ///< what else leads here: other names, headings cut short, states
  std::vector<std::string_view> see_also = {};  ///< words of the glossary
  Topic topic = Topic::about;
};

/// All words, topic by topic, in an order that reads well.
const std::vector<Word>& all_words();

/// The word meant by a name, or null.
///
/// Upper and lower case, hyphens, underscores and blanks are one; a unit at its end is left off, and a plural's s:
/// "wheel_rate_n_per_mm" is the wheel rate, "Dead points" the dead point.
const Word* find_word(std::string_view name);

/// The line that explains a heading.
/// @pre `word` is a word of the glossary or a synonym of one
std::string_view meaning_of(std::string_view word);

}  // namespace ridepitch
