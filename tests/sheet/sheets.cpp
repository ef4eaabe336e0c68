#include "sheet/sheets.hpp"

#include <map>

namespace ridepitch {

Printed printed(const Model& model) {
  Printed out{standing(model), {}};
  out.steered = steer(out.model, out.solution, {}).steered;
  return out;
}

const Printed& printed_demo(const std::string& name) {
  static std::map<std::string, Printed> solved;
  const auto found = solved.find(name);
  if (found != solved.end()) return found->second;
  return solved.emplace(name, printed(demo(name))).first->second;
}

SheetFacts facts_of(const std::string& name) { return {"", name + ".toml", "2026-11-28"}; }

namespace {

/// Of models/, which users are shown. Solved once.
const Printed& printed_shown(const std::string& name) {
  static std::map<std::string, Printed> solved;
  const auto found = solved.find(name);
  if (found != solved.end()) return found->second;
  return solved.emplace(name, printed(shown_demo(name))).first->second;
}

Sheet changes_sheet(const Printed& a, const Printed& b, const std::string& after) {
  return make_sheet(a.results(), b.results(), compare(a.results(), b.results()), {}, facts_of(after));
}

}  // namespace

Sheet rework_sheet(const std::string& before, const std::string& after) {
  return changes_sheet(printed_demo(before), printed_demo(after), after);
}

const std::vector<Named>& demo_sheets() {
  static const std::vector<Named> all = [] {
    std::vector<Named> out;
    for (const char* name :
         {"bark-dumper", "gravel-tug", "log-skidder-banded", "ore-hauler", "peat-crab", "quarry-hauler", "sand-loader",
          "scout-car", "slate-carrier", "timber-forwarder", "trial-arm"})
      out.push_back({name, make_sheet(printed_shown(name).results(), facts_of(name))});
    const auto rework = [&out](const char* name, const char* before, const char* after) {
      out.push_back({name, changes_sheet(printed_shown(before), printed_shown(after), after)});
    };
    rework("gravel-tug-rework", "gravel-tug", "gravel-tug-rework");
    rework("log-skidder-bands", "log-skidder-plain", "log-skidder-banded");
    rework("log-skidder-no-bands", "log-skidder-banded", "log-skidder-plain");
    return out;
  }();
  return all;
}

std::vector<SheetDrawing> drawings_of(const Sheet& sheet) {
  std::vector<SheetDrawing> out;
  for (const SheetPage& page : sheet.pages)
    for (const SheetBlock& block : page.blocks)
      if (const auto* drawing = std::get_if<SheetDrawing>(&block.what)) out.push_back(*drawing);
  return out;
}

std::string words_of(const Sheet& sheet) {
  std::string text;
  for (const SheetPage& page : sheet.pages)
    for (const SheetBlock& block : page.blocks) {
      if (const auto* words = std::get_if<Words>(&block.what)) text += words->text + "\n";
      if (const auto* table = std::get_if<SheetTable>(&block.what))
        for (const SheetRow& row : table->rows) {
          for (const SheetCell& cell : row.cells) text += cell.text + " | ";
          text += "\n";
        }
    }
  return text;
}

}  // namespace ridepitch
