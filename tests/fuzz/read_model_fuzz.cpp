// Feeds the model reader anything at all. Beside what the sanitizers see, it must keep the promises of model/read.hpp.

#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "model/read.hpp"

namespace {

void must(bool promise) {
  if (!promise) std::abort();
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  // In a folder that does not exist, so that a catalogue named in the text is looked for and not found.
  const auto read = ridepitch::read_model_text(text, "no-such-folder/fuzzed.toml");

  must(read.model.has_value() == read.problems.empty());
  must(read.problems.size() <= 50);
  const auto lines = 1 + std::count(text.begin(), text.end(), '\n');
  for (const auto& problem : read.problems) {
    must(!problem.code.empty() && !problem.text.empty());
    must(problem.text.find('\n') == std::string::npos);
    if (problem.place.file == 0) {
      must(problem.place.line >= 0 && problem.place.line <= lines);
      must(problem.place.column >= 0 && problem.place.width >= 0);
    }
  }
  return 0;
}
