// SPDX-License-Identifier: GPL-3.0-or-later
// Any bytes as a bench log: refused in lines that can be read, or samples in range and in order, which the
// bench then refuses or reduces to figures that are numbers.
#include <cmath>

#include "base/failure.h"
#include "bench/log_reduction.h"
#include "fuzz/must.h"
#include "io/bench_log.h"

using namespace latchwright;

namespace {

void must_be_numbers(const bench::ReducedLog& log) {
  for (const bench::Bin& bin : log.bins) {
    fuzz::must(std::isfinite(bin.time_s) && std::isfinite(bin.half_width_s) &&
                   std::isfinite(bin.edge_share) && std::isfinite(bin.weight) && std::isfinite(bin.voltage_V),
               "a bin's figures are numbers");
    fuzz::must(bin.weight >= 0 && bin.half_width_s >= 0, "a bin's weight and width are not below 0");
    fuzz::must(bin.weight == 0 || std::isfinite(bin.current_A), "a bin that counts has a current");
    fuzz::must(!bin.case_C || std::isfinite(*bin.case_C), "a case temperature is a number");
  }
  fuzz::must(std::isfinite(log.on_s) && std::isfinite(log.before_on_s) && std::isfinite(log.noise_A) &&
                 std::isfinite(log.step_A) && std::isfinite(log.on_voltage_V) &&
                 std::isfinite(log.first_current_A) && std::isfinite(log.zero_sd_A) &&
                 (!log.zero_A || std::isfinite(*log.zero_A)),
             "a reduced log's figures are numbers");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto log = io::parse_bench_log({reinterpret_cast<const char*>(data), size}, "input");
  if (!log.ok()) {
    fuzz::must_be_lines(log.issues());
    fuzz::must(log.issues().size() <= io::most_log_faults + 1, "a dozen faults are told at most");
    return 0;
  }
  const model::BenchLog& samples = log.value();
  const auto count = samples.time_s.size();
  fuzz::must(count > 0 && samples.current_A.size() == count && samples.voltage_V.size() == count &&
                 (samples.case_C.empty() || samples.case_C.size() == count),
             "columns are equally long");
  for (std::size_t k = 0; k < count; ++k) {
    fuzz::must(std::isfinite(samples.time_s[k]), "times are numbers");
    fuzz::must(k == 0 || samples.time_s[k] > samples.time_s[k - 1], "times rise");
    // A missing sample is no number; infinite is none at all.
    fuzz::must(!std::isinf(samples.current_A[k]) && !std::isinf(samples.voltage_V[k]),
               "samples are not infinite");
    fuzz::must(!(std::fabs(samples.current_A[k]) > 500.0001),
               "currents are within what docs/files.md permits");
  }
  for (const bench::Rod rod : {bench::Rod::held, bench::Rod::free}) {
    try {
      must_be_numbers(bench::reduce_log(samples, rod));
    } catch (const base::UsageError& refused) {
      fuzz::must_be_lines({{"input", "", refused.what()}});
    }
  }
  return 0;
}
