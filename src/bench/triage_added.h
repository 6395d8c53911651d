// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <vector>

namespace latchwright::bench {

/// What a meter may find on top of a resistance: in a share of cases anything from low to high, even in the
/// logarithm, else nothing (choices; docs/model.md section 11).
struct AddedOhms {
  double share, low_ohm, high_ohm;

  /// The value below which a part u (0..1) of all lies.
  double at(double u) const;
};

/// At the brushes, to a meter's small current.
inline constexpr AddedOhms film_on_top{0.4, 0.3, 30};
/// Across a broken line: a burnt contact, a track of carbon.
inline constexpr AddedOhms leak_across{1, 100, 1e7};

/// Chance density that an ohmmeter used rightly shows one figure, over all that may be added. Its points
/// would have to lie closer than the meter's error, so it is integrated; looked up, as it is asked for often.
class AddedDensity {
 public:
  /// shown_ohm: 0 or more, finite.
  AddedDensity(const AddedOhms& added, double shown_ohm);

  double shown_ohm() const { return shown_ohm_; }
  /// base_ohm: what is there for certain, 0 to 1e7.
  double of(double base_ohm) const;

 private:
  double integral(double base_ohm) const;
  double node(std::size_t place) const;

  AddedOhms added_;
  double shown_ohm_;
  mutable std::vector<double> nodes_;  // less than 0: not computed yet
};

}  // namespace latchwright::bench
