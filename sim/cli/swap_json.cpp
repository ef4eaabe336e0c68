#include "cli/swap_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/json_pieces.hpp"
#include "swap/change_words.hpp"

namespace ridepitch {
namespace {

Json maybe(const std::optional<double>& value) { return value && std::isfinite(*value) ? Json(*value) : Json(nullptr); }
Json maybe(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json keep_json(const Keep& keep) {
  return {{"ride_height_mm", keep.ride_mm},
          {"pitch_deg", keep.pitch_deg},
          {"roll_deg", keep.roll_deg},
          {"wheel_rate_share", keep.rate_share},
          {"frequency_share", keep.frequency_share},
          {"bump_travel_least_share", keep.bump_share},
          {"reserve_least_share", keep.reserve_share}};
}

Json changes_json(const Model& model, const Changes& changes) {
  Json out = Json::array();
  for (const Change& change : changes) {
    out.push_back({{"change", change_words(model, change)}, {"corners", corners_changed(model, change)}});
  }
  return out;
}

Json difference_json(const Difference& difference) {
  const bool in_words = !difference.before_words.empty() || !difference.after_words.empty();
  return {{"where", difference.where},
          {"quantity", difference.quantity},
          {"before", in_words ? maybe(difference.before_words) : maybe(difference.before)},
          {"after", in_words ? maybe(difference.after_words) : maybe(difference.after)},
          {"tolerance", maybe(difference.tolerance)},
          {"least", maybe(difference.least)},
          {"most", maybe(difference.most)},
          {"within", difference.within}};
}

Json need_json(const SpringNeed& need) {
  return {{"wheel", need.wheel},
          {"spring", need.spring},
          {"part", maybe(need.part)},
          {"count", need.count},
          {"motion_ratio_before", need.motion_ratio_before},
          {"motion_ratio_needed", need.motion_ratio_needed},
          {"motion_ratio_after", maybe(need.motion_ratio_after)},
          {"force_n", need.force_n},
          {"length_mm", maybe(need.length_mm)},
          {"least_force_n", need.least_n},
          {"most_force_n", maybe(need.most_n)},
          {"bump_travel_mm", maybe(need.bump_travel_mm)}};
}

}  // namespace

std::string swap_json(const Swapped& swapped) {
  Json differences = Json::array(), needs = Json::array();
  for (const Difference& each : swapped.comparison.differences) differences.push_back(difference_json(each));
  for (const SpringNeed& each : swapped.comparison.needs) needs.push_back(need_json(each));
  return json_document({{"holds", swapped.comparison.holds},
                        {"verdict", swapped.comparison.verdict},
                        {"keep", keep_json(swapped.keep)},
                        {"changes", changes_json(swapped.before.model, swapped.changes)},
                        {"before", solved_json(swapped.before)},
                        {"after", swapped.after ? solved_json(*swapped.after) : Json(nullptr)},
                        {"errors", problems_json(swapped.why_not)},
                        {"differences", std::move(differences)},
                        {"needs", std::move(needs)},
                        {"written", maybe(swapped.written)}});
}

}  // namespace ridepitch
