#pragma once
// How well a hypothesis explains readings: the logarithm of their probability density under it, less what is the same for
// all hypotheses (n ln(2 pi) / 2 and the sum of ln r).
//
//     d  readings less computed values;  R = diag(r^2), r each reading's own standard deviation
//     a cause whose amount is normal about 0 and moves the values by e for one deviation:     d ~ N(0, R + e e^T)
//     ln p = -1/2 d^T (R + e e^T)^-1 d - 1/2 ln(1 + e^T R^-1 e)
//
// The first term is the best compromise of readings and prior (its greatest joint density); the second takes off what a
// cause gains merely by being able to explain many readings.
// Source: marginal likelihood of a linear model with a normal prior, e.g. Bishop, Pattern Recognition and Machine Learning,
// 3.5; Woodbury's identity (from memory).

#include <Eigen/Core>

namespace ridepitch {

/// Readings less computed values, and how far each reading may be off (one standard deviation, positive).
struct Apart {
  Eigen::VectorXd mm, within_mm;
};

/// Sum of squares of what is left, each over its deviation.
double misfit(const Apart& apart);

/// The amount, in deviations of the cause, with the least misfit; 0 where the cause moves nothing.
/// @param effect_mm  of one deviation
double best_amount(const Apart& apart, const Eigen::VectorXd& effect_mm);

/// Of a cause that moves the values by `effect_mm` for one deviation.
double log_evidence(const Apart& apart, const Eigen::VectorXd& effect_mm);

/// Of values that lie anywhere about `middle_mm`, each by itself with the deviation `spread_mm`.
double log_evidence_apart(const Apart& apart, const Eigen::VectorXd& middle_mm, const Eigen::VectorXd& spread_mm);

}  // namespace ridepitch
