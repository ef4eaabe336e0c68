#include "model/change.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include <fmt/core.h>

#include "model/index.hpp"
#include "model/tune.hpp"

namespace ridepitch {
namespace {

void set_spring(Model& model, const SetSpring& change) {
  Spring& spring = at(at(model.linkages, change.linkage).springs, change.spring);
  spring.count = change.count;
  if (change.part.empty() || change.part == spring.part) return;
  set_part(spring, model.catalogue.at(change.part));
  spring.part = change.part;  // the catalogue's word for it, whatever the part calls itself
}

void set_length(Model& model, const SetLength& change) {
  Rod& rod = at(at(model.linkages, change.linkage).rods, change.rod);
  rod.part = rod_part(model, rod, change.length_mm);
  rod.length_mm = change.length_mm;
}

/// Removes list[i] for every i of `gone`, whatever their order.
template <class Item>
void erase_all(std::vector<Item>& list, std::vector<int> gone) {
  std::sort(gone.begin(), gone.end());
  gone.erase(std::unique(gone.begin(), gone.end()), gone.end());
  for (auto index = gone.rbegin(); index != gone.rend(); ++index) list.erase(list.begin() + *index);
}

/// [tune] without what it says of the springs that are taken out; the indices of the others follow.
std::shared_ptr<const Tune> tune_without(const Model& model, const std::vector<RemoveSpring>& removed) {
  if (!model.tune || removed.empty()) return model.tune;
  auto tune = std::make_shared<Tune>(*model.tune);
  const auto is_gone = [&](const Vary& vary) {
    const auto* spring = std::get_if<VarySpring>(&vary.what);
    return spring &&
           std::find(removed.begin(), removed.end(), RemoveSpring{vary.linkage, spring->spring}) != removed.end();
  };
  const auto is_of_gone = [&](const auto& asked) {
    return std::any_of(removed.begin(), removed.end(),
                       [&](const RemoveSpring& each) { return is_of_removed_spring(model, asked.of, each); });
  };
  std::erase_if(tune->vary, is_gone);
  std::erase_if(tune->wants, is_of_gone);
  std::erase_if(tune->needs, is_of_gone);
  for (Vary& vary : tune->vary) {
    auto* spring = std::get_if<VarySpring>(&vary.what);
    if (!spring) continue;
    const int index = spring->spring;
    std::vector<int> before;  // springs taken out ahead of it, each once
    for (const RemoveSpring& each : removed) {
      const bool counted = std::find(before.begin(), before.end(), each.spring) != before.end();
      if (each.linkage == vary.linkage && each.spring < index && !counted) before.push_back(each.spring);
    }
    spring->spring -= static_cast<int>(before.size());
  }
  return tune;
}

}  // namespace

std::string rod_part(const Model& model, const Rod& rod, double length_mm) {
  const auto piece_of = [&](const std::string& name, double wanted_mm) -> const Piece* {
    const auto found = model.catalogue.find(name);
    const auto* piece = found == model.catalogue.end() ? nullptr : std::get_if<Piece>(&found->second.data);
    const double near_enough_mm = 1e-6;
    const bool fits = piece && piece->length && std::abs(*piece->length * model.module_mm - wanted_mm) < near_enough_mm;
    return fits ? piece : nullptr;
  };
  const Piece* old = piece_of(rod.part, rod.length_mm);
  if (!old || length_mm == rod.length_mm) return rod.part;

  // Parts of one row differ by their length in their name only.
  const std::string old_word = fmt::format("{}", *old->length),
                    new_word = fmt::format("{}", length_mm / model.module_mm);
  if (const std::size_t byte = rod.part.find(old_word); byte != std::string::npos) {
    std::string name = rod.part;
    name.replace(byte, old_word.size(), new_word);
    if (piece_of(name, length_mm)) return name;
  }
  for (const auto& [name, part] : model.catalogue) {
    const Piece* piece = piece_of(name, length_mm);
    if (piece && piece->kind == old->kind) return name;
  }
  return "";
}

bool is_of_removed_spring(const Model& model, std::string_view of, const RemoveSpring& removed) {
  const std::size_t slash = of.find('/');
  if (slash == std::string_view::npos) return false;
  const std::string_view corner_name = of.substr(0, slash), name = of.substr(slash + 1);
  const Linkage& linkage = at(model.linkages, removed.linkage);
  const bool a_wheel =
      std::any_of(linkage.wheels.begin(), linkage.wheels.end(), [&](const Wheel& wheel) { return wheel.name == name; });
  return !a_wheel && at(linkage.springs, removed.spring).name == name &&
         std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& corner) {
           return corner.name == corner_name && corner.linkage == removed.linkage;
         });
}

Model changed(const Model& model, const Changes& changes) {
  Model result = model;
  std::vector<std::vector<int>> gone_springs(model.linkages.size());
  std::vector<RemoveSpring> removed;
  std::vector<int> gone_bars;
  for (const Change& each : changes) {
    std::visit(Overloaded{
                   [&](const MoveHole& c) {
                     at(at(at(result.linkages, c.linkage).bodies, c.body).holes, c.hole).p_B = c.to_B_mm;
                   },
                   [&](const SetLength& c) { set_length(result, c); },
                   [&](const SetSpring& c) { set_spring(result, c); },
                   [&](const RemoveSpring& c) {
                     at(gone_springs, c.linkage).push_back(c.spring);
                     removed.push_back(c);
                   },
                   [&](const RemoveBar& c) { gone_bars.push_back(c.bar); },
               },
               each);
  }
  for (std::size_t i = 0; i < gone_springs.size(); ++i) erase_all(result.linkages[i].springs, gone_springs[i]);
  erase_all(result.bars, gone_bars);
  result.tune = tune_without(model, removed);
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
