// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "reference/cvode/cvode_pulse.h"

// The studies of docs/model.md section 5 by CVODE.
namespace latchwright::tests::cvode {

/// Power off, by CVODE too.
class Rest {
 public:
  Rest(const Network& network, const Tolerances& tolerances);
  void run(std::vector<double>& temperatures, double seconds, PeakWatch* watch,
           EnergyWatch* energy = nullptr);
  /// The time after which every thermistor's resistance stays within a tenth of its value at ambient.
  double cooled_s(const std::vector<double>& temperatures);

 private:
  bool stays_near(const double* y) const;
  const Network& network_;
  RestSystem system_;
  Integrator run_;
};

struct StallDoor {
  double first_current = 0, last_current = 0;
  std::optional<double> trip_s;
  bool halved = false;
  double peak_coil = 0, peak_pill = 0, last_coil = 0;
  std::vector<double> last_C;
  bool beyond_table = false;
};
/// energy: sums the study's energy beside; none where nobody asks.
std::vector<StallDoor> stall(const Network& network, double limit_s, const Tolerances& tolerances,
                             EnergyWatch* energy = nullptr);
/// Of every door.
std::vector<std::optional<double>> hold_currents(const Network& network);

struct CycleDoor {
  std::optional<double> first_throw, last_throw;  ///< arrivals; the last of those that arrived
  Peaks peaks;
  double last_coil = 0;
  std::vector<double> last_C;
  bool beyond_table = false;
};
struct CycleStudy {
  int cycles_done = 0, pulses = 0;
  int lockout_throw = 0;  ///< 0: none
  std::vector<std::size_t> missed;
  std::vector<double> lockout_C;  ///< temperatures at the failed pulse's end
  std::vector<CycleDoor> doors;
};
struct Cycles {
  int cycles = 10;
  double on_s = 0.5, gap_s = 1;
  bool on_through = false;
};
CycleStudy cycle(const Network& network, const Cycles& plan, const Tolerances& tolerances,
                 EnergyWatch* energy = nullptr);

struct Recovery {
  std::optional<double> recovery_s;
  double cooled_s = 0;
};
/// Rests from the temperatures of a failed pulse's end.
Recovery recover(const Network& network, const std::vector<double>& temperatures, double on_s, bool unlocking,
                 const Tolerances& tolerances);

}  // namespace latchwright::tests::cvode
