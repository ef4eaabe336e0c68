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

Sheet rework_sheet(const std::string& before, const std::string& after) {
  const Printed &a = printed_demo(before), &b = printed_demo(after);
  return make_sheet(a.results(), b.results(), compare(a.results(), b.results()), {}, facts_of(after));
}

const std::vector<Named>& demo_sheets() {
  static const std::vector<Named> all = [] {
    std::vector<Named> out;
    for (const char* name :
         {"bark-dumper", "gravel-tug", "log-skidder-banded", "ore-hauler", "peat-crab", "quarry-hauler", "sand-loader",
          "scout-car", "slate-carrier", "timber-forwarder", "trial-arm"})
      out.push_back({name, make_sheet(printed_demo(name).results(), facts_of(name))});
    out.push_back({"gravel-tug-rework", rework_sheet("gravel-tug", "gravel-tug-rework")});
    out.push_back({"log-skidder-bands", rework_sheet("log-skidder-plain", "log-skidder-banded")});
    out.push_back({"log-skidder-no-bands", rework_sheet("log-skidder-banded", "log-skidder-plain")});
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
