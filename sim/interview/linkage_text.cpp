// A linkage's text is a header, then a form's text with the answers put in, line by line:
//
//     chassis = { holes = { arm = [0, 0], seat = {seat} } } | seat
//
// {seat} is the answer "front_seat" as a pair of holes, or a place that follows from several answers. Behind the bar stand
// the answers that are to blame where the line is wrong. NAME is the linkage's name. Three kinds of tables have lines of
// their own, which depend on more answers:
//
//     @pin ONE OTHER its name | answers        @coil SPRING FROM TO | answers        @wheel WHEEL HOLE

#include "interview/linkage_text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <iterator>
#include <sstream>

#include "interview/sections.hpp"
#include "model/text_file.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

using Words = std::vector<std::string>;

/// The lines that come of the answers about one axle.
struct LinkageDraft {
  const Answers& answers;
  std::string axle, name;  ///< name of the linkage
  std::vector<TextLine> lines = {};
};

double number_at(const LinkageDraft& draft, const std::string& end) {
  return number_of(draft.answers, draft.axle + "_" + end).value_or(0);
}

std::string word_at(const LinkageDraft& draft, const std::string& end) {
  return word_of(draft.answers, draft.axle + "_" + end);
}

void line(LinkageDraft& draft, std::string text, const Words& ends = {}) {
  TextLine out{std::move(text), {}};
  for (const std::string& end : ends) out.keys.push_back(draft.axle + "_" + end);
  draft.lines.push_back(std::move(out));
}

void header(LinkageDraft& draft, const std::string& table, const Words& ends) {
  line(draft, "");
  line(draft, fmt::format("[linkage.{}.{}]", draft.name, table), ends);
}

void text_line(LinkageDraft& draft, const char* key, const std::string& text, const Words& ends = {}) {
  line(draft, fmt::format("{} = \"{}\"", key, text), ends);
}

void number_line(LinkageDraft& draft, const char* key, double number, const Words& ends) {
  line(draft, fmt::format("{} = {}", key, plain_number(number)), ends);
}

// ------------------------------------------------------------------------------------ pins, coils, wheels

void add_pin(LinkageDraft& draft, const Words& words, const Words& ends) {
  line(draft, "");
  line(draft, fmt::format("[[linkage.{}.pin]]", draft.name), ends);
  line(draft, fmt::format("join = [\"{}\", \"{}\"]", words[1], words[2]), ends);
  text_line(draft, "name", fmt::format("{}", fmt::join(words.begin() + 3, words.end(), " ")));
}

/// A builder's own coil: Hooke's law through its two readings.
void add_own_coil(LinkageDraft& draft, const Words& blamed) {
  const double free_mm = number_at(draft, "coil_free_mm"), solid_mm = number_at(draft, "coil_solid_mm");
  const double start_g = number_at(draft, "coil_start_g"), solid_g = number_at(draft, "coil_solid_g");
  text_line(draft, "kind", "coil", blamed);
  number_line(draft, "free_mm", free_mm, {"coil_free_mm", "coil_solid_mm"});
  number_line(draft, "solid_mm", solid_mm, {"coil_free_mm", "coil_solid_mm"});
  const double start_n = start_g * n_per_g, rate_n_per_mm = (solid_g * n_per_g - start_n) / (free_mm - solid_mm);
  line(draft, fmt::format("rate_n_per_mm = {}  # {} g when solid", plain_number(rate_n_per_mm), plain_number(solid_g)),
       {"coil_start_g", "coil_solid_g"});
  line(draft, fmt::format("preload_n = {}  # {} g to begin with", plain_number(start_n), plain_number(start_g)),
       {"coil_start_g"});
}

void add_coil(LinkageDraft& draft, const Words& words, const Words& ends) {
  Words blamed = ends;
  blamed.insert(blamed.end(), {"coil", "coils"});
  header(draft, "spring." + words[1], blamed);
  if (word_at(draft, "coil") == "own") {
    add_own_coil(draft, blamed);
  } else {
    text_line(draft, "part", word_at(draft, "coil"), {"coil"});
  }
  text_line(draft, "from", words[2], ends);
  text_line(draft, "to", words[3], ends);
  if (number_at(draft, "coils") != 1) number_line(draft, "count", number_at(draft, "coils"), {"coils"});
}

void add_wheel(LinkageDraft& draft, const Words& words) {
  header(draft, "wheel." + words[1], {"tyre"});
  text_line(draft, "at", words[2]);
  if (number_of(draft.answers, draft.axle + "_tyre")) {
    number_line(draft, "diameter_mm", number_at(draft, "tyre"), {"tyre"});
    number_line(draft, "mass_g", number_at(draft, "tyre_g"), {"tyre_g"});
  } else {
    text_line(draft, "part", word_at(draft, "tyre"), {"tyre"});
  }
}

// ------------------------------------------------------------------------------------ places

/// What stands in a form's text for names in braces: answers, and what follows from them where they are given.
std::map<std::string, std::string> values_of(const LinkageDraft& draft, const AxleForm& form) {
  const auto at = [&](const char* end) { return holes_of(draft.answers, fmt::format("{}_{}", draft.axle, end)); };
  std::map<std::string, std::string> values;
  for (const Question& question : form.questions) values[question.key] = plain_pair(at(question.key.c_str()));
  const Vec2 other_side(-1, 1);

  const std::string points = word_at(draft, "rocker_points");
  const Vec2 rocker = at("rocker_pin");
  values["rod_length"] = plain_number(number_at(draft, "rod"));
  values["push_near"] = plain_pair(rocker + turned(at("rocker_rod"), points));
  values["coil_near"] = plain_pair(rocker + turned(at("rocker_coil"), points));

  const Vec2 wheels = at("beam_wheels"), fore(wheels[0], 0), aft(-wheels[1], 0);
  values["fore"] = plain_pair(fore);
  values["aft"] = plain_pair(aft);
  const Vec2 inner = -fore, outer = -aft;
  values["inner"] = plain_pair(inner);
  values["outer"] = plain_pair(outer);
  values["inner_near"] = plain_pair(at("arm_axle") + inner);
  values["outer_near"] = plain_pair(at("arm_axle") + outer);

  values["upper_near"] = plain_pair(at("upper_pin") + at("upper"));
  values["high_near"] = plain_pair(at("lower") + at("upright_top"));
  values["hub_near"] = plain_pair(at("lower") + at("hub"));

  const Vec2 left(half_track_modules(draft.answers, draft.axle), 0), coil = at("arm_coil");
  // The coils hang down from the frame at about their length; how far exactly does not matter to a hint.
  const double free_holes = 7;
  const Vec2 below(0, -free_holes - coil.y()), pivot(0, number_at(draft, "pivot_up"));
  values["left"] = plain_pair(left);
  values["right"] = plain_pair(-left);
  values["seat_right"] = plain_pair(-at("seat_out"));
  values["coil_right"] = plain_pair(coil.cwiseProduct(other_side));
  values["left_near"] = plain_pair(left + below);
  values["right_near"] = plain_pair(-left + below);
  values["left_low"] = plain_pair(left - pivot);
  values["right_low"] = plain_pair(-left - pivot);
  return values;
}

Words words_of_line(const std::string& text) {
  std::istringstream stream(text);
  return {std::istream_iterator<std::string>(stream), {}};
}

}  // namespace

Vec2 turned(const Vec2& p, std::string_view points) {
  if (points == "away") return -p;
  if (points == "up") return {-p.y(), p.x()};
  if (points == "down") return {p.y(), -p.x()};
  return p;
}

std::string plain_number(double value) {
  const double most_decimals = 1e6;
  return fmt::format("{}", std::round(value * most_decimals) / most_decimals + 0.0);
}

std::string plain_pair(const Vec2& pair) {
  return fmt::format("[{}, {}]", plain_number(pair.x()), plain_number(pair.y()));
}

double half_track_modules(const Answers& answers, const std::string& axle) {
  return number_of(answers, axle + "_track_mm").value_or(0) / 2 / module_mm_of(answers);
}

std::vector<TextLine> linkage_lines(const Answers& answers, const std::string& axle, const std::string& name) {
  const AxleForm& form = form_of(answers, axle);
  LinkageDraft draft{answers, axle, name};
  std::string text = fmt::format("# ---- {}\n\n[linkage.NAME] | kind\nplane = \"{}\"\n\n[linkage.NAME.body]\n{}",
                                 form.about, form.front_view ? "front" : "side", form.text);
  replace_all(text, "\\\n", "");
  replace_all(text, "NAME", name);
  for (const auto& [key, value] : values_of(draft, form)) replace_all(text, "{" + key + "}", value);
  std::istringstream stream(text);
  for (std::string row; std::getline(stream, row);) {
    const std::size_t bar = row.find(" | ");
    const Words ends = bar == std::string::npos ? Words{} : words_of_line(row.substr(bar + 3));
    row = row.substr(0, bar);
    const Words words = words_of_line(row);
    if (row.starts_with("@pin")) {
      add_pin(draft, words, ends);
    } else if (row.starts_with("@coil")) {
      add_coil(draft, words, ends);
    } else if (row.starts_with("@wheel")) {
      add_wheel(draft, words);
    } else {
      line(draft, row, ends);
    }
  }
  return std::move(draft.lines);
}

}  // namespace ridepitch
