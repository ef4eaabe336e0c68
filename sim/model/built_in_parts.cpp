// The catalogue that comes with the program. Its text is compiled in by embed_parts.cmake.

#include <cassert>

#include "model/read.hpp"
#include "model/read_parts.hpp"

namespace ridepitch {

extern const char* const built_in_part_files[];
extern const int built_in_part_file_count;

namespace {

Catalogue read_built_in_parts() {
  Reading reading;
  Catalogue catalogue;
  for (int i = 0; i < built_in_part_file_count; ++i) {
    reading.sources.push_back({built_in_part_files[2 * i], built_in_part_files[2 * i + 1]});
    read_catalogue(reading, i, catalogue);
  }
  assert(reading.problems.empty());
  for (auto& [name, part] : catalogue) part.place = {};
  return catalogue;
}

}  // namespace

const Catalogue& built_in_parts() {
  static const Catalogue catalogue = read_built_in_parts();
  return catalogue;
}

}  // namespace ridepitch
