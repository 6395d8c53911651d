// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/reading_fields.h"

#include <algorithm>
#include <vector>

#include "base/failure.h"
#include "model/job_fields.h"

namespace latchwright::bench {

namespace {

using model::FieldInfo;
using model::FieldKind;

FieldInfo row(const char* key, const char* unit, double low, double high, const char* meaning,
              FieldKind kind = FieldKind::number) {
  FieldInfo info;
  info.key = key;
  info.kind = kind;
  info.unit = unit;
  info.low = low;
  info.high = high;
  info.required = false;
  info.meaning = meaning;
  return info;
}

/// Range and unit of a job's own row.
FieldInfo like(FieldInfo info, const char* key, const char* meaning) {
  info.key = key;
  info.meaning = meaning;
  return info;
}

}  // namespace

const FieldInfo& reading_field(std::string_view key) {
  static const std::vector<FieldInfo> rows = {
      row("leads", "Ω", 0, 1e7,
          "resistance across the actuator's leads, unplugged, the meter's own leads included"),
      row("meter", "Ω", 0, 100, "resistance of the meter's own leads, touched together"),
      row("idle", "min", 0, 1e6, "time since its last throw, until its resistance was read"),
      row("used", "throws", 0, 1000,
          "how often it was locked or unlocked in a row before it was last left alone", FieldKind::whole),
      like(model::pulse_table().find("on_s")->info, "on", "pulse of those throws"),
      like(model::use_table().find("gap_s")->info, "gap", "rest between those throws"),
      row("supply", "V", 0, 36,
          "voltage at the actuator's own leads while it is energised, plugged in and its motor connected, in "
          "the "
          "direction in which it does not move"),
      row("current", "A", 0, 200, "current then, by a clamp around one of its leads, not both"),
      row("cold", "Ω", 0.05, 1000, "resistance across its leads, cold, less the meter's own leads"),
      row("force", "N", 0.1, 5000, "spring scale at the rod, held cold at the logs' voltage"),
      row("throw", "s", 0.005, 10, "time of one throw with nothing on the rod, cold, at the logs' voltage"),
  };
  const auto found =
      std::find_if(rows.begin(), rows.end(), [key](const FieldInfo& each) { return each.key == key; });
  base::require(found != rows.end(), "a reading that the bench does not have");
  return *found;
}

}  // namespace latchwright::bench
