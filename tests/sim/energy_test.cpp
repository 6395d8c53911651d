// SPDX-License-Identifier: GPL-3.0-or-later
// The energy of whole studies, docs/model.md section 9: what the supply gives is found again to 1e-5.
#include <catch2/catch.hpp>
#include <cmath>

#include "sim/cycle.h"
#include "sim/stall.h"
#include "support/energy_ledger.h"
#include "support/studies.h"

using namespace latchwright;
using tests::Changes;
using tests::worked_circuit;

namespace {

const char* const over_centre = R"({"shape": "over_centre", "friction_N": 4, "peak_N": 24})";
const char* const helping_table =
    R"({"shape": "table", "x_mm": [0, 4, 8, 12, 18], "N": [5, 25, 2, -30, -4]})";

sim::CyclePlan plan(int cycles, bool on_through = false) {
  sim::CyclePlan p;
  p.cycles = cycles;
  p.on_s = 0.7;
  p.gap_s = 1;
  p.on_through = on_through;
  return p;
}

struct Sums {
  tests::Energy energy;
  double lowest_rod_power;
  sim::CycleResult result;
};

Sums cycle_energy(const sim::Circuit& circuit, const sim::CyclePlan& what, double other_load_drop_V = 0) {
  tests::EnergyLedger ledger(circuit, other_load_drop_V);
  base::NoProgress progress;
  auto result = sim::simulate_cycles(circuit, what, {&ledger}, progress);
  const auto energy = ledger.energy();
  INFO("supply " << energy.supply << " J, shared " << energy.shared << ", branches " << energy.branches
                 << ", rod " << energy.rod << ", bump " << energy.bump << ", to ambient " << energy.to_ambient
                 << ", stored " << energy.stored << ", dropped " << energy.dropped << ", imbalance "
                 << energy.imbalance());
  CHECK(std::fabs(energy.imbalance()) < tests::largest_imbalance);
  CHECK(energy.supply > 0);
  CHECK(energy.branches > 0);
  CHECK(energy.to_ambient > 0);
  CHECK(energy.stored > 0);
  CHECK(energy.dropped > 0);
  return {energy, ledger.lowest_rod_power(), std::move(result)};
}

}  // namespace

TEST_CASE("energy: one door, steady load", "[sim][energy]") {
  const auto circuit = worked_circuit({12.6, 23});
  const auto one = cycle_energy(circuit, plan(1));
  // Two full throws of 22 N over 18 mm, and up to 3 mm beyond, into the stop.
  CHECK(one.energy.rod > 2 * 22 * 0.018);
  CHECK(one.energy.rod < 2 * 22 * 0.021);
  CHECK(one.energy.bump > 0);
  CHECK(one.result.cycles_done == 1);
  const auto past = cycle_energy(circuit, plan(10, true));  // on through the lockout in throw 13
  REQUIRE(past.result.lockout.has_value());
  CHECK(past.result.pulses == 20);
}

TEST_CASE("energy: five doors, three kinds of load, another unlocking", "[sim][energy]") {
  const Changes changes = {{"/doors/1/rod_force", over_centre},
                           {"/doors/2/rod_force", helping_table},
                           {"/doors/3/rod_force_unlock", helping_table},
                           {"/doors/4/rod_force", R"({"shape": "table", "x_mm": [0, 15], "N": [-6, -6]})"},
                           {"/doors/1/branch_length_m", "4.5"},
                           {"/doors/4/stroke_mm", "15"}};
  const auto sums = cycle_energy(worked_circuit({13.8, 23}, 5, changes), plan(4, true));
  CHECK(sums.lowest_rod_power < 0);
  CHECK(sums.energy.rod > 0);
}

TEST_CASE("energy: a load that helps all the way", "[sim][energy]") {
  const char* const helping = R"({"shape": "table", "x_mm": [0, 18], "N": [-35, -35]})";
  const auto sums = cycle_energy(worked_circuit({12.6, 23}, 1, {{"/doors/0/rod_force", helping}}), plan(2));
  CHECK(sums.energy.rod < 0);
}

TEST_CASE("energy: cold, stiff and after a trip", "[sim][energy]") {
  const Changes changes = {{"/doors/0/rod_force/cold_factor", "1.5"},
                           {"/doors/0/rod_force/peak_N", "12"},
                           {tests::worked_actuator + "/ptc/after_trip_ratio", "1.6"}};
  cycle_energy(worked_circuit({12.6, -20, true}, 1, changes), plan(6, true));
  cycle_energy(worked_circuit({14.4, 75, true}, 1, changes), plan(6, true));
}

TEST_CASE("energy: copper and core apart", "[sim][energy]") {
  const Changes changes = {{tests::worked_actuator + "/thermal/copper_J_per_K", "3"},
                           {tests::worked_actuator + "/thermal/copper_to_core_K_per_W", "1.5"},
                           {tests::worked_actuator + "/thermal/hot_coil_share", "0.5"}};
  cycle_energy(worked_circuit({12.6, 23}, 2, changes), plan(6, true));
}

TEST_CASE("energy: weak battery, other load", "[sim][energy]") {
  // Five doors behind 400 mohm: some never start, some crawl.
  const Changes changes = {{"/supply/internal_mohm", "400"},
                           {"/doors/0/rod_force/peak_N", "8"},
                           {"/doors/1/rod_force", over_centre}};
  cycle_energy(worked_circuit({10.5, 23}, 5, changes), plan(3, true));

  const Changes loaded = {{"/feed/other_load_A", "12"}};
  const auto circuit = worked_circuit({12.6, 23}, 2, loaded);
  // 15 + 4.8 + 3.2 m of 7.6 mohm/m at 23 degC + 5 mohm: the shared path without the relay's contacts.
  const double path = 0.015 + 0.0048 + 3.2 * 0.0076 * (1 + 0.00393 * 3) + 0.005;
  const auto sums = cycle_energy(circuit, plan(3, true), 12 * path);
  CHECK(sums.energy.other_load > 0);
}

TEST_CASE("energy: a long pulse that trips and waits", "[sim][energy]") {
  sim::CyclePlan lengthy = plan(1, true);
  lengthy.on_s = 8;
  lengthy.gap_s = 40;
  cycle_energy(worked_circuit({12.6, 23}, 2, {{"/doors/1/rod_force/peak_N", "70"}}), lengthy);
}

TEST_CASE("energy: 600 s of stall", "[sim][energy]") {
  for (const int doors : {1, 5}) {
    for (const double ambient : {-20.0, 23.0, 75.0}) {
      CAPTURE(doors, ambient);
      const auto circuit = worked_circuit({13.8, ambient}, doors);
      tests::EnergyLedger ledger(circuit);
      base::NoProgress progress;
      sim::simulate_stall(circuit, 600, {&ledger}, progress);
      const auto energy = ledger.energy();
      CAPTURE(energy.supply, energy.imbalance());
      CHECK(std::fabs(energy.imbalance()) < tests::largest_imbalance);
      CHECK(energy.rod == 0);
      CHECK(energy.dropped == 0);
      CHECK(energy.to_ambient > 0);
    }
  }
}
