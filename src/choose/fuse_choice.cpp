// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/fuse_choice.h"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/worker_pool.h"
#include "verdict/checks.h"

namespace latchwright::choose {

using verdict::At;
using verdict::CheckId;
using verdict::CheckRow;
using verdict::Findings;
using verdict::levels;
using verdict::usual_level;
using verdict::Verdict;

FuseDemand::FuseDemand(const Findings& findings, unsigned workers) : findings_(findings) {
  const model::Job& job = findings.study().job;
  base::for_each_index(logs_.size() * levels, workers, [&](std::size_t n) {
    const std::size_t v = usual_level + n / levels, a = n % levels;
    const sim::CyclePlan plan{.cycles = findings.wanted_cycles(a),
                              .on_s = job.pulse.on_s,
                              .gap_s = job.use.gap_s,
                              .on_through = true};
    base::NoProgress quiet;
    sim::simulate_cycles(findings.circuit(v, a), plan, {&logs_[v - usual_level][a]}, quiet);
  });
}

CheckRow FuseDemand::worst_row(const model::PartPtr& part, std::optional<std::size_t> door) const {
  const model::Study& study = findings_.study();
  const model::Fuse& fuse = fuse_of(part);
  const auto& family = std::get<model::FuseFamily>(study.catalogue->find(fuse.family)->body);
  const physics::FuseBounds bounds(fuse, family);
  const double other_A = door ? 0 : study.job.feed.other_load_A;
  std::optional<CheckRow> worst;
  const auto consider = [&](CheckId id, std::size_t v, std::size_t a, double have, double need) {
    CheckRow row;
    row.id = id;
    row.part = door ? verdict::door_fuse_name(study.job.doors[*door]) : std::string(verdict::main_fuse_name);
    row.at = At{findings_.voltage(v), findings_.ambient(a)};
    row.have = have;
    row.need = need;
    row.unit.push_back('A');
    verdict::judge(row);
    if (!worst || verdict::worse(row, *worst)) worst = row;
  };
  // What is loaded too long need not be looked at for its blowing.
  for (std::size_t a = 0; a < levels; ++a) {
    const double usable = fuse.rating_A * bounds.derating(findings_.controller_ambient(a));
    consider(CheckId::fuse_load, usual_level, a, study.job.limits.fuse_loading * usable,
             logs_[0][a].rms_A(door) + other_A);
  }
  if (worst->verdict == Verdict::fails) return *worst;
  for (std::size_t a = 0; a < levels; ++a) {
    const double T = findings_.controller_ambient(a);
    const double usable = fuse.rating_A * bounds.derating(T);
    for (std::size_t v = usual_level; v < levels; ++v) {
      const double y = logs_[v - usual_level][a].quickest_y(bounds, T, door, other_A);
      consider(CheckId::fuse_carry, v, a, physics::carry_multiple * usable, usable * std::sqrt(y));
    }
  }
  return *worst;
}

namespace {

/// The smallest that holds, else the smallest that does not fail, else the last.
template <class Judge>
model::PartPtr smallest(const Parts& parts, const Judge& judge, bool tight_will_do = false) {
  model::PartPtr passes;
  for (const auto& part : parts) {
    const Verdict verdict = judge(part);
    if (verdict == Verdict::holds) return part;
    if (verdict == Verdict::tight && tight_will_do) return part;
    if (verdict == Verdict::tight && !passes) passes = part;
  }
  return passes ? passes : parts.back();
}

CheckRow relay_row(const model::PartPtr& relay, double stall_A) {
  CheckRow row;
  row.id = CheckId::relay;
  row.have = relay_of(relay).rated_A;
  row.need = stall_A;
  verdict::judge(row);
  return row;
}

}  // namespace

void choose_fuses_and_relay(model::Study& study, const std::vector<model::Place>& open,
                            const Candidates& candidates, unsigned workers,
                            const std::vector<model::Place>& spare) {
  using model::PlaceKind;
  base::NoProgress quiet;
  const model::Study before = study;
  const Findings findings(before, quiet);
  const auto is_fuse = [](const model::Place& p) {
    return p.kind == PlaceKind::main_fuse || p.kind == PlaceKind::door_fuse;
  };
  if (std::any_of(open.begin(), open.end(), is_fuse)) {
    const FuseDemand demand(findings, workers);
    for (const model::Place& place : open) {
      if (!is_fuse(place)) continue;
      const auto door = place.kind == PlaceKind::door_fuse ? std::optional(place.door) : std::nullopt;
      const bool tight_will_do = std::find(spare.begin(), spare.end(), place) != spare.end();
      model::fit(study, place,
                 smallest(
                     candidates.fuses, [&](const auto& fuse) { return demand.worst_row(fuse, door).verdict; },
                     tight_will_do));
    }
  }
  for (const model::Place& place : open) {
    if (place.kind != PlaceKind::relay) continue;
    double most_A = 0;
    for (std::size_t a = 0; a < levels; ++a) {
      const auto& stall = findings.stall_currents(levels - 1, a);
      most_A = std::max(most_A, std::accumulate(stall.begin(), stall.end(), 0.0));
    }
    model::fit(study, place, smallest(candidates.relays, [&](const auto& relay) {
                 return relay_row(relay, most_A).verdict;
               }));
  }
}

}  // namespace latchwright::choose
