#include <fmt/format.h>

#include <cmath>

#include "cli/findings_text.hpp"
#include "cli/page.hpp"
#include "cli/steered_model.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

constexpr double unseen_deg = 0.05;  // it would print as 0.0

const char* unit_of(const Steering& steering) { return steering.crank ? "deg" : "mm"; }

/// Two values of [left, right] as one where they show alike: "32.1", or "32.1 to the left and 30.0 to the right".
/// @param alike  what stands behind one value for both
std::string both_sides(const std::array<std::optional<double>, 2>& sides, int decimals, const std::string& unit,
                       const std::string& alike = " to both sides") {
  std::vector<std::string> words;
  for (std::size_t side = 0; side < 2; ++side)
    if (sides[side])
      words.push_back(number(sides[side], decimals) + " " + unit + (side == 0 ? " to the left" : " to the right"));
  if (sides[0] && sides[1] && number(sides[0], decimals) == number(sides[1], decimals))
    return number(sides[0], decimals) + " " + unit + alike;
  return joined(words, " and ");
}

// -------------------------------------------------------------------------------------- the answer

std::string error_words(const Steering& steering) {
  if (!steering.worst_error_deg) return "";
  const double error = *steering.worst_error_deg;
  if (std::abs(error) < unseen_deg) return "at their ideal angles throughout";
  return fmt::format("the outer wheel at worst {} degrees {} its ideal angle", number(std::abs(error), 1),
                     error > 0 ? "beyond" : "short of");
}

/// What one steering does, in a sentence without its full stop.
std::string steering_words(const Steering& steering) {
  const std::string locks = both_sides(steering.inner_lock_deg, 1, "degrees");
  const std::string circle = both_sides(steering.turn_circle_mm, 0, "mm", "");
  std::string text = fmt::format("{} turns its wheels {}", shown(steering.name), locks.empty() ? "nowhere" : locks);
  if (!circle.empty()) text += ", in a circle of " + circle;
  if (const std::string error = error_words(steering); !error.empty()) text += ", " + error;
  return text;
}

std::string answer_text(const SteeredModel& model, const std::vector<MergedFinding>& findings, const Ink& ink) {
  const std::string name = shown(model.solved.model.name);
  std::vector<std::string> steered;
  for (const Steering& steering : model.steered.steering)
    if (!steering.wheels.empty()) steered.push_back(steering_words(steering));
  const std::string count = findings_count(findings, model.solved.notes.size());
  const bool works = findings.empty() || findings[0].finding.level != Level::problem;
  const std::string text =
      wrapped(fmt::format("{}: {}. {}", name, steered.empty() ? "its drives move no wheel" : joined(steered, "; "),
                          count.empty() ? "Nothing was found against it."
                          : works       ? fmt::format("It works; {} at the end.", count)
                                        : fmt::format("It does not work as it is: {} at the end.", count)),
              0);
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
  for (const HandWheel& hand : steering.hands)
    terms.push_back({shown(hand.name), fmt::format("{} turns from lock to lock, geared {} to 1",
                                                   number(hand.turns_lock_to_lock, 2), number(hand.ratio, 2))});
  if (steering.turns_lock_to_lock && steering.hands.empty()) {
    std::string text = fmt::format("{} turns from lock to lock", number(steering.turns_lock_to_lock, 2));
    if (steering.rack_mm_per_turn)
      text += fmt::format(", {} mm of rack for each", number(steering.rack_mm_per_turn, 2));
    terms.push_back({"hand wheel", text});
  }
  if (const std::string circle = both_sides(steering.turn_circle_mm, 0, "mm"); !circle.empty())
    terms.push_back({"turn circle", circle + ", across the outermost wheel's middle"});
  if (const std::string circle = both_sides(steering.kerb_circle_mm, 0, "mm"); !circle.empty())
    terms.push_back({"kerb circle", circle + ", across its tyre's outer edge"});
  return terms;
}

/// "at -12.0 mm"
std::string at_end(const Steering& steering, std::size_t end) {
  return fmt::format("at {} {}", number(steering.range[end], 1), unit_of(steering));
}

std::string by_hand_text(const Steering& steering, const TextStyle& style) {
  Table table;
  table.columns = {text_column("Check by hand: " + shown(steering.name)),
                   word_column(at_end(steering, 0), "deg", "lock"),
                   {at_end(steering, 1), "deg"},
                   word_column("toe", "deg"),
                   word_column("scrub", "mm")};
  for (const SteeredWheel& wheel : steering.wheels)
    table.rows.push_back({shown(wheel.name), number(wheel.lock_deg[0], 1), number(wheel.lock_deg[1], 1),
                          number(wheel.toe_deg, 1), number(wheel.scrub_radius_mm, 1)});
  const std::string text = table_text(std::move(table), style);
  return (text.empty() ? style.ink.heading(shown(steering.name)) + "\n" : text) + "\n" +
         terms_text(drive_terms(steering), Ink{});
}

// ------------------------------------------------------------------------------------ numbers

std::string sweep_text(const Steering& steering, const TextStyle& style) {
  if (steering.wheels.empty()) return "";
  Table table;
  table.columns = {word_column("Sweep: " + shown(steering.name), unit_of(steering), "drive"),
                   word_column("turns", "", "hand turns")};
  for (const SteeredWheel& wheel : steering.wheels) table.columns.push_back({shown(wheel.name), "deg"});
  table.columns[2] = word_column(table.columns[2].heading, "deg", "steer angle");
  table.columns.push_back(word_column("error", "deg", "Ackermann error"));
  table.columns.push_back(word_column("turn radius", "mm"));
  for (const SteerPoint& point : steering.sweep) {
    Row row = {number(point.drive, 2), number(point.hand_turns, 2)};
    for (const double angle : point.steer_deg) row.push_back(number(angle, 2));
    row.insert(row.end(), {number(point.ackermann_error_deg, 2), number(point.turn_radius_mm, 0)});
    table.rows.push_back(std::move(row));
  }
  return table_text(std::move(table), style);
}

std::string numbers_text(const SteeredModel& model, const TextStyle& style) {
  Table table;
  table.columns = {text_column("Steering"),
                   word_column("wheelbase", "mm"),
                   word_column("kingpin track", "mm"),
                   word_column("ratio", "", "steering ratio"),
                   word_column("left", "%", "Ackermann"),
                   {"right", "%"},
                   word_column("worst", "deg", "worst error"),
                   word_column("rms", "deg", "mean error"),
                   word_column("margin", "deg", "toggle margin")};
  for (const Steering& steering : model.steered.steering) {
    std::optional<double> margin;
    for (const auto& each : steering.rod_margin_deg)
      if (each && (!margin || *each < *margin)) margin = each;
    table.rows.push_back({shown(steering.name), number(steering.wheelbase_mm, 1), number(steering.track_mm, 1),
                          number(steering.steering_ratio, 2), number(steering.ackermann_percent[0], 0),
                          number(steering.ackermann_percent[1], 0), number(steering.worst_error_deg, 2),
                          number(steering.rms_error_deg, 2), number(margin, 1)});
  }
  return table_text(std::move(table), style);
}

/// What each hand wheel of the file does; empty where there is none.
std::string hands_text(const SteeredModel& model, const TextStyle& style) {
  Table table;
  table.columns = {text_column("Hand wheels"),
                   word_column("turns", "", "turns lock to lock"),
                   word_column("ratio", "", "steering ratio"),
                   word_column("effort", "N mm"),
                   {"at most", "N mm"}};
  for (const Steering& steering : model.steered.steering)
    for (const HandWheel& hand : steering.hands)
      table.rows.push_back({shown(steering.name + "/" + hand.name), number(hand.turns_lock_to_lock, 2),
                            number(hand.steering_ratio, 2), number(hand.at_centre_n_mm, 0),
                            number(hand.at_most_n_mm, 0)});
  return table_text(std::move(table), style);
}

std::string effort_text(const SteeredModel& model, const TextStyle& style) {
  Table table;
  table.columns = {text_column("Effort, standing"),
                   {"load", "N"},
                   {"at the middle", "", ""},
                   {"at most", "", ""},
                   word_column("hand wheel", "N mm", "effort"),
                   {"at most", "N mm"}};
  const SteerEffort* any = nullptr;
  for (const Steering& steering : model.steered.steering) {
    if (!steering.effort) continue;
    any = &*steering.effort;
    const std::string unit = steering.crank ? " N mm" : " N";
    const int decimals = steering.crank ? 0 : 1;
    const auto at_drive = [&](const std::optional<double>& value) {
      return value && std::isfinite(*value) ? number(value, decimals) + unit : std::string("-");
    };
    table.rows.push_back({shown(steering.name), number(any->load_n, 1), at_drive(any->drive_at_centre),
                          at_drive(any->drive_at_most), number(any->hand_at_centre_n_mm, 0),
                          number(any->hand_at_most_n_mm, 0)});
  }
  if (!any) return "";
  const std::string assumed = fmt::format(
      "An estimate: the vehicle stands, the wheels do not roll, each tyre slides on the ground over its whole width "
      "round its kingpin with a friction of {:g}{}; pins and gears take nothing.",
      any->friction, any->friction_given ? "" : " (assumed: the file has no tyre_mu)");
  return table_text(std::move(table), style) + "  " + wrapped(assumed, 2) + "\n";
}

}  // namespace

std::string steer_text(const SteeredModel& model, const TextStyle& style) {
  const std::vector<Steering>& all = model.steered.steering;
  const std::vector<MergedFinding> findings = merged_findings(model.steered.findings);
  std::vector<std::string> parts = {answer_text(model, findings, style.ink)};
  for (const Steering& steering : all) parts.push_back(by_hand_text(steering, style));
  parts.push_back(numbers_text(model, style));
  const auto once = [&](const Steering& steering) {  // headings are explained at the first one only
    return TextStyle{style.ink, style.terse || &steering != &all.front()};
  };
  for (const Steering& steering : all) parts.push_back(sweep_text(steering, once(steering)));
  for (const Steering& steering : all) {
    parts.push_back(bump_text(steering, once(steering)));
    parts.push_back(kingpin_text(steering, once(steering)));
    parts.push_back(clearance_text(steering, once(steering)));
  }
  parts.push_back(hands_text(model, style));
  parts.push_back(effort_text(model, style));
  parts.push_back(findings_text(findings, model.solved.notes, style.ink));
  parts.emplace_back("Play and flex are not in these figures.\n");
  return blocks(parts);
}

}  // namespace ridepitch
