#include "linkage/straight_links.hpp"

#include <algorithm>
#include <cmath>

#include "linkage/closure.hpp"
#include "linkage/dense.hpp"

namespace ridepitch {

std::vector<std::string> straight_links(const Mechanism& mechanism, const Eigen::VectorXd& q) {
  const Linkage& linkage = *mechanism.linkage;
  Closure room;
  prepare(mechanism, room);
  linearise(mechanism, q, room);
  Eigen::MatrixXd J = room.J;
  for (Eigen::Index j = 0; j < J.cols(); ++j) J.col(j) *= mechanism.column_weight[static_cast<std::size_t>(j)];
  const Spectrum found = spectrum(Eigen::MatrixXd(J * J.transpose()));
  const Eigen::VectorXd force =
      found.vectors.col(mechanism.ties.size() > static_cast<std::size_t>(mechanism.rank)
                            ? static_cast<Eigen::Index>(mechanism.ties.size()) - mechanism.rank
                            : 0);
  std::vector<std::string> names;
  const auto add = [&](const std::string& name) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  };
  const double share = 0.02 * force.cwiseAbs().maxCoeff();
  for (std::size_t k = 0; k < mechanism.ties.size(); ++k) {
    if (std::abs(force[static_cast<Eigen::Index>(k)]) < share) continue;
    const Tie& tie = mechanism.ties[k];
    if (tie.of == Tie::Of::rod) add(linkage.rods[static_cast<std::size_t>(tie.index)].name);
    for (const int body : {tie.gauge.p.body, tie.gauge.q.body})
      if (body != ground) add(linkage.bodies[static_cast<std::size_t>(body) + 1].name);
  }
  return names;
}

}  // namespace ridepitch
