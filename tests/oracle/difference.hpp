#pragma once
// Central differences extrapolated to step 0.

#include "linear.hpp"

namespace ridepitch::oracle {

/// Romberg's table over central differences whose steps were halved each time; the entry that agrees best with
/// its neighbour. @pre two differences or more
double romberg(const Vector& differences);

}  // namespace ridepitch::oracle
