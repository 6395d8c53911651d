// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <numbers>

#include "base/text.h"
#include "report/check_report.h"
#include "report/picture_tools.h"
#include "report/pictures.h"
#include "sim/door_rates.h"

// The motor's torque and current over its speed, through the same equations as every throw.
namespace latchwright::report {

namespace {

constexpr double mNm = 1e3;                          // a N·m
constexpr double rpm = 60 / (2 * std::numbers::pi);  // a rad/s

struct Running {
  double current_A;
  double torque_Nm;  ///< left at the shaft for the rod
};

/// A lone door's motor at a steady speed (rad/s), its current settled.
Running running_at(const sim::Circuit& alone, const physics::Temperatures& T, double speed) {
  const sim::DoorCircuit& door = alone.doors[0];
  sim::DoorMode mode;
  mode.motion = sim::Motion::moving;  // before the take-up is used: no rod on it
  const sim::DoorOhms ohms(door, T.data());
  std::array<double, sim::slots> state{};
  state[sim::slot_speed] = speed;
  std::copy(T.begin(), T.end(), state.begin() + sim::slot_temperature);
  sim::DoorPoint point;
  point.set(door, mode, false, alone.at.ambient_C, alone.source_V, state.data(), ohms);
  // Without current the rate says what voltage drives it; settled, the whole circuit's resistance takes that.
  const double drive_V = point.rate[sim::slot_current] * door.motor.inductance;
  const double amps = std::max(0.0, drive_V / (alone.shared_ohm + ohms.path));
  state[sim::slot_current] = amps;
  point.set(door, mode, false, alone.at.ambient_C, alone.source_V - alone.shared_ohm * amps, state.data(),
            ohms);
  return {amps, point.rate[sim::slot_speed] * door.motor.inertia};
}

/// Speed without any rod, rad/s; none where it does not turn. Torque falls straight while current flows.
std::optional<double> free_speed(const sim::Circuit& alone, const physics::Temperatures& T) {
  const double standing = running_at(alone, T, 0).torque_Nm;
  if (standing <= 0) return std::nullopt;
  const double turning = running_at(alone, T, 1).torque_Nm;
  return standing / (standing - turning);
}

}  // namespace

Picture motor_curves(const model::Study& study, std::size_t door, const verdict::At& at,
                     const std::optional<Warmed>& warmed, bool after_trip) {
  const sim::Circuit alone = sim::make_circuit(
      study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = after_trip}, {door});
  const sim::DoorCircuit& own = alone.doors[0];

  Picture picture;
  picture.key = "motor_curves";
  picture.title = "Motor of " + own.name + ", alone on its run: torque and current over speed";
  picture.condition = picture_condition(at, after_trip);
  picture.across.title = "speed of the motor";
  picture.across.unit = "rpm";
  picture.across.low = 0;
  picture.up.title = "torque at the shaft";
  picture.up.unit = "mN·m";
  picture.up.low = 0;
  picture.right.emplace();
  picture.right->title = "current";
  picture.right->unit = "A";
  picture.right->low = 0;

  std::vector<std::string> remarks;
  const auto draw = [&](const std::string& when, const physics::Temperatures& T, std::size_t hue) {
    const auto top = free_speed(alone, T);
    if (!top) {
      remarks.push_back(when + ": the motor does not turn");
      return;
    }
    PictureLine torque = picture_line("torque, " + when, hue);
    PictureLine current = picture_line("current, " + when, hue, Stroke::dashed);
    current.right = true;
    constexpr int pieces = 24;
    for (int n = 0; n <= pieces; ++n) {
      const double speed = *top * n / pieces;
      const Running running = running_at(alone, T, speed);
      add_point(torque, speed * rpm, running.torque_Nm * mNm);
      add_point(current, speed * rpm, running.current_A);
    }
    picture.lines.push_back(std::move(torque));
    picture.lines.push_back(std::move(current));
  };
  physics::Temperatures ambient;
  ambient.fill(at.ambient_C);
  draw("fresh", ambient, door);
  if (warmed) draw(warmed->when, warmed->doors[door], study.doors.size());

  const double largest = std::max(own.lock_load.largest(), own.unlock_load.largest());
  if (largest > 0) {
    PictureLimit limit;
    limit.value = sim::load_torque(own, largest) * mNm;
    limit.name = "the rod's largest force asks for";
    limit.hue = door;
    limit.stroke = Stroke::dotted;
    picture.limits.push_back(std::move(limit));
  }
  picture.note = picture_note(remarks, uses_invented_parts(study));
  return picture;
}

}  // namespace latchwright::report
