// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/options.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <charconv>
#include <cmath>

#include "base/text.h"
#include "model/job_fields.h"
#include "model/part_fields.h"
#include "model/starting_job.h"
#include "report/result_head.h"

namespace latchwright::cli {

namespace {

constexpr const char* footer =
    "A cycle is lock plus unlock. Exit code: 0 ran, 1 ran and something fails (check and size only), 2 bad\n"
    "input or usage, 3 a study that cannot be solved, 130 interrupted.\n"
    "Battery off before you open the wiring; leave airbag circuits alone; every door must open by hand.";

/// A number in plain decimal notation, as a file would hold it: no blanks, nothing hexadecimal, no infinity.
std::optional<double> plain_number(std::string_view text) {
  const bool plus = text.starts_with('+');
  if (plus) text.remove_prefix(1);
  if (text.find_first_not_of("0123456789.eE+-") != std::string_view::npos) return std::nullopt;
  if (plus && text.starts_with('-')) return std::nullopt;
  double value = 0;
  const char* const end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, value);
  if (read.ec != std::errc() || read.ptr != end) return std::nullopt;
  return value;
}

/// Takes a number within the range of `info`.
CLI::Validator number_within(const model::FieldInfo& info) {
  return CLI::Validator(
      [info](std::string& text) -> std::string {
        const auto value = plain_number(text);
        if (!value) {
          const bool comma = text.find(',') != std::string::npos;
          return fmt::format("\"{}\" is not a number ({}){}", base::printable(text, 40),
                             model::range_text(info), comma ? "; decimals take a point, not a comma" : "");
        }
        if (*value < info.low || *value > info.high) {
          return fmt::format("{} is outside the permitted range ({})", base::exact_text(*value),
                             model::range_text(info));
        }
        if (info.kind == model::FieldKind::whole && *value != std::floor(*value)) {
          return fmt::format("{} must be a whole number ({})", base::exact_text(*value),
                             model::range_text(info));
        }
        return "";
      },
      model::range_text(info));
}

/// Range check from the row of the field table that the option stands for.
template <class R>
CLI::Validator in_range(const model::Table<R>& table, const char* key) {
  return number_within(table.find(key)->info);
}

CLI::Validator between(double low, double high, const char* unit,
                       model::FieldKind kind = model::FieldKind::number) {
  model::FieldInfo info;
  info.kind = kind;
  info.low = low;
  info.high = high;
  info.unit = unit;
  return number_within(info);
}

/// Takes one of a few words.
CLI::Validator one_of(const std::vector<std::string>& words) {
  return CLI::Validator(
      [words](std::string& text) -> std::string {
        if (std::find(words.begin(), words.end(), text) != words.end()) return "";
        const std::string near = base::nearest_word(text, words);
        return fmt::format("\"{}\" is not one of {}{}", base::printable(text, 40), fmt::join(words, ", "),
                           near.empty() ? "" : "; did you mean \"" + near + "\"?");
      },
      "");
}

/// Takes a resistance, or the word for a line that a meter shows as open ("OL" on its display).
CLI::Validator ohms_or_open(double high) {
  return CLI::Validator(
      [number = between(0, high, "Ω")](std::string& text) -> std::string {
        if (text == open_line) return "";
        if (const std::string fault = number(text); !fault.empty()) {
          return fault + fmt::format("; {} for an open line", open_line);
        }
        if (text.starts_with('+')) text.erase(0, 1);
        return "";
      },
      "");
}

/// Takes what may be a value at all: an option that follows at once is none.
CLI::Validator a_value() {
  return CLI::Validator(
      [](std::string& text) -> std::string {
        if (!text.starts_with("--")) return "";
        return fmt::format("needs a value (\"{}\" is an option)", base::printable(text, 40));
      },
      "");
}

/// Takes the name of a file to be written.
CLI::Validator a_file_to_write() {
  return CLI::Validator(
      [](std::string& text) -> std::string {
        if (text.empty()) return "needs the name of a file";
        if (text == "-") return "- is no file name here; --json prints";
        return "";
      },
      "");
}

void add_job(CLI::App& verb, Options& options) {
  verb.add_option("JOB", options.job, "job file (JSON)")->required()->option_text("");
  verb.add_option("--door", options.doors, "only this door takes part (may repeat)")
      ->option_text("NAME")
      ->check(a_value())
      ->allow_extra_args(false);
}

/// replace: the flag that lets files be replaced; `fit` has a force of its own.
void add_common(CLI::App& verb, Options& options, bool tables, const char* replace = "--force") {
  verb.add_option("--parts", options.parts_files, "more parts (may repeat); they win over the built-in ones")
      ->option_text("FILE")
      ->check(a_value())
      ->allow_extra_args(false);
  verb.add_flag("--skip-broken", options.skip_broken,
                "names broken parts of part files and goes on without them");
  verb.add_flag("--json", options.json, "result as JSON on standard output, nothing else there");
  if (tables) {
    verb.add_option("--csv", options.csv, "writes the figures as CSV")
        ->option_text("FILE")
        ->check(a_value())
        ->check(a_file_to_write());
    verb.add_option("--plot", options.plot, "draws the result into a file")
        ->option_text("FILE.png|.svg|.pdf")
        ->check(a_value())
        ->check(a_file_to_write());
    verb.add_flag(replace, options.force, "replaces files that exist");
  }
  verb.add_flag("--quiet", options.quiet, "prints nothing but faults and what was asked for with --json");
  verb.footer(footer);
}

void add_condition(CLI::App& verb, Options& options) {
  verb.add_option("--ambient", options.ambient_C, "air in the doors, °C (default: the job's usual)")
      ->option_text("C")
      ->check(in_range(model::climate_table(), "usual_C"));
  verb.add_option("--voltage", options.voltage_V, "open-circuit voltage, V (default: the job's usual)")
      ->option_text("V")
      ->check(in_range(model::supply_table(), "usual_V"));
}

/// PART_ID, one. Not the list itself: the library would take the value of an unknown option for a second
/// part.
void add_one_actuator(CLI::App& verb, Options& options, const char* what) {
  verb.add_option_function<std::string>(
          "PART_ID", [&options](const std::string& id) { options.part_ids = {id}; }, what)
      ->required()
      ->option_text("");
}

void add_triage(CLI::App& app, Options& options) {
  auto& triage = *app.add_subcommand(
      "triage",
      "What may be the matter with an actuator, from whatever was read; how long it has to cool, what to "
      "read\n"
      "next. Every reading may be missing.\n"
      "Example: latchwright triage act-ordinary-2w --moves neither --leads 2.6 --meter 0.3 --idle 12");
  TriageOptions& given = options.triage;
  add_one_actuator(triage, options, "the actuator, or one like it");
  triage.add_option("--leads", given.leads, "across the actuator's leads, meter's own included: Ω, or open")
      ->option_text("OHM|open")
      ->check(a_value())
      ->check(ohms_or_open(1e7));
  triage.add_option("--meter", given.meter_ohm, "the meter's own leads, touched together, Ω")
      ->option_text("OHM")
      ->check(between(0, 100, "Ω"));
  triage.add_option("--idle", given.idle_min, "minutes since it was last used")
      ->option_text("MIN")
      ->check(between(0, 1e6, "min"));
  triage.add_option("--used", given.used, "throws just before that")
      ->option_text("N")
      ->check(between(0, 1000, "throws", model::FieldKind::whole));
  triage.add_option("--on", options.on_s, "pulse of those throws, s (default 0.7)")
      ->option_text("S")
      ->check(in_range(model::pulse_table(), "on_s"));
  triage.add_option("--gap", options.gap_s, "rest between them, s (default 1.0)")
      ->option_text("S")
      ->check(in_range(model::use_table(), "gap_s"));
  triage.add_option("--ambient", options.ambient_C, "air around it, °C")
      ->option_text("C")
      ->check(in_range(model::climate_table(), "usual_C"));
  triage.add_option("--supply", given.supply_V, "measured at the actuator while energised, V")
      ->option_text("V")
      ->check(between(0, 36, "V"));
  triage.add_option("--current", given.current_A, "clamp on one of its leads then, A")
      ->option_text("A")
      ->check(between(0, 200, "A"));
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
  bench.add_option("--supply", options.supply_V, "voltage at its leads while power is on, V (default 12.6)")
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
  const auto one = [&fit](const char* name, auto& value, const char* meaning, const char* unit,
                          CLI::Validator range) {
    fit.add_option(name, value, meaning)->option_text(unit)->check(range);
  };
  fit.add_option("--like", options.like, "actuator to start from; what the logs do not tell stays as in it")
      ->required()
      ->option_text("PART_ID")
      ->check(a_value());
  fit.add_option("--ambient", options.ambient_C, "air around it, and its own temperature at the start, °C")
      ->required()
      ->option_text("C")
      ->check(in_range(model::climate_table(), "usual_C"));
  one("--cold", options.cold_ohm, "resistance across its leads, cold, less the meter's own leads, ohm", "OHM",
      between(0.05, 1000, "ohm"));
  one("--force", options.force_N, "spring scale at the rod, held, cold, at the logs' voltage, N", "N",
      between(0.1, 5000, "N"));
  one("--throw", options.throw_s, "time of one unloaded throw, cold, at the logs' voltage, s", "S",
      between(0.005, 10, "s"));
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

void build(CLI::App& app, Options& options) {
  app.description("Checks 12 V power door lock installations: actuators, thermistors, wires, fuses, relays.");
  app.set_version_flag("--version", "latchwright " + report::program_version());
  app.require_subcommand(1);
  app.get_formatter()->label("SUBCOMMAND", "VERB");
  app.get_formatter()->label("Subcommands", "Verbs");
  app.get_formatter()->label("TEXT REQUIRED", "");
  app.footer(
      "latchwright VERB --help tells more. First steps:\n"
      "  latchwright new --doors 4 --body estate -o job.json   (then fill in what you measured)\n"
      "  latchwright size job.json -o chosen.json    (what to fit; or choose parts yourself)\n"
      "  latchwright check chosen.json\n\n" +
      std::string(footer));

  auto& make = *app.add_subcommand("new",
                                   "Writes a starting job from a few answers.\n"
                                   "Example: latchwright new --doors 4 --body estate -o job.json");
  make.add_option("--doors", options.door_count, "number of doors, tailgate included")
      ->required()
      ->option_text("N")
      ->check(between(1, static_cast<double>(model::most_doors), "doors", model::FieldKind::whole));
  make.add_option("--body", options.body, "hatch, saloon, estate or van: sets typical run lengths")
      ->required()
      ->option_text("BODY")
      ->check(one_of(model::known_bodies()));
  make.add_option("-o", options.output, "file to write (default: standard output)")
      ->option_text("FILE")
      ->check(a_value())
      ->check(a_file_to_write());
  make.add_flag("--force", options.force, "replaces a file that exists");
  make.add_flag("--json", options.json, "the job on standard output (as without -o)");
  make.add_flag("--quiet", options.quiet,
                "prints nothing but faults and the job asked for (--json, or without -o)");
  make.footer(footer);

  auto& check =
      *app.add_subcommand("check",
                          "Every check of a job at every condition; names the weakest link and its cure.\n"
                          "Example: latchwright check job.json");
  add_job(check, options);
  check.add_flag("--all-corners", options.all_corners, "lists every check at every condition");
  add_common(check, options, true);

  auto& size = *app.add_subcommand(
      "size",
      "Chooses what the job leaves open (null or absent): actuators, wires, fuses, relay;\n"
      "ranks the sets that pass every check and says why other parts do not do.\n"
      "Example: latchwright size job.json -o filled.json");
  add_job(size, options);
  size.add_option("-o", options.output, "writes the job with the first set filled in")->option_text("FILE");
  add_common(size, options, true);

  auto& stall =
      *app.add_subcommand("stall",
                          "Continuous standstill (stuck relay, jammed lock): trip time and temperatures.\n"
                          "Example: latchwright stall job.json --ambient 60 --door tailgate");
  add_job(stall, options);
  add_condition(stall, options);
  stall.add_option("--limit", options.limit_s, "how long the power stays on, s (default 600)")
      ->option_text("S")
      ->check(between(0.1, 36000, "s"));
  stall.add_flag("--after-trip", options.after_trip, "thermistors have tripped before");
  add_common(stall, options, true);

  auto& cycle =
      *app.add_subcommand("cycle",
                          "Locking and unlocking again and again: lockout, recovery, temperatures.\n"
                          "Example: latchwright cycle job.json --ambient 80 --csv study.csv");
  add_job(cycle, options);
  add_condition(cycle, options);
  cycle
      .add_option("--cycles", options.cycles,
                  "cycles tried (default: the job's; hot_cycles are not used here)")
      ->option_text("N")
      ->check(in_range(model::use_table(), "cycles"));
  cycle.add_option("--gap", options.gap_s, "rest between pulses, s (default: the job's)")
      ->option_text("S")
      ->check(in_range(model::use_table(), "gap_s"));
  cycle.add_option("--on", options.on_s, "pulse length, s (default: the job's)")
      ->option_text("S")
      ->check(in_range(model::pulse_table(), "on_s"));
  cycle.add_flag("--after-trip", options.after_trip, "thermistors have tripped before");
  cycle.add_flag("--on-through", options.on_through, "goes on past a missed throw");
  add_common(cycle, options, true);

  auto& curves = *app.add_subcommand(
      "curves",
      "Time-current picture: fuses, wires, thermistors, stall and short-circuit currents.\n"
      "Example: latchwright curves job.json --csv curves.csv");
  add_job(curves, options);
  add_condition(curves, options);
  add_common(curves, options, true);

  auto& parts = *app.add_subcommand("parts",
                                    "Lists, shows and checks parts.\n"
                                    "Example: latchwright parts act-ordinary-2w\n"
                                    "         latchwright parts --kind wire\n"
                                    "         latchwright parts --parts my-parts.json   (checks the file)");
  parts.add_option("ID", options.part_ids, "parts to show in full")->option_text("");
  parts.add_option("--kind", options.kind, "only parts of this kind")
      ->option_text("KIND")
      ->check(one_of(model::part_kinds()));
  add_common(parts, options, false);

  add_triage(app, options);
  add_bench(app, options);
  add_fit(app, options);
}

/// What to say when no verb was understood.
std::string missing_verb(const CLI::App& app, int argc, const char* const* argv) {
  std::vector<std::string> verbs;
  for (const auto* known : app.get_subcommands([](const CLI::App*) { return true; }))
    verbs.push_back(known->get_name());
  if (argc < 2) return fmt::format("a verb is missing (one of {})", fmt::join(verbs, ", "));
  const std::string near = base::nearest_word(argv[1], verbs);
  return fmt::format("\"{}\" is no verb{}", base::printable(argv[1], 40),
                     near.empty() ? fmt::format(" (one of {})", fmt::join(verbs, ", "))
                                  : "; did you mean \"" + near + "\"?");
}

/// Every option that must be given and is not.
std::string missing_options(const CLI::App& verb) {
  std::vector<std::string> names;
  for (const auto* option : verb.get_options()) {
    if (option->get_required() && option->count() == 0) names.push_back(option->get_name());
  }
  return fmt::format("{} {} required", fmt::join(names, " and "), names.size() == 1 ? "is" : "are");
}

/// What is wrong with the number of an option's values; the library begins its text with the option's name.
std::string count_fault(const std::string& text) {
  const std::string name = text.substr(0, text.find_first_of(": "));
  // Here the name comes without its hyphens.
  if (text.find("flag override") != std::string::npos) return "--" + name + ": takes no value";
  if (text.find("At Most") != std::string::npos) return name + ": is given more than once";
  return name + ": needs a value";
}

/// In the program's own words, with the nearest known option for one that is unknown.
std::string usage_fault(const CLI::App& verb, const CLI::ParseError& error) {
  if (dynamic_cast<const CLI::RequiredError*>(&error) != nullptr) return missing_options(verb);
  if (dynamic_cast<const CLI::ArgumentMismatch*>(&error) != nullptr) return count_fault(error.what());
  if (dynamic_cast<const CLI::ExtrasError*>(&error) == nullptr) return error.what();
  std::vector<std::string> known;
  for (const auto* option : verb.get_options()) {
    if (!option->get_positional()) known.push_back("--" + option->get_single_name());
  }
  for (const auto& extra : verb.remaining()) {
    if (!extra.starts_with("-")) continue;
    const std::string name = extra.substr(0, extra.find('='));
    if ((name == "--ambient" || name == "--voltage") && verb.get_name() == "check") {
      return name + ": check looks at every condition of the job; stall and cycle look at one";
    }
    std::string near = base::nearest_word(name, known);
    for (const auto& longer : known) {
      if (near.empty() && name.size() > 3 && longer.starts_with(name)) near = longer;
    }
    return fmt::format("no option {} here{}", base::printable(name, 40),
                       near.empty() ? "" : "; did you mean " + near + "?");
  }
  const auto extras = verb.remaining();
  return fmt::format("\"{}\" is one argument too many",
                     extras.empty() ? "" : base::printable(extras.front(), 40));
}

Parsed refusal(const std::string& verb, const std::string& what) {
  const std::string named = verb.empty() ? "" : " " + base::printable(verb, 40);
  Parsed parsed;
  parsed.text = fmt::format("latchwright{}: {}\nlatchwright{} --help tells more.\n", named, what, named);
  parsed.exit_code = 2;
  return parsed;
}

}  // namespace

Parsed parse_options(int argc, const char* const* argv) {
  Options options;
  CLI::App app;
  app.name("latchwright");
  build(app, options);
  for (auto* verb : app.get_subcommands([](const CLI::App*) { return true; })) {
    for (auto* option : verb->get_options()) {
      if (option->get_expected_max() == 0) option->disable_flag_override();
    }
  }
  Parsed parsed;
  try {
    // The library would take the next word for the value.
    for (int k = 1; k < argc; ++k) {
      const std::string word = argv[k];
      if (word.size() > 3 && word.starts_with("--") && word.find('=') == word.size() - 1) {
        return refusal(k > 1 ? argv[1] : "", word.substr(0, word.size() - 1) + ": needs a value");
      }
    }
    app.parse(argc, argv);
  } catch (const CLI::CallForHelp&) {
    const auto chosen = app.get_subcommands();
    parsed.text = chosen.empty() ? app.help() : chosen.front()->help("latchwright");
    return parsed;
  } catch (const CLI::CallForVersion& version) {
    parsed.text = version.what() + std::string("\n");
    return parsed;
  } catch (const CLI::ParseError& error) {
    const auto chosen = app.get_subcommands();
    return chosen.empty() ? refusal("", missing_verb(app, argc, argv))
                          : refusal(chosen.front()->get_name(), usage_fault(*chosen.front(), error));
  }
  options.verb = app.get_subcommands().front()->get_name();
  parsed.options = std::move(options);
  return parsed;
}

}  // namespace latchwright::cli
