#pragma once
// Many candidates at once in closed form: the batch kernels and the load test, chosen by what the processor can do.

#include <cstddef>
#include <string>
#include <vector>

#include "tune/load_test.hpp"
#include "tune/tape.hpp"

namespace ridepitch {

/// Rows of numbers, one for each lane, that begin where kernels want them.
class Rows {
 public:
  Rows(int rows, int lanes);
  double* begin() { return lines.data()->number; }
  const double* begin() const { return lines.data()->number; }
  double* operator[](int row) { return begin() + row * count; }
  const double* operator[](int row) const { return begin() + row * count; }
  int lanes() const { return count; }

 private:
  struct alignas(64) Line {
    double number[8] = {};
  };
  std::vector<Line> lines;
  int count;
};

/// Its fields stand for their rows in what a kernel hands over.
inline constexpr TapeResult any_lane{};

/// @param field  of any_lane
template <class Number>
int row_of(const Number& field) {
  return static_cast<int>((reinterpret_cast<const char*>(&field) - reinterpret_cast<const char*>(&any_lane)) /
                          static_cast<std::ptrdiff_t>(sizeof(double)));
}

/// What a kernel handed over of one lane. @param results  tape_rows of them
TapeResult result_of(const Rows& results, int lane);

/// One build of the kernel.
struct BatchKernel {
  std::string name;  ///< "baseline", "avx2", "avx512"
  int lanes = 0;     ///< candidates that it solves side by side
  TapeKernel run = nullptr;
};

/// Those that this processor can run, the fastest last. Results of all are equal bit for bit.
std::vector<BatchKernel> batch_kernels();

/// One build of the load test.
struct LoadTester {
  std::string name;  ///< "baseline" or "avx2"
  LoadTest run = nullptr;
};

/// Likewise.
std::vector<LoadTester> load_testers();

}  // namespace ridepitch
