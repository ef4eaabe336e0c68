// Slides, and what the hand or a motor moves.

#include <algorithm>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

/// The two holes that a slide brings together: one on the body that moves, one on the chassis.
void read_slide_holes(const Fields& fields, const LinkageDraft& draft, Slide& slide) {
  const TomlEntry* hole = fields.need("hole", "hole = \"rack.middle\"");
  if (const auto guided = find_hole(fields, draft, hole)) {
    slide.hole = *guided;
    if (guided->body == chassis) {
      fields.problem(hole->place, "same-body", fmt::format("{} guides a hole of the chassis", fields.what),
                     "'hole' is on the body that moves, 'through' on the chassis");
    }
  }
  const TomlEntry* through = fields.need("through", "through = \"chassis.guide\"");
  if (const auto guide = find_hole(fields, draft, through)) {
    slide.through = *guide;
    if (guide->body != chassis) {
      fields.problem(through->place, "not-chassis",
                     fmt::format("{} runs through {}, which is not on the chassis", fields.what,
                                 in_quotes(hole_name(draft.linkage, *guide))),
                     "a slide guides a hole along a line of the chassis");
    }
  }
}

void read_slide(const Fields& fields, const LinkageDraft& draft, Slide& slide) {
  read_slide_holes(fields, draft, slide);
  fields.read({{"hole"},
               {"through"},
               {"along", {}, {}, "along = [0, 1]"},
               {"stroke", &slide.stroke_mm, any_number("modules") * draft.parts.module_mm},
               {"turns", &slide.turns},
               {"angle_deg", &slide.angle_rad, any_number("degrees") * rad_per_deg}});
  slide.along = fields.direction(fields.find("along")).value_or(slide.along);
}

/// What is moved must be able to stand at 0, where angles and strokes are counted from.
void check_holds_zero(const Fields& fields, Place place, double least, double most, const char* unit,
                      std::string_view what) {
  if (least <= 0 && most >= 0) return;
  fields.problem(
      place, "leaves-out-zero",
      fmt::format("{} runs from {} to {}, which leaves out 0", what, with_unit(least, unit), with_unit(most, unit)),
      "a drive is drawn, and its steering counted, from 0");
}

void read_driven_slide(const Fields& fields, const Fields& linkage, const LinkageDraft& draft, Drive& drive) {
  const TomlEntry* entry = fields.find("slide");
  const auto name = fields.text(entry);
  if (!name) return;
  const auto& slides = draft.linkage.slides;
  drive.slide = find_named(
      fields.reading, slides, *name, entry->place,
      fmt::format("{} names {}, but there is no such slide", fields.subject(*entry), in_quotes(*name)), "slides");
  if (!drive.slide || !at(slides, *drive.slide).stroke_mm) return;
  const auto& [least_mm, most_mm] = *at(slides, *drive.slide).stroke_mm;
  const double module_mm = draft.parts.module_mm;
  check_holds_zero(fields, entry_at(linkage.table, {"slide", *name, "stroke"})->place, least_mm / module_mm,
                   most_mm / module_mm, "modules",
                   fmt::format("'stroke' of slide {}, which is driven,", in_quotes(*name)));
}

/// The pin of that name, or the one that joins a hole of that name.
int pin_of(const Linkage& linkage, std::string_view name) {
  const int named = index_of(linkage.pins, name);
  if (named >= 0) return named;
  const auto joins = [&](const Pin& pin) {
    return std::any_of(pin.holes.begin(), pin.holes.end(),
                       [&](HoleRef hole) { return hole_name(linkage, hole) == name; });
  };
  const auto found = std::find_if(linkage.pins.begin(), linkage.pins.end(), joins);
  return found == linkage.pins.end() ? -1 : static_cast<int>(found - linkage.pins.begin());
}

void read_driven_pin(const Fields& fields, const LinkageDraft& draft, Drive& drive) {
  const TomlEntry* entry = fields.find("pin");
  const auto name = fields.text(entry);
  if (!name) return;
  const int pin = pin_of(draft.linkage, *name);
  if (pin < 0) {
    fields.problem(entry->place, "unknown-name",
                   fmt::format("{} names {}, but there is no such pin", fields.subject(*entry), in_quotes(*name)),
                   fields.reading.suggest(*name, names_of(draft.linkage.pins), "pins"));
    return;
  }
  drive.pin = pin;
  const auto& holes = at(draft.linkage.pins, pin).holes;
  const auto on_chassis = std::count_if(holes.begin(), holes.end(), [](HoleRef hole) { return hole.body == chassis; });
  if (holes.size() != 2 || on_chassis != 1) {
    fields.problem(
        entry->place, "not-chassis",
        fmt::format("{} is {}, which does not join one body to the chassis", fields.subject(*entry), in_quotes(*name)),
        "a drive turns one body about a pin of the chassis");
  }
}

/// Whether the drives that follow one another from `start` on come back to it, and of those none stands later in the
/// text: each loop is reported once.
bool is_last_of_loop(const std::vector<Linkage>& linkages, int start) {
  const auto place = [&](int i) {
    return at(linkages, i).drive ? at(linkages, i).drive->place : at(linkages, i).place;
  };
  int here = start;
  bool last = true;
  for (std::size_t steps = 0; steps <= linkages.size(); ++steps) {
    const auto& drive = at(linkages, here).drive;
    here = drive && !drive->follows.empty() ? index_of(linkages, drive->follows) : -1;
    if (here < 0 || here == start) return here == start && last;
    last = last && !is_later(place(here), place(start));
  }
  return false;
}

}  // namespace

void read_slides(const Fields& linkage, LinkageDraft& draft) {
  read_named(linkage, "slide", "[linkage.steer.slide.rack]", draft.linkage.slides,
             [&](const Fields& fields, Slide& slide) { read_slide(fields, draft, slide); });
}

void read_drive(const Fields& linkage, LinkageDraft& draft) {
  auto section = linkage.section("drive");
  if (!section) return;
  Fields& fields = *section;
  fields.what = "the drive of linkage " + in_quotes(draft.linkage.name);
  Drive drive;
  drive.place = fields.name_place;
  fields.read({{"slide"},
               {"pin"},
               {"range_deg"},
               {"pinion_teeth", &drive.pinion_teeth, up_to_1000},
               {"tooth_module_mm", &drive.tooth_module_mm, above_zero("mm")},
               {"gear_ratio", &drive.gear_ratio, above_zero("")},
               {"follows", &drive.follows},
               {"ratio", &drive.ratio}});
  const TomlEntry *slide = fields.find("slide"), *pin = fields.find("pin"), *range = fields.find("range_deg");
  if (!slide && !pin) {
    fields.problem(drive.place, "missing-key", fmt::format("{} has neither 'slide' nor 'pin'", fields.what),
                   "add: slide = \"rack\", or pin = \"chassis.crank\"");
  } else if (slide && pin) {
    fields.problem(pin->place, "foreign-key", fmt::format("{} has both 'slide' and 'pin'", fields.what),
                   "it moves one thing; remove one of the two");
  }
  read_driven_slide(fields, linkage, draft, drive);
  read_driven_pin(fields, draft, drive);
  if (range && slide && !pin) {
    fields.problem(range->place, "foreign-key", fmt::format("{} moves a slide, and has a 'range_deg'", fields.what),
                   "the range of a slide is its 'stroke', in modules");
  }
  if (const auto range_deg = fields.range(range, any_number("degrees"))) {
    const auto& [least, most] = *range_deg;
    check_holds_zero(fields, range->place, least, most, "degrees", fields.subject(*range));
    drive.range_rad = {least * rad_per_deg, most * rad_per_deg};
  }
  const TomlEntry* ratio = fields.find("ratio");
  if (ratio && !fields.find("follows")) {
    fields.problem(ratio->place, "foreign-key",
                   fmt::format("{} has a 'ratio', but follows no other drive", fields.what),
                   "add: follows = \"LINKAGE\", or remove 'ratio'");
  } else if (drive.ratio == 0) {
    fields.problem(ratio->place, "out-of-range", fmt::format("'ratio' of {} is 0: it would never move", fields.what));
  }
  draft.linkage.drive = std::move(drive);
}

namespace {

/// Pairs of a hand wheel's gears or pulleys, driving then driven.
template <class Number>
std::vector<std::array<Number, 2>> read_pairs(const Fields& fields, std::string_view key, const char* axes,
                                              const NumberRule& rule, const char* example) {
  const TomlEntry* entry = fields.find(key);
  const TomlArray* list = fields.list(entry, example);
  std::vector<std::array<Number, 2>> pairs;
  for (const TomlValue& value : list ? *list : TomlArray{}) {
    const auto numbers =
        numbers_value(fields.reading, value, value.place, "a pair of " + fields.subject(*entry), 2, axes, rule);
    if (!numbers) continue;
    std::array<Number, 2> pair{};
    for (const std::size_t i : {0u, 1u}) {
      pair[i] = static_cast<Number>((*numbers)[i]);
      if (static_cast<double>(pair[i]) != (*numbers)[i])
        fields.problem(value.place, "wrong-type",
                       fmt::format("a pair of {} must be whole numbers of teeth, but holds {}", fields.subject(*entry),
                                   (*numbers)[i]));
    }
    pairs.push_back(pair);
  }
  return pairs;
}

}  // namespace

double ratio_of(const Hand& hand) {
  double ratio = 1;
  for (const auto& [driving, driven] : hand.gears) ratio *= static_cast<double>(driven) / driving;
  for (const auto& [driving, driven] : hand.pulleys) ratio *= driven / driving;
  return ratio;
}

void read_hands(const Fields& linkage, LinkageDraft& draft) {
  auto& drive = draft.linkage.drive;
  for (Fields& fields : linkage.listed("hand", most_hands)) {
    fields.what = fmt::format("this [[linkage.{}.hand]]", short_name(draft.linkage.name));
    Hand hand;
    hand.place = fields.name_place;
    fields.read({{"name", &hand.name, {}, "name = \"wheel in the cab\""}, {"gears"}, {"pulleys"}});
    hand.gears = read_pairs<int>(fields, "gears", "[driving, driven]", up_to_1000, "gears = [[12, 20], [8, 24]]");
    hand.pulleys = read_pairs<double>(fields, "pulleys", "[driving, driven]", above_zero(""), "pulleys = [[9, 15]]");
    if (named(draft.linkage.hands, hand.name))
      fields.problem(fields.find("name")->place, "duplicate-name",
                     fmt::format("there are two hand wheels {}", in_quotes(hand.name)), "give each a name of its own");
    if (drive) draft.linkage.hands.push_back(std::move(hand));
    if (!linkage.find("drive"))
      fields.problem(
          hand.place, "no-drive",
          fmt::format("linkage {} has a hand wheel, but no drive that it moves", in_quotes(draft.linkage.name)),
          fmt::format("add: [linkage.{}.drive]", short_name(draft.linkage.name)));
  }
  if (draft.linkage.hands.empty()) return;
  const Place place = draft.linkage.hands.front().place;
  const std::string what = "the drive of linkage " + in_quotes(draft.linkage.name);
  if (const TomlEntry* ratio = entry_at(linkage.table, {"drive", "gear_ratio"}))
    linkage.problem(ratio->place, "foreign-key",
                    fmt::format("{} has a 'gear_ratio', and its linkage has hand wheels", what),
                    "the gears and pulleys of each [[hand]] stand in its place; remove it");
  if (!drive->follows.empty())
    linkage.problem(place, "foreign-key", fmt::format("{} follows another one, and its linkage has hand wheels", what),
                    "hand wheels are those of the drive that leads");
  if (drive->slide && !drive->pinion_teeth)
    linkage.problem(place, "missing-key", fmt::format("{} has hand wheels, but no 'pinion_teeth'", what),
                    "add to the drive: pinion_teeth = 12");
  drive->gear_ratio = ratio_of(draft.linkage.hands.front());
}

void check_followers(const Fields& root, const std::vector<Linkage>& linkages) {
  for (const Linkage& linkage : linkages) {
    if (!linkage.drive || linkage.drive->follows.empty()) continue;
    const std::string& follows = linkage.drive->follows;
    const std::string what = "the drive of linkage " + in_quotes(linkage.name);
    const Place place = entry_at(root.table, {"linkage", linkage.name, "drive", "follows"})->place;
    const auto leader =
        find_named(root.reading, linkages, follows, place,
                   fmt::format("{} follows {}, but there is no such linkage", what, in_quotes(follows)), "linkages");
    if (!leader) continue;
    const int self = index_of(linkages, linkage.name);
    if (!at(linkages, *leader).drive) {
      root.problem(place, "no-drive",
                   fmt::format("{} follows linkage {}, which has no drive", what, in_quotes(follows)),
                   fmt::format("add: [linkage.{}.drive]", short_name(follows)));
    } else if (is_last_of_loop(linkages, self)) {
      root.problem(linkage.drive->place, "follower-loop",
                   fmt::format("{} follows itself{}", what, *leader == self ? "" : " by way of " + in_quotes(follows)),
                   "one of the drives in the loop must be moved by hand: remove its 'follows'");
    }
  }
}

}  // namespace ridepitch
