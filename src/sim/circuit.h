// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <boost/container/static_vector.hpp>
#include <memory>
#include <string>
#include <vector>

#include "model/study.h"
#include "physics/heat_network.h"
#include "physics/motor.h"
#include "physics/rod_load.h"
#include "physics/thermistor.h"

namespace latchwright::sim {

inline constexpr std::size_t most_doors = 12;  ///< of one circuit
/// One value of each door, without a heap call.
template <class T>
using PerDoor = boost::container::static_vector<T, most_doors>;

/// Under what a study runs.
struct Condition {
  double voltage_V = 0;  ///< open circuit, behind the battery's internal resistance
  double ambient_C = 0;
  bool after_trip = false;  ///< thermistors have tripped before (after_trip_ratio)
  double ptc_scale = 1;     ///< thermistor resistances times this (tolerance)
};

/// One door as the engine sees it, at the study's ambient.
struct DoorCircuit {
  std::string name;
  double branch_ohm = 0;  ///< both conductors, joints, own fuse
  physics::MotorLaw motor;
  physics::Thermistor ptc;
  physics::HeatNetwork heat;
  double rod_per_rad = 0;  ///< m of rod per radian of motor
  double efficiency = 1;
  double takeup_rad = 0;
  double stroke = 0;  ///< m, of the door
  double stop_stiffness = 0;
  double stop_damping = 0;
  physics::RodLoad lock_load;
  physics::RodLoad unlock_load;

  const physics::RodLoad& load(bool unlocking) const { return unlocking ? unlock_load : lock_load; }
};

/// What all doors' current passes, ohm, in its order.
struct SharedOhms {
  double internal = 0;  ///< of the battery
  double fuse = 0;
  double wire = 0;      ///< feed
  double contacts = 0;  ///< both of the relay's
  double ground = 0;

  double sum() const { return internal + fuse + wire + contacts + ground; }
};
/// What one door's current passes before its actuator, ohm.
struct BranchOhms {
  double wire = 0;  ///< both conductors
  double joints = 0;
  double fuse = 0;  ///< 0 where none is fitted

  double sum() const { return wire + joints + fuse; }
};
/// With the wires at ambient. The study must be complete.
SharedOhms shared_ohms(const model::Study& study, double ambient_C);
BranchOhms branch_ohms(const model::Study& study, std::size_t door, double ambient_C);

/// The whole circuit at one condition (docs/model.md section 2): immutable, shared by every study on it.
struct Circuit {
  Condition at;
  double shared_ohm = 0;    ///< internal + fuse + feed wire + 2 contacts + ground
  double internal_ohm = 0;  ///< of the battery, part of shared_ohm
  double source_V = 0;      ///< open-circuit voltage less what the other load drops before the relay
  std::vector<DoorCircuit> doors;
};

/// Builds the circuit of the chosen doors (indices into the job's doors; all of them when empty).
/// The study must be complete.
Circuit make_circuit(const model::Study& study, const Condition& at,
                     const std::vector<std::size_t>& doors = {});

/// One actuator by itself, with `at.voltage_V` at its own leads: no wires, no job. load: on its rod, over its
/// own stroke, stiffening towards `cold_C`. An actuator that is held feels none of it.
Circuit make_bench_circuit(const model::Actuator& actuator, const model::PtcCurve& curve, const Condition& at,
                           const model::RodForce& load = {}, double cold_C = -20);

/// Currents at standstill without inductance (docs/model.md section 2): i_k = max(0, (v_node - V_b,k) / R_k),
/// solved exactly by taking doors in order of their brush drop. resistance: of each door, branch to motor.
void standstill_currents(const Circuit& circuit, const double* resistance, double* current);

/// The same with every door at its own temperatures (one set a door of the circuit), A.
std::vector<double> standstill_currents(const Circuit& circuit,
                                        const std::vector<physics::Temperatures>& temperatures);

/// N that a standing actuator pushes its rod with at this current and these temperatures; 0 where friction
/// takes all its torque.
double standstill_force(const DoorCircuit& door, double current_A, const physics::Temperatures& T);

/// Each door's current with everything at ambient and all doors of the circuit driven.
std::vector<double> ambient_stall_currents(const Circuit& circuit);

}  // namespace latchwright::sim
