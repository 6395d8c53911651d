// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <initializer_list>
#include <vector>

#include "reference/cvode/door_system.h"

namespace latchwright::tests::cvode {

/// Sums a study's energy from CVODE's own dense output (docs/model.md section 9): Gauss–Legendre inside every
/// step, halved where the rules of 5 and of 3 points differ. The engine's ledger is
/// tests/support/energy_ledger.h; they share nothing.
class EnergyWatch {
 public:
  explicit EnergyWatch(const Network& network)
      : network_(network), current_(network.doors.size()), work_(network.doors.size()) {}

  /// A stretch of smooth run begins at the integrator's state; that of a pulse, of a rest, of a stall.
  void begin(const PulseSystem& system, Integrator& run);
  void begin(const RestSystem& system, Integrator& run);
  void begin(StallSystem& system, Integrator& run);
  /// The integrator has made a step.
  void step();
  /// Current and speed drop to zero; the state as of a system with motion.
  void pulse_ended(const std::vector<double>& full, const Layout& layout);

  double supply_J() const { return sum_.supply; }
  /// What the supply gave and nothing took, over what it gave.
  double imbalance() const {
    return (sum_.supply - sum_.used - dropped_ - (last_J_ - first_J_)) / sum_.supply;
  }

 private:
  struct Powers {
    double supply = 0, used = 0;
  };
  void begin(const Layout& layout, Integrator& run);
  Powers powers(const double* y);
  struct Point {
    double at, weight;
  };
  Powers quadrature(double from, double to, std::initializer_list<Point> rule);
  void integrate(double from, double to, int depth);
  double stored(const double* y) const;

  const Network& network_;
  Integrator* run_ = nullptr;
  Layout layout_;
  const PulseSystem* pulse_ = nullptr;
  StallSystem* stall_ = nullptr;
  double since_ = 0;
  bool begun_ = false;
  double first_J_ = 0, last_J_ = 0, dropped_ = 0;
  Powers sum_;
  std::vector<double> current_, work_, between_;
};

}  // namespace latchwright::tests::cvode
