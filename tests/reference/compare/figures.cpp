// SPDX-License-Identifier: GPL-3.0-or-later
#include "reference/compare/figures.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/failure.h"

namespace latchwright::tests {

namespace {

class List {
 public:
  void of_study(const char* what, Kind kind, std::optional<double> value) {
    figures.push_back({what, "", kind, value});
  }
  void of_door(const char* what, const std::string& door, Kind kind, std::optional<double> value) {
    figures.push_back({what, door, kind, value});
  }
  void beyond_table(const std::string& door, bool beyond, double peak_C, double last_C) {
    figures.push_back({"beyond_table", door, Kind::count, beyond ? 1.0 : 0.0, peak_C - last_C});
  }
  /// Temperatures of one door; core: where it has one.
  void last_C(const std::string& door, double coil, double armature, std::optional<double> core,
              double casing, double pill, double shell) {
    of_door("final_winding_C", door, Kind::kelvin, coil);
    of_door("final_armature_C", door, Kind::kelvin, armature);
    if (core) of_door("final_core_C", door, Kind::kelvin, *core);
    of_door("final_case_C", door, Kind::kelvin, casing);
    of_door("final_ptc_C", door, Kind::kelvin, pill);
    of_door("final_housing_C", door, Kind::kelvin, shell);
  }
  Figures figures;
};

void add_last_C(List& list, const sim::DoorCircuit& door, double coil, const physics::Temperatures& T) {
  std::optional<double> core;
  if (door.heat.split()) core = T[physics::core];
  list.last_C(door.name, coil, T[physics::winding], core, T[physics::motor_case], T[physics::ptc],
              T[physics::housing]);
}

void add_last_C(List& list, const cvode::DoorModel& door, double coil, const std::vector<double>& T) {
  std::optional<double> core;
  if (door.split) core = T[cvode::core];
  list.last_C(door.name, coil, T[cvode::armature], core, T[cvode::casing], T[cvode::pill], T[cvode::shell]);
}

/// Which doors, as one number.
double as_number(const std::vector<std::size_t>& doors) {
  double sum = 0;
  for (const std::size_t k : doors) sum += std::ldexp(1.0, static_cast<int>(k));
  return sum;
}

double limited_by(bool tripped, bool halved) { return tripped ? 1 : halved ? 2 : 0; }

}  // namespace

Figures stall_figures(const sim::Circuit& circuit, const std::vector<sim::DoorStall>& stall) {
  List list;
  for (std::size_t k = 0; k < stall.size(); ++k) {
    const sim::DoorStall& door = stall[k];
    const std::string& name = circuit.doors[k].name;
    list.of_door("initial_current_A", name, Kind::ratio, door.initial_current_A);
    list.of_door("trip_time_s", name, Kind::ratio, door.trip_time_s);
    list.of_door("limited_by", name, Kind::count,
                 limited_by(door.limited_by == sim::LimitedBy::thermistor,
                            door.limited_by == sim::LimitedBy::winding));
    list.of_door("final_current_A", name, Kind::ratio, door.final_current_A);
    list.of_door("hold_current_A", name, Kind::ratio, door.hold_current_A);
    list.of_door("peak_winding_C", name, Kind::kelvin, door.peak_winding_C);
    list.beyond_table(name, door.beyond_table, 0, 0);
    add_last_C(list, circuit.doors[k], door.final_winding_C, door.final_C);
  }
  return list.figures;
}

Figures stall_figures(const cvode::Network& network, const std::vector<cvode::StallDoor>& stall,
                      const std::vector<std::optional<double>>& hold_currents) {
  List list;
  for (std::size_t k = 0; k < stall.size(); ++k) {
    const cvode::StallDoor& door = stall[k];
    const std::string& name = network.doors[k].name;
    list.of_door("initial_current_A", name, Kind::ratio, door.first_current);
    list.of_door("trip_time_s", name, Kind::ratio, door.trip_s);
    list.of_door("limited_by", name, Kind::count, limited_by(door.trip_s.has_value(), door.halved));
    list.of_door("final_current_A", name, Kind::ratio, door.last_current);
    list.of_door("hold_current_A", name, Kind::ratio, hold_currents[k]);
    list.of_door("peak_winding_C", name, Kind::kelvin, door.peak_coil);
    list.beyond_table(name, door.beyond_table, door.peak_pill, network.doors[k].curve.last_C());
    add_last_C(list, network.doors[k], door.last_coil, door.last_C);
  }
  return list.figures;
}

Figures cycle_figures(const sim::Circuit& circuit, const sim::CycleResult& cycle) {
  List list;
  const bool locked_out = cycle.lockout.has_value();
  list.of_study("cycles_done", Kind::count, cycle.cycles_done);
  list.of_study("pulses", Kind::count, cycle.pulses);
  list.of_study("lockout_throw", Kind::count, locked_out ? cycle.lockout->throw_number : 0);
  list.of_study("missed_doors", Kind::count, locked_out ? as_number(cycle.lockout->doors) : 0);
  if (locked_out && cycle.lockout->recovery) {
    list.of_study("recovery_s", Kind::rest, cycle.lockout->recovery->recovery_s);
    list.of_study("cooled_s", Kind::rest, cycle.lockout->recovery->cooled_s);
  }
  for (std::size_t k = 0; k < cycle.doors.size(); ++k) {
    const sim::DoorCycling& door = cycle.doors[k];
    const std::string& name = circuit.doors[k].name;
    list.of_door("first_throw_s", name, Kind::ratio, door.first_throw_s);
    list.of_door("last_throw_s", name, Kind::ratio, door.last_throw_s);
    list.of_door("peak_current_A", name, Kind::ratio, door.peak_current_A);
    list.of_door("peak_winding_C", name, Kind::kelvin, door.peak_winding_C);
    list.of_door("peak_ptc_C", name, Kind::kelvin, door.peak_ptc_C);
    list.beyond_table(name, door.beyond_table, 0, 0);
    add_last_C(list, circuit.doors[k], door.final_winding_C, door.final_C);
  }
  return list.figures;
}

Figures cycle_figures(const cvode::Network& network, const cvode::CycleStudy& cycle,
                      const std::optional<cvode::Recovery>& recovery) {
  List list;
  list.of_study("cycles_done", Kind::count, cycle.cycles_done);
  list.of_study("pulses", Kind::count, cycle.pulses);
  list.of_study("lockout_throw", Kind::count, cycle.lockout_throw);
  list.of_study("missed_doors", Kind::count, as_number(cycle.missed));
  if (recovery) {
    list.of_study("recovery_s", Kind::rest, recovery->recovery_s);
    list.of_study("cooled_s", Kind::rest, recovery->cooled_s);
  }
  for (std::size_t k = 0; k < cycle.doors.size(); ++k) {
    const cvode::CycleDoor& door = cycle.doors[k];
    const std::string& name = network.doors[k].name;
    list.of_door("first_throw_s", name, Kind::ratio, door.first_throw);
    list.of_door("last_throw_s", name, Kind::ratio, door.last_throw);
    list.of_door("peak_current_A", name, Kind::ratio, door.peaks.current);
    list.of_door("peak_winding_C", name, Kind::kelvin, door.peaks.coil);
    list.of_door("peak_ptc_C", name, Kind::kelvin, door.peaks.pill);
    list.beyond_table(name, door.beyond_table, door.peaks.pill, network.doors[k].curve.last_C());
    add_last_C(list, network.doors[k], door.last_coil, door.last_C);
  }
  return list.figures;
}

double allowed(const Figure& want) {
  constexpr double rounding = 1e-12;  // A, s: of a current that is none

  if (!want.value) return 0;
  switch (want.kind) {
    case Kind::ratio:
      return std::max(2e-3 * std::fabs(*want.value), rounding);
    case Kind::kelvin:
      return 0.1;
    case Kind::rest:
      return std::max(0.01 * *want.value, 0.02);
    case Kind::count:
      return 0;
  }
  return 0;
}

double deviation(const Figure& have, const Figure& want) {
  base::require(have.what == want.what && have.door == want.door, "figures of two studies in the same order");
  constexpr double never = std::numeric_limits<double>::infinity();
  if (have.value.has_value() != want.value.has_value()) return never;
  if (!have.value || *have.value == *want.value) return 0;
  if (want.turns_at && std::fabs(*want.turns_at) <= 0.1) return 0;
  const double limit = allowed(want);
  return limit > 0 ? std::fabs(*have.value - *want.value) / limit : never;
}

}  // namespace latchwright::tests
