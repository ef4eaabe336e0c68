#include "interview/answers_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>

#include "interview/axle_forms.hpp"
#include "interview/sections.hpp"
#include "interview/trial.hpp"
#include "model/nearest_name.hpp"
#include "model/reading.hpp"
#include "model/text_file.hpp"

namespace ridepitch {
namespace {

/// One line of the text.
struct Entry {
  std::string value;
  Place key, value_place;
};

using Entries = std::map<std::string, Entry, std::less<>>;

/// A text of answers that is being read.
struct AnswersDraft {
  TextLines lines;
  std::string path;
  Entries entries = {};
  std::vector<std::string> unread = {};            ///< first words of lines that are no 'key = value'
  std::set<std::string, std::less<>> unsure = {};  ///< keys whose answer was refused or misspelt
  FileAnswers out;
};

/// Adds a problem, its file and line filled in.
void add(AnswersDraft& draft, Problem problem) {
  problem.file_name = draft.path;
  problem.line_text = std::string(draft.lines.line(problem.place.line));
  draft.out.problems.push_back(std::move(problem));
}

/// Where a piece of a line stands.
Place place_of(const AnswersDraft& draft, int number, std::string_view piece) {
  const std::string_view line = draft.lines.line(number);
  const auto byte = static_cast<std::size_t>(piece.data() - line.data());
  return {0, number, column_of_byte(line, byte), std::max(1, code_points(piece))};
}

void read_line(AnswersDraft& draft, int number) {
  const std::string_view line = without_blanks(without_comment(draft.lines.line(number)));
  if (line.empty()) return;
  const std::size_t equals = line.find('=');
  const std::string_view key = without_blanks(line.substr(0, equals));
  if (equals == std::string_view::npos || key.empty()) {
    draft.unread.emplace_back(line.substr(0, line.find_first_of(" \t:=")));
    add(draft, {.place = place_of(draft, number, line),
                .code = "no-answer",
                .text = fmt::format("{} is no 'key = value'", in_quotes(line)),
                .hint = "front_scale_g = 1300"});
    return;
  }
  std::string_view value = without_blanks(line.substr(equals + 1));
  if (value.size() >= 2 && value.front() == '"' && value.back() == '"') value = value.substr(1, value.size() - 2);
  const Place place = place_of(draft, number, key);
  const auto [entry, is_new] =
      draft.entries.emplace(std::string(key), Entry{std::string(value), place, place_of(draft, number, value)});
  if (!is_new)
    add(draft, {.place = place,
                .code = "duplicate-name",
                .text = fmt::format("{} is answered twice, first in line {}", in_quotes(key), entry->second.key.line),
                .hint = "remove one of the two"});
}

std::vector<Question> questions_of(const Answers& answers) {
  std::vector<Question> all;
  for (Section& section : sections_of(answers)) {
    std::move(section.questions.begin(), section.questions.end(), std::back_inserter(all));
  }
  return all;
}

/// Gives each question its answer, in order, since later ones depend on earlier ones.
void answer_all(AnswersDraft& draft) {
  Answers& answers = draft.out.answers;
  while (true) {
    const std::vector<Question> questions = questions_of(answers);
    const auto open = std::find_if(questions.begin(), questions.end(),
                                   [&](const Question& question) { return !answers.contains(question.key); });
    if (open == questions.end()) return;
    const auto entry = draft.entries.find(open->key);
    CheckedAnswer checked = check_answer(*open, entry == draft.entries.end() ? "" : entry->second.value);
    if (!checked.reason.empty()) {
      add(draft, {.place = entry == draft.entries.end() ? Place{0, 0, 0, 0} : entry->second.value_place,
                  .code = "answer",
                  .text = fmt::format("{}: {}", open->key, checked.reason),
                  .hint = open->ask});
      draft.unsure.insert(open->key);
      checked = check_answer(*open, "");  // so that what follows can be looked at
    } else if (entry == draft.entries.end() && checked.answer != left_out) {
      draft.out.assumed.push_back(open->key);
    }
    answers[open->key] = checked.answer;
  }
}

/// An answer to a question that is asked of other machines.
Problem not_asked(const Answers& answers, const std::string& key, const Place& place) {
  const std::string axle = key.substr(0, key.find('_')), kind = word_of(answers, axle + "_kind");
  return {
      .place = place,
      .code = "not-asked",
      .text = kind.empty()
                  ? fmt::format("{} is not asked of a machine with {} axles", in_quotes(key), word_of(answers, "axles"))
                  : fmt::format("{} is not asked where {}_kind is {}", in_quotes(key), axle, in_quotes(kind)),
      .hint = "remove it, or answer the question that it hangs on"};
}

/// Whether a question may be asked of the machine that was meant, since what it hangs on is not known for sure: a slip there
/// is told once, not again at each line that follows from it.
bool hangs_on_unsure(const AnswersDraft& draft, std::string_view key) {
  const std::string axle(key.substr(0, key.find('_')));
  const auto unsure = [&](const std::string& end) { return draft.unsure.contains(axle + "_" + end); };
  if (axle == "middle" && draft.unsure.contains("axles")) return true;
  if (unsure("kind") || (key.starts_with(axle + "_coil_") && unsure("coil"))) return true;
  return std::any_of(axle_forms().begin(), axle_forms().end(),
                     [&](const AxleForm& form) { return !form.fork.empty() && unsure(form.fork); });
}

Problem unknown_key(const std::string& key, const std::string& nearest, const Place& place) {
  return {.place = place,
          .code = "unknown-key",
          .text = fmt::format("no question has the key {}", in_quotes(key)),
          .hint = nearest.empty() ? "docs/first-file.md lists the keys" : fmt::format("did you mean '{}'?", nearest)};
}

/// Answers to questions that were not asked.
void refuse_others(AnswersDraft& draft) {
  std::vector<std::string> asked;
  for (const Question& question : questions_of(draft.out.answers)) asked.push_back(question.key);
  const auto misspelt = [&](const std::string& key) {
    std::string nearest = nearest_name(key, asked);
    if (!draft.entries.contains(nearest)) draft.unsure.insert(nearest);
    return nearest;
  };
  for (const std::string& word : draft.unread) misspelt(word);
  std::vector<std::string> of_others;
  for (const auto& [key, entry] : draft.entries) {
    if (std::find(asked.begin(), asked.end(), key) != asked.end()) continue;
    if (is_key_of_some_machine(key))
      of_others.push_back(key);
    else
      add(draft, unknown_key(key, misspelt(key), entry.key));
  }
  for (const std::string& key : of_others)
    if (!hangs_on_unsure(draft, key)) add(draft, not_asked(draft.out.answers, key, draft.entries.at(key).key));
}

/// What does not go together is told at the first of its answers that the text gives.
void object(AnswersDraft& draft, const Objection& objection) {
  Place place{0, 0, 0, 0};
  for (const std::string& key : objection.look_at) {
    const auto entry = draft.entries.find(key);
    if (entry == draft.entries.end()) continue;
    place = entry->second.key;
    break;
  }
  const std::string keys = fmt::format("look at {}", fmt::join(objection.look_at, ", "));
  add(draft, {.place = place,
              .code = "does-not-fit",
              .text = objection.what,
              .hint = objection.why.empty() ? keys : objection.why + "; " + keys,
              .fault = objection.fault});
}

void try_all(AnswersDraft& draft) {
  for (const std::string& axle : axle_names(draft.out.answers)) {
    if (parts_of(draft.out.answers, axle) != axle) continue;
    if (const AxleTrial trial = try_axle(draft.out.answers, axle); trial.objection) object(draft, *trial.objection);
  }
  if (!draft.out.problems.empty()) return;
  if (const auto objection = try_machine(draft.out.answers)) object(draft, *objection);
}

}  // namespace

FileAnswers read_answers(std::string_view text, const std::string& path, const Answers& given) {
  std::vector<SourceText> sources = {{path, std::string(text)}};
  if (const std::optional<Problem> unreadable = text_problem(sources, 0)) {
    return {{}, {}, in_line_order({*unreadable}, sources)};
  }
  AnswersDraft draft{TextLines(text), path, {}, {}, {}, {given, {}, {}}};
  for (int number = 1; number <= draft.lines.count(); ++number) read_line(draft, number);
  for (const auto& [key, answer] : given) {
    const auto entry = draft.entries.find(key);
    if (entry == draft.entries.end() || entry->second.value == answer) continue;
    add(draft, {.place = entry->second.value_place,
                .code = "answer",
                .text = fmt::format("{} is '{}' here, but '{}' on the command line", key, entry->second.value, answer),
                .hint = "leave --kind out"});
    draft.unsure.insert(key);
  }
  answer_all(draft);
  refuse_others(draft);
  if (draft.out.problems.empty()) try_all(draft);
  std::stable_sort(draft.out.problems.begin(), draft.out.problems.end(),
                   [](const Problem& a, const Problem& b) { return a.place.line < b.place.line; });
  return std::move(draft.out);
}

}  // namespace ridepitch
