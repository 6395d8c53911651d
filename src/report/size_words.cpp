// SPDX-License-Identifier: GPL-3.0-or-later
#include "report/size_words.h"

#include <fmt/format.h>

#include "base/text.h"
#include "report/check_words.h"

namespace latchwright::report {

using base::exact_text;
using base::significant;
using choose::Reason;
using model::PlaceKind;

std::string place_text(const model::Study& study, const model::Place& place) {
  if (place.kind == PlaceKind::feed_wire) return "feed";
  if (place.kind == PlaceKind::main_fuse) return "main fuse";
  if (place.kind == PlaceKind::relay) return "relay";
  return base::printable(study.job.doors[place.door].name);
}

std::string row_line(const model::Study& study, const verdict::CheckRow& row, const Style& style) {
  return fmt::format("{}, {} {}: {}: {}", title_of(row.id), where_of(study, row), at_text(row),
                     have_and_need(row), shown(row.verdict, style));
}

std::string why_text(const choose::TurnedDown& entry, const Style& style) {
  const char* unit = std::holds_alternative<model::Wire>(entry.part->body) ? "mm²" : "A";
  switch (entry.reason) {
    case Reason::check:
      return fmt::format("{} {}: {}: {}", title_of(entry.row->id), at_text(*entry.row),
                         have_and_need(*entry.row), shown(entry.row->verdict, style));
    case Reason::larger:
      return fmt::format("larger than needed: {} {}, {} {} serve", significant(entry.have), unit,
                         significant(entry.need), unit);
    case Reason::weaker:
      return entry.rank == 0 ? fmt::format("leaves the weaker link: margin {}, the first set's {}",
                                           significant(entry.have), significant(entry.need))
                             : fmt::format("leaves less margin after the weakest link: {}, the first set {}",
                                           significant(entry.have), significant(entry.need));
    case Reason::not_judged:
      return fmt::format("serves by itself (expected margin {}); not tried in a set",
                         significant(entry.have));
    case Reason::insulation:
      return fmt::format(
          "serves here, but one insulation goes for all: this one comes in {} sizes, the first set's in {}",
          exact_text(entry.have), exact_text(entry.need));
    case Reason::slower:
      return fmt::format("a slower family: up to {} s at twice its rating, where {} s serve",
                         significant(entry.have), significant(entry.need));
    case Reason::kinds:
      return "serves too, but is one more kind of part";
    case Reason::equal:
      return "serves as well";
    case Reason::voltage:
      return fmt::format("made for {} V, the job has {} V", exact_text(entry.have), exact_text(entry.need));
  }
  return "";
}

}  // namespace latchwright::report
