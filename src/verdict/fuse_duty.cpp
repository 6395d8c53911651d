// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/fuse_duty.h"

#include <algorithm>
#include <cmath>

namespace latchwright::verdict {

namespace {

/// Largest current that a door can ever draw: its rotor standing, its resistances at their least, nothing
/// lost in the shared wires. Nodes never fall below ambient, and the back-EMF of a turning rotor only
/// opposes.
double ceiling_A(const sim::Circuit& circuit, const sim::DoorCircuit& door) {
  const double T = circuit.at.ambient_C;
  const auto& curve = door.ptc.curve->curve();
  double least = door.ptc.resistance(T).value;
  for (std::size_t n = 0; n < curve.points_x().size(); ++n) {
    // The curve is monotone between its points: beyond ambient its least value stands at one of them.
    if (curve.points_x()[n] > T)
      least = std::min(least, door.ptc.resistance_25 * std::exp(curve.points_y()[n]));
  }
  const double volts = circuit.source_V - door.motor.brush_drop;
  return std::max(0.0, volts) / (door.branch_ohm + door.motor.winding_ohm(T) + least);
}

double ceiling_A(const sim::Circuit& circuit, const FuseSubject& fuse) {
  if (fuse.door) return ceiling_A(circuit, circuit.doors[*fuse.door]);
  double sum = 0;
  for (const auto& door : circuit.doors) sum += ceiling_A(circuit, door);
  return sum;
}

constexpr double clear_pass = 1.001;  // margin by which a bound must pass: rounding is none of its business

bool surely_bears(const Findings& findings, const FuseSubject& fuse, std::size_t a) {
  const model::Job& job = findings.study().job;
  const double on = job.pulse.on_s, gap = job.use.gap_s;
  const double rms = ceiling_A(findings.circuit(usual_level, a), fuse) * std::sqrt(on / (on + gap));
  const double have =
      job.limits.fuse_loading * fuse.bounds.rating_A() * fuse.bounds.derating(findings.controller_ambient(a));
  return have >= clear_pass * (rms + fuse.other_A);
}

bool surely_carries(const Findings& findings, const FuseSubject& fuse, std::size_t v, std::size_t a) {
  const model::Job& job = findings.study().job;
  const double most = ceiling_A(findings.circuit(v, a), fuse) + fuse.other_A;
  physics::QuickestFuse element = fuse.bounds.quickest(findings.controller_ambient(a));
  constexpr double for_long = 1e6;  // s
  if (fuse.other_A > 0) element.advance(fuse.other_A, for_long);
  for (int pulse = 0; pulse < 2 * findings.wanted_cycles(a); ++pulse) {
    element.advance(most, job.pulse.on_s);
    element.advance(fuse.other_A, job.use.gap_s);
  }
  return element.margin() >= clear_pass;
}

// The largest currents first (high voltage, cold), then the weakest fuse.
constexpr std::size_t voltage_order[] = {2, 1, 0};
constexpr std::size_t ambient_order[] = {0, 2, 1};

}  // namespace

bool bears_load(const Findings& findings, const FuseSubject& fuse) {
  return std::all_of(std::begin(ambient_order), std::end(ambient_order), [&](std::size_t a) {
    return surely_bears(findings, fuse, a) || fuse_load_row(findings, fuse, a).verdict != Verdict::fails;
  });
}

bool carries_pulses(const Findings& findings, const FuseSubject& fuse) {
  for (const std::size_t v : voltage_order) {
    for (const std::size_t a : ambient_order) {
      if (!surely_carries(findings, fuse, v, a) &&
          fuse_carry_row(findings, fuse, v, a).verdict == Verdict::fails) {
        return false;
      }
    }
  }
  return true;
}

}  // namespace latchwright::verdict
