// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

#include "reference/cvode/block_matrix.h"
#include "reference/cvode/cvode_door.h"
#include "reference/cvode/integrator.h"

// The equations of docs/model.md as systems for the integrator.
namespace latchwright::tests::cvode {

/// Where a door's values stand in a state: `stride` values a door, its temperatures from `heat` on. A state
/// with currents begins with the current, one with motion goes on with speed and angle.
struct Layout {
  std::size_t stride = 0, heat = 0;
};

/// All doors of a pulse. Without motion, doors that do not move: two states a door fewer.
class PulseSystem final : public System {
 public:
  static constexpr std::size_t events_each = 4;

  PulseSystem(const Network& network, const std::vector<DoorMode>& modes, bool motion)
      : network_(network),
        modes_(modes),
        motion_(motion),
        layout_{(motion ? 3 : 1) + network.nodes, motion ? 3u : 1u} {}

  Layout layout() const { return layout_; }
  std::vector<double> usual_sizes() const;  ///< of one door
  bool unlocking = false;
  /// rad, of doors that stand, where this system has no motion
  std::vector<double> angles;

  void rates(const double* y, double* dydt) override;
  void slopes(const double* y, Slopes& out) override;
  void events(const double* y, double* g) override;

  /// K i - tau_f - tau_load of a door that stands, N·m.
  double start_surplus(std::size_t k, const double* y) const;
  /// Volts that drive a door's current.
  double drive_V(std::size_t k, const double* y) const;
  /// N·m and derivatives of the load at the shaft; N, the rod's whole force.
  struct Load {
    double torque, per_rad, per_speed, force, force_per_rad, force_per_speed;
  };
  Load load(std::size_t k, double theta, double w) const;

 private:
  double speed(const double* s) const { return motion_ ? s[1] : 0; }
  double angle(std::size_t k, const double* s) const { return motion_ ? s[2] : angles[k]; }
  const RodPieces& rod(std::size_t k) const {
    return unlocking ? network_.doors[k].unlock : network_.doors[k].lock;
  }
  double current_sum(const double* y) const;
  void motion_slopes(std::size_t k, const double* s, Slopes& out) const;

  const Network& network_;
  const std::vector<DoorMode>& modes_;
  bool motion_;
  Layout layout_;
};

/// Power off: temperatures only.
class RestSystem final : public System {
 public:
  explicit RestSystem(const Network& network) : network_(network) {}
  Layout layout() const { return {network_.nodes, 0}; }
  std::vector<double> usual_sizes() const { return std::vector<double>(network_.nodes, usual_kelvin); }
  void rates(const double* y, double* dydt) override;
  void slopes(const double* y, Slopes& out) override;
  /// How far each thermistor's resistance is within a tenth of its value at ambient, and beyond it.
  void events(const double* y, double* g) override;

 private:
  const Network& network_;
};

/// All doors held, no inductance: temperatures only.
class StallSystem final : public System {
 public:
  static constexpr std::size_t events_each = 2;

  explicit StallSystem(const Network& network)
      : network_(network), ohm_(network.doors.size()), current_(network.doors.size()) {}
  Layout layout() const { return {network_.nodes, 0}; }
  std::vector<double> usual_sizes() const { return std::vector<double>(network_.nodes, usual_kelvin); }
  const std::vector<double>& currents(const double* y) {
    solve(y);
    return current_;
  }
  void begin(const double* y);
  /// Which events are still waited for: the current halved; halved by the thermistor.
  std::vector<char> waits_half, waits_trip;
  const std::vector<double>& first_currents() const { return first_current_; }

  void rates(const double* y, double* dydt) override;
  void slopes(const double* y, Slopes& out) override;
  void events(const double* y, double* g) override;

 private:
  void solve(const double* y);

  const Network& network_;
  std::vector<double> ohm_, current_;
  double below_ = 1;
  std::vector<double> first_current_, first_winding_, first_pill_;
};

}  // namespace latchwright::tests::cvode
