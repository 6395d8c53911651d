// SPDX-License-Identifier: GPL-3.0-or-later
// latchwright_speed: the engine beside CVODE on the same studies, in one run, and times of whole jobs.
//
//   latchwright_speed [--json FILE]
//
// CVODE works as a good user would have it, with its dense linear solver and the exact Jacobian, at the
// setting at which it is fastest and every row of docs/model.md section 9 still holds, the energy's too.
// Errors of both are over section 9's limits, against CVODE at a relative tolerance of 1e-12.
#include <fmt/format.h>

#include <cstdio>
#include <exception>
#include <fstream>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "speed/search.h"
#include "speed/sizing.h"
#include "speed/whole_jobs.h"

using namespace latchwright;
using namespace latchwright::tests::speed;
using tests::cvode::Linear;
using Json = nlohmann::ordered_json;

namespace {

constexpr tests::cvode::Tolerances reference{1e-12, 1, Linear::blocks};

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

std::string setting_text(const Setting& setting) {
  return fmt::format("rtol {:g}, atol x{:g}", setting.tolerances.relative, setting.tolerances.scale);
}

Json measure(const Row& row) {
  const tests::Figures exact = row.cvode_figures(reference);
  const Watched engine = row.engine_watched();
  const Errors engine_errors{figures_error(engine.figures, exact), energy_error(engine.imbalance)};
  Search search(row, exact);
  Setting dense = search.fastest(Linear::dense, Judged::all);
  Setting blocks = search.fastest(Linear::blocks, Judged::all);
  Setting loose = search.fastest(Linear::dense, Judged::without_energy);

  Setting* const settings[] = {&dense, &blocks, &loose};
  std::vector<double> engine_s, cvode_s[3];
  const int repetitions = dense.seconds > 0.2 ? 3 : 7;
  const int engine_runs = runs_for(row.engine);
  int runs[3];
  for (int n = 0; n < 3; ++n)
    runs[n] = settings[n]->seconds > 0.05 ? 1 : runs_for([&] { row.cvode(settings[n]->tolerances); });
  for (int k = 0; k < repetitions; ++k) {  // in turn, so that a busy machine troubles all
    engine_s.push_back(seconds(row.engine, engine_runs));
    for (int n = 0; n < 3; ++n)
      cvode_s[n].push_back(seconds([&] { row.cvode(settings[n]->tolerances); }, runs[n]));
  }
  const double ours = median(engine_s);
  for (int n = 0; n < 3; ++n) settings[n]->seconds = median(cvode_s[n]);

  fmt::print("{}{}\n", row.title, row.stated_only ? " (stated only)" : "");
  const auto line = [&](const char* who, double time, const Errors& off, const std::string& how) {
    const std::string cycle =
        row.cycles > 0 ? fmt::format(", {:.4f} ms a cycle", 1e3 * time / row.cycles) : "";
    fmt::print("  {:<34} {:>10.4f} ms{}, {:>6.2f} times; of the limits: figures {:.2g}, energy {:.2g}{}\n",
               who, 1e3 * time, cycle, time / ours, off.figures, off.energy, how);
  };
  line("engine", ours, engine_errors, "");
  line("CVODE, dense", dense.seconds, dense.errors, "; " + setting_text(dense));
  line("CVODE, structured linear solver", blocks.seconds, blocks.errors, "; " + setting_text(blocks));
  line("CVODE, dense, energy not judged", loose.seconds, loose.errors, "; " + setting_text(loose));
  fmt::print("speed {} engine_s={:.6g} cvode_s={:.6g} ratio={:.4g} engine_error={:.3g} cvode_error={:.3g}\n",
             row.name, ours, dense.seconds, dense.seconds / ours, engine_errors.all(), dense.errors.all());
  std::fflush(stdout);

  const auto as_json = [&](const Setting& setting) {
    return Json{{"seconds", setting.seconds},
                {"ratio", setting.seconds / ours},
                {"rtol", setting.tolerances.relative},
                {"atol_scale", setting.tolerances.scale},
                {"figures_error", setting.errors.figures},
                {"energy_error", setting.errors.energy}};
  };
  return {{"name", row.name},
          {"title", row.title},
          {"cycles", row.cycles},
          {"stated_only", row.stated_only},
          {"engine_s", ours},
          {"engine_figures_error", engine_errors.figures},
          {"engine_energy_error", engine_errors.energy},
          {"cvode", as_json(dense)},
          {"cvode_structured", as_json(blocks)},
          {"cvode_energy_not_judged", as_json(loose)}};
}

void sizing() {
  const SizingTimes times = measure_sizing();
  fmt::print("job size_five_door_estate workers_2_s={:.4g}\n", times.estate_s);
  fmt::print("job size_large_catalogue actuators={} sets_judged={} workers_2_s={:.4g}\n", times.large_actuators,
             times.large_sets, times.large_s);
}

Json whole_jobs() {
  const WholeJobs jobs = measure_whole_jobs();
  fmt::print("job check_five_door_estate workers_1_s={:.4g} workers_2_s={:.4g} identical={}\n",
             jobs.check_1_s, jobs.check_2_s, jobs.identical ? "yes" : "no");
  fmt::print("job pulses_per_s={:.4g}\n", jobs.pulses_per_s);
  Json doors = Json::array();
  for (const auto& row : jobs.doors) {
    fmt::print("job equal_doors={} door_cycle_us={:.4g}\n", row.doors, 1e6 * row.door_cycle_s);
    doors.push_back({{"doors", row.doors}, {"door_cycle_s", row.door_cycle_s}});
  }
  return {{"check_workers_1_s", jobs.check_1_s},
          {"check_workers_2_s", jobs.check_2_s},
          {"check_identical", jobs.identical},
          {"pulses_per_s", jobs.pulses_per_s},
          {"equal_doors", doors}};
}

int run(int count, char** words) {
  if (count != 1 && !(count == 3 && std::string(words[1]) == "--json"))
    throw std::runtime_error("latchwright_speed [--json FILE]");
  Json all{{"rows", Json::array()}};
  for (const Row& row : rows()) all["rows"].push_back(measure(row));
  all["jobs"] = whole_jobs();
  sizing();
  if (count == 3) {
    std::ofstream out(words[2], std::ios::binary);
    out << all.dump(2) << "\n";
    if (!out.flush()) throw std::runtime_error(std::string("cannot write ") + words[2]);
  }
  return all["jobs"]["check_identical"].get<bool>() ? 0 : 1;
}

}  // namespace

int main(int count, char** words) {
  try {
    return run(count, words);
  } catch (const std::exception& failure) {
    std::fprintf(stderr, "%s\n", failure.what());
    return 2;
  }
}
