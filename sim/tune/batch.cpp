#include "tune/batch.hpp"

#include <cstring>

namespace ridepitch {

namespace kernel_baseline {
extern const TapeKernel kernel;
}
namespace load_test_baseline {
extern const LoadTest run;
}
#ifdef RIDEPITCH_X86
namespace kernel_avx2 {
extern const TapeKernel kernel;
}
namespace kernel_avx512 {
extern const TapeKernel kernel;
}
namespace load_test_avx2 {
extern const LoadTest run;
}
#endif

Rows::Rows(int rows, int lanes) : lines(static_cast<std::size_t>((rows * lanes + 7) / 8)), count(lanes) {}

TapeResult result_of(const Rows& results, int lane) {
  TapeResult out;
  char* to = reinterpret_cast<char*>(&out);
  for (int row = 0; row < tape_rows; ++row, to += sizeof(double)) std::memcpy(to, &results[row][lane], sizeof(double));
  return out;
}

std::vector<BatchKernel> batch_kernels() {
  std::vector<BatchKernel> kernels = {{"baseline", 4, kernel_baseline::kernel}};
#ifdef RIDEPITCH_X86
  if (__builtin_cpu_supports("avx2")) kernels.push_back({"avx2", 8, kernel_avx2::kernel});
  if (__builtin_cpu_supports("avx512f")) kernels.push_back({"avx512", 16, kernel_avx512::kernel});
#endif
  return kernels;
}

std::vector<LoadTester> load_testers() {
  std::vector<LoadTester> testers = {{"baseline", load_test_baseline::run}};
#ifdef RIDEPITCH_X86
  if (__builtin_cpu_supports("avx2")) testers.push_back({"avx2", load_test_avx2::run});
#endif
  return testers;
}

}  // namespace ridepitch
