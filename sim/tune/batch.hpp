#pragma once
// Many candidates at once in closed form: the batch kernels, chosen by what the processor can do.

#include <string>
#include <vector>

#include "tune/tape.hpp"

namespace ridepitch {

/// One build of the kernel.
struct BatchKernel {
  std::string name;  ///< "baseline", "avx2", "avx512"
  int lanes = 0;     ///< candidates that it solves side by side
  TapeKernel run = nullptr;
};

/// Those that this processor can run, the fastest last. Results of all are equal bit for bit.
std::vector<BatchKernel> batch_kernels();

}  // namespace ridepitch
