#pragma once
// What a change is about, in a model before any change.

#include "model/change.hpp"
#include "model/index.hpp"

namespace ridepitch {

auto& thing_of(auto& model, const MoveHole& change) {
  return at(at(at(model.linkages, change.linkage).bodies, change.body).holes, change.hole);
}
auto& thing_of(auto& model, const SetLength& change) { return at(at(model.linkages, change.linkage).rods, change.rod); }
auto& thing_of(auto& model, const SetSpring& change) {
  return at(at(model.linkages, change.linkage).springs, change.spring);
}
auto& thing_of(auto& model, const RemoveSpring& change) {
  return at(at(model.linkages, change.linkage).springs, change.spring);
}
auto& thing_of(auto& model, const SetPart& change) {
  return at(at(model.linkages, change.linkage).bodies, change.body);
}
auto& thing_of(auto& model, const SetTyre& change) {
  return at(at(model.linkages, change.linkage).wheels, change.wheel);
}
auto& thing_of(auto& model, const SetRodHeight& change) {
  return at(at(model.linkages, change.linkage).rods, change.rod);
}
auto& thing_of(auto& model, const RemoveBar& change) { return at(model.bars, change.bar); }

}  // namespace ridepitch
