#include "linkage/dense.hpp"

#include <Eigen/QR>

namespace ridepitch {

int matrix_rank(const Eigen::MatrixXd& A, double threshold) {
  if (A.rows() == 0 || A.cols() == 0) return 0;
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr;
  qr.setThreshold(threshold);
  qr.compute(A);
  return static_cast<int>(qr.rank());
}

Eigen::MatrixXd null_space(const Eigen::MatrixXd& A, double threshold) {
  const Eigen::Index n = A.cols();
  if (A.rows() == 0) return Eigen::MatrixXd::Identity(n, n);
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr;
  qr.setThreshold(threshold);
  qr.compute(A.transpose());
  const Eigen::MatrixXd Q = qr.householderQ() * Eigen::MatrixXd::Identity(n, n);
  return Q.rightCols(n - qr.rank());
}

}  // namespace ridepitch
