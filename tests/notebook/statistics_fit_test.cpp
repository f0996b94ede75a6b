// SPDX-License-Identifier: GPL-3.0-or-later
// Least squares against the National Institute of Standards and Technology's Statistical Reference
// Datasets; data from memory, certified values read again in public copies of them. A wrong digit
// in the data would not give the certified values.
#include "notebook/statistics_fit.h"

#include <gmock/gmock.h>

#include <Eigen/Dense>
#include <cmath>

namespace trueblank::tests {
namespace {

using notebook::Fit;

notebook::Prior nothing_known(Eigen::Index k) {
  return {.mean = Eigen::VectorXd::Zero(k), .sd = Eigen::VectorXd::Zero(k)};
}

// The standard deviations that NIST certifies: with the scatter of what is left.
Eigen::VectorXd doubts(const Fit& fit, Eigen::Index readings) {
  const double variance = fit.squares / static_cast<double>(readings - fit.at.size());
  return (variance * fit.covariance.diagonal()).cwiseSqrt();
}

void expect_alike(const Eigen::VectorXd& found, const Eigen::VectorXd& known, double relative) {
  ASSERT_EQ(found.size(), known.size());
  for (Eigen::Index i = 0; i < known.size(); ++i) {
    EXPECT_NEAR(found[i], known[i], relative * std::abs(known[i])) << "parameter " << i;
  }
}

// Source: NIST StRD linear regression, Longley (higher difficulty).
TEST(LinearFit, OfLongleysDataIsAsCertified) {
  Eigen::MatrixXd data(16, 7);
  data << 60323, 83.0, 234289, 2356, 1590, 107608, 1947,  //
      61122, 88.5, 259426, 2325, 1456, 108632, 1948,      //
      60171, 88.2, 258054, 3682, 1616, 109773, 1949,      //
      61187, 89.5, 284599, 3351, 1650, 110929, 1950,      //
      63221, 96.2, 328975, 2099, 3099, 112075, 1951,      //
      63639, 98.1, 346999, 1932, 3594, 113270, 1952,      //
      64989, 99.0, 365385, 1870, 3547, 115094, 1953,      //
      63761, 100.0, 363112, 3578, 3350, 116219, 1954,     //
      66019, 101.2, 397469, 2904, 3048, 117388, 1955,     //
      67857, 104.6, 419180, 2822, 2857, 118734, 1956,     //
      68169, 108.4, 442769, 2936, 2798, 120445, 1957,     //
      66513, 110.8, 444546, 4681, 2637, 121950, 1958,     //
      68655, 112.6, 482704, 3813, 2552, 123366, 1959,     //
      69564, 114.2, 502601, 3931, 2514, 125368, 1960,     //
      69331, 115.7, 518173, 4806, 2572, 127852, 1961,     //
      70551, 116.9, 554894, 4007, 2827, 130081, 1962;
  Eigen::MatrixXd slopes(16, 7);
  slopes << Eigen::VectorXd::Ones(16), data.rightCols(6);
  const Fit fit = notebook::linear_fit(-data.col(0), slopes, nothing_known(7));
  ASSERT_TRUE(fit.settled);
  Eigen::VectorXd known(7);
  known << -3482258.63459582, 15.0618722713733, -0.358191792925910e-01, -2.02022980381683,
      -1.03322686717359, -0.511041056535807e-01, 1829.15146461355;
  Eigen::VectorXd deviations(7);
  deviations << 890420.383607373, 84.9149257747669, 0.334910077722432e-01, 0.488399681651699,
      0.214274163161675, 0.226073200069370, 455.478499142212;
  // The condition of the scaled columns, some 4e4, over rounding leaves eight digits at the least.
  expect_alike(fit.at, known, 1e-8);
  expect_alike(doubts(fit, 16), deviations, 1e-8);
}

// Source: NIST StRD linear regression, Wampler1: 1 + x + x² + … + x⁵ for x = 0 … 20, all
// parameters exactly 1 and nothing left.
TEST(LinearFit, OfWamplersPolynomialIsExact) {
  Eigen::MatrixXd slopes(21, 6);
  for (int x = 0; x <= 20; ++x) {
    for (int power = 0; power < 6; ++power) slopes(x, power) = std::pow(x, power);
  }
  const Eigen::VectorXd read = slopes.rowwise().sum();
  const Fit fit = notebook::linear_fit(-read, slopes, nothing_known(6));
  ASSERT_TRUE(fit.settled);
  expect_alike(fit.at, Eigen::VectorXd::Ones(6), 1e-9);
  EXPECT_LT(fit.squares, 1e-10);
}

// Source: NIST StRD nonlinear regression, Misra1a, b₁·(1 − exp(−b₂·x)), from its first start.
TEST(LeastSquares, OfMisrasDataIsAsCertified) {
  Eigen::VectorXd x(14);
  x << 77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1,
      760.0;
  Eigen::VectorXd y(14);
  y << 10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
      81.78;
  const notebook::Misfit misfit = [&](const Eigen::VectorXd& at) -> std::optional<Eigen::VectorXd> {
    return Eigen::VectorXd(y.array() - at[0] * (1 - (-at[1] * x.array()).exp()));
  };
  const Fit fit = notebook::least_squares(misfit, Eigen::Vector2d(500, 1e-4), nothing_known(2),
                                          Eigen::Vector2d(1e-2, 1e-8));
  ASSERT_TRUE(fit.settled);
  expect_alike(fit.at, Eigen::Vector2d(2.3894212918e+02, 5.5015643181e-04), 1e-6);
  expect_alike(doubts(fit, 14), Eigen::Vector2d(2.7070075241e+00, 7.2668688436e-06), 1e-5);
  EXPECT_NEAR(fit.squares, 1.2455138894e-01, 1e-10);
}

// Source: for one parameter with slopes s and a prior of nil ± τ: (Σs·y)/(Σs² + 1/τ²), variance
// 1/(Σs² + 1/τ²) (ridge regression; by setting the derivative to nil).
TEST(LinearFit, WeighsThePriorAsOneMoreReading) {
  const Eigen::Vector3d s(1, 2, -1);
  const Eigen::Vector3d y(1.2, 1.9, -0.4);
  const double tau = 0.5;
  notebook::Prior prior = nothing_known(1);
  prior.sd[0] = tau;
  const Fit fit = notebook::linear_fit(-y, s, prior);
  const double information = s.squaredNorm() + 1 / (tau * tau);
  EXPECT_NEAR(fit.at[0], s.dot(y) / information, 1e-14);
  EXPECT_NEAR(fit.covariance(0, 0), 1 / information, 1e-14);
  EXPECT_NEAR(fit.prior_squares, std::pow(fit.at[0] / tau, 2), 1e-14);
}

TEST(LinearFit, SaysWhereTwoParametersCantBeToldApart) {
  Eigen::MatrixXd slopes(3, 2);
  slopes << 1, 2, 2, 4, 3, 6;
  EXPECT_FALSE(notebook::linear_fit(Eigen::Vector3d(1, 2, 3), slopes, nothing_known(2)).settled);
  notebook::Prior prior = nothing_known(2);
  prior.sd << 1, 1;
  EXPECT_TRUE(notebook::linear_fit(Eigen::Vector3d(1, 2, 3), slopes, prior).settled);
}

TEST(LeastSquares, KeepsOutOfWhereThereIsNoAnswer) {
  // √x is read as 1e-3 from a start whose full first step leads below nil.
  const notebook::Misfit misfit = [](const Eigen::VectorXd& at) -> std::optional<Eigen::VectorXd> {
    if (at[0] < 0) return {};
    return Eigen::VectorXd::Constant(1, std::sqrt(at[0]) - 1e-3);
  };
  const Fit fit = notebook::least_squares(misfit, Eigen::VectorXd::Ones(1), nothing_known(1),
                                          Eigen::VectorXd::Constant(1, 1e-9));
  EXPECT_TRUE(fit.settled);
  EXPECT_NEAR(fit.at[0], 1e-6, 1e-8);
}

TEST(LeastSquares, HasNoAnswerFromAStartThatHasNone) {
  const notebook::Misfit none = [](const Eigen::VectorXd&) -> std::optional<Eigen::VectorXd> {
    return {};
  };
  EXPECT_FALSE(notebook::least_squares(none, Eigen::VectorXd::Ones(1), nothing_known(1),
                                       Eigen::VectorXd::Ones(1))
                   .settled);
}

}  // namespace
}  // namespace trueblank::tests
