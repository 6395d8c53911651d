// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <functional>

#include "verdict/checks.h"

// Tools of the cures: changed copies of a job, candidates from the catalogue, searches along one number.
namespace latchwright::verdict {

/// The row's check on a changed job, evaluated for its own subject.
class Retry {
 public:
  Retry(const CheckRow& row, const Findings& findings) : row_(row), findings_(findings) {}

  const model::Study& study() const { return findings_.study(); }
  const Findings& findings() const { return findings_; }
  const CheckRow& row() const { return row_; }

  /// The study with a change made to its job. The change must keep the job lawful. Throws base::Cancelled.
  model::Study with(const std::function<void(model::Job&)>& change) const;
  /// Whether the row is cured in this study: a failing one no longer fails, a tight one holds.
  bool cures(const model::Study& changed) const;
  /// Whether another check does not fail for a door.
  static bool passes(const model::Study& study, CheckId id, std::size_t door);

 private:
  /// A cheap look before nine simulated corners: whether it still fails at the row's own.
  bool fails_where_it_failed(const model::Study& changed) const;

  const CheckRow& row_;
  const Findings& findings_;
};

/// Wires thicker than this one, those of the same make (id without its numbers) first, then by area.
std::vector<model::PartPtr> thicker_wires(const model::Catalogue& catalogue, const model::PartPtr& now);
/// Fuses of the same family, by rating.
std::vector<model::PartPtr> family_fuses(const model::Catalogue& catalogue, const model::PartPtr& now);
/// Relays rated above this one, by rating.
std::vector<model::PartPtr> larger_relays(const model::Catalogue& catalogue, const model::PartPtr& now);
/// Other actuators for a door, those with the nearest winding resistance first.
std::vector<model::PartPtr> other_actuators(const model::Catalogue& catalogue, const model::PartPtr& now);

/// To a thousandth: without the tail that rounding leaves.
double tidy(double value);

/// The largest value in [low, high] that passes, to `step`, when low passes and high does not.
double largest_passing(double low, double high, double step, const std::function<bool(double)>& passes);
/// The smallest value in [low, high] that passes, to `step`, when high passes and low does not.
double smallest_passing(double low, double high, double step, const std::function<bool(double)>& passes);

/// "/doors/2/wire".
std::string door_pointer(std::size_t door, std::string_view key);

}  // namespace latchwright::verdict
