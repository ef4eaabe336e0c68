#include "interview/sections.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "interview/axle_questions.hpp"

namespace ridepitch {
namespace {

Question numbers(std::string key, std::string ask, Unit unit, double least, double most, std::string usual,
                 std::string more = "") {
  Question out;
  out.key = std::move(key);
  out.ask = std::move(ask);
  out.more = std::move(more);
  out.unit = unit;
  out.least = least;
  out.most = most;
  out.usual = std::move(usual);
  return out;
}

Section about_the_machine() {
  Question name;
  name.key = "name";
  name.ask = "What is the machine called";
  name.form = Form::text;
  name.usual = "My machine";

  Question axles = numbers("axles", "How many axles has it", Unit::none, 2, 3, "2",
                           "Two or three. Two wheels a side on a walking beam count as one axle.");
  axles.whole = true;

  Question pitch =
      numbers("hole_pitch_mm", "From one hole of a beam to the next", Unit::mm, 1, 100, "8",
              "8 mm with the usual plastic beams. From here on lengths count in holes: in steps from one hole to "
              "the next.");
  return {"The machine", About::machine, "", {name, axles, pitch}};
}

Question kind_question(const std::string& axle) {
  Question kind;
  kind.key = axle + "_kind";
  kind.ask = fmt::format("What carries the {} wheels", axle);
  kind.form = Form::choice;
  if (axle != "front") kind.choices.push_back({"same", "the same parts as in front"});
  kind.choices.insert(kind.choices.end(), axle_kinds().begin(), axle_kinds().end());
  kind.usual = axle == "front" ? "arm" : "same";
  return kind;
}

/// Where an axle behind the front one sits on the frame.
void add_place(std::vector<Question>& questions, const Answers& answers, const std::string& axle) {
  const std::string here = length_point(answers, axle), front = length_point(answers, "front");
  const bool last = axle == "rear";
  questions.push_back(numbers(
      axle + "_from_front", fmt::format("From the front {} back to the {} {}", front, axle, here), Unit::holes, 1, 400,
      last && axle_names(answers).size() == 3 ? "32" : "20", "Count the steps along the frame, from hole to hole."));
  questions.back().least_excluded = false;
  questions.push_back(numbers(axle + "_above_front",
                              fmt::format("The {} {}: how far above the front {}", axle, height_point(answers, axle),
                                          height_point(answers, "front")),
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
  const bool same = parts_of(answers, axle) != axle;
  std::vector<Question> parts;
  if (!same) {
    parts = questions_about_parts(answers, axle);
    if (axle != "front" && word_of(answers, axle + "_kind") == word_of(answers, "front_kind")) {
      take_over_from_front(parts, answers, axle);
    }
  } else if (has_a_direction(answers, axle)) {
    for (Question& question : questions_about_parts(answers, axle)) {
      if (question.key == axle + "_points") parts.push_back(std::move(question));
    }
  }
  if (axle != "front") add_place(section.questions, answers, axle);
  section.questions.insert(section.questions.end(), parts.begin(), parts.end());
  return section;
}

// ---------------------------------------------------------------------------------- weighing

std::string usual_reading(const Answers& answers, const std::string& axle) {
  return wheels_of_axle(answers, axle) == 4 ? "1600" : "1300";
}

void add_weights(std::vector<Question>& questions, const Answers& answers) {
  for (const std::string& axle : axle_names(answers)) {
    Question scale =
        numbers(axle + "_scale_g",
                fmt::format("What the scale reads under {} {} wheels",
                            wheels_of_axle(answers, axle) == 4 ? "all four" : "both", axle),
                Unit::grams, 1, 100000, usual_reading(answers, axle),
                "The scale under these wheels, blocks exactly as high under all others. Two numbers, left and "
                "right, where you weigh the sides apart: then do so at every axle.");
    scale.most_numbers = 2;
    questions.push_back(scale);
  }
}

/// A box that everything fits into, roughly: longer than the frame between the axles, as wide as the track.
std::string usual_body(const Answers& answers) {
  const double pitch_mm = number_of(answers, "hole_pitch_mm").value_or(8);
  const double between = number_of(answers, "rear_from_front").value_or(20) * pitch_mm;
  const auto tens = [](double x) { return 10 * std::round(x / 10); };
  return fmt::format("{} {} {}", tens(1.8 * between), tens(0.8 * between), tens(0.6 * between));
}

Section about_weight(const Answers& answers) {
  Section section{"Weights and heights", About::weighing, "", {}};
  std::vector<Question>& questions = section.questions;
  const std::string front = height_point(answers, "front");
  add_weights(questions, answers);
  questions.push_back(numbers("weight_above",
                              fmt::format("The middle of the weight above the front {}, roughly", front), Unit::holes,
                              -100, 200, "2", "A guess is enough: it matters little while the machine stands level."));
  Question body = numbers("body_mm", "Length, width and height of a box around the body, roughly", Unit::mm, 1, 10000,
                          usual_body(answers), "For how fast it nods and sways. '-' leaves that out.");
  body.least_numbers = body.most_numbers = 3;
  body.may_be_left_out = true;
  questions.push_back(body);
  Question belly =
      numbers("belly_below", fmt::format("How far the frame's lowest point is below the front {}", front), Unit::holes,
              -100, 100, "3", "Its height above the ground is worked out. '-' leaves it out.");
  belly.may_be_left_out = true;
  questions.push_back(belly);
  for (const std::string& axle : axle_names(answers)) {
    Question ruler = numbers(axle + "_ruler_mm",
                             fmt::format("Ruler, from the table up to the {} {}", axle, height_point(answers, axle)),
                             Unit::mm, 0, 2000, "", "To compare with what is worked out; Enter leaves it out.");
    ruler.may_be_left_out = true;
    questions.push_back(ruler);
  }
  Question base =
      numbers("wheelbase_mm", "Ruler, from the front wheel's middle to the rear wheel's", Unit::mm, 1, 10000, "",
              "To compare with what is worked out; Enter leaves it out. On a walking beam, to the beam's pin.");
  base.may_be_left_out = true;
  questions.push_back(base);
  return section;
}

const std::vector<std::string>& all_axle_names() {
  static const std::vector<std::string> names = {"front", "middle", "rear"};
  return names;
}

}  // namespace

const std::vector<Choice>& axle_kinds() {
  static const std::vector<Choice> kinds = {
      {"arm", "an arm each, with its coil straight on it"},
      {"arm-rocker", "an arm each, with a rod, a rocker and the coil on the rocker"},
      {"beam", "two wheels a side on a walking beam"},
      {"wishbones", "double wishbones with a coil on the lower one"},
      {"live-axle", "one axle across, between two coils or on a pivot"},
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

AxleKind kind_of_axle(const Answers& answers, const std::string& axle) {
  const std::string kind = word_of(answers, parts_of(answers, axle) + "_kind");
  for (std::size_t i = 0; i < axle_kinds().size(); ++i) {
    if (axle_kinds()[i].name == kind) return static_cast<AxleKind>(i);
  }
  return AxleKind::arm;
}

int wheels_of_axle(const Answers& answers, const std::string& axle) {
  return kind_of_axle(answers, axle) == AxleKind::beam ? 4 : 2;
}

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
