// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/least_squares.h"

#include <ceres/ceres.h>
#include <glog/logging.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/failure.h"

namespace latchwright::bench {

namespace {

using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;

/// The parameters that are free, as one block.
class Block final : public ceres::CostFunction {
 public:
  Block(const LeastSquares& problem, const std::vector<int>& free) : problem_(problem), free_(free) {
    set_num_residuals(static_cast<int>(problem.residuals));
    mutable_parameter_block_sizes()->push_back(static_cast<int>(free.size()));
  }

  bool Evaluate(double const* const* parameters, double* residuals, double** jacobians) const override {
    Eigen::VectorXd p = problem_.start;
    for (std::size_t k = 0; k < free_.size(); ++k) p[free_[k]] = parameters[0][k];
    Eigen::VectorXd r(problem_.residuals);
    const bool wanted = jacobians != nullptr && jacobians[0] != nullptr;
    Eigen::MatrixXd jacobian;
    if (!problem_.function(p, r, wanted ? &jacobian : nullptr) || !r.allFinite()) return false;
    std::copy(r.data(), r.data() + r.size(), residuals);
    if (wanted) {
      if (!jacobian.allFinite()) return false;
      Eigen::Map<RowMajor> out(jacobians[0], r.size(), static_cast<Eigen::Index>(free_.size()));
      for (std::size_t k = 0; k < free_.size(); ++k)
        out.col(static_cast<Eigen::Index>(k)) = jacobian.col(free_[k]);
    }
    return true;
  }

 private:
  const LeastSquares& problem_;
  const std::vector<int>& free_;
};

/// What goes wrong is told by `usable`, not on standard error. Set once: the flag is the whole program's, and
/// several fits may run at a time.
void be_silent() {
  static const bool silent = [] {
    FLAGS_minloglevel = google::GLOG_FATAL;
    return true;
  }();
  static_cast<void>(silent);
}

}  // namespace

Minimum minimise(const LeastSquares& problem) {
  base::require(problem.start.size() == problem.low.size() && problem.start.size() == problem.high.size(),
                "every parameter has its bounds");
  std::vector<int> free;
  for (int k = 0; k < problem.start.size(); ++k) {
    if (problem.low[k] < problem.high[k]) free.push_back(k);
  }
  Minimum result;
  result.p = problem.start;
  std::vector<double> x;
  for (const int k : free) x.push_back(problem.start[k]);
  if (!free.empty()) {
    be_silent();
    ceres::Problem ceres_problem;
    ceres_problem.AddResidualBlock(new Block(problem, free), nullptr, x.data());
    for (std::size_t k = 0; k < free.size(); ++k) {
      const int index = static_cast<int>(k);
      if (std::isfinite(problem.low[free[k]]))
        ceres_problem.SetParameterLowerBound(x.data(), index, problem.low[free[k]]);
      if (std::isfinite(problem.high[free[k]]))
        ceres_problem.SetParameterUpperBound(x.data(), index, problem.high[free[k]]);
    }
    ceres::Solver::Options options;
    options.linear_solver_type = ceres::DENSE_QR;
    options.max_num_iterations = problem.iterations;
    options.function_tolerance = problem.tolerance;
    options.parameter_tolerance = problem.tolerance;
    options.gradient_tolerance = 1e-14;
    options.num_threads = 1;
    options.logging_type = ceres::SILENT;
    ceres::Solver::Summary summary;
    ceres::Solve(options, &ceres_problem, &summary);
    result.usable = summary.IsSolutionUsable();
    for (std::size_t k = 0; k < free.size(); ++k) result.p[free[k]] = x[k];
  }
  Eigen::VectorXd r(problem.residuals);
  const bool known = problem.function(result.p, r, nullptr) && r.allFinite();
  result.usable = known && (free.empty() || result.usable);
  result.sum_of_squares = known ? r.squaredNorm() : std::numeric_limits<double>::infinity();
  return result;
}

Eigen::MatrixXd central_differences(
    const std::function<bool(const Eigen::VectorXd& p, Eigen::VectorXd& r)>& function,
    const Eigen::VectorXd& p, std::size_t residuals, double share) {
  const auto rows = static_cast<Eigen::Index>(residuals);
  Eigen::MatrixXd jacobian(rows, p.size());
  Eigen::VectorXd above(rows), below(rows);
  for (Eigen::Index k = 0; k < p.size(); ++k) {
    const double step = share * (p[k] != 0 ? std::fabs(p[k]) : 1.0);
    Eigen::VectorXd there = p;
    there[k] = p[k] + step;
    const double high = there[k];
    const bool good = function(there, above);
    there[k] = p[k] - step;
    if (good && function(there, below)) {
      jacobian.col(k) = (above - below) / (high - there[k]);
    } else {
      jacobian.col(k).setConstant(std::numeric_limits<double>::quiet_NaN());
    }
  }
  return jacobian;
}

Eigen::MatrixXd covariance(const Eigen::MatrixXd& jacobian, const Eigen::VectorXd& information) {
  // By the singular values of J stretched to columns of length 1: parameters of very different size.
  const Eigen::Index n = jacobian.cols();
  Eigen::MatrixXd all(jacobian.rows() + n, n);
  all << jacobian, Eigen::MatrixXd(information.cwiseSqrt().asDiagonal());
  Eigen::VectorXd size = all.colwise().norm();
  for (Eigen::Index k = 0; k < n; ++k) {
    if (!(size[k] > 0)) size[k] = 1;
    all.col(k) /= size[k];
  }
  const Eigen::JacobiSVD<Eigen::MatrixXd> svd(all, Eigen::ComputeThinV);
  const double least = 1e-13 * svd.singularValues()[0];
  Eigen::VectorXd inverse = svd.singularValues();
  for (double& s : inverse) s = 1 / (std::max(s, least) * std::max(s, least));
  const Eigen::MatrixXd scaled = svd.matrixV() * inverse.asDiagonal() * svd.matrixV().transpose();
  return size.cwiseInverse().asDiagonal() * scaled * size.cwiseInverse().asDiagonal();
}

}  // namespace latchwright::bench
