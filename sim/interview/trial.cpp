#include "interview/trial.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "interview/axle_forms.hpp"
#include "interview/drawing.hpp"
#include "interview/linkage_text.hpp"
#include "interview/model_text.hpp"
#include "interview/sections.hpp"
#include "linkage/search.hpp"
#include "model/read.hpp"
#include "model/text_file.hpp"
#include "model/units.hpp"
#include "ride/solve.hpp"
#include "ride/vehicle.hpp"
#include "spring/force_law.hpp"

namespace ridepitch {
namespace {

using Keys = std::vector<std::string>;

constexpr double steep_deg = 25;       // no builder's arm stands like that
constexpr double least_cosine = 0.25;  // 75 degrees: beyond it the next direction is meant, if any

Keys keys_of_line(const std::vector<TextLine>& lines, int line) {
  if (line < 1 || line > static_cast<int>(lines.size())) return {};
  return lines[static_cast<std::size_t>(line - 1)].keys;
}

/// Letters of the picture in place of names of the file: "'arm.push'" is A.
std::string in_letters(std::string text, const std::vector<Letter>& letters) {
  for (const Letter& letter : letters) replace_all(text, "'" + letter.hole + "'", std::string(1, letter.letter));
  return text;
}

/// A problem of the text that the answers gave, told of the answers.
Objection objection_to(const Problem& problem, const std::vector<TextLine>& lines, const std::vector<Letter>& letters) {
  Objection out{problem.text, problem.hint, keys_of_line(lines, problem.place.line), problem.fault};
  const std::string_view lead = "does not go together: ";
  if (const std::size_t at = out.what.find(lead); at != std::string::npos) {
    out.why = out.what.substr(at + lead.size()) + (problem.hint.empty() ? "" : "; " + problem.hint);
    out.what = "these do not go together";
  }
  out.what = in_letters(out.what, letters);
  out.why = in_letters(out.why, letters);
  return out;
}

// ------------------------------------------------------------------------------------------ one axle

/// Answers about a builder's own coil that no coil has.
std::optional<Objection> against_own_coil(const Answers& answers, const std::string& axle) {
  if (!has_coils(form_of(answers, axle)) || word_of(answers, axle + "_coil") != "own") return std::nullopt;
  const auto number = [&](const char* end) { return number_of(answers, axle + end).value_or(0); };
  const double free_mm = number("_coil_free_mm"), solid_mm = number("_coil_solid_mm");
  if (solid_mm >= free_mm)
    return Objection{
        .what = fmt::format("a coil that is {} mm long when it goes solid can't be {} mm long with nothing pushing it",
                            plain_number(solid_mm), plain_number(free_mm)),
        .look_at = {axle + "_coil_free_mm", axle + "_coil_solid_mm"},
        .fault = Fault::text};
  const double start_g = number("_coil_start_g"), solid_g = number("_coil_solid_g");
  if (start_g >= solid_g)
    return Objection{.what = fmt::format("a coil that begins to move at {} g can't go solid at {} g",
                                         plain_number(start_g), plain_number(solid_g)),
                     .look_at = {axle + "_coil_start_g", axle + "_coil_solid_g"},
                     .fault = Fault::text};
  return std::nullopt;
}

/// How far the arm or wishbone is from the level that the hints have it at [rad].
double tilt_of_arm(const Linkage& linkage, const Eigen::VectorXd& q) {
  for (const char* end : {"arm.axle", "arm.trunnion", "lower.ball"}) {
    const std::optional<HoleRef> ref = find_hole(linkage, end);
    if (!ref) continue;
    const Body& body = linkage.bodies[static_cast<std::size_t>(ref->body)];
    const Vec2 drawn = body.holes[static_cast<std::size_t>(ref->hole)].p_B - body.holes[0].p_B;
    const Vec2 lies = place_of(linkage, *ref, q) - place_of(linkage, {ref->body, 0}, q);
    return std::atan2(drawn.x() * lies.y() - drawn.y() * lies.x(), drawn.dot(lies));
  }
  return 0;
}

/// Answers that decide where C and S are, and how long the coil is.
Keys keys_of_coil(const Answers& answers, const std::string& axle) {
  const Keys ends = {"seat", "seat_out", "arm_coil", "rocker_coil", "coil", "coil_free_mm", "coil_solid_mm"};
  Keys keys;
  for (const Question& question : questions_about_parts(answers, axle))
    if (std::find(ends.begin(), ends.end(), question.key.substr(axle.size() + 1)) != ends.end())
      keys.push_back(question.key);
  return keys;
}

/// The coil can't reach from C to S, or has no room there. Put together without it, the linkage shows why.
AxleTrial without_the_coil(const Model& model, const Answers& answers, const std::string& axle) {
  AxleTrial trial;
  const Linkage& linkage = model.linkages[0];
  const Spring& spring = linkage.springs.front();
  const ForceLaw law = force_law(spring.data);
  trial.objection = Objection{"the coil does not fit between C and S anywhere in the travel",
                              fmt::format("it is {} mm long with nothing pushing it and {} mm when it goes solid",
                                          plain_number(law.free_mm), plain_number(law.solid_mm)),
                              keys_of_coil(answers, axle), Fault::no_solution};
  Linkage bare = linkage;
  bare.springs.clear();
  const AssembleResult result = assemble(bare, model.module_mm);
  if (!result.assembly) return trial;
  const Eigen::VectorXd& q = result.assembly->q;
  const double distance_mm = (place_of(linkage, spring.from, q) - place_of(linkage, spring.to, q)).norm();
  trial.objection->why += fmt::format(", but as drawn C and S are {:.1f} mm apart, {:.1f} holes", distance_mm,
                                      distance_mm / model.module_mm);
  trial.picture = draw_linkage(linkage, q, model.module_mm, form_of(answers, axle).letters);
  const double tilt_deg = tilt_of_arm(linkage, q) * deg_per_rad;
  if (form_of(answers, axle).kind == "arm-rocker" && std::abs(tilt_deg) > steep_deg) {
    trial.objection->why += fmt::format(
        "; and the arm gets no nearer to level than {:.0f} degrees, so the rod or what it joins is likelier to be "
        "wrong",
        std::abs(tilt_deg));
    trial.objection->look_at = {axle + "_rod", axle + "_arm_rod", axle + "_rocker_pin", axle + "_rocker_rod"};
  }
  return trial;
}

/// Where B lies, seen from R, once the parts are together: as the builder says, or nowhere near.
std::optional<Objection> against_rocker(const Answers& answers, const std::string& axle, const Linkage& linkage,
                                        const Eigen::VectorXd& q) {
  const std::optional<HoleRef> pin = find_hole(linkage, "rocker.root"), rod = find_hole(linkage, "rocker.push");
  if (!pin || !rod) return std::nullopt;
  const Vec2 leg = (place_of(linkage, *rod, q) - place_of(linkage, *pin, q)).normalized();
  const std::string said = word_of(answers, axle + "_rocker_points");
  if (leg.dot(turned({1, 0}, said)) >= least_cosine) return std::nullopt;
  const std::string found = std::abs(leg.x()) > std::abs(leg.y())
                                ? (leg.x() > 0 ? "towards the wheel" : "away from the wheel")
                                : (leg.y() > 0 ? "up" : "down");
  return Objection{
      "the rocker does not stand as you said",
      fmt::format("with these lengths and the arm level, the leg from R to B points {}", found),
      {axle + "_rocker_points", axle + "_rod", axle + "_rocker_rod", axle + "_rocker_pin", axle + "_arm_rod"},
      Fault::no_solution};
}

// ---------------------------------------------------------------------------------- the whole machine

/// Sides are weighed apart at every axle, or at none.
std::optional<Objection> against_sides(const Answers& answers) {
  Keys together, apart;
  for (const std::string& axle : axle_names(answers)) {
    const std::string key = axle + "_scale_g";
    (numbers_of(answers, key).size() == 2 ? apart : together).push_back(key);
  }
  if (together.empty() || apart.empty()) return std::nullopt;
  together.insert(together.end(), apart.begin(), apart.end());
  return Objection{"left and right are weighed apart at some axles and together at others", "do the same at all",
                   together, Fault::text};
}

std::optional<Objection> against_order(const Answers& answers) {
  const std::optional<double> middle = number_of(answers, "middle_from_front"),
                              rear = number_of(answers, "rear_from_front");
  if (axle_names(answers).size() < 3 || !middle || !rear || *middle < *rear) return std::nullopt;
  return Objection{.what = "the middle axle lies behind the rear one",
                   .look_at = {"middle_from_front", "rear_from_front"},
                   .fault = Fault::text};
}

/// Answers that decide whether the machine stands at all.
Keys keys_of_standing(const Answers& answers) {
  Keys keys, widths;
  for (const std::string& axle : axle_names(answers)) {
    keys.push_back(axle + "_scale_g");
    if (parts_of(answers, axle) != axle) continue;
    const AxleForm& form = form_of(answers, axle);
    if (!form.fork.empty()) keys.push_back(axle + "_" + form.fork);
    if (has_coils(form)) keys.insert(keys.end(), {axle + "_coil", axle + "_coils"});
    for (const char* end : {"_track_mm", "_pins_apart"})
      if (answers.contains(axle + end)) widths.push_back(axle + end);
  }
  keys.insert(keys.end(), widths.begin(), widths.end());
  keys.emplace_back("weight_above");
  return keys;
}

Objection objection_to_machine(const Problem& problem, const Answers& answers, const std::vector<TextLine>& lines) {
  Objection objection = objection_to(problem, lines, {});
  if (problem.code == "no-rest") {
    objection.what = "nothing supports the machine: it tips over, or sinks without end";
    objection.why =
        "the weight must lie between the wheels, coils must hold it, and something must hold it upright where an axle "
        "only rocks on a pivot";
  }
  if (problem.code == "no-rest" || objection.look_at.empty()) objection.look_at = keys_of_standing(answers);
  return objection;
}

}  // namespace

AxleTrial try_axle(const Answers& answers, const std::string& axle) {
  if (auto objection = against_own_coil(answers, axle)) return {std::move(objection), {}};
  const std::vector<TextLine> lines = bench_lines(answers, axle);
  const std::vector<Letter>& letters = form_of(answers, axle).letters;
  const ReadModel read = read_model_text(joined_lines(lines), axle);
  if (!read.model) return {objection_to(read.problems.front(), lines, letters), {}};
  const Model& model = *read.model;
  const VehicleOrProblems built = build_vehicle(model);
  if (!built.vehicle) {
    const Problem& problem = built.problems.front();
    if (problem.code == "never-fits") return without_the_coil(model, answers, axle);
    if (problem.code != "ambiguous-assembly") return {objection_to(problem, lines, letters), {}};
    return {Objection{"these parts go together in two ways",
                      "like an elbow bent to either side, and both are as near to what you said",
                      {axle + "_rocker_points", axle + "_rod", axle + "_rocker_pin"},
                      Fault::text},
            {}};
  }
  const Eigen::VectorXd& q = built.vehicle->assemblies.front().q;
  return {against_rocker(answers, axle, model.linkages[0], q),
          draw_linkage(model.linkages[0], q, model.module_mm, letters)};
}

std::optional<Objection> try_machine(const Answers& answers) {
  if (auto objection = against_sides(answers)) return objection;
  if (auto objection = against_order(answers)) return objection;
  const std::vector<TextLine> lines = model_lines(answers);
  const ReadModel read = read_model_text(joined_lines(lines), "the answers");
  if (!read.model) return objection_to_machine(read.problems.front(), answers, lines);
  const SolveResult solved = solve(*read.model, {.curve_points = 2, .other_stances = false, .readings = false});
  if (!solved.solution) return objection_to_machine(solved.problems.front(), answers, lines);
  return std::nullopt;
}

}  // namespace ridepitch
