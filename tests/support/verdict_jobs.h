// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>

#include "support/studies.h"
#include "verdict/examine.h"

// Jobs for the tests of the verdicts whose numbers can be done by hand.
namespace latchwright::tests {

/// One door, no wire lengths, almost all resistance in a thermistor that never changes:
///   R_s = 20 internal + 5 fuse + 2 x 2.5 contacts + 10 ground = 40 mohm
///   door = 10 mohm joints + 1.9 ohm thermistor + winding 50 mohm at 25 degC; brush drop 1 V
/// so that at 25 degC R = 2 ohm: 4 A at 9 V, 6 A at 13 V (usual), 6.5 A at 14 V (charging), 7 A at 15 V
/// (high). Ambients -15, 25, 65 degC; 45 degC at the controller when hot. Motor 10 mN·m/A and 2 mN·m, one
/// radian moves the rod 0.5 mm, efficiency 0.5: 1000 N per N·m, 58 N at 6 A and 25 degC. Rod 20 N, stroke 18
/// of 20 mm.
std::string plain_job_json(int doors = 1);

/// ohm, the plain door's winding: 50 mohm at 25 degC, copper's 0.00393/K at 20 degC (docs/model.md section
/// 1).
inline double plain_winding_ohm(double T_C) { return 0.05 * (1 + 0.00393 * (T_C - 20)) / (1 + 0.00393 * 5); }
/// A, one plain door stalled: R = 40 mohm + 10 mohm + 1.9 ohm + winding.
inline double plain_stall_A(double volts, double T_C) {
  return (volts - 1) / (1.95 + plain_winding_ohm(T_C));
}

/// Where a job's parts come from: only from itself, or from the built-in catalogue too.
enum class Parts { own, catalogue };

/// A checked study with the simulations behind its checks.
class Bench {
 public:
  Bench(const std::string& job_json, Parts parts);

  const verdict::Findings& findings() const { return findings_; }
  verdict::Rows rows(verdict::CheckId id) const { return verdict::evaluate(id, findings_); }
  /// The row of a door (none: of a part) at a condition; the only one where no condition is asked.
  verdict::CheckRow row(verdict::CheckId id, std::optional<std::size_t> door, const std::string& part = "",
                        std::optional<verdict::At> at = std::nullopt) const;
  /// The row that stands for the subject.
  verdict::CheckRow worst(verdict::CheckId id, std::optional<std::size_t> door,
                          const std::string& part = "") const;

 private:
  base::NoProgress quiet_;
  model::Study study_;
  verdict::Findings findings_;
};

/// The plain job with changes made.
Bench plain(const Changes& changes = {}, int doors = 1);

/// Checked study of a job that uses the built-in parts; throws std::runtime_error with every fault.
model::Study catalogue_study(const std::string& job_json);

}  // namespace latchwright::tests
