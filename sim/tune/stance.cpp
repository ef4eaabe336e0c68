#include "tune/stance.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/dense.hpp"
#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/solution.hpp"
#include "tune/write_tape.hpp"

namespace ridepitch {
namespace {

constexpr double most_within_mm = 16;  // beyond that nearly every layout may hold, and is put together as a whole

/// Level directions, in vehicle axes: what a step along them does to the height above ground, to what is ahead, to the left.
struct LevelAxes {
  Vec3 up, ahead, left;
};

LevelAxes level_of(const WantedStance& s) {
  const double cp = std::cos(s.pitch_rad), sp = std::sin(s.pitch_rad), cr = std::cos(s.roll_rad),
               sr = std::sin(s.roll_rad);
  return {{-sp, cp * sr, cp * cr}, {cp, sp * sr, sp * cr}, {0, cr, -sr}};
}

/// Height of a point of the vehicle, and how it changes with height, pitch and roll.
struct Height {
  double at_mm = 0;
  Vec3 by = Vec3::Zero();
};

Height height_in(const WantedStance& s, const Vec3& point) {
  const LevelAxes level = level_of(s);
  const double cp = std::cos(s.pitch_rad), sp = std::sin(s.pitch_rad), cr = std::cos(s.roll_rad),
               sr = std::sin(s.roll_rad);
  const Vec3 by_pitch(-cp, -sp * sr, -sp * cr), by_roll(0, cp * cr, -cp * sr);
  return {s.height_mm + level.up.dot(point), {1, by_pitch.dot(point), by_roll.dot(point)}};
}

/// A height or an angle that is to lie between two bounds.
struct Wanted {
  const Quantity* what = nullptr;
  Vec3 point = Vec3::Zero();  // of a height
  double low = 0, high = 0;   // mm or rad
};

bool is_height(const Quantity& what) { return what.name == name::ride_height || what.name == name::clearance; }
bool is_angle(const Quantity& what) { return what.name == name::pitch || what.name == name::roll; }

Vec3 point_of(const Model& model, const Figure& figure) {
  return figure.point >= 0 ? at(model.clearances, figure.point).at_mm : at(model.corners, figure.corner).at_mm;
}

/// Everything that is wanted, or needed from both sides, of how the vehicle stands.
std::vector<Wanted> wanted_of(const Model& model, const Aims& aims) {
  std::vector<Wanted> out;
  const auto add = [&](const Quantity* what, int figure, double low, double high) {
    const double unit = is_angle(*what) ? rad_per_deg : 1;
    out.push_back({what, is_height(*what) ? point_of(model, at(aims.figures, figure)) : Vec3(Vec3::Zero()), low * unit,
                   high * unit});
  };
  for (const Aim& want : aims.wants)
    for (std::size_t i = 0; (is_height(*want.what) || is_angle(*want.what)) && i < want.figures.size(); ++i)
      add(want.what, want.figures[i], want.target[i] - want.tolerance, want.target[i] + want.tolerance);
  for (const Constraint& need : aims.needs)
    for (const int figure : need.figures)
      if ((is_height(*need.what) || is_angle(*need.what)) && need.least && need.most)
        add(need.what, figure, *need.least, *need.most);
  return out;
}

Height value_in(const WantedStance& s, const Wanted& wanted) {
  if (is_height(*wanted.what)) return height_in(s, wanted.point);
  const bool pitch = wanted.what->name == name::pitch;
  return {pitch ? s.pitch_rad : s.roll_rad, pitch ? Vec3(0, 1, 0) : Vec3(0, 0, 1)};
}

/// To the middle of all that is wanted, by least squares, staying where nothing is said; in a few rounds of Newton's method.
void to_the_middle(WantedStance& s, const std::vector<Wanted>& all) {
  constexpr double hold = 1e-9;
  const Vec3 scale(1, 100, 100);  // rad count as mm at such an arm
  for (int round = 0; round < 6; ++round) {
    Eigen::MatrixXd square = Eigen::MatrixXd::Zero(3, 3);
    Eigen::VectorXd step = Eigen::VectorXd::Zero(3);
    for (const Wanted& each : all) {
      const Height value = value_in(s, each);
      const Vec3 by = value.by.cwiseQuotient(scale);
      const double width = std::max(each.high - each.low, 1e-6) * (is_angle(*each.what) ? scale.y() : 1);
      square += by * by.transpose() / (width * width);
      step += by * ((each.low + each.high) / 2 - value.at_mm) / (width * width);
    }
    square.diagonal().array() += hold * std::max(1e-12, square.trace());
    if (s.upright) {
      square.row(2).setZero();
      square.col(2).setZero();
      square(2, 2) = 1;
      step[2] = 0;
    }
    if (!solve_positive(square, step)) return;
    s.height_mm += step[0];
    s.pitch_rad += step[1] / scale.y();
    s.roll_rad += step[2] / scale.z();
  }
}

/// How a stance may differ from the middle: height [mm], pitch and roll [rad].
std::vector<BoundedSum> bounds_about(const WantedStance& s, const std::vector<Wanted>& all) {
  std::vector<BoundedSum> bounds;
  for (const Wanted& each : all) {
    const Height value = value_in(s, each);
    bounds.push_back({value.by, each.low - value.at_mm, each.high - value.at_mm});
  }
  if (s.upright) bounds.push_back({Vec3::UnitZ(), 0, 0});
  return bounds;
}

bool is_varied(const Space& space, int corner) {
  return std::find(space.corners.begin(), space.corners.end(), corner) != space.corners.end();
}

double loaded_radius(const Model& model, const WheelInStance& w, const Solution& solution) {
  const Tyre& tyre = at(at(model.linkages, at(model.corners, w.corner).linkage).wheels, w.wheel).tyre;
  const double load = at(at(solution.corners, w.corner).wheels, w.wheel).ground_load_n.value_or(0);
  return tyre.diameter_mm / 2 - (tyre.rate_n_per_mm ? load / *tyre.rate_n_per_mm : 0);
}

Vec3 centre_on_vehicle(const Model& model, const WheelInStance& w, const Vec2& centre_C) {
  const Corner& corner = at(model.corners, w.corner);
  const Linkage& linkage = at(model.linkages, corner.linkage);
  return wheel_on_vehicle(corner, linkage.plane, at(linkage.wheels, w.wheel), centre_C);
}

void set_rise(WheelInStance& w, const WantedStance& s, const Model& model, const Solution& solution) {
  const Vec3 up = level_of(s).up;
  const Corner& corner = at(model.corners, w.corner);
  const Plane plane = at(model.linkages, corner.linkage).plane;
  w.rise_mm = height_in(s, centre_on_vehicle(model, w, Vec2::Zero())).at_mm - loaded_radius(model, w, solution);
  w.rise_by_mm = {up.dot(u_axis(corner, plane)), up.dot(v_axis(plane))};
}

/// Where contacts can be before it is known what the arms can do: some modules about where they are.
std::vector<ContactRange> about_where_they_are(const Space& space, const WantedStance& s, const Solution& solution) {
  std::vector<ContactRange> out;
  for (const WheelInStance& w : s.wheels) {
    const Vec2 here = contact_in(s, *space.model, w, at(at(solution.corners, w.corner).wheels, w.wheel).centre_C_mm);
    const double off = (is_varied(space, w.corner) ? 3 : 1) * space.model->module_mm;
    out.push_back({{here.x() - off, here.x() + off}, {here.y() - off, here.y() + off}});
  }
  return out;
}

/// The heights that the only wheel of an unchanged linkage can have: its own curve says where it carries such loads.
std::optional<Wanted> height_of_unchanged(const WantedStance& s, const Model& model, const Solution& solution,
                                          const Curve& curve, const std::array<double, 2>& load_n) {
  WheelInStance w{.corner = curve.corner, .wheel = curve.wheel};
  set_rise(w, s, model, solution);
  double low = 1e30, high = -1e30;
  for (std::size_t i = 0; i < curve.points.size(); ++i) {
    // What lies between two points may carry what neither does.
    const auto carries = [&](std::size_t k) {
      return k < curve.points.size() && curve.points[k].load_n >= load_n[0] && curve.points[k].load_n <= load_n[1];
    };
    if (!carries(i) && !(i > 0 && carries(i - 1)) && !carries(i + 1)) continue;
    const double rise = w.rise_mm + w.rise_by_mm.dot(curve.points[i].centre_C_mm);
    low = std::min(low, rise);
    high = std::max(high, rise);
  }
  if (low > high) return std::nullopt;
  // The body comes down by what the wheel rises.
  const Vec3 centre = centre_on_vehicle(model, w, at(at(solution.corners, w.corner).wheels, w.wheel).centre_C_mm);
  const double here = height_in(s, centre).at_mm;
  return Wanted{&quantity(name::clearance), centre, here - high, here - low};
}

void add_wheels(WantedStance& s, const Model& model, const Solution& solution) {
  for (int c = 0; c < count(model.corners); ++c) {
    const Linkage& linkage = at(model.linkages, at(model.corners, c).linkage);
    for (int i = 0; i < count(linkage.wheels) && linkage.plane != Plane::top; ++i) {
      WheelInStance w{.corner = c, .wheel = i};
      set_rise(w, s, model, solution);
      const Vec2 centre = at(at(solution.corners, c).wheels, i).centre_C_mm;
      w.height_by = height_in(s, centre_on_vehicle(model, w, centre)).by;
      s.wheels.push_back(w);
    }
  }
}

}  // namespace

std::optional<WantedStance> wanted_stance(const Space& space, const Aims& aims, const Solution& solution,
                                          std::string& why_not) {
  const Model& model = *space.model;
  if (model.bench || !solution.vehicle) {
    why_not = "on the bench nothing is wanted of how the vehicle stands";
    return std::nullopt;
  }
  std::vector<Wanted> all = wanted_of(model, aims);
  if (std::none_of(all.begin(), all.end(), [](const Wanted& each) { return is_height(*each.what); })) {
    why_not = "no ride height is wanted within a tolerance";
    return std::nullopt;
  }
  WantedStance s{.height_mm = solution.vehicle->height_mm,
                 .pitch_rad = solution.vehicle->pitch_deg * rad_per_deg,
                 .roll_rad = solution.vehicle->roll_deg * rad_per_deg,
                 .wheels = {},
                 .bounds = {},
                 .upright = stands_upright(model)};
  if (s.upright) s.roll_rad = 0;
  to_the_middle(s, all);
  add_wheels(s, model, solution);
  WantedStance rough = s;
  set_loads(rough, model, solution, about_where_they_are(space, s, solution));
  for (const Curve& curve : solution.curves) {
    const bool alone = at(model.linkages, at(model.corners, curve.corner).linkage).wheels.size() == 1;
    const WheelResult& wheel = at(at(solution.corners, curve.corner).wheels, curve.wheel);
    if (is_varied(space, curve.corner) || !alone || wheel.state != WheelState::riding) continue;
    for (const WheelInStance& w : rough.wheels)
      if (w.corner == curve.corner)
        if (const auto height = height_of_unchanged(s, model, solution, curve, w.load_n)) all.push_back(*height);
  }
  s.bounds = bounds_about(s, all);

  for (WheelInStance& w : s.wheels) {
    const auto range = range_of(w.height_by, s.bounds);
    if (!range) {
      why_not = "what is wanted leaves open how the vehicle stands";
      return std::nullopt;
    }
    // Of second order: turns of a degree over the distance that a wheel can be off.
    constexpr double more = 1.03, at_least_mm = 0.02;
    w.within_mm = more * std::max(std::abs((*range)[0]), std::abs((*range)[1])) + at_least_mm;
    if (w.within_mm > most_within_mm) {
      why_not = "what is wanted leaves open by some modules how the vehicle stands";
      return std::nullopt;
    }
  }
  const auto each_wheel = [&](int figure, const auto& set) {
    const Figure& f = at(aims.figures, figure);
    for (WheelInStance& w : s.wheels)
      if (f.corner == w.corner && f.wheel == w.wheel) set(w);
  };
  const auto narrow = [](std::array<double, 2>& range, double low, double high) {
    range = {std::max(range[0], low), std::min(range[1], high)};
  };
  for (const Aim& want : aims.wants)
    for (std::size_t i = 0; want.what->name == name::wheel_rate && i < want.figures.size(); ++i)
      each_wheel(want.figures[i], [&](WheelInStance& w) {
        narrow(w.rate_n_per_mm, want.target[i] - want.tolerance, want.target[i] + want.tolerance);
      });
  for (const Constraint& need : aims.needs)
    for (const int figure : need.figures) {
      if (need.what->name == name::wheel_rate)
        each_wheel(figure, [&](WheelInStance& w) {
          narrow(w.rate_n_per_mm, need.least.value_or(-1e30), need.most.value_or(1e30));
        });
      if (need.what->name == name::bump_travel && need.least)
        each_wheel(figure, [&](WheelInStance& w) { w.bump_mm = std::max(w.bump_mm, *need.least); });
    }
  return s;
}

Vec2 contact_in(const WantedStance& stance, const Model& model, const WheelInStance& wheel, const Vec2& centre_C) {
  const LevelAxes level = level_of(stance);
  const Vec3 centre = centre_on_vehicle(model, wheel, centre_C);
  return {level.ahead.dot(centre), level.left.dot(centre)};
}

void set_loads(WantedStance& stance, const Model& model, const Solution& solution,
               const std::vector<ContactRange>& contacts) {
  const LevelAxes level = level_of(stance);
  const double weight_n = solution.vehicle->mass_kg * gravity_m_per_s2;
  const double ahead = level.ahead.dot(solution.vehicle->cg_mm), left = level.left.dot(solution.vehicle->cg_mm);
  const Eigen::Index n = static_cast<Eigen::Index>(stance.wheels.size());
  Eigen::VectorXd each = Eigen::VectorXd::Ones(n), along(n), across(n);
  double along_within = 0, across_within = 0;
  for (Eigen::Index i = 0; i < n; ++i) {
    const ContactRange& contact = at(contacts, i);
    along[i] = (contact.ahead_mm[0] + contact.ahead_mm[1]) / 2 - ahead;
    across[i] = (contact.left_mm[0] + contact.left_mm[1]) / 2 - left;
    along_within = std::max(along_within, (contact.ahead_mm[1] - contact.ahead_mm[0]) / 2);
    across_within = std::max(across_within, (contact.left_mm[1] - contact.left_mm[0]) / 2);
  }
  // The centre of gravity goes along with the pitch: a degree and a hundred mm above the axles are under 2 mm.
  constexpr double lean_mm = 0.5;
  std::vector<BoundedSum> bounds = {
      {each, weight_n, weight_n},
      {along, -(along_within + lean_mm) * weight_n, (along_within + lean_mm) * weight_n},
      {across, -(across_within + lean_mm) * weight_n, (across_within + lean_mm) * weight_n}};
  if (stance.upright) bounds.pop_back();
  for (Eigen::Index i = 0; i < n; ++i) {
    const WheelInStance& w = at(stance.wheels, i);
    bounds.push_back({Eigen::VectorXd::Unit(n, i), std::max(0.0, w.load_n[0]), std::min(weight_n, w.load_n[1])});
  }
  if (stance.upright)
    for (Eigen::Index i = 0; i < n; ++i)
      for (Eigen::Index k = i + 1; k < n; ++k)
        if (are_each_others_image(model, at(stance.wheels, i).corner, at(stance.wheels, k).corner) &&
            at(stance.wheels, i).wheel == at(stance.wheels, k).wheel)
          bounds.push_back({Eigen::VectorXd::Unit(n, i) - Eigen::VectorXd::Unit(n, k), 0, 0});
  for (Eigen::Index i = 0; i < n; ++i) {
    WheelInStance& w = at(stance.wheels, i);
    const auto range = range_of(Eigen::VectorXd::Unit(n, i), bounds);
    if (!range) continue;
    constexpr double rounding_n = 1e-6;
    w.load_n = {(*range)[0] - rounding_n, (*range)[1] + rounding_n};
    const Tyre& tyre = at(at(model.linkages, at(model.corners, w.corner).linkage).wheels, w.wheel).tyre;
    const double now = at(at(solution.corners, w.corner).wheels, w.wheel).load_n.value_or(0);
    if (tyre.rate_n_per_mm)
      w.within_mm += std::max(std::abs(w.load_n[0] - now), std::abs(w.load_n[1] - now)) / *tyre.rate_n_per_mm;
  }
}

}  // namespace ridepitch
