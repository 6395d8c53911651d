// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "bench/triage_added.h"
#include "bench/triage_tables.h"
#include "bench/waiting_actuator.h"

namespace latchwright::bench {

/// What a meter may find beside the resistance of a sample.
enum class Top { nothing, film, leak };

/// A part of the currents that a clamp may find, as evenly as stated from low to high.
struct CurrentPart {
  double share = 0, low_A = 0, high_A = 0;
  bool in_logarithm = false;
};

/// What one member would show if it were in a state, at a time since its use where that counts.
struct Sample {
  double weight = 0;  ///< a state's samples add to the likelihood of idle time and use
  Top top = Top::nothing;
  double base_ohm = 0;   ///< across the leads and in the meter's own, without what may lie on top
  double lead_ohm = 0;   ///< the same with one such; of a line that is not open
  double meter_ohm = 0;  ///< of the meter's own leads
  std::array<CurrentPart, 3> currents{};  ///< shares add to 1
  double current_A = 0;                   ///< one of these
  double supply_V = 0;
  double left_s = 0;  ///< until it moves again, of an actuator that waits to cool
  double rest_s = 0;  ///< the same from power off
};

/// How likely a sample, or a state, makes the figures that were read; 1 where none was. The share of open
/// lines is not in it.
struct Figures {
  double all = 0;
  // The part of it where one of them was read rightly.
  double right_leads = 0, right_current = 0;
};

/// Densities of figures that were read wrongly: the same for all samples.
struct Wrong {
  double leads = 0, current = 0;
};
Wrong wrong_of(const Readings& readings);

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
  /// All must outlive it. usual: others, in the usual air; null where no air was told and `waiting` are such.
  Likelihoods(const std::vector<Member>& members, WaitingActuator& waiting, double nominal_V,
              WaitingActuator* usual = nullptr)
      : members_(members), waiting_(waiting), usual_(usual ? *usual : waiting), nominal_V_(nominal_V) {}

  /// What the members would show. Only idle, used and supply count of the readings.
  std::vector<Sample> samples(State state, const Readings& readings) const;
  /// A sample's weight times the chance of the figures.
  Figures figures_of(const Sample& sample, const Readings& readings) const;
  Figures figures_of(const Sample& sample, const Readings& readings, const Wrong& wrong) const;
  Figures figures(State state, const Readings& readings) const;
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
  double right_leads_density(const Sample& sample, double shown_ohm) const;

  const std::vector<Member>& members_;
  WaitingActuator& waiting_;
  WaitingActuator& usual_;
  double nominal_V_;
  mutable std::optional<AddedDensity> film_, leak_;  // of the figure that was asked for last
};

/// Across the leads; where that is less than the meter's own leads alone, by how the probes touch, these.
double shown_ohm(const Readings& readings);

/// Chance of a band of voltage, in the direction in which it does not move where it moves one way only.
double supply_chance_of(State state, std::size_t band, const Readings& readings);

/// Bayes' rule: prior times likelihood, made to add to 1.
PerState posterior(const PerState& prior, const PerState& likelihood);

}  // namespace latchwright::bench
