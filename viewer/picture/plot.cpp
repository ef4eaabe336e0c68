#include "picture/plot.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>

#include "model/index.hpp"
#include "state/steering_place.hpp"
#include "state/travel_place.hpp"

namespace ridepitch::view {
namespace {

using Value = std::function<double(const CurvePoint&)>;

constexpr double none = std::numeric_limits<double>::quiet_NaN();

Series series_of(const Curve& curve, const Value& value, std::string name, bool before, int style) {
  Series out{{}, std::move(name), before, style};
  out.points.reserve(curve.points.size());
  for (const CurvePoint& point : curve.points) out.points.emplace_back(point.travel_mm, value(point));
  return out;
}

/// The corner of the same name before; -1: none.
int corner_before(const Solved& now, const Solved* before, int corner) {
  if (!before) return -1;
  const std::string& name = at(now.model.corners, corner).name;
  for (std::size_t c = 0; c < before->model.corners.size(); ++c)
    if (before->model.corners[c].name == name) return static_cast<int>(c);
  return -1;
}

void set_ranges(Plot& plot) {
  plot.x = range_of(plot.series, false);
  plot.y = range_of(plot.series, true);
  plot.x_ticks = ticks(plot.x, 6);
  plot.y_ticks = ticks(plot.y, 5);
}

using SteerValue = std::function<double(const SteerPoint&)>;

Series series_of(const Steering& steering, const SteerValue& value, std::string name, bool before, int style) {
  Series out{{}, std::move(name), before, style};
  out.points.reserve(steering.curve.size());
  for (const SteerPoint& point : steering.curve) out.points.emplace_back(point.drive, value(point));
  return out;
}

/// Where wheels point over their own travel, the drive held at 0; none where nothing is told of it.
std::optional<Plot> bump_plot(const Steering* before, const Steering& now) {
  Plot plot{"bump steer", "deg", "travel", "mm", {}, {}, {}, {}, {}, {}};
  for (std::size_t w = 0; w < now.bump.size(); ++w) {
    const auto add = [&](const Steering& steering, bool was) {
      if (w >= steering.bump.size() || !steering.bump[w].straight) return;
      Series out{{}, w < steering.wheels.size() ? steering.wheels[w].name : "", was, static_cast<int>(w)};
      for (const BumpPoint& point : steering.bump[w].straight->points)
        out.points.emplace_back(point.travel_mm, point.toe_deg);
      if (!out.points.empty()) plot.series.push_back(std::move(out));
    };
    if (before) add(*before, true);
    add(now, false);
    if (now.bump[w].straight && !plot.rest_x) plot.rest_x = now.bump[w].straight->rest_travel_mm;
  }
  if (plot.series.empty()) return std::nullopt;
  set_ranges(plot);
  return plot;
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
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const Series& each : series) {
    for (const Vec2& p : each.points) {
      const double v = of_y ? p.y() : p.x();
      if (!std::isfinite(v)) continue;
      low = std::min(low, v);
      high = std::max(high, v);
    }
  }
  if (low > high) return {};
  // What does not change is shown as a level line, not as its rounding.
  const double size = std::max(std::abs(low), std::abs(high)), width = high - low;
  const double air = width > 1e-6 * size ? 0.06 * width : size > 0 ? 0.2 * size : 1;
  return {low - air, high + air};
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

std::optional<Range> reach(const Solution& solution, int corner, int wheel) {
  const Curve* curve = curve_of(solution, corner, wheel);
  if (!curve) return std::nullopt;
  return Range{curve->points.front().travel_mm, curve->points.back().travel_mm};
}

std::vector<Plot> travel_plots(const Solved& now, const Solved* before, int corner, int wheel) {
  const Curve* curve = curve_of(now.solution, corner, wheel);
  if (!curve) return {};
  const int then = corner_before(now, before, corner);
  const Curve* was = then < 0 ? nullptr : curve_of(before->solution, then, wheel);
  const std::optional<double> rest = at(at(now.solution.corners, corner).wheels, wheel).travel_mm;

  std::vector<Plot> plots;
  const auto add = [&](std::string_view words, std::string_view unit, std::vector<Series> series) {
    Plot plot{words, unit, "travel", "mm", std::move(series), {}, {}, {}, {}, rest};
    set_ranges(plot);
    plots.push_back(std::move(plot));
  };
  const auto both = [&](const Value& value) {
    std::vector<Series> out;
    if (was) out.push_back(series_of(*was, value, "", true, 0));
    out.push_back(series_of(*curve, value, "", false, 0));
    return out;
  };
  add("load", "N", both([](const CurvePoint& p) { return p.load_n; }));
  add("motion ratio", "", both([](const CurvePoint& p) { return p.motion_ratio.value_or(none); }));
  add("wheel rate", "N/mm", both([](const CurvePoint& p) { return p.wheel_rate_n_per_mm; }));

  // Torsion springs have a torque, not a force, and are left out of that diagram.
  std::vector<Series> forces;
  const Linkage& linkage = at(now.model.linkages, at(now.model.corners, corner).linkage);
  int style = 0;
  for (std::size_t s = 0; s < linkage.springs.size(); ++s) {
    if (turns(linkage.springs[s])) continue;
    const Value force = [s](const CurvePoint& p) { return s < p.spring_force_n.size() ? p.spring_force_n[s] : none; };
    if (was) forces.push_back(series_of(*was, force, linkage.springs[s].name, true, style));
    forces.push_back(series_of(*curve, force, linkage.springs[s].name, false, style));
    ++style;
  }
  if (!forces.empty()) add("spring force", "N", std::move(forces));
  return plots;
}

Range x_reach(const Plot& plot) {
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const Series& each : plot.series) {
    if (each.before) continue;
    for (const Vec2& p : each.points) {
      low = std::min(low, p.x());
      high = std::max(high, p.x());
    }
  }
  return low <= high ? Range{low, high} : plot.x;
}

std::optional<Range> drive_reach(const Solved& solved, int corner) {
  const Steering* steering = steering_of(solved, corner);
  if (!steering) return std::nullopt;
  return Range{steering->range[0], steering->range[1]};
}

std::vector<Plot> steering_plots(const Solved& now, const Solved* before, int corner) {
  const Steering* steering = steering_of(now, corner);
  if (!steering) return {};
  const int then = corner_before(now, before, corner);
  const Steering* was = then < 0 ? nullptr : steering_of(*before, then);
  std::vector<Plot> plots;
  const auto add = [&](std::string_view words, std::string_view unit, std::vector<Series> series) {
    const bool any = std::any_of(series.begin(), series.end(), [](const Series& each) {
      return std::any_of(each.points.begin(), each.points.end(), [](const Vec2& p) { return std::isfinite(p.y()); });
    });
    if (!any) return;
    Plot plot{words, unit, "drive", steering->crank ? "deg" : "mm", std::move(series), {}, {}, {}, {}, 0.0};
    set_ranges(plot);
    plots.push_back(std::move(plot));
  };
  std::vector<Series> angles;
  for (std::size_t w = 0; w < steering->wheels.size(); ++w) {
    const SteerValue angle = [w](const SteerPoint& p) { return w < p.steer_deg.size() ? p.steer_deg[w] : none; };
    const int style = static_cast<int>(w);
    if (was) angles.push_back(series_of(*was, angle, steering->wheels[w].name, true, style));
    angles.push_back(series_of(*steering, angle, steering->wheels[w].name, false, style));
  }
  add("steer angle", "deg", std::move(angles));
  const auto both = [&](const SteerValue& value) {
    std::vector<Series> out;
    if (was) out.push_back(series_of(*was, value, "", true, 0));
    out.push_back(series_of(*steering, value, "", false, 0));
    return out;
  };
  add("Ackermann error", "deg", both([](const SteerPoint& p) { return p.ackermann_error_deg.value_or(none); }));
  // Straight ahead the radius is without bound; the diagram shows what one steers round: up to five times the least.
  const double most = 5 * steering->least_radius_mm.value_or(0);
  add("turn radius", "mm", both([most](const SteerPoint& p) {
        const double radius = p.turn_radius_mm.value_or(none);
        return std::abs(radius) <= most ? std::abs(radius) : none;
      }));
  if (std::optional<Plot> bump = bump_plot(was, *steering)) plots.push_back(std::move(*bump));
  return plots;
}

}  // namespace ridepitch::view
