#include "reference/linkages.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

namespace ridepitch {

Vec2 polar(double r, double angle_deg) {
  return {r * std::cos(angle_deg * rad_per_deg), r * std::sin(angle_deg * rad_per_deg)};
}

double wrapped_deg(double angle_deg) { return std::remainder(angle_deg, 360.0); }

Vec2 meet(const Vec2& p1, double r1, const Vec2& p2, double r2, int side) {
  const Vec2 line = p2 - p1;
  const double d = line.norm();
  const double along = (r1 * r1 - r2 * r2 + d * d) / (2 * d);
  const double across = std::sqrt(r1 * r1 - along * along);
  const Vec2 u = line / d;
  return p1 + along * u + side * across * Vec2(-u.y(), u.x());
}

// --------------------------------------------------------------------------- writing one down

void add_body(Linkage& linkage, const std::string& name, const Places& holes, const Places& near) {
  Body body;
  body.name = name;
  for (const auto& [hole_name, p_B] : holes) body.holes.push_back({hole_name, p_B, {}});
  for (const auto& [hole_name, p_C] : near) {
    const auto found =
        std::find_if(body.holes.begin(), body.holes.end(), [&](const Hole& h) { return h.name == hole_name; });
    body.near.push_back({static_cast<int>(found - body.holes.begin()), p_C, {}});
  }
  linkage.bodies.push_back(body);
}

HoleRef hole(const Linkage& linkage, std::string_view name) {
  const auto dot = name.find('.');
  for (std::size_t b = 0; b < linkage.bodies.size(); ++b) {
    if (linkage.bodies[b].name != name.substr(0, dot)) continue;
    for (std::size_t h = 0; h < linkage.bodies[b].holes.size(); ++h)
      if (linkage.bodies[b].holes[h].name == name.substr(dot + 1)) return {static_cast<int>(b), static_cast<int>(h)};
  }
  ADD_FAILURE() << "no hole '" << name << "'";
  return {};
}

void add_pin(Linkage& linkage, const std::vector<std::string>& holes) {
  Pin pin;
  pin.name = holes.front();
  for (const std::string& name : holes) pin.holes.push_back(hole(linkage, name));
  linkage.pins.push_back(pin);
}

void add_slide(Linkage& linkage, const std::string& guided, const std::string& through, const Vec2& along) {
  Slide slide;
  slide.name = guided;
  slide.hole = hole(linkage, guided);
  slide.through = hole(linkage, through);
  slide.along = along;
  linkage.slides.push_back(slide);
}

void add_wheel(Linkage& linkage, const std::string& at) {
  Wheel wheel;
  wheel.name = "hub";
  wheel.at = hole(linkage, at);
  wheel.tyre.diameter_mm = 60;
  linkage.wheels.push_back(wheel);
}

void add_coil(Linkage& linkage, const std::string& name, const std::string& from, const std::string& to,
              const Coil& coil) {
  Spring spring;
  spring.name = name;
  spring.data = coil;
  spring.from = hole(linkage, from);
  spring.to = hole(linkage, to);
  linkage.springs.push_back(spring);
}

// ------------------------------------------------------------------------------- known ones

namespace {

Vec2 turned(const Vec2& p, double by_deg) {
  const Vec2 u = polar(1, by_deg);
  return {u.x() * p.x() - u.y() * p.y(), u.y() * p.x() + u.x() * p.y()};
}

}  // namespace

Linkage four_bar(const FourBar& bar, const Vec2& near_A, const Vec2& near_B, double turned_deg) {
  const Vec2 A = turned(near_A, turned_deg), B = turned(near_B, turned_deg);
  Linkage linkage;
  linkage.name = "four-bar";
  add_body(linkage, "chassis", {{"O2", Vec2(0, 0)}, {"O4", polar(bar.ground_mm, turned_deg)}});
  add_body(linkage, "crank", {{"O", Vec2(0, 0)}, {"A", Vec2(bar.crank_mm, 0)}}, {{"A", A}});
  add_body(linkage, "coupler", {{"A", Vec2(0, 0)}, {"B", Vec2(bar.coupler_mm, 0)}, {"P", polar(60, 30)}}, {{"B", B}});
  add_body(linkage, "rocker", {{"O", Vec2(0, 0)}, {"B", Vec2(bar.rocker_mm, 0)}, {"C", polar(50, 20)}}, {{"B", B}});
  add_pin(linkage, {"chassis.O2", "crank.O"});
  add_pin(linkage, {"crank.A", "coupler.A"});
  add_pin(linkage, {"coupler.B", "rocker.B"});
  add_pin(linkage, {"chassis.O4", "rocker.O"});
  return linkage;
}

Linkage textbook_four_bar(double crank_deg) {
  const Vec2 A = polar(40, crank_deg);
  return four_bar({}, A, meet(A, 120, Vec2(100, 0), 80, +1));
}

void add_second_four_bar(Linkage& linkage, double output_deg) {
  linkage.bodies[0].holes.push_back({"O6", Vec2(220, 0), {}});
  const Vec2 D = Vec2(220, 0) + polar(70, output_deg);
  add_body(linkage, "coupler2", {{"C", Vec2(0, 0)}, {"D", Vec2(110, 0)}}, {{"D", D}});
  add_body(linkage, "output", {{"O", Vec2(0, 0)}, {"D", Vec2(70, 0)}}, {{"D", D}});
  add_pin(linkage, {"rocker.C", "coupler2.C"});
  add_pin(linkage, {"coupler2.D", "output.D"});
  add_pin(linkage, {"chassis.O6", "output.O"});
}

void add_stephenson_links(Linkage& linkage, const Vec2& near_Q) {
  linkage.bodies[0].holes.push_back({"O6", Vec2(150, 90), {}});
  add_body(linkage, "PQ", {{"P", Vec2(0, 0)}, {"Q", Vec2(90, 0)}}, {{"Q", near_Q}});
  add_body(linkage, "O6Q", {{"O", Vec2(0, 0)}, {"Q", Vec2(70, 0)}}, {{"Q", near_Q}});
  add_pin(linkage, {"coupler.P", "PQ.P"});
  add_pin(linkage, {"PQ.Q", "O6Q.Q"});
  add_pin(linkage, {"chassis.O6", "O6Q.O"});
}

Linkage slider_crank(double crank_mm, double rod_mm, double offset_mm, double crank_deg, bool other_side,
                     double turned_deg) {
  const Vec2 A = polar(crank_mm, crank_deg);
  const double reach = std::sqrt(rod_mm * rod_mm - (offset_mm - A.y()) * (offset_mm - A.y()));
  const Vec2 B(A.x() + (other_side ? -reach : reach), offset_mm);
  Linkage linkage;
  linkage.name = "slider-crank";
  add_body(linkage, "chassis", {{"O", Vec2(0, 0)}, {"guide", turned(Vec2(0, offset_mm), turned_deg)}});
  add_body(linkage, "crank", {{"O", Vec2(0, 0)}, {"A", Vec2(crank_mm, 0)}}, {{"A", turned(A, turned_deg)}});
  add_body(linkage, "rod", {{"B", Vec2(0, 0)}, {"A", Vec2(rod_mm, 0)}}, {{"B", turned(B, turned_deg)}});
  add_body(linkage, "slider", {{"B", Vec2(0, 0)}}, {{"B", turned(B, turned_deg)}});
  add_pin(linkage, {"chassis.O", "crank.O"});
  add_pin(linkage, {"crank.A", "rod.A"});
  add_pin(linkage, {"rod.B", "slider.B"});
  add_slide(linkage, "slider.B", "chassis.guide", polar(1, turned_deg));
  return linkage;
}

Linkage peaucellier(double psi_deg) {
  const Vec2 A = Vec2(20, 0) + polar(20, psi_deg);
  const Vec2 P(40, 40 * A.y() / A.x());
  const Vec2 above = meet(Vec2(0, 0), 50, A, 30, +1), below = meet(Vec2(0, 0), 50, A, 30, -1);
  Linkage linkage;
  linkage.name = "inversor";
  add_body(linkage, "chassis", {{"O", Vec2(0, 0)}, {"centre", Vec2(20, 0)}});
  add_body(linkage, "crank", {{"O", Vec2(0, 0)}, {"A", Vec2(20, 0)}}, {{"A", A}});
  add_body(linkage, "long1", {{"O", Vec2(0, 0)}, {"Q", Vec2(50, 0)}}, {{"Q", above}});
  add_body(linkage, "long2", {{"O", Vec2(0, 0)}, {"Q", Vec2(50, 0)}}, {{"Q", below}});
  add_body(linkage, "AQ1", {{"A", Vec2(0, 0)}, {"Q", Vec2(30, 0)}}, {{"Q", above}});
  add_body(linkage, "AQ2", {{"A", Vec2(0, 0)}, {"Q", Vec2(30, 0)}}, {{"Q", below}});
  add_body(linkage, "PQ1", {{"P", Vec2(0, 0)}, {"Q", Vec2(30, 0)}}, {{"P", P}});
  add_body(linkage, "PQ2", {{"P", Vec2(0, 0)}, {"Q", Vec2(30, 0)}}, {{"P", P}});
  add_pin(linkage, {"chassis.O", "long1.O", "long2.O"});
  add_pin(linkage, {"chassis.centre", "crank.O"});
  add_pin(linkage, {"crank.A", "AQ1.A", "AQ2.A"});
  add_pin(linkage, {"long1.Q", "AQ1.Q", "PQ1.Q"});
  add_pin(linkage, {"long2.Q", "AQ2.Q", "PQ2.Q"});
  add_pin(linkage, {"PQ1.P", "PQ2.P"});
  return linkage;
}

Linkage walking_leg() {
  const Vec2 B(0, 0), J(41.5, 0), E(0, 0), K(36.7, 0);
  const Vec2 at_J(-24, 31), at_K(-27, -46), at_E(-59, -28), at_F(-43, -92), at_D(-70, 16);
  Linkage linkage;
  linkage.name = "leg";
  add_body(linkage, "chassis", {{"C", Vec2(0, 0)}, {"B", Vec2(-38, -7.8)}});
  add_body(linkage, "crank", {{"C", Vec2(0, 0)}, {"A", Vec2(15, 0)}}, {{"A", Vec2(15, 0)}});
  add_body(linkage, "AJ", {{"A", Vec2(0, 0)}, {"J", Vec2(50, 0)}}, {{"J", at_J}});
  add_body(linkage, "AK", {{"A", Vec2(0, 0)}, {"K", Vec2(61.9, 0)}}, {{"K", at_K}});
  add_body(linkage, "upper", {{"B", B}, {"J", J}, {"D", meet(B, 40.1, J, 55.8, +1)}}, {{"J", at_J}, {"D", at_D}});
  add_body(linkage, "BK", {{"B", Vec2(0, 0)}, {"K", Vec2(39.3, 0)}}, {{"K", at_K}});
  add_body(linkage, "DE", {{"D", Vec2(0, 0)}, {"E", Vec2(39.4, 0)}}, {{"E", at_E}});
  add_body(linkage, "foot", {{"E", E}, {"K", K}, {"F", meet(E, 65.7, K, 49, -1)}}, {{"E", at_E}, {"F", at_F}});
  add_pin(linkage, {"chassis.C", "crank.C"});
  add_pin(linkage, {"crank.A", "AJ.A", "AK.A"});
  add_pin(linkage, {"AJ.J", "upper.J"});
  add_pin(linkage, {"AK.K", "BK.K", "foot.K"});
  add_pin(linkage, {"chassis.B", "upper.B", "BK.B"});
  add_pin(linkage, {"upper.D", "DE.D"});
  add_pin(linkage, {"DE.E", "foot.E"});
  return linkage;
}

Linkage andrews_squeezer() {
  // F = 7 (cos beta, sin beta), E = F - 28 (cos, sin)(beta + theta), E = B + 35 (sin, -cos)(gamma),
  // G = A + 40 (cos, sin)(delta), E = G + 20 (sin, -cos)(phi + delta), H = A + 40 (sin, -cos)(epsilon),
  // E = H + 20 (cos, sin)(Omega + epsilon), D = B + R(gamma) (20, -18): with these grids the angles are the bodies'.
  const Vec2 A(-69.34, -2.27), B(-36.35, 32.73);
  const double deg = 1 / rad_per_deg;
  const Vec2 F = polar(7, -0.06 * deg), E = B + polar(35, 0.45 * deg - 90);
  const Vec2 G = A + polar(40, 0.49 * deg), H = A + polar(40, 1.23 * deg - 90);
  Linkage linkage;
  linkage.name = "squeezer";
  add_body(linkage, "chassis", {{"O", Vec2(0, 0)}, {"A", A}, {"B", B}, {"C", Vec2(14, 72)}});
  add_body(linkage, "crank", {{"O", Vec2(0, 0)}, {"F", Vec2(7, 0)}}, {{"F", F}});
  add_body(linkage, "link", {{"F", Vec2(0, 0)}, {"E", Vec2(-28, 0)}}, {{"E", E}});
  add_body(linkage, "plate", {{"B", Vec2(0, 0)}, {"E", Vec2(0, -35)}, {"D", Vec2(20, -18)}}, {{"E", E}});
  add_body(linkage, "EG", {{"G", Vec2(0, 0)}, {"E", Vec2(0, -20)}}, {{"G", G}});
  add_body(linkage, "GA", {{"A", Vec2(0, 0)}, {"G", Vec2(40, 0)}}, {{"G", G}});
  add_body(linkage, "EH", {{"H", Vec2(0, 0)}, {"E", Vec2(20, 0)}}, {{"H", H}});
  add_body(linkage, "HA", {{"A", Vec2(0, 0)}, {"H", Vec2(0, -40)}}, {{"H", H}});
  add_pin(linkage, {"chassis.O", "crank.O"});
  add_pin(linkage, {"crank.F", "link.F"});
  add_pin(linkage, {"link.E", "plate.E", "EG.E", "EH.E"});
  add_pin(linkage, {"chassis.B", "plate.B"});
  add_pin(linkage, {"EG.G", "GA.G"});
  add_pin(linkage, {"chassis.A", "GA.A", "HA.A"});
  add_pin(linkage, {"EH.H", "HA.H"});
  add_coil(linkage, "spring", "plate.D", "chassis.C",
           {.free_mm = 77.85, .solid_mm = 30, .rate_n_per_mm = 4.53, .law = {}});
  return linkage;
}

// ------------------------------------------------------------------------------ moving them

Assembly assembled(const Linkage& linkage) {
  AssembleResult result = assemble(linkage, 8.0);
  for (const Problem& problem : result.problems)
    ADD_FAILURE() << linkage.name << ": " << problem.text << "; " << problem.hint;
  if (result.assembly) return *std::move(result.assembly);
  Assembly none{.mechanism = make_mechanism(linkage), .q = {}, .counted_freedoms = 0, .redundant = {}, .starts = 0};
  none.q.setZero(none.mechanism.coordinates());
  none.mechanism.rank = static_cast<int>(none.mechanism.ties.size());
  return none;
}

Cranked take_crank(const Linkage& linkage, std::string_view body) {
  Assembly assembly = assembled(linkage);
  Cranked cranked{.mechanism = std::move(assembly.mechanism),
                  .q = std::move(assembly.q),
                  .workspace = {},
                  .body = moving_body(linkage, body)};
  const Gauge angle{.kind = Gauge::Kind::angle, .p = {}, .q = {cranked.body, Vec2::Zero()}};
  cranked.mechanism.ties.push_back({.gauge = angle, .target = cranked.q[3 * cranked.body + 2], .of = Tie::Of::drive});
  cranked.mechanism.rank += 1;
  prepare(cranked.mechanism, cranked.workspace);
  return cranked;
}

Eigen::VectorXd motion_of(Cranked& cranked) {
  linearise(cranked.mechanism, cranked.q, cranked.workspace);
  Eigen::VectorXd dq = Eigen::VectorXd::Zero(cranked.q.size());
  follow_tie(static_cast<int>(cranked.mechanism.ties.size()) - 1, cranked.workspace, dq);
  return dq;
}

bool turn_to(Cranked& cranked, double angle_deg) {
  const double from = cranked.mechanism.ties.back().target;
  const double turn = angle_deg * rad_per_deg - from;
  const int steps = std::max(1, static_cast<int>(std::ceil(std::abs(turn) / (0.5 * rad_per_deg))));
  for (int i = 1; i <= steps; ++i) {
    const double before = cranked.mechanism.ties.back().target;
    const double goal = i == steps ? angle_deg * rad_per_deg : from + turn * i / steps;
    Eigen::VectorXd next = cranked.q + (goal - before) * motion_of(cranked);
    cranked.mechanism.ties.back().target = goal;
    if (!close(cranked.mechanism, next, cranked.workspace)) {
      cranked.mechanism.ties.back().target = before;
      return false;
    }
    cranked.q = next;
  }
  return true;
}

int moving_body(const Linkage& linkage, std::string_view body) {
  for (std::size_t b = 1; b < linkage.bodies.size(); ++b)
    if (linkage.bodies[b].name == body) return static_cast<int>(b) - 1;
  ADD_FAILURE() << "no body '" << body << "'";
  return 0;
}

double angle_deg(const Cranked& cranked, std::string_view body) {
  return cranked.q[3 * moving_body(*cranked.mechanism.linkage, body) + 2] / rad_per_deg;
}

Vec2 place(const Mechanism& mechanism, const Eigen::VectorXd& q, std::string_view hole_name) {
  std::vector<Turn> turns(static_cast<std::size_t>(mechanism.bodies));
  set_turns(q, turns);
  return position(body_point(*mechanism.linkage, hole(*mechanism.linkage, hole_name)), q, turns);
}

Vec2 place(const Cranked& cranked, std::string_view hole_name) {
  return place(cranked.mechanism, cranked.q, hole_name);
}

Vec2 velocity(const Cranked& cranked, std::string_view hole_name, const Eigen::VectorXd& dq) {
  const BodyPoint point = body_point(*cranked.mechanism.linkage, hole(*cranked.mechanism.linkage, hole_name));
  std::vector<Turn> turns(static_cast<std::size_t>(cranked.mechanism.bodies));
  set_turns(cranked.q, turns);
  Vec2 v;
  for (const Eigen::Index axis : {0, 1}) {
    const Gauge gauge{.kind = Gauge::Kind::along, .p = {}, .q = point, .dir = axis == 0 ? Vec2(1, 0) : Vec2(0, 1)};
    v[axis] = slope_along(gauge, read(gauge, cranked.q, turns), dq);
  }
  return v;
}

}  // namespace ridepitch
