// SPDX-License-Identifier: GPL-3.0-or-later
// Whatever the checker accepts as a job goes through a stall, a short cycle, all checks and a cure, and comes
// out as figures that are numbers and as a report. Work is bounded by cutting the job down before and by
// ending the checks after so many questions whether to end; what takes long all the same is the fuzzer's own
// time limit to find.
#include <algorithm>
#include <atomic>
#include <cmath>

#include "base/failure.h"
#include "fuzz/catalogue.h"
#include "fuzz/json_mutator.h"
#include "fuzz/must.h"
#include "io/json.h"
#include "report/check_report.h"
#include "report/cycle_report.h"
#include "report/stall_report.h"
#include "support/lawful_figures.h"
#include "verdict/cure.h"
#include "verdict/examine.h"

using namespace latchwright;

namespace {

constexpr std::size_t most_doors = 3;
constexpr int most_cycles = 2;

/// Ends a study after so many questions: the same every time, which no clock is.
class EndsAfter final : public base::Progress {
 public:
  explicit EndsAfter(long questions) : left_(questions) {}
  void report(double fraction, std::string_view) override {
    fuzz::must(fraction >= 0 && fraction <= 1 + 1e-9, "progress is between 0 and 1");
  }
  bool cancelled() const override { return --left_ < 0; }

 private:
  mutable std::atomic<long> left_;
};

void must_be_number(const std::optional<double>& value, const char* what) {
  fuzz::must(!value || std::isfinite(*value), std::string(what) + " is a number");
}

void must_be_lawful(const std::vector<std::string>& wrong) {
  fuzz::must(wrong.empty(), wrong.empty() ? "" : wrong.front());
}

void must_be_written(const model::Raw& json, const std::string& text) {
  fuzz::must(io::parse_json(io::write_json(json), "result").ok(), "a result is JSON");
  for (const char* word : {" nan ", " -nan ", " inf ", " -inf "}) {
    fuzz::must(text.find(word) == std::string::npos, "no report says" + std::string(word));
  }
}

void run_studies(const model::Study& study, bool coldest, bool after_trip) {
  const sim::Condition at{.voltage_V = coldest ? study.job.supply.low_V : study.job.supply.high_V,
                          .ambient_C = coldest ? study.job.climate.cold_C : study.job.climate.hot_C,
                          .after_trip = after_trip};
  const sim::Circuit circuit = sim::make_circuit(study, at);
  std::vector<std::string> names;
  std::vector<double> limits(study.doors.size(), 200);
  for (const auto& door : study.job.doors) names.push_back(door.name);

  report::StallReport stall;
  stall.at = {at.voltage_V, at.ambient_C};
  stall.limit_s = 60;
  stall.doors = names;
  stall.winding_fault_C = limits;
  base::NoProgress quiet;
  stall.stalls = sim::simulate_stall(circuit, stall.limit_s, {}, quiet);
  must_be_lawful(tests::wrong_figures(circuit, stall.limit_s, stall.stalls));
  must_be_written(report::stall_json(stall), report::stall_text(stall, {}));

  report::CycleReport cycle;
  cycle.at = stall.at;
  cycle.plan = {.cycles = std::min(study.job.use.cycles, most_cycles),
                .on_s = study.job.pulse.on_s,
                .gap_s = study.job.use.gap_s,
                .on_through = after_trip,
                .want_recovery = true};
  cycle.doors = names;
  cycle.winding_class_C = limits;
  cycle.two_forces.assign(names.size(), false);
  cycle.result = sim::simulate_cycles(circuit, cycle.plan, {}, quiet);
  must_be_lawful(tests::wrong_figures(circuit, cycle.plan, cycle.result));
  must_be_written(report::cycle_json(cycle), report::cycle_text(cycle, {}));
}

void run_checks(const model::Study& study) {
  EndsAfter progress(1000);
  const verdict::Findings findings(study, progress, verdict::Detail::brief);
  verdict::Examination examination;
  examination.all = verdict::evaluate_all(findings);
  for (const verdict::CheckRow& row : examination.all) {
    must_be_number(row.margin, "a margin");
    must_be_number(row.have, "what a check has");
    must_be_number(row.need, "what a check needs");
    fuzz::must(!row.why.empty(), "a row says why");
    if (row.band) {
      must_be_number(row.band->first, "a band");
      must_be_number(row.band->second, "a band");
    }
  }
  examination.worst = verdict::worst_rows(examination.all);
  const auto weakest = std::min_element(examination.worst.begin(), examination.worst.end(), verdict::worse);
  examination.weakest = static_cast<std::size_t>(weakest - examination.worst.begin());
  examination.pass = weakest->verdict != verdict::Verdict::fails;
  EndsAfter for_cures(60);
  try {
    const verdict::Findings before(study, for_cures, verdict::Detail::brief);
    if (!examination.pass) weakest->change = verdict::find_cure(*weakest, before);
  } catch (const base::Cancelled&) {  // enough of it
  }
  must_be_written(report::check_json(study, examination, true),
                  report::check_text(study, examination, true, {}));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const auto raw = io::parse_json({reinterpret_cast<const char*>(data), size}, "input");
  if (!raw.ok()) return 0;
  const auto whole = model::check_job(raw.value(), "input", fuzz::built_in());
  if (!whole.ok() || !whole.value().complete()) return 0;
  model::Job job = whole.value().job;
  job.doors.resize(std::min(job.doors.size(), most_doors));
  // Texts of its own would hide what a report says of itself.
  job.title.clear();
  for (std::size_t k = 0; k < job.doors.size(); ++k) job.doors[k].name = "door " + std::to_string(k + 1);
  job.use.cycles = std::min(job.use.cycles, most_cycles);
  job.use.hot_cycles = std::min(job.use.hot_cycles, most_cycles);
  const auto study = model::check_job(job, "input", fuzz::built_in());
  fuzz::must(study.ok(), "a job with fewer doors is as lawful as before");
  try {
    run_studies(study.value(), size % 2 == 0, size % 3 == 0);
    run_checks(study.value());
  } catch (const base::Cancelled&) {  // enough of it
  } catch (const base::StudyError& unsolved) {
    fuzz::must_be_lines({{"input", "", unsolved.what()}});
  }
  return 0;
}

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t room,
                                               unsigned seed) {
  return fuzz::mutate_json(data, size, room, seed);
}
