// SPDX-License-Identifier: GPL-3.0-or-later
#include "verdict/check_row.h"

#include <algorithm>
#include <limits>

#include "base/failure.h"

namespace latchwright::verdict {

const std::vector<CheckInfo>& check_infos() {
  constexpr double physical = 1.15, factored = 1.05;
  static const std::vector<CheckInfo> infos{
      {CheckId::stroke, "stroke", "actuator reaches the lock's full travel", factored},
      {CheckId::force, "force", "actuator is strong enough", factored},
      {CheckId::throw_time, "throw_time", "throw ends within the pulse", physical},
      {CheckId::lockout, "lockout", "keeps working when locked again and again", physical},
      {CheckId::winding, "winding", "winding stays within its class in use", physical},
      {CheckId::winding_fault, "winding_fault", "winding survives a stuck relay", physical},
      {CheckId::ptc_rating, "ptc_rating", "thermistor within its voltage and current", factored},
      {CheckId::volt_drop, "volt_drop", "voltage lost in the wires", factored},
      {CheckId::wire_heat, "wire_heat", "wire stays within its class at stall", physical},
      {CheckId::fuse_load, "fuse_load", "fuse is not loaded too long", factored},
      {CheckId::fuse_carry, "fuse_carry", "fuse does not blow in use", physical},
      {CheckId::fuse_clear, "fuse_clear", "fuse clears a short circuit in time", physical},
      {CheckId::fuse_guard, "fuse_guard", "fuse protects the wire", physical},
      {CheckId::relay, "relay", "relay may switch the stall current", physical},
  };
  return infos;
}

const CheckInfo& info_of(CheckId id) { return check_infos()[static_cast<std::size_t>(id)]; }

std::string_view word_of(Verdict verdict) {
  static constexpr std::string_view words[] = {"holds", "tight", "fails"};
  return words[static_cast<std::size_t>(verdict)];
}

// docs/model.md (8.1)
void judge(CheckRow& row) {
  const double have = row.have.value_or(std::numeric_limits<double>::infinity());
  if (have <= 0) {
    row.margin = 0;
    row.verdict = Verdict::fails;
    return;
  }
  if (row.need && *row.need <= 0) {
    row.margin.reset();
    row.verdict = Verdict::holds;
    return;
  }
  base::require(row.have && row.need, "a check needs both figures");
  row.margin = have / *row.need;
  row.verdict = *row.margin < 1                           ? Verdict::fails
                : *row.margin < info_of(row.id).tight_below ? Verdict::tight
                                                            : Verdict::holds;
}

bool worse(const CheckRow& a, const CheckRow& b) {
  if (a.verdict != b.verdict) return a.verdict > b.verdict;
  constexpr double last = std::numeric_limits<double>::infinity();
  return a.margin.value_or(last) < b.margin.value_or(last);
}

bool replaces(const CheckRow& row, const CheckRow& kept) {
  if (worse(row, kept)) return true;
  if (row.verdict != Verdict::fails || worse(kept, row)) return false;
  constexpr double most = std::numeric_limits<double>::infinity();
  return row.need.value_or(most) > kept.need.value_or(most);
}

Rows worst_rows(const Rows& all) {
  Rows kept;
  for (const CheckRow& row : all) {
    const auto same = std::find_if(kept.begin(), kept.end(), [&](const CheckRow& k) {
      return k.id == row.id && k.door == row.door && k.part == row.part;
    });
    if (same == kept.end()) {
      kept.push_back(row);
    } else if (replaces(row, *same)) {
      *same = row;
    }
  }
  return kept;
}

}  // namespace latchwright::verdict
