#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/bump_text.hpp"
#include "cli/findings_text.hpp"
#include "cli/page.hpp"
#include "cli/steered_model.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

constexpr double too_little_to_see = 0.05;  // it would print as 0.0

const char* unit_of(const Steering& steering) { return steering.crank ? "deg" : "mm"; }

/// Two values of [left, right] as one where they show alike: "32.1", or "32.1 to the left and 30.0 to the right".
std::string both_sides(const std::array<std::optional<double>, 2>& sides, int decimals, const std::string& unit) {
  const auto with_unit = [&](const std::optional<double>& value) { return number(value, decimals) + " " + unit; };
  if (sides[0] && sides[1]) {
    if (number(sides[0], decimals) == number(sides[1], decimals)) return with_unit(sides[0]) + " to both sides";
    return with_unit(sides[0]) + " to the left and " + with_unit(sides[1]) + " to the right";
  }
  if (sides[0]) return with_unit(sides[0]) + " to the left";
  if (sides[1]) return with_unit(sides[1]) + " to the right";
  return "";
}

// -------------------------------------------------------------------------------------- the answer

std::string circle_words(const std::array<std::optional<double>, 2>& circle) {
  if (circle[0] && circle[1]) {
    if (number(circle[0], 0) == number(circle[1], 0)) return fmt::format("in a circle of {} mm", number(circle[0], 0));
    return fmt::format("in a circle of {} mm to the left and {} mm to the right", number(circle[0], 0),
                       number(circle[1], 0));
  }
  for (std::size_t side = 0; side < 2; ++side)
    if (circle[side])
      return fmt::format("in a circle of {} mm to the {}", number(circle[side], 0), side == 0 ? "left" : "right");
  return "";
}

std::string error_words(const Steering& steering) {
  if (!steering.worst_error_deg) return "";
  const double error = *steering.worst_error_deg;
  if (std::abs(error) < too_little_to_see) return "at their ideal angles all the way";
  return fmt::format("the outer wheel at worst {} degrees {} its ideal angle", number(std::abs(error), 1),
                     error > 0 ? "beyond" : "short of");
}

/// What one steering does, in a sentence without its full stop.
std::string steering_words(const Steering& steering) {
  std::string text = fmt::format("{} turns its wheels ", shown(steering.name));
  const std::string locks = both_sides(steering.inner_lock_deg, 1, "degrees");
  text += locks.empty() ? "nowhere" : locks;
  for (const std::string& more : {circle_words(steering.turn_circle_mm), error_words(steering)})
    if (!more.empty()) text += ", " + more;
  return text;
}

std::string answer_text(const SteeredModel& model, const std::vector<MergedFinding>& findings, const Ink& ink) {
  const std::string name = shown(model.solved.model.name);
  std::string text = name + ":";
  bool first = true;
  for (const Steering& steering : model.steered.steering) {
    if (steering.wheels.empty()) continue;
    text += (first ? " " : "; ") + steering_words(steering);
    first = false;
  }
  if (first) text += " its drives move no wheel";
  const std::string count = findings_count(findings, model.solved.notes.size());
  const bool works = findings.empty() || findings[0].finding.level != Level::problem;
  text += ". ";
  text += count.empty() ? "Nothing was found against it."
          : works       ? fmt::format("It works; {} at the end.", count)
                        : fmt::format("It does not work as it is: {} at the end.", count);
  text = wrapped(text, 0);
  const bool name_is_whole = text.compare(0, name.size(), name) == 0;
  return (name_is_whole ? ink.heading(name) + text.substr(name.size()) : text) + "\n";
}

// ------------------------------------------------------------------------------------ by hand

std::string end_words(const Steering& steering, std::size_t e) {
  const std::string& name = steering.ends[e];
  std::string text = number(steering.range[e], 1) + " " + unit_of(steering);
  if (name.empty()) return text + " (nothing ends it)";
  const bool other = name.find(": ") != std::string::npos;
  if (!other && (name == "stroke" || name == "range")) return fmt::format("{} (its {})", text, name);
  if (steering.end_parts[e].empty()) return fmt::format("{} ({})", text, shown(name));
  return fmt::format("{} ({}: {})", text, shown(name), names_shown(steering.end_parts[e]));
}

/// Lines that a builder can follow with a ruler and the hand wheel.
std::vector<Term> drive_terms(const Steering& steering) {
  std::vector<Term> terms;
  terms.push_back({steering.crank ? "crank" : "rack",
                   fmt::format("from {} to {}", end_words(steering, 0), end_words(steering, 1))});
  if (!steering.follows.empty())
    terms.push_back({"follows", fmt::format("{}, {} {} for each of its own", shown(steering.follows),
                                            number(steering.ratio, 3), unit_of(steering))});
  if (steering.turns_lock_to_lock) {
    std::string text = fmt::format("{} turns from lock to lock", number(steering.turns_lock_to_lock, 2));
    if (steering.rack_mm_per_turn)
      text += fmt::format(", {} mm of rack for each", number(steering.rack_mm_per_turn, 2));
    terms.push_back({"hand wheel", text});
  }
  const auto circles = [&](const char* word, const std::array<std::optional<double>, 2>& circle, const char* what) {
    const std::string text = both_sides(circle, 0, "mm");
    if (!text.empty()) terms.push_back({word, text + what});
  };
  circles("turn circle", steering.turn_circle_mm, ", across the outermost wheel's middle");
  circles("kerb circle", steering.kerb_circle_mm, ", across its tyre's outer edge");
  return terms;
}

std::string by_hand_text(const Steering& steering, const TextStyle& style) {
  Table table;
  table.columns = {
      {"Check by hand: " + shown(steering.name), "", "", Align::left},
      word_column(fmt::format("at {}", number(steering.range[0], 1)) + " " + unit_of(steering), "deg", "lock"),
      {fmt::format("at {}", number(steering.range[1], 1)) + " " + unit_of(steering), "deg"},
      word_column("toe", "deg"),
      word_column("scrub", "mm")};
  for (const SteeredWheel& wheel : steering.wheels)
    table.rows.push_back({shown(wheel.name), number(wheel.lock_deg[0], 1), number(wheel.lock_deg[1], 1),
                          number(wheel.toe_deg, 1), number(wheel.scrub_radius_mm, 1)});
  std::string text =
      table.rows.empty() ? style.ink.heading(shown(steering.name)) + "\n" : table_text(std::move(table), style);
  return text + "\n" + terms_text(drive_terms(steering), Ink{});
}

// ------------------------------------------------------------------------------------ numbers

std::string sweep_text(const Steering& steering, const TextStyle& style) {
  if (steering.wheels.empty()) return "";
  Table table;
  table.columns = {word_column("Sweep: " + shown(steering.name), unit_of(steering), "drive"),
                   word_column("turns", "", "hand turns")};
  bool first = true;
  for (const SteeredWheel& wheel : steering.wheels) {
    table.columns.push_back(first ? word_column(shown(wheel.name), "deg", "steer angle")
                                  : Column{shown(wheel.name), "deg"});
    first = false;
  }
  table.columns.push_back(word_column("error", "deg", "Ackermann error"));
  table.columns.push_back(word_column("turn radius", "mm"));
  for (const SteerPoint& point : steering.sweep) {
    Row row = {number(point.drive, 2), number(point.hand_turns, 2)};
    for (const double angle : point.steer_deg) row.push_back(number(angle, 2));
    row.push_back(number(point.ackermann_error_deg, 2));
    row.push_back(number(point.turn_radius_mm, 0));
    table.rows.push_back(std::move(row));
  }
  return table_text(std::move(table), style);
}

std::string numbers_text(const SteeredModel& model, const TextStyle& style) {
  Table table;
  table.columns = {{"Steering", "", "", Align::left},
                   word_column("wheelbase", "mm"),
                   word_column("king track", "mm", "kingpin track"),
                   word_column("ratio", "", "steering ratio"),
                   word_column("left", "%", "Ackermann"),
                   {"right", "%"},
                   word_column("worst", "deg", "worst error"),
                   word_column("rms", "deg", "mean error"),
                   word_column("margin", "deg", "toggle margin")};
  for (const Steering& steering : model.steered.steering) {
    std::optional<double> margin = steering.rod_margin_deg[0];
    if (steering.rod_margin_deg[1] && (!margin || *steering.rod_margin_deg[1] < *margin))
      margin = steering.rod_margin_deg[1];
    table.rows.push_back({shown(steering.name), number(steering.wheelbase_mm, 1), number(steering.track_mm, 1),
                          number(steering.steering_ratio, 2), number(steering.ackermann_percent[0], 0),
                          number(steering.ackermann_percent[1], 0), number(steering.worst_error_deg, 2),
                          number(steering.rms_error_deg, 2), number(margin, 1)});
  }
  return table_text(std::move(table), style);
}

std::string effort_text(const SteeredModel& model, const TextStyle& style) {
  Table table;
  const std::string force = "rack", torque = "crank";
  table.columns = {
      {"Effort, standing", "", "", Align::left},   {"load", "N"},      {"at the middle", "", ""}, {"at most", "", ""},
      word_column("hand wheel", "N mm", "effort"), {"at most", "N mm"}};
  const SteerEffort* any = nullptr;
  for (const Steering& steering : model.steered.steering) {
    if (!steering.effort) continue;
    any = &*steering.effort;
    const std::string unit = steering.crank ? " N mm" : " N";
    const int decimals = steering.crank ? 0 : 1;
    const auto at_drive = [&](const std::optional<double>& value) {
      return value ? number(value, decimals) + unit : std::string("-");
    };
    table.rows.push_back({shown(steering.name), number(any->load_n, 1), at_drive(any->drive_at_centre),
                          at_drive(any->drive_at_most), number(any->hand_at_centre_n_mm, 0),
                          number(any->hand_at_most_n_mm, 0)});
  }
  if (!any) return "";
  const std::string assumed = fmt::format(
      "An estimate: the vehicle stands, the wheels do not roll, each tyre slides on the ground over its whole width "
      "round its "
      "kingpin with a friction of {:g}{}; pins and gears take nothing.",
      any->friction, any->friction_given ? "" : " (assumed: the file has no tyre_mu)");
  return table_text(std::move(table), style) + "  " + wrapped(assumed, 2) + "\n";
}

}  // namespace

std::string steer_text(const SteeredModel& model, const TextStyle& style) {
  const std::vector<MergedFinding> findings = merged_findings(model.steered.findings);
  std::string text = answer_text(model, findings, style.ink);
  const auto add = [&](const std::string& part) {
    if (!part.empty()) text += "\n" + part;
  };
  for (const Steering& steering : model.steered.steering) add(by_hand_text(steering, style));
  add(numbers_text(model, style));
  for (const Steering& steering : model.steered.steering)
    add(sweep_text(steering, {style.ink, style.terse || &steering != &model.steered.steering.front()}));
  bool first = true;
  for (const Steering& steering : model.steered.steering) {
    const TextStyle once{style.ink, style.terse || !first};
    add(bump_text(steering, once));
    add(room_text(steering, once));
    first = false;
  }
  add(effort_text(model, style));
  add(findings_text(findings, model.solved.notes, style.ink));
  text += "\nPlay and flex are not in these figures.\n";
  return text;
}

}  // namespace ridepitch
