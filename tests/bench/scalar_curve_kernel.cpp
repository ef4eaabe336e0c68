// The same with a curve of 33 points: how a candidate would be solved without going straight to its rest.
#define RIDEPITCH_WIDTH 1
#define RIDEPITCH_ALONE
#define RIDEPITCH_PIECES 32
#define RIDEPITCH_KERNEL kernel_scalar_curve
#include "tune/kernel.inc"
