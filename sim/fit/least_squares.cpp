#include "fit/least_squares.hpp"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_multifit.h>
#include <gsl/gsl_multifit_nlinear.h>

#include <cmath>
#include <memory>

namespace ridepitch {
namespace {

/// A derivative by differences is no better than this share of itself: what is smaller tells nothing.
constexpr double difference_error = 1e-6;

constexpr std::size_t most_iterations = 500;

/// Where the model has no value: worse than any value it has.
constexpr double no_value = 1e6;

template <class Object, void (*release)(Object*)>
struct Release {
  void operator()(Object* object) const { release(object); }
};
template <class Object, void (*release)(Object*)>
using Owned = std::unique_ptr<Object, Release<Object, release>>;

// The library's vectors and matrices, seen in the memory of ours.
using Table = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

std::size_t size(Eigen::Index count) { return static_cast<std::size_t>(count); }

gsl_vector_view view(Eigen::VectorXd& of) { return gsl_vector_view_array(of.data(), size(of.size())); }
gsl_matrix_view view(Table& of) { return gsl_matrix_view_array(of.data(), size(of.rows()), size(of.cols())); }

Eigen::VectorXd copy(const gsl_vector& of) {
  const Eigen::InnerStride<> stride(static_cast<Eigen::Index>(of.stride));
  return Eigen::Map<const Eigen::VectorXd, 0, Eigen::InnerStride<>>(of.data, static_cast<Eigen::Index>(of.size),
                                                                    stride);
}

Eigen::MatrixXd copy(const gsl_matrix& of) {
  const Eigen::OuterStride<> stride(static_cast<Eigen::Index>(of.tda));
  return Eigen::Map<const Table, 0, Eigen::OuterStride<>>(of.data, static_cast<Eigen::Index>(of.size1),
                                                          static_cast<Eigen::Index>(of.size2), stride);
}

/// A linear problem as the library takes it, and what it finds.
struct Linear {
  Table columns, covariance;
  Eigen::VectorXd observed, found;
  gsl_matrix_view columns_view = view(columns), covariance_view = view(covariance);
  gsl_vector_view observed_view = view(observed), found_view = view(found);

  Linear(const Eigen::MatrixXd& X, const Eigen::VectorXd& y)
      : columns(X), covariance(X.cols(), X.cols()), observed(y), found(X.cols()) {}
  Linear(const Linear&) = delete;  // the views look into it
};

/// Errors of the library are its functions' results here, not the end of the program.
void take_errors_as_results() { gsl_set_error_handler_off(); }

/// What the library is handed in place of a function object.
struct Call {
  const Residuals* residuals;
  Eigen::VectorXd out;
};

int call(const gsl_vector* parameters, void* data, gsl_vector* out) {
  Call& to = *static_cast<Call*>(data);
  const bool exists = (*to.residuals)(copy(*parameters), to.out) && to.out.allFinite();
  for (Eigen::Index i = 0; i < to.out.size(); ++i) gsl_vector_set(out, size(i), exists ? to.out[i] : no_value);
  return GSL_SUCCESS;
}

/// Whether the residuals are perpendicular to all that the parameters can change of them.
bool is_least(const Eigen::MatrixXd& J, const Eigen::VectorXd& residuals) {
  for (Eigen::Index j = 0; j < J.cols(); ++j) {
    if (std::abs(J.col(j).dot(residuals)) > difference_error * J.col(j).norm() * residuals.norm()) return false;
  }
  return true;
}

}  // namespace

double LeastSquares::deviation() const { return freedoms > 0 ? std::sqrt(sum_of_squares / freedoms) : 0; }

std::optional<double> LeastSquares::standard_error(int index) const {
  if (covariance.size() == 0) return std::nullopt;
  return std::sqrt(covariance(index, index));
}

std::optional<double> LeastSquares::standard_error_along(const Eigen::VectorXd& gradient) const {
  if (covariance.size() == 0) return std::nullopt;
  return std::sqrt(std::max(0.0, gradient.dot(covariance * gradient)));
}

std::optional<LeastSquares> fit_linear(const Eigen::MatrixXd& X, const Eigen::VectorXd& y, double least_singular) {
  const Eigen::Index n = X.rows(), p = X.cols();
  if (n < p || p == 0) return std::nullopt;
  take_errors_as_results();
  const Owned<gsl_multifit_linear_workspace, gsl_multifit_linear_free> work(
      gsl_multifit_linear_alloc(size(n), size(p)));
  Linear to(X, y);
  double sum_of_squares = 0;
  std::size_t rank = 0;
  const int end =
      gsl_multifit_linear_tsvd(&to.columns_view.matrix, &to.observed_view.vector, least_singular, &to.found_view.vector,
                               &to.covariance_view.matrix, &sum_of_squares, &rank, work.get());
  if (end != GSL_SUCCESS || rank < size(p)) return std::nullopt;
  LeastSquares fit;
  fit.parameters = to.found;
  fit.residuals = y - X * fit.parameters;
  fit.sum_of_squares = fit.residuals.squaredNorm();
  fit.freedoms = static_cast<int>(n - p);
  if (n > p) fit.covariance = to.covariance;
  return fit;
}

std::optional<RobustLine> fit_robust(const Eigen::MatrixXd& X, const Eigen::VectorXd& y) {
  const Eigen::Index n = X.rows(), p = X.cols();
  if (n < p + 2) return std::nullopt;
  take_errors_as_results();
  const Owned<gsl_multifit_robust_workspace, gsl_multifit_robust_free> work(
      gsl_multifit_robust_alloc(gsl_multifit_robust_bisquare, size(n), size(p)));
  Linear to(X, y);
  const int end = gsl_multifit_robust(&to.columns_view.matrix, &to.observed_view.vector, &to.found_view.vector,
                                      &to.covariance_view.matrix, work.get());
  if ((end != GSL_SUCCESS && end != GSL_EMAXITER) || !to.found.allFinite()) return std::nullopt;
  return RobustLine{to.found, gsl_multifit_robust_statistics(work.get()).sigma_mad};
}

std::optional<LeastSquares> fit_nonlinear(const Residuals& residuals, const Eigen::VectorXd& start, int observations) {
  const Eigen::Index n = observations, p = start.size();
  Call to{&residuals, Eigen::VectorXd::Zero(n)};
  if (n < p || p == 0 || !residuals(start, to.out) || !to.out.allFinite()) return std::nullopt;
  take_errors_as_results();

  gsl_multifit_nlinear_parameters how = gsl_multifit_nlinear_default_parameters();
  how.fdtype = GSL_MULTIFIT_NLINEAR_CTRDIFF;
  const Owned<gsl_multifit_nlinear_workspace, gsl_multifit_nlinear_free> work(
      gsl_multifit_nlinear_alloc(gsl_multifit_nlinear_trust, &how, size(n), size(p)));
  gsl_multifit_nlinear_fdf function{};
  function.f = call;
  function.n = size(n);
  function.p = size(p);
  function.params = &to;
  Eigen::VectorXd from = start;
  const auto from_view = view(from);
  if (gsl_multifit_nlinear_init(&from_view.vector, &function, work.get()) != GSL_SUCCESS) return std::nullopt;
  const double step = 1e-12, slope = 1e-14, change = 0;
  int why = 0;
  const int end = gsl_multifit_nlinear_driver(most_iterations, step, slope, change, nullptr, nullptr, &why, work.get());

  LeastSquares fit;
  fit.parameters = copy(*gsl_multifit_nlinear_position(work.get()));
  fit.residuals = -copy(*gsl_multifit_nlinear_residual(work.get()));
  fit.sum_of_squares = fit.residuals.squaredNorm();
  fit.freedoms = static_cast<int>(n - p);
  const Eigen::MatrixXd J = copy(*gsl_multifit_nlinear_jac(work.get()));
  // No further progress is an end as well, where rounding lets it go no lower.
  if (end != GSL_SUCCESS && !(why == GSL_ENOPROG && is_least(J, fit.residuals))) return std::nullopt;
  // Told apart or not is a matter of the columns' directions, not of their units: each is made of length 1.
  Eigen::MatrixXd directions = J;
  for (Eigen::Index j = 0; j < p; ++j) {
    if (!(J.col(j).norm() > 0)) return std::nullopt;
    directions.col(j).normalize();
  }
  if (!fit_linear(directions, fit.residuals, difference_error)) return std::nullopt;
  if (n > p) {
    Table covariance(p, p);
    auto covariance_view = view(covariance);
    if (gsl_multifit_nlinear_covar(gsl_multifit_nlinear_jac(work.get()), 0, &covariance_view.matrix) != GSL_SUCCESS)
      return std::nullopt;
    fit.covariance = covariance * (fit.sum_of_squares / fit.freedoms);
  }
  return fit;
}

double student_t(double p, int freedoms) { return gsl_cdf_tdist_Qinv(p / 2, freedoms); }

}  // namespace ridepitch
