#include "rigs/models.hpp"

#include <gtest/gtest.h>

#include "model/read.hpp"
#include "rigs/files.hpp"

namespace ridepitch {
namespace {

Model sound(ReadModel read, const std::string& path, const std::string& text = "") {
  for (const Problem& problem : read.problems)
    ADD_FAILURE() << path << ":" << problem.place.line << ":" << problem.place.column << ": " << problem.text << "\n"
                  << text;
  return std::move(read.model).value_or(Model{});
}

std::string demo_path(const std::string& name) { return source_path("tests/models/" + name + ".toml"); }

}  // namespace

Model read_rig(const std::string& text, const std::string& path) {
  return sound(read_model_text(text, path), path, text);
}

Model read_file(std::string_view name) { return sound(read_model(source_path(name)), source_path(name)); }

Model demo(const std::string& name) { return sound(read_model(demo_path(name)), demo_path(name)); }

Model shown_demo(const std::string& name) { return read_file("models/" + name + ".toml"); }

Model demo_with(const std::string& name, const std::string& more) {
  return read_rig(text_of(demo_path(name)) + more, demo_path(name));
}

Model on_tyres(Model model, const Tyre& tyre) {
  for (Linkage& linkage : model.linkages)
    for (Wheel& wheel : linkage.wheels) wheel.tyre = tyre;
  return model;
}

}  // namespace ridepitch
