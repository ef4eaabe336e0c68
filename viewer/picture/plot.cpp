#include "picture/plot.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

#include "model/index.hpp"
#include "state/by_hand.hpp"

namespace ridepitch::view {
namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// A curve before, if there is one, and now.
/// @param x, y  of a point: a member, or a function of it
template <class Points, class X, class Y>
void add_both(std::vector<Series>& to, const Points* was, const Points* is, const X& x, const Y& y,
              const std::string& name = "", int style = 0) {
  for (const Points* points : {was, is}) {
    if (!points || points->empty()) continue;
    Series& series = to.emplace_back(Series{{}, name, points == was, style});
    for (const auto& point : *points) series.points.emplace_back(std::invoke(x, point), std::invoke(y, point));
  }
}

/// The model before, where it has a corner of the same name; and which it is.
struct Before {
  const Solved* solved = nullptr;
  int corner = -1;
};

Before before_at(const Solved& now, const Solved* before, int corner) {
  const int same = before ? index_of(before->model.corners, at(now.model.corners, corner).name) : -1;
  return same < 0 ? Before{} : Before{before, same};
}

Plot plot_of(std::string_view words, std::string_view unit, std::string_view x_words, std::string_view x_unit,
             std::vector<Series> series, std::optional<double> rest_x) {
  Plot plot{words, unit, x_words, x_unit, std::move(series), {}, {}, {}, {}, rest_x};
  plot.x = range_of(plot.series, false);
  plot.y = range_of(plot.series, true);
  plot.x_ticks = ticks(plot.x, 6);
  plot.y_ticks = ticks(plot.y, 5);
  return plot;
}

bool has_values(const Series& series) {
  return std::any_of(series.points.begin(), series.points.end(), [](const Vec2& p) { return std::isfinite(p.y()); });
}

const BumpCurve* straight_of(const Steering* steering, std::size_t wheel) {
  const bool there = steering && wheel < steering->bump.size() && steering->bump[wheel].straight;
  return there ? &*steering->bump[wheel].straight : nullptr;
}

/// Where wheels point over their own travel, the drive held at 0; without series where nothing is known of it.
Plot bump_plot(const Steering* before, const Steering& now) {
  std::vector<Series> series;
  std::optional<double> rest;
  for (std::size_t w = 0; w < now.bump.size(); ++w) {
    const BumpCurve *was = straight_of(before, w), *is = straight_of(&now, w);
    add_both(series, was ? &was->points : nullptr, is ? &is->points : nullptr, &BumpPoint::travel_mm,
             &BumpPoint::toe_deg, w < now.wheels.size() ? now.wheels[w].name : "", static_cast<int>(w));
    if (is && !rest) rest = is->rest_travel_mm;
  }
  return plot_of("bump steer", "deg", "travel", "mm", std::move(series), rest);
}

/// The least and greatest value; infinite, the least above the greatest, where there is none.
Range extent_of(const std::vector<Series>& series, int axis, bool before_too) {
  Range out{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  for (const Series& each : series) {
    if (each.before && !before_too) continue;
    for (const Vec2& p : each.points) {
      if (!std::isfinite(p[axis])) continue;
      out = {std::min(out.low, p[axis]), std::max(out.high, p[axis])};
    }
  }
  return out;
}

/// Beside a dead point a value grows without bound, and one such value would leave the rest of the curve a level line. What
/// towers above nine tenths of the values and is no part of a slope that leads there is cut off. Limits: common practice.
Range without_poles(const std::vector<Series>& series, Range all) {
  constexpr double towers = 20, kept = 4, lonely = 0.5;
  std::vector<double> sizes;
  bool pole = false;
  for (const Series& each : series)
    for (const Vec2& p : each.points)
      if (std::isfinite(p.y())) sizes.push_back(std::abs(p.y()));
  if (sizes.empty()) return all;
  const auto ninth = sizes.begin() + static_cast<std::ptrdiff_t>(0.9 * static_cast<double>(sizes.size() - 1));
  std::nth_element(sizes.begin(), ninth, sizes.end());
  const double usual = *ninth;
  for (const Series& each : series)
    for (std::size_t i = 0; i < each.points.size(); ++i) {
      const double size = std::abs(each.points[i].y());
      if (!(size > towers * usual)) continue;
      const auto lower = [&](std::size_t j) {
        return j < each.points.size() && !(std::abs(each.points[j].y()) > lonely * size);
      };
      pole = pole || lower(i + 1) || lower(i - 1);
    }
  if (!pole || usual == 0) return all;
  return {std::max(all.low, -kept * usual), std::min(all.high, kept * usual)};
}

}  // namespace

std::vector<double> ticks(Range range, int most) {
  const double width = range.high - range.low;
  if (!(width > 0) || most < 1 || !std::isfinite(width)) return {};
  double step = std::pow(10, std::floor(std::log10(width)) - 1);
  const double factors[] = {2, 2.5, 2};  // 1, 2, 5, 10
  for (int i = 0; width / step > most; ++i) step *= factors[i % 3];
  std::vector<double> out;
  const double first = std::ceil(range.low / step - 1e-9);
  for (double i = first; i * step <= range.high + 1e-9 * step; ++i) out.push_back(i * step);
  return out;
}

Range range_of(const std::vector<Series>& series, bool of_y) {
  Range all = extent_of(series, of_y ? 1 : 0, true);
  if (all.low > all.high) return {};
  if (of_y) all = without_poles(series, all);
  // What does not change is shown as a level line, not as its rounding.
  const double size = std::max(std::abs(all.low), std::abs(all.high)), width = all.high - all.low;
  const double air = width > 1e-6 * size ? 0.06 * width : size > 0 ? 0.2 * size : 1;
  return {all.low - air, all.high + air};
}

std::optional<double> value_at(const Series& series, double x) {
  for (std::size_t i = 0; i + 1 < series.points.size(); ++i) {
    const Vec2 &a = series.points[i], &b = series.points[i + 1];
    if (x < a.x() || x > b.x()) continue;
    const double share = b.x() > a.x() ? (x - a.x()) / (b.x() - a.x()) : 0;
    const double y = a.y() + share * (b.y() - a.y());
    return std::isfinite(y) ? std::optional(y) : std::nullopt;
  }
  return std::nullopt;
}

std::vector<Plot> travel_plots(const Solved& now, const Solved* before, int corner, int wheel) {
  const Curve* curve = curve_of(now.solution, corner, wheel);
  if (!curve) return {};
  const Before then = before_at(now, before, corner);
  const Curve* was = then.solved ? curve_of(then.solved->solution, then.corner, wheel) : nullptr;
  const std::optional<double> rest = at(at(now.solution.corners, corner).wheels, wheel).travel_mm;
  const auto add = [&](std::vector<Series>& to, const auto& y, const std::string& name = "", int style = 0) {
    add_both(to, was ? &was->points : nullptr, &curve->points, &CurvePoint::travel_mm, y, name, style);
  };
  std::vector<Series> load, ratio, rate, forces;
  add(load, &CurvePoint::load_n);
  add(ratio, [](const CurvePoint& p) { return p.motion_ratio.value_or(none); });
  add(rate, &CurvePoint::wheel_rate_n_per_mm);
  // Torsion springs have a torque, not a force, and are left out of that diagram.
  const std::vector<Spring>& springs = at(now.model.linkages, at(now.model.corners, corner).linkage).springs;
  int style = 0;
  for (std::size_t s = 0; s < springs.size(); ++s) {
    if (turns(springs[s])) continue;
    const auto force = [s](const CurvePoint& p) { return s < p.spring_force_n.size() ? p.spring_force_n[s] : none; };
    add(forces, force, springs[s].name, style++);
  }
  std::vector<Plot> plots = {plot_of("load", "N", "travel", "mm", std::move(load), rest),
                             plot_of("motion ratio", "", "travel", "mm", std::move(ratio), rest),
                             plot_of("wheel rate", "N/mm", "travel", "mm", std::move(rate), rest)};
  if (!forces.empty()) plots.push_back(plot_of("spring force", "N", "travel", "mm", std::move(forces), rest));
  return plots;
}

Range x_reach(const Plot& plot) {
  const Range reach = extent_of(plot.series, 0, false);
  return reach.low <= reach.high ? reach : plot.x;
}

std::vector<Plot> steering_plots(const Solved& now, const Solved* before, int corner) {
  const Steering* steering = steering_of(now, corner);
  if (!steering) return {};
  const Before then = before_at(now, before, corner);
  const Steering* was = then.solved ? steering_of(*then.solved, then.corner) : nullptr;
  const auto add = [&](std::vector<Series>& to, const auto& y, const std::string& name = "", int style = 0) {
    add_both(to, was ? &was->curve : nullptr, &steering->curve, &SteerPoint::drive, y, name, style);
  };
  std::vector<Series> angles, errors, radii;
  for (std::size_t w = 0; w < steering->wheels.size(); ++w) {
    const auto angle = [w](const SteerPoint& p) { return w < p.steer_deg.size() ? p.steer_deg[w] : none; };
    add(angles, angle, steering->wheels[w].name, static_cast<int>(w));
  }
  add(errors, [](const SteerPoint& p) { return p.ackermann_error_deg.value_or(none); });
  // Straight ahead the radius has no bound; the diagram shows what one steers round: up to five times the least.
  const double most = 5 * steering->least_radius_mm.value_or(0);
  add(radii, [most](const SteerPoint& p) {
    const double radius = std::abs(p.turn_radius_mm.value_or(none));
    return radius <= most ? radius : none;
  });
  std::vector<Plot> plots;
  const char* unit = steering->crank ? "deg" : "mm";
  plots.push_back(plot_of("steer angle", "deg", "drive", unit, std::move(angles), 0.0));
  plots.push_back(plot_of("Ackermann error", "deg", "drive", unit, std::move(errors), 0.0));
  plots.push_back(plot_of("turn radius", "mm", "drive", unit, std::move(radii), 0.0));
  plots.push_back(bump_plot(was, *steering));
  std::erase_if(plots,
                [](const Plot& plot) { return std::none_of(plot.series.begin(), plot.series.end(), has_values); });
  return plots;
}

}  // namespace ridepitch::view
