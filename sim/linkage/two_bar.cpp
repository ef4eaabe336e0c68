#include "linkage/two_bar.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/closure.hpp"
#include "model/index.hpp"

namespace ridepitch {
namespace {

constexpr double same_point_mm = 1e-9;

// A plan in the making.
struct Planning {
  const Linkage& linkage;
  std::vector<bool> known;  // bodies of the linkage that have their place, the chassis first
  TwoBarPlan plan = {};
};

bool is_known(const Planning& p, int body) { return at(p.known, body); }

// What a body hangs on among those already placed.
struct Anchor {
  HoleRef own, other;  // its own hole, and the known one
  Vec2 own_B;          // its own point
  BodyPoint known;     // where that point sits, or what it keeps its distance from
  double length_mm = 0;
  int rod = -1;
};

Vec2 point_of(const Planning& p, HoleRef ref) { return body_point(p.linkage, ref).p_B; }

Anchor anchor(const Planning& p, HoleRef own, HoleRef other) {
  return {.own = own, .other = other, .own_B = point_of(p, own), .known = body_point(p.linkage, other)};
}

std::optional<Anchor> pinned(const Planning& p, int body) {
  for (const Pin& pin : p.linkage.pins)
    for (const HoleRef& mine : pin.holes)
      if (mine.body == body)
        for (const HoleRef& theirs : pin.holes)
          if (is_known(p, theirs.body)) return anchor(p, mine, theirs);
  return std::nullopt;
}

std::optional<Anchor> rodded(const Planning& p, int body) {
  for (int i = 0; i < count(p.linkage.rods); ++i) {
    const Rod& rod = at(p.linkage.rods, i);
    for (const auto& [mine, theirs] : {std::pair{rod.from, rod.to}, std::pair{rod.to, rod.from}}) {
      if (mine.body != body || !is_known(p, theirs.body)) continue;
      Anchor found = anchor(p, mine, theirs);
      found.length_mm = std::sqrt(rod.length_mm * rod.length_mm - rod.across_mm * rod.across_mm);
      found.rod = i;
      return found;
    }
  }
  return std::nullopt;
}

const Slide* slide_of(const Planning& p, int body) {
  for (const Slide& slide : p.linkage.slides)
    if (slide.hole.body == body) return &slide;
  return nullptr;
}

int slide_index(const Planning& p, const Slide& slide) { return static_cast<int>(&slide - p.linkage.slides.data()); }

bool driven(const Planning& p, int body) {
  const auto& drive = p.linkage.drive;
  if (!drive) return false;
  if (drive->slide) return at(p.linkage.slides, *drive->slide).hole.body == body;
  if (!drive->pin) return false;
  const auto& holes = at(p.linkage.pins, *drive->pin).holes;
  const auto turned = std::find_if(holes.begin(), holes.end(), [](HoleRef h) { return h.body != chassis; });
  return turned != holes.end() && turned->body == body;
}

// About the known point of a pin, with a second hole of the pinned body.
Locus circle(const Planning& p, const Anchor& pin, HoleRef second) {
  return {.centre = pin.known,
          .radius_mm = (point_of(p, second) - pin.own_B).norm(),
          .centre_hole = pin.other,
          .arm = {pin.own, second}};
}
Locus circle(const Anchor& rod) {
  return {.centre = rod.known, .radius_mm = rod.length_mm, .centre_hole = rod.other, .rod = rod.rod};
}

Vec2 turned(double angle_rad, const Vec2& v) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  return {c * v.x() - s * v.y(), s * v.x() + c * v.y()};
}

// A point of a body that keeps its angle on a slide runs along a line parallel to it.
Locus line_of(const Planning& p, const Slide& slide, HoleRef running) {
  return {
      .line = true,
      .origin = point_of(p, slide.through) + turned(slide.angle_rad, point_of(p, running) - point_of(p, slide.hole)),
      .along = slide.along,
      .slide = slide_index(p, slide),
      .running = running};
}

Laying swung(const Planning& p, int body, const Anchor& about, HoleRef found) {
  return {.body = body - 1,
          .found_B = point_of(p, found),
          .pinned_to = about.known,
          .pinned_B = about.own_B,
          .found = found,
          .pinned = about.own,
          .known = about.other};
}
Laying slid(const Planning& p, int body, const Slide& slide, HoleRef found) {
  return {.body = body - 1,
          .found_B = point_of(p, found),
          .keeps_angle = true,
          .angle_rad = slide.angle_rad,
          .found = found};
}

bool add_step(Planning& p, const Locus& one, const Locus& other, std::vector<Laying> lay) {
  for (const Laying& laying : lay) at(p.known, laying.body + 1) = true;
  p.plan.order.push_back({false, count(p.plan.steps)});
  p.plan.steps.push_back({one, other, std::move(lay)});
  return true;
}

bool add_input(Planning& p, TwoBarInput input) {
  at(p.known, input.body + 1) = true;
  input.driven = driven(p, input.body + 1);
  p.plan.order.push_back({true, count(p.plan.inputs)});
  p.plan.inputs.push_back(std::move(input));
  return true;
}

// One body whose place follows: pinned and rodded, or on a slide and rodded or pinned.
bool add_single(Planning& p, int body) {
  const Slide* slide = slide_of(p, body);
  const auto pin = pinned(p, body), rod = rodded(p, body);
  if (!slide && pin && rod && (rod->own_B - pin->own_B).norm() > same_point_mm)
    return add_step(p, circle(p, *pin, rod->own), circle(*rod), {swung(p, body, *pin, rod->own)});
  if (slide && !slide->turns && rod && !pin)
    return add_step(p, line_of(p, *slide, rod->own), circle(*rod), {slid(p, body, *slide, rod->own)});
  if (slide && slide->turns && pin && (point_of(p, slide->hole) - pin->own_B).norm() >= same_point_mm)
    return add_step(p, line_of(p, *slide, slide->hole), circle(p, *pin, slide->hole),
                    {swung(p, body, *pin, slide->hole)});
  return false;
}

// Where a hole may lie and how its body is then laid down: pinned to a known point, or on a slide.
std::optional<std::pair<Locus, Laying>> arm_of(const Planning& p, HoleRef hole) {
  const auto pin = pinned(p, hole.body);
  if (const Slide* slide = slide_of(p, hole.body)) {
    if (slide->turns || pin) return std::nullopt;
    return std::pair{line_of(p, *slide, hole), slid(p, hole.body, *slide, hole)};
  }
  if (!pin || (pin->own_B - point_of(p, hole)).norm() < same_point_mm) return std::nullopt;
  return std::pair{circle(p, *pin, hole), swung(p, hole.body, *pin, hole)};
}

// Two bodies that share a pin, each of them pinned to a known point or on a slide.
bool add_pair(Planning& p, const HoleRef& x, const HoleRef& y) {
  const auto one = arm_of(p, x), other = arm_of(p, y);
  if (!one || !other || (one->first.line && other->first.line)) return false;
  const bool swap = other->first.line;  // a line comes first
  return add_step(p, (swap ? other : one)->first, (swap ? one : other)->first, {one->second, other->second});
}

bool add_group(Planning& p) {
  for (int b = 1; b < count(p.linkage.bodies); ++b)
    if (!is_known(p, b) && add_single(p, b)) return true;
  for (const Pin& pin : p.linkage.pins)
    for (auto x = pin.holes.begin(); x != pin.holes.end(); ++x)
      for (auto y = x + 1; y != pin.holes.end(); ++y)
        if (!is_known(p, x->body) && !is_known(p, y->body) && add_pair(p, *x, *y)) return true;
  return false;
}

// A body moved at will along its slide or about its pin, if it has one of them and not both.
bool add_input_of(Planning& p, int body) {
  const Slide* slide = slide_of(p, body);
  const auto pin = pinned(p, body);
  if (slide && !slide->turns && !pin)  // the body grid's origin where the slide's two holes meet
    return add_input(p, {.body = body - 1,
                         .slides = true,
                         .origin = point_of(p, slide->through) - turned(slide->angle_rad, point_of(p, slide->hole)),
                         .along = slide->along,
                         .angle_rad = slide->angle_rad,
                         .slide = slide_index(p, *slide)});
  if (!slide && pin)
    return add_input(
        p,
        {.body = body - 1, .pinned_to = pin->known, .pinned_B = pin->own_B, .pinned = pin->own, .known = pin->other});
  return false;
}

bool add_driven_input(Planning& p) {
  for (int b = 1; b < count(p.linkage.bodies); ++b)
    if (!is_known(p, b) && driven(p, b) && add_input_of(p, b)) return true;
  return false;
}

// A body that carries a wheel first, then any.
bool add_free_input(Planning& p) {
  const auto carries_wheel = [&](int b) {
    return std::any_of(p.linkage.wheels.begin(), p.linkage.wheels.end(),
                       [&](const Wheel& w) { return w.at.body == b; });
  };
  for (const bool wheels_only : {true, false})
    for (int b = 1; b < count(p.linkage.bodies); ++b)
      if (!is_known(p, b) && (!wheels_only || carries_wheel(b)) && add_input_of(p, b)) return true;
  return false;
}

// Where a circle meets a circle or line; `side` chooses among the two. @returns false if they do not meet
bool meet(const Locus& one, const Locus& circle, bool side, const Eigen::VectorXd& q, Vec2& found) {
  const Vec2 centre = position(circle.centre, q);
  if (one.line) {
    const double along = one.along.dot(centre - one.origin);
    const Vec2 foot = one.origin + along * one.along;
    const double square = circle.radius_mm * circle.radius_mm - (centre - foot).squaredNorm();
    if (square < 0) return false;
    found = foot + (side ? 1 : -1) * std::sqrt(square) * one.along;
    return true;
  }
  const Vec2 first = position(one.centre, q), between = centre - first;
  const double d = between.norm();
  if (d < 1e-12) return false;
  const double a = (one.radius_mm * one.radius_mm - circle.radius_mm * circle.radius_mm + d * d) / (2 * d);
  const double square = one.radius_mm * one.radius_mm - a * a;
  if (square < 0) return false;
  const Vec2 u = between / d;
  found = first + a * u + (side ? 1 : -1) * std::sqrt(square) * Vec2(-u.y(), u.x());
  return true;
}

}  // namespace

int free_inputs(const TwoBarPlan& plan) {
  return static_cast<int>(
      std::count_if(plan.inputs.begin(), plan.inputs.end(), [](const TwoBarInput& i) { return !i.driven; }));
}

std::optional<TwoBarPlan> plan_two_bars(const Mechanism& mechanism) {
  const Linkage& linkage = *mechanism.linkage;
  Planning planning{.linkage = linkage, .known = std::vector<bool>(linkage.bodies.size(), false)};
  planning.known[chassis] = true;
  while (add_driven_input(planning) || add_group(planning) || add_free_input(planning)) {
  }
  if (std::find(planning.known.begin(), planning.known.end(), false) != planning.known.end()) return std::nullopt;
  // Each input and each group takes as many ties as it settles coordinates, or ties are left over: no plan.
  std::size_t settled = 0;
  for (const TwoBarInput& input : planning.plan.inputs) settled += input.driven ? 3 : 2;
  for (const TwoBarStep& step : planning.plan.steps) settled += 3 * step.lay.size();
  if (settled != mechanism.ties.size()) return std::nullopt;
  return std::move(planning.plan);
}

namespace {

const Vec2& hole_of(const Linkage& linkage, HoleRef ref) {
  return at(at(linkage.bodies, ref.body).holes, ref.hole).p_B;
}

void renumber(Locus& locus, const Linkage& linkage) {
  if (locus.line) {
    const Slide& slide = at(linkage.slides, locus.slide);
    locus.origin = hole_of(linkage, slide.through) +
                   turned(slide.angle_rad, hole_of(linkage, locus.running) - hole_of(linkage, slide.hole));
    return;
  }
  locus.centre.p_B = hole_of(linkage, locus.centre_hole);
  if (locus.rod < 0) {
    locus.radius_mm = (hole_of(linkage, locus.arm[1]) - hole_of(linkage, locus.arm[0])).norm();
    return;
  }
  const Rod& rod = at(linkage.rods, locus.rod);
  locus.radius_mm = std::sqrt(rod.length_mm * rod.length_mm - rod.across_mm * rod.across_mm);
}

}  // namespace

void renumber(TwoBarPlan& plan, const Linkage& linkage) {
  for (TwoBarInput& input : plan.inputs) {
    if (input.slides) {
      const Slide& slide = at(linkage.slides, input.slide);
      input.origin = hole_of(linkage, slide.through) - turned(slide.angle_rad, hole_of(linkage, slide.hole));
      continue;
    }
    input.pinned_to.p_B = hole_of(linkage, input.known);
    input.pinned_B = hole_of(linkage, input.pinned);
  }
  for (TwoBarStep& step : plan.steps) {
    renumber(step.one, linkage);
    renumber(step.other, linkage);
    for (Laying& laying : step.lay) {
      laying.found_B = hole_of(linkage, laying.found);
      if (laying.keeps_angle) continue;
      laying.pinned_to.p_B = hole_of(linkage, laying.known);
      laying.pinned_B = hole_of(linkage, laying.pinned);
    }
  }
}

void put_body(Eigen::VectorXd& q, int body, double theta, const Vec2& p_B, const Vec2& p_C) {
  q.segment<3>(3 * body) << p_C - turned(theta, p_B), theta;
}

bool lay_down(const TwoBarPlan& plan, const std::vector<double>& inputs, unsigned sides, Eigen::VectorXd& q) {
  std::size_t next = 0;
  for (const TwoBarPlan::Move& move : plan.order) {
    if (move.is_input) {
      const TwoBarInput& input = at(plan.inputs, move.index);
      const double value = input.driven ? 0 : inputs[next++];
      if (input.slides)
        put_body(q, input.body, input.angle_rad, Vec2::Zero(), input.origin + value * input.along);
      else
        put_body(q, input.body, value, input.pinned_B, position(input.pinned_to, q));
      continue;
    }
    const TwoBarStep& step = at(plan.steps, move.index);
    Vec2 found;
    if (!meet(step.one, step.other, (sides >> move.index) & 1u, q, found)) return false;
    for (const Laying& laying : step.lay) {
      if (laying.keeps_angle) {
        put_body(q, laying.body, laying.angle_rad, laying.found_B, found);
        continue;
      }
      const Vec2 pinned = position(laying.pinned_to, q), arm_B = laying.found_B - laying.pinned_B, arm = found - pinned;
      const double theta = std::atan2(arm_B.x() * arm.y() - arm_B.y() * arm.x(), arm_B.dot(arm));
      put_body(q, laying.body, theta, laying.pinned_B, pinned);
    }
  }
  return true;
}

}  // namespace ridepitch
