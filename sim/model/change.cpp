#include "model/change.hpp"

#include <algorithm>

namespace ridepitch {
namespace {

template <class... Functions>
struct Overloaded : Functions... {
  using Functions::operator()...;
};
template <class... Functions>
Overloaded(Functions...) -> Overloaded<Functions...>;

auto& at(auto& list, int index) { return list[static_cast<std::size_t>(index)]; }

void set_spring(Model& model, const SetSpring& change) {
  Spring& spring = at(at(model.linkages, change.linkage).springs, change.spring);
  spring.count = change.count;
  if (change.part.empty() || change.part == spring.part) return;
  spring.part = change.part;
  const Part& part = model.catalogue.at(change.part);
  if (const auto* coil = std::get_if<Coil>(&part.data)) spring.data = *coil;
  if (const auto* band = std::get_if<Band>(&part.data)) spring.data = *band;
}

/// Removes list[i] for every i of `gone`, whatever their order.
template <class Item>
void erase_all(std::vector<Item>& list, std::vector<int> gone) {
  std::sort(gone.begin(), gone.end());
  gone.erase(std::unique(gone.begin(), gone.end()), gone.end());
  for (auto index = gone.rbegin(); index != gone.rend(); ++index) list.erase(list.begin() + *index);
}

}  // namespace

Model changed(const Model& model, const Changes& changes) {
  Model result = model;
  std::vector<std::vector<int>> gone_springs(model.linkages.size());
  std::vector<int> gone_bars;
  for (const Change& each : changes) {
    std::visit(Overloaded{
                   [&](const MoveHole& c) {
                     at(at(at(result.linkages, c.linkage).bodies, c.body).holes, c.hole).p_B = c.to_B_mm;
                   },
                   [&](const SetLength& c) { at(at(result.linkages, c.linkage).rods, c.rod).length_mm = c.length_mm; },
                   [&](const SetSpring& c) { set_spring(result, c); },
                   [&](const RemoveSpring& c) { at(gone_springs, c.linkage).push_back(c.spring); },
                   [&](const RemoveBar& c) { gone_bars.push_back(c.bar); },
               },
               each);
  }
  for (std::size_t i = 0; i < gone_springs.size(); ++i) erase_all(result.linkages[i].springs, gone_springs[i]);
  erase_all(result.bars, gone_bars);
  return result;
}

std::string changed_thing(const Model& model, const Change& change) {
  return std::visit(Overloaded{
                        [&](const MoveHole& c) {
                          return hole_name(at(model.linkages, c.linkage), HoleRef{c.body, c.hole});
                        },
                        [&](const SetLength& c) { return at(at(model.linkages, c.linkage).rods, c.rod).name; },
                        [&](const SetSpring& c) { return at(at(model.linkages, c.linkage).springs, c.spring).name; },
                        [&](const RemoveSpring& c) { return at(at(model.linkages, c.linkage).springs, c.spring).name; },
                        [&](const RemoveBar& c) { return at(model.bars, c.bar).name; },
                    },
                    change);
}

bool is_already_so(const Model& model, const Change& change) {
  return std::visit(
      Overloaded{
          [&](const MoveHole& c) {
            return at(at(at(model.linkages, c.linkage).bodies, c.body).holes, c.hole).p_B == c.to_B_mm;
          },
          [&](const SetLength& c) { return at(at(model.linkages, c.linkage).rods, c.rod).length_mm == c.length_mm; },
          [&](const SetSpring& c) {
            const Spring& spring = at(at(model.linkages, c.linkage).springs, c.spring);
            return spring.count == c.count && (c.part.empty() || c.part == spring.part);
          },
          [](const auto&) { return false; },
      },
      change);
}

}  // namespace ridepitch
