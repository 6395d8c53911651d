// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <Eigen/Dense>
#include <functional>
#include <vector>

namespace latchwright::bench {

/// Residuals at p, and their derivatives where `jacobian` is there (a row a residual). Gives false where p
/// has no meaning or the work is to end.
using Residuals =
    std::function<bool(const Eigen::VectorXd& p, Eigen::VectorXd& r, Eigen::MatrixXd* jacobian)>;

struct LeastSquares {
  std::size_t residuals = 0;
  Residuals function;
  Eigen::VectorXd start, low, high;  ///< start within the bounds; low == high: held there
  int iterations = 200;
  double tolerance = 1e-12;  ///< relative change of cost or of p at which it is good
};

struct Minimum {
  Eigen::VectorXd p;
  double sum_of_squares = 0;
  bool usable = false;  ///< a minimum was approached; false where the function refused
};

/// Smallest sum of squares within the bounds (Levenberg and Marquardt's way, by Ceres). Deterministic.
Minimum minimise(const LeastSquares& problem);

/// Derivatives by central differences, steps `share` of the parameter's size (of 1 where it is 0), for
/// functions that give none. function: of p alone, like Residuals without the last argument.
Eigen::MatrixXd central_differences(
    const std::function<bool(const Eigen::VectorXd& p, Eigen::VectorXd& r)>& function,
    const Eigen::VectorXd& p, std::size_t residuals, double share);

/// (J'J + diag(information))^-1: the covariance of p for residuals of variance 1, information being what is
/// known of each parameter from elsewhere (1/sd²; 0: nothing).
Eigen::MatrixXd covariance(const Eigen::MatrixXd& jacobian, const Eigen::VectorXd& information);

}  // namespace latchwright::bench
