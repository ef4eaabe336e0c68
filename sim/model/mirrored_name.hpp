#pragma once
// Names of things on the left and on the right of a vehicle.

#include <string>
#include <string_view>

namespace ridepitch {

/// The name with every word left and right exchanged: "Rear LEFT/hub" -> "Rear RIGHT/hub". Empty where it has neither.
std::string mirrored_name(std::string_view name);

}  // namespace ridepitch
