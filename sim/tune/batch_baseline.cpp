// The batch kernel for any processor of the platform.
#define RIDEPITCH_WIDTH 2
#define RIDEPITCH_KERNEL kernel_baseline
#include "tune/kernel.inc"
