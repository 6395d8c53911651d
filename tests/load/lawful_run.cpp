// SPDX-License-Identifier: GPL-3.0-or-later
#include "load/lawful_run.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "base/failure.h"
#include "load/lawful_job.h"
#include "support/draw.h"
#include "support/energy_ledger.h"
#include "support/lawful_figures.h"

namespace latchwright::tests {

namespace {

constexpr int few_cycles = 1, more_cycles = 3;  // of a short study
constexpr double nothing_J =
    1e-7;  // a study without any current at all still has the rounding of its temperatures

double seconds_since(std::chrono::steady_clock::time_point begin) {
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

/// Held against all that was moved, by the supply and by the rods, either way: a strong spring may do more
/// work than the supply, and its rounding with it.
void balance(const char* study, const Energy& energy, LawfulRun& out) {
  const double moved = std::fabs(energy.supply) + std::fabs(energy.rod) + std::fabs(energy.bump);
  const double off = std::max(0.0, std::fabs(energy.residual()) - energy.rounding);
  if (!std::isfinite(energy.residual() + energy.rounding)) {
    out.wrong.push_back(fmt::format("{}: its energy is no number", study));
  } else if (off > most_balance * moved + nothing_J) {
    out.wrong.push_back(fmt::format(
        "{}: {:.3g} J of {:.4g} J (supply {:.4g}, rods {:.4g}, bump stops {:.4g}) are not found again", study,
        off, moved, energy.supply, energy.rod, energy.bump));
  }
  if (moved > 100 * nothing_J) out.imbalance = std::max(out.imbalance, off / moved);
}

void add_all(std::vector<std::string>& to, const std::vector<std::string>& what) {
  to.insert(to.end(), what.begin(), what.end());
}

void run(const model::Study& study, Draw& draw, LawfulRun& out) {
  const model::Supply& supply = study.job.supply;
  const model::Climate& climate = study.job.climate;
  const double voltages[] = {supply.low_V, supply.usual_V, supply.charge_V, supply.high_V,
                             supply.jump_voltage()};
  const double ambients[] = {climate.cold_C, climate.usual_C, climate.hot_C};
  const sim::Condition at{.voltage_V = voltages[draw.below(5)],
                          .ambient_C = ambients[draw.below(3)],
                          .after_trip = draw.chance(0.25)};
  const sim::Circuit circuit = sim::make_circuit(study, at);
  const double drop_V = study.job.feed.other_load_A * (circuit.shared_ohm - 2 * study.relay().contact_ohm);
  base::NoProgress quiet;

  const double limit_s = draw.around(0.5, 600);
  EnergyLedger held(circuit, drop_V);
  auto begin = std::chrono::steady_clock::now();
  const auto stalls = sim::simulate_stall(circuit, limit_s, {&held}, quiet);
  out.stall_s = seconds_since(begin);
  add_all(out.wrong, wrong_figures(circuit, limit_s, stalls));
  balance("stall", held.energy(), out);

  const sim::CyclePlan plan{
      .cycles = std::min(study.job.use.cycles, draw.chance(0.2) ? more_cycles : few_cycles),
      .on_s = study.job.pulse.on_s,
      .gap_s = study.job.use.gap_s,
      .on_through = draw.chance(0.5),
      .want_recovery = draw.chance(0.3)};  // takes as long as many cycles; the ledger sees nothing of it
  EnergyLedger ledger(circuit, drop_V);
  begin = std::chrono::steady_clock::now();
  const sim::CycleResult cycles = sim::simulate_cycles(circuit, plan, {&ledger}, quiet);
  out.cycles_s = seconds_since(begin);
  add_all(out.wrong, wrong_figures(circuit, plan, cycles));
  balance("cycles", ledger.energy(), out);
}

}  // namespace

LawfulRun run_lawful(std::uint64_t seed, std::size_t index) {
  LawfulRun out;
  const auto study = model::check_job(lawful_job(seed, index), "random job", model::Catalogue());
  if (!study.ok()) {
    out.refused = study.issues().front().line();
    return out;
  }
  out.accepted = true;
  Draw draw(Draw(seed + 1).bits() ^ Draw(index + 1).bits());
  try {
    run(study.value(), draw, out);
  } catch (const base::BudgetError& error) {
    out.over_budget = error.what();
  } catch (const base::StudyError& error) {
    out.unsolved = error.what();
  } catch (const std::exception& error) {
    out.wrong.push_back(fmt::format("a fault of the program: {}", error.what()));
  }
  return out;
}

}  // namespace latchwright::tests
