// The fitting against certified values: NIST/ITL Statistical Reference Datasets (StRD), linear and nonlinear regression,
// https://www.itl.nist.gov/div898/strd/ (data and certified values as in the datasets' own .dat files).

#include "fit/least_squares.hpp"

#include <gtest/gtest.h>

#include <cmath>
#include <vector>

namespace ridepitch {
namespace {

using Eigen::MatrixXd;
using Eigen::VectorXd;

VectorXd vector_of(const std::vector<double>& values) {
  return Eigen::Map<const VectorXd>(values.data(), static_cast<Eigen::Index>(values.size()));
}

/// Columns 1, x, x^2, ...
MatrixXd powers(const VectorXd& x, int columns) {
  MatrixXd X(x.size(), columns);
  for (int j = 0; j < columns; ++j) X.col(j) = x.array().pow(j);
  return X;
}

struct Certified {
  double value, deviation;
};

/// Compares parameters, their standard deviations and the residual standard deviation, each to a share of itself.
void expect_certified(const LeastSquares& fit, const std::vector<Certified>& certified, double deviation,
                      double tolerance) {
  ASSERT_EQ(fit.parameters.size(), static_cast<Eigen::Index>(certified.size()));
  for (std::size_t i = 0; i < certified.size(); ++i) {
    const int index = static_cast<int>(i);
    EXPECT_NEAR(fit.parameters[index] / certified[i].value, 1, tolerance) << "B" << i;
    EXPECT_NEAR(*fit.standard_error(index) / certified[i].deviation, 1, tolerance) << "deviation of B" << i;
  }
  EXPECT_NEAR(fit.deviation() / deviation, 1, tolerance);
}

// ------------------------------------------------------------------------------------ straight

TEST(FitLinear, AgreesWithNistNorris) {  // StRD linear, lower difficulty
  const VectorXd x = vector_of({0.2, 337.4, 118.2, 884.6, 10.1,  226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4,
                                0.6, 775.5, 666.9, 338.0, 447.5, 11.6,  556.0, 228.1, 995.8, 887.6, 120.2, 0.3,
                                0.3, 556.8, 339.1, 887.2, 999.0, 779.0, 11.1,  118.3, 229.2, 669.1, 448.9, 0.5});
  const VectorXd y = vector_of({0.1, 338.8, 118.1, 888.0, 9.2,   228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3,
                                0.1, 778.1, 668.8, 339.3, 448.9, 10.8,  557.7, 228.3, 998.0, 888.8, 119.6, 0.3,
                                0.6, 557.6, 339.3, 888.0, 998.5, 778.9, 10.2,  117.6, 228.9, 668.4, 449.2, 0.2});
  const auto fit = fit_linear(powers(x, 2), y);
  ASSERT_TRUE(fit);
  EXPECT_EQ(fit->freedoms, 34);
  expect_certified(*fit, {{-0.262323073774029, 0.232818234301152}, {1.00211681802045, 0.429796848199937e-3}},
                   0.884796396144373, 1e-11);
}

TEST(FitLinear, AgreesWithNistPontius) {  // StRD linear, average difficulty: a load cell's bend under 0.15 to 3 million
  std::vector<double> load;
  for (int twice = 0; twice < 2; ++twice) {
    for (int step = 1; step <= 20; ++step) load.push_back(150000.0 * step);
  }
  const VectorXd y =
      vector_of({.11019,  .21956,  .32949,  .43899,  .54803,  .65694,  .76562,  .87487,  .98292,  1.09146,
                 1.20001, 1.30822, 1.41599, 1.52399, 1.63194, 1.73947, 1.84646, 1.95392, 2.06128, 2.16844,
                 .11052,  .22018,  .32939,  .43886,  .54798,  .65739,  .76596,  .87474,  .98300,  1.09150,
                 1.20004, 1.30818, 1.41613, 1.52408, 1.63159, 1.73965, 1.84696, 1.95445, 2.06177, 2.16829});
  const auto fit = fit_linear(powers(vector_of(load), 3), y);
  ASSERT_TRUE(fit);
  expect_certified(*fit,
                   {{0.673565789473684e-3, 0.107938612033077e-3},
                    {0.732059160401003e-6, 0.157817399981659e-9},
                    {-0.316081871345029e-14, 0.486652849992036e-16}},
                   0.205177424076185e-3, 1e-9);
}

TEST(FitLinear, AgreesWithNistNoInt1) {  // StRD linear, average difficulty: a line through the origin
  const VectorXd x = VectorXd::LinSpaced(11, 60, 70), y = VectorXd::LinSpaced(11, 130, 140);
  const auto fit = fit_linear(x, y);
  ASSERT_TRUE(fit);
  expect_certified(*fit, {{2.07438016528926, 0.165289256198347e-1}}, 3.56753034006338, 1e-12);
}

TEST(FitLinear, TellsNoErrorsWhereNothingIsLeftOver) {
  const auto fit = fit_linear(powers(vector_of({1, 3}), 2), vector_of({5, 9}));
  ASSERT_TRUE(fit);
  EXPECT_EQ(fit->freedoms, 0);
  EXPECT_NEAR(fit->parameters[1], 2, 1e-12);  // (9 - 5) / (3 - 1)
  EXPECT_FALSE(fit->standard_error(0));
  EXPECT_EQ(fit->deviation(), 0);
}

TEST(FitLinear, RefusesWhatItsColumnsCanNotTellApart) {
  MatrixXd twice(4, 2);
  twice << 1, 2, 2, 4, 3, 6, 4, 8;
  EXPECT_FALSE(fit_linear(twice, vector_of({1, 2, 3, 4})));
  EXPECT_FALSE(fit_linear(powers(vector_of({1, 2}), 3), vector_of({1, 2})));  // fewer observations than parameters
}

TEST(FitLinear, ErrorAlongAGradientIsThatOfTheCombination) {
  // y = a + b x at x = 0, 1, 2 with s^2 = 1/6: var(a + b) = s^2 / 3 at the mean x. Draper and Smith, ch. 1 (from memory).
  const auto fit = fit_linear(powers(vector_of({0, 1, 2}), 2), vector_of({0, 1.5, 2}));
  ASSERT_TRUE(fit);
  const double square = fit->deviation() * fit->deviation();
  EXPECT_NEAR(square, 1.0 / 6, 1e-12);  // residuals -1/6, 1/3, -1/6: their squares sum to 1/6, one freedom
  EXPECT_NEAR(*fit->standard_error_along(vector_of({1, 1})), std::sqrt(square / 3), 1e-12);
}

TEST(FitRobust, ALineIsNotMovedByAWildReading) {
  VectorXd x = VectorXd::LinSpaced(10, 0, 9), y = (2 * x.array() + 1).matrix();
  y[3] += 0.01;
  y[6] -= 0.01;
  y[8] += 40;
  const auto line = fit_robust(powers(x, 2), y);
  ASSERT_TRUE(line);
  EXPECT_NEAR(line->parameters[0], 1, 0.02);
  EXPECT_NEAR(line->parameters[1], 2, 0.01);
  EXPECT_FALSE(fit_robust(powers(vector_of({1, 2, 3}), 2), vector_of({1, 2, 3})));  // too few to tell
}

// ------------------------------------------------------------------------------------ curved

/// A nonlinear dataset: y, x, and the model with parameters b.
LeastSquares fit_curve(const std::vector<double>& x, const std::vector<double>& y, const std::vector<double>& start,
                       double (*model)(const VectorXd& b, double x)) {
  const Residuals residuals = [&](const VectorXd& b, VectorXd& out) {
    for (std::size_t i = 0; i < x.size(); ++i) out[static_cast<Eigen::Index>(i)] = model(b, x[i]) - y[i];
    return true;
  };
  const auto fit = fit_nonlinear(residuals, vector_of(start), static_cast<int>(x.size()));
  EXPECT_TRUE(fit);
  return fit.value_or(LeastSquares{});
}

TEST(FitNonlinear, AgreesWithNistMisra1aFromBothStarts) {  // StRD nonlinear, lower difficulty
  const std::vector<double> y = {10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02,
                                 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78};
  const std::vector<double> x = {77.6,  114.9, 141.1, 190.8, 239.9, 289.0, 332.8,
                                 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0};
  const auto model = [](const VectorXd& b, double at) { return b[0] * (1 - std::exp(-b[1] * at)); };
  for (const std::vector<double>& start : {std::vector<double>{500, 0.0001}, {250, 0.0005}}) {
    const LeastSquares fit = fit_curve(x, y, start, model);
    ASSERT_EQ(fit.freedoms, 12);
    expect_certified(fit, {{2.3894212918e2, 2.7070075241}, {5.5015643181e-4, 7.2668688436e-6}}, 1.0187876330e-1, 1e-7);
  }
}

TEST(FitNonlinear, AgreesWithNistThurberFromBothStarts) {  // StRD nonlinear, higher difficulty, 7 parameters
  const std::vector<double> y = {80.574,   84.248,   87.264,   87.195,   89.076,   89.608,   89.868,   90.101,
                                 92.405,   95.854,   100.696,  101.060,  401.672,  390.724,  567.534,  635.316,
                                 733.054,  759.087,  894.206,  990.785,  1090.109, 1080.914, 1122.643, 1178.351,
                                 1260.531, 1273.514, 1288.339, 1327.543, 1353.863, 1414.509, 1425.208, 1421.384,
                                 1442.962, 1464.350, 1468.705, 1447.894, 1457.628};
  const std::vector<double> x = {-3.067, -2.981, -2.921, -2.912, -2.840, -2.797, -2.702, -2.699, -2.633, -2.481,
                                 -2.363, -2.322, -1.501, -1.460, -1.274, -1.212, -1.100, -1.046, -0.915, -0.714,
                                 -0.566, -0.545, -0.400, -0.309, -0.109, -0.103, 0.010,  0.119,  0.377,  0.790,
                                 0.963,  1.006,  1.115,  1.572,  1.841,  2.047,  2.200};
  const auto model = [](const VectorXd& b, double at) {
    return (b[0] + at * (b[1] + at * (b[2] + at * b[3]))) / (1 + at * (b[4] + at * (b[5] + at * b[6])));
  };
  for (const std::vector<double>& start :
       {std::vector<double>{1000, 1000, 400, 40, 0.7, 0.3, 0.03}, {1300, 1500, 500, 75, 1, 0.4, 0.05}}) {
    const LeastSquares fit = fit_curve(x, y, start, model);
    ASSERT_EQ(fit.freedoms, 30);
    expect_certified(fit,
                     {{1.2881396800e3, 4.6647963344},
                      {1.4910792535e3, 3.9571156086e1},
                      {5.8323836877e2, 2.8698696102e1},
                      {7.5416644291e1, 5.5675370270},
                      {9.6629502864e-1, 3.1333340687e-2},
                      {3.9797285797e-1, 1.4984928198e-2},
                      {4.9727297349e-2, 6.5842344623e-3}},
                     1.3714600784e1, 1e-6);
  }
}

TEST(FitNonlinear, TakesBackStepsToWhereTheModelHasNoValue) {
  // The root of x is 0.25, where sqrt(x) is 0.5; from 4 a full Gauss-Newton step would lead to x = -2, where there is none.
  const Residuals root = [](const VectorXd& b, VectorXd& out) {
    if (b[0] < 0) return false;
    out[0] = std::sqrt(b[0]) - 0.5;
    return true;
  };
  const auto fit = fit_nonlinear(root, vector_of({4}), 1);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->parameters[0], 0.25, 1e-9);
  EXPECT_FALSE(fit_nonlinear(root, vector_of({-1}), 1));  // no value at the start
}

TEST(FitNonlinear, RefusesParametersThatTheResidualsDoNotTellApart) {
  const Residuals sum_only = [](const VectorXd& b, VectorXd& out) {
    for (int i = 0; i < 3; ++i) out[i] = (b[0] + b[1]) * (i + 1) - 2;
    return true;
  };
  EXPECT_FALSE(fit_nonlinear(sum_only, vector_of({0.3, 0.4}), 3));
}

TEST(StudentT, AgreesWithPrintedTables) {
  // Student's t, two-sided 5 %: 12.706, 2.228, 2.042 for 1, 10, 30 freedoms; any statistics text.
  EXPECT_NEAR(student_t(0.05, 1), 12.706, 5e-4);
  EXPECT_NEAR(student_t(0.05, 10), 2.228, 5e-4);
  EXPECT_NEAR(student_t(0.05, 30), 2.042, 5e-4);
}

}  // namespace
}  // namespace ridepitch
