// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace latchwright::tests {

/// One figure of one fit beside what it truly is.
struct TrialFigure {
  std::string name;
  bool identified = false;
  bool covered = false;    ///< truth within 1.96 standard errors
  double error_share = 0;  ///< standard error over the truth (over 1 K for a shift)
  double off = 0;          ///< (fitted - true) / standard error
};

/// Cycles before the lockout of a pulse train that the fit has not seen.
struct Foretold {
  std::string name;
  int truly = 0, by_fit = 0;
  /// Alike within 5 %, or within one cycle of few.
  bool alike() const;
};

/// How the log is taken: power kept on once, or off in between for as long.
enum class Method { once, twice };

/// A part drawn near one of the catalogue, its log made with noise, steps of 0.01 A, a wrong zero and some
/// rate from 10 Hz to 1 kHz, fitted from the catalogue's part.
struct FitTrial {
  std::string like;
  double rate_Hz = 0;
  std::vector<TrialFigure> figures;
  std::vector<Foretold> trains;
  std::string refused;  ///< why the fit said that it is no measurement; empty: it is
  bool strays = false;  ///< it said that it strays more than the readings' noise
  double seconds = 0;   ///< that the fit took
};

FitTrial run_trial(std::uint64_t seed, Method method = Method::once);
std::vector<FitTrial> run_trials(std::uint64_t first_seed, std::size_t count, unsigned workers,
                                 Method method = Method::once);

/// In how many trials the train of that place was foretold.
int foretold(const std::vector<FitTrial>& trials, std::size_t train);

struct Coverage {
  std::string name;
  int identified = 0, covered = 0;
  double median_error_share = 0;
  double share() const { return identified > 0 ? static_cast<double>(covered) / identified : 1.0; }
};
std::vector<Coverage> coverage_of(const std::vector<FitTrial>& trials);

}  // namespace latchwright::tests
