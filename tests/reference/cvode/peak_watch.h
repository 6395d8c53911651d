// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "reference/cvode/door_system.h"

namespace latchwright::tests::cvode {

struct Peaks {
  double current = 0, coil = -1e300, pill = -1e300;
};

/// Follows current, hottest coil and thermistor of every door over the steps of a run. A maximum between two
/// steps is found on the cubic through both ends' values and rates.
class PeakWatch {
 public:
  explicit PeakWatch(const Network& network);

  /// A stretch of smooth run begins at y.
  void begin(System& system, const Layout& layout, double t, const double* y);
  void step(double t, const double* y);
  const std::vector<Peaks>& peaks() const { return peaks_; }

 private:
  struct Moment {
    double t = 0;
    std::vector<double> y, shown;
  };
  void show(const double* y, std::vector<double>& out) const;
  void take(const std::vector<double>& shown);
  /// Largest value between two moments of what is shown at `place`.
  double between(const Moment& a, const Moment& b, std::size_t place);

  const Network& network_;
  System* system_ = nullptr;
  Layout layout_;
  Moment before_, last_, now_;
  bool has_before_ = false;
  std::vector<double> rate_a_, rate_b_, shown_a_, shown_b_;
  std::vector<Peaks> peaks_;
};

}  // namespace latchwright::tests::cvode
