// The load test for processors with AVX2.
#define RIDEPITCH_WIDTH 8
#define RIDEPITCH_TEST load_test_avx2
#define RIDEPITCH_BITS(m) static_cast<unsigned>(__builtin_ia32_movmskps256(F(m)))
#include "tune/load_test.inc"
