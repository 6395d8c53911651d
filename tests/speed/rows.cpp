// SPDX-License-Identifier: GPL-3.0-or-later
#include "speed/rows.h"

#include <memory>

#include "base/progress.h"
#include "sim/rest.h"
#include "support/energy_ledger.h"
#include "support/studies.h"

namespace latchwright::tests::speed {

namespace {

constexpr double voltage_V = 12.6, ambient_C = 23;  // docs/model.md section 10, first column
constexpr cvode::Tolerances tight{1e-12, 1, cvode::Linear::blocks};

/// The same installation for both solvers.
struct Both {
  sim::Circuit circuit;
  cvode::Network network;
};

std::shared_ptr<const Both> worked(int doors) {
  return std::make_shared<const Both>(Both{worked_circuit({voltage_V, ambient_C}, doors),
                                           cvode::make_network(worked_study(doors), {voltage_V, ambient_C})});
}

Row cycle_row(const std::string& name, const std::string& title, int doors) {
  const auto both = worked(doors);
  sim::CyclePlan plan;
  plan.cycles = 200;
  plan.on_s = 0.7;
  plan.gap_s = 20;
  plan.on_through = true;
  const cvode::Cycles same{plan.cycles, plan.on_s, plan.gap_s, plan.on_through};
  const auto engine = [both, plan](const sim::Observers& observers) {
    base::NoProgress quiet;
    return sim::simulate_cycles(both->circuit, plan, observers, quiet);
  };
  Row row;
  row.name = name;
  row.title = title;
  row.cycles = plan.cycles;
  row.engine = [engine] { engine({}); };
  row.engine_watched = [both, engine] {
    EnergyLedger ledger(both->circuit);
    const auto result = engine({&ledger});
    return Watched{cycle_figures(both->circuit, result), ledger.energy().imbalance()};
  };
  row.cvode = [both, same](const cvode::Tolerances& tolerances) {
    cvode::cycle(both->network, same, tolerances);
  };
  row.cvode_figures = [both, same](const cvode::Tolerances& tolerances) {
    return cycle_figures(both->network, cvode::cycle(both->network, same, tolerances), std::nullopt);
  };
  row.cvode_imbalance = [both, same](const cvode::Tolerances& tolerances) {
    cvode::EnergyWatch energy(both->network);
    cvode::cycle(both->network, same, tolerances, &energy);
    return energy.imbalance();
  };
  return row;
}

Row stall_row() {
  constexpr double limit_s = 600;
  const auto both = worked(1);
  const auto engine = [both](const sim::Observers& observers) {
    base::NoProgress quiet;
    return sim::simulate_stall(both->circuit, limit_s, observers, quiet);
  };
  Row row;
  row.name = "stall";
  row.title = "600 s of stall, one door";
  row.engine = [engine] { engine({}); };
  row.engine_watched = [both, engine] {
    EnergyLedger ledger(both->circuit);
    const auto doors = engine({&ledger});
    return Watched{stall_figures(both->circuit, doors), ledger.energy().imbalance()};
  };
  row.cvode = [both](const cvode::Tolerances& tolerances) {
    cvode::stall(both->network, limit_s, tolerances);
    cvode::hold_currents(both->network);  // the engine's stall gives them too
  };
  row.cvode_figures = [both](const cvode::Tolerances& tolerances) {
    return stall_figures(both->network, cvode::stall(both->network, limit_s, tolerances),
                         cvode::hold_currents(both->network));
  };
  row.cvode_imbalance = [both](const cvode::Tolerances& tolerances) {
    cvode::EnergyWatch energy(both->network);
    cvode::stall(both->network, limit_s, tolerances, &energy);
    return energy.imbalance();
  };
  return row;
}

Row rest_row() {
  constexpr double rest_s = 86400;
  const auto both = worked(1);
  const std::vector<double> warm = cvode::stall(both->network, 60, tight)[0].last_C;
  std::vector<double> engine_warm(physics::heat_nodes, ambient_C);
  engine_warm[physics::winding] = warm[cvode::armature];
  engine_warm[physics::motor_case] = warm[cvode::casing];
  engine_warm[physics::ptc] = warm[cvode::pill];
  engine_warm[physics::housing] = warm[cvode::shell];
  const auto figures = [](double winding, double casing, double pill, double shell) {
    return Figures{{"winding_C", "", Kind::kelvin, winding},
                   {"case_C", "", Kind::kelvin, casing},
                   {"ptc_C", "", Kind::kelvin, pill},
                   {"housing_C", "", Kind::kelvin, shell}};
  };
  const auto engine = [both, engine_warm] {
    std::vector<double> T(physics::heat_nodes);
    sim::Rest(both->circuit).after(engine_warm, rest_s, T);
    return T;
  };
  const auto theirs = [both, warm](const cvode::Tolerances& tolerances) {
    std::vector<double> T = warm;
    cvode::Rest(both->network, tolerances).run(T, rest_s, nullptr);
    return T;
  };
  Row row;
  row.name = "rest";
  row.title = "24 h of rest after a minute of stall";
  row.stated_only = true;
  row.engine = [engine] { engine(); };
  row.engine_watched = [engine, figures] {
    const auto T = engine();
    return Watched{figures(T[physics::winding], T[physics::motor_case], T[physics::ptc], T[physics::housing]),
                   0};
  };
  row.cvode = [theirs](const cvode::Tolerances& tolerances) { theirs(tolerances); };
  row.cvode_figures = [theirs, figures](const cvode::Tolerances& tolerances) {
    const auto T = theirs(tolerances);
    return figures(T[cvode::armature], T[cvode::casing], T[cvode::pill], T[cvode::shell]);
  };
  row.cvode_imbalance = [](const cvode::Tolerances&) { return 0.0; };  // without a supply there is no balance
  return row;
}

}  // namespace

std::vector<Row> rows() {
  return {cycle_row("cycle_one", "200 cycles of one door, 20 s gaps", 1),
          cycle_row("cycle_five", "200 cycles of five doors, 20 s gaps", 5), stall_row(), rest_row()};
}

}  // namespace latchwright::tests::speed
