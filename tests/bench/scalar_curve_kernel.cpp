// The same with a curve of 33 points: how a candidate would be solved without going straight to its rest.
#define RIDEPITCH_LANES 1
#define RIDEPITCH_PIECES 32
#define RIDEPITCH_KERNEL kernel_scalar_curve
#include "tune/kernel.inc"
