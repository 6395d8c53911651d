// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "base/text.h"
#include "verdict/fuse_subjects.h"

// Fuses as the standard bounds them (docs/model.md section 7): not loaded too long, not blown in use, clearing a
// short circuit, protecting the wire.
namespace latchwright::verdict {

using base::significant;

namespace {

const FuseUse& use_of(const CycleFindings& found, const FuseSubject& fuse) {
  return fuse.door ? found.door_fuses[*fuse.door] : found.main_fuse;
}

std::optional<double> finite(double value) {
  return std::isfinite(value) ? std::optional<double>(value) : std::nullopt;
}

/// A margin that may be infinite (no margin, holds) and whose need may be (fails).
void judge_times(CheckRow& row, double have, double need) {
  row.have = finite(have);
  row.need = finite(need);
  row.unit = "s";
  if (std::isinf(have)) {
    row.verdict = Verdict::holds;
  } else if (std::isinf(need)) {
    row.margin = 0;
    row.verdict = Verdict::fails;
  } else {
    judge(row);
  }
}

/// The worst current of a range in which the fuse need never open: its upper end, just below the first gate.
double last_below_gates(const physics::FuseBounds& fuse, double bolted_A) {
  const auto& gates = fuse.slowest_gates();
  return std::nextafter(gates.empty() ? bolted_A : std::min(gates.front().current_A, bolted_A), 0.0);
}

}  // namespace

std::vector<FuseSubject> fuses_of(const model::Study& study) {
  const auto bounds = [](const model::PartPtr& fuse, const model::PartPtr& family) {
    return physics::FuseBounds(std::get<model::Fuse>(fuse->body), std::get<model::FuseFamily>(family->body));
  };
  std::vector<FuseSubject> fuses{{std::string(main_fuse_name), bounds(study.feed.fuse, study.feed.fuse_family),
                                  std::nullopt, study.job.feed.other_load_A}};
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    if (!study.doors[k].fuse) continue;
    fuses.push_back({door_fuse_name(study.job.doors[k]), bounds(study.doors[k].fuse, study.doors[k].fuse_family), k, 0});
  }
  return fuses;
}

std::vector<GuardedWire> wires_of(const Findings& findings, const std::vector<FuseSubject>& fuses) {
  const model::Study& study = findings.study();
  const model::Feed& feed = study.job.feed;
  std::vector<GuardedWire> wires{{std::nullopt, &study.feed_wire(), feed.bundle_factor, feed.hot_C, 0}};
  for (std::size_t k = 0; k < study.doors.size(); ++k) {
    std::size_t nearest = 0;
    for (std::size_t n = 0; n < fuses.size(); ++n) {
      if (fuses[n].door == k) nearest = n;
    }
    wires.push_back({k, &study.door_wire(k), study.job.doors[k].bundle_factor, findings.ambient(hot_level), nearest});
  }
  return wires;
}

SmallestShort smallest_short(const Findings& findings, const std::vector<GuardedWire>& wires, std::size_t fuse) {
  SmallestShort smallest{std::numeric_limits<double>::infinity(), std::nullopt};
  for (const GuardedWire& wire : wires) {
    if (wire.fuse != fuse) continue;
    const double amps = findings.bolted_short_A(wire.door);
    if (amps < smallest.current_A) smallest = {amps, wire.door};
  }
  return smallest;
}

CheckRow fuse_load_row(const Findings& findings, const FuseSubject& fuse, std::size_t a) {
  const double loading = findings.study().job.limits.fuse_loading;
  const double T = findings.controller_ambient(a);
  CheckRow row;
  row.id = CheckId::fuse_load;
  row.part = fuse.name;
  row.at = At{findings.voltage(usual_level), findings.ambient(a)};
  row.have = loading * fuse.bounds.rating_A() * fuse.bounds.derating(T);
  row.need = use_of(findings.cycling(usual_level, a), fuse).rms_A + fuse.other_A;
  row.unit = "A";
  row.why = fmt::format("carries {} A in the mean of the wanted cycles; {} A is what {} % of the rating leaves "
                        "at {} °C",
                        significant(*row.need), significant(*row.have), significant(100 * loading), base::exact_text(T));
  judge(row);
  return row;
}

CheckRow fuse_carry_row(const Findings& findings, const FuseSubject& fuse, std::size_t v, std::size_t a) {
  const double T = findings.controller_ambient(a);
  const double usable = fuse.bounds.rating_A() * fuse.bounds.derating(T);
  const double worst_A = usable * std::sqrt(use_of(findings.cycling(v, a), fuse).quickest_y);
  CheckRow row;
  row.id = CheckId::fuse_carry;
  row.part = fuse.name;
  row.at = At{findings.voltage(v), findings.ambient(a)};
  row.have = physics::carry_multiple * usable;
  row.need = worst_A;
  row.unit = "A";
  row.why = fmt::format("the pulses heat the quickest fuse the standard allows like a steady {} A; it opens "
                        "from {} A ({} °C where it stands)",
                        significant(worst_A), significant(*row.have), base::exact_text(T));
  judge(row);
  return row;
}

Rows check_fuse_load(const Findings& findings) {
  Rows rows;
  for (const FuseSubject& fuse : fuses_of(findings.study())) {
    for (std::size_t a = 0; a < levels; ++a) rows.push_back(fuse_load_row(findings, fuse, a));
  }
  return rows;
}

Rows check_fuse_carry(const Findings& findings) {
  Rows rows;
  for (const FuseSubject& fuse : fuses_of(findings.study())) {
    for (std::size_t v = 0; v < levels; ++v) {
      for (std::size_t a = 0; a < levels; ++a) rows.push_back(fuse_carry_row(findings, fuse, v, a));
    }
  }
  return rows;
}

Rows check_fuse_clear(const Findings& findings) {
  const double limit = findings.study().job.limits.clear_s;
  const auto fuses = fuses_of(findings.study());
  const auto wires = wires_of(findings, fuses);
  Rows rows;
  for (std::size_t n = 0; n < fuses.size(); ++n) {
    const auto [smallest, in_door] = smallest_short(findings, wires, n);
    const std::string place =
        in_door ? "the door run of " + findings.study().job.doors[*in_door].name : std::string("the feed");
    CheckRow row;
    row.id = CheckId::fuse_clear;
    row.part = fuses[n].name;
    row.at = At{findings.voltage(usual_level), findings.ambient(hot_level)};
    const double opens = fuses[n].bounds.slowest_time(smallest);
    judge_times(row, limit, opens);
    row.why = std::isfinite(opens)
                  ? fmt::format("a short circuit at the end of {} draws {} A; the slowest fuse the standard allows "
                                "opens within {} s",
                                place, significant(smallest), significant(opens))
                  : fmt::format("a short circuit at the end of {} draws only {} A: the standard sets this fuse no time",
                                place, significant(smallest));
    const double T = findings.controller_ambient(hot_level);
    row.why += fmt::format(" ({} °C where it stands)", base::exact_text(T));
    rows.push_back(std::move(row));
  }
  return rows;
}

Rows check_fuse_guard(const Findings& findings) {
  const auto fuses = fuses_of(findings.study());
  Rows rows;
  for (const GuardedWire& wire : wires_of(findings, fuses)) {
    const physics::WireHeating heating(*wire.wire, wire.bundle_factor);
    const physics::FuseBounds& fuse = fuses[wire.fuse].bounds;
    const double bolted_A = findings.bolted_short_A(wire.door);
    const physics::Guard found = physics::guard(fuse, heating, wire.hot_C, wire.wire->short_time_C, bolted_A);
    const bool partial_worse = !wire.door && found.margin_partial < found.margin_bolted;
    const double amps = !partial_worse                ? bolted_A
                        : found.margin_partial > 0 ? found.partial_A
                                                   : last_below_gates(fuse, bolted_A);
    const double margin = partial_worse ? found.margin_partial : found.margin_bolted;
    CheckRow row;
    row.id = CheckId::fuse_guard;
    row.door = wire.door;
    if (!wire.door) row.part = feed_name;
    row.at = At{findings.voltage(usual_level), wire.hot_C};
    judge_times(row, heating.fault_time(amps, wire.hot_C, wire.wire->short_time_C), fuse.slowest_time(amps));
    // The guard's own ratio stands: at a gate's edge its limit counts, not the value on the edge.
    if (std::isfinite(margin)) {
      row.margin = margin;
      row.verdict = margin < 1 ? Verdict::fails : margin < info_of(row.id).tight_below ? Verdict::tight : Verdict::holds;
    } else {
      row.margin.reset();
      row.verdict = Verdict::holds;
    }
    const std::string limit = significant(wire.wire->short_time_C) + " °C";
    row.why = row.have ? fmt::format("at {} A the wire reaches {} after {} s; the slowest fuse the standard allows {}",
                                     significant(amps), limit, significant(*row.have),
                                     row.need ? fmt::format("opens within {} s", significant(*row.need))
                                              : std::string("need not open"))
                       : fmt::format("at {} A the wire never reaches {}", significant(amps), limit);
    if (found.margin_partial < 1 && found.unguarded_to_A > 0) {
      row.why += fmt::format("; unprotected from {} to {} A", significant(found.unguarded_from_A),
                             significant(found.unguarded_to_A));
      if (wire.door && row.verdict == Verdict::holds) row.verdict = Verdict::tight;
    }
    rows.push_back(std::move(row));
  }
  return rows;
}

}  // namespace latchwright::verdict
