// The batch kernel for any processor of the platform.
#define RIDEPITCH_LANES 2
#define RIDEPITCH_KERNEL kernel_baseline
#include "tune/kernel.inc"
