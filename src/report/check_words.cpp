// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/check_words.h"

#include <fmt/format.h>

#include "base/text.h"
#include "report/text_table.h"

namespace latchwright::report {

using base::significant;
using verdict::CheckRow;

namespace {

/// What an absent figure means: a time that never comes, a wire that never heats or does not survive.
struct Absent {
  const char* cell;    // in a table
  const char* clause;  // in a sentence
};

Absent absent(const CheckRow& row, bool is_need) {
  switch (row.id) {
    case verdict::CheckId::throw_time:
      return {"never arrives", "the rod never arrives"};
    case verdict::CheckId::wire_heat:
      return {"burns", "the wire burns"};
    case verdict::CheckId::fuse_guard:
      return is_need ? Absent{"never opens", "the fuse may never open"}
                     : Absent{"never heats", "the wire never heats"};
    default:
      return {"never opens", "the fuse may never open"};
  }
}

}  // namespace

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

std::string where_of(const model::Study& study, const CheckRow& row) {
  return where_text(study, row.id, row.door, row.part);
}

std::string at_text(const CheckRow& row) {
  return row.at ? condition_text(row.at->voltage_V, row.at->ambient_C) : "(any)";
}

std::string figure_text(const CheckRow& row, bool is_need) {
  const auto& value = is_need ? row.need : row.have;
  if (!value) return absent(row, is_need).cell;
  return (row.unit == "cycles" ? base::exact_text(*value) : significant(*value)) + " " + row.unit;
}

verdict::Rows one_a_check(const verdict::Rows& rows) {
  verdict::Rows kept;
  for (const CheckRow& row : rows) {
    if (kept.empty() || kept.back().id != row.id) {
      kept.push_back(row);
    } else if (verdict::worse(row, kept.back())) {
      kept.back() = row;
    }
  }
  return kept;
}

std::string absent_clause(const CheckRow& row, bool is_need) { return absent(row, is_need).clause; }

std::string have_and_need(const CheckRow& row) {
  if (row.unit == "cycles" && row.have && row.need) {
    return fmt::format("{} of {} cycles", base::exact_text(*row.have), base::exact_text(*row.need));
  }
  return (row.have ? "have " + figure_text(row, false) : absent_clause(row, false)) + ", " +
         (row.need ? "need " + figure_text(row, true) : absent_clause(row, true));
}

}  // namespace latchwright::report
