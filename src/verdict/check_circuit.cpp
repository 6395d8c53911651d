// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/text.h"
#include "verdict/checks.h"
#include "verdict/nothing_left.h"

// Voltage drop, wire heating and the relay.
namespace latchwright::verdict {

using base::significant;

// docs/model.md (8.2)
Rows check_volt_drop(const Findings& findings) {
  const model::Study& study = findings.study();
  Rows rows;
  for (std::size_t v = 0; v < levels; ++v) {
    for (std::size_t a = 0; a < levels; ++a) {
      const auto& stall = findings.stall_currents(v, a);
      const sim::Circuit& circuit = findings.circuit(v, a);
      const double wiring_ohm = circuit.shared_ohm - circuit.internal_ohm;
      const double sum = std::accumulate(stall.begin(), stall.end(), 0.0);
      const double volts = findings.voltage(v);
      const double other_A = study.job.feed.other_load_A;
      const bool dead = nothing_left(stall);
      for (std::size_t k = 0; k < circuit.doors.size(); ++k) {
        const auto percent = [&](double all_A, double own_A) {
          return 100 * (all_A * wiring_ohm + own_A * circuit.doors[k].branch_ohm) / volts;
        };
        CheckRow row;
        row.id = CheckId::volt_drop;
        row.door = k;
        row.at = At{volts, findings.ambient(a)};
        row.have = study.job.limits.volt_drop_percent;
        row.need = dead ? 100 : percent(sum, stall[k]);
        row.unit = "%";
        row.why = dead ? nothing_left_text(other_A)
                       : fmt::format("{} % is lost before the actuator at stall", significant(*row.need));
        if (!dead && findings.detail() == Detail::full) {
          const ThrowFindings& throws = findings.throws(v, a);
          row.why += fmt::format(", {} % while the rod runs{}",
                                 significant(percent(throws.running_sum_A, throws.running_A[k])),
                                 other_A > 0 ? "; the drop by the other load itself is not counted" : "");
        }
        judge(row);
        rows.push_back(std::move(row));
      }
    }
  }
  return rows;
}

namespace {

/// until_trip: "its thermistor trips"; none where the current lasts for all of `seconds`.
CheckRow heat_row(const model::Wire& wire, double bundle_factor, double current_A, double hot_C, double seconds,
                  const std::optional<std::string>& until_trip) {
  const physics::WireHeating heating(wire, bundle_factor);
  const double reached = heating.temperature_after(current_A, hot_C, hot_C, seconds);
  CheckRow row;
  row.id = CheckId::wire_heat;
  row.have = wire.class_C - hot_C;
  row.unit = "K";
  const std::string how_long = until_trip
                                   ? fmt::format("until {} after {} s", *until_trip, significant(seconds))
                                   : "for " + base::wait_text(seconds);
  if (std::isfinite(reached)) {
    row.need = reached - hot_C;
    row.why = fmt::format("the wire reaches {} °C of {} °C, carrying {} A {}", significant(reached),
                          significant(wire.class_C), significant(current_A), how_long);
    judge(row);
  } else {
    row.margin = 0;
    row.verdict = Verdict::fails;
    row.why = fmt::format("the wire burns, carrying {} A {}", significant(current_A), how_long);
  }
  return row;
}

}  // namespace

Rows check_wire_heat(const Findings& findings) {
  const model::Study& study = findings.study();
  const model::Feed& feed = study.job.feed;
  Rows rows;
  {
    const auto& stall = findings.feed_stall();
    const HeldCurrent held = held_current(study, stall, std::nullopt);
    std::optional<std::string> until_trip;
    if (held.trips) until_trip = stall.size() == 1 ? "the thermistor trips" : "the thermistors trip";
    CheckRow row = heat_row(study.feed_wire(), feed.bundle_factor, held.current_A, feed.hot_C, held.seconds, until_trip);
    row.part = feed_name;
    row.at = At{findings.voltage(levels - 1), feed.hot_C};
    rows.push_back(std::move(row));
  }
  const auto& stall = findings.fault_stall(levels - 1, hot_level);
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    const double hot = findings.ambient(hot_level);
    const HeldCurrent held = held_current(study, stall, k);
    std::optional<std::string> until_trip;
    if (held.trips) until_trip = "its thermistor trips";
    CheckRow row = heat_row(study.door_wire(k), study.job.doors[k].bundle_factor, held.current_A, hot, held.seconds,
                            until_trip);
    row.door = k;
    row.at = At{findings.voltage(levels - 1), hot};
    rows.push_back(std::move(row));
  }
  return rows;
}

Rows check_relay(const Findings& findings) {
  const double rated = findings.study().relay().rated_A;
  Rows rows;
  for (std::size_t v = 0; v < levels; ++v) {
    for (std::size_t a = 0; a < levels; ++a) {
      const auto& stall = findings.stall_currents(v, a);
      CheckRow row;
      row.id = CheckId::relay;
      row.part = relay_name;
      row.at = At{findings.voltage(v), findings.ambient(a)};
      row.have = rated;
      row.need = std::accumulate(stall.begin(), stall.end(), 0.0);
      row.unit = "A";
      row.why = fmt::format("may switch {} A; all doors at stall draw {} A", significant(rated),
                            significant(*row.need));
      if (nothing_left(stall)) row.why += "; " + nothing_left_text(findings.study().job.feed.other_load_A);
      judge(row);
      rows.push_back(std::move(row));
    }
  }
  return rows;
}

}  // namespace latchwright::verdict
