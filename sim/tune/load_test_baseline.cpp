// The load test for any processor.
#define RIDEPITCH_WIDTH 4
#define RIDEPITCH_TEST load_test_baseline
#if defined(__SSE2__)
#define RIDEPITCH_BITS(m) static_cast<unsigned>(__builtin_ia32_movmskps(F(m)))
#else
#define RIDEPITCH_BITS(m) (unsigned(m[0] & 1) | unsigned(m[1] & 2) | unsigned(m[2] & 4) | unsigned(m[3] & 8))
#endif
#include "tune/load_test.inc"
