// SPDX-License-Identifier: GPL-3.0-or-later
#include <algorithm>
#include <cmath>

#include "sim/cycle.h"
#include "sim/pulse.h"
#include "sim/rest.h"

// Rests after a lockout (docs/model.md section 5): when a throw completes again, and when a meter would call
// the thermistors cold.
namespace latchwright::sim {

namespace {

using physics::heat_nodes;

constexpr double shortest_rest = 1e-3;  // s: recovery is owed to 1 ms
// Growth of the rests that are tried: rests that no hand can time are passed quickly.
constexpr double brief_rest = 0.1, brief_growth = 2, growth = 1.3;

/// Rests after which everything is at ambient for any purpose.
double longest_rest(const Rest& rest) { return std::max(10.0, 25 * rest.slowest_s()); }

class Trial {
 public:
  Trial(const Circuit& circuit, const Rest& rest, const std::vector<double>& start, double on_s,
        bool unlocking)
      : rest_(rest), start_(start), on_s_(on_s), unlocking_(unlocking), engine_(circuit) {}

  bool completes_after(double seconds) {
    rest_.after(start_, seconds, temperatures_);
    const auto& arrivals = engine_.run(temperatures_, 0, on_s_, unlocking_, {});
    return std::all_of(arrivals.begin(), arrivals.end(), [](const auto& a) { return a.has_value(); });
  }

 private:
  const Rest& rest_;
  const std::vector<double>& start_;
  double on_s_;
  bool unlocking_;
  PulseEngine engine_;
  std::vector<double> temperatures_;
};

double worst_deviation(const Circuit& circuit, const std::vector<double>& temperatures) {
  double worst = 0;
  for (std::size_t k = 0; k < circuit.doors.size(); ++k) {
    const auto& ptc = circuit.doors[k].ptc;
    const double now = ptc.resistance(temperatures[k * heat_nodes + physics::ptc]).value;
    worst = std::max(worst, std::fabs(now / ptc.resistance(circuit.at.ambient_C).value - 1));
  }
  return worst;
}

double solve_cooling(const Circuit& circuit, const Rest& rest, const std::vector<double>& start) {
  constexpr double near = 0.1;  // what a meter on the bench would call cold
  std::vector<double> scratch;
  const auto off = [&](double seconds) {
    rest.after(start, seconds, scratch);
    return worst_deviation(circuit, scratch) > near;
  };
  // The last moment that is off counts: from the far end back to it.
  double last_off = -1, first_near = 0;
  constexpr double fine = 1.02;
  for (double seconds = longest_rest(rest);; seconds = seconds > shortest_rest ? seconds / fine : 0) {
    if (off(seconds)) {
      last_off = seconds;
      break;
    }
    first_near = seconds;
    if (seconds == 0) return 0;
  }
  while (first_near - last_off > 1e-6 * first_near) {
    const double half = 0.5 * (first_near + last_off);
    (off(half) ? last_off : first_near) = half;
  }
  return first_near;
}

}  // namespace

Recovery solve_recovery(const Circuit& circuit, const std::vector<double>& temperatures, double on_s,
                        bool unlocking) {
  const Rest rest(circuit);
  Recovery recovery;
  recovery.cooled_s = solve_cooling(circuit, rest, temperatures);
  Trial trial(circuit, rest, temperatures, on_s, unlocking);
  double fails = 0;
  std::optional<double> completes;
  if (trial.completes_after(0)) {
    recovery.recovery_s = 0;
    return recovery;
  }
  const double end = longest_rest(rest);
  for (double seconds = shortest_rest; seconds < growth * end;
       seconds *= seconds < brief_rest ? brief_growth : growth) {
    if (trial.completes_after(seconds)) {
      completes = seconds;
      break;
    }
    fails = seconds;
  }
  if (!completes) return recovery;
  while (*completes - fails > std::max(0.2 * shortest_rest, 5e-4 * *completes)) {
    const double half = 0.5 * (fails + *completes);
    (trial.completes_after(half) ? *completes : fails) = half;
  }
  recovery.recovery_s = completes;
  return recovery;
}

}  // namespace latchwright::sim
