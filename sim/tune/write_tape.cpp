#include "tune/write_tape.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "linkage/assemble.hpp"
#include "linkage/closure.hpp"
#include "linkage/two_bar.hpp"
#include "linkage/walk.hpp"
#include "model/index.hpp"
#include "model/on_vehicle.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {
namespace {

/// Numbers of a spring as its parameters have them: rate, preload, free length, solid length, count.
using SpringNumbers = std::array<double, 5>;
constexpr int solid_after = 3, free_after = 2;  // those of them that stops need

std::optional<SpringNumbers> spring_numbers(const Spring& spring) {
  const ForceLaw law = force_law(spring.data);
  if (turned_bodies(spring.data) || has_table(law)) return std::nullopt;
  return SpringNumbers{law.rate_n_per_mm, law.preload_n, law.free_mm, law.solid_mm, double(spring.count)};
}

// Parameters of a linkage are laid out as the linkage lists its things: holes, rods, springs.

int hole_parameter(const Linkage& linkage, HoleRef ref) {
  int before = 0;
  for (int b = 0; b < ref.body; ++b) before += static_cast<int>(at(linkage.bodies, b).holes.size());
  return 2 * (before + ref.hole);
}

int rod_parameter(const Linkage& linkage, int rod) {
  return hole_parameter(linkage, {static_cast<int>(linkage.bodies.size()), 0}) + rod;
}

int spring_parameter(const Linkage& linkage, int spring) {
  return rod_parameter(linkage, static_cast<int>(linkage.rods.size())) +
         static_cast<int>(SpringNumbers{}.size()) * spring;
}

/// A linkage on its way to the tape.
struct LinkageWriter {
  const Linkage& linkage;
  TapeLinkage& tape;
  std::string why_not = {};  ///< the first thing that the closed form does not cover; empty: it covers all
};

void refuse(LinkageWriter& to, std::string why) {
  if (to.why_not.empty()) to.why_not = "linkage '" + to.linkage.name + "': " + std::move(why);
}

/// The next place of a list on the tape; null where it is full.
template <class Item, int most>
Item* next_place(LinkageWriter& to, Item (&list)[most], int& count, const char* things) {
  if (count < most) return &list[count++];
  refuse(to, std::string("it has many ") + things);
  return nullptr;
}

/// Index of a point; -1 where there is no place for it, which is found in the end.
int point(LinkageWriter& to, HoleRef ref) {
  TapeLinkage& tape = to.tape;
  const TapePoint wanted{ref.body - 1, hole_parameter(to.linkage, ref)};
  for (int i = 0; i < tape.points; ++i)
    if (tape.point[i].at == wanted.at) return i;
  if (tape.points == tape_points) return -1;
  tape.point[tape.points] = wanted;
  return tape.points++;
}

void copy_along(const Slide& slide, double (&along)[2]) { std::copy_n(slide.along.data(), 2, along); }

/// Direction and angle of a slide. @param out  a locus or the input
void write_slide(const Slide& slide, auto& out) {
  out.cos = std::cos(slide.angle_rad);
  out.sin = std::sin(slide.angle_rad);
  copy_along(slide, out.along);
}

TapeLocus locus(LinkageWriter& to, const Locus& from) {
  TapeLocus out;
  out.line = from.line;
  if (from.line) {
    const Slide& slide = at(to.linkage.slides, from.slide);
    out.through = hole_parameter(to.linkage, slide.through);
    out.hole = hole_parameter(to.linkage, slide.hole);
    out.running = hole_parameter(to.linkage, from.running);
    write_slide(slide, out);
    return out;
  }
  out.centre = point(to, from.centre_hole);
  if (from.rod >= 0) {
    out.rod = rod_parameter(to.linkage, from.rod);
    out.across_mm = at(to.linkage.rods, from.rod).across_mm;
  } else {
    for (int end : {0, 1}) out.arm[end] = hole_parameter(to.linkage, at(from.arm, end));
  }
  return out;
}

TapeLaying laying(LinkageWriter& to, const Laying& from) {
  TapeLaying out;
  out.body = from.body;
  out.keeps_angle = from.keeps_angle;
  out.cos = std::cos(from.angle_rad);
  out.sin = std::sin(from.angle_rad);
  out.found = hole_parameter(to.linkage, from.found);
  if (from.keeps_angle) return out;
  out.pinned = hole_parameter(to.linkage, from.pinned);
  out.known = point(to, from.known);
  return out;
}

void write_input(LinkageWriter& to, const TwoBarInput& from) {
  TapeInput& out = to.tape.input;
  out.body = from.body;
  out.slides = from.slides;
  HoleRef pinned = from.pinned, known = from.known;
  if (from.slides) {
    const Slide& slide = at(to.linkage.slides, from.slide);
    write_slide(slide, out);
    pinned = slide.hole;
    known = slide.through;
  }
  out.pinned = hole_parameter(to.linkage, pinned);
  out.known = point(to, known);
}

void write_plan(LinkageWriter& to, const TwoBarPlan& from) {
  if (from.inputs.size() != 1 || from.inputs[0].driven) return refuse(to, "it does not have just one freedom");
  if (from.order.empty() || !from.order[0].is_input || count(from.steps) > tape_steps)
    return refuse(to, "its groups are too many or come in an order that is not covered");
  write_input(to, from.inputs[0]);
  for (const TwoBarStep& step : from.steps) {
    TapeStep& out = to.tape.step[to.tape.steps++];
    out.one = locus(to, step.one);
    out.other = locus(to, step.other);
    for (const Laying& each : step.lay) out.lay[out.lays++] = laying(to, each);
  }
}

/// A stop between two points, its bound a number or, where `bound_at` is not -1, a parameter.
TapeStop* write_stop(LinkageWriter& to, int p, int q, int bound_at, double bound, double side) {
  TapeStop* out = next_place(to, to.tape.stop, to.tape.stops, "stops");
  if (!out) return nullptr;
  out->p = p;
  out->q = q;
  out->bound_at = bound_at;
  out->bound = bound;
  out->side = side;
  return out;
}

void write_springs(LinkageWriter& to) {
  for (std::size_t i = 0; i < to.linkage.springs.size(); ++i) {
    const Spring& spring = to.linkage.springs[i];
    if (!spring_numbers(spring)) return refuse(to, "spring '" + spring.name + "' turns, or has a table");
    const int index = to.tape.springs;
    TapeSpring* out = next_place(to, to.tape.spring, to.tape.springs, "springs");
    if (!out) return;
    *out = {.p = point(to, spring.from),
            .q = point(to, spring.to),
            .across_mm = spring.across_mm,
            .band = force_law(spring.data).pulls,
            .law = spring_parameter(to.linkage, static_cast<int>(i))};
    if (out->band) continue;
    for (const bool solid : {true, false}) {
      TapeStop* stop =
          write_stop(to, out->p, out->q, out->law + (solid ? solid_after : free_after), 0, solid ? +1 : -1);
      if (!stop) return;
      stop->across_mm = spring.across_mm;
      stop->spring = index;
    }
    to.tape.coil[to.tape.coils++] = {out->p, out->q, spring.across_mm, spring.from.body != chassis,
                                     spring.to.body != chassis};
  }
}

void write_limits(LinkageWriter& to) {
  for (const Limit& limit : to.linkage.limits) {
    const int p = point(to, limit.from), q = point(to, limit.to);
    for (const bool least : {true, false}) {
      const std::optional<double>& bound = least ? limit.min_mm : limit.max_mm;
      TapeStop* stop = bound ? write_stop(to, p, q, -1, *bound, least ? +1 : -1) : nullptr;
      if (stop) stop->across_mm = limit.across_mm;
    }
  }
  for (const Slide& slide : to.linkage.slides) {
    if (!slide.stroke_mm) continue;
    const int p = point(to, slide.through), q = point(to, slide.hole);
    for (const int end : {0, 1}) {
      TapeStop* stop = write_stop(to, p, q, -1, at((*slide.stroke_mm), end), end == 0 ? +1 : -1);
      if (!stop) return;
      stop->slide = true;
      copy_along(slide, stop->along);
    }
  }
}

void write_rods(LinkageWriter& to) {
  for (const Rod& rod : to.linkage.rods) {
    if (rod.from.body == chassis || rod.to.body == chassis) continue;
    TapeRod* out = next_place(to, to.tape.rod, to.tape.rods, "rods");
    if (!out) return;
    *out = {point(to, rod.from), point(to, rod.to), rod.across_mm, true, true};
  }
}

void write_hints(LinkageWriter& to) {
  const TapeInput& input = to.tape.input;
  for (std::size_t b = 1; b < to.linkage.bodies.size(); ++b)
    for (const Near& near : to.linkage.bodies[b].near) {
      const HoleRef ref{static_cast<int>(b), near.hole};
      const int index = to.tape.hints;
      TapeHint* out = next_place(to, to.tape.hint, to.tape.hints, "hints");
      if (!out) return;
      if (ref.body - 1 == input.body && hole_parameter(to.linkage, ref) != input.pinned && to.tape.input_hint < 0)
        to.tape.input_hint = index;
      *out = {point(to, ref), {near.p_C.x(), near.p_C.y()}};
    }
}

void write_parameters(LinkageWriter& to) {
  double* next = to.tape.parameter;
  for (const Body& body : to.linkage.bodies)
    for (const Hole& hole : body.holes) next = std::copy_n(hole.p_B.data(), 2, next);
  for (const Rod& rod : to.linkage.rods) *next++ = rod.length_mm;
  for (const Spring& spring : to.linkage.springs) {
    const SpringNumbers numbers = *spring_numbers(spring);
    next = std::copy(numbers.begin(), numbers.end(), next);
  }
}

/// Where the input stands and which sides its groups took, read off the linkage as it is put together.
void write_start(LinkageWriter& to, const TwoBarPlan& plan, const Eigen::VectorXd& q) {
  constexpr double same_place_mm = 1e-3;
  const TwoBarInput& input = plan.inputs[0];
  const Eigen::Index i = 3 * input.body;
  const double value = input.slides ? input.along.dot(Vec2(q[i], q[i + 1]) - input.origin) : q[i + 2];
  to.tape.start[0] = input.slides ? value : std::cos(value);
  to.tape.start[1] = input.slides ? 0 : std::sin(value);
  double nearest = 1e300;
  Eigen::VectorXd laid = q;
  for (unsigned sides = 0; sides < 1u << plan.steps.size(); ++sides) {
    if (!lay_down(plan, {value}, sides, laid)) continue;
    const double far = farthest_hole(to.linkage, q, laid);
    if (far >= nearest) continue;
    nearest = far;
    to.tape.sides = sides;
  }
  if (!(nearest < same_place_mm)) refuse(to, "its plan does not lead where it was put together");
}

/// Told of a wheel on the input body; of another one the kernels find it out.
double sense_that_raises_the_wheel(const LinkageWriter& to, const TwoBarInput& input) {
  const HoleRef wheel = to.linkage.wheels[0].at;
  if (input.slides || wheel.body - 1 != input.body) return 1;
  const Vec2 arm = at(at(to.linkage.bodies, wheel.body).holes, wheel.hole).p_B - input.pinned_B;
  return to.tape.start[0] * arm.x() - to.tape.start[1] * arm.y() < 0 ? -1 : 1;
}

/// Inputs spread as far as the general search looks: all the way round or, sliding, four times the longest arm, or the
/// farthest hole of the chassis.
void write_grid(LinkageWriter& to, double size_mm) {
  const bool slides = to.tape.input.slides;
  double spread_mm = size_mm;
  for (const Hole& hole : to.linkage.bodies[chassis].holes) spread_mm = std::max(spread_mm, hole.p_B.norm());
  const double reach = slides ? 4 * spread_mm : std::numbers::pi;
  for (int k = 0; k < tape_grid; ++k) {
    const double value = (2 * (k + 0.5) / tape_grid - 1) * reach;
    to.tape.grid[k][0] = slides ? value : std::cos(value);
    to.tape.grid[k][1] = slides ? 0 : std::sin(value);
  }
  to.tape.grid_step = 2 * reach / tape_grid;
}

Eigen::VectorXd coordinates_of(const std::vector<Pose>& poses, Eigen::Index bodies) {
  Eigen::VectorXd q(3 * bodies);
  for (Eigen::Index b = 0; b < bodies; ++b) {
    const Pose& pose = poses[static_cast<std::size_t>(b) + 1];
    q.segment<3>(3 * b) << pose.p_CB, pose.theta_rad;
  }
  return q;
}

/// @returns why the closed form does not cover the linkage; empty: it does
std::string write_linkage(const Linkage& linkage, const std::vector<Pose>& poses, double module_mm, TapeLinkage& tape) {
  LinkageWriter to{linkage, tape};
  const Mechanism mechanism = make_mechanism(linkage);
  if (linkage.wheels.size() != 1 || linkage.wheels[0].at.body == chassis)
    refuse(to, "it does not have just one wheel that moves");
  if (linkage.drive) refuse(to, "it has a drive");
  if (spring_parameter(linkage, static_cast<int>(linkage.springs.size())) > tape_parameters ||
      mechanism.bodies > tape_bodies)
    refuse(to, "it is large");
  const auto plan = plan_two_bars(mechanism);
  if (!plan) refuse(to, "it does not fall apart into groups of two bars");
  if (!to.why_not.empty()) return to.why_not;
  write_plan(to, *plan);
  write_springs(to);
  write_limits(to);
  write_rods(to);
  write_hints(to);
  tape.wheel = point(to, linkage.wheels[0].at);
  if (tape.points == tape_points) refuse(to, "it is large");
  if (!to.why_not.empty()) return to.why_not;
  write_parameters(to);
  write_grid(to, mechanism.size_mm);
  tape.module_mm = module_mm;
  tape.size_mm = mechanism.size_mm;
  tape.front = linkage.plane == Plane::front;
  write_start(to, *plan, coordinates_of(poses, mechanism.bodies));
  tape.rise = sense_that_raises_the_wheel(to, plan->inputs[0]);
  return to.why_not;
}

/// What the scale read under a corner's wheel [N], each reading shared equally by its wheels.
double reading_under(const Model& model, int corner) {
  for (const Weighed& reading : model.weighed)
    for (const WheelRef& wheel : reading.wheels)
      if (wheel.corner == corner) return reading.kg * gravity_m_per_s2 / static_cast<double>(reading.wheels.size());
  return 0;
}

}  // namespace

bool are_each_others_image(const Model& model, int a, int b) {
  const Corner &one = at(model.corners, a), &two = at(model.corners, b);
  const bool front = at(model.linkages, one.linkage).plane == Plane::front;
  return one.linkage == two.linkage && one.at_mm.x() == two.at_mm.x() && one.at_mm.y() == -two.at_mm.y() &&
         one.at_mm.z() == two.at_mm.z() && (one.flip == two.flip) != front && one.unsprung_kg == two.unsprung_kg &&
         one.load_n == two.load_n && reading_under(model, a) == reading_under(model, b);
}

namespace {

/// Partner of every corner: its mirror image, itself in the middle; empty where left and right differ.
std::vector<int> mirror_images(const Model& model, const std::vector<int>& sprung, const Vec3& cg_mm) {
  std::vector<int> partner(model.corners.size(), -1);
  if (std::abs(cg_mm.y()) > 1e-9) return {};
  for (const int a : sprung) {
    if (at(partner, a) >= 0) continue;
    const bool side = at(model.linkages, at(model.corners, a).linkage).plane == Plane::side;
    if (at(model.corners, a).at_mm.y() == 0 && side) at(partner, a) = a;
    for (const int b : sprung)
      if (at(partner, a) < 0 && b != a && at(partner, b) < 0 && are_each_others_image(model, a, b)) {
        at(partner, a) = b;
        at(partner, b) = a;
      }
    if (at(partner, a) < 0) return {};
  }
  return partner;
}

std::vector<int> corners_on_the_ground(const Model& model) {
  std::vector<int> corners;
  for (int c = 0; c < count(model.corners); ++c)
    if (at(model.linkages, at(model.corners, c).linkage).plane != Plane::top) corners.push_back(c);
  return corners;
}

/// Bars do nothing where left and right do the same and they are unloaded then.
bool bars_idle(const Model& model, const std::vector<int>& partner) {
  return std::all_of(model.bars.begin(), model.bars.end(), [&](const Bar& bar) {
    return bar.free_rad == 0 && bar.ends[0].body == bar.ends[1].body &&
           at(partner, bar.ends[0].corner) == bar.ends[1].corner;
  });
}

TapeStation write_station(const Model& model, const WrittenTape& written, int corner) {
  const Corner& from = at(model.corners, corner);
  const Tyre& tyre = at(model.linkages, from.linkage).wheels[0].tyre;
  TapeStation out;
  out.linkage = at(written.linkage, from.linkage);
  out.u_sign = u_sign(from);
  for (int k = 0; k < 3; ++k) out.at_mm[k] = from.at_mm[k];
  out.at_mm[1] += outward(from) * at(model.linkages, from.linkage).wheels[0].out_mm;
  out.wheels = 1;
  out.radius_mm = tyre.diameter_mm / 2;
  out.inverse_tyre_rate = tyre.rate_n_per_mm ? 1 / *tyre.rate_n_per_mm : 0;
  out.weight_n = (tyre.mass_g / 1000 + from.unsprung_kg) * gravity_m_per_s2;
  out.load_n = from.load_n.value_or(0);
  out.reading_n = reading_under(model, corner);
  return out;
}

}  // namespace

bool stands_upright(const Model& model) {
  const std::vector<int> partner = mirror_images(model, corners_on_the_ground(model), sum_masses(model).cg_mm);
  return !partner.empty() && bars_idle(model, partner);
}

std::optional<WrittenTape> write_tape(const Model& model, const Solution& as_it_stands, std::string& why_not) {
  WrittenTape written;
  Tape& tape = written.tape;
  const auto refuse_all = [&](std::string why) {
    why_not = std::move(why);
    return std::nullopt;
  };
  written.linkage.assign(model.linkages.size(), -1);
  written.station.assign(model.corners.size(), -1);
  const std::vector<int> sprung = corners_on_the_ground(model);
  for (const int c : sprung) {
    const int l = at(model.corners, c).linkage;
    if (at(written.linkage, l) >= 0) continue;
    if (tape.linkages == tape_linkages) return refuse_all("the vehicle has many linkages");
    std::string why = write_linkage(at(model.linkages, l), at(as_it_stands.corners, c).poses, model.module_mm,
                                    tape.linkage[tape.linkages]);
    if (!why.empty()) return refuse_all(std::move(why));
    at(written.linkage, l) = tape.linkages++;
  }
  const SprungMass sprung_mass = sum_masses(model);
  const std::vector<int> partner = model.bench ? std::vector<int>{} : mirror_images(model, sprung, sprung_mass.cg_mm);
  const bool alike = !partner.empty();
  if (!model.bars.empty() && (!alike || !bars_idle(model, partner)))
    return refuse_all("an anti-roll bar couples left and right");
  if (!model.weighed.empty() && !alike) return refuse_all("left and right were weighed, and differ");
  for (const int c : sprung) {
    if (alike && at(partner, c) < c) {
      at(written.station, c) = at(written.station, at(partner, c));
      tape.station[at(written.station, c)].wheels = 2;
      continue;
    }
    if (tape.stations == tape_stations) return refuse_all("the vehicle has many wheels");
    at(written.station, c) = tape.stations;
    tape.station[tape.stations++] = write_station(model, written, c);
  }
  tape.stand = model.bench ? tape_bench : alike && tape.stations == 2 ? tape_two_axles : tape_many;
  tape.rolls = !model.bench && !alike;
  tape.weighed = !model.weighed.empty();
  tape.weight_n = sprung_mass.kg * gravity_m_per_s2;
  std::copy_n(sprung_mass.cg_mm.data(), 3, tape.cg_mm);
  if (!as_it_stands.vehicle) return written;
  const double pitch = as_it_stands.vehicle->pitch_deg * std::numbers::pi / 180;
  tape.start_pitch[0] = std::cos(pitch);
  tape.start_pitch[1] = std::sin(pitch);
  // First guesses start from the loads of the model as it stands.
  if (!tape.weighed)
    for (const int c : sprung)
      tape.station[at(written.station, c)].reading_n = at(as_it_stands.corners, c).wheels[0].ground_load_n.value_or(0);
  return written;
}

std::optional<std::vector<TapeSetting>> settings(const WrittenTape& written, const Model& model, const Change& change) {
  std::vector<TapeSetting> out;
  const auto set = [&](int linkage, int parameter, const auto& values) {
    const int l = at(written.linkage, linkage);
    if (l < 0) return;
    for (const double value : values) out.push_back({l * tape_parameters + parameter++, value});
  };
  if (const auto* move = std::get_if<MoveHole>(&change)) {
    set(move->linkage, hole_parameter(at(model.linkages, move->linkage), {move->body, move->hole}), move->to_B_mm);
  } else if (const auto* rod = std::get_if<SetLength>(&change)) {
    set(rod->linkage, rod_parameter(at(model.linkages, rod->linkage), rod->rod), std::array{rod->length_mm});
  } else if (const auto* chosen = std::get_if<SetSpring>(&change)) {
    const auto spring_of = [&](const Model& of) {
      return at(at(of.linkages, chosen->linkage).springs, chosen->spring);
    };
    const Spring after = spring_of(changed(model, {change}));
    const auto numbers = spring_numbers(after);
    if (!numbers || spring_of(model).data.index() != after.data.index()) return std::nullopt;
    set(chosen->linkage, spring_parameter(at(model.linkages, chosen->linkage), chosen->spring), *numbers);
  } else if (!std::holds_alternative<SetPart>(change)) {  // what a body is made of moves no hole
    return std::nullopt;
  }
  return out;
}

}  // namespace ridepitch
