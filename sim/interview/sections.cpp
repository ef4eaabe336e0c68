#include "interview/sections.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "interview/axle_forms.hpp"

namespace ridepitch {
namespace {

constexpr double usual_wheelbase_holes = 20, usual_long_wheelbase_holes = 32;
constexpr double most_steps = 400;  // along a frame
constexpr double most_mm = 10000;   // of a machine
constexpr double most_grams = 100000;

Question optional_question(Question question) {
  question.may_be_left_out = true;
  return question;
}

Section about_the_machine() {
  Question name{.key = "name", .ask = "What is the machine called"};
  name.form = Form::text;
  name.usual = "My machine";
  Question axles = number_question("axles", "How many axles has it", Unit::none, 2, 3, "2",
                                   "Two or three. Two wheels a side on a walking beam count as one axle.");
  axles.whole = true;
  return {"The machine",
          About::machine,
          "",
          {name, axles,
           number_question("hole_pitch_mm", "From one hole of a beam to the next", Unit::mm, 1, 100, "8",
                           "8 mm with the usual plastic beams. From here on lengths count in holes: in steps from one "
                           "hole to the next.")}};
}

Question kind_question(const std::string& axle) {
  std::vector<Choice> kinds = axle_kinds();
  if (axle != "front")
    kinds.insert(
        kinds.begin(),
        {"same", "the same parts as in front",
         "All lengths, coils and tyres are taken over from the front: one answer changes both. Only their place "
         "on the frame, which way arms point, and the weight are asked."});
  return choice_question(axle + "_kind", fmt::format("What carries the {} wheels", axle), std::move(kinds),
                         axle == "front" ? "arm" : "same");
}

/// Where an axle behind the front one sits on the frame.
void add_place(std::vector<Question>& questions, const Answers& answers, const std::string& axle) {
  const AxleForm &here = form_of(answers, axle), &front = form_of(answers, "front");
  const bool last_of_three = axle == "rear" && axle_names(answers).size() == 3;
  questions.push_back(number_question(
      axle + "_from_front",
      fmt::format("From the front {} back to the {} {}", front.length_point, axle, here.length_point), Unit::holes, 1,
      most_steps, fmt::format("{}", last_of_three ? usual_long_wheelbase_holes : usual_wheelbase_holes),
      "Count the steps along the frame, from hole to hole."));
  questions.push_back(
      number_question(axle + "_above_front",
                      fmt::format("The {} {}: how far above the front {}", axle, here.height_point, front.height_point),
                      Unit::holes, -100, 100, "0", "0: in the same row of holes. Minus: lower."));
}

/// The answers about the parts of an axle of the same kind are what is usual for the next one.
void take_over_from_front(std::vector<Question>& questions, const Answers& answers, const std::string& axle) {
  for (Question& question : questions) {
    const std::string end = question.key.substr(axle.size());
    if (end == "_points") continue;  // front ones mostly lead, rear ones trail
    if (const std::string front = word_of(answers, "front" + end); !front.empty()) question.usual = front;
  }
}

Section about_axle(const Answers& answers, const std::string& axle) {
  std::string title = axle + " wheels";
  title[0] = static_cast<char>(title[0] - 'a' + 'A');
  Section section{title, About::axle, axle, {kind_question(axle)}};
  if (!answers.contains(axle + "_kind")) return section;
  std::vector<Question> parts = questions_about_parts(answers, axle);
  if (parts_of(answers, axle) != axle) {  // which way they point may differ from the front
    std::erase_if(parts, [&](const Question& question) { return question.key != axle + "_points"; });
  } else if (axle != "front" && word_of(answers, axle + "_kind") == word_of(answers, "front_kind")) {
    take_over_from_front(parts, answers, axle);
  }
  if (axle != "front") add_place(section.questions, answers, axle);
  section.questions.insert(section.questions.end(), parts.begin(), parts.end());
  return section;
}

// ---------------------------------------------------------------------------------- weighing

Question scale_question(const Answers& answers, const std::string& axle) {
  const bool four = wheels_of(form_of(answers, axle)) == 4;
  Question out = number_question(
      axle + "_scale_g", fmt::format("What the scale reads under {} {} wheels", four ? "all four" : "both", axle),
      Unit::grams, 1, most_grams, four ? "1600" : "1300",
      "The scale under these wheels, blocks exactly as high under all others. Two numbers, left and right, where you "
      "weigh the sides apart: then do so at every axle.");
  out.most_numbers = 2;
  return out;
}

/// A box that everything fits into, roughly: longer than the frame between the axles, as wide as the track.
std::string usual_body(const Answers& answers) {
  const double between_mm =
      number_of(answers, "rear_from_front").value_or(usual_wheelbase_holes) * module_mm_of(answers);
  const auto tens = [](double x) { return 10 * std::round(x / 10); };
  return fmt::format("{} {} {}", tens(1.8 * between_mm), tens(0.8 * between_mm), tens(0.6 * between_mm));
}

Section about_weight(const Answers& answers) {
  const std::string& front = form_of(answers, "front").height_point;
  const std::vector<std::string> axles = axle_names(answers);
  Section section{"Weights and heights", About::weighing, "", {}};
  std::vector<Question>& questions = section.questions;
  for (const std::string& axle : axles) questions.push_back(scale_question(answers, axle));
  questions.push_back(number_question(
      "weight_above", fmt::format("The middle of the weight above the front {}, roughly", front), Unit::holes, -100,
      200, "2", "A guess is enough: it matters little while the machine stands level."));
  questions.push_back(optional_question(
      number_question("body_mm", "Length, width and height of a box around the body, roughly", Unit::mm, 1, most_mm,
                      usual_body(answers),
                      "Three lengths, as in 460 x 150 x 120. For how fast it nods and sways; '-' leaves that out.")));
  questions.back().least_numbers = questions.back().most_numbers = 3;
  questions.push_back(optional_question(
      number_question("belly_below", fmt::format("How far the frame's lowest point is below the front {}", front),
                      Unit::holes, -100, 100, "3", "Its height above the ground is worked out. '-' leaves it out.")));
  for (const std::string& axle : axles)
    questions.push_back(optional_question(
        number_question(axle + "_ruler_mm",
                        fmt::format("Ruler, from the table up to the {} {}", axle, form_of(answers, axle).height_point),
                        Unit::mm, 0, 2000, "", "To compare with what is worked out; Enter leaves it out.")));
  questions.push_back(optional_question(number_question(
      "wheelbase_mm", "Ruler, from the front wheel's middle to the rear wheel's", Unit::mm, 1, most_mm, "",
      "To compare with what is worked out; Enter leaves it out. On a walking beam, to the beam's pin.")));
  return section;
}

const std::vector<std::string>& all_axle_names() {
  static const std::vector<std::string> names = {"front", "middle", "rear"};
  return names;
}

}  // namespace

const std::vector<Choice>& axle_kinds() {
  static const std::vector<Choice> kinds = {
      {"arm", "an arm each, with its coil straight on it",
       "Few parts, and light. The wheel swings about the arm's pin, so that the wheelbase changes a little over the "
       "travel. The nearer to that pin the coil sits on the arm, the softer the wheel is."},
      {"arm-rocker", "an arm each, with a rod, a rocker and the coil on the rocker",
       "The rod turns a rocker, and the rocker presses the coil, which can lie where there is room. The rocker's two "
       "legs set how far the coil gives for each mm of the wheel, and whether that grows over the travel. There are "
       "more pins, each with its play."},
      {"beam", "two wheels a side on a walking beam",
       "Both wheels of a side stay on the ground however rough it is, and share the load as their distances from the "
       "beam's pin say. With equal legs a stone under one of them lifts the pin by half its height. The beam "
       "itself has no spring; the arm that it turns on may have one."},
      {"wishbones", "double wishbones with a coil on the lower one",
       "Two arms, one above the other, hold the upright that the wheel turns on, so that it can be steered. Each wheel "
       "moves by itself. Lengths and pins of the two set how far the wheel leans and moves sideways over the travel."},
      {"live-axle", "one axle across, between two coils or on a pivot",
       "Strong and simple, but what lifts one wheel tilts the other one with it. The whole axle moves with its wheels "
       "and weighs on the ground, not on the coils. On a pivot it has no springs, and the other wheels alone hold the "
       "machine upright."},
  };
  return kinds;
}

std::vector<std::string> axle_names(const Answers& answers) {
  if (number_of(answers, "axles").value_or(2) < 3) return {"front", "rear"};
  return all_axle_names();
}

std::string parts_of(const Answers& answers, const std::string& axle) {
  return word_of(answers, axle + "_kind") == "same" ? "front" : axle;
}

double module_mm_of(const Answers& answers) { return number_of(answers, "hole_pitch_mm").value_or(usual_module_mm); }

std::vector<Section> sections_of(const Answers& answers) {
  std::vector<Section> sections = {about_the_machine()};
  for (const std::string& axle : axle_names(answers)) sections.push_back(about_axle(answers, axle));
  sections.push_back(about_weight(answers));
  return sections;
}

bool is_key_of_some_machine(std::string_view key) {
  std::vector<std::string> ends = all_part_keys();
  for (const char* end : {"kind", "from_front", "above_front", "scale_g", "ruler_mm"}) ends.emplace_back(end);
  for (const std::string& axle : all_axle_names()) {
    if (!key.starts_with(axle + "_")) continue;
    return std::find(ends.begin(), ends.end(), key.substr(axle.size() + 1)) != ends.end();
  }
  return false;
}

}  // namespace ridepitch
