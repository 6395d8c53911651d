// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <algorithm>

#include "base/failure.h"
#include "cli/console.h"
#include "cli/spread_outputs.h"
#include "cli/verbs.h"
#include "io/json.h"

namespace latchwright::cli {

namespace {

/// Every slice; faults of all files go to standard error, and then there are none.
std::vector<report::SpreadReport> read_slices(const std::vector<std::string>& files) {
  std::vector<report::SpreadReport> slices;
  bool good = true;
  const auto complain_all = [&good](const base::Issues& issues) {
    good = false;
    complain_of(issues);
  };
  for (const auto& file : files) {
    const auto raw = io::read_json_file(file);
    if (!raw.ok()) {
      complain_all(raw.issues());
      continue;
    }
    auto slice = report::read_slice(raw.value(), file);
    if (slice.ok()) {
      slices.push_back(std::move(slice.value()));
    } else {
      complain_all(slice.issues());
    }
  }
  if (!good) slices.clear();
  return slices;
}

/// The slices that a whole still lacks; empty: none.
std::string missing_slices(const spread::SpreadTally& whole) {
  std::vector<int> missing;
  for (int part = 1; part <= whole.plan.slice.of; ++part) {
    if (std::find(whole.slices.begin(), whole.slices.end(), part) == whole.slices.end())
      missing.push_back(part);
  }
  if (missing.empty()) return "";
  return fmt::format("{} {} of {} {} missing", missing.size() == 1 ? "slice" : "slices",
                     fmt::join(missing, ", "), whole.plan.slice.of, missing.size() == 1 ? "is" : "are");
}

}  // namespace

int run_join(const Options& options, Plot& plot) {
  std::vector<report::SpreadReport> slices = read_slices(options.results);
  if (slices.empty()) return exit_bad_input;
  report::SpreadReport whole = slices.front();
  for (std::size_t k = 1; k < slices.size(); ++k) {
    // The first slice's title, in whatever order they come.
    if (slices[k].tally.plan.slice.part == 1) whole.title = slices[k].title;
    try {
      spread::add_slice(whole.tally, slices[k].tally);
    } catch (const base::UsageError& error) {
      complain(fmt::format("{}: {}\n", options.results[k], error.what()));
      return exit_bad_input;
    }
  }
  if (const std::string missing = missing_slices(whole.tally); !missing.empty()) {
    throw base::UsageError("join: " + missing);
  }
  whole.result = spread::conclude(whole.tally);
  give_out(whole, options, plot);
  return exit_good;
}

}  // namespace latchwright::cli
