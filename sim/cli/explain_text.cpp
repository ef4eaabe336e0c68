#include "cli/explain_text.hpp"

#include <fmt/format.h>

namespace ridepitch {
namespace {

constexpr int text_indent = 2;

/// A word's explanation: paragraphs, and items of lists with their lines set in.
std::string explanation(std::string_view text) {
  std::string out;
  while (!text.empty()) {
    const std::string_view line = text.substr(0, text.find('\n'));
    text.remove_prefix(std::min(text.size(), line.size() + 1));
    const bool item = line.starts_with("- ");
    out += fmt::format("{:{}}{}\n", "", text_indent, wrapped(line, item ? text_indent + 2 : text_indent));
  }
  return out;
}

std::string names_line(std::string_view lead, const std::vector<std::string_view>& names) {
  if (names.empty()) return "";
  return fmt::format("{:{}}{}\n", "", text_indent,
                     wrapped(fmt::format("{}: {}", lead, fmt::join(names, ", ")), text_indent + 2));
}

}  // namespace

std::string word_text(const Word& word, const Ink& ink) {
  const std::string unit = word.unit.empty() ? "" : fmt::format(" ({})", word.unit);
  const std::string lead = fmt::format("{}{}: ", word.word, unit);
  const std::string first = wrapped(lead + std::string(word.meaning) + ".", 0);
  std::string text = ink.heading(first.substr(0, word.word.size())) + first.substr(word.word.size()) + "\n";
  text += "\n" + explanation(word.text);
  if (!word.synonyms.empty() || !word.see_also.empty()) text += "\n";
  return text + names_line("also found under", word.synonyms) + names_line("see also", word.see_also);
}

std::string glossary_text(const Ink& ink) {
  std::string text = "The words of ridepitch; 'ridepitch explain WORD' tells more of one.\n";
  const std::vector<Word>& words = all_words();
  for (std::size_t first = 0; first < words.size();) {
    const Topic topic = words[first].topic;
    std::vector<Term> terms;
    for (; first < words.size() && words[first].topic == topic; ++first) {
      terms.push_back({std::string(words[first].word), std::string(words[first].meaning)});
    }
    text += "\n" + ink.heading(topic_title(topic)) + "\n" + terms_text(terms, Ink{});
  }
  return text;
}

}  // namespace ridepitch
