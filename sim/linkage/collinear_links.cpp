#include "linkage/collinear_links.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/dense.hpp"
#include "linkage/mobility.hpp"
#include "model/index.hpp"

namespace ridepitch {

std::vector<std::string> collinear_links(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Linkage& linkage = *mechanism.linkage;
  const Eigen::MatrixXd J = weighted_jacobian(mechanism, q);
  // Rows that depend on one another everywhere come first; then those that do so here.
  const int redundant = std::max(count(mechanism.ties) - mechanism.rank, 0);
  const Eigen::VectorXd force = spectrum(Eigen::MatrixXd(J * J.transpose())).vectors.col(redundant);
  std::vector<std::string> names;
  const auto add = [&](const std::string& name) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  };
  const double least = 0.02 * force.cwiseAbs().maxCoeff();
  for (int k = 0; k < count(mechanism.ties); ++k) {
    if (std::abs(force[k]) < least) continue;
    const Tie& tie = at(mechanism.ties, k);
    if (tie.of == Tie::Of::rod) add(at(linkage.rods, tie.index).name);
    for (const int body : {tie.gauge.p.body, tie.gauge.q.body})
      if (body != ground) add(at(linkage.bodies, body + 1).name);
  }
  return names;
}

}  // namespace ridepitch
