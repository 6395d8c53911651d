// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <utility>

namespace latchwright::bench {

/// How a meter shows a figure that is 0 or more: about right (a normal law cut off at 0), now and then
/// anything at all, so that no single reading rules a state out.
class ReadingError {
 public:
  /// base, share: of the standard deviation, in the unit and of the figure. scale, top: of "anything at all",
  /// which is even in the logarithm from about scale to top. nothing: share of readings that show 0 whatever
  /// the figure.
  constexpr ReadingError(double base, double share, double scale, double top, double nothing)
      : base_(base), share_(share), scale_(scale), top_(top), nothing_(nothing) {}

  double density(double shown, double figure) const;
  /// The part of it that is a meter used rightly, and the rest, the same for all figures.
  double right_density(double shown, double figure) const;
  double wrong_density(double shown) const;
  /// The mean of right_density over figures from low to high, even in themselves or in the logarithm.
  double right_density_between(double shown, double low, double high, bool in_logarithm) const;
  /// Chance that it shows less than `shown`, which may be infinite.
  double chance_below(double shown, double figure) const;
  /// Chance that low <= shown < high; high may be infinite. 0 <= low.
  double chance(double low, double high, double figure) const;
  /// The figures that lie at most so many standard deviations from what is shown; at most 10.
  std::pair<double, double> figures_about(double shown, double deviations) const;

 private:
  double sd(double figure) const;
  double about(double shown, double figure) const;
  double base_, share_, scale_, top_, nothing_;
};

// A hand-held meter and a clamp (common practice, no source): errors that their makers state, and the grip of
// the probes.
inline constexpr ReadingError ohmmeter{0.08, 0.04, 0.1, 1e7, 0};
// Round both leads, or for alternating current only, a clamp shows 0.
inline constexpr ReadingError clamp{0.03, 0.05, 0.05, 60, 0.02};

}  // namespace latchwright::bench
