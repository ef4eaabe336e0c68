#include "sheet/labels_off_ink.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <optional>

namespace ridepitch {
namespace {

constexpr double cell_mm = 0.5;
constexpr double gap_mm = 0.7;         // between two labels
constexpr double far_enough_mm = 2.2;  // from here on a line leads to the point
// The cost of a cell of ink in mm of distance: a line across a label is worse than a label farther away.
constexpr double under_label = 1.5, under_leader = 0.25;
constexpr double over_other_mm = 25;  // the cost of covering a point that another label is about

int cell_of(double mm) { return static_cast<int>(std::floor(mm / cell_mm)); }

/// The index of a cell; none outside.
std::optional<std::size_t> index_at(const InkMap& map, int x, int y) {
  if (x < 0 || y < 0 || x >= map.columns || y >= map.rows) return std::nullopt;
  return static_cast<std::size_t>(y * map.columns + x);
}

void ink_cell(InkMap& map, const Vec2& p_mm) {
  if (const auto index = index_at(map, cell_of(p_mm.x()), cell_of(p_mm.y()))) map.inked[*index] = 1;
}

bool has_ink(const InkMap& map, int x, int y) {
  const auto index = index_at(map, x, y);
  return index && map.inked[*index] != 0;
}

int ink_under(const InkMap& map, const Box& box) {
  int cells = 0;
  for (int y = static_cast<int>(box.low.y() / cell_mm); y <= static_cast<int>(box.high.y() / cell_mm); ++y)
    for (int x = static_cast<int>(box.low.x() / cell_mm); x <= static_cast<int>(box.high.x() / cell_mm); ++x)
      cells += has_ink(map, x, y);
  return cells;
}

int ink_along(const InkMap& map, const Vec2& a, const Vec2& b) {
  const int steps = static_cast<int>((b - a).norm() / cell_mm);
  int cells = 0;
  for (int i = 0; i <= steps; ++i) {
    const Vec2 p = steps ? Vec2(a + (b - a) * i / steps) : a;
    cells += has_ink(map, cell_of(p.x()), cell_of(p.y()));
  }
  return cells;
}

bool crosses(const Box& box, const Vec2& a, const Vec2& b) {
  // Liang and Barsky's clipping of a line (ACM Transactions on Graphics 3 (1984) 1).
  double from = 0, to = 1;
  for (int axis = 0; axis < 2; ++axis) {
    const double step = b[axis] - a[axis], low = box.low[axis] - a[axis], high = box.high[axis] - a[axis];
    if (std::abs(step) < 1e-12) {
      if (low > 0 || high < 0) return false;
      continue;
    }
    from = std::max(from, std::min(low / step, high / step));
    to = std::min(to, std::max(low / step, high / step));
  }
  return from <= to;
}

struct Placing {
  const InkMap& ink;
  const Box& space;
  const std::vector<LabelWish>& wishes;
  std::vector<SheetLabel> placed = {};

  int points_under(const Box& box, const LabelWish& own) const {
    return static_cast<int>(std::count_if(wishes.begin(), wishes.end(), [&](const LabelWish& other) {
      return &other != &own && within({other.about_mm.front(), other.about_mm.front()}, box);
    }));
  }

  bool is_free(const Box& box, const Vec2& about, bool leader) const {
    if (!within(box, space)) return false;
    return std::none_of(placed.begin(), placed.end(), [&](const SheetLabel& other) {
      if (overlap(box, other.box, gap_mm)) return true;
      const Vec2 end = nearest_in(other.box, other.about_mm);
      if (other.leader && crosses(box, other.about_mm, end)) return true;
      return leader && crosses(other.box, about, nearest_in(box, about));
    });
  }

  void place(const LabelWish& wish) {
    SheetLabel best{wish.text, {}, Vec2::Zero(), false, wish.numbered};
    double least = std::numeric_limits<double>::infinity();
    const auto consider = [&](const Vec2& about, const Vec2& middle, double dislike) {
      const Box box{middle - wish.size_mm / 2, middle + wish.size_mm / 2};
      const Vec2 end = nearest_in(box, about);
      const double away = (end - about).norm() + dislike;
      if (away >= least) return;
      const bool leader = away > std::max(far_enough_mm, wish.off_mm + 1);
      if (!is_free(box, about, leader)) return;
      const double cost = away + under_label * ink_under(ink, box) + over_other_mm * points_under(box, wish) +
                          (leader ? 1 + under_leader * ink_along(ink, about, end) : 0);
      if (cost >= least) return;
      least = cost;
      best.box = box;
      best.about_mm = about;
      best.leader = leader;
    };
    constexpr int directions = 16;
    double dislike = 0;
    for (const Vec2& about : wish.about_mm) {
      for (const double more_mm : {0.0, 1.0, 2.0, 3.5, 5.0, 7.0, 9.0, 12.0, 15.0, 19.0, 24.0, 30.0, 37.0, 45.0}) {
        for (int i = 0; i < directions; ++i) {
          const double angle = 2 * std::numbers::pi * i / directions;
          const Vec2 direction(std::cos(angle), -std::sin(angle));
          // The box slides along its edge that faces the point.
          const Vec2 slide = (1.5 * direction).cwiseMax(-1).cwiseMin(1);
          consider(about, about + direction * (wish.off_mm + more_mm) + slide.cwiseProduct(wish.size_mm / 2), dislike);
        }
      }
      dislike += 0.5;
    }
    if (!std::isfinite(least)) {
      constexpr double step_mm = 2;
      for (double y = space.low.y(); y < space.high.y(); y += step_mm)
        for (double x = space.low.x(); x < space.high.x(); x += step_mm)
          consider(wish.about_mm.front(), Vec2(x, y) + wish.size_mm / 2, 0);
    }
    if (std::isfinite(least)) placed.push_back(std::move(best));
  }
};

}  // namespace

InkMap ink_map(const Vec2& size_mm) {
  const Eigen::Array2i cells = (size_mm / cell_mm).array().ceil().cast<int>();
  return {cells.x(), cells.y(), std::vector<unsigned char>(static_cast<std::size_t>(cells.x() * cells.y()), 0)};
}

void ink_line(InkMap& map, const Vec2& a_mm, const Vec2& b_mm) {
  const int steps = static_cast<int>(std::ceil(2 * (b_mm - a_mm).norm() / cell_mm)) + 1;
  for (int i = 0; i <= steps; ++i) ink_cell(map, a_mm + (b_mm - a_mm) * i / steps);
}

void ink_disc(InkMap& map, const Vec2& centre_mm, double radius_mm) {
  const int steps = static_cast<int>(std::ceil(4 * std::numbers::pi * radius_mm / cell_mm)) + 8;
  for (int i = 0; i < steps; ++i) {
    const double angle = 2 * std::numbers::pi * i / steps;
    ink_cell(map, centre_mm + radius_mm * Vec2(std::cos(angle), std::sin(angle)));
  }
}

void ink_area(InkMap& map, const std::vector<Vec2>& points_mm) {
  if (points_mm.empty()) return;
  // All lines from the middle to the outline fill a convex polygon.
  Vec2 middle = Vec2::Zero();
  for (const Vec2& p : points_mm) middle += p / static_cast<double>(points_mm.size());
  for (std::size_t i = 0; i < points_mm.size(); ++i) {
    const Vec2 &a = points_mm[i], &b = points_mm[(i + 1) % points_mm.size()];
    const int steps = static_cast<int>(std::ceil((b - a).norm() / cell_mm)) + 1;
    for (int s = 0; s < steps; ++s) ink_line(map, middle, a + (b - a) * s / steps);
  }
}

std::vector<SheetLabel> labels_off_ink(const std::vector<LabelWish>& wishes, const InkMap& ink, const Box& space) {
  Placing placing{ink, space, wishes};
  for (const LabelWish& wish : wishes) placing.place(wish);
  return std::move(placing.placed);
}

}  // namespace ridepitch
