#pragma once
// Models read for tests. What is refused fails the calling test, which goes on with an empty model.

#include <string>
#include <string_view>

#include "model/model.hpp"

namespace ridepitch {

/// @param path  where the text is taken to stand: its catalogues are looked for beside that
Model read_rig(const std::string& text, const std::string& path = "rig.toml");

/// By its place in the repository, "tests/oracle/models/beam-on-arm.toml".
Model read_file(std::string_view name);

/// By its name in tests/models/, "quarry-hauler": demos as they were, whose numbers tests know. They stay as they are.
Model demo(const std::string& name);

/// By its name in models/: what users are shown, which may change.
Model shown_demo(const std::string& name);

/// A demo of tests/models with further text at its end.
Model demo_with(const std::string& name, const std::string& more);

/// A tyre of 60 mm without mass.
inline const Tyre plain_tyre{.diameter_mm = 60, .width_mm = 20, .mass_g = 0, .rate_n_per_mm = {}};

/// The model with one tyre on all its wheels.
Model on_tyres(Model model, const Tyre& tyre = plain_tyre);

}  // namespace ridepitch
