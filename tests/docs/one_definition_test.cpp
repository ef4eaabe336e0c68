// No name of the namespace ridepitch has two definitions in one program: the one-definition rule of C++, which no linker
// checks for types.

#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <regex>
#include <string>
#include <vector>

namespace ridepitch {
namespace {

/// A text without comments and literals, whose braces are none.
std::string code_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  const std::string text{std::istreambuf_iterator<char>(in), {}};
  std::string code;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const char c = text[i];
    if (text.compare(i, 2, "//") == 0) {
      i = std::min(text.find('\n', i), text.size()) - 1;
    } else if (c == '"' || (c == '\'' && i > 0 && !std::isalnum(static_cast<unsigned char>(text[i - 1])))) {
      for (++i; i < text.size() && text[i] != c; ++i)
        if (text[i] == '\\') ++i;
    } else {
      code += c;
    }
  }
  return code;
}

/// Types and aliases that a text defines at the level of a namespace that has a name: "ridepitch::view::Document".
std::vector<std::string> defined_types(const std::string& code) {
  static const std::regex token(
      R"rx(\{|\}|\bnamespace\s*([\w:]*)\s*\{|\b(?:struct|class|enum class|enum)\s+(\w+)[^;{}()=>]*\{|\busing\s+(\w+)\s*=)rx");
  std::vector<std::string> found;
  std::vector<std::string> open;  // per brace: the namespace's name, "" of a nameless one, "{" of anything else
  for (std::sregex_iterator it(code.begin(), code.end(), token), end; it != end; ++it) {
    const std::smatch& match = *it;
    std::string scope;
    bool named = true;
    for (const std::string& each : open) {
      scope += each + "::";
      named = named && each != "" && each != "{";
    }
    const std::string type = match[2].matched ? match[2].str() : match[3].str();
    if (named && !type.empty()) found.push_back(scope + type);
    const char last = match.str().back();
    if (last == '{') open.push_back(match.str().rfind("namespace", 0) == 0 ? match[1].str() : "{");
    if (last == '}' && !open.empty()) open.pop_back();
  }
  return found;
}

TEST(DefinedTypes, are_those_of_named_namespaces_only) {
  EXPECT_EQ(
      defined_types("namespace a { struct B { enum class C { d }; }; namespace { struct E {}; } using F = int; }"),
      (std::vector<std::string>{"a::B", "a::F"}));
}

TEST(Sources, define_no_name_twice) {
  std::map<std::string, std::string> first;
  for (const char* folder : {"/sim", "/viewer"}) {
    for (const auto& entry :
         std::filesystem::recursive_directory_iterator(RIDEPITCH_SOURCE_DIR + std::string(folder))) {
      const std::string path = entry.path().string(), ending = entry.path().extension().string();
      if (ending != ".hpp" && ending != ".cpp") continue;
      for (const std::string& name : defined_types(code_of(path))) {
        const auto [place, is_new] = first.emplace(name, path);
        EXPECT_TRUE(is_new) << name << " in " << place->second << " and in " << path;
      }
    }
  }
  EXPECT_GT(first.size(), 300u) << "types were found at all";
}

}  // namespace
}  // namespace ridepitch
