#include "fit/reading_rows.hpp"

#include <algorithm>
#include <cmath>

namespace ridepitch {
double sign_of(Pass pass) { return pass == Pass::more ? 1 : pass == Pass::less ? -1 : 0; }

bool ReadingRows::both_ways(const std::vector<int>& used) const {
  const auto goes = [&](Pass pass) {
    return std::any_of(used.begin(), used.end(), [&](int i) { return at(i).pass == pass; });
  };
  return goes(Pass::more) && goes(Pass::less);
}

int ReadingRows::distinct_lengths(const std::vector<int>& used) const {
  std::vector<double> lengths;
  for (const int i : used) lengths.push_back(at(i).length_mm);
  std::sort(lengths.begin(), lengths.end());
  const auto end =
      std::unique(lengths.begin(), lengths.end(), [](double a, double b) { return std::abs(a - b) < same_length_mm; });
  return static_cast<int>(end - lengths.begin());
}

Eigen::VectorXd ReadingRows::row(const SpringReading& reading, const RowShape& shape) const {
  Eigen::VectorXd row(shape.columns());
  int next = 0;
  const double d = towards_more * (reading.length_mm - middle_mm);
  if (shape.constant) row[next++] = 1;
  row[next++] = d;
  if (shape.friction) row[next++] = sign_of(reading.pass);
  if (shape.bent) row[next++] = d * d;
  return row;
}

Eigen::MatrixXd ReadingRows::rows(const std::vector<int>& used, const RowShape& shape) const {
  Eigen::MatrixXd X(static_cast<Eigen::Index>(used.size()), shape.columns());
  for (std::size_t i = 0; i < used.size(); ++i) X.row(static_cast<Eigen::Index>(i)) = row(at(used[i]), shape);
  return X;
}

Eigen::VectorXd ReadingRows::forces(const std::vector<int>& used) const {
  Eigen::VectorXd y(static_cast<Eigen::Index>(used.size()));
  for (std::size_t i = 0; i < used.size(); ++i) y[static_cast<Eigen::Index>(i)] = at(used[i]).force_n;
  return y;
}

std::optional<LeastSquares> ReadingRows::fit(const std::vector<int>& used, const RowShape& shape) const {
  return fit_linear(rows(used, shape), forces(used));
}

}  // namespace ridepitch
