// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/block_matrix.h"

#include <nvector/nvector_serial.h>
#include <sundials/sundials_dense.h>

#include <algorithm>

namespace latchwright::tests::cvode {

Slopes::Slopes(std::size_t doors, std::size_t stride)
    : doors_(doors),
      stride_(stride),
      blocks_(doors * stride * stride),
      left_(doors * stride),
      right_(doors * stride),
      through_(doors * stride),
      pivots_(doors * stride) {
  for (std::size_t k = 0; k < doors * stride; ++k) columns_.push_back(blocks_.data() + k * stride);
}

void Slopes::clear() {
  std::fill(blocks_.begin(), blocks_.end(), 0.0);
  std::fill(left_.begin(), left_.end(), 0.0);
  std::fill(right_.begin(), right_.end(), 0.0);
}

void Slopes::scale_and_add_one(double factor) {
  for (double& value : blocks_) value *= factor;
  for (double& value : left_) value *= factor;
  for (std::size_t k = 0; k < doors_; ++k) {
    for (std::size_t n = 0; n < stride_; ++n) add(k, n, n, 1);
  }
}

void Slopes::write(double* const* columns) const {
  for (std::size_t k = 0; k < doors_; ++k) {
    for (std::size_t n = 0; n < stride_; ++n) {
      const std::size_t column = k * stride_ + n;
      std::copy_n(blocks_.data() + column * stride_, stride_, columns[column] + k * stride_);
      if (right_[column] == 0) continue;
      for (std::size_t row = 0; row < left_.size(); ++row)
        columns[column][row] += left_[row] * right_[column];
    }
  }
}

bool Slopes::factor() {
  const auto n = static_cast<sunindextype>(stride_);
  if (doors_ == 1) {
    for (std::size_t column = 0; column < stride_; ++column) {
      if (right_[column] == 0) continue;
      for (std::size_t row = 0; row < stride_; ++row) add(0, row, column, left_[row] * right_[column]);
    }
    return SUNDlsMat_denseGETRF(columns_.data(), n, n, pivots_.data()) == 0;
  }
  std::copy(left_.begin(), left_.end(), through_.begin());
  below_ = 1;
  for (std::size_t k = 0; k < doors_; ++k) {
    sunindextype* pivots = pivots_.data() + k * stride_;
    double* z = through_.data() + k * stride_;
    if (SUNDlsMat_denseGETRF(columns_.data() + k * stride_, n, n, pivots) != 0) return false;
    SUNDlsMat_denseGETRS(columns_.data() + k * stride_, n, pivots, z);
    for (std::size_t j = 0; j < stride_; ++j) below_ += right_[k * stride_ + j] * z[j];
  }
  return below_ != 0;
}

void Slopes::solve(double* x) {
  const auto n = static_cast<sunindextype>(stride_);
  double product = 0;
  for (std::size_t k = 0; k < doors_; ++k) {
    SUNDlsMat_denseGETRS(columns_.data() + k * stride_, n, pivots_.data() + k * stride_, x + k * stride_);
    for (std::size_t j = 0; j < stride_; ++j) product += right_[k * stride_ + j] * x[k * stride_ + j];
  }
  if (doors_ == 1) return;
  product /= below_;
  for (std::size_t j = 0; j < through_.size(); ++j) x[j] -= product * through_[j];
}

void Slopes::take(const Slopes& other) {
  std::copy(other.blocks_.begin(), other.blocks_.end(), blocks_.begin());
  std::copy(other.left_.begin(), other.left_.end(), left_.begin());
  std::copy(other.right_.begin(), other.right_.end(), right_.begin());
}

Slopes& slopes_of(SUNMatrix matrix) { return *static_cast<Slopes*>(matrix->content); }

SUNMatrix new_block_matrix(std::size_t doors, std::size_t stride, SUNContext context) {
  SUNMatrix matrix = SUNMatNewEmpty(context);
  matrix->content = new Slopes(doors, stride);
  matrix->ops->getid = [](SUNMatrix) { return SUNMATRIX_CUSTOM; };
  matrix->ops->clone = [](SUNMatrix m) {
    return new_block_matrix(slopes_of(m).doors(), slopes_of(m).stride(), m->sunctx);
  };
  matrix->ops->destroy = [](SUNMatrix m) {
    delete static_cast<Slopes*>(m->content);
    SUNMatFreeEmpty(m);
  };
  matrix->ops->zero = [](SUNMatrix m) {
    slopes_of(m).clear();
    return 0;
  };
  matrix->ops->copy = [](SUNMatrix from, SUNMatrix to) {
    slopes_of(to).take(slopes_of(from));
    return 0;
  };
  matrix->ops->scaleaddi = [](realtype factor, SUNMatrix m) {
    slopes_of(m).scale_and_add_one(factor);
    return 0;
  };
  return matrix;
}

SUNLinearSolver new_block_solver(SUNContext context) {
  SUNLinearSolver solver = SUNLinSolNewEmpty(context);
  solver->ops->gettype = [](SUNLinearSolver) { return SUNLINEARSOLVER_DIRECT; };
  solver->ops->getid = [](SUNLinearSolver) { return SUNLINEARSOLVER_CUSTOM; };
  solver->ops->initialize = [](SUNLinearSolver) { return 0; };
  // A positive flag: a zero pivot, which CVODE meets with a shorter step.
  solver->ops->setup = [](SUNLinearSolver, SUNMatrix m) { return slopes_of(m).factor() ? 0 : 1; };
  solver->ops->solve = [](SUNLinearSolver, SUNMatrix m, N_Vector x, N_Vector b, realtype) {
    if (x != b) N_VScale(1, b, x);
    slopes_of(m).solve(NV_DATA_S(x));
    return 0;
  };
  solver->ops->free = [](SUNLinearSolver s) {
    SUNLinSolFreeEmpty(s);
    return 0;
  };
  return solver;
}

}  // namespace latchwright::tests::cvode
