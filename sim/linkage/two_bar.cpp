#include "linkage/two_bar.hpp"

#include <algorithm>
#include <cmath>

namespace ridepitch {
namespace {

// What a body hangs on among those already placed.
struct Anchor {
  Vec2 own_B;       // its own point
  BodyPoint known;  // where that point sits, or what it keeps its distance from
  double length_mm = 0;
  HoleRef own, other;
  int rod = -1;
};

struct Planner {
  const Mechanism& mechanism;
  const Linkage& linkage;
  std::vector<bool> known;  // bodies of the linkage, the chassis first
  TwoBarPlan plan;

  Vec2 own(HoleRef ref) const { return body_point(linkage, ref).p_B; }

  std::optional<Anchor> pinned(int body) const {
    for (const Pin& pin : linkage.pins)
      for (const HoleRef& mine : pin.holes)
        if (mine.body == body)
          for (const HoleRef& theirs : pin.holes)
            if (known[static_cast<std::size_t>(theirs.body)])
              return Anchor{own(mine), body_point(linkage, theirs), 0, mine, theirs};
    return std::nullopt;
  }

  std::optional<Anchor> rodded(int body) const {
    for (std::size_t i = 0; i < linkage.rods.size(); ++i) {
      const Rod& rod = linkage.rods[i];
      for (const auto& [mine, theirs] : {std::pair{rod.from, rod.to}, std::pair{rod.to, rod.from}})
        if (mine.body == body && known[static_cast<std::size_t>(theirs.body)])
          return Anchor{own(mine),
                        body_point(linkage, theirs),
                        std::sqrt(rod.length_mm * rod.length_mm - rod.across_mm * rod.across_mm),
                        mine,
                        theirs,
                        static_cast<int>(i)};
    }
    return std::nullopt;
  }

  const Slide* slide_of(int body) const {
    for (const Slide& slide : linkage.slides)
      if (slide.hole.body == body) return &slide;
    return nullptr;
  }

  bool driven(int body) const {
    if (!linkage.drive) return false;
    if (linkage.drive->slide) return linkage.slides[static_cast<std::size_t>(*linkage.drive->slide)].hole.body == body;
    if (!linkage.drive->pin) return false;
    const Pin& pin = linkage.pins[static_cast<std::size_t>(*linkage.drive->pin)];
    const auto turned = std::find_if(pin.holes.begin(), pin.holes.end(), [](HoleRef h) { return h.body != chassis; });
    return turned != pin.holes.end() && turned->body == body;
  }

  // About the known point of a pin, with a second hole of the pinned body.
  Locus circle(const Anchor& pin, HoleRef second) const {
    Locus locus;
    locus.centre = pin.known;
    locus.radius_mm = (own(second) - pin.own_B).norm();
    locus.centre_hole = pin.other;
    locus.arm = {pin.own, second};
    return locus;
  }
  static Locus circle(const Anchor& rod) {
    Locus locus;
    locus.centre = rod.known;
    locus.radius_mm = rod.length_mm;
    locus.centre_hole = rod.other;
    locus.rod = rod.rod;
    return locus;
  }

  // A point of a body that keeps its angle on a slide runs along a line parallel to it.
  Locus line_of(const Slide& slide, HoleRef running) const {
    const double c = std::cos(slide.angle_rad), s = std::sin(slide.angle_rad);
    const Vec2 arm = own(running) - own(slide.hole);
    Locus locus;
    locus.line = true;
    locus.origin = own(slide.through) + Vec2(c * arm.x() - s * arm.y(), s * arm.x() + c * arm.y());
    locus.along = slide.along;
    locus.slide = static_cast<int>(&slide - linkage.slides.data());
    locus.running = running;
    return locus;
  }

  Laying swung(int body, const Anchor& anchor, HoleRef found) const {
    return {.body = body - 1,
            .found_B = own(found),
            .keeps_angle = false,
            .angle_rad = 0,
            .pinned_to = anchor.known,
            .pinned_B = anchor.own_B,
            .found = found,
            .pinned = anchor.own,
            .known = anchor.other};
  }
  Laying slid(int body, const Slide& slide, HoleRef found) const {
    return {.body = body - 1,
            .found_B = own(found),
            .keeps_angle = true,
            .angle_rad = slide.angle_rad,
            .pinned_to = {},
            .pinned_B = Vec2::Zero(),
            .found = found,
            .pinned = {},
            .known = {}};
  }

  void add_step(const Locus& one, const Locus& other, std::vector<Laying> lay) {
    for (const Laying& laying : lay) known[static_cast<std::size_t>(laying.body) + 1] = true;
    plan.order.push_back({false, static_cast<int>(plan.steps.size())});
    plan.steps.push_back({one, other, std::move(lay)});
  }
  void add_input(TwoBarInput input) {
    known[static_cast<std::size_t>(input.body) + 1] = true;
    plan.order.push_back({true, static_cast<int>(plan.inputs.size())});
    plan.inputs.push_back(std::move(input));
  }

  // One body whose place follows: pinned and rodded, or on a slide and rodded or pinned.
  bool single(int body) {
    const Slide* slide = slide_of(body);
    const auto pin = pinned(body), rod = rodded(body);
    if (!slide && pin && rod && (rod->own_B - pin->own_B).norm() > 1e-9) {
      add_step(circle(*pin, rod->own), circle(*rod), {swung(body, *pin, rod->own)});
      return true;
    }
    if (slide && !slide->turns && rod && !pin) {
      add_step(line_of(*slide, rod->own), circle(*rod), {slid(body, *slide, rod->own)});
      return true;
    }
    if (slide && slide->turns && pin) {
      const Vec2 hole = own(slide->hole);
      if ((hole - pin->own_B).norm() < 1e-9) return false;
      add_step(line_of(*slide, slide->hole), circle(*pin, slide->hole), {swung(body, *pin, slide->hole)});
      return true;
    }
    return false;
  }

  // Two bodies that share a pin, each of them pinned to a known point or on a slide.
  bool pair(const HoleRef& x, const HoleRef& y) {
    const auto arm = [&](const HoleRef& ref, Locus& locus, Laying& laying) {
      const Vec2 shared = own(ref);
      if (const Slide* slide = slide_of(ref.body)) {
        if (slide->turns || pinned(ref.body)) return false;
        locus = line_of(*slide, ref);
        laying = slid(ref.body, *slide, ref);
        return true;
      }
      const auto pin = pinned(ref.body);
      if (!pin || (pin->own_B - shared).norm() < 1e-9) return false;
      locus = circle(*pin, ref);
      laying = swung(ref.body, *pin, ref);
      return true;
    };
    Locus one, other;
    Laying first, second;
    if (!arm(x, one, first) || !arm(y, other, second) || (one.line && other.line)) return false;
    if (other.line) std::swap(one, other);
    add_step(one, other, {first, second});
    return true;
  }

  bool some_group() {
    const int bodies = static_cast<int>(linkage.bodies.size());
    for (int b = 1; b < bodies; ++b)
      if (!known[static_cast<std::size_t>(b)] && single(b)) return true;
    for (const Pin& pin : linkage.pins)
      for (std::size_t i = 0; i < pin.holes.size(); ++i)
        for (std::size_t j = i + 1; j < pin.holes.size(); ++j)
          if (!known[static_cast<std::size_t>(pin.holes[i].body)] &&
              !known[static_cast<std::size_t>(pin.holes[j].body)] && pair(pin.holes[i], pin.holes[j]))
            return true;
    return false;
  }

  // A body that may be moved at will: the driven one first, then one that carries a wheel, then any.
  bool some_input(bool only_driven) {
    const int bodies = static_cast<int>(linkage.bodies.size());
    const auto carries_wheel = [&](int b) {
      return std::any_of(linkage.wheels.begin(), linkage.wheels.end(), [&](const Wheel& w) { return w.at.body == b; });
    };
    for (const bool wheels_only : {true, false})
      for (int b = 1; b < bodies; ++b) {
        if (known[static_cast<std::size_t>(b)] || (only_driven && !driven(b)) ||
            (!only_driven && wheels_only && !carries_wheel(b)))
          continue;
        const Slide* slide = slide_of(b);
        const auto pin = pinned(b);
        if (slide && !slide->turns && !pin) {
          // The body grid's origin where the slide's two holes meet.
          const double c = std::cos(slide->angle_rad), s = std::sin(slide->angle_rad);
          const Vec2 hole = own(slide->hole);
          add_input({.body = b - 1,
                     .slides = true,
                     .pinned_to = {},
                     .pinned_B = Vec2::Zero(),
                     .origin = own(slide->through) - Vec2(c * hole.x() - s * hole.y(), s * hole.x() + c * hole.y()),
                     .along = slide->along,
                     .angle_rad = slide->angle_rad,
                     .driven = driven(b),
                     .pinned = {},
                     .known = {},
                     .slide = static_cast<int>(slide - linkage.slides.data())});
          return true;
        }
        if (!slide && pin) {
          add_input({.body = b - 1,
                     .slides = false,
                     .pinned_to = pin->known,
                     .pinned_B = pin->own_B,
                     .origin = Vec2::Zero(),
                     .along = Vec2::UnitX(),
                     .angle_rad = 0,
                     .driven = driven(b),
                     .pinned = pin->own,
                     .known = pin->other});
          return true;
        }
      }
    return false;
  }
};

Vec2 place(const BodyPoint& point, const Eigen::VectorXd& q) {
  if (point.body == ground) return point.p_B;
  const Eigen::Index i = 3 * point.body;
  const double c = std::cos(q[i + 2]), s = std::sin(q[i + 2]);
  return {q[i] + c * point.p_B.x() - s * point.p_B.y(), q[i + 1] + s * point.p_B.x() + c * point.p_B.y()};
}

// Where a circle meets a circle or line; `side` chooses among the two. @returns false if they do not meet
bool meet(const Locus& one, const Locus& circle, bool side, const Eigen::VectorXd& q, Vec2& found) {
  const Vec2 centre = place(circle.centre, q);
  if (one.line) {
    const double along = one.along.dot(centre - one.origin);
    const Vec2 foot = one.origin + along * one.along;
    const double square = circle.radius_mm * circle.radius_mm - (centre - foot).squaredNorm();
    if (square < 0) return false;
    found = foot + (side ? 1 : -1) * std::sqrt(square) * one.along;
    return true;
  }
  const Vec2 first = place(one.centre, q), between = centre - first;
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

int TwoBarPlan::free_inputs() const {
  return static_cast<int>(std::count_if(inputs.begin(), inputs.end(), [](const TwoBarInput& i) { return !i.driven; }));
}

std::optional<TwoBarPlan> plan_two_bars(const Mechanism& mechanism) {
  const Linkage& linkage = *mechanism.linkage;
  Planner planner{
      .mechanism = mechanism, .linkage = linkage, .known = std::vector<bool>(linkage.bodies.size(), false), .plan = {}};
  planner.known[0] = true;
  // Each input and each group takes as many ties as it settles coordinates, or ties are left over: no plan.
  std::size_t settled = 0;
  while (planner.some_input(true) || planner.some_group() || planner.some_input(false)) {
  }
  if (std::find(planner.known.begin(), planner.known.end(), false) != planner.known.end()) return std::nullopt;
  for (const TwoBarInput& input : planner.plan.inputs) settled += input.driven ? 3 : 2;
  for (const TwoBarStep& step : planner.plan.steps) settled += 3 * step.lay.size();
  if (settled != mechanism.ties.size()) return std::nullopt;
  return std::move(planner.plan);
}

void put_body(Eigen::VectorXd& q, int body, double theta, const Vec2& p_B, const Vec2& p_C) {
  const double c = std::cos(theta), s = std::sin(theta);
  q[3 * body] = p_C.x() - (c * p_B.x() - s * p_B.y());
  q[3 * body + 1] = p_C.y() - (s * p_B.x() + c * p_B.y());
  q[3 * body + 2] = theta;
}

bool lay_down(const TwoBarPlan& plan, const std::vector<double>& inputs, unsigned sides, Eigen::VectorXd& q) {
  std::size_t next = 0;
  for (const TwoBarPlan::Move& move : plan.order) {
    if (move.is_input) {
      const TwoBarInput& input = plan.inputs[static_cast<std::size_t>(move.index)];
      const double value = input.driven ? 0 : inputs[next++];
      if (input.slides)
        put_body(q, input.body, input.angle_rad, Vec2::Zero(), input.origin + value * input.along);
      else
        put_body(q, input.body, value, input.pinned_B, place(input.pinned_to, q));
      continue;
    }
    const TwoBarStep& step = plan.steps[static_cast<std::size_t>(move.index)];
    Vec2 found;
    if (!meet(step.one, step.other, (sides >> move.index) & 1u, q, found)) return false;
    for (const Laying& laying : step.lay) {
      if (laying.keeps_angle) {
        put_body(q, laying.body, laying.angle_rad, laying.found_B, found);
        continue;
      }
      const Vec2 pinned = place(laying.pinned_to, q), arm_B = laying.found_B - laying.pinned_B, arm = found - pinned;
      const double theta = std::atan2(arm_B.x() * arm.y() - arm_B.y() * arm.x(), arm_B.dot(arm));
      put_body(q, laying.body, theta, laying.pinned_B, pinned);
    }
  }
  return true;
}

}  // namespace ridepitch
