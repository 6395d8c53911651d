// SPDX-License-Identifier: GPL-3.0-or-later
// The energy of the reference solver's own studies: balanced where it works closely, seen to be off where
// not.
#include <catch2/catch.hpp>
#include <cmath>

#include "reference/cvode/cvode_study.h"
#include "sim/cycle.h"
#include "support/energy_ledger.h"
#include "support/studies.h"

using namespace latchwright;
using tests::cvode::Linear;

namespace {

constexpr tests::cvode::Conditions at{12.6, 23};
const tests::cvode::Cycles three_cycles{3, 0.7, 1, true};

tests::cvode::EnergyWatch energy_of(const tests::cvode::Network& network, double relative) {
  tests::cvode::EnergyWatch energy(network);
  tests::cvode::cycle(network, three_cycles, {relative, 1, Linear::blocks}, &energy);
  return energy;
}

}  // namespace

TEST_CASE("CVODE's energy: balanced at close tolerances only", "[reference][energy]") {
  const tests::Changes changes = {{"/feed/other_load_A", "12"}, {"/doors/1/rod_force/peak_N", "8"}};
  const auto study = tests::worked_study(2, changes);
  const auto network = tests::cvode::make_network(study, at);
  const auto close = energy_of(network, 1e-10);
  CHECK(close.supply_J() > 0);
  CHECK(std::fabs(close.imbalance()) < 1e-7);
  CHECK(std::fabs(energy_of(network, 1e-3).imbalance()) > 1e-5);

  auto leaking = network;  // a term that the trace does not bear out
  leaking.doors[0].branch *= 1.1;
  tests::cvode::EnergyWatch wrong(leaking);
  tests::cvode::cycle(network, three_cycles, {1e-10, 1, Linear::blocks}, &wrong);
  CHECK(std::fabs(wrong.imbalance()) > 1e-4);
}

TEST_CASE("CVODE's energy: the engine's ledger counts the same", "[reference][energy]") {
  const auto energy = energy_of(tests::cvode::make_network(tests::worked_study(2), at), 1e-10);
  const auto circuit = tests::worked_circuit({12.6, 23}, 2);
  tests::EnergyLedger ledger(circuit);
  base::NoProgress quiet;
  sim::CyclePlan same;
  same.cycles = three_cycles.cycles;
  same.on_s = three_cycles.on_s;
  same.gap_s = three_cycles.gap_s;
  same.on_through = three_cycles.on_through;
  sim::simulate_cycles(circuit, same, {&ledger}, quiet);
  CHECK(energy.supply_J() == Approx(ledger.energy().supply).epsilon(1e-4));
}

TEST_CASE("CVODE's energy: a stall", "[reference][energy]") {
  const auto network = tests::cvode::make_network(tests::worked_study(2), at);
  tests::cvode::EnergyWatch energy(network);
  tests::cvode::stall(network, 100, {1e-10, 1, Linear::blocks}, &energy);
  CHECK(energy.supply_J() > 0);
  CHECK(std::fabs(energy.imbalance()) < 1e-7);
}
