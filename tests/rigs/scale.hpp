#pragma once

namespace ridepitch {

/// How often a random test runs: the environment's TEST_SCALE times `count`, at least `least`.
int scaled(int count, int least = 1);

}  // namespace ridepitch
