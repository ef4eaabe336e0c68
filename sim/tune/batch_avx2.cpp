// The batch kernel for processors with AVX2.
#define RIDEPITCH_WIDTH 4
#define RIDEPITCH_KERNEL kernel_avx2
#include "tune/kernel.inc"
