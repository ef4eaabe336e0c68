#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/json_pieces.hpp"
#include "cli/steered_model.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t json_points = 21;        // of each curve; its ends among them
constexpr double unseen_deg_per_10mm = 0.005;  // it would print as 0.00

std::optional<double> slope_of(const std::optional<BumpCurve>& curve) {
  return curve ? std::optional(curve->rest_slope_deg_per_10mm) : std::nullopt;
}

std::optional<double> toe_at(const std::optional<BumpCurve>& curve, bool bump) {
  if (!curve || curve->points.empty()) return std::nullopt;
  return bump ? curve->points.back().toe_deg : curve->points.front().toe_deg;
}

std::string place_words(const InnerEnd& end) {
  return fmt::format("[{:.2f}, {:.2f}], height {:.2f}", end.hole.x(), end.hole.y(), end.height);
}

// What a builder can move, for one wheel.
std::string remedy_words(const BumpSteer& wheel) {
  const ZeroSlope& zero = *wheel.zero;
  std::string text = fmt::format("inner end of rod {} at {}", shown(wheel.rod), place_words(zero.now));
  if (!wheel.heights_given) text += " (no height is given: taken in the plane of the linkage)";
  if (std::abs(zero.now.slope_deg_per_10mm) < unseen_deg_per_10mm) return text + ": as good as no slope";
  if (zero.upright) text += fmt::format("; no slope in the same hole at height {:.2f}", zero.upright->height);
  text += fmt::format("; nearest point without slope {}, rod {:.2f}", place_words(zero.exact), zero.exact.rod_length);
  const bool there =
      (zero.hole.hole - zero.now.hole).norm() < 1e-9 && std::abs(zero.hole.height - zero.now.height) < 1e-9;
  if (there) return text + "; no hole is nearer to it than the one it has";
  return text + fmt::format("; nearest hole {}, rod {:.2f}: {} deg per 10 mm", place_words(zero.hole),
                            zero.hole.rod_length, number(zero.hole.slope_deg_per_10mm, 2));
}

Json end_json(const InnerEnd& end) {
  return {{"hole", {end.hole.x(), end.hole.y()}},
          {"height", end.height},
          {"rod_length", end.rod_length},
          {"slope_deg_per_10mm", maybe(end.slope_deg_per_10mm)}};
}

Json point_json(const BumpPoint& point) {
  return {{"travel_mm", point.travel_mm},
          {"toe_deg", point.toe_deg},
          {"slope_deg_per_10mm", maybe(point.slope_deg_per_10mm)}};
}

Json kingpin_json(const std::array<KingpinLean, 3>& kingpin) {
  const auto lean = [](const KingpinLean& at) -> Json {
    return {{"caster_deg", at.caster_deg}, {"inclination_deg", at.inclination_deg}};
  };
  return {{"droop", lean(kingpin[0])}, {"rest", lean(kingpin[1])}, {"bump", lean(kingpin[2])}};
}

Json curve_json(const BumpCurve& curve) {
  Json points = Json::array();
  const std::size_t n = curve.points.size(), shown_points = std::min(n, json_points);
  for (std::size_t i = 0; i < shown_points; ++i)
    points.push_back(point_json(curve.points[shown_points > 1 ? i * (n - 1) / (shown_points - 1) : 0]));
  return {{"slope_deg_per_10mm", maybe(curve.rest_slope_deg_per_10mm)},
          {"rest_travel_mm", curve.rest_travel_mm},
          {"rod_ends_droop", curve.rod_ends_droop},
          {"rod_ends_bump", curve.rod_ends_bump},
          {"kingpin", kingpin_json(curve.kingpin)},
          {"points", std::move(points)}};
}

Json zero_json(const ZeroSlope& zero) {
  return {{"now", end_json(zero.now)},
          {"exact", end_json(zero.exact)},
          {"level", maybe(zero.level, end_json)},
          {"upright", maybe(zero.upright, end_json)},
          {"hole", end_json(zero.hole)}};
}

Json gap_json(const LeastGap& gap, double module_mm) {
  return {{"wheel", gap.wheel},
          {"against", gap.against},
          {"keepout", gap.box},
          {"gap_mm", gap.gap_mm},
          {"drive", gap.drive},
          {"steer_deg", gap.steer_deg},
          {"travel_mm", maybe(gap.travel_mm)},
          {"other_travel_mm", maybe(gap.other_travel_mm)},
          {"at_modules", {gap.at_mm.x() / module_mm, gap.at_mm.y() / module_mm, gap.at_mm.z() / module_mm}}};
}

}  // namespace

std::string bump_text(const Steering& steering, const TextStyle& style) {
  const std::string unit = steering.crank ? "deg" : "mm";
  Table table;
  table.columns = {text_column("Bump steer: " + shown(steering.name)),
                   word_column("at rest", "deg/10 mm", "bump steer"),
                   {fmt::format("at {} {}", number(steering.range[0], 1), unit), "deg/10 mm"},
                   {fmt::format("at {} {}", number(steering.range[1], 1), unit), "deg/10 mm"},
                   {"at droop", "deg"},
                   {"at bump", "deg"}};
  std::vector<Term> remedies;
  for (const BumpSteer& wheel : steering.bump) {
    if (!wheel.straight) continue;
    table.rows.push_back({shown(wheel.same_as), number(slope_of(wheel.straight), 2), number(slope_of(wheel.lock[0]), 2),
                          number(slope_of(wheel.lock[1]), 2), number(toe_at(wheel.straight, false), 2),
                          number(toe_at(wheel.straight, true), 2)});
    if (wheel.zero) remedies.push_back({shown(wheel.same_as), remedy_words(wheel)});
  }
  std::string text = table_text(std::move(table), style);
  if (!text.empty() && !style.terse)
    text +=
        "  " +
        wrapped(
            "At droop and at bump: how far it points to the left of where it points at rest, straight ahead. Places in "
            "modules, on the grid of the body that has the rod's inner end; a rod's length from ball to ball.",
            2) +
        "\n";
  return text + terms_text(remedies, Ink{});
}

std::string kingpin_text(const Steering& steering, const TextStyle& style) {
  Table table;
  table.columns = {text_column("Kingpins: " + shown(steering.name)),
                   word_column("caster", "deg at rest"),
                   {"at droop", "deg"},
                   {"at bump", "deg"},
                   word_column("inclination", "deg at rest", "inclination"),
                   {"at droop", "deg"},
                   {"at bump", "deg"}};
  for (const BumpSteer& wheel : steering.bump) {
    if (!wheel.straight) continue;
    const auto& [droop, rest, bump] = wheel.straight->kingpin;
    table.rows.push_back({shown(wheel.same_as), number(rest.caster_deg, 1), number(droop.caster_deg, 1),
                          number(bump.caster_deg, 1), number(rest.inclination_deg, 1), number(droop.inclination_deg, 1),
                          number(bump.inclination_deg, 1)});
  }
  return table_text(std::move(table), style);
}

std::string clearance_text(const Steering& steering, const TextStyle& style) {
  if (!steering.clearance || steering.clearance->gaps.empty()) return "";
  const LockClearance& clearance = *steering.clearance;
  const std::string unit = steering.crank ? "deg" : "mm";
  Table table;
  table.columns = {text_column("Lock clearance: " + shown(steering.name)),
                   text_column("nearest to"),
                   word_column("gap", "mm", "lock clearance"),
                   {"drive", unit},
                   {"turned", "deg"},
                   {"travel", "mm"}};
  for (const LeastGap& gap : clearance.gaps)
    table.rows.push_back({shown(gap.wheel), shown(gap.against), number(gap.gap_mm, 1), number(gap.drive, 1),
                          number(gap.steer_deg, 1), number(gap.travel_mm, 1)});
  std::string text = table_text(std::move(table), style);
  const char* const searched =
      " The search stopped at its limit before it had looked everywhere: gaps may be less than told.";
  std::string clears =
      clearance.complete ? "Nothing touches, at any lock and travel." : "Nothing was found that touches.";
  if (!clearance.clear) clears = "It touches with the drive at 0 already: no lock clears it.";
  if (!clearance.clear && clearance.clear_drive)
    clears = fmt::format("It touches. From {} to {} {} it would still clear, at any travel.",
                         number((*clearance.clear_drive)[0], 2), number((*clearance.clear_drive)[1], 2), unit);
  return text + "  " + wrapped(clearance.complete ? clears : clears + searched, 2) + "\n";
}

Json bump_json(const BumpSteer& wheel) {
  if (!wheel.straight) return nullptr;
  return {{"slope_deg_per_10mm", maybe(slope_of(wheel.straight))},
          {"rod", maybe(wheel.rod)},
          {"heights_given", wheel.heights_given},
          {"zero_slope", maybe(wheel.zero, zero_json)},
          {"straight", curve_json(*wheel.straight)},
          {"at_lock", list_json(wheel.lock, [](const auto& curve) { return maybe(curve, curve_json); })}};
}

Json clearance_json(const Steering& steering, double module_mm) {
  return maybe(steering.clearance, [&](const LockClearance& clearance) -> Json {
    return {{"clear", clearance.clear},
            {"complete", clearance.complete},
            {"clear_drive", clearance.clear_drive ? Json(*clearance.clear_drive) : Json(nullptr)},
            {"gaps", list_json(clearance.gaps, [&](const LeastGap& gap) { return gap_json(gap, module_mm); })}};
  });
}

}  // namespace ridepitch
