#pragma once
// Files of the repository and of tests, and small work on texts.

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace ridepitch {

/// Path of a file by its place in the repository, "models/parts.toml".
std::string source_path(std::string_view name);

/// The whole text of a file; empty where it can't be read.
std::string text_of(const std::filesystem::path& path);

/// Lines of a text, without their newlines.
std::vector<std::string> lines_of(const std::string& text);

/// The text with the first `from` made `to`; throws where there is none.
std::string replaced(std::string text, const std::string& from, const std::string& to);

/// A folder that is removed with everything in it.
struct Folder {
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  std::string file(const std::string& name) const { return (path / name).string(); }
  /// Makes the folders that the name needs. @returns the file's path
  std::string write(const std::string& name, const std::string& text) const;
  /// What lies in it, sorted.
  std::vector<std::string> names() const;

  std::filesystem::path path;
};

}  // namespace ridepitch
