// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include <time.h>

#include <algorithm>
#include <map>
#include <utility>

#include "speed/rows.h"

namespace latchwright::tests::speed {

/// Seconds that this thread has computed: beside other work the clock on the wall goes on for a long run,
/// hardly for a short one.
inline double thread_seconds() {
  timespec now{};
  clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

/// Computing time of one run, the mean over `runs`.
template <class Run>
double seconds(const Run& run, int runs = 1) {
  const double begin = thread_seconds();
  for (int k = 0; k < runs; ++k) run();
  return (thread_seconds() - begin) / runs;
}

/// So many runs that a reading of the clock means little beside them.
template <class Run>
int runs_for(const Run& run) {
  constexpr double enough = 0.01;  // s
  if (seconds(run) > enough) return 1;
  return std::clamp(static_cast<int>(enough / seconds(run)), 1, 10000);
}

/// Errors over what docs/model.md section 9 allows: 1 is the limit.
struct Errors {
  double figures = 0;  ///< the largest of all rows but the energy's
  double energy = 0;
  double all() const { return std::max(figures, energy); }
};
/// Of the figures alone: the largest deviation.
double figures_error(const Figures& have, const Figures& want);
double energy_error(double imbalance);

enum class Judged { all, without_energy };

struct Setting {
  cvode::Tolerances tolerances;
  Errors errors;
  double seconds = 0;
};

/// Looks for the setting at which CVODE is fastest and still within the limits: every scale of the absolute
/// tolerances has its loosest relative one, found by decades and then within one.
class Search {
 public:
  Search(const Row& row, const Figures& want) : row_(row), want_(want) {}
  /// Throws std::runtime_error where no setting is within the limits.
  Setting fastest(cvode::Linear linear, Judged judged);

 private:
  bool good(const cvode::Tolerances& tolerances, Judged judged);
  void loosest(double scale, Judged judged, std::vector<Setting>& found);

  const Row& row_;
  const Figures& want_;
  // Of the structured linear solver, which is the quick one; the energy where it has been asked for.
  struct Seen {
    double error = 0, seconds = 0;
  };
  std::map<std::pair<double, double>, Seen> figures_;
  std::map<std::pair<double, double>, double> energy_;
};

}  // namespace latchwright::tests::speed
