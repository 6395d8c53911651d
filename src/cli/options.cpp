// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/options.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>

#include "base/text.h"
#include "cli/bench_options.h"
#include "cli/option_values.h"
#include "cli/spread_options.h"
#include "model/job_fields.h"
#include "model/part_fields.h"
#include "model/starting_job.h"
#include "report/result_head.h"

namespace latchwright::cli {

namespace {

void add_job(CLI::App& verb, Options& options) {
  verb.add_option("JOB", options.job, "job file (JSON)")->required()->option_text("");
  verb.add_option("--door", options.doors, "only this door takes part (may repeat)")
      ->option_text("NAME")
      ->check(a_value())
      ->allow_extra_args(false);
}

void add_condition(CLI::App& verb, Options& options) {
  verb.add_option("--ambient", options.ambient_C, "air in the doors, °C (default: the job's usual)")
      ->option_text("C")
      ->check(in_range(model::climate_table(), "usual_C"));
  verb.add_option("--voltage", options.voltage_V, "open-circuit voltage, V (default: the job's usual)")
      ->option_text("V")
      ->check(in_range(model::supply_table(), "usual_V"));
}

void add_map(CLI::App& app, Options& options) {
  auto& map = *app.add_subcommand(
      "map",
      "Cycles to lockout over ambient and rest (or pulse), and where the wanted cycles are safe.\n"
      "Example: latchwright map job.json --cycles 5 --plot map.png");
  add_job(map, options);
  map.add_option("--over", options.over, "gap: rest between pulses (default); on: pulse length")
      ->option_text("gap|on")
      ->check(one_of({"gap", "on"}));
  const auto ambient = in_range(model::climate_table(), "usual_C");
  map.add_option("--from-ambient", options.from_ambient_C, "coldest air, °C (default: the job's)")
      ->option_text("C")
      ->check(ambient);
  map.add_option("--to-ambient", options.to_ambient_C, "hottest air, °C (default: the job's and 20 more)")
      ->option_text("C")
      ->check(ambient);
  // Rest or pulse: which row's range holds is seen when all is read.
  const auto either = between(0, model::use_table().find("gap_s")->info.high, "s");
  map.add_option("--from", options.from_s, "shortest rest (default 0) or pulse (the shortest that throws), s")
      ->option_text("S")
      ->check(either);
  map.add_option("--to", options.to_s, "longest rest (default 10) or pulse (3), s")
      ->option_text("S")
      ->check(either);
  map.add_option("--cycles", options.cycles,
                 "cycles wanted (default: the job's; hot_cycles where all of the map is hot)")
      ->option_text("N")
      ->check(in_range(model::use_table(), "cycles"));
  map.add_option("--gap", options.gap_s, "with --over on: rest between pulses, s (default: the job's)")
      ->option_text("S")
      ->check(in_range(model::use_table(), "gap_s"));
  map.add_option("--on", options.on_s, "with --over gap: pulse length, s (default: the job's)")
      ->option_text("S")
      ->check(in_range(model::pulse_table(), "on_s"));
  map.add_option("--voltage", options.voltage_V, "open-circuit voltage, V (default: the job's usual)")
      ->option_text("V")
      ->check(in_range(model::supply_table(), "usual_V"));
  add_common(map, options, true);
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

  add_map(app, options);

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

  auto& spread = *app.add_subcommand(
      "spread",
      "How often such an installation stops until it cools, with parts, battery and air as they scatter;\n"
      "what matters most, and what closer tolerances would buy.\n"
      "Example: latchwright spread job.json --ambient 60\n"
      "         latchwright spread job.json --slice 1/4 --json > one.json   (the rest elsewhere; then join)");
  add_job(spread, options);
  add_condition(spread, options);
  add_spread_plan(spread, options);
  add_common(spread, options, true);
  add_join(app, options);

  add_triage(app, options);
  add_bench(app, options);
  add_fit(app, options);

  auto& sheet = *app.add_subcommand(
      "sheet",
      "Writes the job sheet for the customer file: a page for the owner, one for the fitter, the\n"
      "acceptance test with boxes to fill in, cautions and assumptions.\n"
      "Example: latchwright sheet job.json -o sheet.html");
  add_job(sheet, options);
  sheet.add_option("-o", options.output, "file to write; .html opens in any browser, .pdf prints")
      ->required()
      ->option_text("FILE.html|.pdf")
      ->check(a_value())
      ->check(a_file_to_write());
  sheet.add_option("--paper", options.paper, "paper of a .pdf: a4 (default) or letter")
      ->option_text("PAPER")
      ->check(one_of({"a4", "letter"}));
  sheet.add_option("--date", options.date, "day to stand on it, as in 2026-03-31 (default: none)")
      ->option_text("DAY")
      ->check(a_day());
  sheet.add_flag("--force", options.force, "replaces a file that exists");
  add_common(sheet, options, false);
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
    if (name == "--ambient" && verb.get_name() == "map") {
      return name + ": map spans ambients, --from-ambient to --to-ambient; stall and cycle look at one";
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

void declare_options(CLI::App& app, Options& options) {
  app.name("latchwright");
  build(app, options);
}

Parsed parse_options(int argc, const char* const* argv) {
  Options options;
  CLI::App app;
  declare_options(app, options);
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
