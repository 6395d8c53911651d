// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "model/parts.h"

namespace latchwright::physics {

/// Time in which a fault current brings the copper of a wire to its limit: the closed form of
///   C'cu dT/dt = I² r20 (1 + a20 (T - 20)) - (T - hot)/R',   T(0) = hot,
/// with R' held at its value for the limit temperature (docs/model.md section 6). Times in s, currents in A.
/// Large currents: the adiabatic rule of IEC 60364-5-54; at or below `steady_A()`: never.
class FaultCurve {
 public:
  /// J/(K·m), ohm/m at hot, ohm/(m·K), W/(m·K), K from hot to the limit (may be 0 or negative: already
  /// there).
  FaultCurve(double copper_J_per_mK, double ohm_per_m, double ohm_per_mK, double loss_W_per_mK,
             double rise_K);

  /// s; infinity where the limit is never reached, 0 where the wire starts at or above it.
  double operator()(double current_A) const;
  /// A, the largest current that never reaches the limit.
  double steady_A() const { return steady_A_; }

 private:
  double copper_J_per_mK_;
  double ohm_per_m_;
  double ohm_per_mK_;
  double loss_W_per_mK_;
  double rise_K_;
  double steady_A_;
};

/// Heating of one insulated wire, alone or in a bundle, in still air. docs/model.md section 6, per metre of
/// wire:
///   C' dT/dt = I² r20 (1 + a20 (T - 20)) - (T - Ta)/R'
///   R' = bundle_factor (ln(d_o/d_c)/(2 pi k) + 1/(pi d_o h)),  h = Churchill–Chu + radiation, emissivity 0.9
/// One temperature for the copper and its insulation; horizontal, in air that is free to move, surroundings
/// at air temperature, no heat along the wire. Units: A, s, degC, ohm/m, W/m. Sources: Churchill and Chu 1975
/// (horizontal cylinder, Rayleigh number up to 1e12); Sutherland's law for air; copper 3.45e6 J/(m³K) from
/// IEC 60364-5-54; PVC 1.9e6 J/(m³K) from memory. Range: ambient -60 to 200 degC. Surfaces above copper's
/// boiling point (2562 degC) count as infinitely hot.
class WireHeating {
 public:
  /// `bundle_factor` multiplies the whole of R' (1: alone). wire.outside must not be below the conductor's
  /// diameter.
  WireHeating(const model::Wire& wire, double bundle_factor);

  /// ohm/m of one conductor.
  double ohm_per_m(double T_C) const;
  /// J/(K·m), copper and insulation: for steady use.
  double heat_capacity_J_per_mK() const { return whole_J_per_mK_; }
  /// J/(K·m), the copper alone: for faults, because the insulation lags by seconds.
  double copper_heat_capacity_J_per_mK() const { return copper_J_per_mK_; }

  /// K·m/W between conductor and air, with the surface temperature that belongs to both.
  double thermal_resistance_mK_per_W(double conductor_C, double ambient_C) const;
  /// degC for ever under a constant current; infinity where the copper runs away.
  double steady_temperature(double current_A, double ambient_C) const;
  /// A that holds the conductor at `conductor_C`; 0 if that is not above ambient.
  double steady_current(double conductor_C, double ambient_C) const;
  /// degC after a time under a constant current, R' following the temperature; to 1e-6 of the rise
  /// or 1e-6 K. Infinity once the surface passes copper's boiling point.
  double temperature_after(double current_A, double ambient_C, double start_C, double seconds) const;

  /// Fault times from `hot_C`, the wire's and the air's temperature, to `short_time_C`.
  FaultCurve fault_curve(double hot_C, double short_time_C) const;
  /// s, one point of that curve.
  double fault_time(double current_A, double hot_C, double short_time_C) const {
    return fault_curve(hot_C, short_time_C)(current_A);
  }

 private:
  struct SurfaceLoss {
    double per_kelvin;  ///< W/(m·K): loss over (surface - ambient), finite at equal temperatures too
    double flow;        ///< W/m
    double slope;       ///< W/(m·K): d flow / d surface
  };
  /// Loss of the wire alone (no bundle) with its surface at `surface_C`.
  SurfaceLoss surface_loss(double surface_C, double ambient_C) const;
  double surface_temperature(double conductor_C, double ambient_C) const;
  /// degC, or the boiling point where there is no steady surface below it.
  double steady_surface(double current_A, double ambient_C) const;

  double r20_;
  double outside_;
  double bundle_factor_;
  double insulation_mK_per_W_;
  double copper_J_per_mK_;
  double whole_J_per_mK_;
};

}  // namespace latchwright::physics
