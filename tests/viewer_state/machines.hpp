#pragma once
// Models for the tests of the viewer, and a folder of their own for their files.

#include <filesystem>
#include <string>

namespace ridepitch::view {

inline constexpr double module_mm = 8;

/// A level arm on a seat straight above its coil, on the bench, with comments that must survive.
///
/// Statics: the arm is level where the coil's force times its lever is the load times the arm; see arm_force_n.
std::string arm_text();

/// The same with a knuckle that a rack steers, drawn from above; its second corner.
std::string steered_text();

/// Coil 5 modules out, wheel 8 modules out, load 8 N: force of the coil on a level arm, by moments about its pivot.
inline constexpr double arm_force_n = 8.0 * 8 / 5;

/// A folder that is removed with everything in it.
struct Folder {
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  std::string file(const std::string& name) const { return (path / name).string(); }
  std::string write(const std::string& name, const std::string& text) const;

  std::filesystem::path path;
};

std::string text_of(const std::string& path);

}  // namespace ridepitch::view
