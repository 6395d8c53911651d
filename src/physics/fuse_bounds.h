// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <vector>

#include "base/tables.h"
#include "model/parts.h"
#include "physics/wire_heating.h"

namespace latchwright::physics {

/// A fuse opens where its element passes the square of this multiple of its rating (docs/model.md section 7).
inline constexpr double carry_multiple = 1.10;
inline constexpr double opening_level = carry_multiple * carry_multiple;

/// The quickest fuse that the standard allows: one thermal element, tau dy/dt = (I/(I_n f))² - y, open from
/// y = 1.10² on. y = 1 is the warmth of the derated rating, carried for ever. Currents in A, times in s.
class QuickestFuse {
 public:
  /// s (0: no delay at all) and A (the rating times the derating at its ambient).
  QuickestFuse(double tau_s, double derated_A);

  /// Exact for a current that stays the same for `dt` s.
  void advance(double current_A, double dt);
  /// Exact for a current that runs straight from one value to another in `dt` s.
  void advance(double from_A, double to_A, double dt);

  double value() const { return y_; }
  /// Largest y so far (at the ends of the steps: within a step of constant current there is none larger).
  double peak() const { return peak_; }
  /// sqrt(1.21 / peak): below 1 the fuse may open. Infinity before any current.
  double margin() const;

 private:
  double tau_;
  double derated_A_;
  double y_ = 0;
  double peak_ = 0;
  /// Weights of 1, x and x² (x from 0 to 1 over the step) in the answer of the element to a step of h time constants:
  /// the integrals of h e^(-h (1-x)) x^k. Kept, because many steps in a row are as long.
  struct Moments {
    double h = 0, m0 = 0, m1 = 0, m2 = 0;
  };
  static Moments moments_of(double h);
  Moments moments_;
};

/// Bounds of every fuse that meets its standard's gates (for blade fuses ISO 8820-3); no single fuse is
/// modelled. docs/model.md section 7. Currents in A, times in s, temperatures in degC. Infinity means never.
class FuseBounds {
 public:
  FuseBounds(const model::Fuse& fuse, const model::FuseFamily& family);

  double rating_A() const { return rating_A_; }
  /// Share of the rating that is left at an ambient: the family's table, ends held; else 1 - 0.002 (T - 23)
  /// above 23 degC, 1 below, never under 0.5.
  double derating(double T_C) const;

  /// s, the largest time constant with which the quickest element opens no later than t_min at every gate
  /// above 1.10; 0 where the family has no such gate.
  double quickest_tau_s() const { return tau_; }
  /// A cold element of the quickest fuse at this ambient.
  QuickestFuse quickest(double ambient_C) const { return {tau_, rating_A_ * derating(ambient_C)}; }
  /// s in which the quickest fuse opens under a constant current, from cold.
  double quickest_time(double current_A, double ambient_C) const;

  /// A gate of the slowest fuse: longest permitted time at a current.
  struct Gate {
    double current_A;
    double time_s;
  };
  /// The gates that have a longest time, by rising current.
  const std::vector<Gate>& slowest_gates() const { return slowest_; }
  /// s, t_max(I): log–log between the gates, equal at each, I²t constant beyond the last one, infinity below
  /// the first. The rating stands undiminished at every ambient.
  double slowest_time(double current_A) const;

 private:
  double rating_A_;
  double tau_ = 0;
  std::vector<Gate> slowest_;
  std::optional<base::LinearTable> derating_;
};

/// Whether the slowest fuse opens before a wire is hurt. Margins are t_wire/t_max: below 1 the wire suffers.
struct Guard {
  double margin_bolted = 0;   ///< at the bolted short
  double margin_partial = 0;  ///< smallest over 1.10 I_n <= I < bolted; infinity if there is no such current
  double partial_A = 0;       ///< where that smallest one is (0 if infinite)
  double unguarded_from_A = 0;      ///< lowest current whose ratio is below 1; 0 if none
  double unguarded_to_A = 0;        ///< highest such current; 0 if none
  bool bolted_never_heats = false;  ///< t_wire of the bolted short is infinite
  bool bolted_never_opens = false;  ///< t_max of the bolted short is infinite
};

/// docs/model.md section 7, "guarding a wire". The wire starts at `hot_C`, in air of `hot_C`; `bolted_A` is
/// the short at its far end. t_wire infinite: the ratio is infinite; else t_max infinite: it is 0. Minima to
/// 1e-6.
Guard guard(const FuseBounds& fuse, const WireHeating& wire, double hot_C, double short_time_C,
            double bolted_A);

}  // namespace latchwright::physics
