#pragma once
// Dense linear algebra by the GNU Scientific Library, behind plain vectors.

#include <optional>
#include <vector>

namespace ridepitch::oracle {

using Vector = std::vector<double>;

/// A dense matrix, row by row.
struct Matrix {
  int rows = 0, columns = 0;
  Vector entries;

  Matrix() = default;
  Matrix(int r, int c) : rows(r), columns(c), entries(static_cast<std::size_t>(r) * static_cast<std::size_t>(c), 0.0) {}
  double& operator()(int r, int c) { return entries[static_cast<std::size_t>(r) * columns + c]; }
  double operator()(int r, int c) const { return entries[static_cast<std::size_t>(r) * columns + c]; }
};

/// Least squares solution of A x = b of least length (singular values under `tolerance` of the greatest count as 0).
Vector least_squares(const Matrix& A, const Vector& b, double tolerance = 1e-10);

/// Orthonormal columns that span the null space of A, [columns of A x freedoms].
Matrix null_space(const Matrix& A, double tolerance = 1e-9);

/// Solves (H + shift I) x = b if that matrix is positive definite.
std::optional<Vector> solve_if_definite(const Matrix& H, double shift, const Vector& b);

struct EigenPairs {
  Vector values;   ///< ascending
  Matrix vectors;  ///< in columns, of unit length
};
EigenPairs eigen_symmetric(const Matrix& A);

/// Eigenvalues and vectors of K x = value M x, M positive definite, ascending.
EigenPairs eigen_generalised(const Matrix& K, const Matrix& M);

double dot(const Vector& a, const Vector& b);
double greatest(const Vector& a);  ///< greatest absolute entry; 0 if empty
Matrix transposed(const Matrix& A);
Matrix product(const Matrix& A, const Matrix& B);
Vector product(const Matrix& A, const Vector& b);

}  // namespace ridepitch::oracle
