// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/cvode_pulse.h"

#include <algorithm>
#include <cmath>

namespace latchwright::tests::cvode {

namespace {

constexpr double together = 1e-10;  // doors this near (relatively) to the same event have it at once
constexpr int most_changes = 200;   // at one moment

}  // namespace

Pulse::Pulse(const Network& network, const Tolerances& tolerances)
    : network_(network),
      modes_(network.doors.size()),
      moving_(network, modes_, true),
      standing_(network, modes_, false),
      moving_run_(moving_, modes_.size(), moving_.usual_sizes(), modes_.size() * PulseSystem::events_each,
                  tolerances),
      standing_run_(standing_, modes_.size(), standing_.usual_sizes(),
                    modes_.size() * PulseSystem::events_each, tolerances),
      full_(modes_.size() * moving_.layout().stride),
      arrivals_(modes_.size()) {
  standing_.angles.resize(modes_.size());
  for (const DoorModel& door : network.doors)
    equal_drops_ = equal_drops_ && door.drop == network.doors[0].drop;
}

void Pulse::enter_piece(std::size_t k, std::size_t piece) {
  const double* s = full_.data() + k * moving_.layout().stride;
  const RodPieces& rod = moving_.unlocking ? network_.doors[k].unlock : network_.doors[k].lock;
  modes_[k].piece = piece;
  modes_[k].sign = rod[piece].sign;
  if (rod[piece].at_stop) modes_[k].sign = moving_.load(k, s[2], s[1]).force < 0 ? -1 : 1;
}

void Pulse::begin(bool unlocking) {
  moving_.unlocking = standing_.unlocking = unlocking;
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    double* s = full_.data() + k * moving_.layout().stride;
    s[0] = s[1] = s[2] = 0;
    modes_[k] = DoorMode{};
    enter_piece(k, 0);
  }
  std::fill(arrivals_.begin(), arrivals_.end(), std::nullopt);
}

bool Pulse::start(std::size_t k, bool found) {
  const double surplus = moving_.start_surplus(k, full_.data());
  // Without friction a door balances at no current, and the first of it sets the door going.
  const bool balanced = surplus == 0 && !modes_[k].blocked && moving_.drive_V(k, full_.data()) > 0;
  if (!found && !(surplus > 0) && !balanced) return false;
  modes_[k].motion = Motion::moving;
  return true;
}

bool Pulse::settle_door(std::size_t k, const int* found, double t) {
  DoorMode& mode = modes_[k];
  const RodPieces& rod = moving_.unlocking ? network_.doors[k].unlock : network_.doors[k].lock;
  double* s = full_.data() + k * moving_.layout().stride;
  const auto hit = [&](std::size_t event) {
    return found != nullptr && found[k * PulseSystem::events_each + event] != 0;
  };
  bool changed = false;
  if (mode.blocked) {
    if (hit(2) || moving_.drive_V(k, full_.data()) > 0) {
      mode.blocked = false;
      changed = true;
    }
  } else if (s[0] <= 1e-13 && !hit(2) ? moving_.drive_V(k, full_.data()) < 0 : hit(2)) {
    s[0] = 0;
    mode.blocked = true;
    changed = true;
  }
  if (mode.motion == Motion::held) return start(k, hit(0)) || changed;
  if (mode.motion != Motion::moving) return changed;
  if (!rod.last(mode.piece)) {
    const double end = rod[mode.piece].end;
    if (hit(0) || s[2] >= end * (1 - together)) {
      s[2] = end;
      if (!rod[mode.piece].at_stop && rod[mode.piece + 1].at_stop) arrivals_[k] = t;
      enter_piece(k, mode.piece + 1);
      changed = true;
    }
  }
  if (hit(3)) {
    mode.sign = -mode.sign;
    changed = true;
  }
  if (hit(1) || s[1] < 0) {
    s[1] = 0;
    mode.motion = rod[mode.piece].at_stop ? Motion::stopped : Motion::held;
    if (rod[mode.piece].at_stop) enter_piece(k, mode.piece);
    changed = true;
  }
  return changed;
}

void Pulse::settle(const int* found, double t) {
  for (int round = 0; round < most_changes; ++round) {
    bool changed = false;
    for (std::size_t k = 0; k < modes_.size(); ++k) changed = settle_door(k, found, t) || changed;
    if (!changed) return;
    found = nullptr;
  }
  throw SolverFailed("no end of changes at t = " + std::to_string(t) + " s");
}

bool Pulse::any_moves() const {
  return std::any_of(modes_.begin(), modes_.end(),
                     [](const DoorMode& m) { return m.motion == Motion::moving; });
}

bool Pulse::needs_watching() const {
  // With equal brush drops a standing door's current never returns to 0: the node stays above all drops.
  return !equal_drops_ || std::any_of(modes_.begin(), modes_.end(), [](const DoorMode& m) {
    return m.motion != Motion::stopped || m.blocked;
  });
}

void Pulse::load_state(Integrator& integrator, const Layout& layout) const {
  double* y = integrator.state();
  const std::size_t stride = moving_.layout().stride;
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    const double* s = full_.data() + k * stride;
    std::copy_n(s, layout.heat, y + k * layout.stride);
    std::copy_n(s + 3, network_.nodes, y + k * layout.stride + layout.heat);
  }
}

void Pulse::save_state(Integrator& integrator, const Layout& layout) {
  const double* y = integrator.state();
  const std::size_t stride = moving_.layout().stride;
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    double* s = full_.data() + k * stride;
    std::copy_n(y + k * layout.stride, layout.heat, s);
    std::copy_n(y + k * layout.stride + layout.heat, network_.nodes, s + 3);
  }
}

const Arrivals& Pulse::run(std::vector<double>& temperatures, double on_s, bool unlocking, PeakWatch* watch,
                           EnergyWatch* energy) {
  const std::size_t stride = moving_.layout().stride;
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    std::copy_n(temperatures.data() + k * network_.nodes, network_.nodes, full_.data() + k * stride + 3);
  }
  begin(unlocking);
  double t = 0;
  settle(nullptr, t);
  for (bool going = true; going;) {
    const bool moves = any_moves();
    PulseSystem& system = moves ? moving_ : standing_;
    Integrator& run = moves ? moving_run_ : standing_run_;
    for (std::size_t k = 0; k < modes_.size(); ++k) standing_.angles[k] = full_[k * stride + 2];
    load_state(run, system.layout());
    run.restart(t, moves || needs_watching());
    if (watch != nullptr) watch->begin(system, system.layout(), t, run.state());
    if (energy != nullptr) energy->begin(system, run);
    for (;;) {
      const Integrator::Step step = run.step(on_s);
      t = run.time();
      if (watch != nullptr) watch->step(t, run.state());
      if (energy != nullptr) energy->step();
      if (step == Integrator::Step::on) continue;
      save_state(run, system.layout());
      settle(step == Integrator::Step::event ? run.found().data() : nullptr, t);
      going = step == Integrator::Step::event && t < on_s;
      break;
    }
  }
  if (energy != nullptr) energy->pulse_ended(full_, moving_.layout());
  for (std::size_t k = 0; k < modes_.size(); ++k) {
    std::copy_n(full_.data() + k * stride + 3, network_.nodes, temperatures.data() + k * network_.nodes);
  }
  return arrivals_;
}

}  // namespace latchwright::tests::cvode
