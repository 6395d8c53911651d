// SPDX-License-Identifier: GPL-3.0-or-later
#include "choose/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

#include "base/failure.h"
#include "base/text.h"
#include "base/worker_pool.h"
#include "verdict/checks.h"
#include "verdict/cure_search.h"

namespace latchwright::choose {

using verdict::CheckId;
using verdict::CheckRow;
using verdict::Verdict;

namespace {

/// One number of the job that may be moved towards `limit` until all checks pass.
struct Way {
  std::string pointer;
  std::string text;  ///< "a shorter pulse"
  std::string unit;
  double now;
  double limit;
  double step;
  std::function<void(model::Job&, double)> set;
};

std::vector<Way> ways_of(const model::Study& study) {
  const model::Job& job = study.job;
  constexpr double shortest_pulse = 0.02, longest_pulse = 10, longest_gap = 60;  // s
  std::vector<Way> ways{
      {"/pulse/on_s", "a shorter pulse", "s", job.pulse.on_s, shortest_pulse, 0.01,
       [](model::Job& j, double x) { j.pulse.on_s = x; }},
      {"/pulse/on_s", "a longer pulse", "s", job.pulse.on_s, longest_pulse, 0.01,
       [](model::Job& j, double x) { j.pulse.on_s = x; }},
      {"/use/gap_s", "a longer rest between pulses", "s", job.use.gap_s, std::max(longest_gap, job.use.gap_s),
       0.1, [](model::Job& j, double x) { j.use.gap_s = x; }},
      {"/use/hot_cycles", "fewer promised cycles when hot", "cycles", static_cast<double>(job.use.hot_cycles),
       1, 1, [](model::Job& j, double x) { j.use.hot_cycles = static_cast<int>(std::lround(x)); }},
      {"/use/cycles", "fewer promised cycles", "cycles", static_cast<double>(job.use.cycles), 1, 1,
       [](model::Job& j, double x) { j.use.cycles = static_cast<int>(std::lround(x)); }},
      {"/feed/length_m", "a shorter feed", "m", job.feed.length, 0, 0.1,
       [](model::Job& j, double x) { j.feed.length = x; }},
  };
  for (std::size_t k = 0; k < job.doors.size(); ++k) {
    ways.push_back({"/doors/" + std::to_string(k) + "/branch_length_m",
                    "a shorter run to " + base::printable(job.doors[k].name), "m", job.doors[k].branch_length,
                    0, 0.1, [k](model::Job& j, double x) { j.doors[k].branch_length = x; }});
  }
  return ways;
}

class Trial {
 public:
  Trial(const Pick& pick, base::Progress& progress) : study_(pick.set.study), progress_(progress) {
    for (const CheckRow& row : pick.set.rows) {
      if (row.verdict == Verdict::fails) failing_.push_back(row.id);
    }
    failing_.erase(std::unique(failing_.begin(), failing_.end()), failing_.end());
  }

  /// Whether nothing fails with the number at this value: what fails now first.
  bool passes(const Way& way, double value) const {
    if (progress_.cancelled()) throw base::Cancelled();
    model::Study changed = study_;
    way.set(changed.job, value);
    base::NoProgress quiet;
    const verdict::Findings findings(changed, quiet);
    const auto fails = [&](CheckId id) {
      const verdict::Rows rows = verdict::evaluate(id, findings);
      return std::any_of(rows.begin(), rows.end(),
                         [](const CheckRow& r) { return r.verdict == Verdict::fails; });
    };
    if (std::any_of(failing_.begin(), failing_.end(), fails)) return false;
    const auto& checks = verdict::check_infos();
    return std::none_of(checks.begin(), checks.end(), [&](const auto& check) { return fails(check.id); });
  }

  std::optional<JobChange> find(const Way& way) const {
    if (way.now == way.limit) return std::nullopt;
    // What helps may harm beyond: look on the way there too, by steps of a sixth of the value.
    const double sign = way.limit > way.now ? 1 : -1;
    double bad = way.now;
    std::optional<double> good;
    while (!good) {
      const double reach = std::max(way.step, std::fabs(bad) / 6);
      const bool at_end = sign * (way.limit - bad) <= reach;
      const double to = at_end ? way.limit : std::round((bad + sign * reach) / way.step) * way.step;
      if (passes(way, verdict::tidy(to))) {
        good = to;
      } else if (at_end) {
        return std::nullopt;
      } else {
        bad = to;
      }
    }
    const auto steps = [&](double x) { return std::lround(x / way.step); };
    long no = sign > 0 ? static_cast<long>(std::floor(bad / way.step + 1e-9))
                       : std::lround(std::ceil(bad / way.step - 1e-9));
    long yes = steps(*good);
    if (std::fabs(static_cast<double>(yes) * way.step - *good) > 1e-9) return change(way, *good);
    while (std::labs(yes - no) > 1) {
      const long half = no + (yes - no) / 2;
      (passes(way, verdict::tidy(static_cast<double>(half) * way.step)) ? yes : no) = half;
    }
    return change(way, static_cast<double>(yes) * way.step);
  }

 private:
  static JobChange change(const Way& way, double value) {
    const double at = verdict::tidy(value);
    return {way.pointer, way.now, at,
            fmt::format("{}: {} {} instead of {} {}", way.text, base::exact_text(at), way.unit,
                        base::exact_text(verdict::tidy(way.now)), way.unit)};
  }

  const model::Study& study_;
  base::Progress& progress_;
  std::vector<CheckId> failing_;
};

/// Relative change; of small values relative to a tenth of a second, a metre or one cycle, so that 0 is a
/// value too.
double size_of(const JobChange& change) {
  const double least = change.pointer == "/pulse/on_s" ? 0.1 : 1;
  return std::fabs(change.passes_at - change.now) / std::max(std::fabs(change.now), least);
}

}  // namespace

NearestMiss nearest_miss(const Pick& nearest, const model::Study& study, unsigned workers,
                         base::Progress& progress) {
  NearestMiss miss{nearest, nearest.set.rows[nearest.set.weakest], std::nullopt};
  // Stroke, thermistor and relay know nothing of pulses and runs.
  const bool beyond_help = std::any_of(
      nearest.set.rows.begin(), nearest.set.rows.end(),
      [](const CheckRow& row) { return row.id == CheckId::stroke && row.verdict == Verdict::fails; });
  if (beyond_help) return miss;
  const Trial trial(nearest, progress);
  const auto ways = ways_of(study);
  std::vector<std::optional<JobChange>> found(ways.size());
  base::for_each_index(ways.size(), workers, [&](std::size_t n) {
    found[n] = trial.find(ways[n]);
    progress.report(static_cast<double>(n) / static_cast<double>(ways.size()),
                    "seeking what would let it pass");
  });
  for (const auto& change : found) {
    if (change && (!miss.job_change || size_of(*change) < size_of(*miss.job_change)))
      miss.job_change = change;
  }
  return miss;
}

}  // namespace latchwright::choose
