#include "model/edit_paths.hpp"

#include <filesystem>
#include <system_error>

#include "model/text_file.hpp"

namespace ridepitch {
namespace {

namespace fs = std::filesystem;

/// The folder that a file lies in, without links and dots.
fs::path folder_of(const fs::path& file) {
  std::error_code ignored;
  return fs::weakly_canonical(fs::absolute(file, ignored).parent_path(), ignored);
}

bool hold_the_same(const fs::path& a, const fs::path& b) {
  const FileText left = read_file_text(a.string(), true), right = read_file_text(b.string(), true);
  return left.why_not.empty() && right.why_not.empty() && left.text == right.text;
}

}  // namespace

std::vector<std::pair<TomlPath, std::string>> paths_for_another_folder(const TomlDocument& document,
                                                                       const std::string& source_path,
                                                                       const std::string& target_path) {
  const fs::path from = folder_of(source_path), to = folder_of(target_path);
  std::vector<std::pair<TomlPath, std::string>> result;
  if (from == to) return result;
  const auto look_at = [&](const TomlPath& where) {
    const auto* name = as<std::string>(value_at(document, where));
    if (!name || name->empty() || fs::path(*name).is_absolute() || hold_the_same(from / *name, to / *name)) return;
    const fs::path file = folder_of(from / *name) / fs::path(*name).filename();
    const fs::path relative = file.lexically_relative(to);
    result.emplace_back(where, (relative.empty() ? file : relative).generic_string());
  };
  const auto* list = as<TomlArray>(value_at(document, {"parts"}));
  for (std::size_t i = 0; list && i < list->size(); ++i) look_at({"parts", i});
  look_at({"prices"});
  return result;
}

}  // namespace ridepitch
