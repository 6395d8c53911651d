// SPDX-License-Identifier: GPL-3.0-or-later
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>

#include "bench/least_squares.h"

// The fit's least squares against the certified values of the NIST Statistical Reference Datasets for
// nonlinear regression. Data and certified values from memory: a figure remembered wrongly would not give
// all of the parameters and all of their standard errors to six digits, from both of NIST's starts.
namespace latchwright {

namespace {

struct Set {
  std::vector<double> y, x;
  std::function<double(const Eigen::VectorXd&, double)> model;
  std::vector<std::vector<double>> starts;
  std::vector<double> value, standard_error;
  double residual_sum = 0;
};

void check_set(const Set& set) {
  const auto n = static_cast<Eigen::Index>(set.value.size());
  const std::size_t count = set.y.size();
  const auto plain = [&set](const Eigen::VectorXd& p, Eigen::VectorXd& r) {
    for (Eigen::Index k = 0; k < r.size(); ++k) {
      const auto at = static_cast<std::size_t>(k);
      r[k] = set.y[at] - set.model(p, set.x[at]);
    }
    return r.allFinite();
  };
  for (const auto& start : set.starts) {
    bench::LeastSquares problem;
    problem.residuals = count;
    problem.start = Eigen::Map<const Eigen::VectorXd>(start.data(), n);
    problem.low = Eigen::VectorXd::Constant(n, -1e9);
    problem.high = Eigen::VectorXd::Constant(n, 1e9);
    problem.iterations = 5000;
    problem.tolerance = 1e-16;
    problem.function = [&](const Eigen::VectorXd& p, Eigen::VectorXd& r, Eigen::MatrixXd* jacobian) {
      if (jacobian != nullptr) *jacobian = bench::central_differences(plain, p, count, 3e-6);
      return plain(p, r);
    };
    const bench::Minimum best = bench::minimise(problem);
    REQUIRE(best.usable);
    CHECK(best.sum_of_squares == Approx(set.residual_sum).epsilon(1e-9));
    const Eigen::MatrixXd jacobian = bench::central_differences(plain, best.p, count, 3e-6);
    const double variance = best.sum_of_squares / static_cast<double>(count - set.value.size());
    const Eigen::MatrixXd spread = variance * bench::covariance(jacobian, Eigen::VectorXd::Zero(n));
    for (Eigen::Index k = 0; k < n; ++k) {
      const auto at = static_cast<std::size_t>(k);
      INFO("parameter " << k + 1);
      CHECK(best.p[k] == Approx(set.value[at]).epsilon(1e-6));
      CHECK(std::sqrt(spread(k, k)) == Approx(set.standard_error[at]).epsilon(1e-6));
    }
  }
}

}  // namespace

TEST_CASE("NIST Misra1a is reproduced with its standard errors") {
  check_set(
      {.y = {10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47,
             81.78},
       .x = {77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
       .model = [](const Eigen::VectorXd& b, double x) { return b[0] * (1 - std::exp(-b[1] * x)); },
       .starts = {{500, 1e-4}, {250, 5e-4}},
       .value = {2.3894212918e2, 5.5015643181e-4},
       .standard_error = {2.7070075241, 7.2668688436e-6},
       .residual_sum = 1.2455138894e-1});
}

TEST_CASE("NIST Thurber is reproduced with its standard errors") {
  check_set({.y = {80.574,   84.248,   87.264,   87.195,   89.076,   89.608,   89.868,   90.101,
                   92.405,   95.854,   100.696,  101.060,  401.672,  390.724,  567.534,  635.316,
                   733.054,  759.087,  894.206,  990.785,  1090.109, 1080.914, 1122.643, 1178.351,
                   1260.531, 1273.514, 1288.339, 1327.543, 1353.863, 1414.509, 1425.208, 1421.384,
                   1442.962, 1464.350, 1468.705, 1447.894, 1457.628},
             .x = {-3.067, -2.981, -2.921, -2.912, -2.840, -2.797, -2.702, -2.699, -2.633, -2.481,
                   -2.363, -2.322, -1.501, -1.460, -1.274, -1.212, -1.100, -1.046, -0.915, -0.714,
                   -0.566, -0.545, -0.400, -0.309, -0.109, -0.103, 0.010,  0.119,  0.377,  0.790,
                   0.963,  1.006,  1.115,  1.572,  1.841,  2.047,  2.200},
             .model =
                 [](const Eigen::VectorXd& b, double x) {
                   return (b[0] + x * (b[1] + x * (b[2] + x * b[3]))) /
                          (1 + x * (b[4] + x * (b[5] + x * b[6])));
                 },
             .starts = {{1000, 1000, 400, 40, 0.7, 0.3, 0.03}, {1300, 1500, 500, 75, 1, 0.4, 0.05}},
             .value = {1.2881396800e3, 1.4910792535e3, 5.8323836877e2, 7.5416644291e1, 9.6629502864e-1,
                       3.9797285797e-1, 4.9727297349e-2},
             .standard_error = {4.6647963344, 3.9571156086e1, 2.8698696102e1, 5.5675370270, 3.1333340687e-2,
                                1.4984928198e-2, 6.5842344623e-3},
             .residual_sum = 5.6427082397e3});
}

TEST_CASE("NIST MGH09 is reproduced with its standard errors") {
  check_set({.y = {0.1957, 0.1947, 0.1735, 0.16, 0.0844, 0.0627, 0.0456, 0.0342, 0.0323, 0.0235, 0.0246},
             .x = {4, 2, 1, 0.5, 0.25, 0.167, 0.125, 0.1, 0.0833, 0.0714, 0.0625},
             .model = [](const Eigen::VectorXd& b,
                         double x) { return b[0] * (x * x + x * b[1]) / (x * x + x * b[2] + b[3]); },
             .starts = {{25, 39, 41.5, 39}, {0.25, 0.39, 0.415, 0.39}},
             .value = {1.9280693458e-1, 1.9128232873e-1, 1.2305650693e-1, 1.3606233068e-1},
             .standard_error = {1.1435312227e-2, 1.9633220911e-1, 8.0842031232e-2, 9.0025542308e-2},
             .residual_sum = 3.0750560385e-4});
}

}  // namespace latchwright
