#pragma once
// Where linkages sit, and what names a corner, a wheel or a body of one.

#include <optional>
#include <string_view>

#include "model/fields.hpp"
#include "model/model.hpp"

namespace ridepitch {

inline constexpr std::size_t most_corners = 200;

/// A model while it is read, and which names of its corners are known in full.
struct VehicleDraft {
  Model& model;
  bool corners_known = true;
  bool linkages_known = true;
};

/// Reads `[[corner]]` tables, makes mirrored ones, and finds out whether the model is on the bench.
void read_corners(const Fields& root, VehicleDraft& draft);

/// Refuses `out` of a wheel that a corner in the middle of the vehicle has: neither side is outward there.
void check_out(const Fields& root, const VehicleDraft& draft);

/// Looks at `same_as` of all steered wheels.
void check_same_as(const Fields& root, const VehicleDraft& draft);

/// The linkage of a corner; null where its name is at fault.
const Linkage* linkage_of(const Model& model, const Corner& corner);

/// Whether any corner has that linkage, which is one of the model's.
bool is_used(const Model& model, const Linkage& linkage);

/// Whether a corner's wheels stand on the ground: its linkage is there and is not a `top` one.
bool stands_on_ground(const Model& model, const Corner& corner);

/// The linkage that a key names; an unknown one is reported.
std::optional<int> find_linkage(const Fields& fields, const TomlEntry* entry, const VehicleDraft& draft);

/// The corner of a name; an unknown one is reported. `subject` says who names it.
std::optional<int> find_corner(Reading& reading, const VehicleDraft& draft, std::string_view name, Place place,
                               std::string_view subject);

/// The wheel of "CORNER/WHEEL".
std::optional<WheelRef> find_wheel(Reading& reading, const VehicleDraft& draft, std::string_view name, Place place,
                                   std::string_view subject);

/// The body of "CORNER/BODY".
std::optional<BodyRef> find_corner_body(Reading& reading, const VehicleDraft& draft, std::string_view name, Place place,
                                        std::string_view subject);

}  // namespace ridepitch
