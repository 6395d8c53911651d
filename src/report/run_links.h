// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "verdict/examine.h"

// The run: the circuit from the battery to the rods as a row of links, each with its part and its worst
// margin.
namespace latchwright::report {

enum class LinkKind { battery, main_fuse, feed, relay, door_run, thermistor, motor, rod };

struct Link {
  LinkKind kind{};
  std::size_t door = 0;  ///< of the last four kinds

  friend bool operator==(const Link&, const Link&) = default;
};

/// How a link stands, in words.
struct LinkState {
  Link link;
  std::string name;                  ///< "feed", "motor, tailgate"
  std::string part;                  ///< "2.5 mm²", "30 A", "12.6 V"; "not chosen"
  std::optional<double> area_mm2;    ///< the wire's, where the part text names it
  std::optional<double> force_N;     ///< the rod's, where the part text names it
  std::vector<std::string> places;   ///< JSON pointers of the part references that fill this link
  bool chosen = true;                ///< all parts of it are there
  std::vector<std::size_t> rows;     ///< into Examination::worst, in its order
  std::optional<std::size_t> worst;  ///< of these, the worst; none without a verdict
};

/// battery, main fuse, feed, relay, then door by door its run, thermistor, motor, rod.
std::vector<Link> links_of(const model::Study& study);

/// The link that a row is about. Rows about the installation as a whole belong to the thermistor of the door
/// that stops first: the row itself says which (the check has simulated it). Where none stopped as far as
/// that was looked at, the door whose thermistor warms quickest at standstill at the row's condition: no
/// simulation, always the same. The study must be the complete one that the row is of.
Link link_of(const model::Study& study, const verdict::CheckRow& row);

/// All links with what `examination` says of them; null: no verdict yet. The study may be unfinished while
/// there is none.
std::vector<LinkState> run_links(const model::Study& study, const verdict::Examination* examination);

}  // namespace latchwright::report
