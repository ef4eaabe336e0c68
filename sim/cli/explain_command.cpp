#include <fmt/format.h>

#include "cli/commands.hpp"
#include "cli/explain_text.hpp"
#include "cli/words_json.hpp"
#include "model/nearest_name.hpp"

namespace ridepitch {
namespace {

/// Every name that leads to a word.
std::vector<std::string> all_names() {
  std::vector<std::string> names;
  for (const Word& word : all_words()) names.emplace_back(word.word);
  for (const Word& word : all_words()) names.insert(names.end(), word.synonyms.begin(), word.synonyms.end());
  return names;
}

Problem unknown_word(const std::string& name) {
  const std::string nearest = nearest_name(name, all_names());
  Problem problem;
  problem.code = "unknown-word";
  problem.text = fmt::format("the glossary has no word '{}'", shown(clipped(name, page_width / 2)));
  problem.hint = nearest.empty() ? "'ridepitch explain' lists the words" : fmt::format("did you mean '{}'?", nearest);
  return problem;
}

}  // namespace

Outcome run_explain(const Options& options, const Ink& ink) {
  const std::string name = fmt::format("{}", fmt::join(options.explain.words, " "));
  if (name.empty()) return {options.json ? glossary_json() : glossary_text(ink)};
  const Word* word = find_word(name);
  if (!word) return {"", {unknown_word(name)}};
  return {options.json ? word_json(*word) : word_text(*word, ink)};
}

}  // namespace ridepitch
