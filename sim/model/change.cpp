#include "model/change.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include <fmt/core.h>

#include "model/thing_of.hpp"
#include "model/tune.hpp"

namespace ridepitch {
namespace {

void make(Model& model, const MoveHole& change) { thing_of(model, change).p_B = change.to_B_mm; }

void make(Model& model, const SetLength& change) {
  Rod& rod = thing_of(model, change);
  rod.part = rod_part(model, rod, change.length_mm);
  rod.length_mm = change.length_mm;
}

void make(Model& model, const SetSpring& change) {
  Spring& spring = thing_of(model, change);
  spring.count = change.count;
  if (change.part.empty() || change.part == spring.part) return;
  set_part(spring, model.catalogue.at(change.part));
  spring.part = change.part;  // the catalogue's word for it, whatever the part calls itself
}

void make(Model& model, const SetPart& change) { thing_of(model, change).part = change.part; }

/// Whether a steered wheel is the same as the one that gets another tyre.
bool follows(const Model& model, const Wheel& steered, const SetTyre& change) {
  const std::size_t slash = steered.same_as.find('/');  // the names of corners hold none
  if (slash == std::string::npos || steered.same_as.substr(slash + 1) != thing_of(model, change).name) return false;
  const Corner* corner = named(model.corners, std::string_view(steered.same_as).substr(0, slash));
  return corner && corner->linkage == change.linkage;
}

void make(Model& model, const SetTyre& change) {
  const Tyre& tyre = std::get<Tyre>(model.catalogue.at(change.part).data);
  const auto fit = [&](Wheel& wheel) {
    wheel.part = change.part;
    wheel.tyre = tyre;
  };
  fit(thing_of(model, change));
  for (Linkage& linkage : model.linkages)
    for (Wheel& wheel : linkage.wheels)
      if (follows(model, wheel, change)) fit(wheel);
}

void make(Model& model, const SetRodHeight& change) { thing_of(model, change).height_mm = change.height_mm; }

/// Each once, the last first.
template <class Item>
void sort_last_first(std::vector<Item>& items) {
  std::sort(items.begin(), items.end(), std::greater<>());
  items.erase(std::unique(items.begin(), items.end()), items.end());
}

/// Indices of the items that go, the last first.
template <class Item, class Goes>
std::vector<int> indices_of(const std::vector<Item>& list, const Goes& goes) {
  std::vector<int> indices;
  for (int i = count(list); i-- > 0;) {
    if (goes(at(list, i))) indices.push_back(i);
  }
  return indices;
}

template <class Item>
void erase_all(std::vector<Item>& list, const std::vector<int>& indices_last_first) {
  for (const int index : indices_last_first) list.erase(list.begin() + index);
}

/// Whether [tune] wants or needs something of a spring: `of` names it, and no wheel.
bool is_of_spring(const Model& model, std::string_view of, const RemoveSpring& removed) {
  const std::size_t slash = of.find('/');
  if (slash == std::string_view::npos) return false;
  const std::string_view name = of.substr(slash + 1);
  const Corner* corner = named(model.corners, of.substr(0, slash));
  return corner && corner->linkage == removed.linkage && thing_of(model, removed).name == name &&
         !named(at(model.linkages, removed.linkage).wheels, name);
}

/// [tune] without what goes; the indices of the springs that stay follow.
std::shared_ptr<const Tune> tune_without(const Model& model, const Removals& gone) {
  if (!model.tune || gone.springs.empty()) return model.tune;
  auto tune = std::make_shared<Tune>(*model.tune);
  erase_all(tune->vary, gone.vary);
  erase_all(tune->wants, gone.wants);
  erase_all(tune->needs, gone.needs);
  for (Vary& vary : tune->vary) {
    auto* varied = std::get_if<VarySpring>(&vary.what);
    if (!varied) continue;
    varied->spring -=
        static_cast<int>(std::count_if(gone.springs.begin(), gone.springs.end(), [&](const RemoveSpring& each) {
          return each.linkage == vary.linkage && each.spring < varied->spring;
        }));
  }
  return tune;
}

}  // namespace

Removals removals(const Model& model, const Changes& changes) {
  Removals gone;
  for (const Change& each : changes) {
    if (const auto* spring = std::get_if<RemoveSpring>(&each)) gone.springs.push_back(*spring);
    if (const auto* bar = std::get_if<RemoveBar>(&each)) gone.bars.push_back(bar->bar);
  }
  sort_last_first(gone.springs);
  sort_last_first(gone.bars);
  if (!model.tune) return gone;
  const auto goes = [&](const auto& asked) {
    return std::any_of(gone.springs.begin(), gone.springs.end(),
                       [&](const RemoveSpring& each) { return is_of_spring(model, asked.of, each); });
  };
  gone.vary = indices_of(model.tune->vary, [&](const Vary& vary) {
    const auto* spring = std::get_if<VarySpring>(&vary.what);
    return spring && std::find(gone.springs.begin(), gone.springs.end(), RemoveSpring{vary.linkage, spring->spring}) !=
                         gone.springs.end();
  });
  gone.wants = indices_of(model.tune->wants, goes);
  gone.needs = indices_of(model.tune->needs, goes);
  return gone;
}

bool is_tie_rod(const Linkage& linkage, const Rod& rod) {
  if (linkage.plane != Plane::top) return false;
  return std::any_of(linkage.wheels.begin(), linkage.wheels.end(), [&](const Wheel& wheel) {
    return wheel.at.body != chassis && (wheel.at.body == rod.from.body || wheel.at.body == rod.to.body);
  });
}

const Piece* part_with_holes(const Catalogue& catalogue, const std::string& part) {
  const Piece* piece = find_piece(catalogue, part);
  return piece && !piece->holes.empty() ? piece : nullptr;
}

std::string rod_part(const Model& model, const Rod& rod, double length_mm) {
  const auto piece_of = [&](const std::string& name, double wanted_mm) -> const Piece* {
    const Piece* piece = find_piece(model.catalogue, name);
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

Model changed(const Model& model, const Changes& changes) {
  Model result = model;
  for (const Change& each : changes) {
    std::visit(Overloaded{[](const RemoveSpring&) {}, [](const RemoveBar&) {}, [&](const auto& c) { make(result, c); }},
               each);
  }
  const Removals gone = removals(model, changes);
  for (const RemoveSpring& each : gone.springs) erase_all(at(result.linkages, each.linkage).springs, {each.spring});
  erase_all(result.bars, gone.bars);
  result.tune = tune_without(model, gone);
  return result;
}

int changed_linkage(const Change& change) {
  return std::visit(
      [](const auto& made) {
        if constexpr (requires { made.linkage; })
          return made.linkage;
        else
          return -1;
      },
      change);
}

std::string changed_thing(const Model& model, const Change& change) {
  return std::visit(Overloaded{
                        [&](const MoveHole& c) {
                          return hole_name(at(model.linkages, c.linkage), HoleRef{c.body, c.hole});
                        },
                        [&](const SetPart& c) { return thing_of(model, c).name + " part"; },
                        [&](const SetTyre& c) { return thing_of(model, c).name + " tyre"; },
                        [&](const SetRodHeight& c) { return thing_of(model, c).name + " height"; },
                        [&](const auto& c) { return thing_of(model, c).name; },
                    },
                    change);
}

bool is_already_so(const Model& model, const Change& change) {
  return std::visit(Overloaded{
                        [&](const MoveHole& c) { return thing_of(model, c).p_B == c.to_B_mm; },
                        [&](const SetLength& c) { return thing_of(model, c).length_mm == c.length_mm; },
                        [&](const SetSpring& c) {
                          const Spring& spring = thing_of(model, c);
                          return spring.count == c.count && (c.part.empty() || c.part == spring.part);
                        },
                        [](const RemoveSpring&) { return false; },
                        [](const RemoveBar&) { return false; },
                        [&](const SetPart& c) { return thing_of(model, c).part == c.part; },
                        [&](const SetTyre& c) { return thing_of(model, c).part == c.part; },
                        [&](const SetRodHeight& c) { return thing_of(model, c).height_mm == c.height_mm; },
                    },
                    change);
}

}  // namespace ridepitch
