#include "tune/space.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>

#include "model/index.hpp"
#include "stack/made_of.hpp"

namespace ridepitch {

bool is_gone(const Model& model, const std::string& part) {
  const auto found = model.prices.find(part);
  return found != model.prices.end() && found->second.stock == Stock::gone;
}

double price_of_part(const Model& model, const std::string& part, int count) {
  if (!model.has_prices || part.empty()) return 0;
  const auto found = model.prices.find(part);
  return found == model.prices.end() ? std::numeric_limits<double>::quiet_NaN() : count * found->second.price;
}

namespace {

int corners_with(const Model& model, int linkage) {
  return static_cast<int>(
      std::count_if(model.corners.begin(), model.corners.end(), [&](const Corner& c) { return c.linkage == linkage; }));
}

/// The part that stands for a rod at a length that may be chosen; empty: none.
std::string part_at(const Model& model, const SetLength& set) {
  return rod_part(model, at(at(model.linkages, set.linkage).rods, set.rod), set.length_mm);
}

/// Where the list leaves out the rod that is there, it costs nothing at any length that is left out too.
double price_of_rod(const Model& model, const SetLength& set) {
  const double price = price_of_part(model, part_at(model, set), 1);
  const bool is_listed = model.prices.count(at(at(model.linkages, set.linkage).rods, set.rod).part) != 0;
  return std::isnan(price) && !is_listed ? 0 : price;
}

double price_of_option(const Model& model, const Change& change) {
  if (const auto* rod = std::get_if<SetLength>(&change))
    return price_of_rod(model, *rod) * corners_with(model, rod->linkage);
  const auto* set = std::get_if<SetSpring>(&change);
  if (!set) return 0;
  const std::string& own = at(at(model.linkages, set->linkage).springs, set->spring).part;
  return price_of_part(model, set->part.empty() ? own : set->part, set->count) * corners_with(model, set->linkage);
}

/// Everything that can't be chosen: parts that the list does not name cost nothing, since they are in every candidate.
double price_of_the_rest(const Model& model, const std::vector<Variable>& variables) {
  std::set<std::pair<int, int>> springs, rods;  // that are chosen, by linkage
  for (const Variable& variable : variables) {
    if (const auto* set = std::get_if<SetSpring>(&variable.options.front()))
      springs.insert({set->linkage, set->spring});
    if (const auto* set = std::get_if<SetLength>(&variable.options.front())) rods.insert({set->linkage, set->rod});
  }
  double sum = 0;
  const auto add = [&](const std::string& part, int count) {
    const double price = price_of_part(model, part, count);
    if (!std::isnan(price)) sum += price;
  };
  for (int l = 0; l < static_cast<int>(model.linkages.size()); ++l) {
    const Linkage& linkage = at(model.linkages, l);
    const int corners = corners_with(model, l);
    for (const Body& body : linkage.bodies) add(body.part, corners);
    for (int r = 0; r < static_cast<int>(linkage.rods.size()); ++r)
      if (!rods.count({l, r})) add(at(linkage.rods, r).part, corners);
    for (const Wheel& wheel : linkage.wheels)
      if (wheel.same_as.empty()) add(wheel.part, corners);
    for (int s = 0; s < static_cast<int>(linkage.springs.size()); ++s)
      if (!springs.count({l, s})) add(at(linkage.springs, s).part, corners * at(linkage.springs, s).count);
  }
  for (const BillLine& line : model.bill) add(line.part, line.count);
  return sum;
}

/// Of a body made of parts the holes that those have: within the range, or among the places listed. Else all places.
std::vector<Vec2> places_of(const Model& model, int linkage, const VaryHole& vary) {
  const auto holes = places_to_try(model, linkage, vary.body);
  if (!holes) return vary.at_mm;
  const double near_mm = hole_fit_modules * model.module_mm;
  std::vector<Vec2> places;
  for (const Vec2& hole : *holes) {
    const bool offered = vary.range_mm ? (hole.array() >= (*vary.range_mm)[0].array() - near_mm).all() &&
                                             (hole.array() <= (*vary.range_mm)[1].array() + near_mm).all()
                                       : std::any_of(vary.at_mm.begin(), vary.at_mm.end(), [&](const Vec2& listed) {
                                           return (listed - hole).norm() <= near_mm;
                                         });
    if (offered) places.push_back(hole);
  }
  std::sort(places.begin(), places.end(),
            [](const Vec2& a, const Vec2& b) { return std::pair(a.y(), a.x()) < std::pair(b.y(), b.x()); });
  return places;
}

std::vector<Change> spring_options(const Model& model, const Vary& vary, const VarySpring& what, bool keep_parts) {
  const Spring& spring = at(at(model.linkages, vary.linkage).springs, what.spring);
  const std::vector<std::string> parts = what.parts.empty() ? std::vector<std::string>{spring.part} : what.parts;
  const std::vector<int> counts = what.counts.empty() ? std::vector<int>{spring.count} : what.counts;
  std::vector<Change> options;
  for (const std::string& part : parts) {
    if (keep_parts && is_gone(model, part)) continue;
    for (const int count : counts) options.emplace_back(SetSpring{vary.linkage, what.spring, part, count});
  }
  return options;
}

}  // namespace

Space make_space(const Model& model, std::vector<Variable> variables) {
  Space space;
  space.model = &model;
  std::set<int> linkages;
  for (Variable& variable : variables) {
    if (variable.options.empty()) {
      space.size = 0;
      continue;
    }
    variable.thing = changed_thing(model, variable.options.front());
    variable.is_spring = std::holds_alternative<SetSpring>(variable.options.front());
    variable.as_it_stands = -1;
    variable.price.clear();
    for (std::size_t i = 0; i < variable.options.size(); ++i) {
      if (variable.as_it_stands < 0 && is_already_so(model, variable.options[i]))
        variable.as_it_stands = static_cast<int>(i);
      variable.price.push_back(price_of_option(model, variable.options[i]));
    }
    linkages.insert(changed_linkage(variable.options.front()));
    const std::uint64_t n = variable.options.size(), most = std::numeric_limits<std::uint64_t>::max();
    space.size = space.size > most / n ? most : space.size * n;
  }
  if (space.size > 0) {
    space.fixed_price = price_of_the_rest(model, variables);
    space.variables = std::move(variables);
  }
  for (std::size_t c = 0; c < model.corners.size(); ++c)
    if (linkages.count(model.corners[c].linkage)) space.corners.push_back(static_cast<int>(c));
  return space;
}

Space make_space(const Model& model, const Tune& tune) {
  std::vector<Variable> variables;
  for (const Vary& vary : tune.vary) {
    Variable variable;
    if (const auto* hole = std::get_if<VaryHole>(&vary.what)) {
      for (const Vec2& place : places_of(model, vary.linkage, *hole))
        variable.options.emplace_back(MoveHole{vary.linkage, hole->body, hole->hole, place});
    } else if (const auto* rod = std::get_if<VaryRod>(&vary.what)) {
      for (const double length : rod->length_mm) {
        const SetLength set{vary.linkage, rod->rod, length};
        if (!tune.keep_parts || !is_gone(model, part_at(model, set))) variable.options.emplace_back(set);
      }
    } else {
      variable.options = spring_options(model, vary, std::get<VarySpring>(vary.what), tune.keep_parts);
    }
    variables.push_back(std::move(variable));
  }
  return make_space(model, std::move(variables));
}

void options_of(const Space& space, std::uint64_t candidate, std::vector<int>& options) {
  options.resize(space.variables.size());
  for (std::size_t i = space.variables.size(); i-- > 0;) {
    const std::uint64_t n = space.variables[i].options.size();
    options[i] = static_cast<int>(candidate % n);
    candidate /= n;
  }
}

void go_on(const Space& space, std::vector<int>& options) {
  for (std::size_t i = options.size(); i-- > 0;) {
    if (++options[i] < static_cast<int>(space.variables[i].options.size())) return;
    options[i] = 0;
  }
}

std::uint64_t candidate_of(const Space& space, const std::vector<int>& options) {
  std::uint64_t candidate = 0;
  for (std::size_t i = 0; i < space.variables.size(); ++i)
    candidate = candidate * space.variables[i].options.size() + static_cast<std::uint64_t>(options[i]);
  return candidate;
}

Changes changes_of(const Space& space, std::uint64_t candidate) {
  std::vector<int> options;
  options_of(space, candidate, options);
  Changes changes;
  for (std::size_t i = 0; i < options.size(); ++i) {
    const Variable& variable = space.variables[i];
    if (!is_already_so(*space.model, at(variable.options, options[i])))
      changes.push_back(at(variable.options, options[i]));
  }
  return changes;
}

int holes_changed(const Space& space, const std::vector<int>& options) {
  int changed = 0;
  for (std::size_t i = 0; i < options.size(); ++i) changed += options[i] != space.variables[i].as_it_stands;
  return changed;
}

double price_of(const Space& space, const std::vector<int>& options) {
  double price = space.fixed_price;
  for (std::size_t i = 0; i < options.size(); ++i) price += at(space.variables[i].price, options[i]);
  return price;
}

std::optional<std::uint64_t> as_it_stands(const Space& space) {
  std::vector<int> options;
  for (const Variable& variable : space.variables) {
    if (variable.as_it_stands < 0) return std::nullopt;
    options.push_back(variable.as_it_stands);
  }
  if (space.size == 0) return std::nullopt;
  return candidate_of(space, options);
}

std::vector<double> layouts_by_changes(const Space& space) {
  std::vector<double> out = {1};
  for (const Variable& variable : space.variables) {
    const bool has_own = variable.as_it_stands >= 0;
    const double other = static_cast<double>(variable.options.size()) - (has_own ? 1 : 0);
    std::vector<double> next(out.size() + 1, 0);
    for (std::size_t i = 0; i < out.size(); ++i) {
      if (has_own) next[i] += out[i];
      next[i + 1] += other * out[i];
    }
    out = std::move(next);
  }
  return out;
}

}  // namespace ridepitch
