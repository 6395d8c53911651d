// SPDX-License-Identifier: GPL-3.0-or-later
#include "spread/spread.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <mutex>

#include "base/failure.h"
#include "base/seeded.h"
#include "base/worker_pool.h"
#include "spread/figures.h"
#include "spread/fingerprint.h"
#include "spread/latin_hypercube.h"
#include "spread/sample.h"
#include "spread/sobol_sums.h"

namespace latchwright::spread {

namespace {

/// Whether cycles vary is looked at on so many samples, the first of all.
constexpr std::int64_t pilot_samples = 256;
/// Samples are handed out in at most so many pieces, whatever their number.
constexpr std::int64_t most_pieces = 1024;
constexpr std::int64_t least_piece = 8;

/// In 10 ms; none trips: the whole standstill.
std::int64_t trip_count(const std::optional<double>& trip_s) {
  return std::llround(100 * trip_s.value_or(held_s));
}

class Run {
 public:
  Run(const model::Study& study, const SpreadPlan& plan, unsigned workers, base::Progress& progress)
      : plan_(plan),
        workers_(workers),
        progress_(progress),
        sampler_(study, plan),
        a_(plan.samples, sampler_.uncertain().columns(), base::mixed(plan.seed, 1)),
        b_(tried_of_all(plan, sampler_.uncertain().sources().size()), sampler_.uncertain().columns(),
           base::mixed(plan.seed, 2)),
        whole_(empty_tally(plan, sampler_.uncertain().sources())),
        first_(static_cast<std::size_t>(b_.samples())) {
    whole_.weak_V = sampler_.weak_V();
    whole_.weak_C = sampler_.weak_C();
    whole_.slices = {plan.slice.part};
    whole_.input = fingerprint(study, whole_.sources, plan);
    // A sample takes a count, a standstill and a throw or two, a tried one a count or two for each source.
    work_ = 2 * static_cast<double>(samples_of(plan)) +
            static_cast<double>(tried_of(plan, whole_.sources.size())) *
                (1 + 1.5 * static_cast<double>(whole_.sources.size()));
  }

  SpreadTally take() {
    take_samples();
    if (!stopped() && !whole_.sources.empty()) {
      whole_.influence_on_trip = cycles_are_equal();
      if (!stopped()) try_sources();
    }
    return std::move(whole_);
  }

 private:
  struct First {
    bool known = false;
    int cycles = 0;
    std::int64_t trip = 0;
  };

  bool stopped() const { return failed_ || progress_.cancelled(); }
  void tell(double work) {
    const double done = done_ += work;
    progress_.report(std::min(1.0, done / work_), "trying installations");
  }

  /// Number of the slice's sample `index`, among all.
  std::int64_t number_of(std::int64_t index) const { return plan_.slice.part - 1 + index * plan_.slice.of; }

  /// What `work` makes of a sample; false where the study was stopped meanwhile.
  template <class Work>
  bool try_sample(std::int64_t number, const Work& work) {
    if (stopped()) return false;
    try {
      work();
      return true;
    } catch (const base::Cancelled&) {
      return false;
    } catch (const base::StudyError& error) {
      failed_ = true;
      throw base::StudyError(fmt::format("sample {} of seed {}: {}", number, plan_.seed, error.what()));
    } catch (...) {
      failed_ = true;
      throw;
    }
  }

  void take_samples() {
    const std::int64_t samples = samples_of(plan_);
    const std::int64_t piece = std::max(least_piece, (samples + most_pieces - 1) / most_pieces);
    const auto pieces = static_cast<std::size_t>((samples + piece - 1) / piece);
    base::for_each_index(pieces, workers_, [&](std::size_t k) {
      SpreadTally part = empty_tally(plan_, whole_.sources);
      const std::int64_t begin = static_cast<std::int64_t>(k) * piece;
      for (std::int64_t index = begin; index < std::min(samples, begin + piece); ++index) {
        const std::int64_t number = number_of(index);
        if (!try_sample(number, [&] { take_sample(number, part); })) break;
        tell(2);
      }
      const std::lock_guard lock(mutex_);
      add_counts(whole_, part);
    });
  }

  void take_sample(std::int64_t number, SpreadTally& into) {
    const SampleFigures figures = sampler_.figures(a_.places(number), progress_);
    if (number < b_.samples()) {
      first_[static_cast<std::size_t>(number)] = {true, figures.cycles, trip_count(figures.trip_s)};
    }
    ++into.done;
    ++into.cycles[static_cast<std::size_t>(figures.cycles)];
    if (!figures.first_throw_s) ++into.missed_throws;
    const auto keep = [&](const char* name, const std::optional<double>& value) {
      const auto is = [&](const Figure& figure) { return std::string_view(figure.name) == name; };
      const Figure& figure = *std::find_if(spread::figures().begin(), spread::figures().end(), is);
      if (value) {
        ++into.bins[name][bin_of(figure, *value)];
      } else {
        ++into.without[name];
      }
    };
    keep(trip_figure, figures.trip_s);
    keep(winding_figure, figures.peak_winding_C);
    keep(throw_figure, figures.first_throw_s);
    keep(recovery_figure, figures.recovery_s);
  }

  /// The same answer in every slice.
  bool cycles_are_equal() {
    const std::int64_t samples = std::min(plan_.samples, pilot_samples);
    std::vector<int> cycles(static_cast<std::size_t>(samples));
    base::for_each_index(cycles.size(), workers_, [&](std::size_t k) {
      const auto number = static_cast<std::int64_t>(k);
      try_sample(number, [&] {
        cycles[k] = first_[k].known ? first_[k].cycles
                                    : sampler_.cycles(a_.places(number), counted_cycles(plan_), progress_);
      });
    });
    return std::all_of(cycles.begin(), cycles.end(), [&](int each) { return each == cycles.front(); });
  }

  void try_sources() {
    base::for_each_index(static_cast<std::size_t>(tried_of(plan_, whole_.sources.size())), workers_,
                         [&](std::size_t k) {
                           SpreadTally part = empty_tally(plan_, whole_.sources);
                           const std::int64_t number = number_of(static_cast<std::int64_t>(k));
                           const bool done = try_sample(number, [&] { try_sources_on(number, part); });
                           if (!done) return;
                           const std::lock_guard lock(mutex_);
                           add_counts(whole_, part);
                         });
  }

  /// What influence is of, for an installation.
  std::int64_t influenced(const std::vector<double>& places) {
    return whole_.influence_on_trip ? trip_count(sampler_.trip_s(places, progress_))
                                    : sampler_.cycles(places, counted_cycles(plan_), progress_);
  }

  void try_sources_on(std::int64_t number, SpreadTally& into) {
    const First& first = first_[static_cast<std::size_t>(number)];
    const std::vector<double> a = a_.places(number), b = b_.places(number);
    std::vector<std::int64_t> mixed;
    for (std::size_t s = 0; s < whole_.sources.size(); ++s) {
      std::vector<double> other = a, halved = a;
      for (const std::size_t column : whole_.sources[s].columns) {
        other[column] = b[column];
        halved[column] = 0.5 * a[column];
      }
      mixed.push_back(influenced(other));
      if (sampler_.cycles(halved, plan_.cycles, progress_) < plan_.cycles) ++into.tightened[s];
      tell(1.5);
    }
    add_pick_freeze(into.influence, number, whole_.influence_on_trip ? first.trip : first.cycles,
                    influenced(b), mixed);
    ++into.tried;
    if (first.cycles < plan_.cycles) ++into.tried_lockouts;
    tell(1);
  }

  SpreadPlan plan_;
  unsigned workers_;
  base::Progress& progress_;
  Sampler sampler_;
  LatinHypercube a_, b_;
  SpreadTally whole_;
  std::vector<First> first_;  // each written by the one who takes that sample
  double work_ = 1;
  std::atomic<double> done_{0};
  std::atomic<bool> failed_{false};
  std::mutex mutex_;
};

}  // namespace

SpreadTally run_spread(const model::Study& study, const SpreadPlan& plan, unsigned workers,
                       base::Progress& progress) {
  base::require(plan.samples >= 1 && plan.samples <= most_samples, "a lawful number of samples");
  base::require(plan.slice.part >= 1 && plan.slice.part <= plan.slice.of && plan.slice.of <= plan.samples,
                "a lawful slice");
  base::require(plan.cycles >= 1, "some cycles are wanted");
  return Run(study, plan, workers, progress).take();
}

}  // namespace latchwright::spread
