// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <string>
#include <vector>

#include "bench/triage_tables.h"
#include "bench/waiting_actuator.h"

namespace latchwright::bench {

/// What one member would show if it were in a state, at a time since its use where that counts.
struct Sample {
  double weight = 0;     ///< a state's samples add to the likelihood of idle time and use
  double lead_ohm = 0;   ///< across the leads, the meter's own included; of a line that is not open
  double meter_ohm = 0;  ///< of the meter's own leads
  double current_A = 0;
  double supply_V = 0;
  // Only of an actuator that waits to cool:
  double plain_weight = 0;  ///< the same without asking whether it still waits
  double left_s = 0;        ///< until it works again; below 0: it has for so long
  double ptc_C = 0;
};

/// States against the outcomes of a reading that is still to be made: chances[state][outcome] with the prior
/// and all that was read, not scaled.
struct Joint {
  std::vector<std::string> outcomes;  ///< for people
  std::vector<double> low, high;      ///< of a figure; empty where outcomes are words
  std::vector<PerState> chances;      ///< by outcome
};

/// How likely each state makes the readings: for every member the chance of what was read, then the mean.
class Likelihoods {
 public:
  /// All must outlive it.
  Likelihoods(const std::vector<Member>& members, WaitingActuator& waiting, double nominal_V)
      : members_(members), waiting_(waiting), nominal_V_(nominal_V) {}

  /// What the members would show. Only idle, used and supply count of the readings.
  std::vector<Sample> samples(State state, const Readings& readings) const;
  /// In proportion to the chance of the readings in this state.
  double of(State state, const Readings& readings) const;
  /// A reading that is not given, by its outcomes.
  Joint joint(Reading reading, const PerState& prior, const Readings& readings) const;

  double nominal_V() const { return nominal_V_; }

 private:
  /// What words, bands of voltage and open lines say, without the model.
  double words_chance(State state, const Readings& readings) const;
  void add_waiting(const Readings& readings, std::vector<Sample>& out) const;

  const std::vector<Member>& members_;
  WaitingActuator& waiting_;
  double nominal_V_;
};

/// Chance of what was read across the leads and of the current, of one sample; 1 where neither was read. The
/// share of open lines is not in it.
double figures_density(const Sample& sample, const Readings& readings);

/// Bayes' rule: prior times likelihood, made to add to 1.
PerState posterior(const PerState& prior, const PerState& likelihood);

}  // namespace latchwright::bench
