// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bench/next_reading.h"
#include "bench/triage_likelihood.h"
#include "bench/weighted.h"

namespace latchwright::bench {

/// A reading to take again, because it contradicts another or fits no state.
struct Again {
  Reading reading;
  std::string why;
  bool power_off = false;  ///< what was read may be a short: no power before it is settled
};

/// Why each state is as likely as it is, what to read next and why, and what was taken for granted: in the
/// reader's own figures.
class TriageTexts {
 public:
  /// Both must outlive it.
  TriageTexts(const Likelihoods& likelihoods, const PerState& prior, const Readings& readings);

  std::string why(State state) const;
  std::string why_next(const Choice& choice, const PerState& now) const;
  std::optional<Again> read_again(const PerState& now) const;
  /// power_off: it may be shorted.
  std::vector<std::string> remarks(bool power_off) const;

 private:
  /// One thing that was read, and how likely each state makes it.
  struct Evidence {
    Reading reading;
    PerState likelihood;
  };
  std::string phrase(const Evidence& evidence, State state, bool speaks_for) const;
  std::string figure_phrase(const std::string& shown, const std::optional<double>& figure,
                            const std::string& unit, const Weighted& expected, bool speaks_for) const;
  std::string thermistor_sentence() const;
  /// Chance that this reading went wrong, by what all states that are left make of it.
  double chance_wrong(Reading reading, const PerState& now) const;
  /// Whether a state makes this figure, by itself, likely by a meter used rightly.
  bool fits(State state, Reading reading) const;
  bool fits_none(Reading reading) const;
  Again current_again(const PerState& now) const;
  Again leads_again(const PerState& now) const;
  std::string against(const PerState& now, const Weighted& expected, const char* unit) const;
  /// The leads' reading as it is compared with: less the meter's own leads where those were read.
  std::string leads_words() const;
  Weighted expected_ohms(State state) const;
  Weighted expected_amps(State state) const;
  Readings story() const;

  const Likelihoods& likelihoods_;
  PerState prior_;
  const Readings& readings_;
  std::vector<Evidence> evidence_;
};

/// "a seized one": for sentences.
std::string one_that(State state);

/// "1.9 to 2.8": the middle 80 %.
std::string range_of(const Weighted& values);

/// The trial that finds what binds, without power.
std::string by_hand();

/// How to part states that no reading parts.
std::string settling(const std::vector<State>& states);

}  // namespace latchwright::bench
