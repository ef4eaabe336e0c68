#include "viewer_state/machines.hpp"

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

std::string steered_text() {
  return arm_text() + R"(
[linkage.steer]
plane = "top"

[linkage.steer.body]
chassis = { holes = { guide = [0, 0], king = [2, 6] } }
rack = { holes = { middle = [0, 0], end = [0, 4] }, near = { end = [0, 4] } }
knuckle = { holes = { king = [0, 0], arm = [-2, 0], hub = [0, 1] }, near = { arm = [0, 6], hub = [2, 7] } }

[[linkage.steer.pin]]
join = ["chassis.king", "knuckle.king"]

[linkage.steer.rod.tie]
from = "rack.end"
to = "knuckle.arm"
length = 2

[linkage.steer.slide.rack]
hole = "rack.middle"
through = "chassis.guide"
along = [0, 1]
stroke = [-1, 1]

[linkage.steer.drive]
slide = "rack"

[linkage.steer.wheel.left]
at = "knuckle.hub"
part = "tyre-69"
ahead = [1, 0]
same_as = "rear left/hub"

[[corner]]
name = "steering"
linkage = "steer"
at = [10, 0, 4]
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
