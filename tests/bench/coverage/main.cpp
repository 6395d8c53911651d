// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <string>
#include <string_view>

#include "base/worker_pool.h"
#include "bench/trials.h"

// Whether stated intervals hold what they say: latchwright_coverage [TRIALS [SEED [WORKERS [twice]]]].
// twice: the power goes off and on again in the log. Exit status 1
// where the truth lies within the 95 % interval of a figure in fewer than 90 or more than 99 of 100 trials,
// or where a pulse train that the fit has not seen is foretold within 5 % in fewer than 90, or where more
// than 2 of 100 of these good logs are refused or 10 said to stray.
int main(int argc, char** argv) {
  using namespace latchwright;
  const std::size_t count = argc > 1 ? static_cast<std::size_t>(std::max(1, std::atoi(argv[1]))) : 200;
  const std::uint64_t seed = argc > 2 ? static_cast<std::uint64_t>(std::atoll(argv[2])) : 1;
  const unsigned workers =
      argc > 3 ? static_cast<unsigned>(std::max(1, std::atoi(argv[3]))) : base::available_workers();
  const bool twice = argc > 4 && std::string_view(argv[4]) == "twice";
  const auto trials =
      tests::run_trials(seed, count, workers, twice ? tests::Method::twice : tests::Method::once);
  bool good = true;
  fmt::print("{} trials from seed {}\n{:<28} {:>10} {:>9} {:>7} {:>22}\n", count, seed, "figure",
             "identified", "covered", "%", "median standard error");
  for (const auto& one : tests::coverage_of(trials)) {
    fmt::print("{:<28} {:>10} {:>9} {:>7.1f} {:>20.3g} {}\n", one.name, one.identified, one.covered,
               100 * one.share(), one.median_error_share,
               one.name.ends_with("_K") && one.name.starts_with("curve") ? "K" : "");
    if (one.identified >= 20 && (one.share() < 0.90 || one.share() > 0.99)) good = false;
  }
  std::size_t refused = 0, strays = 0;
  std::vector<double> seconds;
  for (const auto& trial : trials) {
    refused += trial.refused.empty() ? 0 : 1;
    strays += trial.strays ? 1 : 0;
    seconds.push_back(trial.seconds);
    bool shown = false;
    if (!trial.refused.empty())
      fmt::print("refused: {} {} Hz: {}\n", trial.like, trial.rate_Hz, trial.refused);
    for (const auto& figure : trial.figures) {
      if (!figure.identified || std::abs(figure.off) < 3) continue;
      fmt::print("{} {} {} Hz: {} is {:.1f} standard errors off", shown ? "," : "far:", trial.like,
                 trial.rate_Hz, figure.name, figure.off);
      shown = true;
    }
    for (const auto& train : trial.trains) {
      if (train.alike()) continue;
      fmt::print("{} {} {} Hz: {}: {} cycles, foretold {}", shown ? "," : "far:", trial.like, trial.rate_Hz,
                 train.name, train.truly, train.by_fit);
      shown = true;
    }
    if (shown) fmt::print("\n");
  }
  std::sort(seconds.begin(), seconds.end());
  for (std::size_t k = 0; k < trials.front().trains.size(); ++k) {
    std::vector<int> truly;
    for (const auto& trial : trials) truly.push_back(trial.trains[k].truly);
    std::sort(truly.begin(), truly.end());
    fmt::print("pulse trains foretold within 5 % (or one cycle), {}: {} of {} ({} cycles in the middle)\n",
               trials.front().trains[k].name, tests::foretold(trials, k), count, truly[truly.size() / 2]);
  }
  fmt::print("good logs refused: {}, said to stray from the fit: {}\n", refused, strays);
  fmt::print("one fit takes {:.2f} s in the middle, {:.2f} s at most\n", seconds[seconds.size() / 2],
             seconds.back());
  // Slow trains are decided by the loss, which a log without the second trip hardly tells.
  for (std::size_t k = 0; k < trials.front().trains.size(); ++k) {
    if (!twice && trials.front().trains[k].name == "slow") continue;
    if (10 * static_cast<std::size_t>(tests::foretold(trials, k)) < 9 * count) good = false;
  }
  if (50 * refused > count || 10 * strays > count) good = false;
  return good ? 0 : 1;
}
