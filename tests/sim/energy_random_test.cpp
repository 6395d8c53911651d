// SPDX-License-Identifier: GPL-3.0-or-later
// The energy balance of docs/model.md section 9 on studies drawn at random: whatever a job holds, what the
// supply gives is found again to 1e-5.
#include <catch2/catch.hpp>
#include <cmath>
#include <set>

#include "reference/compare/random_study.h"
#include "sim/stall.h"
#include "support/energy_ledger.h"

using namespace latchwright;
using tests::StudyCase;

namespace {

constexpr std::uint64_t seed = 20;
constexpr std::size_t most_doors = 5;  // of a usual car; the ledger's time grows with them

tests::Energy energy_of(const StudyCase& study, const sim::Circuit& circuit) {
  const double contacts = 2 * study.study.relay().contact_ohm;
  tests::EnergyLedger ledger(circuit, study.study.job.feed.other_load_A * (circuit.shared_ohm - contacts));
  base::NoProgress quiet;
  if (study.verb == StudyCase::Verb::stall) {
    sim::simulate_stall(circuit, study.limit_s, {&ledger}, quiet);
  } else {
    sim::CyclePlan plan = study.plan;
    plan.want_recovery = false;  // no part of the trace
    sim::simulate_cycles(circuit, plan, {&ledger}, quiet);
  }
  return ledger.energy();
}

}  // namespace

TEST_CASE("energy: random studies, stalls and cycles of one to five doors", "[sim][energy][slow]") {
  constexpr int stalls_wanted = 20, cycles_wanted = 50;
  int stalls = 0, cyclings = 0, without_current = 0;
  std::set<std::string> features;
  std::set<std::size_t> numbers_of_doors;
  double worst = 0;
  std::string worst_study;
  for (std::size_t index = 0; stalls < stalls_wanted || cyclings < cycles_wanted; ++index) {
    const StudyCase study = tests::random_study(seed, index);
    const bool stall = study.verb == StudyCase::Verb::stall;
    if (stall ? stalls >= stalls_wanted : cyclings >= cycles_wanted) continue;
    const auto circuit = sim::make_circuit(study.study, study.at, study.doors);
    if (circuit.doors.size() > most_doors) continue;
    ++(stall ? stalls : cyclings);
    INFO(study.name << ", " << circuit.doors.size() << " doors, " << (stall ? "stall" : "cycles"));
    const auto energy = energy_of(study, circuit);
    INFO("supply " << energy.supply << " J, shared " << energy.shared << ", other load " << energy.other_load
                   << ", branches " << energy.branches << ", rod " << energy.rod << ", bump " << energy.bump
                   << ", to ambient " << energy.to_ambient << ", stored " << energy.stored << ", dropped "
                   << energy.dropped << ", residual " << energy.residual());
    if (energy.supply == 0) {  // no voltage above the brush drop: nothing may happen at all
      ++without_current;
      CHECK(energy.used() == Approx(0).margin(1e-9));
      continue;
    }
    features.insert(study.features.begin(), study.features.end());
    numbers_of_doors.insert(circuit.doors.size());
    CHECK(energy.supply > 0);
    CHECK(std::fabs(energy.imbalance()) < tests::largest_imbalance);
    if (std::fabs(energy.imbalance()) > worst) {
      worst = std::fabs(energy.imbalance());
      worst_study = study.name;
    }
  }
  CAPTURE(worst, worst_study);
  CHECK(without_current <= 5);
  CHECK(numbers_of_doors == std::set<std::size_t>{1, 2, 3, 4, 5});
  // What the draw must have brought for the sums to say something.
  for (const char* feature :
       {"steady", "over_centre", "table", "rod_force_unlock", "cold factor", "cold", "hot", "weak supply",
        "other load", "after_trip", "copper and core", "ceramic curve", "no take-up", "large inductance",
        "odd actuator", "going on through missed throws"}) {
    INFO(feature);
    CHECK(features.count(feature) == 1);
  }
}
