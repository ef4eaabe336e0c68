#include "travel.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <numbers>
#include <stdexcept>
#include <utility>

#include "difference.hpp"

namespace ridepitch::oracle {
namespace {

constexpr double shut_mm = 1e-7;           // a stop with a smaller gap is met
constexpr double closes = 1e-9;            // a gap shrinks if it does so by more than this a mm of the wheel
constexpr double longest_stride_mm = 0.1;  // of the wheel, between two samples
constexpr double longest_move = 2.0;       // of any variable between two samples: no jump to another assembly

// The linkage with its sprung wheels held. `heights` may be changed between solutions.
struct Held {
  Programme programme;
  std::shared_ptr<Vector> heights;
  int first_height = 0;  ///< place of the wheels' equalities
};

// What binds an inner freedom while wheels are held.
struct HeldStops {
  bool along_a_path = false;  ///< then stops may open, and coils may meet their free length; otherwise `kept` stay shut
  std::vector<int> kept;      ///< those that carry force at rest
};

Held held_linkage(const Rig& rig, const Vector& x, const HeldStops& stops, bool balance) {
  const Layout layout = rig.layout();
  Held held{bare_programme(layout), std::make_shared<Vector>(), 0};
  add_springs(held.programme, layout);
  Programme all = bare_programme(layout);
  add_stops(all, layout);
  const std::vector<StopKind> kinds = stop_kinds(*rig.linkage);
  for (std::size_t k = 0; k < kinds.size(); ++k) {
    const bool kept = std::ranges::find(stops.kept, static_cast<int>(k)) != stops.kept.end();
    const bool captive = kinds[k].kind == StopKind::Kind::free;
    if (kept && !stops.along_a_path) {
      held.programme.equal.push_back(all.stops[k].gap);
    } else if (stops.along_a_path && (kept || captive)) {
      held.programme.stops.push_back(all.stops[k]);
    }
  }
  held.first_height = static_cast<int>(held.programme.equal.size());
  for (std::size_t i = 0; i < rig.sprung.size(); ++i) {
    const Term height = wheel_height(layout, rig.sprung[i]);
    held.heights->push_back(value(all, height, x));
    held.programme.equal.push_back(
        {height.variables, [f = height.of, z = held.heights, i](const Jets& q) { return f(q) - Jet((*z)[i]); }});
  }
  if (balance) {
    // Where a stop holds an inner freedom that is now let go, a dead force takes its place.
    const Matrix A = jacobian(held.programme, held.programme.equal, x);
    const Vector slope = gradient(held.programme, held.programme.energy, x);
    const Vector carried = product(transposed(A), least_squares(transposed(A), slope));
    for (std::size_t i = 0; i < x.size(); ++i) {
      const double dead = carried[i] - slope[i];
      if (std::abs(dead) < 1e-9) continue;
      held.programme.energy.push_back({{static_cast<int>(i)}, [dead](const Jets& q) { return dead * q[0]; }});
      if (held.programme.unit[i] != 1) {
        held.programme.energy.back().of = [dead, unit = held.programme.unit[i]](const Jets& q) {
          return (dead / unit) * q[0];
        };
      }
    }
  }
  return held;
}

// Re-solved at changed heights, from a point close by.
Point moved(const Held& held, const Point& from) {
  const Point quick = polish(held.programme, from);
  if (quick.solved) return quick;
  return minimise(held.programme, from);
}

double distance(const Vector& a, const Vector& b) {
  double most = 0;
  for (std::size_t i = 0; i < a.size(); ++i) most = std::max(most, std::abs(a[i] - b[i]));
  return most;
}

double force_on_wheel(const Held& held, const Point& point, int wheel) {
  return point.equal_force[held.first_height + wheel];
}

struct Sample {
  double v_mm = 0;
  Point point;
  Vector direction;  ///< of the path there, where differences can't tell it: at a dead point
};

struct Walk {
  std::vector<Sample> samples;  ///< the first is the start, the last the exact end
  std::string end;              ///< empty: the target was reached
  bool dead_point = false;
};

// Walks one wheel up (direction 1) or down (-1) until a monitored stop is met, the assembly ends or `target` is reached.
struct Walker {
  const Rig& rig;
  Held held;
  int wheel;
  std::vector<Stop> monitored;

  double least_gap(const Point& point, std::size_t& which) const {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < monitored.size(); ++k) {
      const double gap = value(held.programme, monitored[k].gap, point.x);
      if (gap < least) {
        least = gap;
        which = k;
      }
    }
    return least;
  }

  Point at(double v, const Point& from) {
    (*held.heights)[wheel] = v;
    return moved(held, from);
  }

  Walk walk(const Point& start, double direction, double target) {
    Walk walk;
    walk.samples.push_back({(*held.heights)[wheel], start, {}});
    double stride = longest_stride_mm / 4;
    std::size_t met = 0;
    while (walk.end.empty()) {
      const Sample& last = walk.samples.back();
      const double left = direction * (target - last.v_mm);
      if (left <= 0) break;
      const double v = left <= stride ? target : last.v_mm + direction * stride;
      const Point next = at(v, last.point);
      if (!next.solved || distance(next.x, last.point.x) > longest_move) {
        stride /= 2;
        if (stride > 1e-10) continue;
        walk.dead_point = true;
        walk.end = "dead point";
        break;
      }
      if (least_gap(next, met) < 0) {
        land(walk, v);
        break;
      }
      walk.samples.push_back({v, next, {}});
      stride = std::min(longest_stride_mm, 1.5 * stride);
    }
    if (walk.dead_point) straighten(walk, direction);
    (*held.heights)[wheel] = walk.samples.back().v_mm;
    return walk;
  }

  // Close to a dead point steps stop short of it; the greatest height that the joints allow is the point itself.
  void straighten(Walk& walk, double direction) {
    constexpr double stopped_short_mm = 1e-2;
    Programme reach = held.programme;
    reach.stops.clear();
    reach.energy = {scaled(wheel_height(rig.layout(), rig.sprung[wheel]), -direction, 0)};
    reach.equal.erase(reach.equal.begin() + held.first_height + wheel);
    const Sample& last = walk.samples.back();
    Sample top{0, minimise(reach, {last.point.x, {}, {}, false}), {}};
    if (!top.point.solved) return;
    top.v_mm = value(reach, wheel_height(rig.layout(), rig.sprung[wheel]), top.point.x);
    if (direction * (top.v_mm - last.v_mm) < 0 || std::abs(top.v_mm - last.v_mm) > stopped_short_mm) return;
    top.point.equal_force = last.point.equal_force;
    if (rig.inner > 0 && !follow_to_the_end(walk, top, direction)) return;
    walk.samples.push_back(top);
  }

  // Where inner freedoms rest at a dead point, and how they came: positions go there as a parabola in s, with s^2 the
  // height that is left. Three of them, at s, 2 s and 4 s, give its end and slope.
  bool follow_to_the_end(const Walk& walk, Sample& top, double direction) {
    constexpr double s = 2e-3;  // sqrt(mm)
    constexpr std::array<double, 3> at_end{8.0 / 3, -2, 1.0 / 3}, slope{-2, 2.5, -0.5};
    Vector x(top.point.x.size(), 0.0), t = x;
    Point from = walk.samples.back().point;
    for (int k = 2; k >= 0; --k) {
      const double left = std::pow(2, k) * s;
      const Point point = at(top.v_mm - direction * left * left, from);
      if (!point.solved || distance(point.x, from.x) > longest_move) return false;
      from = point;
      for (std::size_t i = 0; i < x.size(); ++i) {
        x[i] += at_end[k] * point.x[i];
        t[i] += slope[k] * point.x[i];
      }
    }
    top.point.x = x;
    top.direction = t;
    return true;
  }

  // Bisects between the last sample and `beyond` until the stop's gap is nothing.
  void land(Walk& walk, double beyond) {
    double good = walk.samples.back().v_mm;
    Point point = walk.samples.back().point;
    std::size_t met = 0;
    for (int i = 0; i < 60 && std::abs(beyond - good) > 1e-13; ++i) {
      const double middle = 0.5 * (good + beyond);
      const Point next = at(middle, point);
      std::size_t which = 0;
      if (next.solved && least_gap(next, which) >= 0) {
        good = middle;
        point = next;
      } else {
        beyond = middle;
        if (next.solved) met = which;
      }
    }
    walk.samples.push_back({good, point, {}});
    // Of stops that are met together the first in file order.
    for (std::size_t k = 0; k < monitored.size(); ++k) {
      if (value(held.programme, monitored[k].gap, point.x) < shut_mm) met = std::min(met, k);
    }
    walk.end = monitored[met].name;
  }
};

Walker walker(const Rig& rig, const Vector& x, int wheel, const std::vector<int>& kept, bool watch_stops) {
  const bool inner = rig.inner > 0;
  Walker w{rig, held_linkage(rig, x, {inner, kept}, false), wheel, {}};
  if (!watch_stops) return w;
  Programme all = bare_programme(rig.layout());
  add_stops(all, rig.layout());
  const std::vector<StopKind> kinds = stop_kinds(*rig.linkage);
  for (std::size_t k = 0; k < kinds.size(); ++k) {
    if (std::ranges::find(kept, static_cast<int>(k)) != kept.end()) continue;
    if (inner && kinds[k].kind == StopKind::Kind::free) continue;
    Stop stop = all.stops[k];
    // A stop that is met at rest and does not close as this wheel rises is no end of its rise, whatever rounding says.
    const double gap = value(all, stop.gap, x);
    if (gap < shut_mm && gap_per_wheel(rig, x, static_cast<int>(k))[wheel] > -closes) {
      stop.gap = scaled(stop.gap, 1, 2 * shut_mm);
    }
    w.monitored.push_back(stop);
  }
  return w;
}

// Greatest of f over a bracket, by golden section.
template <typename F>
double golden_maximum(double a, double b, F f) {
  const double ratio = (std::sqrt(5.0) - 1) / 2;
  double c = b - ratio * (b - a), d = a + ratio * (b - a), fc = f(c), fd = f(d);
  for (int i = 0; i < 60 && b - a > 1e-9; ++i) {
    if (fc > fd) {
      b = d;
      d = c;
      fd = fc;
      c = b - ratio * (b - a);
      fc = f(c);
    } else {
      a = c;
      c = d;
      fc = fd;
      d = a + ratio * (b - a);
      fd = f(d);
    }
  }
  return std::max(fc, fd);
}

// Slope of the bodies' variables along the travel: the null vector of the joints, or differences of re-solved
// positions where inner freedoms follow.
Vector path_direction(Walker& w, const Sample& sample) {
  if (!sample.direction.empty()) return sample.direction;
  if (w.rig.inner == 0) {
    Programme bare = bare_programme(w.rig.layout());
    const Matrix Z = null_space(jacobian(bare, bare.equal, sample.point.x));
    return Vector(Z.entries);  // one column
  }
  constexpr double h = 1e-4;
  const auto beside = [&](double v) {
    (*w.held.heights)[w.wheel] = v;
    const Point point = polish(w.held.programme, sample.point);
    return point.solved && distance(point.x, sample.point.x) < longest_move ? point : sample.point;
  };
  const Point a = beside(sample.v_mm - h), b = beside(sample.v_mm + h);  // at an end one of them stays where it is
  Vector t(a.x.size());
  for (std::size_t i = 0; i < t.size(); ++i) t[i] = b.x[i] - a.x[i];
  return t;
}

// 90 degrees less the angle between a part and the path of its end; none where the end stands still.
std::optional<double> margin_deg(const Rig& rig, const Vector& x, const Vector& t, HoleRef end, HoleRef other,
                                 double across_mm) {
  const Layout layout = rig.layout();
  Programme bare;
  add_bodies(bare, layout);
  const auto u = [](const Place2& p) { return p.u; };
  const auto v = [](const Place2& p) { return p.v; };
  const Term end_u = of_hole(layout, end, u), end_v = of_hole(layout, end, v);
  const double t_u = dot(gradient(bare, end_u, x), t), t_v = dot(gradient(bare, end_v, x), t);
  const double speed = std::hypot(t_u, t_v);
  if (speed < 1e-9 * greatest(t)) return std::nullopt;
  const double d_u = value(bare, of_hole(layout, other, u), x) - value(bare, end_u, x);
  const double d_v = value(bare, of_hole(layout, other, v), x) - value(bare, end_v, x);
  const double length = std::hypot(d_u, d_v, across_mm);
  return std::asin(std::min(1.0, std::abs(d_u * t_u + d_v * t_v) / (speed * length))) * 180 / std::numbers::pi;
}

struct Line {
  HoleRef end, other;
  double across_mm;
};

std::optional<double> least_margin(Walker& w, const std::vector<Sample>& path, const std::vector<Line>& lines) {
  std::optional<double> least;
  for (const Line& line : lines) {
    std::vector<double> along;
    for (const Sample& sample : path) {
      const auto margin =
          margin_deg(w.rig, sample.point.x, path_direction(w, sample), line.end, line.other, line.across_mm);
      along.push_back(margin.value_or(90));
      if (margin) least = std::min(least.value_or(90), *margin);
    }
    for (std::size_t i = 1; i + 1 < path.size(); ++i) {
      constexpr double contends_deg = 1;
      if (along[i] > along[i - 1] || along[i] > along[i + 1] || along[i] > least.value_or(0) + contends_deg) continue;
      const double refined = golden_maximum(path[i - 1].v_mm, path[i + 1].v_mm, [&](double v) {
        const Sample sample{v, w.at(v, path[i].point), {}};
        if (!sample.point.solved) return -90.0;
        return -margin_deg(w.rig, sample.point.x, path_direction(w, sample), line.end, line.other, line.across_mm)
                    .value_or(90);
      });
      least = std::min(*least, -refined);
    }
  }
  return least;
}

// A dead point is met like a root: heights fall off from it with the square of what turns. In that measure a load
// either goes as 1 / s, without bound, or has a limit, which is extrapolated.
std::optional<double> load_at_dead_point(Walker& w, const Walk& walk) {
  constexpr double first = 0.16, doubles = 1.5;  // sqrt(mm); 2 for a load without bound, 1 for one with a limit
  const double v_end = walk.samples.back().v_mm;
  Vector column;
  for (double s = first; s > first / 10; s /= 2) {
    const double v = v_end - s * s;
    const auto above = std::ranges::find_if(walk.samples, [v](const Sample& sample) { return sample.v_mm > v; });
    if (above == walk.samples.begin()) return std::nullopt;
    const Point point = w.at(v, std::prev(above)->point);
    if (!point.solved) return std::nullopt;
    column.push_back(force_on_wheel(w.held, point, w.wheel));
  }
  if (column.back() > doubles * column[column.size() - 2]) return std::nullopt;
  for (double factor = 2; column.size() > 1; factor *= 2) {
    for (std::size_t i = 0; i + 1 < column.size(); ++i) {
      column[i] = column[i + 1] + (column[i + 1] - column[i]) / (factor - 1);
    }
    column.pop_back();
  }
  return column.front();
}

}  // namespace

Rates rates_by_difference(const Rig& rig, const Vector& x, const std::vector<int>& kept) {
  const Linkage& linkage = *rig.linkage;
  const int wheels = static_cast<int>(rig.sprung.size()), springs = static_cast<int>(linkage.springs.size());
  Held held = held_linkage(rig, x, {false, kept}, true);
  const Vector rest_heights = *held.heights;
  const Point rest = moved(held, {x, {}, {}, false});
  if (!rest.solved) throw std::runtime_error("oracle: no position at rest for " + linkage.name);
  const int variables = rig.layout().variables();
  Rates rates{Matrix(springs, wheels), Matrix(wheels, wheels), Matrix(variables, wheels)};
  std::vector<Term> lengths;
  for (int s = 0; s < springs; ++s) lengths.push_back(spring_length(rig.layout(), s));
  for (int j = 0; j < wheels; ++j) {
    std::vector<Vector> lengths_by_step(springs), forces_by_step(wheels), motion_by_step(variables);
    double h = 0.16;
    while (h > 0.16 / 300) {
      Point side[2];
      for (const int up : {0, 1}) {
        *held.heights = rest_heights;
        (*held.heights)[j] += up ? h : -h;
        side[up] = polish(held.programme, rest);
      }
      *held.heights = rest_heights;
      const bool near = side[0].solved && side[1].solved &&
                        distance(side[0].x, rest.x) < longest_move * 10 * h / 0.16 &&
                        distance(side[1].x, rest.x) < longest_move * 10 * h / 0.16;
      if (near) {
        for (int s = 0; s < springs; ++s) {
          lengths_by_step[s].push_back(
              -(value(held.programme, lengths[s], side[1].x) - value(held.programme, lengths[s], side[0].x)) / (2 * h));
        }
        for (int i = 0; i < variables; ++i) motion_by_step[i].push_back((side[1].x[i] - side[0].x[i]) / (2 * h));
        for (int i = 0; i < wheels; ++i) {
          forces_by_step[i].push_back((force_on_wheel(held, side[1], i) - force_on_wheel(held, side[0], i)) / (2 * h));
        }
      } else {
        for (Vector& list : lengths_by_step) list.clear();
        for (Vector& list : forces_by_step) list.clear();
        for (Vector& list : motion_by_step) list.clear();
      }
      h /= 2;
    }
    if (forces_by_step[0].size() < 3)
      throw std::runtime_error("oracle: no rates so near a dead point: " + linkage.name);
    for (int s = 0; s < springs; ++s) rates.motion_ratio(s, j) = romberg(lengths_by_step[s]);
    for (int i = 0; i < wheels; ++i) rates.wheel_rate(i, j) = romberg(forces_by_step[i]);
    for (int i = 0; i < variables; ++i) rates.motion(i, j) = romberg(motion_by_step[i]);
  }
  return rates;
}

Bump full_bump(const Rig& rig, const Vector& x, int wheel, const std::vector<int>& kept) {
  constexpr double far_mm = 1e4;
  Walker w = walker(rig, x, wheel, kept, true);
  const Point start = moved(w.held, {x, {}, {}, false});
  if (!start.solved) throw std::runtime_error("oracle: no bump for " + rig.linkage->name);
  Bump bump;
  std::size_t met = 0;
  if (w.least_gap(start, met) < shut_mm) {  // bottomed at rest
    bump.v_mm = (*w.held.heights)[wheel];
    bump.end = w.monitored[met].name;
    bump.load_n = force_on_wheel(w.held, start, wheel);
    return bump;
  }
  Walk walk = w.walk(start, 1, far_mm);
  bump.v_mm = walk.samples.back().v_mm;
  bump.end = walk.end;
  std::vector<double> loads;
  for (const Sample& sample : walk.samples) loads.push_back(force_on_wheel(w.held, sample.point, wheel));
  const std::size_t top = static_cast<std::size_t>(std::ranges::max_element(loads) - loads.begin());
  if (walk.dead_point && top + 2 >= loads.size()) {  // the last sample has the load of the one before
    bump.load_n = load_at_dead_point(w, walk);
    return bump;
  }
  bump.load_n = loads[top];
  bump.folds = top + 1 < loads.size();
  if (top + 1 < loads.size()) {
    const double from = walk.samples[top == 0 ? 0 : top - 1].v_mm, to = walk.samples[top + 1].v_mm;
    bump.load_n = std::max(*bump.load_n, golden_maximum(from, to, [&](double v) {
      const Point point = w.at(v, walk.samples[top].point);
      return point.solved ? force_on_wheel(w.held, point, wheel) : -1e9;
    }));
  }
  return bump;
}

std::optional<Stroke> stroke(const Rig& rig, const Vector& x, int wheel, const std::vector<int>& kept) {
  constexpr double far_mm = 1e4, beside_mm = 1e-3;
  constexpr int spans = 64;
  // Three places a span: Gauss's rule.
  const std::array<double, 3> node{0.5 - std::sqrt(0.15), 0.5, 0.5 + std::sqrt(0.15)};
  constexpr std::array<double, 3> weight{5.0 / 18, 8.0 / 18, 5.0 / 18};
  Walker up = walker(rig, x, wheel, kept, true), down = walker(rig, x, wheel, kept, false);
  const Point start = moved(up.held, {x, {}, {}, false});
  std::size_t met = 0;
  std::vector<Sample> path{{(*up.held.heights)[wheel], start, {}}};
  if (up.least_gap(start, met) >= shut_mm) {
    const Walk walk = up.walk(start, 1, far_mm);
    if (walk.dead_point || walk.end.empty()) return std::nullopt;
    path = walk.samples;
  }
  const Walk lower = down.walk(start, -1, rig.droop_v_mm[rig.sprung[wheel]]);
  for (std::size_t i = 1; i < lower.samples.size(); ++i) path.insert(path.begin(), lower.samples[i]);
  const double from = path.front().v_mm, to = path.back().v_mm;
  const auto stored = [&](const Point& point) {
    double sum = 0;
    for (const Term& term : down.held.programme.energy) sum += value(down.held.programme, term, point.x);
    return sum;
  };
  Stroke result{stored(path.back().point) - stored(path.front().point), to - from, {}};
  std::size_t near = 0;
  for (int span = 0; span < spans; ++span) {
    for (int k = 0; k < 3; ++k) {
      const double v = from + (to - from) * (span + node[k]) / spans;
      while (near + 1 < path.size() && path[near + 1].v_mm < v) ++near;
      const Point here = down.at(v, path[near].point);
      const Point below = down.at(v - beside_mm, here), above = down.at(v + beside_mm, here);
      if (!here.solved || !below.solved || !above.solved) return std::nullopt;
      Place place{weight[k] / spans, here.x, here.equal_force, here.x};
      for (std::size_t i = 0; i < here.x.size(); ++i) place.motion[i] = (above.x[i] - below.x[i]) / (2 * beside_mm);
      result.places.push_back(place);
    }
  }
  return result;
}

Margins margins(const Rig& rig, const Vector& x, const std::vector<int>& kept) {
  Margins result;
  if (rig.sprung.size() != 1 || rig.fewer) return result;
  constexpr double far_mm = 1e4;
  Walker w = walker(rig, x, 0, kept, true);
  const Point start = moved(w.held, {x, {}, {}, false});
  std::size_t met = 0;
  std::vector<Sample> path;
  if (w.least_gap(start, met) < shut_mm) {
    path.push_back({(*w.held.heights)[0], start, {}});
  } else {
    path = w.walk(start, 1, far_mm).samples;
  }
  Walker down = walker(rig, x, 0, kept, false);
  const Walk lower = down.walk(start, -1, rig.droop_v_mm[rig.sprung[0]]);
  for (std::size_t i = 1; i < lower.samples.size(); ++i) path.insert(path.begin(), lower.samples[i]);
  std::vector<Line> rods, coils;
  for (const Rod& rod : rig.linkage->rods) {
    if (rod.from.body == chassis || rod.to.body == chassis) continue;
    rods.push_back({rod.from, rod.to, rod.across_mm});
    rods.push_back({rod.to, rod.from, rod.across_mm});
  }
  for (const Spring& spring : rig.linkage->springs) {
    if (!std::holds_alternative<Coil>(spring.data)) continue;
    if (spring.from.body != chassis) coils.push_back({spring.from, spring.to, spring.across_mm});
    if (spring.to.body != chassis) coils.push_back({spring.to, spring.from, spring.across_mm});
  }
  result.toggle_deg = least_margin(down, path, rods);
  result.coil_deg = least_margin(down, path, coils);
  return result;
}

}  // namespace ridepitch::oracle
