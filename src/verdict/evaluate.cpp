// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/failure.h"
#include "verdict/checks.h"

namespace latchwright::verdict {

Rows evaluate(CheckId id, const Findings& findings) {
  using Check = Rows (*)(const Findings&);
  static constexpr Check checks[] = {check_stroke,     check_force,      check_throw_time, check_lockout,
                                     check_winding,    check_winding_fault, check_ptc_rating, check_volt_drop,
                                     check_wire_heat,  check_fuse_load,  check_fuse_carry, check_fuse_clear,
                                     check_fuse_guard, check_relay};
  return checks[static_cast<std::size_t>(id)](findings);
}

Rows evaluate_all(const Findings& findings) {
  Rows all;
  for (const CheckInfo& check : check_infos()) {
    if (findings.progress().cancelled()) throw base::Cancelled();
    const Rows rows = evaluate(check.id, findings);
    all.insert(all.end(), rows.begin(), rows.end());
  }
  return all;
}

std::string door_fuse_name(const model::Door& door) { return "fuse, " + door.name; }

}  // namespace latchwright::verdict
