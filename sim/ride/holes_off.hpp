#pragma once
// A slip in building or in the file: one hole or rod that stands a module off.

#include <functional>
#include <string>
#include <vector>

#include "model/model.hpp"

namespace ridepitch {

struct HoleOff {
  std::function<void(Model&)> put_in;
  std::string what, needs;  ///< as of a LikelyCause
};

/// Every hole of a linkage one module off in each of four directions, and every rod one longer and one shorter.
std::vector<HoleOff> holes_off(const Model& model, int linkage);

}  // namespace ridepitch
