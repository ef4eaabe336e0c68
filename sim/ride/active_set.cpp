#include "ride/active_set.hpp"

#include "linkage/dense.hpp"

namespace ridepitch {

Eigen::VectorXd row_per_mm(const Work& work, std::size_t bound) {
  return work.rows.row(static_cast<Eigen::Index>(bound)).transpose().cwiseQuotient(work.scale);
}

ActiveSet active_set(const Work& work) {
  ActiveSet active;
  for (std::size_t b = 0; b < work.bound.size(); ++b)
    if (work.bound[b].active) active.bounds.push_back(b);
  active.rows.resize(static_cast<Eigen::Index>(active.bounds.size()), work.gradient.size());
  for (std::size_t a = 0; a < active.bounds.size(); ++a)
    active.rows.row(static_cast<Eigen::Index>(a)) = row_per_mm(work, active.bounds[a]).transpose();
  return active;
}

Eigen::MatrixXd hessian_per_mm(const Work& work) {
  Eigen::MatrixXd H(work.hessian.rows(), work.hessian.cols());
  for (Eigen::Index r = 0; r < H.rows(); ++r)
    for (Eigen::Index c = 0; c < H.cols(); ++c) H(r, c) = work.hessian(r, c) / (work.scale[r] * work.scale[c]);
  return H;
}

FreeMotions free_motions(const Work& work) {
  const Eigen::MatrixXd N = null_space(active_set(work).rows);
  if (N.cols() == 0) return {Eigen::VectorXd(), Eigen::MatrixXd(work.gradient.size(), 0)};
  const Eigen::MatrixXd H = N.transpose() * hessian_per_mm(work) * N;
  const Spectrum found = spectrum(Eigen::MatrixXd(0.5 * (H + H.transpose())));
  return {found.values, work.scale.cwiseInverse().asDiagonal() * N * found.vectors};
}

}  // namespace ridepitch
