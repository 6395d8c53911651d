// SPDX-License-Identifier: GPL-3.0-or-later
#include <fmt/format.h>

#include "cli/console.h"
#include "cli/verbs.h"
#include "io/files.h"
#include "io/json.h"
#include "model/starting_job.h"

namespace latchwright::cli {

int run_new(const Options& options) {
  const std::string text = io::write_json(model::starting_job(options.door_count, options.body));
  if (options.output.empty()) {
    print(text);
    return exit_good;
  }
  io::save_text(options.output, text, options.force);
  if (options.json) {
    print(text);
  } else if (!options.quiet) {
    print(fmt::format("Wrote {}. Next: put in what you measured; null is still to be chosen:\n"
                      "  latchwright size {} -o chosen.json\n",
                      options.output, options.output));
  }
  return exit_good;
}

}  // namespace latchwright::cli
