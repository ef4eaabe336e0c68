#include "interview/model_text.hpp"

#include <fmt/format.h>

#include "interview/linkage_text.hpp"
#include "interview/sections.hpp"
#include "model/read.hpp"

namespace ridepitch {
namespace {

using Lines = std::vector<TextLine>;
using Names = std::vector<std::string>;

void add(Lines& lines, std::string text, Names keys = {}) { lines.push_back({std::move(text), std::move(keys)}); }

void append(Lines& lines, const Lines& more) { lines.insert(lines.end(), more.begin(), more.end()); }

/// A key with the answer to a question for its value.
void add_number(Lines& lines, const char* key, double value, const Names& keys) {
  add(lines, fmt::format("{} = {}", key, plain_number(value)), keys);
}

/// A text as a TOML basic string.
std::string toml_string(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

std::string quoted_list(const Names& names) {
  std::string out;
  for (const std::string& name : names) out += (out.empty() ? "" : ", ") + toml_string(name);
  return "[" + out + "]";
}

void add_head(Lines& lines, const Answers& answers) {
  add(lines, "format = 1");
  add(lines, "name = " + toml_string(word_of(answers, "name")), {"name"});
  if (const double module_mm = module_mm_of(answers); module_mm != usual_module_mm)
    add_number(lines, "module_mm", module_mm, {"hole_pitch_mm"});
}

// -------------------------------------------------------------------------------------- corners

/// "front left" and "front right", or "front axle" where one linkage carries both wheels.
Names corner_names(const Answers& answers, const std::string& axle) {
  if (form_of(answers, axle).across) return {axle + " axle"};
  return {axle + " left", axle + " right"};
}

/// "arm" where it is the only one of its kind, else "rear-arm".
std::string linkage_name(const Answers& answers, const std::string& axle) {
  const std::string parts = parts_of(answers, axle);
  const std::string kind = word_of(answers, parts + "_kind");
  int alike = 0;
  for (const std::string& other : axle_names(answers)) {
    alike += parts_of(answers, other) == other && word_of(answers, other + "_kind") == kind ? 1 : 0;
  }
  return alike > 1 ? parts + "-" + kind : kind;
}

/// Places along the machine: its origin is midway between the first and the last axle.
double corner_x_modules(const Answers& answers, const std::string& axle) {
  const double half = number_of(answers, "rear_from_front").value_or(0) / 2;
  return axle == "front" ? half : half - number_of(answers, axle + "_from_front").value_or(0);
}

/// Half the track, or half of what the pins of wishbones stand apart: how far out a corner sits.
double corner_y_modules(const Answers& answers, const std::string& axle) {
  const AxleForm& form = form_of(answers, axle);
  const std::string parts = parts_of(answers, axle);
  if (form.across) return 0;
  if (asks(form, "pins_apart")) return number_of(answers, parts + "_pins_apart").value_or(0) / 2;
  return half_track_modules(answers, parts);
}

void add_corner(Lines& lines, const Answers& answers, const std::string& axle) {
  const AxleForm& form = form_of(answers, axle);
  const std::string parts = parts_of(answers, axle);
  const Names names = corner_names(answers, axle);
  const double wheels = wheels_of(form) / static_cast<double>(names.size());
  add(lines, "");
  add(lines, "[[corner]]", {axle + "_from_front"});
  add(lines, "name = " + toml_string(names.front()));
  add(lines, fmt::format("linkage = \"{}\"", linkage_name(answers, axle)));
  add(lines,
      fmt::format("at = [{}, {}, {}]", plain_number(corner_x_modules(answers, axle)),
                  plain_number(corner_y_modules(answers, axle)),
                  plain_number(number_of(answers, axle + "_above_front").value_or(0))),
      {axle + "_from_front", axle + "_above_front", parts + "_track_mm"});
  if (has_a_direction(form) && word_of(answers, axle + "_points") == "back")
    add(lines, "flip = true", {axle + "_points"});
  add_number(lines, "unsprung_grams", wheels * number_of(answers, parts + "_wheel_g").value_or(0),
             {parts + "_wheel_g"});
  if (names.size() == 2) add(lines, "mirror = true", {parts + "_track_mm", parts + "_pins_apart"});
}

// -------------------------------------------------------------------------------------- weights

/// Some wheels on the scale, and what it reads.
struct ScaleReading {
  Names wheels;
  double grams = 0;
};

/// What one wheel itself weighs, with what moves with it.
double wheel_grams(const Answers& answers, const std::string& axle) {
  const std::string parts = parts_of(answers, axle);
  double tyre_g = number_of(answers, parts + "_tyre_g").value_or(0);
  if (const auto part = built_in_parts().find(word_of(answers, parts + "_tyre")); part != built_in_parts().end()) {
    tyre_g = std::get<Tyre>(part->second.data).mass_g;
  }
  return tyre_g + number_of(answers, parts + "_wheel_g").value_or(0);
}

/// What of a reading under the wheels of one or both sides stands under those of each place on the beam.
///
/// What a walking beam carries beyond its own wheels is shared as on any lever in balance, W1 a = W2 b (Archimedes, On
/// the Equilibrium of Planes, I.6): the wheel nearer to the pin gets more.
std::vector<double> shared_grams(const Answers& answers, const std::string& axle, double grams, double beams) {
  if (!asks(form_of(answers, axle), "beam_wheels")) return {grams};
  const Vec2 arms = holes_of(answers, parts_of(answers, axle) + "_beam_wheels");
  if (arms[0] == arms[1]) return {grams};
  const double own = beams * wheel_grams(answers, axle), carried = grams - 2 * own;
  return {own + carried * arms[1] / arms.sum(), own + carried * arms[0] / arms.sum()};
}

/// The wheels of one axle by side, then from the inner or fore one on.
std::vector<Names> wheels_by_side(const Answers& answers, const std::string& axle) {
  const AxleForm& form = form_of(answers, axle);
  const Names corners = corner_names(answers, axle);
  if (form.across) return {{corners[0] + "/" + form.wheels[0]}, {corners[0] + "/" + form.wheels[1]}};
  std::vector<Names> sides(corners.size());
  for (std::size_t side = 0; side < corners.size(); ++side)
    for (const std::string& wheel : form.wheels) sides[side].push_back(corners[side] + "/" + wheel);
  return sides;
}

std::vector<ScaleReading> scale_readings(const Answers& answers, const std::string& axle) {
  const std::vector<double> grams = numbers_of(answers, axle + "_scale_g");
  const std::vector<Names> sides = wheels_by_side(answers, axle);
  const bool apart = grams.size() == 2;  // left and right
  std::vector<ScaleReading> readings;
  for (std::size_t g = 0; g < grams.size(); ++g) {
    const std::vector<double> shares = shared_grams(answers, axle, grams[g], apart ? 1 : 2);
    for (std::size_t place = 0; place < shares.size(); ++place) {
      ScaleReading reading{{}, shares[place]};
      for (std::size_t side = 0; side < sides.size(); ++side) {
        if (apart && side != g) continue;
        for (std::size_t w = 0; w < sides[side].size(); ++w) {
          if (shares.size() == 1 || w == place) reading.wheels.push_back(sides[side][w]);
        }
      }
      readings.push_back(std::move(reading));
    }
  }
  return readings;
}

void add_weights(Lines& lines, const Answers& answers) {
  add(lines, "");
  add(lines, "# What the kitchen scale read under these wheels, the others on blocks as high.");
  Names all_keys;
  for (const std::string& axle : axle_names(answers)) all_keys.push_back(axle + "_scale_g");
  bool first = true;
  for (const std::string& axle : axle_names(answers)) {
    for (const ScaleReading& reading : scale_readings(answers, axle)) {
      if (!first) add(lines, "");
      first = false;
      add(lines, "[[weighed]]", all_keys);
      add(lines, "wheels = " + quoted_list(reading.wheels), all_keys);
      add_number(lines, "grams", reading.grams, {axle + "_scale_g"});
    }
  }
  add(lines, "");
  add(lines, "# Where that weight sits: its height is a guess, its place along the machine follows from the readings.");
  add(lines, "[sprung]", {"weight_above"});
  add_number(lines, "cg_height", number_of(answers, "weight_above").value_or(0), {"weight_above"});
  Names size;
  for (const double mm : numbers_of(answers, "body_mm")) size.push_back(plain_number(mm / module_mm_of(answers)));
  if (!size.empty()) add(lines, fmt::format("size = [{}]", fmt::join(size, ", ")), {"body_mm"});
}

void add_heights(Lines& lines, const Answers& answers) {
  if (const std::optional<double> below = number_of(answers, "belly_below")) {
    add(lines, "");
    add(lines, "[[clearance]]", {"belly_below"});
    add(lines, "name = \"belly\"");
    add(lines, fmt::format("at = [0, 0, {}]", plain_number(-*below)), {"belly_below"});
  }
  for (const std::string& axle : axle_names(answers)) {
    const std::optional<double> ruler_mm = number_of(answers, axle + "_ruler_mm");
    if (!ruler_mm) continue;
    add(lines, "");
    add(lines, "[[measured]]", {axle + "_ruler_mm"});
    add(lines, "of = " + toml_string(corner_names(answers, axle).front()));
    add_number(lines, "ride_height_mm", *ruler_mm, {axle + "_ruler_mm"});
  }
}

}  // namespace

std::vector<TextLine> model_lines(const Answers& answers) {
  Lines lines;
  add(lines,
      "# Counted, measured and weighed, and written down by 'ridepitch new'. Change what you like: the format is");
  add(lines, "# described in docs/model-format.md, and 'ridepitch check' tells what is wrong with a line.");
  add(lines, "#");
  add(lines,
      "# Lengths count in holes. Vehicle axes: x forward, y to the left, z up; x = 0 is midway between the first and "
      "the");
  add(lines, fmt::format("# last axle, z = 0 the height of the front {}.", form_of(answers, "front").height_point));
  add_head(lines, answers);
  add_weights(lines, answers);
  add_heights(lines, answers);
  for (const std::string& axle : axle_names(answers)) {
    if (parts_of(answers, axle) != axle) continue;
    add(lines, "");
    append(lines, linkage_lines(answers, axle, linkage_name(answers, axle)));
  }
  add(lines, "");
  add(lines,
      "# ---- Where they sit. `flip` turns a linkage about, so that its arm points back; `mirror` makes the right "
      "side.");
  for (const std::string& axle : axle_names(answers)) add_corner(lines, answers, axle);
  return lines;
}

std::vector<TextLine> bench_lines(const Answers& answers, const std::string& axle) {
  Lines lines;
  add_head(lines, answers);
  append(lines, linkage_lines(answers, axle, "trial"));
  for (const char* line : {"[[corner]]", "name = \"trial\"", "linkage = \"trial\"", "at = [0, 0, 0]", "load_n = 1"})
    add(lines, line);
  return lines;
}

std::string joined_lines(const std::vector<TextLine>& lines) {
  std::string text;
  for (const TextLine& line : lines) text += line.text + "\n";
  return text;
}

}  // namespace ridepitch
