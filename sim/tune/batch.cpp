#include "tune/batch.hpp"

namespace ridepitch {

namespace kernel_baseline {
extern const TapeKernel kernel;
}
#ifdef RIDEPITCH_X86
namespace kernel_avx2 {
extern const TapeKernel kernel;
}
namespace kernel_avx512 {
extern const TapeKernel kernel;
}
#endif

std::vector<BatchKernel> batch_kernels() {
  std::vector<BatchKernel> kernels = {{"baseline", 4, kernel_baseline::kernel}};
#ifdef RIDEPITCH_X86
  if (__builtin_cpu_supports("avx2")) kernels.push_back({"avx2", 8, kernel_avx2::kernel});
  if (__builtin_cpu_supports("avx512f")) kernels.push_back({"avx512", 16, kernel_avx512::kernel});
#endif
  return kernels;
}

}  // namespace ridepitch
