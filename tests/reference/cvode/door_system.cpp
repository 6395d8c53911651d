// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/cvode/door_system.h"

#include <algorithm>
#include <cmath>

namespace latchwright::tests::cvode {

std::vector<double> PulseSystem::usual_sizes() const {
  std::vector<double> sizes{usual_current};
  if (motion_) sizes.insert(sizes.end(), {usual_speed, usual_angle});
  sizes.insert(sizes.end(), network_.nodes, usual_kelvin);
  return sizes;
}

double PulseSystem::current_sum(const double* y) const {
  double sum = 0;
  for (std::size_t k = 0; k < network_.doors.size(); ++k) sum += y[k * layout_.stride];
  return sum;
}

PulseSystem::Load PulseSystem::load(std::size_t k, double theta, double w) const {
  const DoorModel& door = network_.doors[k];
  const DoorMode& mode = modes_[k];
  const RodForceValue rod_force = rod(k).at(mode.piece, theta, w);
  const double geared =
      mode.sign > 0 ? door.rod_per_rad / door.efficiency : door.rod_per_rad * door.efficiency;
  return {geared * rod_force.force, geared * rod_force.per_rad, geared * rod_force.per_speed,
          rod_force.force,          rod_force.per_rad,          rod_force.per_speed};
}

double PulseSystem::drive_V(std::size_t k, const double* y) const {
  const DoorModel& door = network_.doors[k];
  const double* s = y + k * layout_.stride;
  const double* T = s + layout_.heat;
  const double ohm = door.branch + door.winding.at(T[armature]) + door.pill_ohm(T[pill]).value;
  return network_.source - network_.shared * current_sum(y) - door.drop - ohm * s[0] -
         door.torque(T[casing]).value * speed(s);
}

double PulseSystem::start_surplus(std::size_t k, const double* y) const {
  const DoorModel& door = network_.doors[k];
  const double* s = y + k * layout_.stride;
  const double* T = s + layout_.heat;
  return door.torque(T[casing]).value * s[0] - door.friction(T[shell]).value - load(k, angle(k, s), 0).torque;
}

void PulseSystem::rates(const double* y, double* dydt) {
  const double node = network_.source - network_.shared * current_sum(y);
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const DoorMode& mode = modes_[k];
    const double* s = y + k * layout_.stride;
    const double* T = s + layout_.heat;
    double* out = dydt + k * layout_.stride;
    double* dT = out + layout_.heat;
    const double i = s[0];
    const double winding = door.winding.at(T[armature]), thermistor = door.pill_ohm(T[pill]).value;
    dT[network_.nodes - 1] = 0;  // a core that this door may not have
    door.conduct(T, network_.at.ambient_C, dT);
    dT[armature] += winding * i * i / door.capacity[armature];
    dT[casing] += door.drop * i / door.capacity[casing];
    dT[pill] += thermistor * i * i / door.capacity[pill];
    double back_emf = 0;
    if (motion_) out[1] = out[2] = 0;
    if (mode.motion == Motion::moving) {
      const double w = s[1];
      const double torque = door.torque(T[casing]).value, friction = door.friction(T[shell]).value;
      const Load at_shaft = load(k, s[2], w);
      back_emf = torque * w;
      out[1] = (torque * i - friction - door.viscous * w - at_shaft.torque) / door.inertia;
      out[2] = w;
      dT[casing] += (friction + door.viscous * w) * w / door.capacity[casing];
      dT[shell] += std::fabs(at_shaft.torque - at_shaft.force * door.rod_per_rad) * w / door.capacity[shell];
    }
    out[0] = mode.blocked
                 ? 0
                 : (node - door.drop - (door.branch + winding + thermistor) * i - back_emf) / door.inductance;
  }
}

void PulseSystem::slopes(const double* y, Slopes& out) {
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const DoorMode& mode = modes_[k];
    const std::size_t heat = layout_.heat;
    const double* s = y + k * layout_.stride;
    const double* T = s + heat;
    const double i = s[0], winding = door.winding.at(T[armature]), per_K = door.winding.per_K();
    const Sloped thermistor = door.pill_ohm(T[pill]);
    const auto put = [&](std::size_t row, std::size_t column, double value) {
      out.add(k, row, column, value);
    };
    door.conduct_slopes([&](Node row, Node column, double value) { put(heat + row, heat + column, value); });
    put(heat + armature, 0, 2 * winding * i / door.capacity[armature]);
    put(heat + armature, heat + armature, per_K * i * i / door.capacity[armature]);
    put(heat + casing, 0, door.drop / door.capacity[casing]);
    put(heat + pill, 0, 2 * thermistor.value * i / door.capacity[pill]);
    put(heat + pill, heat + pill, thermistor.slope * i * i / door.capacity[pill]);
    out.right(k, 0) = 1;  // every current lowers the node for all
    if (!mode.blocked) {
      out.left(k, 0) = -network_.shared / door.inductance;
      put(0, 0, -(door.branch + winding + thermistor.value) / door.inductance);
      put(0, heat + armature, -per_K * i / door.inductance);
      put(0, heat + pill, -thermistor.slope * i / door.inductance);
    }
    if (mode.motion == Motion::moving) motion_slopes(k, s, out);
  }
}

void PulseSystem::motion_slopes(std::size_t k, const double* s, Slopes& out) const {
  const DoorModel& door = network_.doors[k];
  const std::size_t heat = layout_.heat;
  const double* T = s + heat;
  const double i = s[0], w = s[1];
  const Sloped torque = door.torque(T[casing]), friction = door.friction(T[shell]);
  const Load at_shaft = load(k, s[2], w);
  const auto put = [&](std::size_t row, std::size_t column, double value) { out.add(k, row, column, value); };
  if (!modes_[k].blocked) {
    put(0, 1, -torque.value / door.inductance);
    put(0, heat + casing, -torque.slope * w / door.inductance);
  }
  put(1, 0, torque.value / door.inertia);
  put(1, 1, -(door.viscous + at_shaft.per_speed) / door.inertia);
  put(1, 2, -at_shaft.per_rad / door.inertia);
  put(1, heat + casing, torque.slope * i / door.inertia);
  put(1, heat + shell, -friction.slope / door.inertia);
  put(2, 1, 1);
  put(heat + casing, 1, (friction.value + 2 * door.viscous * w) / door.capacity[casing]);
  put(heat + casing, heat + shell, friction.slope * w / door.capacity[casing]);
  const double loss = at_shaft.torque - at_shaft.force * door.rod_per_rad;
  const double side = (loss < 0 ? -1 : 1) / door.capacity[shell];
  const double loss_per_speed = at_shaft.per_speed - at_shaft.force_per_speed * door.rod_per_rad;
  const double loss_per_rad = at_shaft.per_rad - at_shaft.force_per_rad * door.rod_per_rad;
  put(heat + shell, 1, side * (loss + loss_per_speed * w));
  put(heat + shell, 2, side * loss_per_rad * w);
}

void PulseSystem::events(const double* y, double* g) {
  for (std::size_t k = 0; k < network_.doors.size(); ++k, g += events_each) {
    const DoorMode& mode = modes_[k];
    const double* s = y + k * layout_.stride;
    g[0] = g[1] = g[3] = 1;
    g[2] = mode.blocked ? -drive_V(k, y) : s[0];
    if (mode.motion == Motion::held) {
      g[0] = -start_surplus(k, y);
    } else if (mode.motion == Motion::moving) {
      const RodPieces& pieces = rod(k);
      if (!pieces.last(mode.piece)) g[0] = pieces[mode.piece].end - s[2];
      g[1] = s[1];
      // Short of the stop the sign turns only where a piece ends; at the stop a pull may turn into a push
      // within one.
      const bool turns = pieces[mode.piece].at_stop && (pieces[mode.piece].sign < 0 || mode.sign < 0);
      if (turns) g[3] = mode.sign * load(k, s[2], s[1]).force;
    }
  }
}

void RestSystem::rates(const double* y, double* dydt) {
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    double* out = dydt + k * network_.nodes;
    out[network_.nodes - 1] = 0;
    network_.doors[k].conduct(y + k * network_.nodes, network_.at.ambient_C, out);
  }
}

void RestSystem::slopes(const double*, Slopes& out) {
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    network_.doors[k].conduct_slopes(
        [&](Node row, Node column, double value) { out.add(k, row, column, value); });
  }
}

void RestSystem::events(const double* y, double* g) {
  constexpr double near = 0.1;
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const double off =
        door.curve.at(y[k * network_.nodes + pill]).value / door.curve.at(network_.at.ambient_C).value - 1;
    g[2 * k] = std::fabs(off) - near;
    g[2 * k + 1] = near - std::fabs(off);
  }
}

void StallSystem::solve(const double* y) {
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const double* T = y + k * network_.nodes;
    ohm_[k] = door.branch + door.winding.at(T[armature]) + door.pill_ohm(T[pill]).value;
  }
  below_ = standing_currents(network_, ohm_, current_);
}

void StallSystem::begin(const double* y) {
  const std::size_t count = network_.doors.size();
  first_current_ = currents(y);
  first_winding_.resize(count);
  first_pill_.resize(count);
  waits_half.assign(count, 1);
  waits_trip.assign(count, 1);
  for (std::size_t k = 0; k < count; ++k) {
    const double* T = y + k * network_.nodes;
    first_winding_[k] = network_.doors[k].winding.at(T[armature]);
    first_pill_[k] = network_.doors[k].pill_ohm(T[pill]).value;
    if (!(first_current_[k] > 0)) waits_half[k] = waits_trip[k] = 0;
  }
}

void StallSystem::rates(const double* y, double* dydt) {
  solve(y);
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const double* T = y + k * network_.nodes;
    double* out = dydt + k * network_.nodes;
    const double i = current_[k];
    out[network_.nodes - 1] = 0;
    door.conduct(T, network_.at.ambient_C, out);
    const double winding = door.winding.at(T[armature]);
    out[armature] += winding * i * i / door.capacity[armature];
    out[casing] += door.drop * i / door.capacity[casing];
    out[pill] += (ohm_[k] - door.branch - winding) * i * i / door.capacity[pill];
  }
}

void StallSystem::slopes(const double* y, Slopes& out) {
  solve(y);
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const double* T = y + k * network_.nodes;
    const double i = current_[k];
    const auto put = [&](std::size_t row, std::size_t column, double value) {
      out.add(k, row, column, value);
    };
    door.conduct_slopes([&](Node row, Node column, double value) { put(row, column, value); });
    const double winding = door.winding.at(T[armature]);
    const Sloped thermistor = door.pill_ohm(T[pill]);
    put(armature, armature, door.winding.per_K() * i * i / door.capacity[armature]);
    put(pill, pill, thermistor.slope * i * i / door.capacity[pill]);
    if (!(i > 0)) continue;
    // R_k di_k + R_s sum(di) = -i_k dR_k, hence di = -dR i/R of its own less the same share of the sum.
    const double heat_per_A[] = {2 * winding * i / door.capacity[armature], door.drop / door.capacity[casing],
                                 2 * thermistor.value * i / door.capacity[pill]};
    const double per_K[] = {door.winding.per_K(), 0, thermistor.slope};
    for (const Node row : {armature, casing, pill}) {
      for (const Node column : {armature, pill})
        put(row, column, -heat_per_A[row] * per_K[column] * i / ohm_[k]);
      out.left(k, row) = heat_per_A[row] / ohm_[k];
    }
    for (const Node column : {armature, pill}) {
      out.right(k, column) = network_.shared / below_ * per_K[column] * i / ohm_[k];
    }
  }
}

void StallSystem::events(const double* y, double* g) {
  solve(y);
  for (std::size_t k = 0; k < network_.doors.size(); ++k) {
    const DoorModel& door = network_.doors[k];
    const double* T = y + k * network_.nodes;
    const double over_half = waits_half[k] || waits_trip[k] ? current_[k] / first_current_[k] - 0.5 : 1;
    const double winding_rise = door.winding.at(T[armature]) - first_winding_[k];
    const double pill_rise = door.pill_ohm(T[pill]).value - first_pill_[k];
    g[2 * k] = waits_half[k] ? over_half : 1;
    g[2 * k + 1] = waits_trip[k] ? std::max(over_half, (winding_rise - pill_rise) / first_winding_[k]) : 1;
  }
}

}  // namespace latchwright::tests::cvode
