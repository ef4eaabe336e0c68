#include "cli/tally.hpp"

#include <fmt/format.h>

namespace ridepitch {

std::vector<Count> tally(const Model& model) {
  const auto size = [](const auto& list) { return static_cast<int>(list.size()); };
  int wheels = 0, bodies = 0, pins = 0, rods = 0, slides = 0, springs = 0;
  for (const Corner& corner : model.corners) {
    wheels += size(model.linkages[static_cast<std::size_t>(corner.linkage)].wheels);
  }
  for (const Linkage& linkage : model.linkages) {
    bodies += size(linkage.bodies) - 1;  // the chassis stays where it is
    pins += size(linkage.pins);
    rods += size(linkage.rods);
    slides += size(linkage.slides);
    springs += size(linkage.springs);
  }
  return {{size(model.corners), "corner", "corners"},
          {wheels, "wheel", "wheels"},
          {size(model.linkages), "linkage", "linkages"},
          {bodies, "body", "bodies"},
          {pins, "pin", "pins"},
          {rods, "rod", "rods"},
          {slides, "slide", "slides"},
          {springs, "spring", "springs"},
          {size(model.masses), "mass", "masses"}};
}

std::string tally_text(const Model& model) {
  std::string text;
  for (const Count& count : tally(model)) {
    if (count.number == 0) continue;
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", count.number,
                        count.number == 1 ? count.singular : count.plural);
  }
  return text;
}

}  // namespace ridepitch
