#include "interview/ask.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <set>

#include "interview/axle_forms.hpp"
#include "interview/trial.hpp"
#include "model/read.hpp"
#include "model/text_file.hpp"
#include "model/units.hpp"
#include "spring/force_law.hpp"

namespace ridepitch {
namespace {

/// What was typed at one question.
struct Reply {
  enum class Kind { answer, back, ended };
  Kind kind = Kind::answer;
  std::string answer;
};

std::string joined(const std::vector<std::string>& lines) { return fmt::format("{}", fmt::join(lines, "\n")); }

void say_choices(const Dialogue& dialogue, const Question& question) {
  std::size_t widest = 0;
  for (const Choice& choice : question.choices) widest = std::max(widest, choice.name.size());
  std::vector<std::string> lines;
  for (const Choice& choice : question.choices) {
    lines.push_back(fmt::format("{:<{}}  {}", choice.name, widest, choice.meaning));
  }
  dialogue.say(Saying::list, joined(lines));
}

/// "From P to C, the coil's hole on the arm (holes) [5]: "
std::string prompt_of(const Question& question) {
  std::string text = question.ask;
  if (question.unit != Unit::none) text += fmt::format(" ({})", unit_name(question.unit));
  if (!question.usual.empty()) {
    text += fmt::format(" [{}]", question.usual);
  } else if (question.may_be_left_out) {
    text += " [leave out]";
  }
  return text + ": ";
}

std::string told_more(const Question& question) {
  std::string text = question.more;
  if (question.most_numbers > 1 && question.least_numbers != question.most_numbers && text.empty()) {
    text = "One number or two, parted by a blank.";
  }
  const bool has_effects = std::any_of(question.choices.begin(), question.choices.end(),
                                       [](const Choice& choice) { return !choice.effect.empty(); });
  if (text.empty() && !has_effects) text = "There is no more to it.";
  return text + (text.empty() ? "" : " ") + fmt::format("In a file of answers this is '{}'.", question.key);
}

void complain(const Dialogue& dialogue, const std::string& reason) {
  dialogue.say(Saying::complaint, reason + (reason.ends_with('?') ? "" : "."));
}

/// What the catalogue has for a question, a line for each part.
std::string catalogue_lines(Form form) {
  std::string text;
  for (const auto& [name, part] : built_in_parts()) {
    const std::string lead = fmt::format("{}{:<14}  ", text.empty() ? "" : "\n", name);
    if (const auto* coil = std::get_if<Coil>(&part.data); coil && form == Form::coil) {
      const double solid_g = grams_of(spring_force(force_law(*coil), coil->solid_mm).push_n);
      text += fmt::format("{}{} mm long, {} mm when solid, where it holds {:.0f} g", lead, coil->free_mm,
                          coil->solid_mm, solid_g);
    }
    if (const auto* tyre = std::get_if<Tyre>(&part.data); tyre && form == Form::tyre) {
      text += fmt::format("{}{} mm across, {} g", lead, tyre->diameter_mm, tyre->mass_g);
    }
  }
  return text;
}

void tell_more(const Dialogue& dialogue, const Question& question) {
  for (const Choice& choice : question.choices)
    if (!choice.effect.empty()) dialogue.say(Saying::text, choice.name + ": " + choice.effect);
  dialogue.say(Saying::text, told_more(question));
  if (const std::string lines = catalogue_lines(question.form); !lines.empty()) dialogue.say(Saying::list, lines);
}

Reply ask(const Dialogue& dialogue, Question question, const std::string& former) {
  if (!former.empty()) question.usual = former;
  if (!question.choices.empty()) dialogue.say(Saying::text, question.ask + ":");
  if (!question.choices.empty()) say_choices(dialogue, question);
  Question shown = question;
  if (!question.choices.empty()) shown.ask = "One of these";
  while (true) {
    dialogue.say(Saying::prompt, prompt_of(shown));
    const std::optional<std::string> line = dialogue.read_line();
    if (!line) return {Reply::Kind::ended, ""};
    const std::string_view typed = without_blanks(*line);
    if (typed == "<") return {Reply::Kind::back, ""};
    if (typed == "?") {
      tell_more(dialogue, question);
      continue;
    }
    CheckedAnswer checked = check_answer(question, typed);
    if (checked.reason.empty()) return {Reply::Kind::answer, std::move(checked.answer)};
    complain(dialogue, checked.reason);
  }
}

/// The conversation so far.
struct Interview {
  const Dialogue& dialogue;
  const Answers& given;
  Answers answers;
  Answers former;                  ///< answers that were taken back, offered again
  std::vector<std::string> asked;  ///< keys in the order in which they were answered
  std::set<std::string> settled;   ///< titles of sections that need no more looking at
  std::string open;                ///< title of the section that is being asked
  bool over = false;               ///< the input has ended
};

void take_back(Interview& interview, const std::string& key) {
  const auto answer = interview.answers.find(key);
  if (answer == interview.answers.end() || interview.given.contains(key)) return;
  interview.former[key] = answer->second;
  interview.answers.erase(answer);
  std::erase(interview.asked, key);
  interview.settled.clear();  // what was tried may have hung on this answer
}

const Question* first_open(const Section& section, const Answers& answers) {
  const auto open = std::find_if(section.questions.begin(), section.questions.end(),
                                 [&](const Question& question) { return !answers.contains(question.key); });
  return open == section.questions.end() ? nullptr : &*open;
}

void begin_section(Interview& interview, const Section& section) {
  if (interview.open == section.title) return;
  interview.open = section.title;
  interview.dialogue.say(Saying::heading, section.title);
}

/// The picture that a question belongs to is shown before the first that needs it.
void show_picture(Interview& interview, const Section& section, const Question& question) {
  const std::vector<std::string> picture = picture_before(interview.answers, section, question);
  if (picture.empty()) return;
  interview.dialogue.say(Saying::text, caption_before(interview.answers, section));
  interview.dialogue.say(Saying::picture, joined(picture));
}

void ask_question(Interview& interview, const Section& section, const Question& question) {
  begin_section(interview, section);
  show_picture(interview, section, question);
  const auto former = interview.former.find(question.key);
  const Reply reply = ask(interview.dialogue, question, former == interview.former.end() ? "" : former->second);
  if (reply.kind == Reply::Kind::ended) {
    interview.over = true;
  } else if (reply.kind == Reply::Kind::answer) {
    interview.answers[question.key] = reply.answer;
    interview.asked.push_back(question.key);
  } else if (interview.asked.empty()) {
    complain(interview.dialogue, "there is no question before this one");
  } else {
    take_back(interview, std::string(interview.asked.back()));
  }
}

std::string reason_of(const Objection& objection) {
  if (objection.why.empty()) return objection.what;
  const bool has_colon = objection.what.find(':') != std::string::npos;
  return objection.what + (has_colon ? "; " : ": ") + objection.why;
}

/// Says what does not go together, and takes back the answers to look at.
void object(Interview& interview, const Objection& objection) {
  complain(interview.dialogue, reason_of(objection));
  std::string names;
  for (const Section& section : sections_of(interview.answers)) {
    for (const Question& question : section.questions) {
      const auto& keys = objection.look_at;
      if (std::find(keys.begin(), keys.end(), question.key) == keys.end()) continue;
      names += (names.empty() ? "" : "; ") + question.ask;
    }
  }
  interview.dialogue.say(Saying::text, "Look at these answers again, Enter keeps one: " + names + ".");
  for (const std::string& key : objection.look_at) take_back(interview, key);
}

/// @returns whether the builder agrees; false too if the input has ended
bool says_yes(Interview& interview, const std::string& ask) {
  const Question question = choice_question("", ask, {{"yes", ""}, {"no", ""}}, "yes");
  while (true) {
    interview.dialogue.say(Saying::prompt, prompt_of(question));
    const std::optional<std::string> line = interview.dialogue.read_line();
    interview.over = !line;
    if (!line) return false;
    const CheckedAnswer checked = check_answer(question, *line);
    if (checked.reason.empty()) return checked.answer == "yes";
    complain(interview.dialogue, checked.reason);
  }
}

/// Puts an axle's parts together and lets the builder look at them.
void settle_axle(Interview& interview, const Section& section) {
  interview.settled.insert(section.title);
  if (parts_of(interview.answers, section.axle) != section.axle) return;
  const AxleTrial trial = try_axle(interview.answers, section.axle);
  if (trial.objection) {
    if (!trial.picture.empty()) {
      interview.dialogue.say(Saying::text, "This is what the answers give:");
      interview.dialogue.say(Saying::picture, joined(trial.picture));
    }
    object(interview, *trial.objection);
    return;
  }
  interview.dialogue.say(Saying::text, "So it goes together, to scale:");
  interview.dialogue.say(Saying::picture, joined(trial.picture));
  if (says_yes(interview, "Does it look like yours") || interview.over) return;
  interview.dialogue.say(Saying::text, "Then once more: Enter keeps an answer.");
  for (const Question& question : section.questions) take_back(interview, question.key);
}

/// The next step: a question, or a look at what is answered. @returns whether there is nothing left to do
bool step(Interview& interview) {
  for (const Section& section : sections_of(interview.answers)) {
    if (const Question* question = first_open(section, interview.answers)) {
      ask_question(interview, section, *question);
      return false;
    }
    if (section.about == About::axle && !interview.settled.contains(section.title)) {
      settle_axle(interview, section);
      return false;
    }
  }
  const auto objection = try_machine(interview.answers);
  if (objection) object(interview, *objection);
  return !objection;
}

/// The answers so far, with what is usual for the questions of one section that are open.
Answers with_usual_answers(const Answers& answers, const Section& section) {
  Answers all = answers;
  for (const Question& question : section.questions) {
    if (all.contains(question.key)) continue;
    const CheckedAnswer usual = check_answer(question, "");
    if (usual.reason.empty()) all[question.key] = usual.answer;
  }
  return all;
}

std::vector<std::string> of_the_scale() {
  return {"       ___                          ___",
          "      /   \\                        /   \\",
          "     |  o  |                      |  o  |",
          "      \\___/                        \\___/",
          "   ===========                   =========",
          "   |  scale  |                   |  block |   exactly as high as the scale",
          "---+---------+-------------------+---------+----------"};
}

/// The first question of a section that a rule holds for.
template <typename Rule>
bool is_first(const Section& section, const Question& question, Rule rule) {
  const auto first = std::find_if(section.questions.begin(), section.questions.end(), rule);
  return first != section.questions.end() && first->key == question.key;
}

bool is_about_parts(const Section& section, const Question& question) {
  return question.unit == Unit::holes && question.key != section.axle + "_from_front" &&
         question.key != section.axle + "_above_front";
}

}  // namespace

std::optional<std::string> ask_one(const Dialogue& dialogue, const Question& question) {
  while (true) {
    Reply reply = ask(dialogue, question, "");
    if (reply.kind == Reply::Kind::ended) return std::nullopt;
    if (reply.kind == Reply::Kind::answer) return std::move(reply.answer);
    complain(dialogue, "there is no going back from here");
  }
}

std::optional<Answers> ask_all(const Dialogue& dialogue, const Answers& given) {
  Interview interview{dialogue, given, given, {}, {}, {}, "", false};
  dialogue.say(
      Saying::text,
      "One question after the other; Enter takes what stands in brackets. Type ? to be told more, < to go back one, "
      "Ctrl-C to stop: nothing is written before the end.");
  while (!step(interview)) {
    if (interview.over) return std::nullopt;
  }
  return std::move(interview.answers);
}

std::vector<std::string> picture_before(const Answers& answers, const Section& section, const Question& question) {
  switch (section.about) {
    case About::axle:
      if (!is_first(section, question, [&](const Question& each) { return is_about_parts(section, each); })) return {};
      return try_axle(with_usual_answers(answers, section), section.axle).picture;
    case About::weighing:
      if (!is_first(section, question, [](const Question& each) { return each.unit == Unit::grams; })) return {};
      return of_the_scale();
    case About::machine:
      break;
  }
  return {};
}

std::string caption_before(const Answers& answers, const Section& section) {
  if (section.about == About::weighing) {
    return "Put these wheels on the scale and all others on blocks exactly as high:";
  }
  const AxleForm& form = form_of(answers, section.axle);
  if (form.front_view)
    return "What the letters mean, seen from the front, its left wheel to your right (# bodies, % coils, . tyres):";
  if (!has_a_direction(form))
    return "What the letters mean, seen from the side with the nose to your right (# bodies, . tyres):";
  return "What the letters mean, seen from the side, the arm's wheel to your right (# bodies, : rods, % coils, . "
         "tyres):";
}

}  // namespace ridepitch
