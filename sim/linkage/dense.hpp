#pragma once
// Dense linear algebra on small matrices: Eigen's decompositions behind a light header.

#include <Eigen/Core>

namespace ridepitch {

/// Solves A x = b for symmetric positive definite A, in place: A is overwritten, b becomes x. Allocates nothing.
/// @returns false if A is not positive definite
bool solve_positive(Eigen::MatrixXd& A, Eigen::VectorXd& b);

/// x of least norm with least |A x - b|, by a complete orthogonal decomposition.
/// @param threshold  singular directions under this share of the greatest do not count
Eigen::VectorXd least_squares(const Eigen::MatrixXd& A, const Eigen::VectorXd& b, double threshold = 1e-10);

/// Numerical rank by the same measure.
int matrix_rank(const Eigen::MatrixXd& A, double threshold = 1e-10);

/// Orthonormal columns that span { x : A x = 0 }.
Eigen::MatrixXd null_space(const Eigen::MatrixXd& A, double threshold = 1e-10);

/// Eigenvalues (rising) and vectors (columns) of a symmetric matrix.
struct Spectrum {
  Eigen::VectorXd values;
  Eigen::MatrixXd vectors;
};
Spectrum spectrum(const Eigen::MatrixXd& A);

/// Solutions of K x = value M x for symmetric K and symmetric positive definite M; rising, with x' M x = 1.
Spectrum spectrum(const Eigen::MatrixXd& K, const Eigen::MatrixXd& M);

/// x >= 0 with least |A x - b|. Source: C. L. Lawson and R. J. Hanson, Solving Least Squares Problems, ch. 23.
Eigen::VectorXd nonnegative_least_squares(const Eigen::MatrixXd& A, const Eigen::VectorXd& b);

}  // namespace ridepitch
