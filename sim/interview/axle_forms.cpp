#include "interview/axle_forms.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "interview/sections.hpp"
#include "model/read.hpp"

namespace ridepitch {
namespace {

constexpr double most_holes = 200;
constexpr double any_hole = -most_holes;  // the least where a number may be negative
constexpr double least_leg = 0.5;         // holes are at least half a step apart

constexpr const char* along_then_up =
    "Count steps from hole to hole. Two numbers: along towards the wheel (minus: away from it), then up (minus: down).";
constexpr const char* count_steps = "Count the steps from hole to hole, not the holes: a beam of 9 holes has 8 steps.";
constexpr const char* along_or_up =
    "Count the steps from hole to hole along the arm, not the holes. A second number says how many it lies above the "
    "arm's line.";
constexpr const char* out_then_up = "Two numbers: outwards (minus: inwards), then up.";

Question holes(const char* key, const char* ask, int least_numbers, int most_numbers, double least, const char* usual,
               const char* more) {
  Question out = number_question(key, ask, Unit::holes, least, most_holes, usual, more);
  out.least_numbers = least_numbers;
  out.most_numbers = most_numbers;
  return out;
}

/// A question with what `?` tells of it.
Question told(Question question, const char* more) {
  question.more = more;
  return question;
}

const Question track_question = number_question(
    "track_mm", "Track: from the middle of the left tyre to the middle of the right one", Unit::mm, 40, 5000, "128",
    "Measured with a ruler on the table. The wider it is, the steadier the machine stands in a bend and "
    "on a slope.");  // 40: two narrow tyres side by side
const Question points_question = choice_question(
    "points", "From its pin on the frame, the arm points",
    {{"forward", "the wheel is ahead of the pin",
      "While the arm slopes down to its wheel, a bump moves the wheel up and forward, towards the bump: "
      "it rides a little harder. In front it makes the wheelbase longer, at the rear shorter."},
     {"back", "the wheel is behind the pin",
      "While the arm slopes down to its wheel, a bump moves the wheel up and back, out of its way: it "
      "rides a little softer. In front it makes the wheelbase shorter, at the rear longer."}},
    "forward");
const Question arm_axle =
    holes("arm_axle", "From P, the arm's pin, to X, the wheel's axle", 1, 2, any_hole, "8", along_or_up);

Question coil_on_arm(const char* usual) {
  return holes("arm_coil", "From P to C, the coil's hole on the arm", 1, 2, any_hole, usual, along_or_up);
}
Question seat(const char* usual) {
  return holes("seat", "From P to S, the coil's end on the frame: along, up", 2, 2, any_hole, usual, along_then_up);
}

const AxleForm arm = {
    .kind = "arm",
    .usual_coil = "coil-95-firm",
    .height_point = "arm's pin",
    .length_point = "arm's pin",
    .wheels = {"hub"},
    .letters = {{'P', "chassis.arm"}, {'X', "arm.axle"}, {'C', "arm.coil"}, {'S', "chassis.seat"}},
    .questions = {points_question, track_question, arm_axle, coil_on_arm("5"), seat("5 8")},
    .about = "An arm with its coil straight on it. u counts holes towards the wheel, v up, from the arm's pin.",
    .text = R"(chassis = { holes = { arm = [0, 0], seat = {seat} } } | seat
arm = { holes = { root = [0, 0], coil = {arm_coil}, axle = {arm_axle} }, near = { axle = {arm_axle} } } | arm_axle arm_coil
@pin chassis.arm arm.root arm pin | arm_axle
@coil main arm.coil chassis.seat | arm_coil seat
@wheel hub arm.axle)"};

const AxleForm arm_rocker = {
    .kind = "arm-rocker",
    .usual_coil = "coil-65-firm",
    .height_point = "arm's pin",
    .length_point = "arm's pin",
    .wheels = {"hub"},
    .letters = {{'P', "chassis.arm"},
                {'X', "arm.axle"},
                {'A', "arm.push"},
                {'B', "rocker.push"},
                {'R', "chassis.rocker"},
                {'C', "rocker.coil"},
                {'S', "chassis.seat"}},
    .questions =
        {points_question, track_question, arm_axle,
         holes("arm_rod", "From P to A, the rod's hole on the arm", 1, 2, any_hole, "5", along_or_up),
         holes("rod", "Length of the rod, from A to B", 1, 1, least_leg, "6", "From hole centre to hole centre."),
         holes("rocker_pin", "From P to R, the rocker's pin on the frame: along, up", 2, 2, any_hole, "2 6",
               along_then_up),
         holes("rocker_rod", "From R to B, the rod's hole on the rocker", 1, 1, least_leg, "3", count_steps),
         holes("rocker_coil", "With B level: from R to C, the coil's hole on the rocker: along, up", 2, 2, any_hole,
               "0 3",
               "Turn the rocker, in thought or in your hand, until the leg from R to B lies level and points "
               "towards the wheel; then count. A straight rocker with its coil on the far side has -3 0."),
         seat("-4 9"),
         told(choice_question("rocker_points", "With the machine standing, B lies, seen from R",
                              {{"wheel", "on the wheel's side"},
                               {"away", "on the other side"},
                               {"up", "above R"},
                               {"down", "below R"}},
                              "wheel"),
              "Arm, rod and rocker of these lengths go together in two ways; this says which of them yours is. Look "
              "at B from R while the machine stands on its wheels.")},
    .about =
        "An arm, a rod, a rocker and a coil. u counts holes towards the wheel, v up, from the arm's pin; on the "
        "rocker,\n"
        "# along the leg that the rod is on.",
    .text = R"(chassis = { holes = { arm = [0, 0], rocker = {rocker_pin}, seat = {seat} } } | rocker_pin seat
arm = { holes = { root = [0, 0], push = {arm_rod}, axle = {arm_axle} }, near = { axle = {arm_axle} } } | arm_axle arm_rod
rocker = { holes = { root = [0, 0], push = {rocker_rod}, coil = {rocker_coil} }, \
near = { push = {push_near}, coil = {coil_near} } } | rocker_rod rocker_coil rocker_points
@pin chassis.arm arm.root arm pin | arm_axle
@pin chassis.rocker rocker.root rocker pin | rocker_pin

[linkage.NAME.rod.pushrod] | rod arm_rod rocker_rod rocker_pin
from = "arm.push"
to = "rocker.push"
length = {rod_length} | rod arm_rod rocker_rod rocker_pin
@coil main rocker.coil chassis.seat | seat rocker_coil rocker_pin
@wheel hub arm.axle)"};

const Question beam_on = choice_question(
    "beam_on", "The walking beam turns on",
    {{"arm", "the end of a sprung arm",
      "The beam evens out the ground between its two wheels, and the arm's coil carries both of them. It "
      "takes more room along the frame, and rides softly."},
     {"frame", "a pin of the frame, without springs",
      "The beam evens out the ground between its two wheels, and nothing gives besides. It carries any "
      "load at the same height, and rides hard."}},
    "arm");

const AxleForm beam_on_arm = {
    .kind = "beam",
    .fork = "beam_on",
    .branch = "arm",
    .usual_coil = "coil-65-firm",
    .height_point = "arm's pin",
    .length_point = "arm's pin",
    .wheels = {"inner", "outer"},
    .letters = {{'P', "chassis.arm"}, {'T', "arm.trunnion"}, {'C', "arm.coil"}, {'S', "chassis.seat"}},
    .questions = {beam_on, points_question, track_question,
                  holes("arm_axle", "From P, the arm's pin, to T, the beam's pin on it", 1, 2, any_hole, "8",
                        along_or_up),
                  coil_on_arm("6"), seat("3 5"),
                  holes("beam_wheels", "On the beam, from T to the wheel towards P, and to the other one", 2, 2,
                        least_leg, "5 5", count_steps)},
    .about =
        "Two wheels on a walking beam that turns on the end of an arm. u counts holes away from the arm's pin, v up.",
    .text = R"(chassis = { holes = { arm = [0, 0], seat = {seat} } } | seat
arm = { holes = { root = [0, 0], coil = {arm_coil}, trunnion = {arm_axle} }, \
near = { trunnion = {arm_axle} } } | arm_axle arm_coil
beam = { holes = { middle = [0, 0], inner = {inner}, outer = {outer} }, \
near = { inner = {inner_near}, outer = {outer_near} } } | beam_wheels
@pin chassis.arm arm.root arm pin | arm_axle
@pin arm.trunnion beam.middle beam pin | arm_axle
@coil main arm.coil chassis.seat | arm_coil seat
@wheel inner beam.inner
@wheel outer beam.outer)"};

const AxleForm beam_on_frame = {
    .kind = "beam",
    .fork = "beam_on",
    .branch = "frame",
    .height_point = "beam's pin",
    .length_point = "beam's pin",
    .wheels = {"fore", "aft"},
    .letters = {{'T', "chassis.beam"}},
    .questions = {beam_on, track_question,
                  holes("beam_wheels", "On the beam, from T, its pin, to the front wheel, and to the rear one", 2, 2,
                        least_leg, "5 5", count_steps)},
    .about = "Two wheels on a walking beam that turns on a pin of the frame. u counts holes forward, v up.",
    .text = R"(chassis = { holes = { beam = [0, 0] } }
beam = { holes = { middle = [0, 0], fore = {fore}, aft = {aft} }, near = { fore = {fore}, aft = {aft} } } | beam_wheels
@pin chassis.beam beam.middle beam pin | beam_wheels
@wheel fore beam.fore
@wheel aft beam.aft)"};

const AxleForm wishbones = {
    .kind = "wishbones",
    .front_view = true,
    .usual_coil = "coil-65-firm",
    .height_point = "lower pins",
    .length_point = "axle",
    .wheels = {"hub"},
    .letters = {{'P', "chassis.low"},
                {'Q', "chassis.high"},
                {'D', "lower.ball"},
                {'U', "upper.ball"},
                {'X', "upright.hub"},
                {'C', "lower.coil"},
                {'S', "chassis.seat"}},
    .questions =
        {holes("pins_apart", "From the left lower wishbone's pin to the right one's, across the frame", 1, 1, 0, "10",
               count_steps),
         holes("lower", "Lower wishbone: from P, its pin, to D, its outer end", 1, 1, least_leg, "7", count_steps),
         holes("upper_pin", "From P to Q, the upper wishbone's pin: outwards, up", 2, 2, any_hole, "1 4", out_then_up),
         holes("upper", "Upper wishbone: from Q to U, its outer end", 1, 1, least_leg, "5", count_steps),
         holes("upright_top", "The upright: from D to U: outwards, up", 2, 2, any_hole, "-1 4",
               "Hold the upright straight, as when the wheel stands upright. Two numbers: outwards (minus: "
               "inwards), then up."),
         holes("hub", "The upright: from D to X, the middle of the wheel: outwards, up", 2, 2, any_hole, "2 1",
               "To the middle of the tyre's width. Two numbers: outwards, then up."),
         holes("arm_coil", "From P to C, the coil's hole on the lower wishbone", 1, 2, any_hole, "4",
               "Count along the wishbone. A second number says how many C lies above its line."),
         holes("seat", "From P to S, the coil's end on the frame: outwards, up", 2, 2, any_hole, "2 5", out_then_up)},
    .about =
        "Double wishbones, seen from the front, left side. u counts holes outwards, v up, from the lower wishbone's\n"
        "# pin; on the upright from its lower end.",
    .text = R"(chassis = { holes = { low = [0, 0], high = {upper_pin}, seat = {seat} } } | upper_pin seat
lower = { holes = { root = [0, 0], coil = {arm_coil}, ball = {lower} }, near = { ball = {lower} } } | lower arm_coil
upper = { holes = { root = [0, 0], ball = {upper} }, near = { ball = {upper_near} } } | upper
upright = { holes = { low = [0, 0], high = {upright_top}, hub = {hub} }, \
near = { high = {high_near}, hub = {hub_near} } } | upright_top hub
@pin chassis.low lower.root lower pin | lower upper_pin upper upright_top
@pin chassis.high upper.root upper pin | lower upper_pin upper upright_top
@pin lower.ball upright.low lower end | lower upper_pin upper upright_top
@pin upper.ball upright.high upper end | lower upper_pin upper upright_top
@coil main lower.coil chassis.seat | arm_coil seat
@wheel hub upright.hub)"};

const Question held = choice_question(
    "held", "The axle",
    {{"coils", "rises and rocks between two coils, guided by links",
      "Both wheels are sprung, and the axle helps to hold the machine upright. The farther out the coils sit, the less "
      "the machine rolls."},
     {"pivot", "only rocks, on a pin of the frame",
      "Its wheels follow the ground and always carry the same load, left and right. Nothing springs, and it does not "
      "hold "
      "the machine upright: the other wheels must."}},
    "coils");

const AxleForm axle_between_coils = {
    .kind = "live-axle",
    .fork = "held",
    .branch = "coils",
    .front_view = true,
    .across = true,
    .usual_coil = "coil-65-medium",
    .height_point = "coils' upper ends",
    .length_point = "axle",
    .wheels = {"left", "right"},
    .letters = {{'M', "axle.middle"}, {'C', "axle.coil-left"}, {'S', "chassis.seat-left"}},
    .questions = {held, track_question,
                  holes("arm_coil", "From M, the axle's middle, to C, the coil's hole on the axle", 1, 2, any_hole, "5",
                        "On one side; the other one is the same. A second number says how many C lies above the line "
                        "through the hubs."),
                  holes("seat_out", "From the machine's middle line out to S, the coil's end on the frame", 1, 1, 0,
                        "5", "On one side; the other one is the same.")},
    .about =
        "An axle between two coils, guided at its middle, seen from the front. u counts holes to the left, v up,\n"
        "# from the middle between the coils' ends on the frame.",
    .text = R"(chassis = { holes = { guide = [0, 0], seat-left = {seat_out}, seat-right = {seat_right} } } | seat_out

[linkage.NAME.body.axle] | track_mm arm_coil
holes = { middle = [0, 0], left = {left}, right = {right}, coil-left = {arm_coil}, coil-right = {coil_right} } \
| track_mm arm_coil
near = { left = {left_near}, right = {right_near} } | track_mm

[linkage.NAME.slide.guide] | held
hole = "axle.middle"
through = "chassis.guide"
along = [0, 1]
turns = true
@coil left axle.coil-left chassis.seat-left | arm_coil seat_out
@coil right axle.coil-right chassis.seat-right | arm_coil seat_out
@wheel left axle.left
@wheel right axle.right)"};

const AxleForm axle_on_pivot = {
    .kind = "live-axle",
    .fork = "held",
    .branch = "pivot",
    .front_view = true,
    .across = true,
    .height_point = "axle's pivot",
    .length_point = "axle",
    .wheels = {"left", "right"},
    .letters = {{'M', "chassis.pivot"}},
    .questions = {held, track_question,
                  holes("pivot_up", "From the line through the hubs up to M, the pivot", 1, 1, any_hole, "0",
                        "Minus: the pivot lies below that line.")},
    .about = "An axle that rocks on a pin of the frame, seen from the front. u counts holes to the left, v up.",
    .text = R"(chassis = { holes = { pivot = [0, 0] } }
axle = { holes = { middle = [0, 0], left = {left_low}, right = {right_low} }, \
near = { left = {left_low}, right = {right_low} } } | track_mm pivot_up
@pin chassis.pivot axle.middle axle pivot | pivot_up
@wheel left axle.left
@wheel right axle.right)"};

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

const std::vector<AxleForm>& axle_forms() {
  static const std::vector<AxleForm> forms = {arm,       arm_rocker,         beam_on_arm,  beam_on_frame,
                                              wishbones, axle_between_coils, axle_on_pivot};
  return forms;
}

const AxleForm& form_of(const Answers& answers, const std::string& axle) {
  const std::string parts = parts_of(answers, axle), kind = word_of(answers, parts + "_kind");
  const AxleForm* found = &axle_forms().front();
  for (const AxleForm& form : axle_forms()) {
    if (form.kind != kind) continue;
    // Of two forms of a kind the first one is meant unless the answer says otherwise.
    if (found->kind != kind || word_of(answers, parts + "_" + form.fork) == form.branch) found = &form;
  }
  return *found;
}

bool has_coils(const AxleForm& form) { return !form.usual_coil.empty(); }

bool asks(const AxleForm& form, std::string_view key) {
  return std::any_of(form.questions.begin(), form.questions.end(),
                     [&](const Question& question) { return question.key == key; });
}

bool has_a_direction(const AxleForm& form) { return asks(form, points_question.key); }

int wheels_of(const AxleForm& form) { return static_cast<int>(form.wheels.size()) * (form.across ? 1 : 2); }

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
