#include "sheet/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <string_view>

#include "model/index.hpp"
#include "sheet/changes.hpp"
#include "sheet/drawings.hpp"
#include "sheet/lay_out.hpp"
#include "sheet/tables.hpp"
#include "words/listed.hpp"
#include "words/words.hpp"

namespace ridepitch {
namespace {

constexpr double above_drawing_mm = 26;  // of its heading and caption, on a page of its own
constexpr double vehicle_height_mm = 150;

using Pieces = std::vector<SheetPiece>;

void add_words(Pieces& to, std::string text, Face face, double above_mm, bool stays = false, bool in_list = false) {
  to.push_back({Words{std::move(text), face, in_list}, above_mm, stays});
}
void add_heading(Pieces& to, std::string text) { add_words(to, std::move(text), Face::heading, 6, true); }
void add_text(Pieces& to, std::string text) { add_words(to, std::move(text), Face::text, 1.2); }
void add_item(Pieces& to, std::string text) { add_words(to, std::move(text), Face::text, 0.6, false, true); }
void add_small(Pieces& to, std::string text, bool stays) { add_words(to, std::move(text), Face::small, 1, stays); }
void add_table(Pieces& to, SheetTable table) {
  if (!table.rows.empty()) to.push_back({std::move(table), 2, false});
}

/// "New problem at rear left: ... Try: ..."
std::string finding_words(const std::string& lead, const Finding& finding) {
  return fmt::format("{}: {}{}", lead, finding.text, finding.remedy.empty() ? "" : " Try: " + finding.remedy);
}

// ----------------------------------------------------------------------------------- changes

/// Corners that stand on the ground.
std::size_t standing_corners(const Model& model) {
  return static_cast<std::size_t>(std::count_if(model.corners.begin(), model.corners.end(), [&](const Corner& c) {
    return at(model.linkages, c.linkage).plane != Plane::top;
  }));
}

void add_changes(Pieces& to, const SheetChanges& changes, const Model& before) {
  add_heading(to, "What to change");
  if (changes.list.empty())
    return add_text(to, "Nothing: both have the same holes, parts, springs, places and masses.");
  SheetTable table;
  for (const auto& [heading, share] :
       {std::pair("", 0.0), {"what to do", 2.2}, {"at", 1.0}, {"from", 1.0}, {"to", 1.0}})
    table.columns.push_back({.heading = heading, .numbers = false, .wanted_share = share});
  for (const SheetChange& each : changes.list) {
    const bool everywhere = each.at.size() > 1 && each.at.size() == standing_corners(before);
    const std::string where = each.at.empty() ? "the vehicle" : everywhere ? "all corners" : listed(each.at);
    const auto or_none = [](const std::string& text) { return text.empty() ? "-" : text; };
    table.rows.push_back(
        {{{std::to_string(each.number)}, {each.what_to_do}, {where}, {or_none(each.from)}, {or_none(each.to)}}});
  }
  add_table(to, std::move(table));
  add_small(to,
            "The numbers are those in rings in the drawings. Places [u, v] are in holes on the grid of the part that "
            "the hole is in, or of the chassis. Lengths are from hole centre to hole centre, in holes.",
            false);
}

void add_verdict(Pieces& to, const Comparison& comparison, const Keep& keep, const Model& before) {
  add_heading(to, "Does it then stand and ride the same?");
  add_text(to, fmt::format("{} It {}.", comparison.holds ? "Yes." : "No.", comparison.verdict));
  add_text(to, fmt::format("The same means: {}.", keep_words(keep, is_steered(before))));
  for (const Finding& each : comparison.new_findings)
    add_item(to, finding_words("New problem" + (each.where.empty() ? "" : " at " + each.where), each));
  if (!before.weighed.empty())
    add_text(to, "Its weights are kitchen scale readings from before the change. Weigh it again if wheels have moved.");
}

// ---------------------------------------------------------------------------------- drawings

std::string caption(const Model& model, const std::vector<int>& corners, const SheetDrawing& drawing) {
  const Plane plane = at(model.linkages, at(model.corners, corners.front()).linkage).plane;
  const char* view = plane == Plane::side    ? "Seen from the side, forward to the right"
                     : plane == Plane::front ? "Seen from the front, the vehicle's left to the right"
                                             : "Seen from above, forward to the right, left up";
  std::string text = fmt::format("Scale 1:{}. {}. Numbers at the edges count holes, {:g} mm apart.", drawing.reduced,
                                 view, model.module_mm);
  std::vector<std::string> flipped;
  for (const int corner : corners)
    if (at(model.corners, corner).flip) flipped.push_back(at(model.corners, corner).name);
  if (!flipped.empty()) text += fmt::format(" At {} it sits mirrored, left for right.", listed(flipped));
  return text;
}

void add_linkage(Pieces& to, const Results& results, const std::vector<int>& corners,
                 const std::optional<StandingLinkage>& before, const std::vector<SheetChange>& changes,
                 const Paper& paper) {
  const Model& model = results.model;
  const StandingLinkage now{model, results.solution, corners.front()};
  const Linkage& linkage = at(model.linkages, at(model.corners, corners.front()).linkage);
  if (at(now.solution.corners, now.corner).poses.size() != linkage.bodies.size()) return;
  SheetDrawing drawing = linkage_drawing(now, before, changes,
                                         Vec2(text_width_on_page_mm, text_height_on_page_mm(paper) - above_drawing_mm));
  std::vector<std::string> names;
  for (const int corner : corners) names.push_back(at(model.corners, corner).name);
  add_heading(to, fmt::format("Linkage {}: {}", linkage.name, listed(names)));
  add_small(to,
            fmt::format("{} Drawn as it stands at rest{}.{}", caption(model, corners, drawing),
                        names.size() > 1 ? " at " + names.front() : "",
                        before ? " Dashed: before. Arrows: from the old hole to the new one." : ""),
            true);
  to.push_back({std::move(drawing), 1, false});
}

void add_changed_linkages(Pieces& to, const Told& told, const SheetChanges& changes, const Paper& paper) {
  for (int p = 0; p < count(changes.pairs); ++p) {
    std::vector<SheetChange> of_pair;
    std::copy_if(changes.list.begin(), changes.list.end(), std::back_inserter(of_pair),
                 [&](const SheetChange& each) { return each.pair == p; });
    if (of_pair.empty()) continue;
    const LinkagePair& pair = at(changes.pairs, p);
    const StandingLinkage before{told.before->model, told.before->solution, pair.corners_before.front()};
    add_linkage(to, told.now, pair.corners_after, before, of_pair, paper);
  }
}

void add_all_linkages(Pieces& to, const Results& results, const Paper& paper) {
  const Model& model = results.model;
  for (int l = 0; l < count(model.linkages); ++l) {
    std::vector<int> corners;
    for (int c = 0; c < count(model.corners); ++c)
      if (at(model.corners, c).linkage == l) corners.push_back(c);
    if (!corners.empty()) add_linkage(to, results, corners, std::nullopt, {}, paper);
  }
}

void add_vehicle(Pieces& to, const Told& told) {
  if (!told.now.solution.vehicle) return;
  const ModelAtRest now{told.now.model, told.now.solution};
  std::optional<ModelAtRest> before;
  if (told.before && told.before->solution.vehicle)
    before.emplace(ModelAtRest{told.before->model, told.before->solution});
  const int reduced = vehicle_reduced(now, Vec2(text_width_on_page_mm, vehicle_height_mm));
  add_heading(to, "How it stands");
  add_small(
      to,
      fmt::format("Scale 1:{}. Above from its right side, forward to the right; below from the front, its left to the "
                  "right. Heights are over the ground, weights what a scale reads under the wheel.{}",
                  reduced, before && stands_elsewhere(*before, now, reduced) ? " Dashed: masses before." : ""),
      true);
  for (const VehicleView view : {VehicleView::from_side, VehicleView::from_front})
    to.push_back(
        {vehicle_drawing(now, view, before, reduced, text_width_on_page_mm), 1, view == VehicleView::from_side});
}

// ----------------------------------------------------------------------------------- numbers

void add_numbers(Pieces& to, const Told& told) {
  const bool bench = told.now.model.bench;
  add_heading(to, bench ? "What to check by hand" : "What ruler and scale will read");
  add_table(to, by_hand_table(told));
  add_small(to,
            bench ? "Pressed: how far the wheel can still be pressed from there."
                  : "Height: of the point where the linkage sits, over the ground. Scale: under that wheel, the others "
                    "as high. Pressed: how far the wheel can still be pressed from there. The empty columns are for "
                    "what you measure.",
            false);
  add_heading(to, "The engineer's numbers");
  add_table(to, numbers_table(told));
}

/// Problems and warnings, each told once.
void add_findings(Pieces& to, const std::vector<Finding>& findings) {
  std::vector<std::pair<const Finding*, std::vector<std::string>>> merged;
  for (const Finding& each : findings) {
    if (each.level == Level::note) continue;
    auto same = std::find_if(merged.begin(), merged.end(), [&](const auto& other) {
      return other.first->code == each.code && other.first->text == each.text;
    });
    if (same == merged.end()) same = merged.insert(merged.end(), {&each, {}});
    same->second.push_back(each.where.empty() ? "the vehicle" : each.where);
  }
  if (merged.empty()) return;
  add_heading(to, "Look at this before you trust it");
  for (const auto& [finding, where] : merged)
    add_item(to,
             finding_words((finding->level == Level::problem ? "Problem, " : "Warning, ") + listed(where), *finding));
}

/// A text of the glossary; its lines that begin with a dash are items.
void add_from_glossary(Pieces& to, const std::string& title, std::string_view word) {
  const Word* found = find_word(word);
  add_heading(to, title);
  std::string_view rest = found ? found->text : std::string_view();
  while (!rest.empty()) {
    const std::size_t end = rest.find('\n');
    std::string line(rest.substr(0, end));
    rest = end == rest.npos ? std::string_view() : rest.substr(end + 1);
    std::erase(line, '`');
    const bool is_item = line.rfind("- ", 0) == 0;
    add_words(to, is_item ? line.substr(2) : line, Face::text, 0.6, !rest.empty(), is_item);
  }
}

/// Adds what ends every sheet, and lays it all out.
Sheet bound(const std::string& title, const SheetFacts& facts, Pieces body, const Results& now) {
  add_findings(body, now.solution.findings);
  add_from_glossary(body, "Mind", "cautions");
  add_from_glossary(body, "What is not in these figures", "limits");
  Pieces all;
  add_words(all, title, Face::title, 0, true);
  if (!facts.for_whom.empty()) add_words(all, "For " + facts.for_whom, Face::text, 1, true);
  all.insert(all.end(), std::make_move_iterator(body.begin()), std::make_move_iterator(body.end()));
  return {title, facts, lay_out(std::move(all), facts.paper)};
}

}  // namespace

Vec2 on_paper(const SheetDrawing& drawing, const Vec2& p_mm) {
  return drawing.origin_mm + Vec2(p_mm.x(), -p_mm.y()) / drawing.reduced;
}

Sheet make_sheet(const Results& model, const SheetFacts& facts) {
  const Told told{nullptr, model, nullptr};
  Pieces pieces;
  add_vehicle(pieces, told);
  add_numbers(pieces, told);
  add_all_linkages(pieces, model, facts.paper);
  return bound(model.model.name + ": how it stands", facts, std::move(pieces), model);
}

Sheet make_sheet(const Results& before, const Results& after, const Comparison& comparison, const Keep& keep,
                 const SheetFacts& facts) {
  const Told told{&before, after, &comparison};
  const SheetChanges changes = changes_between(before.model, after.model);
  Pieces pieces;
  add_changes(pieces, changes, before.model);
  add_verdict(pieces, comparison, keep, before.model);
  add_changed_linkages(pieces, told, changes, facts.paper);
  add_vehicle(pieces, told);
  add_numbers(pieces, told);
  const bool renamed = before.model.name != after.model.name;
  const std::string title = before.model.name + ": what to change";
  return bound(renamed ? fmt::format("{} for \u201c{}\u201d", title, after.model.name) : title, facts,
               std::move(pieces), after);
}

}  // namespace ridepitch
