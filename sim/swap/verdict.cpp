#include "swap/verdict.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "words/listed.hpp"

namespace ridepitch {
namespace {

using Differences = std::vector<const Difference*>;

/// Corners that stand on the ground, by index.
std::vector<int> corners_on_ground(const Model& model) {
  std::vector<int> corners;
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const Linkage& linkage = model.linkages[static_cast<std::size_t>(model.corners[c].linkage)];
    if (linkage.plane != Plane::top) corners.push_back(static_cast<int>(c));
  }
  return corners;
}

/// Where on the vehicle some of its corners are: "" for all of them, " at the rear", " on the left", " at rear left".
std::string corner_words(const Model& model, const Differences& where) {
  const std::vector<int> all = corners_on_ground(model);
  std::vector<int> some;
  for (const Difference* each : where) {
    if (std::find(some.begin(), some.end(), each->corner) == some.end()) some.push_back(each->corner);
  }
  if (some.size() == all.size()) return "";
  const auto at = [&](int corner) -> const Corner& { return model.corners[static_cast<std::size_t>(corner)]; };
  if (!model.bench) {
    double middle_mm = 0;
    for (const int corner : all) middle_mm += at(corner).at_mm.x() / static_cast<double>(all.size());
    const auto are_all_that = [&](const auto& is) {
      return std::all_of(all.begin(), all.end(), [&](int corner) {
        return is(at(corner)) == (std::find(some.begin(), some.end(), corner) != some.end());
      });
    };
    if (are_all_that([&](const Corner& c) { return c.at_mm.x() < middle_mm; })) return " at the rear";
    if (are_all_that([&](const Corner& c) { return c.at_mm.x() > middle_mm; })) return " in front";
    if (are_all_that([&](const Corner& c) { return c.at_mm.y() > 0; })) return " on the left";
    if (are_all_that([&](const Corner& c) { return c.at_mm.y() < 0; })) return " on the right";
  }
  std::vector<std::string> names;
  names.reserve(some.size());
  for (const int corner : some) names.push_back(at(corner).name);
  return " at " + listed(names);
}

Differences failing(const Comparison& comparison, std::string_view quantity) {
  Differences list;
  for (const Difference& each : comparison.differences) {
    if (each.quantity == quantity && !each.within) list.push_back(&each);
  }
  return list;
}

double change(const Difference& difference) { return *difference.after - *difference.before; }
double share(const Difference& difference) { return change(difference) / std::abs(*difference.before); }

/// The one with the greatest amount.
template <class Amount>
const Difference& greatest(const Differences& list, const Amount& amount) {
  return **std::max_element(list.begin(), list.end(), [&](const Difference* a, const Difference* b) {
    return std::abs(amount(*a)) < std::abs(amount(*b));
  });
}

/// "3.2", or as many decimals as show that it is more than nothing.
std::string amount_words(double amount, int decimals) {
  const int most = 6;
  amount = std::abs(amount);
  std::string text = fmt::format("{:.{}f}", amount, decimals);
  while (decimals < most && text.find_first_not_of("0.") == std::string::npos) {
    text = fmt::format("{:.{}f}", amount, ++decimals);
  }
  return text;
}

std::string percent_words(double of_one) {
  const double whole = 10;
  return amount_words(100 * of_one, std::abs(100 * of_one) < whole ? 1 : 0) + " %";
}

/// Those of a list whose number went up, or down.
Differences gone(const Differences& list, bool up) {
  Differences some;
  for (const Difference* each : list) {
    if (each->before && each->after && (change(*each) > 0) == up) some.push_back(each);
  }
  return some;
}

/// What of a comparison does not hold, phrase by phrase.
struct Phrases {
  const Model& model;
  const Comparison& comparison;
  std::vector<std::string> list = {};
  std::string last_place = {};

  /// The same place is not named twice running.
  std::string place(const Differences& where) {
    const std::string words = corner_words(model, where);
    std::string result = !words.empty() && words == last_place ? " there" : words;
    last_place = words;
    return result;
  }

  void lacks() {
    for (const char* kind : {"corner", "wheel"}) {
      std::vector<std::string> names;
      for (const Difference* each : failing(comparison, kind)) names.push_back(each->where);
      if (!names.empty())
        list.push_back(fmt::format("lacks the {}{} {}", kind, names.size() > 1 ? "s" : "", listed(names)));
    }
  }

  void states() {
    const std::vector<std::pair<const char*, const char*>> words = {{"bottomed", "rests on its bump stop"},
                                                                    {"topped", "hangs on its droop stop"},
                                                                    {"lifted", "hangs in the air"},
                                                                    {"fixed", "is fixed"}};
    for (const auto& [state, what] : words) {
      Differences there;
      for (const Difference* each : failing(comparison, "state")) {
        if (each->after_words == state) there.push_back(each);
      }
      if (!there.empty()) list.push_back(what + place(there));
    }
  }

  void heights() {
    for (const bool up : {false, true}) {
      const Differences off = gone(failing(comparison, "ride_height_mm"), up);
      if (off.empty()) continue;
      const double most_mm = std::abs(change(greatest(off, change)));
      double least_mm = most_mm;
      for (const Difference* each : off) least_mm = std::min(least_mm, std::abs(change(*each)));
      // Where one end goes down much more than the other, both numbers are wanted.
      const std::string from = least_mm < 0.5 * most_mm ? amount_words(least_mm, 1) + " to " : "";
      list.push_back(
          fmt::format("stands {}{} mm {}{}", from, amount_words(most_mm, 1), up ? "higher" : "lower", place(off)));
    }
  }

  void leans() {
    if (!failing(comparison, "ride_height_mm").empty()) return;  // says as much
    for (const Difference* each : failing(comparison, "pitch_deg")) {
      if (each->after)
        list.push_back(fmt::format("stands with its nose {} degrees {}", amount_words(change(*each), 1),
                                   change(*each) > 0 ? "lower" : "higher"));
    }
    for (const Difference* each : failing(comparison, "roll_deg")) {
      if (each->after)
        list.push_back(fmt::format("leans {} degrees more to the {}", amount_words(change(*each), 1),
                                   change(*each) > 0 ? "right" : "left"));
    }
  }

  void travel() {
    const Differences off = gone(failing(comparison, "bump_travel_mm"), false);
    if (off.empty()) return;
    const Difference& worst = greatest(off, share);
    const double nothing_mm = 0.05;
    if (*worst.after < nothing_mm) return;  // it rests on its stop: said already
    list.push_back(
        fmt::format("bottoms out after {:.1f} mm{} ({:.1f} before)", *worst.after, place(off), *worst.before));
  }

  void rates() {
    const bool by_rate = !failing(comparison, "wheel_rate_n_per_mm").empty();
    for (const bool up : {false, true}) {
      const Differences off = gone(failing(comparison, by_rate ? "wheel_rate_n_per_mm" : "frequency_hz"), up);
      if (off.empty()) continue;
      const std::string much = percent_words(share(greatest(off, share)));
      const char* how = by_rate ? (up ? "stiffer" : "softer") : (up ? "quicker" : "slower");
      list.push_back(fmt::format("{} {} {}{}", by_rate ? "rides" : "bobs", much, how, place(off)));
    }
  }

  /// Where no wheel's own rate tells it: the work of a bar, say.
  void modes() {
    if (!failing(comparison, "wheel_rate_n_per_mm").empty() || !failing(comparison, "frequency_hz").empty()) return;
    const std::vector<std::pair<const char*, const char*>> words = {
        {"bounce_frequency_hz", "bounces"}, {"pitch_frequency_hz", "pitches"}, {"roll_frequency_hz", "rolls"}};
    for (const auto& [quantity, does] : words) {
      for (const Difference* each : failing(comparison, quantity)) {
        if (!each->after) continue;
        list.push_back(
            fmt::format("{} {} {}", does, percent_words(share(*each)), change(*each) > 0 ? "quicker" : "slower"));
      }
    }
  }

  void reserves() {
    const Differences off = gone(failing(comparison, "reserve"), false);
    if (off.empty()) return;
    const Difference& worst = greatest(off, share);
    list.push_back(fmt::format("carries {:.2f} times its load at most{} ({:.2f} before)", *worst.after, place(off),
                               *worst.before));
  }

  void findings() {
    std::vector<std::pair<std::string, std::vector<std::string>>> kinds;  // code, and where
    for (const Finding& finding : comparison.new_findings) {
      auto kind =
          std::find_if(kinds.begin(), kinds.end(), [&](const auto& each) { return each.first == finding.code; });
      if (kind == kinds.end()) kind = kinds.insert(kinds.end(), {finding.code, {}});
      if (!finding.where.empty()) kind->second.push_back(finding.where);
    }
    for (const auto& [code, where] : kinds) {
      list.push_back(fmt::format("has a new problem ({}{}{})", code, where.empty() ? "" : " at ", listed(where)));
    }
  }

  /// Numbers that are there no more, of wheels whose state does not tell why.
  void lost_numbers() {
    std::vector<std::string> names;
    for (const Difference& each : comparison.differences) {
      if (each.within || !each.before || each.after) continue;
      const bool told =
          std::any_of(comparison.differences.begin(), comparison.differences.end(),
                      [&](const Difference& o) { return o.quantity == "state" && !o.within && o.where == each.where; });
      if (!told)
        names.push_back(fmt::format("{} of {}", each.quantity, each.where.empty() ? "the vehicle" : each.where));
    }
    if (!names.empty()) list.push_back("has no " + listed(names));
  }
};

/// "ride height within 0.2 mm, wheel rate within 1.4 %"
std::string closeness(const Comparison& comparison) {
  struct Kind {
    std::string_view quantity, words;
    bool as_share;
    std::string_view unit;
    int decimals;
  };
  constexpr Kind kinds[] = {{"ride_height_mm", "ride height", false, " mm", 1},
                            {"pitch_deg", "pitch", false, " degrees", 2},
                            {"wheel_rate_n_per_mm", "wheel rate", true, " %", 1}};
  std::vector<std::string> words;
  bool any = false;
  for (const Kind& kind : kinds) {
    double most = -1;
    for (const Difference& each : comparison.differences) {
      if (each.quantity != kind.quantity || !each.before || !each.after) continue;
      const bool by_share = kind.as_share && *each.before != 0;
      most = std::max(most, std::abs(by_share ? 100 * share(each) : change(each)));
    }
    if (most < 0) continue;
    const double nothing = 1e-9;
    any = any || most > nothing;
    words.push_back(fmt::format("{} within {:.{}f}{}", kind.words, most, kind.decimals, kind.unit));
  }
  return any ? listed(words) : "no number differs";
}

}  // namespace

std::string verdict_words(const Model& before, const Comparison& comparison) {
  if (comparison.holds) return "stands the same: " + closeness(comparison);
  Phrases phrases{before, comparison};
  phrases.lacks();
  phrases.states();
  phrases.heights();
  phrases.leans();
  phrases.travel();
  phrases.rates();
  phrases.modes();
  phrases.reserves();
  phrases.findings();
  phrases.lost_numbers();
  return listed(phrases.list);
}

}  // namespace ridepitch
