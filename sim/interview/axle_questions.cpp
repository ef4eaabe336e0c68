#include "interview/axle_questions.hpp"

#include <fmt/format.h>

#include <cmath>

#include "interview/axle_forms.hpp"
#include "model/read.hpp"

namespace ridepitch {
namespace {

constexpr double most_coil_mm = 1000, most_coil_g = 20000;
constexpr double most_wheel_g = 5000;
constexpr double usual_tyre_mm = 69;

// The questions below are data: their keys are without the axle's name before them.

Question coil_question(const AxleForm& form) {
  Question out{.key = "coil", .ask = "The coil from C to S: its name in the catalogue, or 'own'"};
  out.more =
      "The name tells the length: coil-65-firm is 6.5 holes long when nothing pushes it. 'own' asks for the data of "
      "yours.";
  out.form = Form::coil;
  out.usual = form.usual_coil;
  return out;
}

const std::vector<Question> own_coil = {
    number_question("coil_free_mm", "Your coil's length with nothing pushing it, hole centre to hole centre", Unit::mm,
                    5, most_coil_mm, "52"),
    number_question("coil_solid_mm", "Its length pressed together until it goes no further", Unit::mm, 1, most_coil_mm,
                    "36"),
    number_question("coil_start_g", "Pressed onto a kitchen scale: what it reads when the coil just begins to move",
                    Unit::grams, 0, most_coil_g, "0",
                    "A captive coil needs a little before it moves at all. 0 if it gives at once."),
    number_question("coil_solid_g", "And just before it goes solid", Unit::grams, 0, most_coil_g, "1000",
                    "Slowly, and read before the coils touch. Press from above and from below once each and take the "
                    "middle: friction shows more in one direction and less in the other.")};

Question coils_question(const AxleForm& form) {
  Question out = number_question("coils", "How many such coils ", Unit::none, 1, 8, "2");
  if (form.across) out.ask += "on each side";
  if (!form.across) out.ask += form.wheels.size() > 1 ? "side by side, for each arm" : "side by side, for each wheel";
  out.whole = true;
  return out;
}

Question tyre_question() {
  Question out = number_question("tyre", "The tyre: its diameter in mm, or its name in the catalogue", Unit::mm, 5, 500,
                                 "tyre-69", "Measure across, under no load.");
  out.form = Form::tyre;
  return out;
}

/// What the built-in tyre weighs whose diameter is nearest.
double usual_tyre_g(double diameter_mm) {
  const Tyre* best = nullptr;
  for (const auto& [name, part] : built_in_parts()) {
    const auto* tyre = std::get_if<Tyre>(&part.data);
    if (tyre && (!best || std::abs(tyre->diameter_mm - diameter_mm) < std::abs(best->diameter_mm - diameter_mm)))
      best = tyre;
  }
  return best->mass_g;
}

Question tyre_weight(double diameter_mm) {
  return number_question("tyre_g", "What one such tyre weighs, with its rim", Unit::grams, 0, most_wheel_g,
                         fmt::format("{}", usual_tyre_g(diameter_mm)));
}

const Question wheel_weight = number_question(
    "wheel_g", "What moves with one wheel besides the tyre weighs: arm, hub, half the rod", Unit::grams, 0,
    most_wheel_g, "30",
    "It stands on the ground by itself and does not press the spring. A guess does: 2 g for each hole of beam, 6 g for "
    "a hub.");

/// All that can be asked about a form.
std::vector<Question> all_questions(const AxleForm& form) {
  std::vector<Question> out = form.questions;
  if (has_coils(form)) {
    out.push_back(coil_question(form));
    out.insert(out.end(), own_coil.begin(), own_coil.end());
    out.push_back(coils_question(form));
  }
  out.insert(out.end(), {tyre_question(), tyre_weight(usual_tyre_mm), wheel_weight});
  return out;
}

}  // namespace

std::vector<Question> questions_about_parts(const Answers& answers, const std::string& axle) {
  const bool own = word_of(answers, axle + "_coil") == "own";
  const std::optional<double> diameter_mm = number_of(answers, axle + "_tyre");
  std::vector<Question> out;
  for (Question& question : all_questions(form_of(answers, axle))) {
    if (question.key.starts_with("coil_") && !own) continue;
    if (question.key == "tyre_g" && !diameter_mm) continue;
    if (question.key == "tyre_g") question = tyre_weight(*diameter_mm);
    if (question.key == "points" && axle != "front")
      question.usual = "back";  // front ones mostly lead, rear ones trail
    question.key = axle + "_" + question.key;
    out.push_back(std::move(question));
  }
  return out;
}

std::vector<std::string> all_part_keys() {
  std::vector<std::string> keys;
  for (const AxleForm& form : axle_forms())
    for (const Question& question : all_questions(form)) keys.push_back(question.key);
  return keys;
}

}  // namespace ridepitch
