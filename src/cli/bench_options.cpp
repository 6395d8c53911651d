// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/bench_options.h"

#include <optional>
#include <string>

#include "bench/reading_fields.h"
#include "cli/option_values.h"
#include "model/job_fields.h"

namespace latchwright::cli {

namespace {

/// PART_ID, one. Not the list itself: the library would take the value of an unknown option for a second
/// part.
void add_one_actuator(CLI::App& verb, Options& options, const char* what) {
  verb.add_option_function<std::string>(
          "PART_ID", [&options](const std::string& id) { options.part_ids = {id}; }, what)
      ->required()
      ->option_text("");
}

/// The option of a reading, from its row.
template <class T>
void add_reading(CLI::App& verb, const char* key, const char* word, std::optional<T>& value,
                 const char* more = "") {
  const model::FieldInfo& row = bench::reading_field(key);
  verb.add_option(std::string("--") + key, value, row.meaning + ", " + row.unit + more)
      ->option_text(word)
      ->check(number_within(row));
}

}  // namespace

void add_triage(CLI::App& app, Options& options) {
  auto& triage = *app.add_subcommand(
      "triage",
      "What may be the matter with an actuator, from whatever was read; how long it has to cool, what to "
      "read\n"
      "next. Every reading may be missing.\n"
      "Example: latchwright triage act-ordinary-2w --moves neither --leads 2.6 --meter 0.3 --idle 12");
  TriageOptions& given = options.triage;
  add_one_actuator(triage, options, "the actuator, or one like it");
  const model::FieldInfo& leads = bench::reading_field("leads");
  triage.add_option("--leads", given.leads, leads.meaning + ": " + leads.unit + ", or " + open_line)
      ->option_text("OHM|open")
      ->check(a_value())
      ->check(number_or_open(leads));
  add_reading(triage, "meter", "OHM", given.meter_ohm);
  add_reading(triage, "idle", "MIN", given.idle_min);
  add_reading(triage, "used", "N", given.used);
  add_reading(triage, "on", "S", options.on_s, " (default 0.7)");
  add_reading(triage, "gap", "S", options.gap_s, " (default 1.0)");
  triage.add_option("--ambient", options.ambient_C, "air around it, °C")
      ->option_text("C")
      ->check(in_range(model::climate_table(), "usual_C"));
  add_reading(triage, "supply", "V", given.supply_V);
  add_reading(triage, "current", "A", given.current_A);
  triage.add_option("--moves", given.moves, "both, one or neither: the ways it moves when energised")
      ->option_text("WAYS")
      ->check(one_of({"both", "one", "neither"}));
  triage.add_option("--frees", given.frees, "yes or no: moves again after a wait")
      ->option_text("YES|NO")
      ->check(one_of({"yes", "no"}));
  add_common(triage, options, false);
}

void add_bench(CLI::App& app, Options& options) {
  auto& bench =
      *app.add_subcommand("bench",
                          "What a sound actuator should read today, held, cooling and running free.\n"
                          "Example: latchwright bench act-ordinary-2w --ambient 18 --plot sheet.pdf");
  add_one_actuator(bench, options, "an actuator: \"latchwright parts --kind actuator\" lists them");
  bench.add_option("--ambient", options.ambient_C, "air around it, °C (default 23)")
      ->option_text("C")
      ->check(in_range(model::climate_table(), "usual_C"));
  bench.add_option("--supply", options.supply_V, "voltage at its leads while power is on, V (default 6.3, 12.6 or 25.2: what suits the part)")
      ->option_text("V")
      ->check(in_range(model::supply_table(), "usual_V"));
  add_common(bench, options, true);
}

void add_fit(CLI::App& app, Options& options) {
  auto& fit = *app.add_subcommand(
      "fit",
      "Bench logs of an actuator (time_s, current_A, voltage_V, from a clamp and a meter) to a measured "
      "part.\n"
      "Example: latchwright fit held.csv --like act-ordinary-2w --ambient 22 --cold 2.4 -o mine.json");
  fit.add_option("LOG", options.logs, "logs (CSV) of the actuator held at standstill, from cold")
      ->required()
      ->option_text("...");
  fit.add_option("--like", options.like, "actuator to start from; what the logs do not tell stays as in it")
      ->required()
      ->option_text("PART_ID")
      ->check(a_value());
  fit.add_option("--ambient", options.ambient_C, "air around it, and its own temperature at the start, °C")
      ->required()
      ->option_text("C")
      ->check(in_range(model::climate_table(), "usual_C"));
  add_reading(fit, "cold", "OHM", options.cold_ohm);
  add_reading(fit, "force", "N", options.force_N);
  add_reading(fit, "throw", "S", options.throw_s);
  fit.add_option("--free", options.free_logs, "log (CSV) of the motor running free (may repeat)")
      ->option_text("LOG.csv")
      ->check(a_value())
      ->allow_extra_args(false);
  fit.add_option("-o", options.output, "writes the measured part")
      ->option_text("PART.json")
      ->check(a_value())
      ->check(a_file_to_write());
  add_common(fit, options, true, "--replace");
}

}  // namespace latchwright::cli
