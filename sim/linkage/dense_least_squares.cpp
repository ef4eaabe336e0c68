#include "linkage/dense.hpp"

#include <algorithm>
#include <vector>

#include <Eigen/QR>

namespace ridepitch {

Eigen::VectorXd least_squares(const Eigen::MatrixXd& A, const Eigen::VectorXd& b, double threshold) {
  if (A.rows() == 0 || A.cols() == 0) return Eigen::VectorXd::Zero(A.cols());
  Eigen::CompleteOrthogonalDecomposition<Eigen::MatrixXd> cod;
  cod.setThreshold(threshold);
  cod.compute(A);
  return cod.solve(b);
}

Eigen::VectorXd nonnegative_least_squares(const Eigen::MatrixXd& A, const Eigen::VectorXd& b) {
  const Eigen::Index n = A.cols();
  Eigen::VectorXd x = Eigen::VectorXd::Zero(n);
  std::vector<bool> in(static_cast<std::size_t>(n), false);
  const double tolerance = 1e-12 * (A.transpose() * b).lpNorm<Eigen::Infinity>();

  const auto solve_on = [&]() {
    std::vector<Eigen::Index> index;
    for (Eigen::Index j = 0; j < n; ++j)
      if (in[static_cast<std::size_t>(j)]) index.push_back(j);
    Eigen::VectorXd z = Eigen::VectorXd::Zero(n);
    if (index.empty()) return z;
    const Eigen::VectorXd part = A(Eigen::all, index).completeOrthogonalDecomposition().solve(b);
    for (std::size_t k = 0; k < index.size(); ++k) z[index[k]] = part[static_cast<Eigen::Index>(k)];
    return z;
  };

  for (Eigen::Index round = 0; round < 3 * n; ++round) {
    const Eigen::VectorXd w = A.transpose() * (b - A * x);
    Eigen::Index enter = -1;
    double best = tolerance;
    for (Eigen::Index j = 0; j < n; ++j)
      if (!in[static_cast<std::size_t>(j)] && w[j] > best) {
        best = w[j];
        enter = j;
      }
    if (enter < 0) break;
    in[static_cast<std::size_t>(enter)] = true;
    while (true) {
      const Eigen::VectorXd z = solve_on();
      double share = 1;
      for (Eigen::Index j = 0; j < n; ++j)
        if (in[static_cast<std::size_t>(j)] && z[j] <= 0) share = std::min(share, x[j] / (x[j] - z[j]));
      if (share >= 1) {
        x = z;
        break;
      }
      x += share * (z - x);
      for (Eigen::Index j = 0; j < n; ++j)
        if (in[static_cast<std::size_t>(j)] && x[j] <= 1e-300 + 1e-14 * std::abs(x[j] - z[j])) {
          in[static_cast<std::size_t>(j)] = false;
          x[j] = 0;
        }
    }
  }
  return x;
}

}  // namespace ridepitch
