#include "ride/figure.hpp"

#include <numeric>

#include "model/index.hpp"

namespace ridepitch {
namespace {

const Linkage& linkage_at(const Model& model, int corner) {
  return at(model.linkages, at(model.corners, corner).linkage);
}

std::vector<int> all_corners(const Model& model) {
  std::vector<int> corners(model.corners.size());
  std::iota(corners.begin(), corners.end(), 0);
  return corners;
}

/// Of one corner: all wheels or springs, or the named one.
void add_of_corner(const Model& model, const Quantity& quantity, int corner, std::string_view part,
                   std::vector<Figure>& out) {
  const Linkage& linkage = linkage_at(model, corner);
  const Scope of = quantity.of;
  const bool steers = of_steering(of);
  if ((linkage.plane == Plane::top) != steers || (steers && !linkage.drive)) return;
  const int wheel = part.empty() ? -1 : index_of(linkage.wheels, part),
            spring = part.empty() ? -1 : index_of(linkage.springs, part);
  const auto add = [&](int of_wheel, int of_spring, int side = -1) {
    out.push_back({&quantity, corner, of_wheel, of_spring, -1, side});
  };
  if (of == Scope::corner) {
    if (spring < 0) add(-1, -1);
  } else if (of == Scope::steering) {
    if (part.empty()) add(-1, -1);
  } else if (of == Scope::lock_side) {
    for (int side = 0; side < 2 && part.empty(); ++side) add(-1, -1, side);
  } else if (of == Scope::wheel || of == Scope::steered_wheel) {
    const bool of_springs = quantity.name == name::motion_ratio;  // that of one of several springs, too
    if (!part.empty() && wheel < 0 && !(of_springs && spring >= 0)) return;
    for (int i = 0; i < count(linkage.wheels); ++i)
      if (wheel < 0 || wheel == i) add(i, spring);
  } else {
    for (int i = 0; i < count(linkage.springs); ++i) {
      if (turns(at(linkage.springs, i)) == (of == Scope::torsion) && (part.empty() || spring == i)) add(-1, i);
    }
  }
}

}  // namespace

std::string figure_place(const Model& model, const Figure& figure) {
  if (figure.point >= 0) return at(model.clearances, figure.point).name;
  if (figure.corner < 0) return "";
  const std::string& corner = at(model.corners, figure.corner).name;
  const Linkage& linkage = linkage_at(model, figure.corner);
  if (figure.side >= 0) return corner + (figure.side == 0 ? ", to the left" : ", to the right");
  if (figure.spring >= 0) return corner + "/" + at(linkage.springs, figure.spring).name;
  return figure.wheel >= 0 ? corner + "/" + at(linkage.wheels, figure.wheel).name : corner;
}

std::string figure_name(const Model& model, const Figure& figure) {
  const std::string of = figure_place(model, figure), words(figure.what->words);
  return of.empty() ? words : of + " " + words;
}

std::vector<Figure> figures_of(const Model& model, const Quantity& quantity, std::string_view of,
                               const std::vector<int>& corners) {
  std::vector<Figure> out;
  if (quantity.of == Scope::vehicle || quantity.of == Scope::chosen) {
    if (quantity.of == Scope::chosen || !model.bench) out.push_back({&quantity});
  } else if (quantity.of == Scope::point) {
    for (int i = 0; i < count(model.clearances) && !model.bench; ++i)
      if (of.empty() || at(model.clearances, i).name == of) out.push_back({&quantity, -1, -1, -1, i});
  } else if (of.empty()) {
    for (const int corner : corners) add_of_corner(model, quantity, corner, "", out);
  } else {
    const std::size_t slash = of.find('/');
    const int corner = index_of(model.corners, of.substr(0, slash));
    if (corner >= 0) add_of_corner(model, quantity, corner, slash == of.npos ? "" : of.substr(slash + 1), out);
  }
  return out;
}

std::vector<Figure> figures_of(const Model& model, const Quantity& quantity) {
  return figures_of(model, quantity, "", all_corners(model));
}

std::vector<Figure> figures_at(const Model& model, const Quantity& quantity, int corner) {
  return figures_of(model, quantity, "", {corner});
}

std::vector<Figure> told_figures(const Model& model) {
  std::vector<Figure> all;
  for (const Quantity* quantity : told_quantities()) {
    if (!on_ground(quantity->of)) continue;
    const std::vector<Figure> figures = figures_of(model, *quantity);
    all.insert(all.end(), figures.begin(), figures.end());
  }
  return all;
}

std::vector<Figure> corners_and_wheels(const Model& model) {
  std::vector<Figure> parts;
  for (int c = 0; c < count(model.corners); ++c) {
    const Linkage& linkage = linkage_at(model, c);
    if (linkage.plane == Plane::top) continue;
    parts.push_back({nullptr, c});
    for (int w = 0; w < count(linkage.wheels); ++w) parts.push_back({nullptr, c, w});
  }
  return parts;
}

std::optional<Figure> counterpart(const Model& model, const Figure& figure, const Model& other) {
  Figure out = figure;
  bool there = !(figure.what && figure.what->of == Scope::vehicle && other.bench);
  const auto match = [&](int& index, const auto& mine, const auto& theirs) {
    if (index < 0) return;
    index = index_of(theirs, at(mine, index).name);
    there = there && index >= 0;
  };
  match(out.point, model.clearances, other.clearances);
  match(out.corner, model.corners, other.corners);
  if (there && out.corner >= 0) {
    const Linkage &mine = linkage_at(model, figure.corner), &theirs = linkage_at(other, out.corner);
    there = (mine.plane == Plane::top) == (theirs.plane == Plane::top);
    match(out.wheel, mine.wheels, theirs.wheels);
    match(out.spring, mine.springs, theirs.springs);
  }
  return there ? std::optional(out) : std::nullopt;
}

}  // namespace ridepitch
