#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/explain_text.hpp"
#include "cli/usage.hpp"
#include "cli/words_json.hpp"

namespace ridepitch {

Outcome run_explain(const Options& options, const Ink& ink) {
  const std::string name = joined(options.name, " ");
  if (name.empty()) return {options.json ? glossary_json() : glossary_text(ink)};
  if (const Word* word = find_word(name)) return {options.json ? word_json(*word) : word_text(*word, ink)};
  std::vector<std::string> names;  // every one that leads to a word, the words themselves first
  for (const Word& word : all_words()) names.emplace_back(word.word);
  for (const Word& word : all_words()) names.insert(names.end(), word.synonyms.begin(), word.synonyms.end());
  return {"",
          {{.code = "unknown-word",
            .text = fmt::format("the glossary has no word '{}'", shown(clipped(name, page_width / 2))),
            .hint = suggestion(name, names, "'ridepitch explain' lists the words")}}};
}

}  // namespace ridepitch
