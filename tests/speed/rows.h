// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "reference/compare/figures.h"

namespace latchwright::tests::speed {

/// Figures of a study, and what its energy lacks over what the supply gave (docs/model.md section 9).
struct Watched {
  Figures figures;
  double imbalance = 0;
};

/// One study both ways. What is timed keeps neither trace nor energy; that takes a run of its own.
struct Row {
  std::string name, title;
  int cycles = 0;            ///< 0: not counted in cycles
  bool stated_only = false;  ///< the times say little of either solver
  std::function<void()> engine;
  std::function<Watched()> engine_watched;
  std::function<void(const cvode::Tolerances&)> cvode;
  std::function<Figures(const cvode::Tolerances&)> cvode_figures;
  std::function<double(const cvode::Tolerances&)> cvode_imbalance;
};

/// The worked case of docs/model.md section 10: cycles of one and of five doors, a stall, a rest.
std::vector<Row> rows();

}  // namespace latchwright::tests::speed
