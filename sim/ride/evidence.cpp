#include "ride/evidence.hpp"

#include <cmath>

namespace ridepitch {

double misfit(const Apart& apart) { return apart.mm.cwiseQuotient(apart.within_mm).squaredNorm(); }

double best_amount(const Apart& apart, const Eigen::VectorXd& effect_mm) {
  const Eigen::VectorXd effect = effect_mm.cwiseQuotient(apart.within_mm);
  const double square = effect.squaredNorm();
  return square > 0 ? effect.dot(apart.mm.cwiseQuotient(apart.within_mm)) / square : 0;
}

double log_evidence(const Apart& apart, const Eigen::VectorXd& effect_mm) {
  const Eigen::VectorXd effect = effect_mm.cwiseQuotient(apart.within_mm);
  const double along = effect.dot(apart.mm.cwiseQuotient(apart.within_mm)), wider = 1 + effect.squaredNorm();
  return -0.5 * (misfit(apart) - along * along / wider) - 0.5 * std::log(wider);
}

double log_evidence_apart(const Apart& apart, const Eigen::VectorXd& middle_mm, const Eigen::VectorXd& spread_mm) {
  const Eigen::ArrayXd wider = 1 + spread_mm.cwiseQuotient(apart.within_mm).array().square();
  const Eigen::ArrayXd left = (apart.mm - middle_mm).cwiseQuotient(apart.within_mm).array();
  return -0.5 * (left.square() / wider).sum() - 0.5 * wider.log().sum();
}

}  // namespace ridepitch
