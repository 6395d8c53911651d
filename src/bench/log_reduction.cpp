// SPDX-License-Identifier: GPL-3.0-or-later
#include "bench/log_reduction.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/failure.h"
#include "base/text.h"
#include "bench/log_signs.h"

namespace latchwright::bench {

namespace {

constexpr std::size_t fewest_samples = 20;  // with the power on
constexpr double widest_bin = 0.02;         // of the time since power on
constexpr double largest_step = 0.02;   // of the log's largest current, from a bin's first sample to its last
constexpr double spike_size = 6;        // standard deviations from the neighbours' median
constexpr std::size_t half_window = 4;  // neighbours on each side
constexpr std::size_t shortest_clip = 8;  // samples that stand at the same largest value
constexpr double coarsest_step_A = 0.25;  // of a reading; above it the current just moves in leaps
constexpr std::size_t fewest_steps = 4;
constexpr double least_zero_sd_A = 5e-4;

double median(std::vector<double> values) {
  base::require(!values.empty(), "a median of something");
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

/// The log with missing voltages put between their neighbours, and a flag for each sample.
struct Samples {
  std::vector<double> time, current, voltage, case_C;
  std::vector<bool> on, clipped;
  bool volts_flipped = false;
};

void turn_positive(std::vector<double>& values, const std::vector<bool>& on, bool& flipped) {
  // By signed squares: after the trip a small current and a wrong zero may have either sign.
  double signed_squares = 0;
  for (std::size_t k = 0; k < values.size(); ++k) {
    if (on[k] && !std::isnan(values[k])) signed_squares += values[k] * std::fabs(values[k]);
  }
  flipped = signed_squares < 0;
  if (!flipped) return;
  for (double& value : values) value = -value;
}

Samples take_samples(const model::BenchLog& log, ReducedLog& reduced) {
  Samples s;
  std::size_t lost = 0;
  for (std::size_t k = 0; k < log.time_s.size(); ++k) lost += std::isnan(log.voltage_V[k]) ? 1 : 0;
  std::vector<std::size_t> known;
  for (std::size_t k = 0; k < log.time_s.size(); ++k) {
    if (!std::isnan(log.voltage_V[k])) known.push_back(k);
  }
  if (known.size() < fewest_samples) {
    throw base::UsageError(fmt::format("{}: holds {} voltages (at least {} are wanted)", log.name,
                                       known.size(), fewest_samples));
  }
  s.time = log.time_s;
  s.current = log.current_A;
  s.voltage = log.voltage_V;
  s.case_C = log.case_C;
  std::size_t next = 0;
  for (std::size_t k = 0; k < s.time.size(); ++k) {
    while (next < known.size() && known[next] < k) ++next;
    if (!std::isnan(s.voltage[k])) continue;
    const std::size_t after = next < known.size() ? known[next] : known.back();
    const std::size_t before = next > 0 ? known[next - 1] : known.front();
    const double share =
        after > before ? (s.time[k] - s.time[before]) / (s.time[after] - s.time[before]) : 0.0;
    s.voltage[k] = log.voltage_V[before] + share * (log.voltage_V[after] - log.voltage_V[before]);
  }
  std::size_t without = 0;
  for (const double i : s.current) without += std::isnan(i) ? 1 : 0;
  if (lost + without > 0) {
    reduced.remarks.push_back(fmt::format(
        "{}: gaps: {} of the voltages and {} of the currents are missing; the voltage is taken straight "
        "across, the current is not compared there",
        log.name, lost, without));
  }
  for (const double v : s.voltage) s.on.push_back(std::fabs(v) > power_on_V);
  // A case thermometer keeps its sign.
  turn_positive(s.voltage, s.on, s.volts_flipped);
  turn_positive(s.current, s.on, reduced.flipped);
  s.clipped.assign(s.time.size(), false);
  return s;
}

/// Noise of one sample from what lies between second neighbours; not below what the steps of the reading
/// make, nor below 1 mA, which no clamp resolves.
double noise_of(const Samples& s, double& step) {
  std::vector<double> bends;
  step = 1e9;
  for (std::size_t k = 1; k + 1 < s.time.size(); ++k) {
    const double change = std::fabs(s.current[k] - s.current[k - 1]);
    if (change > 1e-9) step = std::min(step, change);
    const double bend = std::fabs(s.current[k - 1] - 2 * s.current[k] + s.current[k + 1]);
    if (s.on[k - 1] && s.on[k] && s.on[k + 1] && !std::isnan(bend)) bends.push_back(bend);
  }
  // Median of |normal| is 0.6745; a second difference has the root of 6 times the noise.
  const double random = bends.empty() ? 0.0 : median(bends) / (0.6745 * std::sqrt(6.0));
  // Steps repeat; a single small change is none.
  std::size_t alike = 0;
  for (std::size_t k = 1; k < s.time.size(); ++k) {
    const double change = std::fabs(s.current[k] - s.current[k - 1]);
    if (change > 1e-9 && change < step * 1.001 + 1e-9) ++alike;
  }
  if (step > coarsest_step_A || alike < fewest_steps) step = 0;
  return std::max({random, step / std::sqrt(12.0), 1e-3});
}

/// The clamp's zero, and how well it is known.
void find_zero(const Samples& s, ReducedLog& reduced) {
  std::vector<double> off;
  double switched_s = -1e9;
  for (std::size_t k = 0; k < s.time.size(); ++k) {
    if (k > 0 && s.on[k] != s.on[k - 1]) switched_s = s.time[k];
    if (!s.on[k] && s.time[k] - switched_s > settle_s && !std::isnan(s.current[k]))
      off.push_back(s.current[k]);
  }
  if (off.empty()) return;
  const auto count = static_cast<double>(off.size());
  double sum = 0, squares = 0;
  for (const double i : off) sum += i;
  for (const double i : off) squares += (i - sum / count) * (i - sum / count);
  const double variance = off.size() < 3 ? reduced.noise_A * reduced.noise_A : squares / (count - 1);
  // Readings that stand on one step are all off by the same, however many: as much as noise smaller than the
  // step leaves of it. It counts twice, for the small currents after the trip are read as coarsely.
  const double q = reduced.step_A;
  double same = 0;
  if (q > 0) {
    const double under = std::max(0.0, variance - q * q / 12);
    // docs/model.md (8.6)
    same = q / std::sqrt(12.0) * std::exp(-19.7 * under / (q * q));  // 2 pi squared
  }
  reduced.zero_A = sum / count;
  reduced.zero_sd_A = std::sqrt(std::max(variance, reduced.noise_A * reduced.noise_A) / count +
                                2 * same * same + least_zero_sd_A * least_zero_sd_A);
}

/// Currents that stand still at the largest value while nothing else does.
void find_clipping(Samples& s, ReducedLog& reduced) {
  double largest = 0;
  for (const double i : s.current) largest = std::isnan(i) ? largest : std::max(largest, i);
  struct Run {
    std::size_t begin, end;
  };
  std::vector<std::size_t> others;
  std::vector<Run> runs;
  for (std::size_t k = 0; k < s.current.size();) {
    std::size_t end = k + 1;
    while (end < s.current.size() && s.current[end] == s.current[k]) ++end;
    if (s.current[k] == largest) {
      runs.push_back({k, end});
    } else if (s.current[k] > 0.5 * largest) {
      others.push_back(end - k);
    }
    k = end;
  }
  const double usual =
      others.empty() ? 1.0 : static_cast<double>(*std::max_element(others.begin(), others.end()));
  std::size_t count = 0;
  for (const Run& run : runs) {
    const std::size_t length = run.end - run.begin;
    if (length < shortest_clip || static_cast<double>(length) < 3 * usual) continue;
    count += length;
  }
  if (count == 0) return;
  count = 0;
  for (std::size_t k = 0; k < s.current.size(); ++k) {
    if (s.current[k] == largest) s.clipped[k] = true, ++count;
  }
  reduced.remarks.push_back(
      fmt::format("{}: {} samples stand at {} A, the clamp's largest value: they only say that it "
                  "was that much or more",
                  reduced.name, count, base::significant(largest)));
}

/// Leaves out single currents far from their neighbours.
void leave_out_spikes(Samples& s, ReducedLog& reduced) {
  std::size_t count = 0;
  const std::vector<double> given = s.current;
  std::vector<double> near, away;
  for (std::size_t k = 0; k < given.size(); ++k) {
    if (std::isnan(given[k]) || s.clipped[k]) continue;
    near.clear();
    const std::size_t first = k > half_window ? k - half_window : 0;
    for (std::size_t j = first; j < std::min(k + half_window + 1, given.size()); ++j) {
      if (s.on[j] == s.on[k] && !std::isnan(given[j])) near.push_back(given[j]);
    }
    if (near.size() < 5) continue;
    const double middle = median(near);
    away.clear();
    for (const double i : near) away.push_back(std::fabs(i - middle));
    const double spread = std::max(1.4826 * median(away), reduced.noise_A);
    if (std::fabs(given[k] - middle) <= spike_size * spread) continue;
    // Just after power on the current may well stand above what follows.
    if (s.on[k] && s.time[k] - reduced.on_s < settle_s) continue;
    s.current[k] = std::nan("");
    ++count;
  }
  if (count > 0)
    reduced.remarks.push_back(fmt::format("{}: {} left out as stray", reduced.name,
                                          count == 1 ? "1 sample is" : fmt::format("{} samples are", count)));
}

/// Nothing that is sought shows so late, and every second costs.
void cut_after(Samples& s, ReducedLog& reduced, double last_s) {
  const auto end = std::upper_bound(s.time.begin(), s.time.end(), last_s) - s.time.begin();
  const auto left = static_cast<std::size_t>(end);
  if (left == s.time.size()) return;
  reduced.remarks.push_back(fmt::format("{}: only the first {} after power on count", reduced.name,
                                        base::wait_text(longest_log_s)));
  for (auto* values : {&s.time, &s.current, &s.voltage, &s.case_C}) {
    if (values->size() > left) values->resize(left);
  }
  s.on.resize(left);
  s.clipped.resize(left);
}

class Binner {
 public:
  Binner(const Samples& s, const ReducedLog& reduced, double largest)
      : s_(s), on_s_(reduced.on_s), step_A_(std::max(largest_step * largest, 4 * reduced.noise_A)) {}

  std::vector<Bin> bins() {
    for (std::size_t k = 0; k < s_.time.size(); ++k) {
      if (ends_before(k)) close();
      add(k);
    }
    close();
    return std::move(bins_);
  }

 private:
  bool ends_before(std::size_t k) const {
    if (count_ == 0) return false;
    const double t = s_.time[k] - on_s_;
    const double width = t > 0 ? std::max(1e-9, widest_bin * t) : 1.0;
    return s_.on[k] != s_.on[first_] || s_.clipped[k] != s_.clipped[first_] ||
           s_.time[k] - s_.time[first_] > width || std::fabs(s_.current[k] - s_.current[first_]) > step_A_ ||
           std::fabs(s_.voltage[k] - s_.voltage[first_]) > 0.2;
  }
  void add(std::size_t k) {
    if (count_ == 0) first_ = k;
    ++count_;
    volts_ += s_.voltage[k];
    const double t = s_.time[k] - on_s_;
    every_time_ += t;
    if (!std::isnan(s_.current[k])) {
      amps_ += s_.current[k];
      times_.push_back(t);
    }
    if (!s_.case_C.empty() && !std::isnan(s_.case_C[k])) {
      heat_ += s_.case_C[k];
      ++with_case_;
    }
  }
  void close() {
    if (count_ == 0) return;
    Bin bin;
    bin.voltage_V = volts_ / count_;
    bin.weight = static_cast<double>(times_.size());
    if (times_.empty()) {
      bin.time_s = every_time_ / count_;
    } else {
      double sum = 0, squares = 0;
      for (const double t : times_) sum += t;
      bin.time_s = sum / bin.weight;
      for (const double t : times_) squares += (t - bin.time_s) * (t - bin.time_s);
      bin.half_width_s = std::min(times_.back() - bin.time_s, bin.time_s - times_.front());
      if (bin.half_width_s > 0) {
        const double share = squares / bin.weight / (2 * bin.half_width_s * bin.half_width_s);
        bin.edge_share = std::min(share, 0.5);
      }
      bin.current_A = amps_ / bin.weight;
    }
    bin.on = s_.on[first_];
    bin.clipped = s_.clipped[first_];
    if (with_case_ > 0) bin.case_C = heat_ / with_case_;
    bins_.push_back(bin);
    count_ = with_case_ = every_time_ = volts_ = amps_ = heat_ = 0;
    times_.clear();
  }

  const Samples& s_;
  double on_s_, step_A_;
  std::size_t first_ = 0;
  double count_ = 0, with_case_ = 0, every_time_ = 0, volts_ = 0, amps_ = 0, heat_ = 0;
  std::vector<double> times_;  // of samples with a current
  std::vector<Bin> bins_;
};

}  // namespace

ReducedLog reduce_log(const model::BenchLog& log, Rod rod) {
  base::require(log.time_s.size() == log.current_A.size() && log.time_s.size() == log.voltage_V.size() &&
                    (log.case_C.empty() || log.case_C.size() == log.time_s.size()),
                "every sample of a log has its figures");
  ReducedLog reduced;
  reduced.name = log.name;
  Samples s = take_samples(log, reduced);
  const auto on = std::find(s.on.begin(), s.on.end(), true);
  std::vector<double> driven_V, driven_A;
  for (std::size_t k = 0; k < s.time.size(); ++k) {
    if (!s.on[k] || std::isnan(s.current[k])) continue;
    driven_V.push_back(s.voltage[k]);
    driven_A.push_back(s.current[k]);
  }
  if (on == s.on.end() || driven_V.size() < fewest_samples) {
    throw base::UsageError(
        fmt::format("{}: holds {} samples with the power on, above {} V (at least {} are wanted)", log.name,
                    driven_V.size(), power_on_V, fewest_samples));
  }
  const auto first = static_cast<std::size_t>(on - s.on.begin());
  reduced.on_s = s.time[first];
  // Without a sample before it the power may have come on up to one interval earlier.
  reduced.before_on_s = first > 0 ? s.time[first] - s.time[first - 1] : s.time[1] - s.time[0];
  reduced.on_voltage_V = median(driven_V);
  reduced.noise_A = noise_of(s, reduced.step_A);
  if (reduced.flipped && s.volts_flipped) {
    reduced.remarks.push_back(log.name +
                              ": current and voltage are negative: the supply's leads were the "
                              "other way round; both are turned");
  } else if (reduced.flipped) {
    reduced.remarks.push_back(log.name +
                              ": the current is negative throughout: the clamp sat the other way round");
  } else if (s.volts_flipped) {
    reduced.remarks.push_back(log.name +
                              ": the voltage is negative throughout: the meter's leads were the "
                              "other way round; it is turned");
  }
  const bool held = rod == Rod::held;
  if (held) find_clipping(s, reduced);
  leave_out_spikes(s, reduced);
  if (held) refuse_by_signs(log.name, s.time, s.current, s.voltage, s.on);
  find_zero(s, reduced);
  if (held) cut_after(s, reduced, reduced.on_s + longest_log_s);
  std::vector<double> early;
  const double early_until = reduced.on_s + std::max(0.2, settle_s + 3 * reduced.before_on_s);
  for (std::size_t k = first; k < s.time.size() && s.time[k] < early_until; ++k) {
    if (s.on[k] && !std::isnan(s.current[k])) early.push_back(s.current[k]);
  }
  reduced.first_current_A =
      early.empty() ? *std::max_element(driven_A.begin(), driven_A.end()) : median(early);
  reduced.bins = Binner(s, reduced, *std::max_element(driven_A.begin(), driven_A.end())).bins();
  return reduced;
}

}  // namespace latchwright::bench
