#include "stack/slices.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numeric>

#include "model/index.hpp"

namespace ridepitch {
namespace {

using Places = std::uint64_t;       // a set of slices, the first of the range being bit 0
constexpr int most_places = 32;     // of a range: offsets of two items fit into one set
constexpr int most_given = 10'000;  // beyond, a given layer is not near anything
constexpr double slice_rounding = 1e-9;

/// Between the faces of two items that look at each other; of several walls those that are nearest. None where they touch.
std::optional<Across> between(const SliceItem& one, int one_at, const SliceItem& other, int other_at) {
  std::optional<Across> nearest;
  double least = std::numeric_limits<double>::infinity();
  for (const auto& walls : one.sheets)
    for (const Across& wall : walls)
      for (const auto& other_walls : other.sheets)
        for (const Across& other_wall : other_walls) {
          const Across a = shifted(wall, one_at), b = shifted(other_wall, other_at);
          const Across gap = a.to <= b.from + slice_rounding ? Across{a.to, b.from} : Across{b.to, a.from};
          const double width = std::max(0.0, gap.to - gap.from);
          if (width >= least) continue;
          least = width;
          nearest = gap;
        }
  return least > slice_rounding ? nearest : std::nullopt;
}

/// An axle between two items of a joint, and a third that is in its way where it stands between them.
struct Passage {
  int joint = 0, one = 0, other = 0, item = 0;
};

/// A puzzle with everything worked out that is asked again and again.
struct Prepared {
  const SlicePuzzle& puzzle;
  int tries_left = 0;
  int low = 0;     // slice of bit 0
  int places = 0;  // of the range
  std::vector<Extent> extents = {};
  std::vector<Places> allowed = {};               // by what is given
  std::vector<std::vector<Places>> offsets = {};  // [i][j]: bit (at j - at i + most_places - 1): they may not lie so
  std::vector<Passage> passages = {};
  std::vector<std::vector<int>> passages_of = {};  // by item
  std::vector<std::vector<bool>> covered = {};     // [joint][item]
  bool given_span = false;                         // some item that counts is given
  int given_first = 0, given_last = 0;
  bool free_to_shift = true;  // nothing says where slice 0 is
};

const SliceItem& item_of(const Prepared& p, int i) { return at(p.puzzle.items, i); }
bool is_given(const Prepared& p, int i) { return item_of(p, i).given.has_value(); }

bool clash_at(const SlicePuzzle& puzzle, int i, int i_at, int j, int j_at) {
  const SliceItem &one = at(puzzle.items, i), &other = at(puzzle.items, j);
  for (int s = 0; s < count(one.sheets); ++s)
    for (int t = 0; t < count(other.sheets); ++t)
      if (overlap(at(one.sheets, s), i_at, at(other.sheets, t), j_at) && puzzle.clash(i, s, j, t)) return true;
  return false;
}

/// Whether item stands in the gap between two others, with a sheet that covers the joint.
bool blocks(const SlicePuzzle& puzzle, const Passage& passage, int one_at, int other_at, int item_at) {
  const auto gap = between(at(puzzle.items, passage.one), one_at, at(puzzle.items, passage.other), other_at);
  if (!gap) return false;
  const SliceItem& item = at(puzzle.items, passage.item);
  for (int s = 0; s < count(item.sheets); ++s)
    for (const Across& wall : at(item.sheets, s))
      if (overlap(shifted(wall, item_at), *gap) && puzzle.covers(passage.joint, passage.item, s)) return true;
  return false;
}

void prepare_range(Prepared& p) {
  const int reach = p.puzzle.most_width - 1;
  int first = -reach, last = reach;
  for (int i = 0; i < count(p.puzzle.items); ++i) {
    const SliceItem& item = item_of(p, i);
    p.extents.push_back(extent_of(item));
    if (!item.given) continue;
    p.free_to_shift = false;
    const int given = std::clamp(*item.given, -most_given, most_given);
    const int from = given + p.extents.back().first, to = given + p.extents.back().last;
    if (item.counts) {
      p.given_first = p.given_span ? std::min(p.given_first, from) : from;
      p.given_last = p.given_span ? std::max(p.given_last, to) : to;
      p.given_span = true;
    } else {
      first = std::min(first, from - p.puzzle.most_width);
      last = std::max(last, to + p.puzzle.most_width);
    }
  }
  if (p.given_span) {
    const int spare = std::max(reach, p.given_last - p.given_first);
    first = p.given_last - spare;
    last = p.given_first + spare;
  }
  // Of a wide range the middle: parts lie near their plane.
  if (last - first + 1 > most_places) {
    const int middle = p.given_span ? p.given_first + most_places / 2 : 0;
    first = std::max(first, middle - most_places / 2);
    last = std::min(last, first + most_places - 1);
  }
  p.low = first;
  p.places = last - first + 1;
}

void prepare_pairs(Prepared& p) {
  const int n = count(p.puzzle.items);
  const Places whole = p.places == 64 ? ~Places{0} : (Places{1} << p.places) - 1;
  p.allowed.assign(static_cast<std::size_t>(n), whole);
  p.offsets.assign(static_cast<std::size_t>(n), std::vector<Places>(static_cast<std::size_t>(n), 0));
  for (int i = 0; i < n; ++i)
    for (int j = i + 1; j < n; ++j) {
      if (is_given(p, i) && is_given(p, j)) continue;
      for (int k = 0; k < p.places; ++k) {
        if (is_given(p, i) && clash_at(p.puzzle, i, *item_of(p, i).given, j, p.low + k))
          at(p.allowed, j) &= ~(Places{1} << k);
        if (is_given(p, j) && clash_at(p.puzzle, i, p.low + k, j, *item_of(p, j).given))
          at(p.allowed, i) &= ~(Places{1} << k);
      }
      if (is_given(p, i) || is_given(p, j)) continue;
      for (int offset = 1 - p.places; offset < p.places; ++offset) {
        if (!clash_at(p.puzzle, i, 0, j, offset)) continue;
        at(at(p.offsets, i), j) |= Places{1} << (offset + most_places - 1);
        at(at(p.offsets, j), i) |= Places{1} << (most_places - 1 - offset);
      }
    }
}

void prepare_passages(Prepared& p) {
  const int n = count(p.puzzle.items);
  p.passages_of.resize(static_cast<std::size_t>(n));
  for (int joint = 0; joint < count(p.puzzle.joints); ++joint) {
    const std::vector<int>& members = at(p.puzzle.joints, joint).items;
    if (members.size() < 2) continue;
    for (int i = 0; i < n; ++i) {
      if (std::find(members.begin(), members.end(), i) != members.end()) continue;
      bool covers = false;
      for (int s = 0; s < count(item_of(p, i).sheets) && !covers; ++s) covers = p.puzzle.covers(joint, i, s);
      if (!covers) continue;
      for (std::size_t a = 0; a < members.size(); ++a)
        for (std::size_t b = a + 1; b < members.size(); ++b) {
          if (is_given(p, i) && is_given(p, members[a]) && is_given(p, members[b])) continue;
          for (const int of : {members[a], members[b], i}) at(p.passages_of, of).push_back(count(p.passages));
          p.passages.push_back({joint, members[a], members[b], i});
        }
    }
  }
}

Prepared prepared(const SlicePuzzle& puzzle, int most_tries) {
  Prepared p{puzzle, most_tries};
  prepare_range(p);
  prepare_pairs(p);
  prepare_passages(p);
  return p;
}

// ------------------------------------------------------------------------------------ the search

constexpr int nowhere = std::numeric_limits<int>::min();

struct Partial {
  std::vector<Places> left;  // of items that lie nowhere yet
  std::vector<int> at;
};

/// Takes out what one passage does not allow; @returns whether anything is left.
bool check_passage(const Prepared& p, const Passage& passage, Partial& partial) {
  const int items[3] = {passage.one, passage.other, passage.item};
  int open = -1;
  for (const int i : items) {
    if (at(partial.at, i) != nowhere) continue;
    if (open >= 0) return true;
    open = i;
  }
  const auto blocked_with = [&](int slice) {
    const auto place = [&](int i) { return i == open ? slice : at(partial.at, i); };
    return blocks(p.puzzle, passage, place(passage.one), place(passage.other), place(passage.item));
  };
  if (open < 0) return !blocked_with(0);
  Places& left = at(partial.left, open);
  for (int k = 0; k < p.places; ++k)
    if ((left >> k & 1) && blocked_with(p.low + k)) left &= ~(Places{1} << k);
  return left != 0;
}

/// Puts an item somewhere and takes out what the others can't be then. @returns whether each has a place left
bool put(const Prepared& p, Partial& partial, int i, int k) {
  at(partial.at, i) = p.low + k;
  const Places whole = (Places{1} << p.places) - 1;
  for (int j = 0; j < count(partial.at); ++j) {
    if (at(partial.at, j) != nowhere) continue;
    Places& left = at(partial.left, j);
    left &= ~(at(at(p.offsets, i), j) >> (most_places - 1 - k)) & whole;
    if (left == 0) return false;
  }
  for (const int passage : at(p.passages_of, i))
    if (!check_passage(p, at(p.passages, passage), partial)) return false;
  return true;
}

/// Everything given in its place, the others within a window of slices; none where one of them has no place.
std::optional<Partial> within_window(const Prepared& p, int first, int width) {
  const int n = count(p.puzzle.items);
  Partial partial{p.allowed, std::vector<int>(static_cast<std::size_t>(n), nowhere)};
  for (int i = 0; i < n; ++i) {
    if (is_given(p, i)) {
      at(partial.at, i) = *item_of(p, i).given;
      continue;
    }
    const Extent& extent = at(p.extents, i);
    for (int k = 0; k < p.places; ++k)
      if (p.low + k + extent.first < first || p.low + k + extent.last > first + width - 1)
        at(partial.left, i) &= ~(Places{1} << k);
    if (at(partial.left, i) == 0) return std::nullopt;
  }
  for (const Passage& passage : p.passages)
    if (!check_passage(p, passage, partial)) return std::nullopt;
  return partial;
}

bool spend_try(Prepared& p) { return p.tries_left-- > 0; }

/// Whether all have a place: the item with the fewest places left is put first.
bool completes(Prepared& p, Partial& partial) {
  int fewest = -1;
  for (int i = 0; i < count(partial.at); ++i)
    if (at(partial.at, i) == nowhere &&
        (fewest < 0 || std::popcount(at(partial.left, i)) < std::popcount(at(partial.left, fewest))))
      fewest = i;
  if (fewest < 0) return true;
  for (int k = 0; k < p.places; ++k) {
    if (!(at(partial.left, fewest) >> k & 1)) continue;
    if (!spend_try(p)) return false;
    Partial next = partial;
    if (put(p, next, fewest, k) && completes(p, next)) {
      partial = std::move(next);
      return true;
    }
  }
  return false;
}

struct Window {
  int first = 0, last = 0;  // of its first slice
};

/// Where a window of a width can begin.
Window windows_of(const Prepared& p, int width) {
  if (p.free_to_shift) return {1 - width, 0};
  Window all{p.low, p.low + p.places - width};
  if (p.given_span) all = {std::max(all.first, p.given_last - width + 1), std::min(all.last, p.given_first)};
  return all;
}

/// What is compared of two answers of one width: the lesser is better.
std::vector<int> rank_of(const Prepared& p, const std::vector<int>& places) {
  std::vector<int> rank = {0, 0};
  for (int i = 0; i < count(places); ++i) {
    if (is_given(p, i)) continue;
    if (item_of(p, i).carries_wheel) {
      rank[0] += std::abs(at(places, i));
      rank[1] += at(places, i);
    }
    rank.push_back(at(places, i));
  }
  return rank;
}

/// The best answer of a width.
struct BestSearch {
  Prepared& p;
  std::vector<int> order = {};  // items that carry wheels first
  std::vector<int> rank = {};   // of the best yet; empty: none
  std::vector<int> best = {};
};

/// @returns whether something was put in that window with what lies already
bool look_for_best(BestSearch& search, const Partial& partial, std::size_t depth, int carried) {
  Prepared& p = search.p;
  if (!search.rank.empty() && carried > search.rank[0]) return false;
  if (depth == search.order.size()) {
    std::vector<int> rank = rank_of(p, partial.at);
    if (search.rank.empty() || rank < search.rank) {
      search.rank = std::move(rank);
      search.best = partial.at;
    }
    return true;
  }
  const int i = search.order[depth];
  const bool carries = item_of(p, i).carries_wheel;
  for (int k = 0; k < p.places; ++k) {
    if (!(at(partial.left, i) >> k & 1)) continue;
    if (!spend_try(p)) return false;
    Partial next = partial;
    if (!put(p, next, i, k)) continue;
    const bool found = look_for_best(search, next, depth + 1, carried + (carries ? std::abs(p.low + k) : 0));
    if (found && !carries) return true;  // what comes later in order is greater
  }
  return false;
}

std::vector<int> best_of_width(Prepared& p, int width) {
  BestSearch search{p};
  for (const bool carriers : {true, false})
    for (int i = 0; i < count(p.puzzle.items); ++i)
      if (!is_given(p, i) && item_of(p, i).carries_wheel == carriers) search.order.push_back(i);
  const Window window = windows_of(p, width);
  for (int first = window.first; first <= window.last; ++first)
    if (const auto partial = within_window(p, first, width)) look_for_best(search, *partial, 0, 0);
  return search.best;
}

/// Any answer of a width.
std::optional<std::vector<int>> any_of_width(Prepared& p, int width) {
  const Window window = windows_of(p, width);
  for (int first = window.first; first <= window.last; ++first) {
    auto partial = within_window(p, first, width);
    if (partial && completes(p, *partial)) return partial->at;
  }
  return std::nullopt;
}

int greatest_width(const Prepared& p) {
  return std::min(p.places, std::max(p.puzzle.most_width, p.given_span ? p.given_last - p.given_first + 1 : 1));
}

SlicePuzzle part_of(const SlicePuzzle& puzzle, const std::vector<int>& items) {
  SlicePuzzle part;
  part.most_width = puzzle.most_width;
  for (const int i : items) part.items.push_back(at(puzzle.items, i));
  for (const SliceJoint& joint : puzzle.joints) {
    SliceJoint& kept = part.joints.emplace_back();
    for (const int i : joint.items) {
      const auto found = std::find(items.begin(), items.end(), i);
      if (found != items.end()) kept.items.push_back(static_cast<int>(found - items.begin()));
    }
  }
  part.clash = [&puzzle, items](int one, int sheet, int other, int other_sheet) {
    return puzzle.clash(at(items, one), sheet, at(items, other), other_sheet);
  };
  part.covers = [&puzzle, items](int joint, int item, int sheet) {
    // What was joined by it is not in its way, left out or not.
    return puzzle.covers(joint, at(items, item), sheet);
  };
  return part;
}

}  // namespace

Extent extent_of(const SliceItem& item) {
  double from = std::numeric_limits<double>::infinity(), to = -from;
  for (const auto& walls : item.sheets)
    for (const Across& wall : walls) {
      from = std::min(from, wall.from);
      to = std::max(to, wall.to);
    }
  return {static_cast<int>(std::floor(from + 0.5 + slice_rounding)),
          static_cast<int>(std::ceil(to - 0.5 - slice_rounding))};
}

SliceAnswer find_slices(const SlicePuzzle& puzzle, int most_tries) {
  Prepared p = prepared(puzzle, most_tries);
  SliceAnswer answer;
  const int least = p.given_span ? p.given_last - p.given_first + 1 : 1, most = greatest_width(p);
  for (int width = least; width <= most; ++width) {
    const auto any = any_of_width(p, width);
    if (!any) continue;
    answer = {.found = true, .width = width, .at = *any};
    const std::vector<int> best = best_of_width(p, width);
    if (!best.empty()) answer.at = best;
    break;
  }
  answer.sure = p.tries_left >= 0;
  return answer;
}

std::vector<int> irreducible(const SlicePuzzle& puzzle, int most_tries) {
  std::vector<int> items(puzzle.items.size());
  std::iota(items.begin(), items.end(), 0);
  int tries_left = most_tries;
  // The last first: what was put in later has less to do with the others.
  for (int i = count(puzzle.items) - 1; i >= 0; --i) {
    std::vector<int> without = items;
    std::erase(without, i);
    const SlicePuzzle part = part_of(puzzle, without);
    Prepared p = prepared(part, tries_left);
    if (!any_of_width(p, greatest_width(p)) && p.tries_left >= 0) items = std::move(without);
    tries_left = p.tries_left;
    if (tries_left <= 0) break;
  }
  return items;
}

bool may_lie(const SlicePuzzle& puzzle, const std::vector<int>& places, int item, int slice) {
  std::vector<int> with = places;
  at(with, item) = slice;
  for (int i = 0; i < count(puzzle.items); ++i)
    if (i != item && clash_at(puzzle, item, slice, i, at(with, i))) return false;
  for (int joint = 0; joint < count(puzzle.joints); ++joint) {
    const std::vector<int>& members = at(puzzle.joints, joint).items;
    for (std::size_t a = 0; a < members.size(); ++a)
      for (std::size_t b = a + 1; b < members.size(); ++b)
        for (int i = 0; i < count(puzzle.items); ++i)
          if (passes_through(puzzle, with, joint, members[a], members[b], i)) return false;
  }
  return true;
}

bool passes_through(const SlicePuzzle& puzzle, const std::vector<int>& places, int joint, int one, int other,
                    int item) {
  const std::vector<int>& members = at(puzzle.joints, joint).items;
  if (std::find(members.begin(), members.end(), item) != members.end()) return false;
  return blocks(puzzle, {joint, one, other, item}, at(places, one), at(places, other), at(places, item));
}

}  // namespace ridepitch
