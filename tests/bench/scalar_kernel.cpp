// The batch kernel's own algorithm for one candidate at a time, as plain scalar code: what the others are compared with.
#define RIDEPITCH_WIDTH 1
#define RIDEPITCH_ALONE
#define RIDEPITCH_KERNEL kernel_scalar
#include "tune/kernel.inc"
