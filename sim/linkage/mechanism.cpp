#include "linkage/mechanism.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "spring/spring_traits.hpp"

namespace ridepitch {

BodyPoint body_point(const Linkage& linkage, HoleRef ref) {
  const Vec2& p = linkage.bodies[static_cast<std::size_t>(ref.body)].holes[static_cast<std::size_t>(ref.hole)].p_B;
  return {ref.body - 1, p};  // the chassis is body 0 of a linkage and the ground (-1) of a mechanism
}

namespace {

Gauge along(BodyPoint p, BodyPoint q, const Vec2& dir) {
  return {.kind = Gauge::Kind::along, .p = p, .q = q, .dir = dir};
}

Gauge distance(const Linkage& linkage, HoleRef from, HoleRef to, double across_mm) {
  return {.kind = Gauge::Kind::distance,
          .p = body_point(linkage, from),
          .q = body_point(linkage, to),
          .dir = Vec2::UnitX(),
          .across_mm = across_mm};
}

Gauge angle(int from_body, int to_body) {
  return {.kind = Gauge::Kind::angle, .p = {from_body - 1, Vec2::Zero()}, .q = {to_body - 1, Vec2::Zero()}};
}

void add_pins(const Linkage& linkage, Mechanism& mechanism) {
  for (std::size_t i = 0; i < linkage.pins.size(); ++i) {
    const Pin& pin = linkage.pins[i];
    for (std::size_t k = 1; k < pin.holes.size(); ++k)
      for (const Vec2& dir : {Vec2(1, 0), Vec2(0, 1)})
        mechanism.ties.push_back(
            {.gauge = along(body_point(linkage, pin.holes[0]), body_point(linkage, pin.holes[k]), dir),
             .target = 0,
             .of = Tie::Of::pin,
             .index = static_cast<int>(i),
             .other_hole = static_cast<int>(k)});
  }
}

void add_rods(const Linkage& linkage, Mechanism& mechanism) {
  for (std::size_t i = 0; i < linkage.rods.size(); ++i) {
    const Rod& rod = linkage.rods[i];
    mechanism.ties.push_back({.gauge = distance(linkage, rod.from, rod.to, rod.across_mm),
                              .target = rod.length_mm,
                              .of = Tie::Of::rod,
                              .index = static_cast<int>(i)});
  }
}

void add_slides(const Linkage& linkage, Mechanism& mechanism) {
  for (std::size_t i = 0; i < linkage.slides.size(); ++i) {
    const Slide& slide = linkage.slides[i];
    const Vec2 across(-slide.along.y(), slide.along.x());
    const BodyPoint guide = body_point(linkage, slide.through), hole = body_point(linkage, slide.hole);
    mechanism.ties.push_back(
        {.gauge = along(guide, hole, across), .target = 0, .of = Tie::Of::slide, .index = static_cast<int>(i)});
    if (!slide.turns)
      mechanism.ties.push_back({.gauge = angle(chassis, slide.hole.body),
                                .target = slide.angle_rad,
                                .of = Tie::Of::heading,
                                .index = static_cast<int>(i)});
  }
}

// With the drive held at 0 a slide stands where its two holes meet; a body on a pin has its grid parallel to the chassis grid.
void add_drive(const Linkage& linkage, Mechanism& mechanism) {
  if (!linkage.drive) return;
  if (linkage.drive->slide) {
    const Slide& slide = linkage.slides[static_cast<std::size_t>(*linkage.drive->slide)];
    mechanism.ties.push_back(
        {.gauge = along(body_point(linkage, slide.through), body_point(linkage, slide.hole), slide.along),
         .target = 0,
         .of = Tie::Of::drive,
         .index = *linkage.drive->slide});
  } else if (linkage.drive->pin) {
    const Pin& pin = linkage.pins[static_cast<std::size_t>(*linkage.drive->pin)];
    const auto turned = std::find_if(pin.holes.begin(), pin.holes.end(), [](HoleRef h) { return h.body != chassis; });
    if (turned != pin.holes.end())
      mechanism.ties.push_back(
          {.gauge = angle(chassis, turned->body), .target = 0, .of = Tie::Of::drive, .index = *linkage.drive->pin});
  }
}

void add_springs(const Linkage& linkage, Mechanism& mechanism) {
  for (const Spring& spring : linkage.springs) {
    const auto bodies = turned_bodies(spring.data);
    SpringTraits traits = traits_of(spring.data);
    const SpringElement element{.gauge = bodies ? angle((*bodies)[0], (*bodies)[1])
                                                : distance(linkage, spring.from, spring.to, spring.across_mm),
                                .law = std::move(traits.law),
                                .turns = bodies.has_value(),
                                .captive = traits.captive,
                                .count = spring.count};
    for (const SpringStop& stop : traits.stops)
      mechanism.stops.push_back({.gauge = element.gauge,
                                 .bound = stop.bound,
                                 .side = stop.side,
                                 .name = fmt::format("{} {}", spring.name, stop.name),
                                 .ends_bump = stop.ends_bump,
                                 .turns = element.turns,
                                 .spring = static_cast<int>(mechanism.springs.size())});
    mechanism.springs.push_back(element);
  }
}

void add_limits(const Linkage& linkage, Mechanism& mechanism) {
  for (const Limit& limit : linkage.limits) {
    const Gauge gauge = distance(linkage, limit.from, limit.to, limit.across_mm);
    if (limit.min_mm) mechanism.stops.push_back({gauge, *limit.min_mm, +1, limit.name + " min", true, false, -1});
    if (limit.max_mm) mechanism.stops.push_back({gauge, *limit.max_mm, -1, limit.name + " max", true, false, -1});
  }
  for (std::size_t i = 0; i < linkage.slides.size(); ++i) {
    const Slide& slide = linkage.slides[i];
    const bool driven = linkage.drive && linkage.drive->slide == static_cast<int>(i);
    if (!slide.stroke_mm || driven) continue;
    const Gauge gauge = along(body_point(linkage, slide.through), body_point(linkage, slide.hole), slide.along);
    mechanism.stops.push_back({gauge, (*slide.stroke_mm)[0], +1, slide.name + " min", true, false, -1});
    mechanism.stops.push_back({gauge, (*slide.stroke_mm)[1], -1, slide.name + " max", true, false, -1});
  }
}

void add_wheels(const Linkage& linkage, Mechanism& mechanism) {
  for (const Wheel& wheel : linkage.wheels) {
    const BodyPoint at = body_point(linkage, wheel.at);
    const BodyPoint origin;
    mechanism.wheels.push_back({.at = at,
                                .height = along(origin, at, Vec2::UnitY()),
                                .sideways = along(origin, at, Vec2::UnitX()),
                                .fixed = wheel.at.body == chassis});
  }
}

double longest_arm(const Body& body) {
  double longest = 0;
  for (const Hole& one : body.holes)
    for (const Hole& other : body.holes) longest = std::max(longest, (one.p_B - other.p_B).norm());
  return longest;
}

// The longest arm of a body, so that turning it by one radian compares with moving it by that much. Bodies of one
// hole only slide: then the chassis tells how large the linkage is.
double linkage_size(const Linkage& linkage) {
  constexpr double least_mm = 8;
  double size = 0;
  for (std::size_t b = 1; b < linkage.bodies.size(); ++b) size = std::max(size, longest_arm(linkage.bodies[b]));
  if (size < least_mm) size = longest_arm(linkage.bodies[chassis]);
  return std::max(size, least_mm);
}

}  // namespace

Mechanism make_mechanism(const Linkage& linkage, bool hold_drive) {
  Mechanism mechanism;
  mechanism.linkage = &linkage;
  mechanism.bodies = static_cast<int>(linkage.bodies.size()) - 1;
  mechanism.size_mm = linkage_size(linkage);
  add_pins(linkage, mechanism);
  add_rods(linkage, mechanism);
  add_slides(linkage, mechanism);
  if (hold_drive) add_drive(linkage, mechanism);
  add_springs(linkage, mechanism);
  add_limits(linkage, mechanism);
  add_wheels(linkage, mechanism);
  for (int b = 0; b < mechanism.bodies; ++b) {
    mechanism.column_weight.push_back(1);
    mechanism.column_weight.push_back(1);
    mechanism.column_weight.push_back(1 / mechanism.size_mm);
  }
  return mechanism;
}

void add_tie_curvature(const Mechanism& mechanism, const Eigen::VectorXd& lambda, const Eigen::VectorXd& q,
                       const std::vector<Turn>& turns, Eigen::MatrixXd& W) {
  for (std::size_t k = 0; k < mechanism.ties.size(); ++k) {
    const Gauge& gauge = mechanism.ties[k].gauge;
    const double force = lambda[static_cast<Eigen::Index>(k)];
    if (force != 0 && gauge.kind != Gauge::Kind::angle)
      add_curvature(gauge, read(gauge, q, turns), -force, q, turns, W);
  }
}

}  // namespace ridepitch
