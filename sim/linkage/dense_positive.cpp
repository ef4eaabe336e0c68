#include "linkage/dense.hpp"

#include <Eigen/Cholesky>

namespace ridepitch {

bool solve_positive(Eigen::MatrixXd& A, Eigen::VectorXd& b) {
  const Eigen::LLT<Eigen::Ref<Eigen::MatrixXd>> llt(A);
  if (llt.info() != Eigen::Success) return false;
  llt.solveInPlace(b);
  return b.allFinite();
}

}  // namespace ridepitch
