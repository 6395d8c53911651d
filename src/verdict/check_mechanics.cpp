// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/text.h"
#include "verdict/checks.h"
#include "verdict/nothing_left.h"

// Stroke, force and time: does the rod get where it must.
namespace latchwright::verdict {

using base::significant;

Rows check_stroke(const Findings& findings) {
  const model::Study& study = findings.study();
  Rows rows;
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    const double have = study.actuator(k).stroke * 1e3;
    const double lock = study.job.doors[k].stroke * 1e3;
    CheckRow row;
    row.id = CheckId::stroke;
    row.door = k;
    row.have = have;
    row.need = lock + study.job.limits.stroke_slack * 1e3;
    row.unit = "mm";
    row.why = fmt::format("the actuator travels {} mm, the lock {} mm", significant(have), significant(lock));
    judge(row);
    rows.push_back(std::move(row));
  }
  return rows;
}

namespace {

std::string pull_text(const Findings& findings, const std::vector<double>& stall, std::size_t k,
                      double have) {
  if (have > 0) return fmt::format("pulls {} N at standstill", significant(have));
  if (nothing_left(stall)) return nothing_left_text(findings.study().job.feed.other_load_A);
  return stall[k] > 0 ? "pulls nothing at standstill: friction in the motor takes all its torque"
                      : "pulls nothing at standstill: less voltage reaches the motor than its brushes drop";
}

}  // namespace

Rows check_force(const Findings& findings) {
  const model::Study& study = findings.study();
  Rows rows;
  for (std::size_t v = 0; v < levels; ++v) {
    const double factor = v == 0 ? study.job.limits.force_factor_low : study.job.limits.force_factor;
    for (std::size_t a = 0; a < levels; ++a) {
      const auto& stall = findings.stall_currents(v, a);
      const sim::Circuit& circuit = findings.circuit(v, a);
      for (std::size_t k = 0; k < circuit.doors.size(); ++k) {
        const auto& door = circuit.doors[k];
        const double T = findings.ambient(a);
        physics::Temperatures ambient;
        ambient.fill(T);
        const double have = sim::standstill_force(door, stall[k], ambient);
        const double rod = std::max(door.lock_load.largest(), door.unlock_load.largest());
        CheckRow row;
        row.id = CheckId::force;
        row.door = k;
        row.at = At{findings.voltage(v), T};
        row.have = have;
        row.need = rod * factor;
        row.unit = "N";
        row.why = fmt::format("{}; the rod takes {} N, times {}", pull_text(findings, stall, k, have),
                              significant(rod), significant(factor));
        judge(row);
        rows.push_back(std::move(row));
      }
    }
  }
  return rows;
}

Rows check_throw_time(const Findings& findings) {
  const model::Study& study = findings.study();
  const double pulse = study.job.pulse.on_s;
  Rows rows;
  for (std::size_t v = 0; v < levels; ++v) {
    for (std::size_t a = 0; a < levels; ++a) {
      const ThrowFindings& found = findings.throws(v, a);
      for (std::size_t k = 0; k < study.doors.size(); ++k) {
        CheckRow row;
        row.id = CheckId::throw_time;
        row.door = k;
        row.at = At{findings.voltage(v), findings.ambient(a)};
        row.have = pulse;
        row.unit = "s";
        if (found.arrival_s[k]) {
          row.need = *found.arrival_s[k];
          row.why = fmt::format("the rod arrives after {} s of a {} s pulse", significant(*row.need),
                                significant(pulse));
          judge(row);
        } else {
          row.need = found.longer_s[k];
          row.margin = 0;
          row.verdict = Verdict::fails;
          row.why = row.need ? fmt::format("the rod would arrive after {} s; the pulse ends after {} s",
                                           significant(*row.need), significant(pulse))
                             : fmt::format("the rod does not arrive, not even in {} s", significant(10 * pulse));
        }
        rows.push_back(std::move(row));
      }
    }
  }
  return rows;
}

}  // namespace latchwright::verdict
