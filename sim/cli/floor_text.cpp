#include "cli/floor_text.hpp"
#include "cli/page.hpp"

#include <fmt/format.h>

#include <cmath>

namespace ridepitch {
namespace {

constexpr const char* tips = "it tips over";

std::string side_words(const std::string& toward) {
  return toward == "left" || toward == "right" ? toward + " side" : toward == "front" ? "nose" : "tail";
}

std::string beyond(const GroundReach& reach) {
  return reach.tips ? tips : reach.lifted.empty() ? "-" : names_shown(reach.lifted);
}

bool ends(const GroundReach& reach) { return reach.tips || !reach.lifted.empty(); }

/// The wheel whose ground takes least before another one comes off, going up.
std::string first_to_lift(const FloorResult& floor) {
  const WheelReach* least = nullptr;
  for (const WheelReach& wheel : floor.wheels) {
    if (!ends(wheel.block)) continue;
    if (!least || wheel.block.height_mm < least->block.height_mm - floor.tolerance_mm) least = &wheel;
  }
  if (!least) return "No block as high as a wheel, under any one wheel, lifts another off the ground.";
  const std::vector<std::string>& off = least->block.lifted;
  const std::string what =
      least->block.tips ? tips : fmt::format("{} come{} off the ground", names_shown(off), off.size() == 1 ? "s" : "");
  return fmt::format("A block lifts a wheel soonest if it stands under {}: over {} mm high, {}.", shown(least->wheel),
                     number(least->block.height_mm, 1), what);
}

std::string first_to_tip(const FloorResult& floor) {
  const TiltReach* least = nullptr;
  for (const TiltReach& tilt : floor.tilts) {
    if (!tilt.tip_deg) continue;
    if (!least || *tilt.tip_deg < *least->tip_deg - floor.tolerance_deg) least = &tilt;
  }
  if (!least) return "It does not tip over on any slope.";
  std::string text = fmt::format("It tips over first with its {} downhill, on more than {} degrees.",
                                 side_words(least->toward), number(least->tip_deg, 1));
  if (floor.slide_deg) {
    text += fmt::format(" Its tyres slide on more than {} degrees.", number(floor.slide_deg, 1));
  }
  return text;
}

std::string reach_text(const FloorResult& floor, const TextStyle& style) {
  Table table;
  table.columns = {text_column("Uneven ground"), word_column("block", "mm"),
                   word_column("follows", "mm"), word_column("lifts first", "", "lifts first", Align::left),
                   word_column("dip", "mm"),     {"follows", "mm"},
                   text_column("lifts first")};
  for (const WheelReach& wheel : floor.wheels) {
    table.rows.push_back({shown(wheel.wheel), number(wheel.block.height_mm, 1), number(wheel.block.travel_mm, 1),
                          beyond(wheel.block), number(-wheel.dip.height_mm, 1), number(-wheel.dip.travel_mm, 1),
                          beyond(wheel.dip)});
  }
  return table_text(std::move(table), style);
}

std::string tilts_text(const FloorResult& floor, const TextStyle& style) {
  Table table;
  table.columns = {text_column("Tilted floor"), word_column("lifts at", "deg"), word_column("tips at", "deg"),
                   word_column("lifts first", "", "lifts first", Align::left)};
  for (const TiltReach& tilt : floor.tilts) {
    table.rows.push_back({side_words(tilt.toward) + " downhill", number(tilt.lift_deg, 1), number(tilt.tip_deg, 1),
                          tilt.lifted.empty() ? "-" : names_shown(tilt.lifted)});
  }
  return table_text(std::move(table), style);
}

}  // namespace

std::string ground_words(const Solution& solution) {
  if (!solution.floor) return "";
  std::vector<std::string> parts;
  if (solution.floor->slope_deg > 0) {
    parts.push_back(fmt::format("on a slope of {:.4g} degrees, its {} downhill", solution.floor->slope_deg,
                                side_words(solution.floor->toward)));
  }
  for (const Block& block : solution.floor->blocks) {
    parts.push_back(fmt::format("{} {} {:.4g} mm {}", shown(block.wheel),
                                block.height_mm < 0 ? "in a dip" : "on a block", std::abs(block.height_mm),
                                block.height_mm < 0 ? "deep" : "high"));
  }
  return names_shown(parts);
}

std::string floor_text(const Solved& solved, const TextStyle& style) {
  if (!solved.solution.floor) return "";
  const FloorResult& floor = *solved.solution.floor;
  return blocks({wrapped(first_to_lift(floor), 0) + "\n" + wrapped(first_to_tip(floor), 0) + "\n",
                 reach_text(floor, style), tilts_text(floor, style)});
}

}  // namespace ridepitch
