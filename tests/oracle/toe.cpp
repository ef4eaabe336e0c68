#include "toe.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <stdexcept>
#include <string>

#include <gsl/gsl_errno.h>
#include <gsl/gsl_multiroots.h>
#include <Eigen/Geometry>

namespace ridepitch::oracle {
namespace {

using Numbers = std::vector<double>;
using Residual = std::function<Numbers(const Numbers&)>;

constexpr double angle_unit = 1.0 / 40;  // of an angle's unknown [rad]
constexpr double marker_mm = 40;

int call(const gsl_vector* x, void* data, gsl_vector* f) {
  Numbers at(x->size);
  for (std::size_t i = 0; i < x->size; ++i) at[i] = gsl_vector_get(x, i);
  const Numbers r = (*static_cast<const Residual*>(data))(at);
  for (std::size_t i = 0; i < r.size(); ++i) gsl_vector_set(f, i, r[i]);
  return GSL_SUCCESS;
}

// The unknowns run from 1 at the start: GSL takes its differences over a share of each, which must not be next to nothing.
Numbers root(const Residual& of_places, const Numbers& start) {
  gsl_set_error_handler_off();
  const auto places = [&](const Numbers& y) {
    Numbers x(start);
    for (std::size_t i = 0; i < x.size(); ++i) x[i] += y[i] - 1;
    return x;
  };
  const Residual residual = [&](const Numbers& y) { return of_places(places(y)); };
  const std::size_t n = start.size();
  const std::size_t equations = of_places(start).size();
  if (equations != n)
    throw std::runtime_error("oracle: " + std::to_string(equations) + " equations for " + std::to_string(n) +
                             " unknowns");
  Residual copy = residual;
  gsl_multiroot_function f{&call, n, &copy};
  gsl_vector* x = gsl_vector_alloc(n);
  gsl_vector_set_all(x, 1);
  gsl_multiroot_fsolver* solver = gsl_multiroot_fsolver_alloc(gsl_multiroot_fsolver_dnewton, n);
  gsl_multiroot_fsolver_set(solver, &f, x);
  int status = GSL_CONTINUE;
  for (int i = 0; i < 500 && status == GSL_CONTINUE; ++i) {
    if (gsl_multiroot_fsolver_iterate(solver)) break;
    status = gsl_multiroot_test_residual(solver->f, 1e-11);
  }
  Numbers found(n);
  for (std::size_t i = 0; i < n; ++i) found[i] = gsl_vector_get(solver->x, i);
  gsl_multiroot_fsolver_free(solver);
  gsl_vector_free(x);
  double worst = 0;
  for (const double r : residual(found)) worst = std::max(worst, std::abs(r));
  if (!(worst < 1e-9)) throw std::runtime_error("oracle: no root, " + std::to_string(worst) + " mm left");
  return places(found);
}

struct Flat {
  double u, v, angle;
};

// The place of a body among the unknowns that begin at `first`; the chassis stays.
Flat body_at(const Numbers& x, std::size_t first, int body) {
  if (body == 0) return {0, 0, 0};
  const std::size_t i = first + 3 * (static_cast<std::size_t>(body) - 1);
  return {x[i], x[i + 1], x[i + 2] * angle_unit};
}

Vec2 hole_at(const Linkage& linkage, const Numbers& x, std::size_t first, HoleRef ref) {
  const Flat b = body_at(x, first, ref.body);
  const Vec2& p = linkage.bodies[static_cast<std::size_t>(ref.body)].holes[static_cast<std::size_t>(ref.hole)].p_B;
  return {b.u + std::cos(b.angle) * p.x() - std::sin(b.angle) * p.y(),
          b.v + std::sin(b.angle) * p.x() + std::cos(b.angle) * p.y()};
}

Numbers from_poses(const std::vector<Pose>& poses) {
  Numbers x;
  for (std::size_t b = 1; b < poses.size(); ++b)
    x.insert(x.end(), {poses[b].p_CB.x(), poses[b].p_CB.y(), poses[b].theta_rad / angle_unit});
  return x;
}

void add_joints(const Linkage& linkage, const Numbers& x, std::size_t first, Numbers& r) {
  for (const Pin& pin : linkage.pins)
    for (std::size_t k = 1; k < pin.holes.size(); ++k) {
      const Vec2 off = hole_at(linkage, x, first, pin.holes[k]) - hole_at(linkage, x, first, pin.holes[0]);
      r.insert(r.end(), {off.x(), off.y()});
    }
  for (const Rod& rod : linkage.rods)
    r.push_back(
        std::hypot((hole_at(linkage, x, first, rod.from) - hole_at(linkage, x, first, rod.to)).norm(), rod.across_mm) -
        rod.length_mm);
  for (const Slide& slide : linkage.slides) {
    const Vec2 off = hole_at(linkage, x, first, slide.hole) - hole_at(linkage, x, first, slide.through);
    r.push_back(slide.along.x() * off.y() - slide.along.y() * off.x());
    if (!slide.turns) r.push_back((body_at(x, first, slide.hole.body).angle - slide.angle_rad) / angle_unit);
  }
}

void add_drive(const Linkage& linkage, const Numbers& x, double drive, Numbers& r) {
  if (!linkage.drive) return;
  if (linkage.drive->slide) {
    const Slide& slide = linkage.slides[static_cast<std::size_t>(*linkage.drive->slide)];
    r.push_back(slide.along.dot(hole_at(linkage, x, 0, slide.hole) - hole_at(linkage, x, 0, slide.through)) - drive);
  } else {
    const Pin& pin = linkage.pins[static_cast<std::size_t>(*linkage.drive->pin)];
    const HoleRef turned = pin.holes[0].body == 0 ? pin.holes[1] : pin.holes[0];
    r.push_back((body_at(x, 0, turned.body).angle - drive) / angle_unit);
  }
}

Vec3 from_above(const Corner& corner, const Vec2& p, double z) {
  return {corner.at_mm.x() + (corner.flip ? -p.x() : p.x()), corner.at_mm.y() + p.y(), z};
}

// One knuckle: what is fixed to it, as drawn.
struct Knuckle {
  std::size_t wheel = 0;
  int body = 0;
  WheelRef sprung;
  Vec3 low, high;  // two points of the kingpin
  Vec3 marker;     // off the kingpin, perpendicular to `ahead`
  Vec3 ahead, centre;
  std::vector<std::size_t> balls;  // indices into all of them
};

struct Ball {
  std::size_t knuckle = 0;
  Vec3 drawn;
};

// Two ends of a rod, each a ball or a hole of the top linkage at a height.
struct SpaceRod {
  std::array<int, 2> ball{-1, -1};
  std::array<HoleRef, 2> hole;
  std::array<double, 2> z{};
  double length = 0;
};

struct Machine {
  const Model& model;
  const Solution& rest;
  const Corner& corner;
  const Linkage& top;
  std::vector<Knuckle> knuckles;
  std::vector<Ball> balls;
  std::vector<SpaceRod> rods;
};

WheelRef wheel_named(const Model& model, const std::string& name) {
  for (std::size_t c = 0; c < model.corners.size(); ++c) {
    const auto& wheels = model.linkages[static_cast<std::size_t>(model.corners[c].linkage)].wheels;
    for (std::size_t w = 0; w < wheels.size(); ++w)
      if (model.corners[c].name + "/" + wheels[w].name == name) return {static_cast<int>(c), static_cast<int>(w)};
  }
  throw std::runtime_error("oracle: no wheel " + name);
}

const Linkage& linkage_of(const Model& model, int corner) {
  return model.linkages[static_cast<std::size_t>(model.corners[static_cast<std::size_t>(corner)].linkage)];
}

double height_of_wheel(const Model& model, const Solution& rest, WheelRef wheel) {
  return model.corners[static_cast<std::size_t>(wheel.corner)].at_mm.z() +
         rest.corners[static_cast<std::size_t>(wheel.corner)]
             .wheels[static_cast<std::size_t>(wheel.wheel)]
             .centre_C_mm.y();
}

Machine draw(const Model& model, const Solution& rest, int corner) {
  Machine m{model, rest, model.corners[static_cast<std::size_t>(corner)], linkage_of(model, corner), {}, {}, {}};
  const Numbers x = from_poses(rest.corners[static_cast<std::size_t>(corner)].poses);
  const double plane_z = m.corner.at_mm.z();
  for (std::size_t w = 0; w < m.top.wheels.size(); ++w) {
    const Wheel& wheel = m.top.wheels[w];
    Knuckle k;
    k.wheel = w;
    k.body = wheel.at.body;
    k.sprung = wheel_named(model, wheel.same_as);
    bool found = false;
    for (const Pin& pin : m.top.pins) {
      bool on = false;
      for (const HoleRef h : pin.holes) on = on || h.body == k.body;
      for (const HoleRef h : pin.holes)
        if (on && h.body == 0) {
          k.low = from_above(m.corner, hole_at(m.top, x, 0, h), plane_z);
          found = true;
        }
    }
    if (!found) throw std::runtime_error("oracle: no kingpin");
    k.centre = from_above(m.corner, hole_at(m.top, x, 0, wheel.at), height_of_wheel(model, rest, k.sprung));
    const auto king = wheel.king_rad.value_or(std::array<double, 2>{0, 0});
    const bool left = k.centre.y() >= 0;
    k.high = k.low + marker_mm * Vec3(-std::tan(king[0]), (left ? -1 : 1) * std::tan(king[1]), 1);
    const double angle = body_at(x, 0, k.body).angle;
    const Vec2 a(std::cos(angle) * wheel.ahead->x() - std::sin(angle) * wheel.ahead->y(),
                 std::sin(angle) * wheel.ahead->x() + std::cos(angle) * wheel.ahead->y());
    k.ahead = Vec3(m.corner.flip ? -a.x() : a.x(), a.y(), 0);
    k.marker = k.low + marker_mm * Vec3(-k.ahead.y(), k.ahead.x(), 0);
    m.knuckles.push_back(k);
  }
  for (const Rod& rod : m.top.rods) {
    SpaceRod space;
    std::array<Vec3, 2> drawn;
    const std::array<HoleRef, 2> ends{rod.from, rod.to};
    for (std::size_t e = 0; e < 2; ++e) {
      space.hole[e] = ends[e];
      space.z[e] = rod.height_mm ? (*rod.height_mm)[e] : plane_z;
      drawn[e] = from_above(m.corner, hole_at(m.top, x, 0, ends[e]), space.z[e]);
      for (std::size_t k = 0; k < m.knuckles.size(); ++k)
        if (m.knuckles[k].body == ends[e].body) {
          space.ball[e] = static_cast<int>(m.balls.size());
          m.knuckles[k].balls.push_back(m.balls.size());
          m.balls.push_back({k, drawn[e]});
        }
    }
    space.length = (drawn[0] - drawn[1]).norm();
    if (space.ball[0] >= 0 || space.ball[1] >= 0) m.rods.push_back(space);
  }
  return m;
}

// A point fixed to the body that carries a sprung wheel, from where it is at rest to where that body is now.
Vec3 ride_along(const Corner& corner, Plane plane, const Flat& rest, const Flat& now, const Vec3& p) {
  const double sign = corner.flip ? -1 : 1;
  const double u = sign * (plane == Plane::side ? p.x() - corner.at_mm.x() : p.y() - corner.at_mm.y());
  const double v = p.z() - corner.at_mm.z();
  const double bu = std::cos(rest.angle) * (u - rest.u) + std::sin(rest.angle) * (v - rest.v);
  const double bv = -std::sin(rest.angle) * (u - rest.u) + std::cos(rest.angle) * (v - rest.v);
  const double nu = now.u + std::cos(now.angle) * bu - std::sin(now.angle) * bv;
  const double nv = now.v + std::sin(now.angle) * bu + std::cos(now.angle) * bv;
  return plane == Plane::side ? Vec3(corner.at_mm.x() + sign * nu, p.y(), corner.at_mm.z() + nv)
                              : Vec3(p.x(), corner.at_mm.y() + sign * nu, corner.at_mm.z() + nv);
}

Vec3 point_at(const Numbers& x, std::size_t i) { return {x[i], x[i + 1], x[i + 2]}; }

}  // namespace

SteeredPlace steered_place(const Model& model, const Solution& rest, int corner, double drive, int rising,
                           double rise_mm) {
  const Machine m = draw(model, rest, corner);
  const WheelRef raised = wheel_named(model, m.top.wheels[static_cast<std::size_t>(rising)].same_as);
  const auto c = static_cast<std::size_t>(raised.corner);
  const Linkage& sprung = linkage_of(model, raised.corner);
  const auto& sprung_rest = rest.corners[c].poses;
  // Unknowns: bodies of the top linkage, bodies of the raised linkage, balls, markers.
  Numbers x = from_poses(rest.corners[static_cast<std::size_t>(corner)].poses);
  const std::size_t first_sprung = x.size();
  const Numbers sprung_x = from_poses(sprung_rest);
  x.insert(x.end(), sprung_x.begin(), sprung_x.end());
  const std::size_t first_ball = x.size();
  for (const Ball& ball : m.balls) x.insert(x.end(), {ball.drawn.x(), ball.drawn.y(), ball.drawn.z()});
  const std::size_t first_marker = x.size();
  for (const Knuckle& k : m.knuckles) x.insert(x.end(), {k.marker.x(), k.marker.y(), k.marker.z()});

  const auto ride = [&](const Knuckle& k, const Numbers& now, const Vec3& p) {
    if (k.sprung.corner != raised.corner) return p;
    const int body = sprung.wheels[static_cast<std::size_t>(k.sprung.wheel)].at.body;
    return ride_along(model.corners[c], sprung.plane, body_at(sprung_x, 0, body), body_at(now, first_sprung, body), p);
  };
  const auto residual_at = [&](double at_drive, double at_rise) -> Residual {
    return [&, at_drive, at_rise](const Numbers& now) {
      Numbers r;
      add_joints(m.top, now, 0, r);
      add_drive(m.top, now, at_drive, r);
      add_joints(sprung, now, first_sprung, r);
      for (std::size_t w = 0; w < sprung.wheels.size(); ++w)
        r.push_back(hole_at(sprung, now, first_sprung, sprung.wheels[w].at).y() -
                    rest.corners[c].wheels[w].centre_C_mm.y() - (static_cast<int>(w) == raised.wheel ? at_rise : 0));
      for (std::size_t i = 0; i < m.knuckles.size(); ++i) {
        const Knuckle& k = m.knuckles[i];
        const Vec3 low = ride(k, now, k.low), high = ride(k, now, k.high);
        const auto keeps = [&](const Vec3& a, const Vec3& b, const Vec3& drawn_a, const Vec3& drawn_b) {
          r.push_back((a - b).norm() - (drawn_a - drawn_b).norm());
        };
        const Vec3 marker = point_at(now, first_marker + 3 * i);
        for (const std::size_t b : k.balls) {
          const Vec3 ball = point_at(now, first_ball + 3 * b);
          keeps(ball, low, m.balls[b].drawn, k.low);
          keeps(ball, high, m.balls[b].drawn, k.high);
          // Each further ball is tied to the marker too.
          if (b != k.balls.front()) keeps(ball, marker, m.balls[b].drawn, k.marker);
        }
        keeps(marker, low, k.marker, k.low);
        keeps(marker, high, k.marker, k.high);
        keeps(marker, point_at(now, first_ball + 3 * k.balls.front()), k.marker, m.balls[k.balls.front()].drawn);
      }
      for (const SpaceRod& rod : m.rods) {
        std::array<Vec3, 2> ends;
        for (std::size_t e = 0; e < 2; ++e)
          ends[e] = rod.ball[e] >= 0 ? point_at(now, first_ball + 3 * static_cast<std::size_t>(rod.ball[e]))
                                     : from_above(m.corner, hole_at(m.top, now, 0, rod.hole[e]), rod.z[e]);
        r.push_back((ends[0] - ends[1]).norm() - rod.length);
      }
      return r;
    };
  };
  constexpr int steps = 12;
  for (int i = 1; i <= steps && drive != 0; ++i) x = root(residual_at(drive * i / steps, 0), x);
  for (int i = drive != 0 ? 1 : 0; i <= steps; ++i) x = root(residual_at(drive, rise_mm * i / steps), x);

  SteeredPlace out;
  for (std::size_t i = 0; i < m.knuckles.size(); ++i) {
    const Knuckle& k = m.knuckles[i];
    // The knuckle as the frame of kingpin, marker and what is perpendicular to both.
    const auto frame = [](const Vec3& low, const Vec3& high, const Vec3& marker) {
      Eigen::Matrix3d f;
      f.col(0) = high - low;
      f.col(1) = marker - low;
      f.col(2) = f.col(0).cross(f.col(1));
      return f;
    };
    const Vec3 low = ride(k, x, k.low);
    const Eigen::Matrix3d turn =
        frame(low, ride(k, x, k.high), point_at(x, first_marker + 3 * i)) * frame(k.low, k.high, k.marker).inverse();
    const Vec3 ahead = turn * k.ahead;
    out.heading_deg.push_back(std::atan2(ahead.y(), ahead.x()) * 180 / std::acos(-1.0));
    out.centre_mm.push_back(low + turn * (k.centre - k.low));
    // Camber at rest, the top outward: the axle's outer end lower.
    const auto& path =
        rest.corners[static_cast<std::size_t>(k.sprung.corner)].wheels[static_cast<std::size_t>(k.sprung.wheel)].path;
    const double camber = path && path->rest.camber_deg ? *path->rest.camber_deg * std::acos(-1.0) / 180 : 0;
    const Vec3 level(-k.ahead.y(), k.ahead.x(), 0);
    const double side = k.centre.y() < 0 ? -1 : 1;
    const Vec3 leaning(level.x(), std::cos(camber) * level.y(), -side * std::sin(camber) * level.y());
    out.axis.push_back(turn * leaning.normalized());
  }
  return out;
}

}  // namespace ridepitch::oracle
