// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <limits>

#include "base/text.h"
#include "base/worker_pool.h"
#include "model/tolerance.h"
#include "verdict/checks.h"

// Lockout, windings and thermistors.
namespace latchwright::verdict {

using base::significant;

namespace {

constexpr const char* mean_only = " (mean of the armature: one coil can stand hotter)";

CheckRow winding_row(CheckId id, const Findings& findings, std::size_t v, std::size_t a, std::size_t door,
                     double limit_C, double peak_C, bool beyond_table) {
  const double T = findings.ambient(a);
  CheckRow row;
  row.id = id;
  row.door = door;
  row.at = At{findings.voltage(v), T};
  row.have = limit_C - T;
  row.need = peak_C - T;
  row.unit = "K";
  row.why = fmt::format("the winding reaches {} °C of {} °C", significant(peak_C), significant(limit_C));
  if (!findings.circuit(v, a).doors[door].heat.split()) row.why += mean_only;
  if (beyond_table) row.why += "; the thermistor passes the end of its table";
  judge(row);
  return row;
}

/// A throw fails even from all-at-ambient: nothing here waits to cool.
enum class FailsCold { no, locking, unlocking };

/// Of a lockout in the first cycle.
FailsCold fails_cold(const model::Study& study, const sim::WorstCount& found, const At& at) {
  std::vector<std::size_t> doors;  // all of them
  if (found.alone) doors.push_back(*found.alone);
  const sim::Circuit circuit = sim::make_circuit(
      study, {.voltage_V = at.voltage_V, .ambient_C = at.ambient_C, .after_trip = true}, doors);
  for (const bool unlocking : {false, true}) {
    const auto arrivals = sim::single_throw(circuit, study.job.pulse.on_s, unlocking);
    if (std::any_of(arrivals.begin(), arrivals.end(), [](const auto& arrival) { return !arrival; })) {
      return unlocking ? FailsCold::unlocking : FailsCold::locking;
    }
  }
  return FailsCold::no;
}

std::string lockout_text(const model::Study& study, const sim::WorstCount& found, const CheckRow& row,
                         FailsCold cold) {
  const int done = found.cycles_done;
  if (done >= sim::counted_times * *row.need) return fmt::format("still works after {} cycles in a row", done);
  const std::string alone = found.alone ? ": " + study.job.doors[*found.alone].name + " when alone" : "";
  constexpr const char* tripped = "with thermistors that have tripped before,";
  if (cold != FailsCold::no) {
    return fmt::format("{} the first {} already fails from cold (see \"{}\"){}", tripped,
                       cold == FailsCold::unlocking ? "unlocking throw" : "throw",
                       info_of(CheckId::throw_time).title, alone);
  }
  if (done == 0) {
    return fmt::format("{} it stops working in the first cycle, until it cools{}", tripped, alone);
  }
  return fmt::format("{} it stops working after {} {} in a row, until it cools{}", tripped, done,
                     done == 1 ? "cycle" : "cycles", alone);
}

}  // namespace

Rows check_lockout(const Findings& findings) {
  const model::Study& study = findings.study();
  Rows rows;
  std::vector<FailsCold> cold;  // beside the rows
  std::size_t worst = 0;
  for (std::size_t a = 0; a < levels; ++a) {
    for (const bool charging : {false, true}) {
      const sim::WorstCount& found = findings.lockout(a, charging);
      CheckRow row;
      row.id = CheckId::lockout;
      row.part = installation_name;
      row.at = At{charging ? study.job.supply.charge_V : study.job.supply.usual_V, findings.ambient(a)};
      row.have = found.cycles_done;
      row.stops_first = found.stops_first;
      row.need = findings.wanted_cycles(a);
      row.unit = "cycles";
      cold.push_back(found.cycles_done > 0 ? FailsCold::no : fails_cold(study, found, *row.at));
      row.why = lockout_text(study, found, row, cold.back());
      judge(row);
      if (!rows.empty() && replaces(row, rows[worst])) worst = rows.size();
      rows.push_back(std::move(row));
    }
  }
  if (findings.detail() == Detail::brief) return rows;
  // The band only where it counts: at the worst condition. Rows stand in pairs, charging second.
  const double half_width = model::widest_ptc_tolerance(study);
  const std::array scales{1 - half_width, 1 + half_width};
  std::array<int, 2> ends{};
  base::for_each_index(ends.size(), findings.workers(), [&](std::size_t k) {
    ends[k] = findings.solve_lockout(worst / 2, worst % 2 == 1, sim::counted_times, scales[k]).cycles_done;
  });
  const auto [low, high] = std::minmax(ends[0], ends[1]);
  CheckRow& row = rows[worst];
  row.band = {low, high};
  if (cold[worst] == FailsCold::no) {
    row.why += fmt::format("; {} to {} cycles for thermistors {} % off", low, high,
                           significant(100 * half_width));
  }
  return rows;
}

Rows check_winding(const Findings& findings) {
  const model::Study& study = findings.study();
  Rows rows;
  for (std::size_t v = 0; v < levels; ++v) {
    for (std::size_t a = 0; a < levels; ++a) {
      const auto& cycles = findings.cycling(v, a).cycles;
      for (std::size_t k = 0; k < study.doors.size(); ++k) {
        rows.push_back(winding_row(CheckId::winding, findings, v, a, k, study.actuator(k).motor.winding_class_C,
                                   cycles.doors[k].peak_winding_C, cycles.doors[k].beyond_table));
      }
    }
  }
  return rows;
}

Rows check_winding_fault(const Findings& findings) {
  const model::Study& study = findings.study();
  Rows rows;
  for (std::size_t v = 0; v < levels; ++v) {
    for (std::size_t a = 0; a < levels; ++a) {
      const auto& stall = findings.fault_stall(v, a);
      for (std::size_t k = 0; k < study.doors.size(); ++k) {
        auto row = winding_row(CheckId::winding_fault, findings, v, a, k,
                               physics::winding_fault_limit_C(study.actuator(k).motor), stall[k].peak_winding_C,
                               stall[k].beyond_table);
        row.why += stall[k].trip_time_s
                       ? fmt::format("; the thermistor trips after {} s", significant(*stall[k].trip_time_s))
                       : "; the thermistor does not trip";
        rows.push_back(std::move(row));
      }
    }
  }
  return rows;
}

Rows check_ptc_rating(const Findings& findings) {
  const model::Study& study = findings.study();
  const auto& supply = study.job.supply;
  const double cold = study.job.climate.cold_C;
  Rows rows;
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    const model::Ptc& ptc = study.actuator(k).ptc;
    const auto alone_A = [&](double volts) {
      return sim::ambient_stall_currents(sim::make_circuit(study, {.voltage_V = volts, .ambient_C = cold}, {k}))[0];
    };
    const auto row_at = [&](double volts) {
      const double amps = alone_A(volts);
      CheckRow row;
      row.id = CheckId::ptc_rating;
      row.door = k;
      row.at = At{volts, cold};
      // A current of 0 asks nothing of max_A.
      const bool by_current = amps > 0 && ptc.max_A / amps < ptc.max_V / volts;
      row.have = by_current ? ptc.max_A : ptc.max_V;
      row.need = by_current ? amps : volts;
      row.unit = by_current ? "A" : "V";
      row.why = fmt::format("made for {} V and {} A; sees {} V and {} A", significant(ptc.max_V),
                            significant(ptc.max_A), significant(volts), significant(amps));
      judge(row);
      return row;
    };
    CheckRow row = row_at(supply.high_V);
    const CheckRow jump = row_at(supply.jump_voltage());
    if (supply.jump_V && worse(jump, row)) {
      row = jump;
    } else if (!supply.jump_V && *jump.margin < 1 && row.verdict != Verdict::fails) {
      // The margin stays that of service; the word and the sentence carry the jump start.
      row.verdict = Verdict::tight;
      row.why += fmt::format("; {} V, {} A are too much: do not work the locks while jump-starting from a higher "
                             "voltage",
                             significant(supply.jump_voltage()), significant(alone_A(supply.jump_voltage())));
    }
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace latchwright::verdict
