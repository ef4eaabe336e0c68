#include "interview/pictures.hpp"

#include <algorithm>

#include "interview/axle_forms.hpp"
#include "interview/trial.hpp"

namespace ridepitch {
namespace {

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
