// Objects of the kernels are compiled for other instruction sets than the rest. A function that one of them shares with
// an object of another (inline, template: a weak symbol) could be taken from either by the linker, and end in an illegal
// instruction on an older processor. So they must define nothing that can be merged.

#include <array>
#include <cstdio>
#include <memory>
#include <sstream>
#include <string>
#include <vector>

#include <gtest/gtest.h>

namespace ridepitch {
namespace {

std::string output_of(const std::string& command) {
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), pclose);
  std::string text;
  std::array<char, 4096> some{};
  while (pipe) {
    const std::size_t n = std::fread(some.data(), 1, some.size(), pipe.get());
    if (n == 0) break;
    text.append(some.data(), n);
  }
  return text;
}

struct Symbol {
  char kind = ' ';
  std::string name;
};

/// By nm, of one member of the library.
std::vector<Symbol> symbols_of(const std::string& member) {
  std::istringstream lines(output_of(std::string("nm --format=posix '") + RIDEPITCH_TUNE_LIBRARY + "'"));
  std::vector<Symbol> symbols;
  bool here = false;
  for (std::string line; std::getline(lines, line);) {
    if (line.ends_with("]:")) {
      here = line.find("[" + member) != line.npos;
      continue;
    }
    std::istringstream words(line);
    Symbol symbol;
    if (here && words >> symbol.name >> symbol.kind) symbols.push_back(symbol);
  }
  return symbols;
}

class KernelObject : public testing::TestWithParam<const char*> {};

TEST_P(KernelObject, DefinesNothingThatALinkerCouldMerge) {
#ifdef RIDEPITCH_INSTRUMENTED
  GTEST_SKIP() << "sanitizers and coverage add symbols of their own to every object";
#endif
  const std::vector<Symbol> symbols = symbols_of(GetParam());
  int kernels = 0;
  for (const Symbol& symbol : symbols) {
    // W, w, V, v: weak; u: unique in the program; i: chosen while loading; C: common.
    EXPECT_EQ(std::string("WwVvuiC").find(symbol.kind), std::string::npos) << symbol.kind << " " << symbol.name;
    // U: of another object. Nothing of the standard library; of libm the root at most.
    if (symbol.kind == 'U') {
      const bool harmless = symbol.name == "sqrt" || symbol.name == "memset" || symbol.name == "memcpy" ||
                            symbol.name == "_GLOBAL_OFFSET_TABLE_" || symbol.name == "__stack_chk_fail";
      EXPECT_TRUE(harmless) << "uses " << symbol.name;
    }
    // Upper case: seen by the linker. The one table entry that batch.cpp reads, nothing else.
    if (symbol.kind == 'R' || symbol.kind == 'D' || symbol.kind == 'T' || symbol.kind == 'B') {
      ++kernels;
      EXPECT_NE(symbol.name.find("kernel"), std::string::npos) << symbol.name;
    }
  }
  EXPECT_EQ(kernels, 1) << "its kernel is not found: nm read " << symbols.size() << " symbols";
}

#ifdef __x86_64__
INSTANTIATE_TEST_SUITE_P(Members, KernelObject, testing::Values("batch_baseline", "batch_avx2", "batch_avx512"));
#else
INSTANTIATE_TEST_SUITE_P(Members, KernelObject, testing::Values("batch_baseline"));
#endif

}  // namespace
}  // namespace ridepitch
