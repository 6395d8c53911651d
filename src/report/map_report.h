// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "model/study.h"
#include "report/result_head.h"
#include "report/text_table.h"
#include "spread/map.h"

// Cycles to lockout over ambient and rest or pulse, for people and programs.
namespace latchwright::report {

/// What the wanted cycles take at one of a map's ambients.
struct SafeAt {
  enum class Kind {
    edge,    ///< value_s: the shortest rest, the longest pulse
    always,  ///< the shortest rest of the map does, or the longest pulse
    never    ///< nothing within the map does
  };
  Kind kind = Kind::never;
  double value_s = 0;
};
SafeAt safe_at(const spread::LockoutMap& map, std::size_t ambient);

model::Raw map_json(const spread::LockoutMap& map);
/// `ambient_C,gap_s,cycles_done` (or on_s), one row a count.
std::string map_csv(const spread::LockoutMap& map);
/// A table, no wider than 100 columns, and the sentences.
std::string map_text(const model::Study& study, const spread::LockoutMap& map, const Style& style);

/// Where the wanted cycles are safe: with the job's own rest or pulse, and what is to be set at the job's
/// usual and hottest ambient and at the warmest of the map.
std::vector<std::string> map_sentences(const model::Study& study, const spread::LockoutMap& map);

}  // namespace latchwright::report
