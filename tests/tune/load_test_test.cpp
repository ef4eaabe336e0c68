// The load test: the same bits by every instruction set, and no spring discarded that carries what is wanted, even where it does so
// at the very edge of the window. Loads are worked out here from the spring's length by differences.

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "rigs/scale.hpp"
#include "tune/batch.hpp"

namespace ridepitch {
namespace {

/// A coil between a seat and a hole that goes round a pin as the wheel rises.
struct Lever {
  double pin[2], seat[2], radius, angle, turn_by_rise;
  double rate, preload, free, solid;
  int count;

  std::array<double, 4> hole(double rise) const {
    const double a = angle + turn_by_rise * rise, c = std::cos(a), s = std::sin(a);
    return {pin[0] + radius * c, pin[1] + radius * s, -radius * s * turn_by_rise, radius * c * turn_by_rise};
  }
  double length(double rise) const { return std::hypot(hole(rise)[0] - seat[0], hole(rise)[1] - seat[1]); }
  double load(double rise) const {
    constexpr double h = 1e-5;
    const double slope = (length(rise + h) - length(rise - h)) / (2 * h);
    return -count * (preload + rate * (free - length(rise))) * slope;
  }
  double load_rate(double rise) const {
    constexpr double h = 1e-3;
    return (load(rise + h) - load(rise - h)) / (2 * h);
  }
};

Lever random_lever(std::mt19937& random) {
  const auto draw = [&](double low, double high) { return std::uniform_real_distribution(low, high)(random); };
  return {{draw(0, 40), draw(30, 60)},
          {draw(-60, 0), draw(40, 90)},
          draw(16, 45),
          draw(0, 6.2),
          draw(-0.04, 0.04),
          draw(0.2, 4),
          draw(0, 3),
          draw(48, 96),
          draw(24, 46),
          1 + static_cast<int>(random() % 3)};
}

/// The lever as a task of one row and one spring, its window w to both sides.
struct Task {
  LoadRow row;
  std::vector<float> first, second, at_no_length, rate, solid, free, scratch;
  LoadTask task;

  Task(const Lever& lever, double w) {
    constexpr int stride = 16;
    first.assign(most_samples * 4, 0);
    second.assign(most_samples * 4 * stride + 16, 0);
    const double rises[] = {-w, 0, w};
    for (int s = 0; s < 3; ++s) {
      const auto p = lever.hole(rises[s]);
      for (std::size_t k = 0; k < 4; ++k) first[static_cast<std::size_t>(4 * s) + k] = static_cast<float>(p[k]);
      for (std::size_t k = 0; k < 2; ++k)
        second[(static_cast<std::size_t>(4 * s) + k) * stride] = static_cast<float>(lever.seat[k]);
    }
    const auto one = [](double value, double others) {
      std::vector<float> all(16, static_cast<float>(others));
      all[0] = static_cast<float>(value);
      return all;
    };
    at_no_length = one(lever.count * (lever.preload + lever.rate * lever.free), 0);
    rate = one(lever.count * lever.rate, 0);
    solid = one(lever.solid, 1e30);
    free = one(lever.free, 0);
    scratch.resize(static_cast<std::size_t>(load_scratch(1, stride)) + 16);
    task.rows = task.ends = task.springs = 1;
    task.end_stride = stride;
    task.first = first.data();
    task.second = second.data();
    task.at_no_length = at_no_length.data();
    task.rate = rate.data();
    task.solid = solid.data();
    task.free = free.data();
    task.scratch = scratch.data();
  }

  bool passes(const LoadTester& tester) {
    task.row = &row;
    std::uint64_t bits = 0;
    tester.run(task, &bits);
    return (bits & 1) != 0;
  }
};

TEST(LoadTest, DiscardsNoSpringThatCarriesTheLoadSomewhereInTheWindow) {
  std::mt19937 random(20260501);
  int compared = 0;
  for (int i = 0; i < scaled(20000); ++i) {
    const Lever lever = random_lever(random);
    const double w = std::uniform_real_distribution(0.5, 3.0)(random);
    // At either edge, at a coil's stop, anywhere.
    const double at[] = {-w, w, std::uniform_real_distribution(-w, w)(random)};
    Task task(lever, w);
    for (const double rise : at) {
      const double length = lever.length(rise), load = lever.load(rise), slope = lever.load_rate(rise);
      // A vehicle stays only where loads rise.
      if (length <= lever.solid || length >= lever.free || load <= 0 || slope <= 0) continue;
      task.row = LoadRow{};
      task.row.turn = static_cast<float>(w / 20);
      task.row.load_low = static_cast<float>(load);
      task.row.load_high = static_cast<float>(load);
      const double wide = 0.02 * std::abs(slope);
      task.row.growth_low = static_cast<float>(2 * w * (slope - wide));
      task.row.growth_high = static_cast<float>(2 * w * (slope + wide));
      ++compared;
      for (const LoadTester& tester : load_testers())
        EXPECT_TRUE(task.passes(tester)) << tester.name << " case " << i << " rise " << rise << " of " << w << ": load "
                                         << load << " N, slope " << slope << ", at least, wanted, greatest "
                                         << lever.load(-w) << " " << lever.load(0) << " " << lever.load(w)
                                         << ", length " << length;
    }
  }
  EXPECT_GT(compared, scaled(20000) / 20);
}

TEST(LoadTest, DiscardsWhatIsFarOff) {
  std::mt19937 random(20260502);
  int far = 0;
  for (int i = 0; i < scaled(2000); ++i) {
    const Lever lever = random_lever(random);
    Task task(lever, 1);
    const double load = lever.load(0), length = lever.length(0);
    if ((lever.load(-1) < 0) != (lever.load(1) < 0)) continue;
    if (load <= 1 || length <= lever.solid + 3 || length >= lever.free - 3) continue;
    task.row.load_low = static_cast<float>(3 * load + 10);
    task.row.load_high = static_cast<float>(3 * load + 11);
    ++far;
    for (const LoadTester& tester : load_testers()) EXPECT_FALSE(task.passes(tester)) << i;
  }
  EXPECT_GT(far, 0);
}

TEST(LoadTest, IsTheSameByEveryInstructionSet) {
  std::mt19937 random(20260503);
  const std::vector<LoadTester> testers = load_testers();
  for (int i = 0; i < scaled(5000); ++i) {
    const Lever lever = random_lever(random);
    Task task(lever, 1.5);
    const double load = lever.load(0) * std::uniform_real_distribution(0.9, 1.1)(random);
    task.row.load_low = static_cast<float>(load - 0.05);
    task.row.load_high = static_cast<float>(load + 0.05);
    const bool passes = task.passes(testers.front());
    for (const LoadTester& tester : testers) EXPECT_EQ(task.passes(tester), passes) << tester.name << " case " << i;
  }
}

}  // namespace
}  // namespace ridepitch
