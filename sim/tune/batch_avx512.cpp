// The batch kernel for processors with AVX-512 (F).
#define RIDEPITCH_WIDTH 8
#define RIDEPITCH_KERNEL kernel_avx512
#include "tune/kernel.inc"
