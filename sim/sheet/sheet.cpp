#include "sheet/sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
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

// Space of a drawing with its heading and caption on a page of its own [mm].
constexpr double drawing_height_mm = text_height_on_page_mm - 26;
constexpr double vehicle_height_mm = 150;

struct Writing {
  const Told& told;
  std::vector<SheetPiece> pieces = {};

  void words(std::string text, Face face, double above_mm, bool stays = false, bool in_list = false) {
    pieces.push_back({Words{std::move(text), face, in_list}, above_mm, stays});
  }
  void heading(std::string text) { words(std::move(text), Face::heading, 6, true); }
  void text(std::string text) { words(std::move(text), Face::text, 1.2); }
  void item(std::string text) { words(std::move(text), Face::text, 0.6, false, true); }
  void small(std::string text, bool stays) { words(std::move(text), Face::small, 1, stays); }
  void table(SheetTable table) {
    if (!table.rows.empty()) pieces.push_back({std::move(table), 2, false});
  }

  // --------------------------------------------------------------------------------- changes

  void changes(const SheetChanges& changes) {
    heading("What to change");
    if (changes.list.empty()) {
      text("Nothing: both have the same holes, parts, springs, places and masses.");
      return;
    }
    SheetTable rows;
    rows.columns = {
        {"", "", false}, {"what to do", "", false}, {"at", "", false}, {"from", "", false}, {"to", "", false}};
    rows.columns[1].wanted_share = 2.2;
    rows.columns[2].wanted_share = rows.columns[3].wanted_share = rows.columns[4].wanted_share = 1;
    for (const SheetChange& each : changes.list) {
      const bool everywhere = each.at.size() > 1 && each.at.size() == corners_in_all();
      const std::string where = each.at.empty() ? "the vehicle" : everywhere ? "all corners" : listed(each.at);
      rows.rows.push_back({{{std::to_string(each.number)},
                            {each.what_to_do},
                            {where},
                            {each.from.empty() ? "-" : each.from},
                            {each.to.empty() ? "-" : each.to}}});
    }
    table(std::move(rows));
    small(
        "The numbers are those in rings in the drawings. Places [u, v] are in holes on the grid of the part that the "
        "hole is in, "
        "or of the chassis; lengths are from hole centre to hole centre, in holes.",
        false);
  }

  /// Corners that stand on the ground.
  std::size_t corners_in_all() const {
    const Model& model = told.before->model;
    return static_cast<std::size_t>(std::count_if(model.corners.begin(), model.corners.end(), [&](const Corner& c) {
      return at(model.linkages, c.linkage).plane != Plane::top;
    }));
  }

  void verdict(const Comparison& comparison, const Keep& keep) {
    heading("Does it then stand and ride the same?");
    text(fmt::format("{} It {}.", comparison.holds ? "Yes." : "No.", comparison.verdict));
    text(fmt::format("The same means: {}.", keep_words(keep)));
    for (const Finding& each : comparison.new_findings)
      item(fmt::format("New problem{}: {}{}", each.where.empty() ? "" : " at " + each.where, each.text,
                       each.remedy.empty() ? "" : " Try: " + each.remedy));
    if (!told.before->model.weighed.empty())
      text(
          "Its weights are readings of a kitchen scale, taken to hold for it as changed: weigh it again, if wheels "
          "move.");
  }

  // -------------------------------------------------------------------------------- drawings

  static const char* plane_words(Plane plane) {
    return plane == Plane::side    ? "Seen from the side, forward to the right"
           : plane == Plane::front ? "Seen from the front, the vehicle's left to the right"
                                   : "Seen from above, forward to the right, left up";
  }

  static std::string caption(const Model& model, const std::vector<int>& corners, const SheetDrawing& drawing) {
    const Linkage& linkage = at(model.linkages, at(model.corners, corners.front()).linkage);
    std::string text = fmt::format("Scale 1:{}. {}. Numbers at the edges count holes, {:g} mm apart.", drawing.reduced,
                                   plane_words(linkage.plane), model.module_mm);
    std::vector<std::string> flipped;
    for (const int corner : corners)
      if (at(model.corners, corner).flip) flipped.push_back(at(model.corners, corner).name);
    if (!flipped.empty()) text += fmt::format(" At {} it sits mirrored, left for right.", listed(flipped));
    return text;
  }

  void linkage(const std::vector<int>& corners, const std::optional<StandingLinkage>& before,
               const std::vector<SheetChange>& changes) {
    const Model& model = told.now.model;
    const StandingLinkage now{model, told.now.solution, corners.front()};
    const Linkage& linkage = at(model.linkages, at(model.corners, corners.front()).linkage);
    if (at(now.solution.corners, now.corner).poses.size() != linkage.bodies.size()) return;
    SheetDrawing drawing = linkage_drawing(now, before, changes, Vec2(text_width_on_page_mm, drawing_height_mm));
    std::vector<std::string> names;
    for (const int corner : corners) names.push_back(at(model.corners, corner).name);
    heading(fmt::format("Linkage {}: {}", linkage.name, listed(names)));
    std::string words = caption(model, corners, drawing);
    words += fmt::format(" Drawn as it stands at rest{}.", names.size() > 1 ? " at " + names.front() : "");
    if (before) words += " Dashed: before. Arrows: from the old hole to the new one.";
    small(words, true);
    pieces.push_back({std::move(drawing), 1, false});
  }

  void changed_linkages(const SheetChanges& changes) {
    for (int p = 0; p < count(changes.pairs); ++p) {
      std::vector<SheetChange> of_pair;
      for (const SheetChange& each : changes.list)
        if (each.pair == p) of_pair.push_back(each);
      if (of_pair.empty()) continue;
      const LinkagePair& pair = at(changes.pairs, p);
      linkage(pair.corners_after,
              StandingLinkage{told.before->model, told.before->solution, pair.corners_before.front()}, of_pair);
    }
  }

  void all_linkages() {
    const Model& model = told.now.model;
    for (int l = 0; l < count(model.linkages); ++l) {
      std::vector<int> corners;
      for (int c = 0; c < count(model.corners); ++c)
        if (at(model.corners, c).linkage == l) corners.push_back(c);
      if (!corners.empty()) linkage(corners, std::nullopt, {});
    }
  }

  void vehicle() {
    if (!told.now.solution.vehicle) return;
    const ModelAtRest now{told.now.model, told.now.solution};
    std::optional<ModelAtRest> before;
    if (told.before && told.before->solution.vehicle)
      before.emplace(ModelAtRest{told.before->model, told.before->solution});
    const int reduced = vehicle_reduced(now, Vec2(text_width_on_page_mm, vehicle_height_mm));
    heading("How it stands");
    small(
        fmt::format(
            "Scale 1:{}. Above from its right side, forward to the right; below from the front, its left to the right. "
            "Heights are over the ground, weights what a scale reads under the wheel.{}",
            reduced, before && stands_elsewhere(*before, now, reduced) ? " Dashed: masses before." : ""),
        true);
    for (const Seen seen : {Seen::from_side, Seen::from_front})
      pieces.push_back(
          {vehicle_drawing(now, seen, before, reduced, text_width_on_page_mm), 1, seen == Seen::from_side});
  }

  // --------------------------------------------------------------------------------- numbers

  void numbers() {
    heading(told.now.model.bench ? "What to check by hand" : "What ruler and scale will read");
    table(by_hand_table(told));
    small(told.now.model.bench
              ? "Pressed: how far the wheel can still be pressed from there."
              : "Height: of the point where the linkage sits, over the ground. Scale: under that wheel, the others as "
                "high. Pressed: "
                "how far the wheel can still be pressed from there. The empty columns are for what you measure.",
          false);
    heading("The engineer's numbers");
    table(numbers_table(told));
  }

  /// Problems and warnings, each told once.
  void findings() {
    std::vector<std::pair<const Finding*, std::vector<std::string>>> merged;
    for (const Finding& each : told.now.solution.findings) {
      if (each.level == Level::note) continue;
      const auto same = std::find_if(merged.begin(), merged.end(), [&](const auto& other) {
        return other.first->code == each.code && other.first->text == each.text;
      });
      const std::string where = each.where.empty() ? "the vehicle" : each.where;
      if (same == merged.end())
        merged.push_back({&each, {where}});
      else
        same->second.push_back(where);
    }
    if (merged.empty()) return;
    heading("Look at this before you trust it");
    for (const auto& [finding, where] : merged)
      item(fmt::format("{}, {}: {}{}", finding->level == Level::problem ? "Problem" : "Warning", listed(where),
                       finding->text, finding->remedy.empty() ? "" : " Try: " + finding->remedy));
  }

  /// A text of the glossary; its lines that begin with a dash are items.
  void from_glossary(const std::string& title, std::string_view word) {
    const Word* found = find_word(word);
    heading(title);
    std::string_view rest = found ? found->text : std::string_view();
    while (!rest.empty()) {
      const std::size_t end = rest.find('\n');
      std::string line(rest.substr(0, end));
      rest = end == rest.npos ? std::string_view() : rest.substr(end + 1);
      line.erase(std::remove(line.begin(), line.end(), '`'), line.end());
      const bool is_item = line.rfind("- ", 0) == 0;
      words(is_item ? line.substr(2) : line, Face::text, 0.6, !rest.empty(), is_item);
    }
  }

  void last_words() {
    findings();
    from_glossary("Mind", "cautions");
    from_glossary("What is not in these figures", "limits");
  }
};

Sheet bound(std::string title, const SheetFacts& facts, std::vector<SheetPiece> pieces) {
  Sheet sheet{title, facts, {}};
  std::vector<SheetPiece> all;
  all.push_back({Words{std::move(title), Face::title}, 0, true});
  if (!facts.for_whom.empty()) all.push_back({Words{"For " + facts.for_whom, Face::text}, 1, true});
  all.insert(all.end(), std::make_move_iterator(pieces.begin()), std::make_move_iterator(pieces.end()));
  sheet.pages = lay_out(std::move(all));
  return sheet;
}

}  // namespace

Vec2 on_paper(const SheetDrawing& drawing, const Vec2& p_mm) {
  return drawing.origin_mm + Vec2(p_mm.x(), -p_mm.y()) / drawing.reduced;
}

Sheet make_sheet(const Results& model, const SheetFacts& facts) {
  const Told told{nullptr, model, nullptr};
  Writing writing{told};
  writing.vehicle();
  writing.numbers();
  writing.all_linkages();
  writing.last_words();
  return bound(model.model.name + ": how it stands", facts, std::move(writing.pieces));
}

Sheet make_sheet(const Results& before, const Results& after, const Comparison& comparison, const Keep& keep,
                 const SheetFacts& facts) {
  const Told told{&before, after, &comparison};
  const SheetChanges changes = changes_between(before.model, after.model);
  Writing writing{told};
  writing.changes(changes);
  writing.verdict(comparison, keep);
  writing.changed_linkages(changes);
  writing.vehicle();
  writing.numbers();
  writing.last_words();
  const bool renamed = before.model.name != after.model.name;
  return bound(renamed ? fmt::format("{}: what to change for \u201c{}\u201d", before.model.name, after.model.name)
                       : before.model.name + ": what to change",
               facts, std::move(writing.pieces));
}

}  // namespace ridepitch
