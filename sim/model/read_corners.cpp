#include "model/read_corners.hpp"

#include <algorithm>
#include <utility>

#include <fmt/core.h>

#include "model/linkage_draft.hpp"
#include "model/mirrored_name.hpp"
#include "model/units.hpp"

namespace ridepitch {
namespace {

std::optional<double> read_load(const Fields& fields) {
  const TomlEntry *newtons = fields.find("load_n"), *grams = fields.find("load_g");
  const auto load_n = fields.number(newtons, not_negative("N"));
  const auto load_g = fields.number(grams, not_negative("g"));
  if (newtons && grams) {
    fields.problem(grams->place, "foreign-key", fmt::format("{} has both 'load_n' and 'load_g'", fields.what),
                   "give the load once");
  }
  // A load that can't be read still says that there is one.
  if (newtons) return load_n.value_or(0);
  if (grams) return load_g.value_or(0) * n_per_g;
  return std::nullopt;
}

void add_corner(const Fields& fields, Corner corner, std::string_view how, VehicleDraft& draft) {
  const Corner* first = named(draft.model.corners, corner.name);
  if (first && !corner.name.empty()) {
    fields.problem(fields.name_place, "duplicate-name",
                   fmt::format("there are two corners named {}{}", in_quotes(corner.name), how),
                   first->mirrored
                       ? fmt::format("'mirror' in line {} makes one of that name already", first->place.line)
                       : fmt::format("the first one is in line {}; rename one of the two", first->place.line));
  }
  draft.model.corners.push_back(std::move(corner));
}

/// Makes the corner on the other side, if `mirror` asks for it.
void add_mirrored(const Fields& fields, const Corner& original, bool at_known, VehicleDraft& draft) {
  const TomlEntry* entry = fields.find("mirror");
  if (!fields.yes_or_no(entry).value_or(false)) {
    if (entry && !std::holds_alternative<bool>(entry->value.data)) draft.corners_known = false;
    return;
  }
  Corner corner = original;
  corner.mirrored = true;
  corner.name = mirrored_name(original.name);
  corner.at_mm.y() = -original.at_mm.y();
  const Linkage* linkage = linkage_of(draft.model, original);
  if (linkage && linkage->plane == Plane::front) corner.flip = !original.flip;
  const auto refuse = [&](std::string text, std::string hint) {
    fields.problem(entry->place, "mirror", std::move(text), std::move(hint));
    draft.corners_known = false;
  };
  if (original.name.empty()) {
    draft.corners_known = false;
  } else if (corner.name.empty()) {
    refuse(fmt::format("{} can't be mirrored: its name has neither the word left nor right", fields.what),
           "name it '... left', and the other one becomes '... right'");
  } else if (linkage && linkage->plane == Plane::top) {
    refuse(fmt::format("{} can't be mirrored: its linkage {} lies in the top plane", fields.what,
                       in_quotes(linkage->name)),
           "a top linkage is drawn with both its sides; remove 'mirror'");
  } else if (at_known && original.at_mm.y() == 0) {
    refuse(fmt::format("{} can't be mirrored: it sits in the middle, at y = 0", fields.what),
           "y is above 0 on the left side");
  } else {
    add_corner(fields, std::move(corner), " (one of them made by 'mirror')", draft);
  }
}

void read_corner(Fields& fields, VehicleDraft& draft) {
  Corner corner;
  corner.place = fields.name_place;
  const TomlEntry* name = fields.need("name", "name = \"rear left\"");
  corner.name = fields.text(name).value_or("");
  if (!corner.name.empty()) fields.what = "corner " + in_quotes(corner.name);
  const bool is_text = name && std::holds_alternative<std::string>(name->value.data);
  if (!is_text || !check_name(fields.reading, name->place, corner.name, "a corner", '/')) draft.corners_known = false;
  corner.linkage = find_linkage(fields, fields.need("linkage", "linkage = \"arm\""), draft).value_or(-1);
  const bool has_place =
      fields.read({{"name"},
                   {"linkage"},
                   {"at", &corner.at_mm, any_number("modules") * draft.model.module_mm, "at = [-10, 8, 4]"},
                   {"flip", &corner.flip},
                   {"unsprung_grams", &corner.unsprung_kg, not_negative("g") * kg_per_g},
                   {"mirror"},
                   {"load_n"},
                   {"load_g"}});
  corner.load_n = read_load(fields);
  add_corner(fields, corner, "", draft);
  add_mirrored(fields, corner, has_place, draft);
}

/// Loads on all corners put the model on the bench; on some of them they are a mistake.
void find_bench(Reading& reading, Model& model) {
  const Corner *loaded = nullptr, *unloaded = nullptr;
  for (const Corner& corner : model.corners) {
    const Linkage* linkage = linkage_of(model, corner);
    if (linkage && linkage->plane == Plane::top) continue;
    const Corner*& first = corner.load_n ? loaded : unloaded;
    if (!first) first = &corner;
  }
  model.bench = loaded && !unloaded;
  if (!loaded || !unloaded) return;
  reading.problem(
      (is_later(loaded->place, unloaded->place) ? loaded : unloaded)->place, "some-loads",
      fmt::format("corner {} has a load, but corner {} has none", in_quotes(loaded->name), in_quotes(unloaded->name)),
      "either every corner has 'load_n' or 'load_g' (each linkage alone, on the bench), or none has");
}

/// A wheel or body of "CORNER/NAME": the indices of its corner and of itself.
///
/// @param words  what it is, its plural, what a name without a slash is not, and how it is written
template <class Thing>
std::optional<std::array<int, 2>> find_of_corner(Reading& reading, const VehicleDraft& draft, std::string_view name,
                                                 Place place, std::string_view subject,
                                                 std::vector<Thing> Linkage::*list,
                                                 std::array<std::string_view, 4> words) {
  const auto& [what, plural, not_one, example] = words;
  const std::size_t slash = name.find('/');
  if (slash == std::string_view::npos) {
    reading.problem(place, "bad-name", fmt::format("{} names {}, which is not {}", subject, in_quotes(name), not_one),
                    std::string(example));
    return std::nullopt;
  }
  const auto corner = find_corner(reading, draft, name.substr(0, slash), place, subject);
  if (!corner) return std::nullopt;
  const Corner& of = at(draft.model.corners, *corner);
  const Linkage* linkage = linkage_of(draft.model, of);
  if (!linkage) return std::nullopt;
  const std::string_view own_name = name.substr(slash + 1);
  const auto thing = find_named(reading, linkage->*list, own_name, place,
                                fmt::format("{} names {}, but corner {} has no {} {}", subject, in_quotes(name),
                                            in_quotes(of.name), what, in_quotes(own_name)),
                                plural);
  return thing ? std::optional(std::array{*corner, *thing}) : std::nullopt;
}

}  // namespace

const Linkage* linkage_of(const Model& model, const Corner& corner) {
  return corner.linkage < 0 ? nullptr : &at(model.linkages, corner.linkage);
}

bool is_used(const Model& model, const Linkage& linkage) {
  return std::any_of(model.corners.begin(), model.corners.end(),
                     [&](const Corner& corner) { return linkage_of(model, corner) == &linkage; });
}

bool stands_on_ground(const Model& model, const Corner& corner) {
  const Linkage* linkage = linkage_of(model, corner);
  return linkage && linkage->plane != Plane::top;
}

std::optional<int> find_linkage(const Fields& fields, const TomlEntry* entry, const VehicleDraft& draft) {
  const auto name = fields.text(entry);
  if (!name) return std::nullopt;
  return find_named(fields.reading, draft.model.linkages, *name, entry->place,
                    draft.linkages_known ? fmt::format("{} is {}, but there is no such linkage", fields.subject(*entry),
                                                       in_quotes(*name))
                                         : "",
                    "linkages");
}

std::optional<int> find_corner(Reading& reading, const VehicleDraft& draft, std::string_view name, Place place,
                               std::string_view subject) {
  return find_named(
      reading, draft.model.corners, name, place,
      draft.corners_known ? fmt::format("{} names {}, but there is no such corner", subject, in_quotes(name)) : "",
      "corners");
}

std::optional<WheelRef> find_wheel(Reading& reading, const VehicleDraft& draft, std::string_view name, Place place,
                                   std::string_view subject) {
  const auto found =
      find_of_corner(reading, draft, name, place, subject, &Linkage::wheels,
                     {"wheel", "wheels", "a wheel", "a wheel is written CORNER/WHEEL: \"rear left/hub\""});
  return found ? std::optional(WheelRef{(*found)[0], (*found)[1]}) : std::nullopt;
}

std::optional<BodyRef> find_corner_body(Reading& reading, const VehicleDraft& draft, std::string_view name, Place place,
                                        std::string_view subject) {
  const auto found =
      find_of_corner(reading, draft, name, place, subject, &Linkage::bodies,
                     {"body", "bodies", "a body of a corner", "it is written CORNER/BODY: \"rear left/arm\""});
  return found ? std::optional(BodyRef{(*found)[0], (*found)[1]}) : std::nullopt;
}

void read_corners(const Fields& root, VehicleDraft& draft) {
  for (Fields& fields : root.listed("corner", most_corners)) read_corner(fields, draft);
  find_bench(root.reading, draft.model);
}

void check_out(const Fields& root, const VehicleDraft& draft) {
  const Model& model = draft.model;
  for (const Corner& corner : model.corners) {
    const Linkage* linkage = linkage_of(model, corner);
    if (!linkage || linkage->plane != Plane::side || corner.at_mm.y() != 0) continue;
    for (const Wheel& wheel : linkage->wheels) {
      const TomlEntry* entry = entry_at(root.table, {"linkage", linkage->name, "wheel", wheel.name, "out"});
      if (!entry) continue;
      root.problem(entry->place, "no-side",
                   fmt::format("wheel {} has 'out', but corner {} uses its linkage in the middle, at y = 0",
                               in_quotes(wheel.name), in_quotes(corner.name)),
                   "take 'out' away, or give that corner a y: neither side is outward in the middle");
      break;
    }
  }
}

void check_same_as(const Fields& root, const VehicleDraft& draft) {
  const Model& model = draft.model;
  const bool any_sprung = std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    return stands_on_ground(model, corner) && !linkage_of(model, corner)->wheels.empty();
  });
  std::vector<WheelRef> steered;
  for (const Linkage& linkage : model.linkages) {
    for (const Wheel& wheel : linkage.plane == Plane::top ? linkage.wheels : std::vector<Wheel>{}) {
      const std::string what = "wheel " + in_quotes(wheel.name);
      const TomlEntry* entry = entry_at(root.table, {"linkage", linkage.name, "wheel", wheel.name, "same_as"});
      const Place place = entry ? entry->place : wheel.place;
      if (wheel.same_as.empty()) {
        if (any_sprung) {
          root.problem(place, "missing-key",
                       fmt::format("{} of top linkage {} has no 'same_as'", what, in_quotes(linkage.name)),
                       "add: same_as = \"front left/hub\", the sprung wheel that it steers");
        }
        continue;
      }
      const auto same = find_wheel(root.reading, draft, wheel.same_as, place, "'same_as' of " + what);
      if (!same) continue;
      if (is_used(model, linkage)) {
        if (std::find(steered.begin(), steered.end(), *same) != steered.end()) {
          root.problem(place, "steered-twice", fmt::format("wheel {} is steered twice", in_quotes(wheel.same_as)),
                       "each steered wheel names a sprung wheel of its own");
        }
        steered.push_back(*same);
      }
      if (!stands_on_ground(model, at(model.corners, same->corner))) {
        root.problem(
            place, "not-sprung",
            fmt::format("'same_as' of {} is {}, which is a wheel of a top linkage", what, in_quotes(wheel.same_as)),
            "it names the sprung wheel that this one steers");
      }
    }
  }
}

}  // namespace ridepitch
