#include "cli/commands.hpp"

namespace ridepitch {
Outcome run_rework(const Options&, const Ink&) { return {}; }
}  // namespace ridepitch
