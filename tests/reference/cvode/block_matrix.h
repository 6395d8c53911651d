// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <sundials/sundials_linearsolver.h>
#include <sundials/sundials_matrix.h>

#include <cstddef>
#include <vector>

// The Jacobian of doors that share one node: a block a door, and one product of two vectors for what they do
// to each other. Its linear systems cost the doors' number times one door's.
namespace latchwright::tests::cvode {

/// block of each door + left right^T.
class Slopes {
 public:
  Slopes(std::size_t doors, std::size_t stride);

  void add(std::size_t door, std::size_t row, std::size_t column, double value) {
    blocks_[(door * stride_ + column) * stride_ + row] += value;
  }
  double& left(std::size_t door, std::size_t row) { return left_[door * stride_ + row]; }
  double& right(std::size_t door, std::size_t column) { return right_[door * stride_ + column]; }

  std::size_t doors() const { return doors_; }
  std::size_t stride() const { return stride_; }
  void clear();
  /// Becomes the other, which has the same size and is not factored.
  void take(const Slopes& other);
  /// This x factor + 1.
  void scale_and_add_one(double factor);
  /// Writes the whole matrix out, column after column; zero when handed over.
  void write(double* const* columns) const;
  /// Factors in place; false where a pivot is zero. Only solve() is of use afterwards.
  bool factor();
  void solve(double* x);

 private:
  double* const* block(std::size_t door) { return columns_.data() + door * stride_; }

  std::size_t doors_, stride_;
  std::vector<double> blocks_, left_, right_, through_;
  std::vector<double*> columns_;
  std::vector<sunindextype> pivots_;
  double below_ = 1;
};

/// As SUNDIALS wants them: a matrix of such slopes and the solver that goes with it.
SUNMatrix new_block_matrix(std::size_t doors, std::size_t stride, SUNContext context);
SUNLinearSolver new_block_solver(SUNContext context);
Slopes& slopes_of(SUNMatrix matrix);

}  // namespace latchwright::tests::cvode
