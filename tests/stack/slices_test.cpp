// Slices found, against every assignment tried one after another. What an assignment must fulfil is written here again, on
// points a quarter of a slice apart, from docs/model-format.md, "Slices across the plane".

#include "stack/slices.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>
#include <map>
#include <random>

#include "rigs/scale.hpp"

namespace ridepitch {
namespace {

/// A random puzzle; every item has one sheet, so that clashes and covers are tables of items.
struct Drawn {
  SlicePuzzle puzzle;
  std::vector<std::vector<bool>> clash, covers;  // [item][item], [joint][item]
};

void draw_items(std::mt19937& random, Drawn& drawn) {
  const auto any = [&](int low, int high) { return std::uniform_int_distribution(low, high)(random); };
  const int parts = any(2, 4);
  for (int i = 0; i < parts; ++i) {
    SliceItem item;
    const int thick = any(0, 3) == 0 ? 2 : 1;
    item.sheets = {{{-0.5, thick - 0.5}}};
    if (any(0, 7) == 0) item.sheets[0].push_back({1.5, 2.5});  // a frame: walls two slices apart
    item.carries_wheel = i == 0;
    if (any(0, 5) == 0) item.given = any(-1, 1);
    drawn.puzzle.items.push_back(item);
  }
  if (any(0, 1) == 0) {  // a tyre
    SliceItem tyre;
    const double from = any(-1, 2) + 0.25;
    tyre.sheets = {{{from, from + 1.5}}};
    tyre.given = 0;
    tyre.counts = false;
    drawn.puzzle.items.push_back(tyre);
  }
}

Drawn draw(std::mt19937& random) {
  const auto any = [&](int low, int high) { return std::uniform_int_distribution(low, high)(random); };
  Drawn drawn;
  drawn.puzzle.most_width = any(1, 4);
  draw_items(random, drawn);
  const std::size_t n = drawn.puzzle.items.size();
  drawn.clash.assign(n, std::vector<bool>(n, false));
  for (std::size_t i = 0; i < n; ++i)
    for (std::size_t k = i + 1; k < n; ++k) drawn.clash[i][k] = drawn.clash[k][i] = any(0, 2) != 0;
  for (int joint = any(0, 3); joint > 0; --joint) {
    std::vector<int> items;
    for (int i = 0; i < static_cast<int>(n); ++i)
      if (any(0, 1) == 0) items.push_back(i);
    drawn.puzzle.joints.push_back({items});
    std::vector<bool>& covers = drawn.covers.emplace_back();
    for (std::size_t i = 0; i < n; ++i) covers.push_back(any(0, 1) == 0);
  }
  return drawn;
}

/// The puzzle asks back into `drawn`, which must stay.
void connect(Drawn& drawn) {
  drawn.puzzle.clash = [&drawn](int one, int, int other, int) {
    return drawn.clash[static_cast<std::size_t>(one)][static_cast<std::size_t>(other)];
  };
  drawn.puzzle.covers = [&drawn](int joint, int item, int) {
    return drawn.covers[static_cast<std::size_t>(joint)][static_cast<std::size_t>(item)];
  };
}

/// Quarters of slices that an item fills, by their middles in eighths of a slice.
std::vector<int> filled(const SliceItem& item, int at) {
  std::vector<int> out;
  for (const Across& wall : item.sheets[0])
    for (int eighth = static_cast<int>(8 * (wall.from + at)) + 1; eighth < 8 * (wall.to + at); eighth += 2)
      out.push_back(eighth);
  return out;
}

bool share_some(const std::vector<int>& a, const std::vector<int>& b) {
  return std::any_of(a.begin(), a.end(), [&](int e) { return std::find(b.begin(), b.end(), e) != b.end(); });
}

/// Quarters strictly between two items where they are nearest to each other.
std::vector<int> between(const std::vector<int>& a, const std::vector<int>& b) {
  int least = 1 << 20, from = 0, to = 0;
  for (const int p : a)
    for (const int q : b)
      if (std::abs(p - q) < least) {
        least = std::abs(p - q);
        from = std::min(p, q);
        to = std::max(p, q);
      }
  std::vector<int> out;
  for (int e = from + 2; e < to; e += 2) out.push_back(e);
  return out;
}

/// Whether the nearest gap of two items is told by one pair of walls only.
bool holds(const Drawn& drawn, const std::vector<int>& at) {
  const auto& items = drawn.puzzle.items;
  std::vector<std::vector<int>> fill;
  for (std::size_t i = 0; i < items.size(); ++i) fill.push_back(filled(items[i], at[i]));
  for (std::size_t i = 0; i < items.size(); ++i)
    for (std::size_t k = i + 1; k < items.size(); ++k)
      if (drawn.clash[i][k] && !(items[i].given && items[k].given) && share_some(fill[i], fill[k])) return false;
  for (std::size_t j = 0; j < drawn.puzzle.joints.size(); ++j) {
    const auto& members = drawn.puzzle.joints[j].items;
    for (const int a : members)
      for (const int b : members)
        for (std::size_t i = 0; i < items.size(); ++i) {
          const auto one = static_cast<std::size_t>(a), other = static_cast<std::size_t>(b);
          if (a >= b || std::find(members.begin(), members.end(), static_cast<int>(i)) != members.end()) continue;
          if (!drawn.covers[j][i] || (items[i].given && items[one].given && items[other].given)) continue;
          if (share_some(between(fill[one], fill[other]), fill[i])) return false;
        }
  }
  return true;
}

struct Best {
  int width = 0;
  std::vector<int> rank;
  std::vector<int> at;
};

/// Tries every place of every item that is not given.
struct Exhaustive {
  const Drawn& drawn;
  Best best = {};
  std::vector<int> at = {};

  int width_of() const {
    int first = 1 << 20, last = -first;
    for (std::size_t i = 0; i < at.size(); ++i) {
      if (!drawn.puzzle.items[i].counts) continue;
      for (const Across& wall : drawn.puzzle.items[i].sheets[0]) {
        first = std::min(first, at[i] + static_cast<int>(wall.from + 0.5));
        last = std::max(last, at[i] + static_cast<int>(wall.to - 0.5));
      }
    }
    return last - first + 1;
  }

  void judge() {
    const int width = width_of();
    int given_first = 1 << 20, given_last = -given_first;
    for (const SliceItem& item : drawn.puzzle.items)
      if (item.given && item.counts)
        for (const Across& wall : item.sheets[0]) {
          given_first = std::min(given_first, *item.given + static_cast<int>(wall.from + 0.5));
          given_last = std::max(given_last, *item.given + static_cast<int>(wall.to - 0.5));
        }
    const int most = std::max(drawn.puzzle.most_width, given_last - given_first + 1);
    if (width > most || (best.width > 0 && width > best.width)) return;
    std::vector<int> rank = {0, 0};
    for (std::size_t i = 0; i < at.size(); ++i) {
      if (drawn.puzzle.items[i].given) continue;
      if (drawn.puzzle.items[i].carries_wheel) {
        rank[0] += std::abs(at[i]);
        rank[1] += at[i];
      }
      rank.push_back(at[i]);
    }
    if (best.width == width && rank >= best.rank) return;
    if (holds(drawn, at)) best = {width, rank, at};
  }

  void try_all() {
    if (at.size() == drawn.puzzle.items.size()) return judge();
    const SliceItem& item = drawn.puzzle.items[at.size()];
    const int low = item.given.value_or(-7), high = item.given.value_or(7);
    for (int slice = low; slice <= high; ++slice) {
      at.push_back(slice);
      try_all();
      at.pop_back();
    }
  }
};

TEST(Slices, are_those_of_least_width_and_rank_among_all_assignments) {
  std::mt19937 random(20261201);
  int found = 0, none = 0;
  for (int trial = 0; trial < scaled(60, 20); ++trial) {
    Drawn drawn = draw(random);
    connect(drawn);
    Exhaustive all{drawn};
    all.try_all();
    const SliceAnswer answer = find_slices(drawn.puzzle);
    ASSERT_TRUE(answer.sure) << trial;
    ASSERT_EQ(answer.found, all.best.width > 0) << trial;
    (answer.found ? found : none) += 1;
    if (!answer.found) continue;
    EXPECT_EQ(answer.width, all.best.width) << trial;
    EXPECT_EQ(answer.at, all.best.at) << trial;
  }
  EXPECT_GT(found, 10);
  EXPECT_GT(none, 3);
}

TEST(Slices, of_an_irreducible_set_have_a_place_without_any_one_of_it) {
  std::mt19937 random(7);
  int sets = 0;
  for (int trial = 0; trial < scaled(60, 20); ++trial) {
    Drawn drawn = draw(random);
    connect(drawn);
    if (find_slices(drawn.puzzle).found) continue;
    ++sets;
    const std::vector<int> items = irreducible(drawn.puzzle);
    ASSERT_FALSE(items.empty());
    for (std::size_t left_out = 0; left_out < items.size(); ++left_out) {
      // The set without one, as a puzzle of its own.
      Drawn part;
      part.puzzle.most_width = drawn.puzzle.most_width;
      std::vector<std::size_t> kept;
      for (std::size_t i = 0; i < items.size(); ++i)
        if (i != left_out) kept.push_back(static_cast<std::size_t>(items[i]));
      for (const std::size_t i : kept) part.puzzle.items.push_back(drawn.puzzle.items[i]);
      for (const std::size_t i : kept) {
        auto& row = part.clash.emplace_back();
        for (const std::size_t k : kept) row.push_back(drawn.clash[i][k]);
      }
      for (std::size_t j = 0; j < drawn.puzzle.joints.size(); ++j) {
        const auto& members = drawn.puzzle.joints[j].items;
        SliceJoint joint;
        auto& covers = part.covers.emplace_back();
        for (std::size_t i = 0; i < kept.size(); ++i) {
          if (std::find(members.begin(), members.end(), static_cast<int>(kept[i])) != members.end())
            joint.items.push_back(static_cast<int>(i));
          covers.push_back(drawn.covers[j][kept[i]]);
        }
        part.puzzle.joints.push_back(joint);
      }
      Exhaustive all{part};
      all.try_all();
      EXPECT_TRUE(all.best.width > 0 || kept.empty()) << trial;
    }
  }
  EXPECT_GT(sets, 3);
}

TEST(Slices, of_a_hundred_parts_that_all_clash_are_given_up_in_time) {
  SlicePuzzle puzzle;
  puzzle.items.assign(100, {{{{-0.5, 0.5}}}, {}, true, false});
  puzzle.clash = [](int one, int, int other, int) { return one / 8 != other / 8 || (one + other) % 7 != 0; };
  puzzle.covers = [](int, int, int) { return false; };
  const SliceAnswer answer = find_slices(puzzle, 2000);
  EXPECT_FALSE(answer.found);
}

}  // namespace
}  // namespace ridepitch
