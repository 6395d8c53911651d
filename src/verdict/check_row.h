// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace latchwright::verdict {

/// The fourteen checks of docs/model.md section 8, in its order.
enum class CheckId {
  stroke,
  force,
  throw_time,
  lockout,
  winding,
  winding_fault,
  ptc_rating,
  volt_drop,
  wire_heat,
  fuse_load,
  fuse_carry,
  fuse_clear,
  fuse_guard,
  relay
};

struct CheckInfo {
  CheckId id;
  std::string_view key;     ///< as results name it
  std::string_view title;   ///< as the trade says it
  double tight_below;       ///< 1.15 for physical edges, 1.05 where the need already holds a factor
};

/// One row per check.
const std::vector<CheckInfo>& check_infos();
const CheckInfo& info_of(CheckId id);

enum class Verdict { holds, tight, fails };
std::string_view word_of(Verdict verdict);

struct At {
  double voltage_V = 0;
  double ambient_C = 0;
};

using Setting = std::variant<std::monostate, double, std::string>;

/// The one change that would cure a row, computed by evaluating the check again with it.
struct Change {
  std::string pointer;   ///< into the job
  Setting now;
  Setting passes_at;
  std::string text;

  bool operator==(const Change&) const = default;
};

/// How another row stands before and after a change of the job.
struct Move {
  CheckId id{};
  std::optional<std::size_t> door;     ///< index into the job's doors
  std::string part;                    ///< the subject where it is no door
  std::optional<double> margin_now;    ///< none where nothing is needed, or where the subject is new
  std::optional<double> margin_then;
  std::optional<Verdict> verdict_now;  ///< none: the change brings this subject (a fuse that was not there)
  Verdict verdict_then = Verdict::holds;

  bool operator==(const Move&) const = default;
};

/// One way to cure a failing row and what else it does. A change without a setting (`passes_at` empty) says in
/// words what to look for: nothing can be computed for it, so it has neither moves nor breaks.
struct Cure {
  Change change;
  std::vector<Move> moves;      ///< other subjects with another verdict, or a margin more than 1 % off
  std::vector<CheckId> breaks;  ///< checks of which a subject fails that does not fail now, each once

  bool operator==(const Cure&) const = default;
};

struct CheckRow {
  CheckId id{};
  std::optional<std::size_t> door;  ///< index into the job's doors
  std::string part;                 ///< the subject where it is no door
  std::optional<double> margin;     ///< have / need; none where nothing is needed
  Verdict verdict = Verdict::holds;
  std::optional<At> at;
  std::optional<double> have;
  std::optional<double> need;
  std::string unit;
  std::string why;
  std::optional<Change> change;  ///< the first of the cures
  std::vector<Cure> cures;       ///< of a failing row: every way found, those that break nothing first
  std::optional<std::size_t> stops_first;  ///< lockout: index of the door whose throw is missed first
  std::optional<std::pair<double, double>> band;  ///< lockout: cycles for thermistors at their tolerance's ends
};

using Rows = std::vector<CheckRow>;

/// Fills margin and verdict from have and need: need at or below 0 with a positive have holds without a margin,
/// a have at or below 0 fails with margin 0.
void judge(CheckRow& row);

/// Worse first: fails, tight, holds; then by margin, none last.
bool worse(const CheckRow& a, const CheckRow& b);

/// Whether a row takes the place of another of the same subject: worse, or failing as badly (as a rule with margin 0)
/// and asking for more, where no need at all asks the most.
bool replaces(const CheckRow& row, const CheckRow& kept);

/// One row per subject of each check, at its worst corner, in the order of the checks and subjects.
Rows worst_rows(const Rows& all);

}  // namespace latchwright::verdict
