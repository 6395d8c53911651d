// SPDX-License-Identifier: GPL-3.0-or-later
#include "cli/spread_options.h"

#include <fmt/format.h>

#include <charconv>

#include "base/text.h"
#include "cli/option_values.h"
#include "model/job_fields.h"

namespace latchwright::cli {

namespace {

constexpr int least_samples = 10;
constexpr int most_slices = 1000;
constexpr double largest_seed = 9007199254740991;  // results hold it as a double

/// A whole number that takes up all of the text.
std::optional<int> whole_of(std::string_view text) {
  int value = 0;
  const char* const end = text.data() + text.size();
  const auto read = std::from_chars(text.data(), end, value);
  if (read.ec != std::errc() || read.ptr != end) return std::nullopt;
  return value;
}

CLI::Validator a_slice() {
  return CLI::Validator(
      [](std::string& text) -> std::string {
        if (slice_of(text)) return "";
        return fmt::format("\"{}\" is no slice (K/N: slice K of N, such as 1/4; N up to {})",
                           base::printable(text, 40), most_slices);
      },
      "");
}

}  // namespace

std::optional<spread::Slice> slice_of(const std::string& text) {
  const std::size_t cut = text.find('/');
  if (cut == std::string::npos) return std::nullopt;
  const auto part = whole_of(std::string_view(text).substr(0, cut));
  const auto of = whole_of(std::string_view(text).substr(cut + 1));
  if (!part || !of || *part < 1 || *of < *part || *of > most_slices) return std::nullopt;
  return spread::Slice{*part, *of};
}

void add_spread_plan(CLI::App& spread, Options& options) {
  spread.add_option("--samples", options.samples, "installations tried (default 2000)")
      ->option_text("N")
      ->check(between(least_samples, static_cast<double>(spread::most_samples), "samples",
                      model::FieldKind::whole));
  spread.add_option("--seed", options.seed, "the same seed draws the same installations (default 1)")
      ->option_text("N")
      ->check(between(0, largest_seed, "", model::FieldKind::whole));
  spread.add_option("--slice", options.slice, "only slice K of N, which join puts together")
      ->option_text("K/N")
      ->check(a_slice());
  spread
      .add_option("--cycles", options.cycles,
                  "cycles wanted in a row (default: the job's; hot_cycles from its hot_C up)")
      ->option_text("N")
      ->check(in_range(model::use_table(), "cycles"));
  spread.add_option("--gap", options.gap_s, "rest between pulses, s (default: the job's)")
      ->option_text("S")
      ->check(in_range(model::use_table(), "gap_s"));
  spread.add_option("--on", options.on_s, "pulse length, s (default: the job's)")
      ->option_text("S")
      ->check(in_range(model::pulse_table(), "on_s"));
}

void add_join(CLI::App& app, Options& options) {
  auto& join =
      *app.add_subcommand("join",
                          "Puts the slices of one spread together: the same as one run of it.\n"
                          "Example: latchwright join one.json two.json three.json four.json -o all.json");
  join.add_option("RESULT", options.results, "results of spread --slice K/N --json, all of them")
      ->required()
      ->option_text("...")
      ->check(a_value());
  join.add_option("-o", options.output, "writes the whole as JSON")
      ->option_text("FILE")
      ->check(a_value())
      ->check(a_file_to_write());
  join.add_flag("--json", options.json, "result as JSON on standard output, nothing else there");
  join.add_option("--csv", options.csv, "writes the figures as CSV")
      ->option_text("FILE")
      ->check(a_value())
      ->check(a_file_to_write());
  join.add_option("--plot", options.plot, "draws the result into a file")
      ->option_text("FILE.png|.svg|.pdf")
      ->check(a_value())
      ->check(a_file_to_write());
  join.add_flag("--force", options.force, "replaces files that exist");
  join.add_flag("--quiet", options.quiet, "prints nothing but faults and what was asked for with --json");
  join.footer(footer);
}

}  // namespace latchwright::cli
