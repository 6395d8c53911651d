// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bench/next_reading.h"
#include "bench/triage_likelihood.h"
#include "bench/weighted.h"

namespace latchwright::bench {

/// Why each state is as likely as it is, what to read next and why, and what was taken for granted: in the
/// reader's own figures.
class TriageTexts {
 public:
  /// Both must outlive it.
  TriageTexts(const Likelihoods& likelihoods, const PerState& prior, const Readings& readings);

  std::string why(State state) const;
  std::string why_next(const Choice& choice, const PerState& now) const;
  /// A reading that contradicts another or fits no state.
  std::optional<NextReading> read_again() const;
  std::vector<std::string> remarks(const PerState& now) const;

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
  /// Whether no state makes this figure likely by a meter used rightly.
  bool fits_none(Reading reading) const;
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

/// How to part states that no reading parts.
std::string settling(const std::vector<State>& states);

}  // namespace latchwright::bench
