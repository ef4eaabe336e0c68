#include "words/words.hpp"

#include <array>
#include <cassert>
#include <map>
#include <string>
#include <utility>

#include "words/glossary.hpp"

namespace ridepitch {
namespace {

struct TopicWords {
  Topic topic;
  std::string_view title;
  std::vector<Word> (*words)();
};

const std::array topics = {
    TopicWords{Topic::stance, "How it stands", glossary::stance_words},
    TopicWords{Topic::travel, "How far the wheels move", glossary::travel_words},
    TopicWords{Topic::stiffness, "How stiff it is", glossary::stiffness_words},
    TopicWords{Topic::vehicle, "The vehicle as a whole", glossary::vehicle_words},
    TopicWords{Topic::parts, "Parts and what they carry", glossary::part_words},
    TopicWords{Topic::linkage, "Linkages and how they are written down", glossary::linkage_words},
    TopicWords{Topic::wheel_angles, "Where the wheels point", glossary::wheel_angle_words},
    TopicWords{Topic::floor, "On uneven ground", glossary::floor_words},
    TopicWords{Topic::steering, "Steering", glossary::steering_words},
    TopicWords{Topic::measuring, "Measuring", glossary::measuring_words},
    TopicWords{Topic::change, "Changing a model", glossary::change_words},
    TopicWords{Topic::findings, "Findings", glossary::finding_words},
    TopicWords{Topic::about, "The program itself", glossary::about_words},
};

/// Small letters, single blanks for blanks, hyphens and underscores.
std::string plain_spelling(std::string_view name) {
  std::string out;
  for (const char c : name) {
    const bool blank = c == ' ' || c == '-' || c == '_' || c == '\t';
    if (blank) {
      if (!out.empty() && out.back() != ' ') out += ' ';
    } else {
      out += c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    }
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

/// Takes an ending off a name, if it has it and something is left.
bool drop_ending(std::string& name, std::string_view ending) {
  if (name.size() <= ending.size() || !name.ends_with(ending)) return false;
  name.resize(name.size() - ending.size());
  return true;
}

/// Takes off the unit that a key of a file or of the JSON output ends in.
bool drop_unit(std::string& name) {
  for (const char* unit : {" n per mm", " mm per mm", " deg per mm", " n mm per deg", " n mm", " mm", " n", " kg", " g",
                           " hz", " deg", " modules"}) {
    if (drop_ending(name, unit)) return true;
  }
  return false;
}

using Index = std::map<std::string, const Word*, std::less<>>;

/// Names of words go before synonyms: where one word's name is another's synonym, the name wins.
Index index_of(const std::vector<Word>& words) {
  Index index;
  for (const Word& word : words) index.emplace(plain_spelling(word.word), &word);
  for (const Word& word : words) {
    for (const std::string_view synonym : word.synonyms) index.emplace(plain_spelling(synonym), &word);
  }
  return index;
}

const Word* find_spelling(const Index& index, const std::string& name) {
  const auto found = index.find(name);
  return found == index.end() ? nullptr : found->second;
}

}  // namespace

std::string_view topic_title(Topic topic) { return topics[static_cast<std::size_t>(topic)].title; }

const std::vector<Word>& all_words() {
  static const std::vector<Word> words = [] {
    std::vector<Word> all;
    for (const TopicWords& each : topics) {
      for (Word& word : each.words()) {
        word.topic = each.topic;
        all.push_back(std::move(word));
      }
    }
    return all;
  }();
  return words;
}

const Word* find_word(std::string_view name) {
  static const Index index = index_of(all_words());
  std::string spelling = plain_spelling(name);
  if (const Word* word = find_spelling(index, spelling)) return word;
  std::string singular = spelling;
  for (const char* plural : {"es", "s"}) {
    singular = spelling;
    if (!drop_ending(singular, plural)) continue;
    if (const Word* word = find_spelling(index, singular)) return word;
  }
  return drop_unit(spelling) ? find_spelling(index, spelling) : nullptr;
}

std::string_view meaning_of(std::string_view word) {
  const Word* found = find_word(word);
  assert(found && "a heading has its word in the glossary");
  return found ? found->meaning : std::string_view();
}

}  // namespace ridepitch
