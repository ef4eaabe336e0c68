#pragma once
// Coordinate partitioning: which of a linkage's coordinates follow, which are free, and how they hang together.
//
// The constraint Jacobian J [rows x cols] is factored with complete pivoting, P J Q = L [U11 U12]. The first
// `rank` pivot columns are the coordinates that follow, the others are free:
//
//     dq_follow = -U11^-1 U12 dq_free          (the tangent T)
//     J dq = rhs with dq_free = 0              (a Newton correction)
//     J' lambda = g over the following ones    (the constraint forces)
//
// Source: R. A. Wehage and E. J. Haug, J. Mech. Design 104 (1982) 247, with Gaussian elimination by
// complete pivoting (Golub and Van Loan, Matrix Computations, 3.4).

#include <vector>

#include <Eigen/Core>

namespace ridepitch {

struct Partition {
  int rank = 0;
  double det_sign = 0;           ///< sign of the product of pivots, with those of the permutations
  double least_pivot_share = 0;  ///< last pivot over first, columns weighted
  Eigen::MatrixXd lu;            ///< [rows x cols] factors, permuted
  std::vector<int> row, col;     ///< row[i], col[j]: which row and column of J stand at i, j
  std::vector<double> greatest;  ///< workspace of `factor`: of each column's rows that are left, weighted
  std::vector<int> below;        ///< likewise: rows that the pivot's row is taken from

  int rows() const { return static_cast<int>(lu.rows()); }
  int cols() const { return static_cast<int>(lu.cols()); }
  int freedoms() const { return cols() - rank; }
};

/// Factors J. Columns count with `weight` in the choice of pivots, so that radians and mm compare.
/// @param most_rank  stop after so many pivots (rows beyond are redundant); -1: as many as are over `threshold` times the first
void factor(const Eigen::MatrixXd& J, const std::vector<double>& weight, int most_rank, double threshold,
            Partition& part);

/// dq [cols] with J dq = rhs [rows] in the rows that count; free coordinates stay.
void solve_following(const Partition& part, const Eigen::VectorXd& rhs, Eigen::VectorXd& dq);

/// T [cols x freedoms]: one column for each free coordinate, which moves by 1.
void tangents(const Partition& part, Eigen::MatrixXd& T);
Eigen::MatrixXd tangents(const Partition& part);

/// lambda [rows] with J' lambda = g in the following coordinates; zero for redundant rows.
void multipliers(const Partition& part, const Eigen::VectorXd& g, Eigen::VectorXd& lambda);

}  // namespace ridepitch
