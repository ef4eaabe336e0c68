#pragma once
// Least squares, straight and curved, with the covariance of what was found. The GNU Scientific Library does the work;
// its headers are seen by least_squares.cpp only.
//
// Letters: n observations, p parameters; s^2 = sum of squared residuals / (n - p).

#include <Eigen/Core>
#include <functional>
#include <optional>

namespace ridepitch {

struct LeastSquares {
  Eigen::VectorXd parameters;  ///< [p]
  /// [p x p] s^2 (J'J)^-1, J the model's derivative by its parameters; empty where n = p, which leaves s^2 unknown
  Eigen::MatrixXd covariance;
  Eigen::VectorXd residuals;  ///< [n] observed less fitted
  double sum_of_squares = 0;  ///< of the residuals
  int freedoms = 0;           ///< n - p

  double deviation() const;                               ///< s; 0 where n = p
  std::optional<double> standard_error(int index) const;  ///< of a parameter; none where n = p

  /// Of a function of the parameters with this gradient [p], to first order: sqrt(g' C g).
  std::optional<double> standard_error_along(const Eigen::VectorXd& gradient) const;
};

/// The b that makes |y - X b| least, by a singular value decomposition with balanced columns.
/// @param X               [n x p], n >= p
/// @param least_singular  share of the greatest singular value of X, its columns balanced, that the least must reach
/// @returns none where the columns of X do not tell the parameters apart
std::optional<LeastSquares> fit_linear(const Eigen::MatrixXd& X, const Eigen::VectorXd& y,
                                       double least_singular = 1e-10);

struct RobustLine {
  Eigen::VectorXd parameters;  ///< [p]
  double deviation = 0;        ///< spread of the observations that agree, from their median absolute residual
};

/// The same with observations that stray from the others counting less and less (Tukey's bisquare weights).
/// @returns none where there are too few observations (n < p + 2) or it does not come to an end
std::optional<RobustLine> fit_robust(const Eigen::MatrixXd& X, const Eigen::VectorXd& y);

/// Fills in the residuals at some parameters [n]; false where the model has no value there: that step is taken back.
using Residuals = std::function<bool(const Eigen::VectorXd& parameters, Eigen::VectorXd& residuals)>;

/// The parameters that make the residuals' sum of squares least, by Levenberg and Marquardt's method with central
/// differences.
/// @param start         [p], where the residuals must exist
/// @param observations  n >= p
/// @returns none where there is no end to it, no value at the start, or the residuals do not tell the parameters apart
std::optional<LeastSquares> fit_nonlinear(const Residuals& residuals, const Eigen::VectorXd& start, int observations);

/// The t that a value drawn from Student's distribution with so many freedoms is beyond, on either side, with
/// probability p.
double student_t(double p, int freedoms);

}  // namespace ridepitch
