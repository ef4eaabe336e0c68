#include "tune/write_tape.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "linkage/assemble.hpp"
#include "linkage/closure.hpp"
#include "linkage/two_bar.hpp"
#include "model/on_vehicle.hpp"
#include "ride/vehicle.hpp"

namespace ridepitch {
namespace {

std::size_t at(int index) { return static_cast<std::size_t>(index); }

/// Numbers of a spring as its parameters have them: rate, preload, free length, solid length, count.
using SpringNumbers = std::array<double, 5>;

std::optional<SpringNumbers> spring_numbers(const SpringData& spring, int count) {
  const ForceLaw law = force_law(spring);
  if (turned_bodies(spring) || has_table(law)) return std::nullopt;
  return SpringNumbers{law.rate_n_per_mm, law.preload_n, law.free_mm, law.solid_mm, double(count)};
}

/// Parameters of a linkage are laid out as the linkage lists its things: holes, rods, springs.
struct Layout {
  const Linkage& linkage;

  int hole(HoleRef ref) const {
    int before = 0;
    for (int b = 0; b < ref.body; ++b) before += static_cast<int>(linkage.bodies[at(b)].holes.size());
    return 2 * (before + ref.hole);
  }
  int rod(int index) const { return hole({static_cast<int>(linkage.bodies.size()), 0}) + index; }
  int spring(int index) const { return rod(static_cast<int>(linkage.rods.size())) + 5 * index; }
  int count() const { return spring(static_cast<int>(linkage.springs.size())); }
};

struct Writer {
  const Linkage& linkage;
  Layout layout;
  TapeLinkage& tape;
  std::string& why_not;

  bool refuse(std::string why) const {
    why_not = "linkage '" + linkage.name + "': " + std::move(why);
    return false;
  }

  int point(HoleRef ref) {
    const TapePoint wanted{ref.body - 1, layout.hole(ref)};
    for (int i = 0; i < tape.points; ++i)
      if (tape.point[i].at == wanted.at) return i;
    if (tape.points == tape_points) return -1;
    tape.point[tape.points] = wanted;
    return tape.points++;
  }

  TapeLocus locus(const Locus& from) {
    TapeLocus out;
    out.line = from.line;
    if (from.line) {
      const Slide& slide = linkage.slides[at(from.slide)];
      out.through = layout.hole(slide.through);
      out.hole = layout.hole(slide.hole);
      out.running = layout.hole(from.running);
      out.cos = std::cos(slide.angle_rad);
      out.sin = std::sin(slide.angle_rad);
      out.along[0] = slide.along.x();
      out.along[1] = slide.along.y();
      return out;
    }
    out.centre = point(from.centre_hole);
    if (from.rod >= 0) {
      out.rod = layout.rod(from.rod);
      out.across_mm = linkage.rods[at(from.rod)].across_mm;
    } else {
      out.arm[0] = layout.hole(from.arm[0]);
      out.arm[1] = layout.hole(from.arm[1]);
    }
    return out;
  }

  TapeLaying laying(const Laying& from) {
    TapeLaying out;
    out.body = from.body;
    out.keeps_angle = from.keeps_angle;
    out.cos = std::cos(from.angle_rad);
    out.sin = std::sin(from.angle_rad);
    out.found = layout.hole(from.found);
    if (!from.keeps_angle) {
      out.pinned = layout.hole(from.pinned);
      out.known = point(from.known);
    }
    return out;
  }

  void input(const TwoBarInput& from) {
    TapeInput& out = tape.input;
    out.body = from.body;
    out.slides = from.slides;
    if (from.slides) {
      const Slide& slide = linkage.slides[at(from.slide)];
      out.cos = std::cos(slide.angle_rad);
      out.sin = std::sin(slide.angle_rad);
      out.along[0] = slide.along.x();
      out.along[1] = slide.along.y();
      out.pinned = layout.hole(slide.hole);
      out.known = point(slide.through);
    } else {
      out.pinned = layout.hole(from.pinned);
      out.known = point(from.known);
    }
  }

  bool plan(const TwoBarPlan& from) {
    if (from.inputs.size() != 1 || from.inputs[0].driven) return refuse("it does not have just one freedom");
    if (from.order.empty() || !from.order[0].is_input || from.steps.size() > at(tape_steps))
      return refuse("its groups are too many or come in an order that is not covered");
    input(from.inputs[0]);
    for (const TwoBarStep& step : from.steps) {
      TapeStep& out = tape.step[tape.steps++];
      out.one = locus(step.one);
      out.other = locus(step.other);
      out.lays = static_cast<int>(step.lay.size());
      for (std::size_t i = 0; i < step.lay.size(); ++i) out.lay[i] = laying(step.lay[i]);
    }
    return true;
  }

  bool springs() {
    for (std::size_t i = 0; i < linkage.springs.size(); ++i) {
      const Spring& spring = linkage.springs[i];
      const auto numbers = spring_numbers(spring.data, spring.count);
      if (!numbers) return refuse("spring '" + spring.name + "' turns, or has a table");
      if (tape.springs == tape_springs) return refuse("it has many springs");
      TapeSpring& out = tape.spring[tape.springs++];
      out.p = point(spring.from);
      out.q = point(spring.to);
      out.across_mm = spring.across_mm;
      out.band = force_law(spring.data).pulls;
      out.law = layout.spring(static_cast<int>(i));
      if (out.band) continue;
      for (const bool solid : {true, false}) {
        if (!stop({out.p, out.q, spring.across_mm}, out.law + (solid ? 3 : 2), 0, solid ? +1 : -1)) return false;
        tape.stop[tape.stops - 1].spring = tape.springs - 1;
      }
      tape.coil[tape.coils++] = {out.p, out.q, spring.across_mm, spring.from.body != chassis,
                                 spring.to.body != chassis};
    }
    return true;
  }

  struct Between {
    int p, q;
    double across_mm;
  };

  bool stop(const Between& between, int bound_at, double bound, double side) {
    if (tape.stops == tape_stops) return refuse("it has many stops");
    TapeStop& out = tape.stop[tape.stops++];
    out.p = between.p;
    out.q = between.q;
    out.across_mm = between.across_mm;
    out.bound_at = bound_at;
    out.bound = bound;
    out.side = side;
    return true;
  }

  bool limits() {
    for (const Limit& limit : linkage.limits) {
      const Between between{point(limit.from), point(limit.to), limit.across_mm};
      if (limit.min_mm && !stop(between, -1, *limit.min_mm, +1)) return false;
      if (limit.max_mm && !stop(between, -1, *limit.max_mm, -1)) return false;
    }
    for (const Slide& slide : linkage.slides) {
      if (!slide.stroke_mm) continue;
      for (const int end : {0, 1}) {
        if (!stop({point(slide.through), point(slide.hole), 0}, -1, (*slide.stroke_mm)[at(end)], end == 0 ? +1 : -1))
          return false;
        TapeStop& made = tape.stop[tape.stops - 1];
        made.slide = true;
        made.along[0] = slide.along.x();
        made.along[1] = slide.along.y();
      }
    }
    return true;
  }

  bool hints() {
    for (std::size_t b = 1; b < linkage.bodies.size(); ++b)
      for (const Near& near : linkage.bodies[b].near) {
        if (tape.hints == tape_hints) return refuse("it has many hints");
        const HoleRef ref{static_cast<int>(b), near.hole};
        if (ref.body - 1 == tape.input.body && layout.hole(ref) != tape.input.pinned && tape.input_hint < 0)
          tape.input_hint = tape.hints;
        tape.hint[tape.hints++] = {point(ref), {near.p_C.x(), near.p_C.y()}};
      }
    return true;
  }

  bool rods() {
    for (const Rod& rod : linkage.rods) {
      if (rod.from.body == chassis || rod.to.body == chassis) continue;
      if (tape.rods == tape_rods) return refuse("it has many rods");
      tape.rod[tape.rods++] = {point(rod.from), point(rod.to), rod.across_mm, true, true};
    }
    return true;
  }

  void numbers(double module_mm, double size_mm) {
    for (std::size_t b = 0; b < linkage.bodies.size(); ++b)
      for (std::size_t h = 0; h < linkage.bodies[b].holes.size(); ++h) {
        const Vec2& p = linkage.bodies[b].holes[h].p_B;
        const int k = layout.hole({static_cast<int>(b), static_cast<int>(h)});
        tape.parameter[k] = p.x();
        tape.parameter[k + 1] = p.y();
      }
    for (std::size_t i = 0; i < linkage.rods.size(); ++i)
      tape.parameter[layout.rod(static_cast<int>(i))] = linkage.rods[i].length_mm;
    for (std::size_t i = 0; i < linkage.springs.size(); ++i) {
      const SpringNumbers numbers = *spring_numbers(linkage.springs[i].data, linkage.springs[i].count);
      std::copy(numbers.begin(), numbers.end(), tape.parameter + layout.spring(static_cast<int>(i)));
    }
    tape.module_mm = module_mm;
    tape.size_mm = size_mm;
    tape.front = linkage.plane == Plane::front;
  }

  // Where the input stands and which sides its groups took, read off the linkage as it is put together.
  bool start(const TwoBarPlan& plan, const Mechanism& mechanism, const Eigen::VectorXd& q) {
    const TwoBarInput& input = plan.inputs[0];
    const Eigen::Index i = 3 * input.body;
    double value = q[i + 2];
    if (input.slides) value = input.along.dot(Vec2(q[i], q[i + 1]) - input.origin);
    tape.start[0] = input.slides ? value : std::cos(value);
    tape.start[1] = input.slides ? 0 : std::sin(value);
    double nearest = 1e300;
    Eigen::VectorXd laid = q;
    std::vector<Turn> turns(at(mechanism.bodies)), laid_turns(at(mechanism.bodies));
    set_turns(q, turns);
    for (unsigned sides = 0; sides < 1u << plan.steps.size(); ++sides) {
      if (!lay_down(plan, {value}, sides, laid)) continue;
      set_turns(laid, laid_turns);
      double far = 0;
      for (std::size_t b = 1; b < linkage.bodies.size(); ++b)
        for (const Hole& hole : linkage.bodies[b].holes) {
          const BodyPoint p{static_cast<int>(b) - 1, hole.p_B};
          far = std::max(far, (position(p, q, turns) - position(p, laid, laid_turns)).norm());
        }
      if (far < nearest) {
        nearest = far;
        tape.sides = sides;
      }
    }
    return nearest < 1e-3 || refuse("its plan does not lead where it was put together");
  }

  // Told of a wheel on the input body; of another one the kernels find it out.
  double sense_that_raises_the_wheel(const TwoBarInput& input) const {
    const HoleRef wheel = linkage.wheels[0].at;
    if (input.slides || wheel.body - 1 != input.body) return 1;
    const Vec2 arm = linkage.bodies[at(wheel.body)].holes[at(wheel.hole)].p_B - input.pinned_B;
    return tape.start[0] * arm.x() - tape.start[1] * arm.y() < 0 ? -1 : 1;
  }

  void grid(double reach_mm) {
    for (int k = 0; k < tape_grid; ++k) {
      const double share = 2 * (k + 0.5) / tape_grid - 1;
      tape.grid[k][0] = tape.input.slides ? share * reach_mm : std::cos(share * std::numbers::pi);
      tape.grid[k][1] = tape.input.slides ? 0 : std::sin(share * std::numbers::pi);
    }
    tape.grid_step = (tape.input.slides ? 2 * reach_mm : 2 * std::numbers::pi) / tape_grid;
  }
};

// As far as the general search looks: four times the longest arm, or the farthest hole of the chassis.
double reach_of(const Linkage& linkage, double size_mm) {
  double spread = size_mm;
  for (const Hole& hole : linkage.bodies[chassis].holes) spread = std::max(spread, hole.p_B.norm());
  return 4 * spread;
}

bool write_linkage(const Linkage& linkage, const Solution& solution, int corner, double module_mm, TapeLinkage& tape,
                   std::string& why_not) {
  Writer writer{linkage, {linkage}, tape, why_not};
  const Mechanism mechanism = make_mechanism(linkage);
  if (linkage.wheels.size() != 1 || linkage.wheels[0].at.body == chassis)
    return writer.refuse("it does not have just one wheel that moves");
  if (linkage.drive) return writer.refuse("it has a drive");
  if (writer.layout.count() > tape_parameters || mechanism.bodies > tape_bodies) return writer.refuse("it is large");
  const auto plan = plan_two_bars(mechanism);
  if (!plan) return writer.refuse("it does not fall apart into groups of two bars");
  if (!writer.plan(*plan) || !writer.springs() || !writer.limits() || !writer.rods() || !writer.hints()) return false;
  tape.wheel = writer.point(linkage.wheels[0].at);
  for (int i = 0; i < tape.points; ++i)
    if (tape.point[i].at < 0) return writer.refuse("it is large");
  if (tape.points == tape_points) return writer.refuse("it is large");
  writer.numbers(module_mm, mechanism.size_mm);
  writer.grid(reach_of(linkage, mechanism.size_mm));
  const std::vector<Pose>& poses = solution.corners[at(corner)].poses;
  Eigen::VectorXd q(mechanism.coordinates());
  for (Eigen::Index b = 0; b < mechanism.bodies; ++b)
    q.segment<3>(3 * b) << poses[static_cast<std::size_t>(b) + 1].p_CB,
        poses[static_cast<std::size_t>(b) + 1].theta_rad;
  if (!writer.start(*plan, mechanism, q)) return false;
  tape.rise = writer.sense_that_raises_the_wheel(plan->inputs[0]);
  return true;
}

/// What the scale read under a corner's wheel [N], each reading shared equally by its wheels.
double reading_under(const Model& model, int corner) {
  for (const Weighed& reading : model.weighed)
    for (const WheelRef& wheel : reading.wheels)
      if (wheel.corner == corner) return reading.kg * gravity_m_per_s2 / static_cast<double>(reading.wheels.size());
  return 0;
}

bool are_mirror_images(const Model& model, int a, int b) {
  const Corner &one = model.corners[at(a)], &two = model.corners[at(b)];
  const bool front = model.linkages[at(one.linkage)].plane == Plane::front;
  return one.linkage == two.linkage && one.at_mm.x() == two.at_mm.x() && one.at_mm.y() == -two.at_mm.y() &&
         one.at_mm.z() == two.at_mm.z() && (one.flip == two.flip) != front && one.unsprung_kg == two.unsprung_kg &&
         one.load_n == two.load_n && reading_under(model, a) == reading_under(model, b);
}

/// Partner of every corner: its mirror image, itself in the middle; empty where left and right differ.
std::vector<int> mirror_images(const Model& model, const std::vector<int>& sprung, const Vec3& cg_mm) {
  std::vector<int> partner(model.corners.size(), -1);
  if (std::abs(cg_mm.y()) > 1e-9) return {};
  for (const int a : sprung) {
    if (partner[at(a)] >= 0) continue;
    const bool side = model.linkages[at(model.corners[at(a)].linkage)].plane == Plane::side;
    if (model.corners[at(a)].at_mm.y() == 0 && side) partner[at(a)] = a;
    for (const int b : sprung)
      if (partner[at(a)] < 0 && b != a && partner[at(b)] < 0 && are_mirror_images(model, a, b)) {
        partner[at(a)] = b;
        partner[at(b)] = a;
      }
    if (partner[at(a)] < 0) return {};
  }
  return partner;
}

/// Bars do nothing where left and right do the same and they are unloaded then.
bool bars_idle(const Model& model, const std::vector<int>& partner) {
  return std::all_of(model.bars.begin(), model.bars.end(), [&](const Bar& bar) {
    return bar.free_rad == 0 && bar.ends[0].body == bar.ends[1].body &&
           partner[at(bar.ends[0].corner)] == bar.ends[1].corner;
  });
}

TapeStation write_station(const Model& model, const WrittenTape& written, int corner) {
  const Corner& from = model.corners[at(corner)];
  const Tyre& tyre = model.linkages[at(from.linkage)].wheels[0].tyre;
  TapeStation out;
  out.linkage = written.linkage[at(from.linkage)];
  out.u_sign = u_sign(from);
  for (int k = 0; k < 3; ++k) out.at_mm[k] = from.at_mm[k];
  out.wheels = 1;
  out.radius_mm = tyre.diameter_mm / 2;
  out.inverse_tyre_rate = tyre.rate_n_per_mm ? 1 / *tyre.rate_n_per_mm : 0;
  out.weight_n = (tyre.mass_g / 1000 + from.unsprung_kg) * gravity_m_per_s2;
  out.load_n = from.load_n.value_or(0);
  out.reading_n = reading_under(model, corner);
  return out;
}

}  // namespace

std::optional<WrittenTape> write_tape(const Model& model, const Solution& as_it_stands, std::string& why_not) {
  WrittenTape written;
  Tape& tape = written.tape;
  written.linkage.assign(model.linkages.size(), -1);
  written.station.assign(model.corners.size(), -1);
  std::vector<int> sprung;
  for (std::size_t c = 0; c < model.corners.size(); ++c)
    if (model.linkages[at(model.corners[c].linkage)].plane != Plane::top) sprung.push_back(static_cast<int>(c));
  for (const int c : sprung) {
    const int l = model.corners[at(c)].linkage;
    if (written.linkage[at(l)] >= 0) continue;
    if (tape.linkages == tape_linkages) {
      why_not = "the vehicle has many linkages";
      return std::nullopt;
    }
    if (!write_linkage(model.linkages[at(l)], as_it_stands, c, model.module_mm, tape.linkage[tape.linkages], why_not))
      return std::nullopt;
    written.linkage[at(l)] = tape.linkages++;
  }
  const SprungMass sprung_mass = sum_masses(model);
  const std::vector<int> partner = model.bench ? std::vector<int>{} : mirror_images(model, sprung, sprung_mass.cg_mm);
  const bool alike = !partner.empty();
  if (!model.bars.empty() && (!alike || !bars_idle(model, partner))) {
    why_not = "an anti-roll bar couples left and right";
    return std::nullopt;
  }
  if (!model.weighed.empty() && !alike) {
    why_not = "left and right were weighed, and differ";
    return std::nullopt;
  }
  for (const int c : sprung) {
    if (alike && partner[at(c)] < c) {
      written.station[at(c)] = written.station[at(partner[at(c)])];
      tape.station[written.station[at(c)]].wheels = partner[at(c)] == c ? 1 : 2;
      if (partner[at(c)] != c) continue;
    }
    if (tape.stations == tape_stations) {
      why_not = "the vehicle has many wheels";
      return std::nullopt;
    }
    written.station[at(c)] = tape.stations;
    tape.station[tape.stations++] = write_station(model, written, c);
  }
  tape.stand = model.bench ? tape_bench : alike && tape.stations == 2 ? tape_two_axles : tape_many;
  tape.rolls = !model.bench && !alike;
  tape.weighed = !model.weighed.empty();
  tape.weight_n = sprung_mass.kg * gravity_m_per_s2;
  for (int k = 0; k < 3; ++k) tape.cg_mm[k] = sprung_mass.cg_mm[k];
  if (as_it_stands.vehicle) {
    const double pitch = as_it_stands.vehicle->pitch_deg * std::numbers::pi / 180;
    tape.start_pitch[0] = std::cos(pitch);
    tape.start_pitch[1] = std::sin(pitch);
    // First guesses start from the loads of the model as it stands.
    for (const int c : sprung) {
      TapeStation& station = tape.station[written.station[at(c)]];
      if (!tape.weighed) station.reading_n = as_it_stands.corners[at(c)].wheels[0].ground_load_n.value_or(0);
    }
  }
  return written;
}

std::optional<std::vector<TapeSetting>> settings(const WrittenTape& written, const Model& model, const Change& change) {
  std::vector<TapeSetting> out;
  const auto linkage_of = [&](int index) { return written.linkage[at(index)]; };
  if (const auto* move = std::get_if<MoveHole>(&change)) {
    const int l = linkage_of(move->linkage);
    if (l < 0) return out;
    const int k = Layout{model.linkages[at(move->linkage)]}.hole({move->body, move->hole});
    out.push_back({l, k, move->to_B_mm.x()});
    out.push_back({l, k + 1, move->to_B_mm.y()});
    return out;
  }
  if (const auto* rod = std::get_if<SetLength>(&change)) {
    const int l = linkage_of(rod->linkage);
    if (l >= 0) out.push_back({l, Layout{model.linkages[at(rod->linkage)]}.rod(rod->rod), rod->length_mm});
    return out;
  }
  if (const auto* set = std::get_if<SetSpring>(&change)) {
    const int l = linkage_of(set->linkage);
    if (l < 0) return out;
    const Model with = changed(model, {change});
    const Spring &before = model.linkages[at(set->linkage)].springs[at(set->spring)],
                 &after = with.linkages[at(set->linkage)].springs[at(set->spring)];
    const auto numbers = spring_numbers(after.data, after.count);
    if (!numbers || before.data.index() != after.data.index()) return std::nullopt;
    const int k = Layout{model.linkages[at(set->linkage)]}.spring(set->spring);
    for (std::size_t i = 0; i < numbers->size(); ++i) out.push_back({l, k + static_cast<int>(i), (*numbers)[i]});
    return out;
  }
  return std::nullopt;
}

}  // namespace ridepitch
