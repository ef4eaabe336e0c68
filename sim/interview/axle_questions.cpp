#include "interview/axle_questions.hpp"

#include <fmt/format.h>

#include <cmath>

#include "model/read.hpp"

namespace ridepitch {
namespace {

/// A question of a table: what all of its kind have in common is left out.
struct Asked {
  const char* key;
  const char* ask;
  int least_numbers, most_numbers;
  double least;  ///< of each number; the same for negative ones is allowed where it is under 0
  const char* usual;
  const char* more;
};

constexpr double most_holes = 200;
constexpr double least_pair = -most_holes;

constexpr const char* along_then_up =
    "Count steps from hole to hole. Two numbers: along towards the wheel (minus: away from "
    "it), then up (minus: down).";
constexpr const char* steps = "Count the steps from hole to hole, not the holes: a beam of 9 holes has 8 steps.";
constexpr const char* along_or_up =
    "Count the steps from hole to hole along the arm, not the holes. A second number says how "
    "many it lies above the arm's line.";

constexpr Asked arm[] = {
    {"arm_axle", "From P, the arm's pin, to X, the wheel's axle", 1, 2, least_pair, "8", along_or_up},
    {"arm_coil", "From P to C, the coil's hole on the arm", 1, 2, least_pair, "5", along_or_up},
    {"seat", "From P to S, the coil's end on the frame: along, up", 2, 2, least_pair, "5 8", along_then_up},
};

constexpr Asked arm_rocker[] = {
    {"arm_axle", "From P, the arm's pin, to X, the wheel's axle", 1, 2, least_pair, "8", along_or_up},
    {"arm_rod", "From P to A, the rod's hole on the arm", 1, 2, least_pair, "5", along_or_up},
    {"rod", "Length of the rod, from A to B", 1, 1, 0.5, "6", "From hole centre to hole centre."},
    {"rocker_pin", "From P to R, the rocker's pin on the frame: along, up", 2, 2, least_pair, "2 6", along_then_up},
    {"rocker_rod", "From R to B, the rod's hole on the rocker", 1, 1, 0.5, "3", steps},
    {"rocker_coil", "With B level: from R to C, the coil's hole on the rocker: along, up", 2, 2, least_pair, "0 3",
     "Turn the rocker, in thought or in your hand, until the leg from R to B lies level and points towards the wheel; "
     "then count. A straight rocker with its coil on the far side has -3 0."},
    {"seat", "From P to S, the coil's end on the frame: along, up", 2, 2, least_pair, "-4 9", along_then_up},
};

constexpr Asked beam[] = {
    {"arm_axle", "From P, the arm's pin, to T, the beam's pin on it", 1, 2, least_pair, "8", along_or_up},
    {"arm_coil", "From P to C, the coil's hole on the arm", 1, 2, least_pair, "6", along_or_up},
    {"seat", "From P to S, the coil's end on the frame: along, up", 2, 2, least_pair, "3 5", along_then_up},
};

constexpr Asked beam_wheels = {
    "beam_wheels", "On the beam, from T to the wheel towards P, and to the other one", 2, 2, 0.5, "5 5", steps};
constexpr Asked beam_wheels_on_frame = {
    "beam_wheels", "On the beam, from T, its pin, to the front wheel, and to the rear one", 2, 2, 0.5, "5 5", steps};

constexpr Asked wishbones[] = {
    {"pins_apart", "From the left lower wishbone's pin to the right one's, across the frame", 1, 1, 0, "10", steps},
    {"lower", "Lower wishbone: from P, its pin, to D, its outer end", 1, 1, 0.5, "7", steps},
    {"upper_pin", "From P to Q, the upper wishbone's pin: outwards, up", 2, 2, least_pair, "1 4",
     "Two numbers: outwards (minus: inwards), then up."},
    {"upper", "Upper wishbone: from Q to U, its outer end", 1, 1, 0.5, "5", steps},
    {"upright_top", "The upright: from D to U: outwards, up", 2, 2, least_pair, "-1 4",
     "Hold the upright straight, as when the wheel stands upright. Two numbers: outwards (minus: inwards), then up."},
    {"hub", "The upright: from D to X, the middle of the wheel: outwards, up", 2, 2, least_pair, "2 1",
     "To the middle of the tyre's width. Two numbers: outwards, then up."},
    {"arm_coil", "From P to C, the coil's hole on the lower wishbone", 1, 2, least_pair, "4",
     "Count along the wishbone. A second number says how many C lies above its line."},
    {"seat", "From P to S, the coil's end on the frame: outwards, up", 2, 2, least_pair, "2 5",
     "Two numbers: outwards (minus: inwards), then up."},
};

constexpr Asked axle_between_coils[] = {
    {"arm_coil", "From M, the axle's middle, to C, the coil's hole on the axle", 1, 2, least_pair, "5",
     "On one side; the other one is the same. A second number says how many C lies above the line through the hubs."},
    {"seat_out", "From the machine's middle line out to S, the coil's end on the frame", 1, 1, 0, "5",
     "On one side; the other one is the same."},
};

constexpr Asked axle_on_pivot[] = {
    {"pivot_up", "From the line through the hubs up to M, the pivot", 1, 1, least_pair, "0",
     "Minus: the pivot lies below that line."},
};

Question question(const std::string& axle, const Asked& asked) {
  Question out;
  out.key = axle + "_" + asked.key;
  out.ask = asked.ask;
  out.more = asked.more;
  out.unit = Unit::holes;
  out.least_numbers = asked.least_numbers;
  out.most_numbers = asked.most_numbers;
  out.least = asked.least;
  out.most = most_holes;
  out.usual = asked.usual;
  return out;
}

template <std::size_t count>
void add(std::vector<Question>& questions, const std::string& axle, const Asked (&asked)[count]) {
  for (const Asked& each : asked) questions.push_back(question(axle, each));
}

// ----------------------------------------------------------------------------- what all kinds have

Question track(const std::string& axle) {
  Question out;
  out.key = axle + "_track_mm";
  out.ask = "Track: from the middle of the left tyre to the middle of the right one";
  out.unit = Unit::mm;
  out.least = 40;  // two narrow tyres side by side
  out.most = 5000;
  out.usual = "128";
  return out;
}

Question directed(const std::string& axle) {
  Question out;
  out.key = axle + "_points";
  out.form = Form::choice;
  out.ask = "From its pin on the frame, the arm points";
  out.choices = {{"forward", "the wheel is ahead of the pin"}, {"back", "the wheel is behind the pin"}};
  out.usual = axle == "front" ? "forward" : "back";
  return out;
}

/// What usually suits a kind of linkage.
std::string usual_coil(AxleKind kind) {
  switch (kind) {
    case AxleKind::arm:
      return "coil-95-firm";
    case AxleKind::live_axle:
      return "coil-65-medium";
    case AxleKind::arm_rocker:
    case AxleKind::beam:
    case AxleKind::wishbones:
      break;
  }
  return "coil-65-firm";
}

void add_coil(std::vector<Question>& questions, const Answers& answers, const std::string& axle, AxleKind kind) {
  Question coil;
  coil.key = axle + "_coil";
  coil.form = Form::coil;
  coil.ask = "The coil from C to S: its name in the catalogue, or 'own'";
  coil.more =
      "The name tells the length: coil-65-firm is 6.5 holes long when nothing pushes it. 'own' asks for the data of "
      "yours.";
  coil.usual = usual_coil(kind);
  questions.push_back(coil);

  const auto own = [&](const char* key, const char* ask, Unit unit, const char* usual, const char* more) {
    Question out;
    out.key = axle + key;
    out.ask = ask;
    out.unit = unit;
    out.most = unit == Unit::mm ? 1000 : 20000;
    out.usual = usual;
    out.more = more;
    questions.push_back(out);
    return &questions.back();
  };
  if (word_of(answers, axle + "_coil") == "own") {
    own("_coil_free_mm", "Your coil's length with nothing pushing it, hole centre to hole centre", Unit::mm, "52", "")
        ->least = 5;
    own("_coil_solid_mm", "Its length pressed together until it goes no further", Unit::mm, "36", "")->least = 1;
    own("_coil_start_g", "Pressed onto a kitchen scale: what it reads when the coil just begins to move", Unit::grams,
        "0", "A captive coil needs a little before it moves at all. 0 if it gives at once.");
    own("_coil_solid_g", "And just before it goes solid", Unit::grams, "1000",
        "Slowly, and read before the coils touch. Press from above and from below once each and take the middle: "
        "friction "
        "shows more one way and less the other.");
  }
  Question count;
  count.key = axle + "_coils";
  count.ask =
      kind == AxleKind::live_axle ? "How many such coils on each side" : "How many such coils side by side, for each";
  if (kind != AxleKind::live_axle) count.ask += kind == AxleKind::beam ? " arm" : " wheel";
  count.least = 1;
  count.most = 8;
  count.whole = true;
  count.usual = "2";
  questions.push_back(count);
}

/// The built-in tyre whose diameter is nearest.
const Tyre& nearest_tyre(double diameter_mm) {
  const Tyre* best = nullptr;
  for (const auto& [name, part] : built_in_parts()) {
    const auto* tyre = std::get_if<Tyre>(&part.data);
    if (tyre && (!best || std::abs(tyre->diameter_mm - diameter_mm) < std::abs(best->diameter_mm - diameter_mm))) {
      best = tyre;
    }
  }
  return *best;
}

void add_wheels(std::vector<Question>& questions, const Answers& answers, const std::string& axle) {
  Question tyre;
  tyre.key = axle + "_tyre";
  tyre.form = Form::tyre;
  tyre.ask = "The tyre: its diameter in mm, or its name in the catalogue";
  tyre.more = "Measure across, under no load.";
  tyre.unit = Unit::mm;
  tyre.least = 5;
  tyre.most = 500;
  tyre.usual = "tyre-69";
  questions.push_back(tyre);
  if (const std::optional<double> diameter_mm = number_of(answers, axle + "_tyre")) {
    Question weight;
    weight.key = axle + "_tyre_g";
    weight.ask = "What one such tyre weighs, with its rim";
    weight.unit = Unit::grams;
    weight.most = 5000;
    weight.usual = fmt::format("{}", nearest_tyre(*diameter_mm).mass_g);
    questions.push_back(weight);
  }
  Question rest;
  rest.key = axle + "_wheel_g";
  rest.ask = "What moves with one wheel besides the tyre weighs: arm, hub, half the rod";
  rest.more =
      "It stands on the ground by itself and does not press the spring. A guess does: 2 g for each hole of beam, 6 g "
      "for "
      "a hub.";
  rest.unit = Unit::grams;
  rest.most = 5000;
  rest.usual = "30";
  questions.push_back(rest);
}

}  // namespace

std::string height_point(const Answers& answers, const std::string& axle) {
  switch (kind_of_axle(answers, axle)) {
    case AxleKind::beam:
      return has_coils(answers, axle) ? "arm's pin" : "beam's pin";
    case AxleKind::wishbones:
      return "lower pins";
    case AxleKind::live_axle:
      return has_coils(answers, axle) ? "coils' upper ends" : "axle's pivot";
    case AxleKind::arm:
    case AxleKind::arm_rocker:
      break;
  }
  return "arm's pin";
}

std::string length_point(const Answers& answers, const std::string& axle) {
  const AxleKind kind = kind_of_axle(answers, axle);
  if (kind == AxleKind::wishbones || kind == AxleKind::live_axle) return "axle";
  return height_point(answers, axle);
}

bool has_a_direction(const Answers& answers, const std::string& axle) {
  const AxleKind kind = kind_of_axle(answers, axle);
  return kind == AxleKind::arm || kind == AxleKind::arm_rocker || (kind == AxleKind::beam && has_coils(answers, axle));
}

bool has_coils(const Answers& answers, const std::string& axle) {
  const std::string parts = parts_of(answers, axle);
  switch (kind_of_axle(answers, axle)) {
    case AxleKind::beam:
      return word_of(answers, parts + "_beam_on") != "frame";
    case AxleKind::live_axle:
      return word_of(answers, parts + "_held") != "pivot";
    case AxleKind::arm:
    case AxleKind::arm_rocker:
    case AxleKind::wishbones:
      break;
  }
  return true;
}

std::vector<Question> questions_about_parts(const Answers& answers, const std::string& axle) {
  const AxleKind kind = kind_of_axle(answers, axle);
  std::vector<Question> out;
  const auto choose = [&](const char* key, const char* ask, std::vector<Choice> choices, const char* usual) {
    Question question;
    question.key = axle + key;
    question.ask = ask;
    question.form = Form::choice;
    question.choices = std::move(choices);
    question.usual = usual;
    out.push_back(question);
  };
  switch (kind) {
    case AxleKind::arm:
      out = {directed(axle), track(axle)};
      add(out, axle, arm);
      break;
    case AxleKind::arm_rocker:
      out = {directed(axle), track(axle)};
      add(out, axle, arm_rocker);
      choose("_rocker_points", "With the machine standing, B lies, seen from R",
             {{"wheel", "on the wheel's side"}, {"away", "on the other side"}, {"up", "above R"}, {"down", "below R"}},
             "wheel");
      break;
    case AxleKind::beam:
      choose("_beam_on", "The walking beam turns on",
             {{"arm", "the end of a sprung arm"}, {"frame", "a pin of the frame, without springs"}}, "arm");
      if (has_coils(answers, axle)) out.push_back(directed(axle));
      out.push_back(track(axle));
      if (has_coils(answers, axle)) add(out, axle, beam);
      out.push_back(question(axle, has_coils(answers, axle) ? beam_wheels : beam_wheels_on_frame));
      break;
    case AxleKind::wishbones:
      add(out, axle, wishbones);
      break;
    case AxleKind::live_axle:
      choose("_held", "The axle",
             {{"coils", "rises and rocks between two coils, guided by links"},
              {"pivot", "only rocks, on a pin of the frame"}},
             "coils");
      out.push_back(track(axle));
      if (has_coils(answers, axle)) {
        add(out, axle, axle_between_coils);
      } else {
        add(out, axle, axle_on_pivot);
      }
      break;
  }
  if (has_coils(answers, axle)) add_coil(out, answers, axle, kind);
  add_wheels(out, answers, axle);
  return out;
}

std::vector<std::string> all_part_keys() {
  std::vector<std::string> keys = {"points",       "track_mm", "rocker_points", "beam_on",       "beam_wheels",
                                   "held",         "coil",     "coil_free_mm",  "coil_solid_mm", "coil_start_g",
                                   "coil_solid_g", "coils",    "tyre",          "tyre_g",        "wheel_g"};
  const auto add_keys = [&](const auto& asked) {
    for (const Asked& each : asked) keys.emplace_back(each.key);
  };
  add_keys(arm);
  add_keys(arm_rocker);
  add_keys(beam);
  add_keys(wishbones);
  add_keys(axle_between_coils);
  add_keys(axle_on_pivot);
  return keys;
}

}  // namespace ridepitch
