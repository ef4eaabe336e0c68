// The loop of a curve does not allocate: it runs hundreds of times in every solve and each frame of a viewer.

// malloc itself is counted, since Eigen calls it. AddressSanitizer brings its own, so this file is for the other builds.

#ifndef __SANITIZE_ADDRESS__

#include <atomic>
#include <cstddef>
#include <vector>

#include <gtest/gtest.h>

#include "linkage/assemble.hpp"
#include "linkage/closure.hpp"
#include "ride/droop.hpp"
#include "ride/sweep.hpp"
#include "rigs/models.hpp"

extern "C" void* __libc_malloc(std::size_t);

namespace {
std::atomic<long> allocations{0};
}

extern "C" void* malloc(std::size_t size) {
  ++allocations;
  return __libc_malloc(size);
}

namespace ridepitch {
namespace {

TEST(Closure, MovesALinkageAlongWithoutAllocating) {
  const Model model = demo("quarry-hauler");
  const AssembleResult assembled = assemble(model.linkages[0], model.module_mm);
  ASSERT_TRUE(assembled.assembly.has_value());
  const Mechanism& mechanism = assembled.assembly->mechanism;
  Closure room;
  prepare(mechanism, room);
  Eigen::VectorXd q = assembled.assembly->q, dq = q, force = Eigen::VectorXd::Zero(room.J.rows());
  Eigen::MatrixXd T;
  linearise(mechanism, q, room);
  tangents(room.part, T);
  const long before = allocations;
  for (int i = 0; i < 200; ++i) {
    linearise(mechanism, q, room);
    tangents(room.part, T);
    q += 1e-4 * T.col(0);
    ASSERT_TRUE(close(mechanism, q, room));
    dq = q;
    multipliers(room.part, dq, force);
  }
  EXPECT_EQ(allocations - before, 0);
}

TEST(Follower, GoesAlongACurveWithoutAllocating) {
  const Model model = demo("quarry-hauler");
  const AssembleResult assembled = assemble(model.linkages[0], model.module_mm);
  ASSERT_TRUE(assembled.assembly.has_value());
  const DroopResult hung = find_droop(*assembled.assembly);
  ASSERT_TRUE(hung.droop.has_value());
  const HeldMechanism held = hold_wheels(assembled.assembly->mechanism, hung.droop->q);
  WheelFollower follower = follow_wheel(held, 0, hung.droop->q);
  const double start = follower.path.here.s;
  // The first two places size what is kept of the past.
  for (int i = 1; i <= 2; ++i) {
    ASSERT_TRUE(advance(follower.path, start + 0.1 * i));
    read_off(follower);
  }
  const long before = allocations;
  bool all = true;
  for (int i = 3; i <= 200; ++i) {
    all = all && advance(follower.path, start + 0.1 * i);
    read_off(follower);
  }
  EXPECT_EQ(allocations - before, 0);
  EXPECT_TRUE(all);
}

TEST(AllocationCount, SeesAnAllocation) {
  const long before = allocations;
  const Eigen::VectorXd room = Eigen::VectorXd::Ones(10);
  EXPECT_GT(allocations - before, 0);
  EXPECT_EQ(room.sum(), 10);
}

}  // namespace
}  // namespace ridepitch

#endif
