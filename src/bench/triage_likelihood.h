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
  double left_s = 0;  ///< until it moves again, of an actuator that waits to cool
  double rest_s = 0;  ///< the same from power off
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
  WaitingActuator& waiting() const { return waiting_; }
  const std::vector<Member>& members() const { return members_; }

 private:
  /// What words, bands of voltage and open lines say, without the model.
  double words_chance(State state, const Readings& readings) const;
  void add_waiting(const Readings& readings, std::vector<Sample>& out) const;
  /// One that works, cold or still warm of its use.
  void add_working(State state, const Readings& readings, std::vector<Sample>& out) const;
  Sample sample_of(State state, const Member& m, const Readings& readings) const;

  const std::vector<Member>& members_;
  WaitingActuator& waiting_;
  double nominal_V_;
};

/// Chance of what was read across the leads and of the current, of one sample; 1 where neither was read. The
/// share of open lines is not in it.
double figures_density(const Sample& sample, const Readings& readings);

/// Across the leads; where that is less than the meter's own leads alone, by how the probes touch, these.
double shown_ohm(const Readings& readings);

/// The part of it that a leads' reading, or a current, owes to a meter used rightly.
double right_leads_density(const Sample& sample, double shown_ohm);
double right_current_density(const Sample& sample, double shown_A);

/// Chance of a band of voltage, in the direction in which it does not move where it moves one way only.
double supply_chance_of(State state, std::size_t band, const Readings& readings);

/// Bayes' rule: prior times likelihood, made to add to 1.
PerState posterior(const PerState& prior, const PerState& likelihood);

}  // namespace latchwright::bench
