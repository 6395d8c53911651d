// SPDX-License-Identifier: GPL-3.0-or-later
#include "speed/search.h"

#include <cmath>
#include <limits>
#include <stdexcept>

namespace latchwright::tests::speed {

namespace {

constexpr double energy_limit = 1e-5;  // docs/model.md section 9
constexpr double never = std::numeric_limits<double>::infinity();
constexpr double decades[] = {1e-2, 1e-3, 1e-4, 1e-5, 1e-6, 1e-7, 1e-8};
constexpr double within_decade[] = {2, 3, 5, 7};
constexpr double coarse_scales[] = {0.1, 1, 10};
constexpr std::size_t timed_again = 3;

}  // namespace

double figures_error(const Figures& have, const Figures& want) {
  if (have.size() != want.size()) return never;
  double largest = 0;
  for (std::size_t k = 0; k < have.size(); ++k) largest = std::max(largest, deviation(have[k], want[k]));
  return largest;
}

double energy_error(double imbalance) { return std::fabs(imbalance) / energy_limit; }

bool Search::good(const cvode::Tolerances& tolerances, Judged judged) {
  const std::pair key{tolerances.relative, tolerances.scale};
  const auto [figures, fresh] = figures_.try_emplace(key, Seen{never, never});
  try {
    if (fresh) {
      figures->second.seconds =
          seconds([&] { figures->second.error = figures_error(row_.cvode_figures(tolerances), want_); });
    }
    if (figures->second.error > 1) return false;
    if (judged == Judged::without_energy) return true;
    const auto [energy, fresh_too] = energy_.try_emplace(key, never);
    if (fresh_too) energy->second = energy_error(row_.cvode_imbalance(tolerances));
    return energy->second <= 1;
  } catch (const cvode::SolverFailed&) {
    return false;  // too loose to solve at all
  }
}

void Search::loosest(double scale, Judged judged, std::vector<Setting>& found) {
  const auto add = [&](double relative) {
    const cvode::Tolerances tolerances{relative, scale, cvode::Linear::blocks};
    if (!good(tolerances, judged)) return false;
    found.push_back({tolerances, {}, figures_.at({relative, scale}).seconds});
    return true;
  };
  for (const double decade : decades) {
    if (!add(decade)) continue;
    // Errors do not fall evenly with the tolerance: one that fails may have a looser one that does not.
    int failed = 0;
    for (const double times : within_decade) {
      if (!add(decade * times) && ++failed == 2) break;
    }
    return;
  }
}

Setting Search::fastest(cvode::Linear linear, Judged judged) {
  std::vector<Setting> found;
  const auto faster = [](const Setting& a, const Setting& b) { return a.seconds < b.seconds; };
  const auto sort = [&] { std::sort(found.begin(), found.end(), faster); };
  for (const double scale : coarse_scales) loosest(scale, judged, found);
  if (!found.empty()) {
    sort();
    const double best = found.front().tolerances.scale;
    for (const double times : {0.3, 3.0}) loosest(best * times, judged, found);
    sort();
  }
  // Both linear solvers take the same steps, so that what is quick with one is quick with the other.
  found.resize(std::min(timed_again, found.size()));
  for (Setting& setting : found) {
    setting.tolerances.linear = linear;
    const auto run = [&] { row_.cvode(setting.tolerances); };
    const int runs = setting.seconds > 0.05 ? 1 : runs_for(run);
    setting.seconds = std::min(seconds(run, runs), seconds(run, runs));
  }
  sort();
  for (Setting& setting : found) {
    setting.errors = {figures_error(row_.cvode_figures(setting.tolerances), want_),
                      energy_error(row_.cvode_imbalance(setting.tolerances))};
    if ((judged == Judged::all ? setting.errors.all() : setting.errors.figures) <= 1) return setting;
  }
  throw std::runtime_error(row_.name + ": no setting of CVODE is within the limits");
}

}  // namespace latchwright::tests::speed
