#include "cli/bump_text.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>
#include <nlohmann/json.hpp>

#include "cli/json_pieces.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

constexpr std::size_t json_points = 21;      // of each curve; its ends among them
constexpr double too_little_to_see = 0.005;  // it would print as 0.00

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

const std::string& name_of(const BumpSteer& wheel) { return wheel.same_as; }

// What a builder can move, for one wheel.
std::string remedy_words(const BumpSteer& wheel) {
  const ZeroSlope& zero = *wheel.zero;
  std::string text = fmt::format("inner end of rod {} at {}", shown(wheel.rod), place_words(zero.now));
  if (!wheel.heights_given) text += " (no height is given: taken in the plane of the linkage)";
  if (std::abs(zero.now.slope_deg_per_10mm) < too_little_to_see) return text + ": as good as no slope";
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
          {"slope_deg_per_10mm", maybe(std::optional(end.slope_deg_per_10mm))}};
}

Json end_json(const std::optional<InnerEnd>& end) { return end ? end_json(*end) : Json(nullptr); }

Json curve_json(const std::optional<BumpCurve>& curve) {
  if (!curve) return nullptr;
  Json points = Json::array();
  const std::size_t n = curve->points.size(), shown_points = std::min(n, json_points);
  for (std::size_t i = 0; i < shown_points; ++i) {
    const BumpPoint& point = curve->points[shown_points > 1 ? i * (n - 1) / (shown_points - 1) : 0];
    points.push_back({{"travel_mm", point.travel_mm},
                      {"toe_deg", point.toe_deg},
                      {"slope_deg_per_10mm", maybe(std::optional(point.slope_deg_per_10mm))}});
  }
  return {{"slope_deg_per_10mm", maybe(std::optional(curve->rest_slope_deg_per_10mm))},
          {"rest_travel_mm", curve->rest_travel_mm},
          {"rod_ends_droop", curve->rod_ends_droop},
          {"rod_ends_bump", curve->rod_ends_bump},
          {"points", std::move(points)}};
}

}  // namespace

std::string bump_text(const Steering& steering, const TextStyle& style) {
  const std::string unit = steering.crank ? "deg" : "mm";
  Table table;
  table.columns = {{"Bump steer: " + shown(steering.name), "", "", Align::left},
                   word_column("at rest", "deg/10 mm", "bump steer"),
                   {fmt::format("at {} {}", number(steering.range[0], 1), unit), "deg/10 mm"},
                   {fmt::format("at {} {}", number(steering.range[1], 1), unit), "deg/10 mm"},
                   {"at droop", "deg"},
                   {"at bump", "deg"}};
  std::vector<Term> remedies;
  for (const BumpSteer& wheel : steering.bump) {
    if (!wheel.straight) continue;
    table.rows.push_back({shown(name_of(wheel)), number(slope_of(wheel.straight), 2),
                          number(slope_of(wheel.lock[0]), 2), number(slope_of(wheel.lock[1]), 2),
                          number(toe_at(wheel.straight, false), 2), number(toe_at(wheel.straight, true), 2)});
    if (wheel.zero) remedies.push_back({shown(name_of(wheel)), remedy_words(wheel)});
  }
  if (table.rows.empty()) return "";
  std::string text = table_text(std::move(table), style);
  if (!style.terse)
    text +=
        "  " +
        wrapped(
            "At droop and at bump: how far it points to the left of where it points at rest, straight ahead. Places in "
            "modules, on the grid of the body that has the rod's inner end; a rod's length from ball to ball.",
            2) +
        "\n";
  return text + terms_text(remedies, Ink{});
}

std::string room_text(const Steering& steering, const TextStyle& style) {
  if (!steering.room || steering.room->gaps.empty()) return "";
  const Room& room = *steering.room;
  const std::string unit = steering.crank ? "deg" : "mm";
  Table table;
  table.columns = {{"Room at lock: " + shown(steering.name), "", "", Align::left},
                   {"nearest to", "", "", Align::left},
                   word_column("gap", "mm", "room"),
                   {"drive", unit},
                   {"turned", "deg"},
                   {"travel", "mm"}};
  for (const LeastGap& gap : room.gaps)
    table.rows.push_back({shown(gap.wheel), shown(gap.against), number(gap.gap_mm, 1), number(gap.drive, 1),
                          number(gap.steer_deg, 1), number(gap.travel_mm, 1)});
  std::string text = table_text(std::move(table), style);
  std::string clears;
  if (room.clear)
    clears = "Nothing touches, at any lock and travel.";
  else if (!room.clear_drive)
    clears = "It touches with the drive at 0 already: no lock clears it.";
  else
    clears = fmt::format("It touches. From {} to {} {} it would still clear, at any travel.",
                         number((*room.clear_drive)[0], 2), number((*room.clear_drive)[1], 2), unit);
  return text + "  " + wrapped(clears, 2) + "\n";
}

Json bump_json(const BumpSteer& wheel) {
  if (!wheel.straight) return nullptr;
  Json zero = nullptr;
  if (wheel.zero)
    zero = {{"now", end_json(wheel.zero->now)},
            {"exact", end_json(wheel.zero->exact)},
            {"level", end_json(wheel.zero->level)},
            {"upright", end_json(wheel.zero->upright)},
            {"hole", end_json(wheel.zero->hole)}};
  return {{"slope_deg_per_10mm", maybe(slope_of(wheel.straight))},
          {"rod", maybe(wheel.rod)},
          {"heights_given", wheel.heights_given},
          {"zero_slope", std::move(zero)},
          {"straight", curve_json(wheel.straight)},
          {"at_lock", Json::array({curve_json(wheel.lock[0]), curve_json(wheel.lock[1])})}};
}

Json room_json(const Steering& steering, double module_mm) {
  if (!steering.room) return nullptr;
  Json gaps = Json::array();
  for (const LeastGap& gap : steering.room->gaps)
    gaps.push_back({{"wheel", gap.wheel},
                    {"against", gap.against},
                    {"keepout", gap.box},
                    {"gap_mm", gap.gap_mm},
                    {"drive", gap.drive},
                    {"steer_deg", gap.steer_deg},
                    {"travel_mm", maybe(gap.travel_mm)},
                    {"other_travel_mm", maybe(gap.other_travel_mm)},
                    {"at_modules", {gap.at_mm.x() / module_mm, gap.at_mm.y() / module_mm, gap.at_mm.z() / module_mm}}});
  return {{"clear", steering.room->clear},
          {"clear_drive", steering.room->clear_drive ? Json(*steering.room->clear_drive) : Json(nullptr)},
          {"gaps", std::move(gaps)}};
}

}  // namespace ridepitch
