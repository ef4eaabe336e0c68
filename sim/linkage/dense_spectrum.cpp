#include "linkage/dense.hpp"

#include <Eigen/Eigenvalues>

namespace ridepitch {

Spectrum spectrum(const Eigen::MatrixXd& A) {
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(A);
  return {solver.eigenvalues(), solver.eigenvectors()};
}

Spectrum spectrum(const Eigen::MatrixXd& K, const Eigen::MatrixXd& M) {
  // S = M^(-1/2):  K x = value M x  is  (S K S) y = value y  with x = S y.
  const Spectrum mass = spectrum(M);
  const Eigen::MatrixXd S =
      mass.vectors * mass.values.cwiseSqrt().cwiseInverse().asDiagonal() * mass.vectors.transpose();
  Spectrum found = spectrum(Eigen::MatrixXd(S * K * S));
  found.vectors = S * found.vectors;
  return found;
}

}  // namespace ridepitch
