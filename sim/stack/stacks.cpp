#include "stack/stacks.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "model/index.hpp"
#include "stack/pins.hpp"
#include "stack/slices.hpp"
#include "words/listed.hpp"

namespace ridepitch {
namespace {

enum class Known : signed char { no, yes, unknown };

/// A table of answers that are worked out when they are asked for.
struct Answers {
  std::size_t columns = 0;
  std::vector<Known> known = {};

  Known& operator()(int row, int column) {
    return known[static_cast<std::size_t>(row) * columns + static_cast<std::size_t>(column)];
  }
};

Answers answers(std::size_t rows, std::size_t columns) {
  return {columns, std::vector<Known>(rows * columns, Known::unknown)};
}

/// A linkage with what is known of how near its parts come.
struct Looked {
  const Model& model;
  int linkage;
  std::vector<Motion> motions;
  StackParts parts;
  std::optional<GapFinder> gaps = {};  // over those motions
  std::vector<int> first_sheet = {};   // of each item, a number in `gaps`; joints follow after all sheets
  int first_joint = 0;
  Answers clashes = {}, covers = {};
  SlicePuzzle puzzle = {};
  bool complete = false;  // every part has its place
};

int sheet_of(const Looked& looked, int item, int sheet) { return at(looked.first_sheet, item) + sheet; }

bool share_joint(const StackParts& parts, int one, int other) {
  return std::any_of(parts.joints.begin(), parts.joints.end(), [&](const StackJoint& joint) {
    const auto has = [&](int i) { return std::find(joint.items.begin(), joint.items.end(), i) != joint.items.end(); };
    return joint.wheel < 0 && has(one) && has(other);
  });
}

/// Boxes stand on the chassis, as the chassis does, and so does not meet them; nor do tyres and boxes here (`steer` looks).
bool never_meet(const StackItem& one, const StackItem& other) {
  const auto still = [](const StackItem& item) {
    return item.kind == StackKind::keepout || (item.kind == StackKind::body && item.index == chassis);
  };
  return (still(one) && still(other)) || (!one.is_part() && !other.is_part());
}

bool clash(Looked& looked, int one, int sheet, int other, int other_sheet) {
  const int a = sheet_of(looked, one, sheet), b = sheet_of(looked, other, other_sheet);
  Known& known = looked.clashes(std::min(a, b), std::max(a, b));
  if (known == Known::unknown) {
    const StackItem &first = at(looked.parts.items, one), &second = at(looked.parts.items, other);
    const bool both_given = first.layer && second.layer;
    const bool clashes = !never_meet(first, second) && ((!both_given && share_joint(looked.parts, one, other)) ||
                                                        looked.gaps->nearest(a, b, -clash_mm, true).motion >= 0);
    known = clashes ? Known::yes : Known::no;
  }
  return known == Known::yes;
}

/// Whether a sheet comes within an axle's radius of a joint.
bool covers(Looked& looked, int joint, int item, int sheet) {
  Known& known = looked.covers(joint, sheet_of(looked, item, sheet));
  if (known == Known::unknown) {
    const bool near =
        looked.gaps->nearest(looked.first_joint + joint, sheet_of(looked, item, sheet), -clash_mm, true).motion >= 0;
    known = near ? Known::yes : Known::no;
  }
  return known == Known::yes;
}

std::vector<Motion> motions_of(const Model& model, const Solution& solution, int linkage,
                               const std::vector<DriveMotion>& drives) {
  std::vector<Motion> motions = travels_of(model, solution, linkage);
  for (const DriveMotion& drive : drives)
    if (drive.linkage == linkage) motions.push_back(drive.motion);
  return motions;
}

void set_puzzle(Looked& looked) {
  SlicePuzzle& puzzle = looked.puzzle;
  for (const StackItem& item : looked.parts.items) {
    SliceItem& slices = puzzle.items.emplace_back();
    for (const StackSheet& sheet : item.sheets) slices.sheets.push_back(sheet.walls);
    slices.given = item.layer;
    slices.counts = item.is_part();
    slices.carries_wheel = item.carries_wheel;
  }
  for (const StackJoint& joint : looked.parts.joints) puzzle.joints.push_back({joint.items});
  puzzle.clash = [&looked](int one, int sheet, int other, int other_sheet) {
    return clash(looked, one, sheet, other, other_sheet);
  };
  puzzle.covers = [&looked](int joint, int item, int sheet) { return covers(looked, joint, item, sheet); };
  puzzle.most_width = std::max(1, static_cast<int>(std::floor(looked.model.build_width)));
}

/// @param looked  with its motions; stays where it is from now on
void look(Looked& looked) {
  looked.gaps.emplace(looked.motions);
  int sheets = 0;
  for (const StackItem& item : looked.parts.items) {
    looked.first_sheet.push_back(sheets);
    for (const StackSheet& sheet : item.sheets) sheets = looked.gaps->add(sheet.silhouette, item.corners) + 1;
  }
  looked.first_joint = sheets;
  for (const StackJoint& joint : looked.parts.joints) looked.gaps->add(joint.point);
  const auto n = static_cast<std::size_t>(sheets);
  looked.clashes = answers(n, n);
  looked.covers = answers(looked.parts.joints.size(), n);
  set_puzzle(looked);
}

// ------------------------------------------------------------------------------------ words

std::string at_place(const Motion& motion, double place) {
  switch (motion.kind) {
    case Motion::Kind::rest:
      return "at rest";
    case Motion::Kind::travel:
      return fmt::format("at {:.1f} mm of travel", place);
    case Motion::Kind::drive:
      break;
  }
  return fmt::format("with the drive at {:.1f} {}", place, motion.degrees ? "degrees" : "mm");
}

struct DeepestClash {
  NearestPlace nearest;
  int one = 0, other = 0;
};

/// The deepest place of two items; of one without a motion they do not meet.
DeepestClash deepest(const Looked& looked, int one, int other) {
  DeepestClash out{{.gap_mm = -clash_mm}, one, other};
  for (int s = 0; s < count(at(looked.parts.items, one).sheets); ++s)
    for (int t = 0; t < count(at(looked.parts.items, other).sheets); ++t) {
      const NearestPlace found =
          looked.gaps->nearest(sheet_of(looked, one, s), sheet_of(looked, other, t), out.nearest.gap_mm, false);
      if (found.motion >= 0) out.nearest = found;
    }
  return out;
}

std::string name_of(const Looked& looked, int item) { return at(looked.parts.items, item).name; }

/// "3.1 mm into each other at 12.0 mm of travel"
std::string how_deep(const Looked& looked, const NearestPlace& nearest) {
  return fmt::format("{:.1f} mm into each other {}", -nearest.gap_mm,
                     at_place(at(looked.motions, nearest.motion), nearest.place));
}

/// First and last slice of an item whose first slice is `first`.
std::pair<int, int> slices_of(const Looked& looked, int item, int first) {
  const Extent extent = extent_of(at(looked.puzzle.items, item));
  return {first + extent.first, first + extent.last};
}

/// "rod 'pushrod' (layer 2)"
std::string with_layer(const Looked& looked, const std::vector<int>& places, int item) {
  if (!at(looked.parts.items, item).is_part()) return name_of(looked, item);
  const auto [first, last] = slices_of(looked, item, at(places, item));
  return first == last ? fmt::format("{} (layer {})", name_of(looked, item), first)
                       : fmt::format("{} (layers {} to {})", name_of(looked, item), first, last);
}

// ------------------------------------------------------------------------------------ given layers

/// A layer on which one of some given parts meets nothing, told in words. Empty: none.
/// Where all have a place: the nearest, the others where they are; else the one it gets with its own left to the search.
std::string layer_that_cures(Looked& looked, const std::vector<int>& places, const std::vector<int>& items) {
  constexpr int farthest = 8;
  const auto words = [&](int item, int slice) {
    return fmt::format("put {} on layer {}", name_of(looked, item), slice);
  };
  for (int step = 1; looked.complete && step <= farthest; ++step)
    for (const int item : items) {
      if (!at(looked.parts.items, item).is_part()) continue;
      for (const int slice : {at(places, item) + step, at(places, item) - step})
        if (may_lie(looked.puzzle, places, item, slice)) return words(item, slice);
    }
  for (const int item : items) {
    if (looked.complete || !at(looked.parts.items, item).is_part()) continue;
    SlicePuzzle freed = looked.puzzle;
    at(freed.items, item).given.reset();
    const SliceAnswer answer = find_slices(freed);
    if (answer.found) return words(item, at(answer.at, item));
  }
  return "";
}

std::string cure(Looked& looked, const std::vector<int>& places, int one, int other, double depth_mm) {
  const std::string layer = layer_that_cures(looked, places, {one, other});
  const bool tyre = at(looked.parts.items, other).kind == StackKind::tyre;
  const std::string apart = tyre ? "give the wheel another 'out'"
                                 : fmt::format("move a hole, so that they pass {:.1f} mm farther apart", depth_mm);
  return layer.empty() ? apart : layer + ", or " + apart;
}

void tell_corners(const Looked& looked, int motion, const Finding& finding, std::vector<Finding>& findings) {
  for (const int corner : at(looked.motions, motion).corners) {
    findings.push_back(finding);
    findings.back().where = at(looked.model.corners, corner).name;
  }
}

/// Two given items whose walls overlap, and what of them clashes.
void judge_given_pair(Looked& looked, const std::vector<int>& places, int one, int other,
                      std::vector<Finding>& findings) {
  const StackItem &first = at(looked.parts.items, one), &second = at(looked.parts.items, other);
  if (never_meet(first, second)) return;
  DeepestClash clash{{.gap_mm = -clash_mm}, one, other};
  for (int s = 0; s < count(first.sheets); ++s)
    for (int t = 0; t < count(second.sheets); ++t) {
      if (!overlap(at(first.sheets, s).walls, at(places, one), at(second.sheets, t).walls, at(places, other))) continue;
      const NearestPlace found =
          looked.gaps->nearest(sheet_of(looked, one, s), sheet_of(looked, other, t), clash.nearest.gap_mm, false);
      if (found.motion >= 0) clash.nearest = found;
    }
  if (clash.nearest.motion < 0) return;
  tell_corners(looked, clash.nearest.motion,
               {.level = Level::problem,
                .code = "parts-touch",
                .where = "",
                .text = fmt::format("{} and {} run {}", with_layer(looked, places, one),
                                    with_layer(looked, places, other), how_deep(looked, clash.nearest)),
                .remedy = cure(looked, places, one, other, -clash.nearest.gap_mm)},
               findings);
}

/// An axle between two given parts that passes through a third.
void judge_given_axles(Looked& looked, const std::vector<int>& places, const std::vector<bool>& given,
                       std::vector<Finding>& findings) {
  for (int j = 0; j < count(looked.parts.joints); ++j) {
    const StackJoint& joint = at(looked.parts.joints, j);
    for (std::size_t a = 0; a < joint.items.size(); ++a)
      for (std::size_t b = a + 1; b < joint.items.size(); ++b)
        for (int i = 0; i < count(looked.parts.items); ++i) {
          const int one = std::min(joint.items[a], joint.items[b]), other = std::max(joint.items[a], joint.items[b]);
          if (!at(given, one) || !at(given, other) || !at(given, i)) continue;
          if (!passes_through(looked.puzzle, places, j, one, other, i)) continue;
          const std::string layer = layer_that_cures(looked, places, {i, one, other});
          NearestPlace nearest{.gap_mm = -clash_mm};
          for (int s = 0; s < count(at(looked.parts.items, i).sheets); ++s) {
            const NearestPlace found =
                looked.gaps->nearest(looked.first_joint + j, sheet_of(looked, i, s), nearest.gap_mm, false);
            if (found.motion >= 0) nearest = found;
          }
          if (nearest.motion < 0) continue;
          tell_corners(
              looked, nearest.motion,
              {.level = Level::problem,
               .code = "parts-touch",
               .where = "",
               .text = fmt::format("the axle at '{}', from {} to {}, runs {:.1f} mm into {} {}", joint.name,
                                   name_of(looked, one), name_of(looked, other), -nearest.gap_mm, name_of(looked, i),
                                   at_place(at(looked.motions, nearest.motion), nearest.place)),
               .remedy = layer.empty() ? "move a hole, so that the axle passes beside it" : layer},
              findings);
        }
  }
}

void judge_given(Looked& looked, const std::vector<int>& places, std::vector<Finding>& findings) {
  const int n = count(looked.parts.items);
  std::vector<bool> given;
  for (const StackItem& item : looked.parts.items) given.push_back(item.layer.has_value());
  for (int i = 0; i < n; ++i)
    for (int k = i + 1; k < n; ++k)
      if (at(given, i) && at(given, k)) judge_given_pair(looked, places, i, k, findings);
  judge_given_axles(looked, places, given, findings);
}

// ------------------------------------------------------------------------------------ no place for all

/// How two items of a set meet, the deepest first; those that share a joint only have to lie beside each other.
std::vector<DeepestClash> clashes_within(const Looked& looked, const std::vector<int>& items) {
  std::vector<DeepestClash> found;
  for (std::size_t i = 0; i < items.size(); ++i)
    for (std::size_t k = i + 1; k < items.size(); ++k) {
      if (never_meet(at(looked.parts.items, items[i]), at(looked.parts.items, items[k]))) continue;
      if (share_joint(looked.parts, items[i], items[k])) continue;
      const DeepestClash clash = deepest(looked, items[i], items[k]);
      if (clash.nearest.motion >= 0) found.push_back(clash);
    }
  std::stable_sort(found.begin(), found.end(), [](const DeepestClash& a, const DeepestClash& b) {
    return a.nearest.gap_mm < b.nearest.gap_mm - 1e-6;
  });
  return found;
}

std::string more_width(const SlicePuzzle& puzzle) {
  constexpr int most_more = 4;
  SlicePuzzle wider = puzzle;
  for (int more = 1; more <= most_more; ++more) {
    wider.most_width = puzzle.most_width + more;
    const SliceAnswer answer = find_slices(wider);
    if (answer.found) return fmt::format("'width = {}' of [build] would hold them", answer.width);
  }
  return "";
}

Finding does_not_stack(const Looked& looked, bool sure) {
  const int width = looked.puzzle.most_width;
  Finding finding{
      .level = sure ? Level::problem : Level::warning,
      .code = "does-not-stack",
      .where = at(looked.model.linkages, looked.linkage).name,
      .text = fmt::format("no slices within {} modules were found for its parts before the search ended", width),
      .remedy = "give some of its parts a layer"};
  if (!sure) return finding;
  const std::vector<int> items = irreducible(looked.puzzle);
  std::vector<std::string> names;
  for (const int item : items) names.push_back(name_of(looked, item));
  finding.text =
      fmt::format("within {} modules across there is no place for {} beside each other", width, listed(names));
  const std::vector<DeepestClash> clashes = clashes_within(looked, items);
  constexpr std::size_t told = 2;
  for (std::size_t i = 0; i < std::min(told, clashes.size()); ++i)
    finding.text += fmt::format("{} {} and {} run {}", i == 0 ? ":" : ";", name_of(looked, clashes[i].one),
                                name_of(looked, clashes[i].other), how_deep(looked, clashes[i].nearest));
  const bool tyre = std::any_of(items.begin(), items.end(),
                                [&](int item) { return at(looked.parts.items, item).kind == StackKind::tyre; });
  const std::string wider = more_width(looked.puzzle);
  finding.remedy = tyre ? "a greater 'out' of the wheel, or holes that lead one past the other"
                        : "holes that lead one past the other";
  if (!wider.empty()) finding.remedy += "; " + wider;
  return finding;
}

// ------------------------------------------------------------------------------------ one linkage

void set_parts(const Looked& looked, const SliceAnswer& answer, LinkageStack& out) {
  const Linkage& linkage = at(looked.model.linkages, looked.linkage);
  for (int i = 0; i < count(looked.parts.items); ++i) {
    const StackItem& item = at(looked.parts.items, i);
    if (item.kind == StackKind::tyre)
      out.tyres.push_back({at(linkage.wheels, item.index).name, item.sheets[0].walls[0]});
    if (!item.is_part() || (!answer.found && !item.layer)) continue;
    const std::string& name = item.kind == StackKind::body  ? at(linkage.bodies, item.index).name
                              : item.kind == StackKind::rod ? at(linkage.rods, item.index).name
                                                            : at(linkage.springs, item.index).name;
    const auto [first, last] = slices_of(looked, i, answer.found ? at(answer.at, i) : *item.layer);
    out.parts.push_back({item.kind, item.index, name, first, last, item.layer.has_value()});
  }
}

LinkageStack stack_of(const Model& model, const Solution& solution, int linkage, const std::vector<DriveMotion>& drives,
                      std::vector<Finding>& findings) {
  LinkageStack out{.linkage = linkage, .name = at(model.linkages, linkage).name};
  Looked looked{model, linkage, motions_of(model, solution, linkage, drives), stack_parts(model, linkage)};
  look(looked);
  const SliceAnswer answer = find_slices(looked.puzzle);
  looked.complete = answer.found;
  out.complete = answer.found;
  out.sure = answer.sure;
  out.width = answer.width;
  set_parts(looked, answer, out);
  std::vector<int> places = answer.at;
  if (!answer.found) {
    places.clear();
    for (const StackItem& item : looked.parts.items) places.push_back(item.layer.value_or(0));
  } else {
    out.pins = needed_pins(model, linkage, looked.parts, places);
  }
  const std::size_t before = findings.size();
  judge_given(looked, places, findings);
  // Parts that touch as they are given are put right first.
  if (!answer.found && findings.size() == before) findings.push_back(does_not_stack(looked, answer.sure));
  return out;
}

}  // namespace

Stacks find_stacks(const Model& model, const Solution& solution, const std::vector<DriveMotion>& drives) {
  Stacks out;
  for (int l = 0; l < count(model.linkages); ++l)
    if (std::any_of(model.corners.begin(), model.corners.end(), [&](const Corner& c) { return c.linkage == l; }))
      out.linkages.push_back(stack_of(model, solution, l, drives, out.findings));
  return out;
}

}  // namespace ridepitch
