// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "sim/segment.h"

namespace latchwright::tests {

/// Of the supply's energy, that may stay unexplained: docs/model.md section 9.
constexpr double largest_imbalance = 1e-5;

/// Every term of a study's energy, J, docs/model.md (9.1).
struct Energy {
  double supply = 0;      ///< open-circuit voltage times the doors' currents
  double shared = 0;      ///< lost in R_s by the doors' currents
  double other_load = 0;  ///< lost to the doors because the other load pulls the tapped circuit down
  double branches = 0;    ///< lost in branch wires, joints and own fuses
  double rod = 0;         ///< F(x) s w without the bump stop, signed
  double bump = 0;        ///< done on the bump stops
  double to_ambient = 0;  ///< left the housings
  double stored = 0;      ///< sum of C ΔT
  double dropped = 0;     ///< ½ L i² and ½ J w² at each pulse's end
  double rounding = 0;    ///< what these may be off by because times late in a study are rounded

  double used() const { return shared + other_load + branches + rod + bump + to_ambient + stored + dropped; }
  double residual() const { return supply - used(); }
  /// Residual over the supply's energy.
  double imbalance() const { return residual() / supply; }
};

/// Sums a study's energy from its trace alone: Gauss–Legendre quadrature with halved intervals until two
/// estimates agree, powers written out here and not taken from the engine.
class EnergyLedger final : public sim::Observer {
 public:
  /// other_load_drop_V: what the other load takes from the voltage before the relay.
  explicit EnergyLedger(const sim::Circuit& circuit, double other_load_drop_V = 0)
      : circuit_(circuit), other_load_drop_V_(other_load_drop_V) {}

  void segment(const sim::Segment& segment) override;
  bool takes_whole_steps() const override { return true; }
  void pulse_ended(double t, const sim::State& full) override;

  /// All so far.
  Energy energy() const;
  long quadratures() const { return quadratures_; }
  double peak_rod_power() const { return peak_rod_power_; }      ///< W, to see that a load resisted
  double lowest_rod_power() const { return lowest_rod_power_; }  ///< W, below 0 where a load helped

 private:
  Energy power(const sim::State& full, bool driven, bool unlocking);
  Energy panel(const sim::Segment& segment, double from, double to);
  void integrate(const sim::Segment& segment, double from, double to, const Energy& whole, int depth);
  double stored_at(const sim::State& full) const;

  const sim::Circuit& circuit_;
  double other_load_drop_V_;
  Energy sum_;
  bool begun_ = false;
  double first_stored_ = 0, last_stored_ = 0, last_end_ = 0;
  long quadratures_ = 0;
  double peak_rod_power_ = 0, lowest_rod_power_ = 0;
  sim::State scratch_;
};

}  // namespace latchwright::tests
