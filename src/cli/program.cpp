// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include <exception>

#include "base/failure.h"
#include "base/text.h"
#include "cli/console.h"
#include "cli/verbs.h"

namespace latchwright::cli {

namespace {

int run_verb(const Options& options, Plot& plot, MakePictureWriter make_writer) {
  if (options.verb == "new") return run_new(options);
  if (options.verb == "check") return run_check(options, plot);
  if (options.verb == "size") return run_size(options, plot);
  if (options.verb == "stall") return run_stall(options, plot);
  if (options.verb == "cycle") return run_cycle(options, plot);
  if (options.verb == "curves") return run_curves(options, plot);
  if (options.verb == "map") return run_map(options, plot);
  if (options.verb == "parts") return run_parts(options);
  if (options.verb == "spread") return run_spread(options, plot);
  if (options.verb == "join") return run_join(options, plot);
  if (options.verb == "triage") return run_triage(options);
  if (options.verb == "bench") return run_bench(options, plot);
  if (options.verb == "fit") return run_fit(options, plot);
  if (options.verb == "sheet") return run_sheet(options, make_writer);
  throw base::InternalError("a verb without a function: " + options.verb);
}

}  // namespace

int run_program(int argc, const char* const* argv, MakePictureWriter make_writer) {
  try {
    const Parsed parsed = parse_options(argc, argv);
    if (!parsed.options) {
      parsed.exit_code == 0 ? print(parsed.text) : complain(parsed.text);
      return parsed.exit_code;
    }
    guard_files(*parsed.options);
    Plot plot(*parsed.options, make_writer);
    return run_verb(*parsed.options, plot, make_writer);
  } catch (const base::UsageError& error) {
    complain(fmt::format("latchwright: {}\n", base::printable(error.what(), longest_fault)));
    return exit_bad_input;
  } catch (const base::StudyError& error) {
    complain(fmt::format("latchwright: {}\n", error.what()));
    return exit_unsolved;
  } catch (const base::Cancelled&) {
    complain("latchwright: cancelled; nothing was written\n");
    return exit_cancelled;
  } catch (const std::exception& error) {
    complain(fmt::format("latchwright: fault of the program: {}\n", error.what()));
    return exit_unsolved;
  }
}

}  // namespace latchwright::cli
