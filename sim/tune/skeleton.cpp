#include "tune/skeleton.hpp"

#include <cmath>
#include <numbers>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"
#include "linkage/mechanism.hpp"
#include "model/index.hpp"

namespace ridepitch {
namespace {

constexpr int most_rounds = 12;
constexpr double arrived_mm = 1e-6, apart = 1e-4;  // rad or hundredths of a mm: for slopes

double rise_of(const Skeleton& s, const WheelRise& rise, const Eigen::VectorXd& q) {
  const HoleRef at_hole = at(s.linkage.wheels, rise.wheel).at;
  const Vec2 p = position({at_hole.body - 1, at(at(s.linkage.bodies, at_hole.body).holes, at_hole.hole).p_B}, q);
  return rise.at_origin_mm + rise.by_mm.dot(p);
}

/// Puts the bodies down that inputs move and nothing else, as far as they hang on the chassis.
void put_inputs(const Skeleton& s, const std::vector<double>& inputs, Eigen::VectorXd& q) {
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    const TwoBarInput& input = s.plan.inputs[i];
    if (input.slides)
      put_body(q, input.body, input.angle_rad, Vec2::Zero(), input.origin + inputs[i] * input.along);
    else if (input.pinned_to.body == ground)
      put_body(q, input.body, inputs[i], input.pinned_B, input.pinned_to.p_B);
  }
}

bool wheels_lead(const Skeleton& s) {
  return std::all_of(s.linkage.wheels.begin(), s.linkage.wheels.end(), [&](const Wheel& wheel) {
    return std::any_of(s.plan.inputs.begin(), s.plan.inputs.end(), [&](const TwoBarInput& input) {
      return input.body == wheel.at.body - 1 && (input.slides || input.pinned_to.body == ground);
    });
  });
}

/// Configurations a little before and after one, for every input.
struct Around {
  std::vector<Eigen::VectorXd> before, after;
  double apart = 0;  // of the input, from one to the other
};

/// @param lay  lays a configuration down for some inputs
/// @returns false where it did not at one of them
bool look_around(const std::vector<double>& inputs, Around& near, const auto& lay) {
  std::vector<double> moved = inputs;
  bool there = true;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    near.apart = 2 * apart;
    moved[i] = inputs[i] - apart;
    there = there && lay(moved, near.before[i]);
    moved[i] = inputs[i] + apart;
    there = there && lay(moved, near.after[i]);
    moved[i] = inputs[i];
  }
  return there;
}

/// Slope of each wheel's rise over each input.
Eigen::MatrixXd slopes_of(const Skeleton& s, const std::vector<WheelRise>& rises, const Around& near) {
  const Eigen::Index wheels = static_cast<Eigen::Index>(rises.size());
  Eigen::MatrixXd slopes(wheels, wheels);
  for (Eigen::Index w = 0; w < wheels; ++w)
    for (Eigen::Index i = 0; i < wheels; ++i)
      slopes(w, i) =
          (rise_of(s, at(rises, w), at(near.after, i)) - rise_of(s, at(rises, w), at(near.before, i))) / near.apart;
  return slopes;
}

/// Solves A x = b for a few unknowns; b becomes x. @returns false where rows depend on one another
bool solve_small(Eigen::MatrixXd& A, Eigen::MatrixXd& b) {
  const Eigen::Index n = A.rows();
  for (Eigen::Index i = 0; i < n; ++i) {
    Eigen::Index pivot = i;
    for (Eigen::Index k = i + 1; k < n; ++k)
      if (std::abs(A(k, i)) > std::abs(A(pivot, i))) pivot = k;
    if (std::abs(A(pivot, i)) < 1e-12) return false;
    if (pivot != i) {
      A.row(i).swap(A.row(pivot));
      b.row(i).swap(b.row(pivot));
    }
    for (Eigen::Index k = 0; k < n; ++k) {
      if (k == i) continue;
      const double share = A(k, i) / A(i, i);
      A.row(k) -= share * A.row(i);
      b.row(k) -= share * b.row(i);
    }
  }
  for (Eigen::Index i = 0; i < n; ++i) b.row(i) /= A(i, i);
  return true;
}

}  // namespace

std::optional<Skeleton> make_skeleton(const Linkage& linkage, const std::vector<Pose>& poses, std::string& why_not) {
  Skeleton out;
  out.linkage = linkage;
  const Mechanism mechanism = make_mechanism(linkage);
  auto plan = plan_two_bars(mechanism);
  if (!plan || linkage.drive) {
    why_not = "linkage '" + linkage.name + "' does not fall apart into groups of two bars";
    return std::nullopt;
  }
  out.plan = std::move(*plan);
  if (out.plan.inputs.size() != linkage.wheels.size()) {
    why_not = "linkage '" + linkage.name + "' has a freedom that is not a wheel's";
    return std::nullopt;
  }
  out.q.resize(3 * mechanism.bodies);
  for (Eigen::Index b = 0; b < mechanism.bodies; ++b) {
    const Pose& pose = at(poses, b + 1);
    out.q.segment<3>(3 * b) << pose.p_CB, pose.theta_rad;
  }
  for (const TwoBarInput& input : out.plan.inputs) {
    const Eigen::Index i = 3 * input.body;
    out.inputs.push_back(input.slides ? input.along.dot(Vec2(out.q[i], out.q[i + 1]) - input.origin) : out.q[i + 2]);
  }
  out.wheels_lead = wheels_lead(out);
  double nearest_mm = 1e300;
  Eigen::VectorXd laid = out.q;
  for (unsigned sides = 0; sides < 1u << out.plan.steps.size(); ++sides) {
    if (!lay_down(out.plan, out.inputs, sides, laid)) continue;
    double far_mm = 0;
    for (int b = 0; b < mechanism.bodies; ++b)
      for (const Hole& hole : at(linkage.bodies, b + 1).holes)
        far_mm = std::max(far_mm, (position({b, hole.p_B}, laid) - position({b, hole.p_B}, out.q)).norm());
    if (far_mm >= nearest_mm) continue;
    nearest_mm = far_mm;
    out.sides = sides;
  }
  if (nearest_mm > 1e-3) {
    why_not = "the groups of two bars of linkage '" + linkage.name + "' do not lead where it was put together";
    return std::nullopt;
  }
  return out;
}

namespace {

/// Finds inputs at which every wheel has its rise, by Newton's method.
/// @param q  out: a configuration there, of the bodies that carry wheels at least
bool find_inputs(const Skeleton& s, unsigned sides, const std::vector<WheelRise>& rises,
                 const std::vector<double>& at_mm, std::vector<double>& inputs, Eigen::VectorXd& q) {
  const auto lay = [&](const std::vector<double>& at_inputs, Eigen::VectorXd& to) {
    if (!s.wheels_lead) return lay_down(s.plan, at_inputs, sides, to);
    put_inputs(s, at_inputs, to);
    return true;
  };
  const Eigen::Index wheels = static_cast<Eigen::Index>(rises.size());
  for (int round = 0; round < most_rounds; ++round) {
    if (!lay(inputs, q)) return false;
    Eigen::MatrixXd step(wheels, 1);
    for (Eigen::Index w = 0; w < wheels; ++w) step(w, 0) = at(at_mm, w) - rise_of(s, at(rises, w), q);
    if (step.cwiseAbs().maxCoeff() < arrived_mm) return true;
    Around near{std::vector(rises.size(), q), std::vector(rises.size(), q)};
    if (!look_around(inputs, near, lay)) return false;
    Eigen::MatrixXd slopes = slopes_of(s, rises, near);
    if (!solve_small(slopes, step)) return false;
    for (Eigen::Index i = 0; i < wheels; ++i) {
      const double most = at(s.plan.inputs, i).slides ? 20 : 0.3;
      at(inputs, i) += std::clamp(step(i, 0), -most, most);
    }
  }
  return false;
}

}  // namespace

bool reaches(const Skeleton& s, unsigned sides, const std::vector<double>& from, const std::vector<WheelRise>& rises,
             const std::vector<double>& at_mm) {
  std::vector<double> inputs = from;
  Eigen::VectorXd q = s.q;
  return find_inputs(s, sides, rises, at_mm, inputs, q) && (!s.wheels_lead || lay_down(s.plan, inputs, sides, q));
}

bool lay_at(const Skeleton& s, unsigned sides, const std::vector<double>& from, const std::vector<WheelRise>& rises,
            const std::vector<double>& at_mm, Laid& out) {
  const std::size_t n = rises.size();
  const Eigen::Index wheels = static_cast<Eigen::Index>(n);
  Eigen::VectorXd q = s.q;
  out.inputs = from;
  if (!find_inputs(s, sides, rises, at_mm, out.inputs, q)) return false;
  const auto lay = [&](const std::vector<double>& inputs, Eigen::VectorXd& to) {
    return lay_down(s.plan, inputs, sides, to);
  };
  Around near{std::vector(n, s.q), std::vector(n, s.q)};
  if (!lay(out.inputs, q) || !look_around(out.inputs, near, lay)) return false;
  Eigen::MatrixXd slopes = slopes_of(s, rises, near);
  Eigen::MatrixXd by_rise = Eigen::MatrixXd::Identity(wheels, wheels);  // of each input, for each wheel
  if (!solve_small(slopes, by_rise)) return false;
  out.bodies.resize(s.linkage.bodies.size());
  for (std::size_t b = 0; b < out.bodies.size(); ++b) {
    LaidBody& body = out.bodies[b];
    body.at_by_rise.assign(n, Vec2::Zero());
    body.turn_by_rise.assign(n, 0);
    if (b == chassis) continue;
    const Eigen::Index k = 3 * (static_cast<Eigen::Index>(b) - 1);
    body.at = q.segment<2>(k);
    body.turn = {std::cos(q[k + 2]), std::sin(q[k + 2])};
    for (Eigen::Index i = 0; i < wheels; ++i) {
      const Eigen::VectorXd& after = at(near.after, i);
      const Eigen::VectorXd& before = at(near.before, i);
      const Vec2 at_1 = (after.segment<2>(k) - before.segment<2>(k)) / near.apart;
      const double turned = std::remainder(after[k + 2] - before[k + 2], 2 * std::numbers::pi) / near.apart;
      for (Eigen::Index w = 0; w < wheels; ++w) {
        at(body.at_by_rise, w) += by_rise(i, w) * at_1;
        at(body.turn_by_rise, w) += by_rise(i, w) * turned;
      }
    }
  }
  return true;
}

}  // namespace ridepitch
