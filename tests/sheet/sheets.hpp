#pragma once
// Demo models, solved, and their sheets.

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "rigs/models.hpp"
#include "rigs/rest.hpp"
#include "sheet/sheet.hpp"

namespace ridepitch {

/// A model at rest, and steered if it is.
struct Printed : Standing {
  std::optional<Steered> steered;

  Results results() const { return {model, solution, steered ? &*steered : nullptr}; }
};

Printed printed(const Model& model);
/// Of tests/models/, by name. Solved once.
const Printed& printed_demo(const std::string& name);

/// What a demo's sheet says of its file.
SheetFacts facts_of(const std::string& name);

/// All that models/ shows, and pairs of it that are compared.
struct Named {
  std::string name;
  Sheet sheet;
};
const std::vector<Named>& demo_sheets();

Sheet rework_sheet(const std::string& before, const std::string& after);

std::vector<SheetDrawing> drawings_of(const Sheet& sheet);

/// All that is printed, in order.
std::string words_of(const Sheet& sheet);

}  // namespace ridepitch
