#include "linear.hpp"

#include <gsl/gsl_eigen.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <algorithm>
#include <cmath>
#include <memory>

namespace ridepitch::oracle {
namespace {

struct Free {
  void operator()(gsl_matrix* m) const { gsl_matrix_free(m); }
  void operator()(gsl_vector* v) const { gsl_vector_free(v); }
  void operator()(gsl_eigen_symmv_workspace* w) const { gsl_eigen_symmv_free(w); }
  void operator()(gsl_eigen_gensymmv_workspace* w) const { gsl_eigen_gensymmv_free(w); }
};
using MatrixOwner = std::unique_ptr<gsl_matrix, Free>;
using VectorOwner = std::unique_ptr<gsl_vector, Free>;

// A failed Cholesky is an answer here, not a reason to abort.
[[maybe_unused]] gsl_error_handler_t* const quiet = gsl_set_error_handler_off();

VectorOwner vector(int n) { return VectorOwner(gsl_vector_calloc(static_cast<std::size_t>(n))); }

// GSL wants at least as many rows as columns: rows of zeros change nothing.
MatrixOwner padded(const Matrix& A) {
  const int rows = std::max(A.rows, A.columns);
  MatrixOwner m(gsl_matrix_calloc(static_cast<std::size_t>(rows), static_cast<std::size_t>(A.columns)));
  for (int r = 0; r < A.rows; ++r) {
    for (int c = 0; c < A.columns; ++c) gsl_matrix_set(m.get(), r, c, A(r, c));
  }
  return m;
}

struct Singular {
  MatrixOwner U, V;
  VectorOwner values;
};

Singular singular_values(const Matrix& A) {
  Singular s{padded(A), MatrixOwner(gsl_matrix_alloc(A.columns, A.columns)), vector(A.columns)};
  gsl_linalg_SV_decomp_jacobi(s.U.get(), s.V.get(), s.values.get());
  return s;
}

EigenPairs collected(const gsl_vector* values, const gsl_matrix* vectors, int n) {
  EigenPairs e{Vector(n), Matrix(n, n)};
  for (int i = 0; i < n; ++i) {
    e.values[i] = gsl_vector_get(values, i);
    double length = 0;
    for (int r = 0; r < n; ++r) length = std::hypot(length, gsl_matrix_get(vectors, r, i));
    for (int r = 0; r < n; ++r) e.vectors(r, i) = gsl_matrix_get(vectors, r, i) / length;
  }
  return e;
}

}  // namespace

Vector least_squares(const Matrix& A, const Vector& b, double tolerance) {
  const int n = A.columns;
  if (n == 0) return {};
  const MatrixOwner QRZ = padded(A);
  const int rows = static_cast<int>(QRZ->size1);
  const int least = std::min(rows, n);
  const VectorOwner tau_Q = vector(least), tau_Z = vector(least), work = vector(n);
  const std::unique_ptr<gsl_permutation, void (*)(gsl_permutation*)> order(gsl_permutation_alloc(n),
                                                                           gsl_permutation_free);
  double scale = 0;
  for (const double entry : A.entries) scale = std::max(scale, std::abs(entry));
  if (scale == 0) return Vector(n, 0.0);
  std::size_t rank = 0;
  gsl_linalg_COD_decomp_e(QRZ.get(), tau_Q.get(), tau_Z.get(), order.get(), tolerance * scale, &rank, work.get());
  const VectorOwner rhs = vector(rows), x = vector(n), residual = vector(rows);
  for (std::size_t i = 0; i < b.size(); ++i) gsl_vector_set(rhs.get(), i, b[i]);
  gsl_linalg_COD_lssolve(QRZ.get(), tau_Q.get(), tau_Z.get(), order.get(), rank, rhs.get(), x.get(), residual.get());
  Vector out(n);
  for (int i = 0; i < n; ++i) out[i] = gsl_vector_get(x.get(), i);
  return out;
}

Matrix null_space(const Matrix& A, double tolerance) {
  if (A.columns == 0) return {};
  const Singular s = singular_values(A);
  double scale = 0;
  for (int i = 0; i < A.columns; ++i) scale = std::max(scale, gsl_vector_get(s.values.get(), i));
  std::vector<int> kept;
  for (int i = 0; i < A.columns; ++i) {
    if (!(gsl_vector_get(s.values.get(), i) > tolerance * scale)) kept.push_back(i);
  }
  Matrix Z(A.columns, static_cast<int>(kept.size()));
  for (int c = 0; c < Z.columns; ++c) {
    for (int r = 0; r < Z.rows; ++r) Z(r, c) = gsl_matrix_get(s.V.get(), r, kept[c]);
  }
  return Z;
}

std::optional<Vector> solve_if_definite(const Matrix& H, double shift, const Vector& b) {
  const MatrixOwner L = padded(H);
  for (int i = 0; i < H.rows; ++i) gsl_matrix_set(L.get(), i, i, H(i, i) + shift);
  if (gsl_linalg_cholesky_decomp1(L.get()) != GSL_SUCCESS) return std::nullopt;
  Vector x = b;
  gsl_vector_view view = gsl_vector_view_array(x.data(), x.size());
  gsl_linalg_cholesky_svx(L.get(), &view.vector);
  for (const double entry : x) {
    if (!std::isfinite(entry)) return std::nullopt;
  }
  return x;
}

EigenPairs eigen_symmetric(const Matrix& A) {
  const int n = A.rows;
  if (n == 0) return {};
  const MatrixOwner work_A = padded(A), vectors(gsl_matrix_alloc(n, n));
  const VectorOwner values = vector(n);
  const std::unique_ptr<gsl_eigen_symmv_workspace, Free> work(gsl_eigen_symmv_alloc(n));
  gsl_eigen_symmv(work_A.get(), values.get(), vectors.get(), work.get());
  gsl_eigen_symmv_sort(values.get(), vectors.get(), GSL_EIGEN_SORT_VAL_ASC);
  return collected(values.get(), vectors.get(), n);
}

EigenPairs eigen_generalised(const Matrix& K, const Matrix& M) {
  const int n = K.rows;
  const MatrixOwner work_K = padded(K), work_M = padded(M), vectors(gsl_matrix_alloc(n, n));
  const VectorOwner values = vector(n);
  const std::unique_ptr<gsl_eigen_gensymmv_workspace, Free> work(gsl_eigen_gensymmv_alloc(n));
  gsl_eigen_gensymmv(work_K.get(), work_M.get(), values.get(), vectors.get(), work.get());
  gsl_eigen_gensymmv_sort(values.get(), vectors.get(), GSL_EIGEN_SORT_VAL_ASC);
  return collected(values.get(), vectors.get(), n);
}

double dot(const Vector& a, const Vector& b) {
  double sum = 0;
  for (std::size_t i = 0; i < a.size(); ++i) sum += a[i] * b[i];
  return sum;
}

double greatest(const Vector& a) {
  double most = 0;
  for (const double entry : a) most = std::max(most, std::abs(entry));
  return most;
}

Matrix transposed(const Matrix& A) {
  Matrix T(A.columns, A.rows);
  for (int r = 0; r < A.rows; ++r) {
    for (int c = 0; c < A.columns; ++c) T(c, r) = A(r, c);
  }
  return T;
}

Matrix product(const Matrix& A, const Matrix& B) {
  Matrix P(A.rows, B.columns);
  for (int r = 0; r < A.rows; ++r) {
    for (int k = 0; k < A.columns; ++k) {
      for (int c = 0; c < B.columns; ++c) P(r, c) += A(r, k) * B(k, c);
    }
  }
  return P;
}

Vector product(const Matrix& A, const Vector& b) {
  Vector p(A.rows, 0.0);
  for (int r = 0; r < A.rows; ++r) {
    for (int c = 0; c < A.columns; ++c) p[r] += A(r, c) * b[c];
  }
  return p;
}

}  // namespace ridepitch::oracle
