// Slides, and what the hand or a motor moves.

#include <algorithm>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"
#include "model/read_linkages.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

void read_slide_hole(const Fields& fields, const LinkageDraft& draft, Slide& slide) {
  const TomlEntry* entry = fields.need("hole", "hole = \"rack.middle\"");
  const auto hole = find_hole(fields, draft, entry);
  if (!hole) return;
  slide.hole = *hole;
  if (hole->body == chassis) {
    fields.problem(entry->place, "same-body", fmt::format("{} guides a hole of the chassis", fields.what),
                   "'hole' is on the body that moves, 'through' on the chassis");
  }
}

void read_slide_through(const Fields& fields, const LinkageDraft& draft, Slide& slide) {
  const TomlEntry* entry = fields.need("through", "through = \"chassis.guide\"");
  const auto through = find_hole(fields, draft, entry);
  if (!through) return;
  slide.through = *through;
  if (through->body != chassis) {
    fields.problem(entry->place, "not-chassis",
                   fmt::format("{} runs through {}, which is not on the chassis", fields.what,
                               in_quotes(hole_name(draft.linkage, *through))),
                   "a slide guides a hole along a line of the chassis");
  }
}

void read_slide(Reading& reading, double module_mm, const NamedTable& named, LinkageDraft& draft) {
  const Fields fields{reading, *named.table, named.place, "slide " + in_quotes(named.name)};
  check_name(reading, named.place, named.name, "a slide");
  fields.refuse_unknown({"hole", "through", "along", "stroke", "turns", "angle_deg"});
  Slide slide;
  slide.name = named.name;
  slide.place = named.place;
  read_slide_hole(fields, draft, slide);
  read_slide_through(fields, draft, slide);
  const TomlEntry* along = fields.need("along", "along = [0, 1]");
  if (const auto direction = fields.vec2(along, "")) {
    if (direction->norm() == 0) {
      fields.problem(along->place, "out-of-range",
                     fmt::format("{} is [0, 0], which is no direction", fields.subject(*along)),
                     "[1, 0] is along u, [0, 1] along v");
    } else {
      slide.along = direction->stableNormalized();
    }
  }
  if (const auto stroke = fields.range(fields.find("stroke"), any_number("modules"))) {
    slide.stroke_mm = {(*stroke)[0] * module_mm, (*stroke)[1] * module_mm};
  }
  slide.turns = fields.yes_or_no(fields.find("turns")).value_or(false);
  slide.angle_rad = fields.number(fields.find("angle_deg"), any_number("degrees")).value_or(0) * rad_per_deg;
  draft.linkage.slides.push_back(std::move(slide));
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

void read_driven_slide(const Fields& fields, double module_mm, const TomlEntry* slides, const LinkageDraft& draft,
                       Drive& drive) {
  const TomlEntry* entry = fields.find("slide");
  const auto name = fields.text(entry);
  if (!name) return;
  const int slide = index_of(draft.linkage.slides, *name);
  if (slide < 0) {
    fields.problem(entry->place, "unknown-name",
                   fmt::format("{} names {}, but there is no such slide", fields.subject(*entry), in_quotes(*name)),
                   fields.reading.suggest(*name, names_of(draft.linkage.slides), "slides"));
    return;
  }
  drive.slide = slide;
  const auto& stroke_mm = draft.linkage.slides[static_cast<std::size_t>(slide)].stroke_mm;
  if (!stroke_mm) return;
  const TomlEntry& table = *std::get<TomlTable>(slides->value.data).find(*name);
  const Place place = std::get<TomlTable>(table.value.data).find("stroke")->place;
  check_holds_zero(fields, place, (*stroke_mm)[0] / module_mm, (*stroke_mm)[1] / module_mm, "modules",
                   fmt::format("'stroke' of slide {}, which is driven,", in_quotes(*name)));
}

/// The pin of that name, or the one that joins a hole of that name.
int pin_of(const Linkage& linkage, std::string_view name) {
  const int named = index_of(linkage.pins, name);
  if (named >= 0) return named;
  for (std::size_t i = 0; i < linkage.pins.size(); ++i) {
    const auto& holes = linkage.pins[i].holes;
    if (std::any_of(holes.begin(), holes.end(), [&](HoleRef hole) { return hole_name(linkage, hole) == name; })) {
      return static_cast<int>(i);
    }
  }
  return -1;
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
  const auto& holes = draft.linkage.pins[static_cast<std::size_t>(pin)].holes;
  const auto on_chassis = std::count_if(holes.begin(), holes.end(), [](HoleRef hole) { return hole.body == chassis; });
  if (holes.size() != 2 || on_chassis != 1) {
    fields.problem(
        entry->place, "not-chassis",
        fmt::format("{} is {}, which does not join one body to the chassis", fields.subject(*entry), in_quotes(*name)),
        "a drive turns one body about a pin of the chassis");
  }
}

/// The linkages that a drive follows, one after the other; the last one again where they go round.
bool follows_itself(const std::vector<Linkage>& linkages, std::size_t start, std::size_t& last_in_text) {
  std::size_t here = start;
  last_in_text = start;
  for (std::size_t steps = 0; steps <= linkages.size(); ++steps) {
    const auto& drive = linkages[here].drive;
    const int leader = drive && !drive->follows.empty() ? index_of(linkages, drive->follows) : -1;
    if (leader < 0) return false;
    here = static_cast<std::size_t>(leader);
    const auto text_order = [&](std::size_t i) {
      const Place& place = linkages[i].drive ? linkages[i].drive->place : linkages[i].place;
      return std::pair(place.line, place.column);
    };
    if (text_order(here) > text_order(last_in_text)) last_in_text = here;
    if (here == start) return true;
  }
  return false;
}

}  // namespace

void read_slides(Reading& reading, double module_mm, const TomlEntry* entry, LinkageDraft& draft) {
  for (const NamedTable& named : named_tables(reading, entry, "[linkage.steer.slide.rack]", most_joints)) {
    read_slide(reading, module_mm, named, draft);
  }
}

void read_drive(Reading& reading, double module_mm, const TomlEntry* entry, const TomlEntry* slides,
                LinkageDraft& draft) {
  const TomlTable* table = single_table(reading, entry);
  if (!table) return;
  const Fields fields{reading, *table, entry->value.place, "the drive of linkage " + in_quotes(draft.linkage.name)};
  fields.refuse_unknown(
      {"slide", "pin", "range_deg", "pinion_teeth", "tooth_module_mm", "gear_ratio", "follows", "ratio"});
  Drive drive;
  drive.place = fields.name_place;
  const TomlEntry *slide = fields.find("slide"), *pin = fields.find("pin"), *range = fields.find("range_deg");
  if (!slide && !pin) {
    fields.problem(drive.place, "missing-key", fmt::format("{} has neither 'slide' nor 'pin'", fields.what),
                   "add: slide = \"rack\", or pin = \"chassis.crank\"");
  } else if (slide && pin) {
    fields.problem(pin->place, "foreign-key", fmt::format("{} has both 'slide' and 'pin'", fields.what),
                   "it moves one thing; remove one of the two");
  }
  read_driven_slide(fields, module_mm, slides, draft, drive);
  read_driven_pin(fields, draft, drive);
  const auto range_deg = fields.range(range, any_number("degrees"));
  if (range && slide && !pin) {
    fields.problem(range->place, "foreign-key", fmt::format("{} moves a slide, and has a 'range_deg'", fields.what),
                   "the range of a slide is its 'stroke', in modules");
  }
  if (range_deg) {
    check_holds_zero(fields, range->place, (*range_deg)[0], (*range_deg)[1], "degrees", fields.subject(*range));
    drive.range_rad = {(*range_deg)[0] * rad_per_deg, (*range_deg)[1] * rad_per_deg};
  }
  drive.pinion_teeth = fields.whole(fields.find("pinion_teeth"), {"", 1, false, 1000});
  drive.tooth_module_mm = fields.number(fields.find("tooth_module_mm"), above_zero("mm")).value_or(1);
  drive.gear_ratio = fields.number(fields.find("gear_ratio"), above_zero("")).value_or(1);
  drive.follows = fields.text(fields.find("follows")).value_or("");
  drive.ratio = fields.number(fields.find("ratio"), any_number("")).value_or(1);
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

void check_followers(Reading& reading, const TomlTable& tables, const std::vector<Linkage>& linkages) {
  for (std::size_t i = 0; i < linkages.size(); ++i) {
    const auto& drive = linkages[i].drive;
    if (!drive || drive->follows.empty()) continue;
    const auto& linkage_table = std::get<TomlTable>(tables.find(linkages[i].name)->value.data);
    const auto& drive_table = std::get<TomlTable>(linkage_table.find("drive")->value.data);
    const Place place = drive_table.find("follows")->place;
    const std::string what = "the drive of linkage " + in_quotes(linkages[i].name);
    const int leader = index_of(linkages, drive->follows);
    std::size_t last_in_text = i;
    if (leader < 0) {
      reading.problem(place, "unknown-name",
                      fmt::format("{} follows {}, but there is no such linkage", what, in_quotes(drive->follows)),
                      reading.suggest(drive->follows, names_of(linkages), "linkages"));
    } else if (!linkages[static_cast<std::size_t>(leader)].drive) {
      reading.problem(place, "no-drive",
                      fmt::format("{} follows linkage {}, which has no drive", what, in_quotes(drive->follows)),
                      fmt::format("add: [linkage.{}.drive]", short_name(drive->follows)));
    } else if (follows_itself(linkages, i, last_in_text) && last_in_text == i) {
      reading.problem(
          drive->place, "follower-loop",
          fmt::format("{} follows itself{}", what,
                      static_cast<std::size_t>(leader) == i ? "" : " by way of " + in_quotes(drive->follows)),
          "one of the drives in the loop must be moved by hand: remove its 'follows'");
    }
  }
}

}  // namespace ridepitch
