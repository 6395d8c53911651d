// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "base/progress.h"
#include "choose/dress.h"

// What to fit: sets of parts for the places that a job leaves open, best first, and why the others stay on
// the shelf.
namespace latchwright::choose {

/// A whole set: the job filled in, with the verdict on it.
struct Pick {
  Dressed set;
  std::optional<double> price;  ///< of the parts in the open places, if each of them has one
  std::size_t kinds = 0;        ///< different parts in the open places
};

/// Why a part is not in the first set.
enum class Reason {
  check,       ///< a check that fails, or is only tight, with it: the row says which
  larger,      ///< larger than needed: mm² or A of it, and of what serves
  weaker,      ///< in the first set it leaves the smaller margin, weakest first: of it, of the first set
  not_judged,  ///< an actuator that serves alone and was not tried in a set: margin expected, the first set's
  insulation,  ///< of another insulation, which comes in no more sizes: how many sizes
  slower,      ///< of a slower family of fuses: s at twice the rating
  kinds,       ///< smaller and serves, but is one more kind of part: mm² or A
  equal,       ///< serves as well: the order of price and id decides
  voltage      ///< made for less than the job's high voltage, V
};

struct TurnedDown {
  model::PartPtr part;
  std::string place;  ///< door names, "feed", "main fuse", "relay", "door runs"
  Reason reason{};
  std::optional<verdict::CheckRow> row;  ///< of reason check
  double have = 0;                       ///< of the others
  double need = 0;
  std::size_t rank = 0;  ///< of reason weaker: 0 the weakest margin, 1 the next
};

/// The least change of the job that lets the nearest set pass.
struct JobChange {
  std::string pointer;
  double now = 0;
  double passes_at = 0;
  std::string text;
};

struct NearestMiss {
  Pick pick;
  verdict::CheckRow sunk_by;
  std::optional<JobChange>
      job_change;  ///< none: no single change of pulse, gap, promised cycles or run does it
};

struct SizeResult {
  std::vector<model::Place> open;
  std::vector<Pick> picks;  ///< best first; empty where no set passes
  std::vector<TurnedDown> turned_down;
  std::optional<NearestMiss> nearest;
  std::optional<double> reasons_on_s;  ///< pulse for which parts were turned down, where it is not the job's
  std::size_t actuators_looked_at = 0;
  std::size_t sets_judged = 0;
};

inline constexpr std::size_t most_picks = 5;

/// Fills what `study` leaves open from its catalogue. The result does not depend on the number of workers.
/// Throws base::Cancelled, and base::UsageError where the catalogue has no part at all of a kind that is
/// asked for.
SizeResult size(const model::Study& study, unsigned workers, base::Progress& progress);

}  // namespace latchwright::choose
