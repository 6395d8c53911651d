// SPDX-License-Identifier: GPL-3.0-or-later
#include "base/failure.h"
#include "base/worker_pool.h"
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

Rows evaluate_all(const Findings& findings, unsigned workers) {
  const auto& checks = check_infos();
  std::vector<Rows> rows(checks.size());
  base::for_each_index(checks.size(), workers, [&](std::size_t k) {
    if (findings.progress().cancelled()) throw base::Cancelled();
    rows[k] = evaluate(checks[k].id, findings);
  });
  Rows all;
  for (const Rows& of_check : rows) all.insert(all.end(), of_check.begin(), of_check.end());
  return all;
}

std::string door_fuse_name(const model::Door& door) { return "fuse, " + door.name; }

}  // namespace latchwright::verdict
