// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "reference/cvode/energy_watch.h"
#include "reference/cvode/peak_watch.h"

namespace latchwright::tests::cvode {

using Arrivals = std::vector<std::optional<double>>;

/// Runs pulses by CVODE, which stops at every change of a door's state and starts afresh behind it.
class Pulse {
 public:
  Pulse(const Network& network, const Tolerances& tolerances);

  /// One pulse; temperatures: network.nodes a door, taken and left at its end. Arrivals from the pulse's
  /// start.
  const Arrivals& run(std::vector<double>& temperatures, double on_s, bool unlocking, PeakWatch* watch,
                      EnergyWatch* energy = nullptr);

 private:
  void begin(bool unlocking);
  /// Sends doors into the states that follow at once from where they are; `found` by the integrator, or null.
  void settle(const int* found, double t);
  bool settle_door(std::size_t k, const int* found, double t);
  bool start(std::size_t k, bool found);
  void enter_piece(std::size_t k, std::size_t piece);
  bool any_moves() const;
  bool needs_watching() const;
  void load_state(Integrator& integrator, const Layout& layout) const;
  void save_state(Integrator& integrator, const Layout& layout);

  const Network& network_;
  std::vector<DoorMode> modes_;
  PulseSystem moving_, standing_;
  Integrator moving_run_, standing_run_;
  std::vector<double> full_;  // in the layout of moving_
  Arrivals arrivals_;
  bool equal_drops_ = true;
};

}  // namespace latchwright::tests::cvode
