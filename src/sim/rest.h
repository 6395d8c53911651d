// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <vector>

#include "sim/heat_modes.h"
#include "sim/segment.h"

namespace latchwright::sim {

/// Power off: each door's heat network is linear with constant coefficients, so a rest of any length is one
/// exact step (docs/model.md section 4).
class Rest {
 public:
  explicit Rest(const Circuit& circuit);

  /// Temperatures (heat_nodes per door) after `seconds` of rest; out may be the same vector.
  void after(const std::vector<double>& temperatures, double seconds, std::vector<double>& out) const;

  /// The same for one door: T and out are its heat_nodes temperatures, and may be the same.
  void door_after(std::size_t door, const double* T, double seconds, double* out) const;

  /// The longest time constant of any door, s.
  double slowest_s() const;

 private:
  double ambient_C_;
  std::vector<HeatModes> doors_;
};

/// Rests that all last as long: one matrix for each door, made once.
class EqualRests {
 public:
  EqualRests(const Rest& rest, std::size_t doors, double ambient_C, double seconds);
  /// Temperatures (heat_nodes per door) after such a rest; out may be the same vector.
  void after(const std::vector<double>& temperatures, std::vector<double>& out) const;

 private:
  using Matrix = std::array<std::array<double, physics::heat_nodes>, physics::heat_nodes>;
  double ambient_C_;
  std::vector<Matrix> doors_;  // column by column
};

/// A rest as observers see it; times from the study's start, s.
class RestSegment final : public Segment {
 public:
  RestSegment(const Rest& rest, const std::vector<double>& temperatures, double begin, double end)
      : rest_(rest), temperatures_(temperatures), begin_(begin), end_(end) {}
  double begin() const override { return begin_; }
  double end() const override { return end_; }
  void at(double t, State& full) const override;
  bool driven() const override { return false; }
  DoorEnds door_ends(std::size_t) const override { return {}; }
  double largest_current(std::size_t, double) const override { return 0; }
  const std::vector<DoorMode>& modes() const override { return none_; }
  bool unlocking() const override { return false; }

 private:
  const Rest& rest_;
  const std::vector<double>& temperatures_;
  double begin_;
  double end_;
  std::vector<DoorMode> none_;
};

}  // namespace latchwright::sim
