#include "viewer/machines.hpp"

#include <cstdlib>
#include <fstream>
#include <sstream>

namespace ridepitch::view {

std::string arm_text() {
  return R"(# Trial arm; the spring was found in a drawer.
format = 1
name = "trial arm"

[linkage.l]
plane = "side"

[linkage.l.body]
chassis = { holes = { pivot = [0, 0], seat = [5, 6.5] } }   # the seat is the top hole
arm = { holes = { root = [0, 0], coil = [5, 0], axle = [8, 0] }, near = { axle = [8, 0] } }

[[linkage.l.pin]]
join = ["chassis.pivot", "arm.root"]

[linkage.l.spring.main]
kind = "coil"
free_mm = 60
solid_mm = 30
rate_n_per_mm = 1.6
from = "arm.coil"
to = "chassis.seat"

[linkage.l.wheel.hub]
at = "arm.axle"
part = "tyre-69"

[[corner]]
name = "rear left"
linkage = "l"
at = [0, 0, 4]
load_n = 8
)";
}

Folder::Folder() {
  std::string pattern = (std::filesystem::temp_directory_path() / "ridepitch-view-XXXXXX").string();
  path = mkdtemp(pattern.data());
}

Folder::~Folder() {
  std::error_code error;
  std::filesystem::remove_all(path, error);
}

std::string Folder::write(const std::string& name, const std::string& text) const {
  std::ofstream(path / name, std::ios::binary) << text;
  return file(name);
}

std::string text_of(const std::string& path) {
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  return text.str();
}

}  // namespace ridepitch::view
