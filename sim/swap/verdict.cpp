#include "swap/compare.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>
#include <vector>

#include <fmt/format.h>

#include "ride/figure.hpp"
#include "swap/grouped.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

using DifferenceList = std::vector<const Difference*>;

/// Where on the vehicle some of its corners are: "" for all of them, " at the rear", " on the left", " at rear left".
std::string corner_words(const Model& model, const DifferenceList& where) {
  std::vector<int> all;
  for (const Figure& part : corners_and_wheels(model))
    if (part.wheel < 0) all.push_back(part.corner);
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

DifferenceList failing(const Comparison& comparison, std::string_view quantity) {
  DifferenceList list;
  for (const Difference& each : comparison.differences) {
    if (each.quantity == quantity && !each.within) list.push_back(&each);
  }
  return list;
}

double change(const Difference& difference) { return *difference.after - *difference.before; }
double share(const Difference& difference) { return change(difference) / std::abs(*difference.before); }

/// The one with the greatest amount.
template <class Amount>
const Difference& greatest(const DifferenceList& list, const Amount& amount) {
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
DifferenceList gone(const DifferenceList& list, bool up) {
  DifferenceList some;
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
};

/// The same place is not named twice running.
std::string place(Phrases& phrases, const DifferenceList& where) {
  const std::string words = corner_words(phrases.model, where);
  std::string result = !words.empty() && words == phrases.last_place ? " there" : words;
  phrases.last_place = words;
  return result;
}

void add_lacks(Phrases& phrases) {
  for (const char* kind : {"corner", "wheel"}) {
    std::vector<std::string> names;
    for (const Difference* each : failing(phrases.comparison, kind)) names.push_back(each->where);
    if (!names.empty())
      phrases.list.push_back(fmt::format("lacks the {}{} {}", kind, names.size() > 1 ? "s" : "", listed(names)));
  }
}

void add_states(Phrases& phrases) {
  constexpr std::pair<const char*, const char*> words[] = {{"bottomed", "rests on its bump stop"},
                                                           {"topped", "hangs on its droop stop"},
                                                           {"lifted", "hangs in the air"},
                                                           {"fixed", "is fixed"}};
  for (const auto& word : words) {
    DifferenceList there = failing(phrases.comparison, "state");
    std::erase_if(there, [&](const Difference* each) { return each->after_words != word.first; });
    if (!there.empty()) phrases.list.push_back(word.second + place(phrases, there));
  }
}

void add_heights(Phrases& phrases) {
  for (const bool up : {false, true}) {
    const DifferenceList off = gone(failing(phrases.comparison, name::ride_height), up);
    if (off.empty()) continue;
    const double most_mm = std::abs(change(greatest(off, change)));
    double least_mm = most_mm;
    for (const Difference* each : off) least_mm = std::min(least_mm, std::abs(change(*each)));
    // Where one end goes down much more than the other, both numbers are wanted.
    const std::string from = least_mm < 0.5 * most_mm ? amount_words(least_mm, 1) + " to " : "";
    phrases.list.push_back(fmt::format("stands {}{} mm {}{}", from, amount_words(most_mm, 1), up ? "higher" : "lower",
                                       place(phrases, off)));
  }
}

void add_leans(Phrases& phrases) {
  if (!failing(phrases.comparison, name::ride_height).empty()) return;  // says as much
  const auto add = [&](std::string_view quantity, const char* format, const char* more, const char* less) {
    for (const Difference* each : failing(phrases.comparison, quantity))
      if (each->after)
        phrases.list.push_back(
            fmt::format(fmt::runtime(format), amount_words(change(*each), 1), change(*each) > 0 ? more : less));
  };
  add(name::pitch, "stands with its nose {} degrees {}", "lower", "higher");
  add(name::roll, "leans {} degrees more to the {}", "right", "left");
}

void add_travel(Phrases& phrases) {
  const DifferenceList off = gone(failing(phrases.comparison, name::bump_travel), false);
  if (off.empty()) return;
  const Difference& worst = greatest(off, share);
  const double nothing_mm = 0.05;
  if (*worst.after < nothing_mm) return;  // it rests on its stop: said already
  phrases.list.push_back(
      fmt::format("bottoms out after {:.1f} mm{} ({:.1f} before)", *worst.after, place(phrases, off), *worst.before));
}

void add_rates(Phrases& phrases) {
  const bool by_rate = !failing(phrases.comparison, name::wheel_rate).empty();
  for (const bool up : {false, true}) {
    const DifferenceList off = gone(failing(phrases.comparison, by_rate ? name::wheel_rate : name::frequency), up);
    if (off.empty()) continue;
    const std::string much = percent_words(share(greatest(off, share)));
    const char* how = by_rate ? (up ? "stiffer" : "softer") : (up ? "quicker" : "slower");
    phrases.list.push_back(fmt::format("{} {} {}{}", by_rate ? "rides" : "bobs", much, how, place(phrases, off)));
  }
}

/// Where no wheel's own rate tells it: the work of a bar, say.
void add_modes(Phrases& phrases) {
  const auto fails = [&](std::string_view quantity) { return !failing(phrases.comparison, quantity).empty(); };
  if (fails(name::wheel_rate) || fails(name::frequency)) return;
  constexpr std::pair<std::string_view, const char*> words[] = {
      {name::bounce_frequency, "bounces"}, {name::pitch_frequency, "pitches"}, {name::roll_frequency, "rolls"}};
  for (const auto& [quantity, does] : words) {
    for (const Difference* each : failing(phrases.comparison, quantity))
      if (each->after)
        phrases.list.push_back(
            fmt::format("{} {} {}", does, percent_words(share(*each)), change(*each) > 0 ? "quicker" : "slower"));
  }
}

void add_reserves(Phrases& phrases) {
  const DifferenceList off = gone(failing(phrases.comparison, name::reserve), false);
  if (off.empty()) return;
  const Difference& worst = greatest(off, share);
  phrases.list.push_back(fmt::format("carries {:.2f} times its load at most{} ({:.2f} before)", *worst.after,
                                     place(phrases, off), *worst.before));
}

void add_findings(Phrases& phrases) {
  std::vector<GroupedRow> kinds;
  for (const Finding& finding : phrases.comparison.new_findings) add_to(kinds, {finding.code}, finding.where);
  for (GroupedRow& kind : kinds) {
    std::erase(kind.where, "");
    phrases.list.push_back(
        fmt::format("has a new problem ({}{}{})", kind.cells[0], kind.where.empty() ? "" : " at ", listed(kind.where)));
  }
}

/// Numbers that are there no more, of wheels whose state does not tell why.
void add_lost_numbers(Phrases& phrases) {
  const DifferenceList states = failing(phrases.comparison, "state");
  std::vector<std::string> names;
  for (const Difference& each : phrases.comparison.differences) {
    const bool told =
        std::any_of(states.begin(), states.end(), [&](const Difference* s) { return s->where == each.where; });
    if (each.within || !each.before || each.after || told) continue;
    names.push_back(fmt::format("{} of {}", each.quantity, each.where.empty() ? "the vehicle" : each.where));
  }
  if (!names.empty()) phrases.list.push_back("has no " + listed(names));
}

/// Where, of a list of steered wheels, a sentence says something: "steering/left and steering/right".
std::string places_words(const DifferenceList& list) {
  std::vector<std::string> names;
  for (const Difference* each : list) names.push_back(each->where);
  return listed(names);
}

void add_steering(Phrases& phrases) {
  for (const Difference* each : failing(phrases.comparison, "steering"))
    phrases.list.push_back("does not steer: " + each->after_words);
  const auto off_by = [&](std::string_view quantity, const auto& words) {
    DifferenceList off = failing(phrases.comparison, quantity);
    std::erase_if(off, [](const Difference* each) { return !each->before || !each->after; });
    if (!off.empty()) phrases.list.push_back(words(greatest(off, change), places_words(off)));
  };
  off_by(name::toe, [](const Difference& d, const std::string& where) {
    return fmt::format("points {} degrees aside with the steering centred ({})", amount_words(change(d), 1), where);
  });
  off_by(name::inner_lock, [](const Difference& d, const std::string& where) {
    return fmt::format("turns {} degrees less at full lock ({})", amount_words(change(d), 1), where);
  });
  off_by(name::signed_worst_error, [](const Difference& d, const std::string& where) {
    return fmt::format("is {:.1f} degrees off the ideal angles at worst ({}; {:.1f} before)", *d.after, where,
                       *d.before);
  });
  off_by(name::bump_steer_slope, [](const Difference& d, const std::string& where) {
    return fmt::format("steers {:.1f} degrees for 10 mm of bump ({}; {:.1f} before)", *d.after, where, *d.before);
  });
  for (const auto& [quantity, end] : {std::pair(name::steer_at_droop, "droop"), std::pair(name::steer_at_bump, "bump")})
    off_by(quantity, [end = end](const Difference& d, const std::string& where) {
      return fmt::format("is steered {:.1f} degrees at full {} ({}; {:.1f} before)", *d.after, end, where, *d.before);
    });
}

/// "ride height within 0.2 mm, wheel rate within 1.4 %"
std::string closeness(const Comparison& comparison) {
  struct Kind {
    std::string_view quantity, words;
    bool as_share;
    std::string_view unit;
    int decimals;
  };
  constexpr Kind kinds[] = {{name::ride_height, "ride height", false, " mm", 1},
                            {name::pitch, "pitch", false, " degrees", 2},
                            {name::wheel_rate, "wheel rate", true, " %", 1},
                            {name::toe, "toe", false, " degrees", 2},
                            {name::inner_lock, "lock", false, " degrees", 1},
                            {name::bump_steer_slope, "bump steer", false, " degrees per 10 mm", 2}};
  std::vector<std::string> words;
  for (const Kind& kind : kinds) {
    double most = -1;
    for (const Difference& each : comparison.differences) {
      if (each.quantity != kind.quantity || !each.before || !each.after) continue;
      const bool by_share = kind.as_share && *each.before != 0;
      most = std::max(most, std::abs(by_share ? 100 * share(each) : change(each)));
    }
    if (most < 0) continue;
    words.push_back(fmt::format("{} within {:.{}f}{}", kind.words, most, kind.decimals, kind.unit));
  }
  constexpr double nothing = 1e-9;
  const bool any = std::any_of(comparison.differences.begin(), comparison.differences.end(), [](const Difference& d) {
    return d.before && (!d.after || std::abs(change(d)) > nothing);
  });
  return any ? listed(words) : "no number differs";
}

}  // namespace

std::string verdict_words(const Model& before, const Comparison& comparison) {
  if (comparison.holds) return "stands the same: " + closeness(comparison);
  Phrases phrases{before, comparison};
  for (const auto add : {add_lacks, add_states, add_heights, add_leans, add_travel, add_rates, add_modes, add_reserves,
                         add_findings, add_steering, add_lost_numbers})
    add(phrases);
  return listed(phrases.list);
}

}  // namespace ridepitch
