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

void add_corner(const Fields& fields, Place place, Corner corner, std::string_view how, VehicleDraft& draft) {
  const int same = index_of(draft.model.corners, corner.name);
  if (same >= 0 && !corner.name.empty()) {
    const Place& first = draft.model.corners[static_cast<std::size_t>(same)].place;
    fields.problem(place, "duplicate-name",
                   fmt::format("there are two corners named {}{}", in_quotes(corner.name), how),
                   draft.model.corners[static_cast<std::size_t>(same)].mirrored
                       ? fmt::format("'mirror' in line {} makes one of that name already", first.line)
                       : fmt::format("the first one is in line {}; rename one of the two", first.line));
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
    add_corner(fields, fields.name_place, std::move(corner), " (one of them made by 'mirror')", draft);
  }
}

void read_corner(Reading& reading, const ListedTable& listed, VehicleDraft& draft) {
  Model& model = draft.model;
  Fields fields{reading, *listed.table, listed.place, "this [[corner]]"};
  Corner corner;
  corner.place = listed.place;
  const TomlEntry* name = fields.need("name", "name = \"rear left\"");
  corner.name = fields.text(name).value_or("");
  if (!corner.name.empty()) fields.what = "corner " + in_quotes(corner.name);
  const bool is_text = name && std::holds_alternative<std::string>(name->value.data);
  if (!is_text || !check_name(reading, name->place, corner.name, "a corner", '/')) draft.corners_known = false;
  fields.refuse_unknown({"name", "linkage", "at", "flip", "unsprung_grams", "mirror", "load_n", "load_g"});

  const TomlEntry* linkage = fields.need("linkage", "linkage = \"arm\"");
  const auto linkage_name = fields.text(linkage);
  corner.linkage = linkage_name ? index_of(model.linkages, *linkage_name) : -1;
  if (linkage_name && corner.linkage < 0 && draft.linkages_known) {
    fields.problem(
        linkage->place, "unknown-name",
        fmt::format("{} is {}, but there is no such linkage", fields.subject(*linkage), in_quotes(*linkage_name)),
        reading.suggest(*linkage_name, names_of(model.linkages), "linkages"));
  }
  const auto at = fields.vec3(fields.need("at", "at = [-10, 8, 4]"), any_number("modules"));
  corner.at_mm = at.value_or(Vec3::Zero()) * model.module_mm;
  corner.flip = fields.yes_or_no(fields.find("flip")).value_or(false);
  corner.unsprung_kg = fields.number(fields.find("unsprung_grams"), not_negative("g")).value_or(0) * kg_per_g;
  corner.load_n = read_load(fields);
  add_corner(fields, listed.place, corner, "", draft);
  add_mirrored(fields, corner, at.has_value(), draft);
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
  const bool loaded_later =
      std::pair(loaded->place.line, loaded->place.column) > std::pair(unloaded->place.line, unloaded->place.column);
  reading.problem(
      (loaded_later ? loaded : unloaded)->place, "some-loads",
      fmt::format("corner {} has a load, but corner {} has none", in_quotes(loaded->name), in_quotes(unloaded->name)),
      "either every corner has 'load_n' or 'load_g' (each linkage alone, on the bench), or none has");
}

/// Where `same_as` of a wheel stands in the text, or its table's name.
Place same_as_place(const TomlEntry& linkages, const Linkage& linkage, const Wheel& wheel) {
  const auto table = [](const TomlTable& in, std::string_view key) -> const TomlTable& {
    return std::get<TomlTable>(in.find(key)->value.data);
  };
  const TomlTable& of_linkage = table(std::get<TomlTable>(linkages.value.data), linkage.name);
  const TomlEntry* same_as = table(table(of_linkage, "wheel"), wheel.name).find("same_as");
  return same_as ? same_as->place : wheel.place;
}

}  // namespace

const Linkage* linkage_of(const Model& model, const Corner& corner) {
  return corner.linkage < 0 ? nullptr : &model.linkages[static_cast<std::size_t>(corner.linkage)];
}

bool stands_on_ground(const Model& model, const Corner& corner) {
  const Linkage* linkage = linkage_of(model, corner);
  return linkage && linkage->plane != Plane::top;
}

std::string wheel_name(const Model& model, WheelRef ref) {
  const Corner& corner = model.corners[static_cast<std::size_t>(ref.corner)];
  return corner.name + "/" + linkage_of(model, corner)->wheels[static_cast<std::size_t>(ref.wheel)].name;
}

std::optional<int> find_corner(Reading& reading, const VehicleDraft& draft, std::string_view name, Place place,
                               std::string_view subject) {
  const int corner = index_of(draft.model.corners, name);
  if (corner >= 0) return corner;
  if (draft.corners_known) {
    reading.problem(place, "unknown-name",
                    fmt::format("{} names {}, but there is no such corner", subject, in_quotes(name)),
                    reading.suggest(name, names_of(draft.model.corners), "corners"));
  }
  return std::nullopt;
}

std::optional<WheelRef> find_wheel(Reading& reading, const VehicleDraft& draft, std::string_view name, Place place,
                                   std::string_view subject) {
  const std::size_t slash = name.find('/');
  if (slash == std::string_view::npos) {
    reading.problem(place, "bad-name", fmt::format("{} names {}, which is not a wheel", subject, in_quotes(name)),
                    "a wheel is written CORNER/WHEEL: \"rear left/hub\"");
    return std::nullopt;
  }
  const auto corner = find_corner(reading, draft, name.substr(0, slash), place, subject);
  if (!corner) return std::nullopt;
  const Corner& of = draft.model.corners[static_cast<std::size_t>(*corner)];
  const Linkage* linkage = linkage_of(draft.model, of);
  if (!linkage) return std::nullopt;
  const std::string_view wheel_name = name.substr(slash + 1);
  const int wheel = index_of(linkage->wheels, wheel_name);
  if (wheel >= 0) return WheelRef{*corner, wheel};
  reading.problem(place, "unknown-name",
                  fmt::format("{} names {}, but corner {} has no wheel {}", subject, in_quotes(name),
                              in_quotes(of.name), in_quotes(wheel_name)),
                  reading.suggest(wheel_name, names_of(linkage->wheels), "wheels"));
  return std::nullopt;
}

std::optional<BodyRef> find_corner_body(Reading& reading, const VehicleDraft& draft, std::string_view name, Place place,
                                        std::string_view subject) {
  const std::size_t slash = name.find('/');
  if (slash == std::string_view::npos) {
    reading.problem(place, "bad-name",
                    fmt::format("{} names {}, which is not a body of a corner", subject, in_quotes(name)),
                    "it is written CORNER/BODY: \"rear left/arm\"");
    return std::nullopt;
  }
  const auto corner = find_corner(reading, draft, name.substr(0, slash), place, subject);
  if (!corner) return std::nullopt;
  const Corner& of = draft.model.corners[static_cast<std::size_t>(*corner)];
  const Linkage* linkage = linkage_of(draft.model, of);
  if (!linkage) return std::nullopt;
  const std::string_view body_name = name.substr(slash + 1);
  const int body = index_of(linkage->bodies, body_name);
  if (body >= 0) return BodyRef{*corner, body};
  reading.problem(place, "unknown-name",
                  fmt::format("{} names {}, but corner {} has no body {}", subject, in_quotes(name), in_quotes(of.name),
                              in_quotes(body_name)),
                  reading.suggest(body_name, names_of(linkage->bodies), "bodies"));
  return std::nullopt;
}

void read_corners(Reading& reading, const TomlEntry* entry, VehicleDraft& draft) {
  for (const ListedTable& listed : listed_tables(reading, entry, most_corners)) read_corner(reading, listed, draft);
  find_bench(reading, draft.model);
}

void check_same_as(Reading& reading, const TomlEntry* linkages, const VehicleDraft& draft) {
  const Model& model = draft.model;
  const bool any_sprung = std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
    return stands_on_ground(model, corner) && !linkage_of(model, corner)->wheels.empty();
  });
  std::vector<WheelRef> steered;
  for (std::size_t i = 0; i < model.linkages.size(); ++i) {
    const Linkage& linkage = model.linkages[i];
    if (linkage.plane != Plane::top) continue;
    const bool used = std::any_of(model.corners.begin(), model.corners.end(),
                                  [&](const Corner& corner) { return corner.linkage == static_cast<int>(i); });
    for (const Wheel& wheel : linkage.wheels) {
      const std::string what = "wheel " + in_quotes(wheel.name);
      const Place place = same_as_place(*linkages, linkage, wheel);
      if (wheel.same_as.empty()) {
        if (any_sprung) {
          reading.problem(place, "missing-key",
                          fmt::format("{} of top linkage {} has no 'same_as'", what, in_quotes(linkage.name)),
                          "add: same_as = \"front left/hub\", the sprung wheel that it steers");
        }
        continue;
      }
      const auto same = find_wheel(reading, draft, wheel.same_as, place, "'same_as' of " + what);
      if (same && used && std::find(steered.begin(), steered.end(), *same) != steered.end()) {
        reading.problem(place, "steered-twice", fmt::format("wheel {} is steered twice", in_quotes(wheel.same_as)),
                        "each steered wheel names a sprung wheel of its own");
      }
      if (same && used) steered.push_back(*same);
      if (same && !stands_on_ground(model, model.corners[static_cast<std::size_t>(same->corner)])) {
        reading.problem(
            place, "not-sprung",
            fmt::format("'same_as' of {} is {}, which is a wheel of a top linkage", what, in_quotes(wheel.same_as)),
            "it names the sprung wheel that this one steers");
      }
    }
  }
}

}  // namespace ridepitch
