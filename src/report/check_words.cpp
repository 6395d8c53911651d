// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/check_words.h"

#include "base/text.h"

namespace latchwright::report {

std::string where_text(const model::Study& study, verdict::CheckId id, const std::optional<std::size_t>& door,
                       const std::string& part) {
  const std::string name = base::printable(door ? study.job.doors[*door].name : part);
  const bool about_wire = id == verdict::CheckId::wire_heat || id == verdict::CheckId::fuse_guard;
  return about_wire && door ? "door run, " + name : name;
}

std::string title_of(verdict::CheckId id) { return std::string(verdict::info_of(id).title); }

std::string margin_text(const std::optional<double>& margin) {
  return margin ? base::significant(*margin) : "–";
}

}  // namespace latchwright::report
