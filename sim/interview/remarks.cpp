#include "interview/remarks.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "model/units.hpp"

namespace ridepitch {
namespace {

double mean_contact_x_mm(const Solution& solution, std::string_view axle) {
  double sum = 0;
  int count = 0;
  for (const CornerResult& corner : solution.corners) {
    if (!corner.name.starts_with(axle)) continue;
    for (const WheelResult& wheel : corner.wheels) {
      sum += wheel.contact_mm.x();
      ++count;
    }
  }
  return count > 0 ? sum / count : 0;
}

std::string about_wheelbase(double ruler_mm, double solved_mm) {
  const double within_reading_mm = 2;
  std::string text =
      fmt::format("Wheelbase: your ruler says {:.1f} mm, worked out are {:.1f} mm.", ruler_mm, solved_mm);
  if (std::abs(ruler_mm - solved_mm) > within_reading_mm) {
    text +=
        " That is more than a ruler is off: count again from the front axle's place to the rear one's, look at the "
        "lengths "
        "of the arms, and at whether they point forward or back.";
  }
  return text;
}

/// A reading and what the ground carries there as it was worked out.
struct ReadAndSolved {
  std::string wheels;
  double read_g = 0, solved_g = 0;
};

std::vector<ReadAndSolved> scale_against_springs(const Model& model, const Solution& solution) {
  std::vector<ReadAndSolved> all;
  for (const Weighed& reading : model.weighed) {
    ReadAndSolved each{"", reading.kg * 1000, 0};
    for (const WheelRef& ref : reading.wheels) {
      const CornerResult& corner = solution.corners[static_cast<std::size_t>(ref.corner)];
      const WheelResult& wheel = corner.wheels[static_cast<std::size_t>(ref.wheel)];
      each.wheels += fmt::format("{}{}/{}", each.wheels.empty() ? "" : " and ", corner.name, wheel.name);
      each.solved_g += grams_of(wheel.ground_load_n.value_or(0));
    }
    all.push_back(std::move(each));
  }
  return all;
}

/// Readings that can't be had from these springs: more of them than a stiff body settles, or a twisted frame.
std::string about_scale(const Model& model, const Solution& solution) {
  const double within_reading_g = 10, within_share = 0.02;
  std::string text;
  for (const ReadAndSolved& each : scale_against_springs(model, solution)) {
    const double off_g = std::abs(each.read_g - each.solved_g);
    if (off_g <= std::max(within_reading_g, within_share * each.read_g)) continue;
    text += fmt::format("{}{} {:.0f} g, worked out {:.0f} g", text.empty() ? "" : "; ", each.wheels, each.read_g,
                        each.solved_g);
  }
  if (text.empty()) return text;
  return "The scale read otherwise than the springs share the weight: " + text +
         ". Look at the coils and at the heights of the pins; a twisted frame or blocks that are not as high as the "
         "scale do "
         "that too.";
}

}  // namespace

double solved_wheelbase_mm(const Solution& solution) {
  return mean_contact_x_mm(solution, "front") - mean_contact_x_mm(solution, "rear");
}

std::vector<std::string> remarks(const Answers& answers, const Model& model, const Solution& solution,
                                 const std::vector<std::string>& assumed) {
  std::vector<std::string> all;
  if (const std::optional<double> ruler_mm = number_of(answers, "wheelbase_mm")) {
    all.push_back(about_wheelbase(*ruler_mm, solved_wheelbase_mm(solution)));
  }
  if (std::string scale = about_scale(model, solution); !scale.empty()) all.push_back(std::move(scale));
  if (!assumed.empty()) {
    std::string text;
    for (const std::string& key : assumed)
      text += fmt::format("{}{} = {}", text.empty() ? "" : ", ", key, word_of(answers, key));
    all.push_back("Not answered, and taken as usual: " + text + ".");
  }
  return all;
}

std::string file_name_for(const std::string& model_name) {
  std::string name;
  for (const char c : model_name) {
    const bool letter = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
    const bool capital = c >= 'A' && c <= 'Z';
    if (letter) name += c;
    if (capital) name += static_cast<char>(c - 'A' + 'a');
    if (!letter && !capital && !name.empty() && name.back() != '-') name += '-';
  }
  while (!name.empty() && name.back() == '-') name.pop_back();
  return (name.empty() ? "model" : name) + ".toml";
}

}  // namespace ridepitch
