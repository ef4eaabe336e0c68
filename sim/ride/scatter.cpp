#include "ride/scatter.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include <fmt/format.h>

#include "model/index.hpp"
#include "model/mirrored_name.hpp"
#include "model/on_vehicle.hpp"
#include "model/units.hpp"
#include "ride/solve.hpp"
#include "spring/spring_traits.hpp"

namespace ridepitch {
namespace {

constexpr double none = std::numeric_limits<double>::quiet_NaN();
constexpr double least_drawn = 0.05;  // of a rate or a mass: no draw takes all of it

// ------------------------------------------------------------------------------------------- draws

/// A number's place in the stream, whoever asks and in whatever order.
/// Source: the finaliser of SplitMix64, G. L. Steele, D. Lea and C. H. Flood, OOPSLA 2014.
std::uint64_t mixed(std::uint64_t x) {
  x += 0x9e3779b97f4a7c15u;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9u;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebu;
  return x ^ (x >> 31);
}

/// What is drawn, by name. Source: the FNV-1a hash, 64 bits.
std::uint64_t key_of(std::uint64_t seed, const std::string& name) {
  std::uint64_t hash = 0xcbf29ce484222325u;
  for (const char c : name) hash = (hash ^ static_cast<unsigned char>(c)) * 0x100000001b3u;
  return mixed(hash ^ mixed(seed));
}

/// Two normal numbers of mean 0 and deviation 1, for vehicle i. Source: G. E. P. Box and M. E. Muller, Ann. Math. Stat. 29
/// (1958) 610.
std::array<double, 2> normals(std::uint64_t key, int i) {
  const std::uint64_t first = mixed(key + 2 * static_cast<std::uint64_t>(i)), second = mixed(first ^ key);
  constexpr double to_unit = 1.0 / 9007199254740992.0;  // 2^-53
  const double u = (static_cast<double>(first >> 11) + 0.5) * to_unit;
  const double v = static_cast<double>(second >> 11) * to_unit;
  const double radius = std::sqrt(-2 * std::log(u)), turn = 2 * std::numbers::pi * v;
  return {radius * std::cos(turn), radius * std::sin(turn)};
}

/// Springs side by side in one place.
struct DrawnSpring {
  int corner = 0, spring = 0;
  std::vector<std::uint64_t> pieces;
  std::uint64_t batch = 0;
  double factor = 1;     ///< of their rate, this vehicle's
  double longer_mm = 0;  ///< how much longer free, likewise
};

/// A number of the file with a deviation.
struct DrawnNumber {
  std::uint64_t key = 0;
  double value = 0, deviation = 0;
  double now = 0;
};

struct Draws {
  std::vector<DrawnSpring> springs;   ///< corner by corner, in file order
  std::vector<DrawnNumber> masses;    ///< [masses] kg
  std::vector<DrawnNumber> readings;  ///< [weighed] kg
  std::vector<DrawnNumber> tyres;     ///< [corners] N/mm of its first wheel; 0: rigid
};

bool is_sprung(const Model& model, const Corner& corner) {
  return at(model.linkages, corner.linkage).plane != Plane::top;
}

Draws draws_of(const Model& model, std::uint64_t seed) {
  const PartSpread& spread = model.spread;
  Draws draws;
  for (int c = 0; c < count(model.corners); ++c) {
    const Corner& corner = at(model.corners, c);
    const Linkage& linkage = at(model.linkages, corner.linkage);
    const Tyre tyre = linkage.wheels.empty() ? Tyre{} : linkage.wheels.front().tyre;
    const double rate = tyre.rate_n_per_mm.value_or(0);
    draws.tyres.push_back(
        {key_of(seed, fmt::format("tyre/{}", corner.name)), rate, rate * spread.tyre_rate_percent.value / 100, rate});
    if (!is_sprung(model, corner)) continue;
    for (int s = 0; s < count(linkage.springs); ++s) {
      const Spring& spring = at(linkage.springs, s);
      const std::string part = spring.part.empty() ? linkage.name + "/" + spring.name : spring.part;
      DrawnSpring& drawn = draws.springs.emplace_back(DrawnSpring{c, s, {}, key_of(seed, "batch/" + part)});
      for (int k = 0; k < spring.count; ++k)
        drawn.pieces.push_back(key_of(seed, fmt::format("spring/{}/{}/{}/{}", corner.name, spring.name, part, k)));
    }
  }
  for (const Mass& mass : model.masses)
    draws.masses.push_back(
        {key_of(seed, "mass/" + mass.name), mass.kg, mass.kg * spread.mass_percent.value / 100, mass.kg});
  constexpr double reading_kg = 0.005;  // common practice, no source
  for (std::size_t i = 0; i < model.weighed.size(); ++i)
    draws.readings.push_back({key_of(seed, fmt::format("reading/{}", i)), model.weighed[i].kg, reading_kg, 0});
  return draws;
}

void draw(int i, std::vector<DrawnNumber>& numbers) {
  for (DrawnNumber& number : numbers)
    number.now = std::max(least_drawn * number.value, number.value + number.deviation * normals(number.key, i)[0]);
}

void draw(const PartSpread& spread, int i, Draws& draws) {
  for (DrawnSpring& spring : draws.springs) {
    const double batch = spread.batch_percent.value / 100 * normals(spring.batch, i)[0];
    // Springs side by side are as one with the sum of their rates and the length at which those forces cancel.
    double factors = 0, lengths = 0;
    for (const std::uint64_t piece : spring.pieces) {
      const auto [of_rate, of_length] = normals(piece, i);
      const double factor = std::max(least_drawn, 1 + batch + spread.coil_rate_percent.value / 100 * of_rate);
      factors += factor;
      lengths += factor * spread.coil_length_mm.value * of_length;
    }
    spring.factor = factors / count(spring.pieces);
    spring.longer_mm = lengths / factors;
  }
  draw(i, draws.masses);
  draw(i, draws.readings);
  draw(i, draws.tyres);
}

// ------------------------------------------------------------------------- by the general solver

/// The model with what was drawn in it; each corner has a linkage of its own, of the same name.
Model drawn_model(const Model& model, const Draws& draws) {
  Model out = model;
  for (Corner& corner : out.corners) {
    const Linkage own = at(model.linkages, corner.linkage);
    corner.linkage = count(out.linkages);
    out.linkages.push_back(own);
  }
  for (const DrawnSpring& drawn : draws.springs) {
    Spring& spring = at(at(out.linkages, at(out.corners, drawn.corner).linkage).springs, drawn.spring);
    scale_rate(spring.data, drawn.factor);
    lengthen_free(spring.data, drawn.longer_mm);
  }
  for (int c = 0; c < count(out.corners); ++c)
    for (Wheel& wheel : at(out.linkages, at(out.corners, c).linkage).wheels)
      if (wheel.tyre.rate_n_per_mm && at(draws.tyres, c).value > 0)
        *wheel.tyre.rate_n_per_mm *= at(draws.tyres, c).now / at(draws.tyres, c).value;
  for (int m = 0; m < count(out.masses); ++m) at(out.masses, m).kg = at(draws.masses, m).now;
  for (int w = 0; w < count(out.weighed); ++w) at(out.weighed, w).kg = at(draws.readings, w).now;
  return out;
}

/// How much lower a corner stands by its play.
double by_play_mm(const CornerResult& corner) {
  return corner.ride_height_mm && corner.as_built_height_mm ? *corner.as_built_height_mm - *corner.ride_height_mm : 0;
}

void put(std::vector<double>& into, int i, const std::optional<double>& value) { at(into, i) = value.value_or(none); }

SampledVehicles empty_samples(const Solution& solution, int vehicles) {
  const Sample nothing(static_cast<std::size_t>(vehicles), none);
  SampledVehicles out{
      .vehicles = vehicles, .why_general = "", .pitch_deg = nothing, .roll_deg = nothing, .corners = {}};
  for (const CornerResult& corner : solution.corners) {
    SampledCorner& sampled = out.corners.emplace_back();
    sampled.as_built_height_mm = nothing;
    sampled.wheels.assign(corner.wheels.size(), {nothing, nothing, nothing, nothing});
  }
  return out;
}

void solve_in_general(const Model& drawn, const Solution& solution, int i, SampledVehicles& out) {
  const SolveResult result = solve(drawn, only_the_stance);
  if (!result.solution) return;
  if (result.solution->vehicle) {
    at(out.pitch_deg, i) = result.solution->vehicle->pitch_deg;
    at(out.roll_deg, i) = result.solution->vehicle->roll_deg;
  }
  for (int c = 0; c < count(out.corners); ++c) {
    const CornerResult& corner = at(result.solution->corners, c);
    SampledCorner& sampled = at(out.corners, c);
    if (corner.ride_height_mm)
      at(sampled.as_built_height_mm, i) = *corner.ride_height_mm + by_play_mm(at(solution.corners, c));
    for (int w = 0; w < count(sampled.wheels); ++w) {
      const WheelResult& wheel = at(corner.wheels, w);
      SampledWheel& of_wheel = at(sampled.wheels, w);
      put(of_wheel.wheel_rate_n_per_mm, i, wheel.wheel_rate_n_per_mm);
      put(of_wheel.bump_travel_mm, i, wheel.bump_travel_mm);
      put(of_wheel.load_n, i, wheel.load_n);
      put(of_wheel.bump_load_n, i, wheel.bump_load_n);
    }
  }
}

// ------------------------------------------------------------------------------ by the curves

/// A length over the travel, between evenly spaced places: cubic Hermite through values and slopes.
struct AlongTravel {
  std::vector<double> value, slope;
};

struct Read {
  double value = 0, slope = 0, curvature = 0;
};

/// A spring as its wheel works it.
struct WorkedSpring {
  int drawn = 0;  ///< index into Draws::springs
  AlongTravel length;
  ForceLaw law;
  double at_free_n = 0;  ///< its force at the free length, which a drawn rate leaves
  int count = 1;
  std::vector<SpringStop> stops;
  bool stops_move = false;  ///< the solid length goes along with the free one
};

/// The one wheel of a corner.
struct WorkedWheel {
  int corner = 0;
  double step_mm = 0;  ///< between the places of its curve
  int places = 0;
  double droop_v_mm = 0;
  AlongTravel sideways;  ///< u of its centre
  std::vector<WorkedSpring> springs;
  Vec3 at_mm = Vec3::Zero(), du = Vec3::Zero(), dv = Vec3::Zero();
  double radius_mm = 0, weight_n = 0;
  double rest_mm = 0;  ///< travel in the vehicle of the file
};

Read read_along(const AlongTravel& along, const WorkedWheel& wheel, double z) {
  const double places = z / wheel.step_mm;
  const int i = std::clamp(static_cast<int>(std::floor(places)), 0, wheel.places - 2);
  const double t = places - i, s = wheel.step_mm;
  const double a = at(along.value, i), b = at(along.value, i + 1), m = s * at(along.slope, i),
               n = s * at(along.slope, i + 1);
  const double c2 = 3 * (b - a) - 2 * m - n, c3 = 2 * (a - b) + m + n;
  return {a + t * (m + t * (c2 + t * c3)), (m + t * (2 * c2 + 3 * t * c3)) / s, (2 * c2 + 6 * t * c3) / (s * s)};
}

struct LoadAt {
  double load_n = 0, rate_n_per_mm = 0;
  bool within = true;  ///< no spring is past a stop
};

LoadAt load_at(const WorkedWheel& wheel, const std::vector<DrawnSpring>& drawn, double z) {
  constexpr double met_mm = 1e-9;
  LoadAt out;
  for (const WorkedSpring& spring : wheel.springs) {
    const DrawnSpring& now = at(drawn, spring.drawn);
    const Read length = read_along(spring.length, wheel, z);
    const SpringForce nominal = spring_force(spring.law, length.value - now.longer_mm);
    const double push = spring.at_free_n + now.factor * (nominal.push_n - spring.at_free_n);
    const double ratio = -length.slope;
    out.load_n += spring.count * push * ratio;
    out.rate_n_per_mm +=
        spring.count * (now.factor * nominal.stiffness_n_per_mm * ratio * ratio - push * length.curvature);
    for (const SpringStop& stop : spring.stops) {
      const double bound = stop.bound + (spring.stops_move || stop.side < 0 ? now.longer_mm : 0);
      out.within = out.within && stop.side * (length.value - bound) > met_mm;
    }
  }
  return out;
}

/// A vehicle as its curves have it, and one of those drawn.
struct WorkedVehicle {
  std::vector<WorkedWheel> wheels;
  std::vector<Vec3> reading_contact_mm;  ///< [weighed] mean of its wheels' contacts at rest, vehicle axes
  double start_height_mm = 0, start_pitch_rad = 0, start_roll_rad = 0;
};

/// Why curves are not enough; empty: they are.
std::string why_not_by_curves(const Model& model, const Solution& solution) {
  if (!solution.vehicle) return "the linkages are on the bench";
  if (!model.bars.empty()) return "it has anti-roll bars";
  if (solution.vehicle->indeterminate) return "more wheels or stops carry it than statics can tell";
  for (int c = 0; c < count(solution.corners); ++c) {
    const CornerResult& corner = at(solution.corners, c);
    if (!is_sprung(model, at(model.corners, c))) continue;
    if (corner.wheels.size() != 1) return "wheels share a linkage";
    const WheelResult& wheel = corner.wheels.front();
    if (wheel.state != WheelState::riding || !wheel.wheel_rate_n_per_mm) return "a wheel does not ride on its springs";
    if (corner.freedoms != 1) return "springs hold a part of its linkage by themselves";
  }
  return "";
}

AlongTravel along(const Curve& curve, const auto& value, const auto& slope) {
  AlongTravel out;
  for (const CurvePoint& point : curve.points) {
    out.value.push_back(value(point));
    out.slope.push_back(slope(point));
  }
  return out;
}

const Curve* curve_of(const Solution& solution, int corner) {
  for (const Curve& curve : solution.curves)
    if (curve.corner == corner && curve.points.size() > 2) return &curve;
  return nullptr;
}

/// @returns none where a curve has places at which nothing can be told
std::optional<WorkedWheel> worked_wheel(const Model& model, const Solution& solution, int c, const Draws& draws) {
  const Curve* curve = curve_of(solution, c);
  if (!curve) return std::nullopt;
  const Corner& corner = at(model.corners, c);
  const Linkage& linkage = at(model.linkages, corner.linkage);
  WorkedWheel wheel;
  wheel.corner = c;
  wheel.places = count(curve->points);
  wheel.step_mm = (curve->points.back().travel_mm - curve->points.front().travel_mm) / (wheel.places - 1);
  wheel.droop_v_mm = curve->points.front().centre_C_mm.y() - curve->points.front().travel_mm;
  wheel.sideways = along(
      *curve, [](const CurvePoint& p) { return p.centre_C_mm.x(); },
      [](const CurvePoint& p) { return p.motion.centre_per_mm.x(); });
  for (int d = 0; d < count(draws.springs); ++d) {
    const DrawnSpring& drawn = at(draws.springs, d);
    if (drawn.corner != c) continue;
    const int s = drawn.spring;
    const SpringTraits traits = traits_of(at(linkage.springs, s).data);
    WorkedSpring& spring = wheel.springs.emplace_back();
    spring.drawn = d;
    spring.length = along(
        *curve, [s](const CurvePoint& p) { return at(p.spring_length_mm, s); },
        [s](const CurvePoint& p) { return -at(p.spring_motion_ratio, s); });
    spring.law = traits.law;
    spring.at_free_n = spring_force(traits.law, traits.law.free_mm).push_n;
    spring.count = at(linkage.springs, s).count;
    spring.stops = traits.stops;
    spring.stops_move = has_table(traits.law);
    for (const double slope : spring.length.slope)
      if (!std::isfinite(slope)) return std::nullopt;
  }
  wheel.du = u_axis(linkage.plane, u_sign(corner));
  wheel.dv = v_axis(linkage.plane);
  wheel.at_mm = corner.at_mm + outward(corner) * linkage.wheels.front().out_mm * Vec3::UnitY();
  wheel.radius_mm = linkage.wheels.front().tyre.diameter_mm / 2;
  wheel.weight_n = (linkage.wheels.front().tyre.mass_g * kg_per_g + corner.unsprung_kg) * gravity_m_per_s2;
  wheel.rest_mm = *at(solution.corners, c).wheels.front().travel_mm;
  return wheel;
}

/// A body pose, and what points of the body do there.
struct BodyPose {
  double h = 0, sp = 0, cp = 1, sr = 0, cr = 1;

  explicit BodyPose(const Vec3& x)
      : h(x[0]), sp(std::sin(x[1])), cp(std::cos(x[1])), sr(std::sin(x[2])), cr(std::cos(x[2])) {}

  double height(const Vec3& p) const { return h - sp * p.x() + cp * (sr * p.y() + cr * p.z()); }
  Vec3 upward() const { return {-sp, cp * sr, cp * cr}; }
  Vec3 by_body(const Vec3& p) const {
    const double up = sr * p.y() + cr * p.z(), out = cr * p.y() - sr * p.z();
    return {1, -cp * p.x() - sp * up, cp * out};
  }
  /// Second derivatives over pitch and roll, times a force, added to the stiffness.
  void add_curvature(const Vec3& p, double force_n, Eigen::Matrix3d& K) const {
    const double up = sr * p.y() + cr * p.z(), out = cr * p.y() - sr * p.z();
    K(1, 1) += force_n * (sp * p.x() - cp * up);
    K(1, 2) -= force_n * sp * out;
    K(2, 1) -= force_n * sp * out;
    K(2, 2) -= force_n * cp * up;
  }
};

/// A wheel under a body: where it stands in its travel, and what it carries.
struct Standing {
  double z = 0;
  double ground_n = 0;
  double stiffness_n_per_mm = 0;  ///< change of that for each mm that the body comes down
  Vec3 point_mm = Vec3::Zero();
  LoadAt load;
};

/// Finds the travel at which a wheel stands on the ground. @returns false where it leaves its curve
bool stand_wheel(const WorkedWheel& wheel, const std::vector<DrawnSpring>& drawn, double tyre_n_per_mm,
                 const BodyPose& pose, Standing& at_rest) {
  constexpr int most_steps = 20;
  constexpr double settled_mm = 1e-11;
  const Vec3 up = pose.upward();
  const double up_u = up.dot(wheel.du), up_v = up.dot(wheel.dv);
  const double longest = wheel.step_mm * (wheel.places - 1);
  for (int k = 0; k < most_steps; ++k) {
    const Read u = read_along(wheel.sideways, wheel, at_rest.z);
    at_rest.point_mm = wheel.at_mm + u.value * wheel.du + (wheel.droop_v_mm + at_rest.z) * wheel.dv;
    const double gap = pose.height(at_rest.point_mm) - wheel.radius_mm;
    const double rise = up_u * u.slope + up_v;
    at_rest.load = load_at(wheel, drawn, at_rest.z);
    at_rest.ground_n = wheel.weight_n + at_rest.load.load_n / rise;
    const double linkage = at_rest.load.rate_n_per_mm / (rise * rise);
    double step = 0;
    if (tyre_n_per_mm > 0) {
      step = -(at_rest.ground_n + tyre_n_per_mm * gap) / (linkage * rise + tyre_n_per_mm * rise);
      at_rest.stiffness_n_per_mm = linkage * tyre_n_per_mm / (linkage + tyre_n_per_mm);
    } else {
      step = -gap / rise;
      at_rest.stiffness_n_per_mm = linkage;
    }
    at_rest.z += step;
    if (!(at_rest.z > 0 && at_rest.z < longest)) return false;
    if (std::abs(step) < settled_mm) return at_rest.load.within && at_rest.ground_n > 0;
  }
  return false;
}

/// x of A x = b for a symmetric 3 x 3 matrix, by its adjugate.
Vec3 solved_3(const Eigen::Matrix3d& A, const Vec3& b) {
  const auto minor = [&](int r, int c) {
    const int r1 = (r + 1) % 3, r2 = (r + 2) % 3, c1 = (c + 1) % 3, c2 = (c + 2) % 3;
    return A(r1, c1) * A(r2, c2) - A(r1, c2) * A(r2, c1);
  };
  Eigen::Matrix3d cofactors;
  for (int r = 0; r < 3; ++r)
    for (int c = 0; c < 3; ++c) cofactors(r, c) = minor(r, c);
  return cofactors.transpose() * b / A.row(0).dot(cofactors.row(0));
}

/// Sprung weight and its centre, of this vehicle.
struct Burden {
  double weight_n = 0;
  Vec3 cg_mm = Vec3::Zero();
};

Burden burden_of(const Model& model, const Solution& solution, const WorkedVehicle& vehicle, const Draws& draws) {
  Burden out;
  if (draws.readings.empty()) {
    double kg = 0;
    for (int m = 0; m < count(draws.masses); ++m) {
      kg += at(draws.masses, m).now;
      out.cg_mm += at(draws.masses, m).now * at(model.masses, m).at_mm;
    }
    out.cg_mm /= kg;
    out.weight_n = kg * gravity_m_per_s2;
    return out;
  }
  // More on a scale is more mass over its wheels, at the height that is taken to be known.
  double kg = solution.vehicle->mass_kg;
  Vec3 moment = kg * solution.vehicle->cg_mm;
  for (int w = 0; w < count(draws.readings); ++w) {
    const double more_kg = at(draws.readings, w).now - at(draws.readings, w).value;
    kg += more_kg;
    moment += more_kg * at(vehicle.reading_contact_mm, w);
  }
  out.cg_mm = moment / kg;
  out.weight_n = kg * gravity_m_per_s2;
  return out;
}

/// One vehicle drawn. @returns whether every wheel rides; if not, the general solver must tell
bool stand(const WorkedVehicle& vehicle, const Draws& draws, const Burden& burden, Vec3& x,
           std::vector<Standing>& wheels) {
  constexpr int most_steps = 30;
  constexpr double settled_mm = 1e-9, lever_mm = 100;  // a radian moves the body's corners by some 100 mm
  x = {vehicle.start_height_mm, vehicle.start_pitch_rad, vehicle.start_roll_rad};
  for (std::size_t i = 0; i < wheels.size(); ++i) wheels[i].z = vehicle.wheels[i].rest_mm;
  for (int k = 0; k < most_steps; ++k) {
    const BodyPose pose(x);
    Vec3 unbalanced = burden.weight_n * pose.by_body(burden.cg_mm);
    Eigen::Matrix3d K = Eigen::Matrix3d::Zero();
    pose.add_curvature(burden.cg_mm, burden.weight_n, K);
    for (std::size_t i = 0; i < wheels.size(); ++i) {
      const WorkedWheel& wheel = vehicle.wheels[i];
      Standing& standing = wheels[i];
      if (!stand_wheel(wheel, draws.springs, at(draws.tyres, wheel.corner).now, pose, standing)) return false;
      const Vec3 by_body = pose.by_body(standing.point_mm);
      const double force_n = wheel.weight_n - standing.ground_n;
      unbalanced += force_n * by_body;
      K += standing.stiffness_n_per_mm * by_body * by_body.transpose();
      pose.add_curvature(standing.point_mm, force_n, K);
    }
    const Vec3 step = -solved_3(K, unbalanced);
    if (!step.allFinite()) return false;
    x += step;
    if (std::max({std::abs(step[0]), lever_mm * std::abs(step[1]), lever_mm * std::abs(step[2])}) < settled_mm)
      return true;
  }
  return false;
}

/// Travel at which a wheel of this vehicle is at full bump: a solid length that moved ends it sooner or later.
double bump_end_mm(const WorkedWheel& wheel, const Draws& draws, const std::string& end, const Linkage& linkage) {
  const double nominal = wheel.step_mm * (wheel.places - 1);
  for (const WorkedSpring& spring : wheel.springs) {
    const DrawnSpring& now = at(draws.springs, spring.drawn);
    if (!spring.stops_move || end != at(linkage.springs, now.spring).name + " solid") continue;
    const double ratio = -spring.length.slope.back();
    if (ratio > 0) return nominal - now.longer_mm / ratio;
  }
  return nominal;
}

std::optional<WorkedVehicle> worked_vehicle(const Model& model, const Solution& solution, const Draws& draws) {
  WorkedVehicle vehicle;
  for (int c = 0; c < count(model.corners); ++c) {
    if (!is_sprung(model, at(model.corners, c))) continue;
    auto wheel = worked_wheel(model, solution, c, draws);
    if (!wheel) return std::nullopt;
    vehicle.wheels.push_back(std::move(*wheel));
  }
  vehicle.start_height_mm = solution.vehicle->height_mm;
  vehicle.start_pitch_rad = solution.vehicle->pitch_deg * rad_per_deg;
  vehicle.start_roll_rad = solution.vehicle->roll_deg * rad_per_deg;
  const BodyPose pose({vehicle.start_height_mm, vehicle.start_pitch_rad, vehicle.start_roll_rad});
  for (const Weighed& reading : model.weighed) {
    Vec3 mean = Vec3::Zero();
    for (const WheelRef ref : reading.wheels)
      mean += at(at(solution.corners, ref.corner).wheels, ref.wheel).contact_mm / count(reading.wheels);
    // Plumb over the contact, at the known height z of the centre of gravity (ride/weighing.cpp).
    const double z = solution.vehicle->cg_mm.z(), y = (mean.y() + pose.sr * z) / pose.cr;
    vehicle.reading_contact_mm.emplace_back((mean.x() - pose.sp * (pose.sr * y + pose.cr * z)) / pose.cp, y, z);
  }
  return vehicle;
}

}  // namespace

SampledVehicles sample_in_general(const Model& model, const Solution& solution, int vehicles, std::uint64_t seed) {
  Draws draws = draws_of(model, seed);
  SampledVehicles out = empty_samples(solution, vehicles);
  for (int i = 0; i < vehicles; ++i) {
    draw(model.spread, i, draws);
    solve_in_general(drawn_model(model, draws), solution, i, out);
  }
  return out;
}

SampledVehicles sample_vehicles(const Model& model, const Solution& solution, int vehicles, std::uint64_t seed) {
  Draws draws = draws_of(model, seed);
  std::string why = why_not_by_curves(model, solution);
  std::optional<WorkedVehicle> vehicle;
  if (why.empty()) {
    vehicle = worked_vehicle(model, solution, draws);
    if (!vehicle) why = "a travel has places at which nothing can be told";
  }
  if (!vehicle) {
    SampledVehicles out = sample_in_general(model, solution, vehicles > 0 ? vehicles : drawn_in_general, seed);
    out.why_general = why;
    return out;
  }
  SampledVehicles out = empty_samples(solution, vehicles > 0 ? vehicles : drawn_vehicles);
  std::vector<Standing> standing(vehicle->wheels.size());
  for (int i = 0; i < out.vehicles; ++i) {
    draw(model.spread, i, draws);
    Vec3 x;
    if (!stand(*vehicle, draws, burden_of(model, solution, *vehicle, draws), x, standing)) {
      solve_in_general(drawn_model(model, draws), solution, i, out);
      continue;
    }
    at(out.pitch_deg, i) = x[1] * deg_per_rad;
    at(out.roll_deg, i) = x[2] * deg_per_rad;
    const BodyPose pose(x);
    for (int c = 0; c < count(out.corners); ++c)
      if (at(solution.corners, c).ride_height_mm)
        at(at(out.corners, c).as_built_height_mm, i) =
            pose.height(at(model.corners, c).at_mm) + by_play_mm(at(solution.corners, c));
    for (std::size_t w = 0; w < standing.size(); ++w) {
      const WorkedWheel& wheel = vehicle->wheels[w];
      SampledWheel& sampled = at(out.corners, wheel.corner).wheels.front();
      const double end = bump_end_mm(wheel, draws, at(solution.corners, wheel.corner).wheels.front().bump_end,
                                     at(model.linkages, at(model.corners, wheel.corner).linkage));
      at(sampled.wheel_rate_n_per_mm, i) = standing[w].load.rate_n_per_mm;
      at(sampled.bump_travel_mm, i) = end - standing[w].z;
      at(sampled.load_n, i) = standing[w].ground_n - wheel.weight_n;
      at(sampled.bump_load_n, i) = load_at(wheel, draws.springs, wheel.step_mm * (wheel.places - 1)).load_n;
    }
  }
  return out;
}

double percentile(Sample sample, double share) {
  std::erase_if(sample, [](double value) { return std::isnan(value); });
  if (sample.empty()) return none;
  std::sort(sample.begin(), sample.end());
  const double place = share * static_cast<double>(sample.size() - 1);
  const auto i = std::min(static_cast<std::size_t>(place), sample.size() - 1),
             next = std::min(i + 1, sample.size() - 1);
  return sample[i] + (place - static_cast<double>(i)) * (sample[next] - sample[i]);
}

namespace {

std::optional<Likely> range_of(const Sample& sample) {
  const Likely range{percentile(sample, 0.1), percentile(sample, 0.5), percentile(sample, 0.9)};
  return std::isnan(range[1]) ? std::nullopt : std::optional(range);
}

}  // namespace

namespace {

/// The corner that is its mirror image and stands alike: what built ones come to is the same there, but for the draws.
int other_side(const Solution& solution, int c) {
  constexpr double alike_mm = 1e-6;
  const CornerResult& corner = at(solution.corners, c);
  const std::string name = mirrored_name(corner.name);
  for (int other = 0; !name.empty() && other < count(solution.corners); ++other) {
    const CornerResult& there = at(solution.corners, other);
    if (there.name != name || there.wheels.size() != corner.wheels.size()) continue;
    if (there.ride_height_mm && corner.ride_height_mm &&
        std::abs(*there.ride_height_mm - *corner.ride_height_mm) < alike_mm)
      return other;
  }
  return c;
}

Sample both(const Sample& one, const Sample& other) {
  Sample all = one;
  if (&one != &other) all.insert(all.end(), other.begin(), other.end());
  std::sort(all.begin(), all.end());  // so that both sides come to the same to the last digit
  return all;
}

}  // namespace

void add_expected(const SampledVehicles& sampled, Solution& solution) {
  solution.drawn = Drawn{sampled.vehicles, sampled.why_general};
  if (solution.vehicle) solution.vehicle->expected_pitch_deg = range_of(sampled.pitch_deg);
  for (int c = 0; c < count(sampled.corners); ++c) {
    const SampledCorner &from = at(sampled.corners, c), &mirrored = at(sampled.corners, other_side(solution, c));
    CornerResult& corner = at(solution.corners, c);
    corner.expected_height_mm =
        corner.as_built_height_mm ? range_of(both(from.as_built_height_mm, mirrored.as_built_height_mm)) : std::nullopt;
    if (corner.expected_height_mm && corner.pressed_height_mm && corner.lifted_height_mm)
      corner.ruler_band_mm = {(*corner.expected_height_mm)[0] + *corner.pressed_height_mm - *corner.as_built_height_mm,
                              (*corner.expected_height_mm)[2] + *corner.lifted_height_mm - *corner.as_built_height_mm};
    for (int w = 0; w < count(from.wheels); ++w) {
      WheelResult& wheel = at(corner.wheels, w);
      const SampledWheel &one = at(from.wheels, w), &other = at(mirrored.wheels, w);
      wheel.expected_rate_n_per_mm = range_of(both(one.wheel_rate_n_per_mm, other.wheel_rate_n_per_mm));
      wheel.expected_bump_mm = range_of(both(one.bump_travel_mm, other.bump_travel_mm));
    }
  }
}

}  // namespace ridepitch
